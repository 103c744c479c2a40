// Circuits wired as they should not be, and what a motor at rest is to the line, for tests that
// hold simulated starts against circuit theory.
//
// At standstill the windings do not see one another (they stand at right angles), so each is an
// impedance, and amps follow from series and parallel connection alone. Textbook: Fitzgerald,
// Kingsley, Umans, Electric Machinery, single-phase motors (from memory).
#pragma once

#include <array>
#include <complex>
#include <functional>
#include <map>
#include <numbers>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "circuit/circuit.h"
#include "study/found_start.h"
#include "unit/circuit/service_case.h"

namespace splitstart
{

using Complex = std::complex<double>;

constexpr double line_Hz = 60;
constexpr double line_rad_s = 2 * std::numbers::pi * line_Hz;

// What stands between the source and the circuit in the cases below: the source itself, which is
// stiff, and the thermostat's closed contact (netgen/circuit/model_builder.cpp).
constexpr double source_ohm = 1e-3;
constexpr double source_H = 1e-6;
constexpr double thermostat_ohm = 5e-3;
constexpr double sourceReactance_ohm = line_rad_s * source_H;
inline const Complex feed_ohm = {source_ohm + thermostat_ohm, sourceReactance_ohm};

constexpr double startContact_ohm = 0.02;  // made; netgen/circuit/model_builder.h

// How near the simulated steady state comes. Steps of 0.3 ms are 0.113 rad of the line; the
// trapezoidal rule then takes 2/h tan(w h / 2) for w, 0.11 % more. Reactances are off by as much,
// and amps, volts or torque by at most twice that, since nothing here is near resonance.
constexpr double steady_ratio = 0.002;

Complex parallel(Complex a, Complex b);

// Parts in the middle of their ranges. A capacitor's loss is a resistance in series.
Complex capacitorImpedance(const Range& capacitance_F, double dissipationFactor);
Complex impedanceOf(const StartCapacitor& capacitor);
Complex impedanceOf(const RunCapacitor& capacitor);
Complex impedanceOf(const CondenserFan& fan);
Complex coilImpedance(const PotentialRelay& relay);

template <typename Data>
const Data& partIn(const Case& input, const char* id)
{
    return std::get<Data>(input.parts.find(id)->data);
}

// A motor without core loss at standstill, as warm as its resistances hold.
class StalledMotor
{
public:
    explicit StalledMotor(const EquivalentCircuit& motor);

    Complex main_ohm;
    Complex auxiliary_ohm;

    // Mean torque for these currents, rms. Turns forwards if the auxiliary current leads.
    [[nodiscard]] double torque_Nm(Complex main_A, Complex auxiliary_A) const;

private:
    EquivalentCircuit motor_;
};

// A rotor so heavy that the shaft stands for the whole of a run (1 N m turns it by 1e-3 rad/s in
// ten seconds): what a start shows at its end is then the steady state at standstill.
Case shaftHeld(Case input);

// The standard circuit of that description on a stiff supply, with that motor, without core loss
// and at 25 degC, and without a protector, so that nothing but wires and parts counts.
Case stiffCase(std::string_view description, const EquivalentCircuit& motor,
               const Service& service = {});

// A change of the wires as they should be.
using Rewiring = std::function<void(Circuit&)>;

// Every wire end meant for one of these terminals ("relay.1") on the other one.
Rewiring landed(std::map<std::string, std::string> onTerminal);

// The wires meant for C, S and R of the compressor on these pins.
Rewiring landedOnPins(const std::array<const char*, 3>& pins);

// The one wire on that terminal with its far end on another. Throws std::out_of_range where there
// is none or more than one.
Rewiring leading(std::string_view terminal, std::string_view instead);

// That case found wired so, and its simulated start.
FoundStart startAsFound(const Case& input, const Rewiring& rewiring);

// Its waveform of the volts from one terminal to another, over that time from switching on.
struct VoltsAsFound {
    std::vector<double> time_s;
    std::vector<double> value_V;

    // Between those two times.
    [[nodiscard]] double rms_V(double from_s, double to_s) const;
};
VoltsAsFound voltsAsFound(const Case& input, const Rewiring& rewiring,
                          std::pair<std::string_view, std::string_view> between, double end_s);

}  // namespace splitstart
