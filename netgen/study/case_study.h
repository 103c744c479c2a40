// From a case to its findings: pins and health, the motor, every corner simulated, every check
// judged.
#pragma once

#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "case/case.h"
#include "circuit/circuit.h"
#include "motor/estimate.h"
#include "motor/health.h"
#include "motor/identify.h"
#include "motor/motor.h"
#include "rating/check.h"
#include "rating/decision.h"
#include "spice/netlist.h"
#include "spice/simulation.h"
#include "study/possible_machines.h"

namespace splitstart
{

// What is known of the motor of a case.
struct MotorStudy {
    std::optional<Identification> identification;  // when the case has readings
    HealthReport health;
    Motor motor;
    SourceImpedance source;                     // of the supply, as given or estimated
    std::vector<FitResidual> residuals;         // how well it reproduces the evidence
    std::vector<std::string> contradictions;    // figures that no one motor can have together
    std::vector<std::string> notes;             // assumptions, one plain sentence each
    std::shared_ptr<MotorPosterior> posterior;  // null: nothing was estimated
};

// The case with its supply filled in from the nameplate where the file names none. Throws
// InputError if neither gives volts and hertz.
Case completeCase(Case input);

// Pins and health as far as the case has readings.
MotorStudy windingStudy(const Case& input);

// Whether the case holds enough for a motor, as far as that can be said without the simulator.
// Throws InputError if not.
void requireMotor(const Case& input);

// The same with the motor: given in full, or estimated; then with what else it may be, drawn from
// `seed`. The pool must outlive the posterior. Throws InputError if the case does not
// hold enough for a motor (no equivalent circuit, and no readings of three sound windings or no
// nameplate amps), SimulationError if the simulator fails.
MotorStudy motorStudy(const Case& input, const Circuit& circuit, SimulatorPool& pool,
                      std::uint64_t seed = 1);

// The case as the motor of that study stands in it: with the source impedance that was estimated
// where none was given.
Case withSource(const Case& input, const MotorStudy& motor);

// The corners of a check: line 85, 90, 100, 110 % of rated volts and the supply as found, windings
// cold (25 degC) and hot (110 degC), parts at both ends of their tolerances.
std::vector<Corner> checkCorners(const Case& input);

// Starts again after the shortest off time, for circuits in which something has to recover in it.
std::vector<Corner> restartCorners(const Case& input);

struct CheckOptions {
    DecisionRule rule;
    std::uint64_t seed = 1;
};

struct CheckStudy {
    Circuit circuit;
    MotorStudy motor;
    std::vector<Evidence> evidence;  // the best estimate first
    std::vector<Finding> findings;
    // The possible machines that were looked at, what distinguishes them (the motor's first), and
    // for each finding what was read of the first of them (not clear where that does not count).
    std::vector<PossibleMachine> machines;
    std::vector<std::string> inputNames;
    std::size_t motorInputs = 0;
    std::vector<std::vector<SampleReading>> readings;
};

// Called with (simulations done, all).
using StudyProgress = std::function<void(std::size_t, std::size_t)>;

// Throws InputError, SimulationError.
CheckStudy checkStudy(const Case& input, SimulatorPool& pool, const CheckOptions& options = {},
                      const StudyProgress& progress = {});

// What the start winding alone would draw from the line at standstill.
double auxiliaryOnLine_A(const EquivalentCircuit& motor, double rated_V);

// The deck of one start at one corner, best estimate of the motor, with its control section and the
// provenance of each number as comments.
std::string startDeck(const Case& input, const Circuit& circuit, const MotorStudy& motor,
                      const Corner& corner, double end_s);

// Title and comments that every deck for people has: where its numbers come from.
DeckText deckText(const Case& input, const Circuit& circuit, const MotorStudy& motor,
                  const Corner& corner);

}  // namespace splitstart
