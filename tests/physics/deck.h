// Decks that the checks of this folder build themselves from the text of models/*.lib, and run in
// embedded ngspice.
#pragma once

#include <initializer_list>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "physics/second_opinion.h"
#include "spice/simulation.h"

namespace splitstart
{

// The largest time step that the project uses.
constexpr double largestStep_s = 1e-4;

// The text of these subcircuits, as in models/NAME.lib.
std::string modelText(std::initializer_list<std::string_view> names);

// One for all tests; two worker processes.
SimulatorPool& simulators();

// A motor on a supply: nodes line (and main winding), aux (auxiliary winding), speed, torque, load.
struct MotorCircuit {
    book::Machine machine;
    book::Source source;
    std::optional<book::CapacitorBranch> branch;  // none: auxiliary winding open
    std::optional<double> startSwitch_rad_s;      // a contact in the branch, open above this speed
    std::optional<double> heldSpeed_rad_s;        // the shaft turned from outside at this speed
    std::string loadCards = "vload load 0 dc 0\n";
    std::string loadModel;       // the subcircuit that loadCards uses, if any
    double madeUpForStep_s = 0;  // largest step that the reactances make up for; 0: none
};

constexpr double contact_ohm = 1e-3;  // of the closed start switch

// What instances of the motor call their currents and fluxes.
namespace probe
{
inline const std::string main_A = "v.xmotor.vmain#branch";
inline const std::string auxiliary_A = "v.xmotor.vaux#branch";
inline const std::string rotorMain_A = "v.xmotor.vrotq#branch";
inline const std::string rotorAuxiliary_A = "v.xmotor.vrotd#branch";
inline const std::string rotorMain_Vs = "xmotor.psiq";
inline const std::string rotorAuxiliary_Vs = "xmotor.psid";
// Only with a deep bar: its resistance times its inductance's current.
inline const std::string barMain_V = "xmotor.barq";
inline const std::string barAuxiliary_V = "xmotor.bard";
}  // namespace probe

// `cards` follow the circuit: analysis, probes.
std::string deckOf(const MotorCircuit& circuit, std::string_view cards);
std::string transientCard(double end_s, double step_s = largestStep_s);
std::string alternatingCard(double frequency_Hz);

Waveforms runTransient(const std::string& deck, const std::vector<std::string>& vectors,
                       double end_s);

// One value for each vector, peak.
std::vector<book::Phasor> runAlternating(const std::string& deck,
                                         const std::vector<std::string>& vectors);

// The steady state of the circuit at its held speed as ngspice sees it, rms, angles as the
// supply's. The torque is the mean over a period, from currents and fluxes by the formula of
// Krause, Wasynczuk, Sudhoff for unequal windings.
book::SteadyState simulatedSteadyState(const MotorCircuit& circuit);

}  // namespace splitstart
