// A second opinion on the simulated motor: the unsymmetrical two-winding induction machine written
// down once more from the textbooks, sharing nothing with the SPICE models that it judges.
//
// Sources
//   [Krause]  Krause, Wasynczuk, Sudhoff, "Analysis of Electric Machinery and Drive Systems",
//             2nd edition, chapter on unsymmetrical two-phase induction machines: stationary
//             reference frame, q axis = main winding, d axis = auxiliary winding, each rotor
//             circuit referred to the turns of its stator winding, flux linkages as states.
//   [FKU]     Fitzgerald, Kingsley, Umans, "Electric Machinery", 6th edition, chapter on
//             single-phase motors: double revolving fields; chapter on polyphase induction
//             machines: deep-bar and double-squirrel-cage rotors.
//   [Veinott] C. G. Veinott, "Theory and Design of Small Induction Motors": the capacitor motor by
//             double revolving fields, windings of unequal turns.
// Equations are from memory of these texts; the tests compare them with the figures printed there.
#pragma once

#include <complex>
#include <functional>
#include <limits>
#include <optional>
#include <vector>

namespace splitstart::book
{

using Phasor = std::complex<double>;

constexpr double noCoreLoss_ohm = std::numeric_limits<double>::infinity();

// A resistance in parallel with an inductance, in series with each rotor circuit; turns_ratio^2
// times both in the auxiliary axis.
struct DeepBar {
    double resistance_ohm = 0;  // referred to the main winding
    double inductance_H = 0;    // likewise
};

// The core takes, along the air-gap flux linkage of length L in main turns, the excess current
// slope_ratio L / mainMagnetizing_H (1 - (1 + (L/knee_Vs)^8)^(-1/8)).
struct Saturation {
    double slope_ratio = 0;
    double knee_Vs = 1;

    [[nodiscard]] double excess_A(double length_Vs, double magnetizing_H) const;
    // Energy of that current from no flux up to this one.
    [[nodiscard]] double excess_J(double length_Vs, double magnetizing_H) const;
};

struct Machine {
    double mainResistance_ohm = 0;
    double mainLeakage_H = 0;
    double mainMagnetizing_H = 0;
    double rotorMainResistance_ohm = 0;  // rotor q circuit, referred to the main winding
    double rotorMainLeakage_H = 0;
    double auxiliaryResistance_ohm = 0;
    double auxiliaryLeakage_H = 0;
    double auxiliaryMagnetizing_H = 0;
    double rotorAuxiliaryResistance_ohm = 0;  // rotor d circuit, referred to the auxiliary winding
    double rotorAuxiliaryLeakage_H = 0;
    double turns_ratio = 1;  // effective turns, auxiliary over main
    double polePairs = 1;
    double inertia_kgm2 = 0;
    double coreLoss_ohm = noCoreLoss_ohm;  // across the main magnetizing branch; turns_ratio^2
                                           // times it across the auxiliary one
    double friction_Nms = 0;               // viscous
    std::optional<DeepBar> deepBar{};
    std::optional<Saturation> saturation{};

    [[nodiscard]] double synchronousSpeed_rad_s(double frequency_Hz) const;
};

// e(t) = sqrt(2) rms_V sin(2 pi frequency_Hz t + phase_rad) behind a resistance and an inductance.
struct Source {
    double rms_V = 110;
    double frequency_Hz = 60;
    double phase_rad = 0;
    double resistance_ohm = 0;
    double inductance_H = 0;

    [[nodiscard]] double volts(double time_s) const;
};

// In series with the auxiliary winding.
struct CapacitorBranch {
    double capacitance_F = 0;
    double resistance_ohm = 0;
};

enum class Opening { never, atOnce, atCurrentZero };

// atOnce: the auxiliary current is cut off the instant the speed is reached, the flux of the rotor
// staying as it is. atCurrentZero: an arc carries it to its next zero.
struct StartSwitch {
    Opening opening = Opening::atCurrentZero;
    double speed_rad_s = 0;
};

// Torque that the load takes at that speed [rad/s] and shaft angle [rad].
using LoadTorque = std::function<double(double speed_rad_s, double angle_rad)>;

struct Sample {
    double time_s = 0;
    double main_A = 0;
    double auxiliary_A = 0;
    double capacitor_V = 0;  // across the capacitance alone
    double branch_V = 0;     // across capacitance and series resistance
    double torque_Nm = 0;
    double speed_rad_s = 0;
};

struct Energies {
    double supplied_J = 0;  // by e(t)
    double lost_J = 0;      // source, windings, rotor, core, capacitor branch, friction
    double shaft_J = 0;     // taken by the load
    double stored_J = 0;    // magnetic, electric and kinetic, at the end
};

struct Start {
    std::optional<double> speedReached_s;  // the start switch's speed, whether it opens or not
    std::optional<double> opened_s;        // no more auxiliary current
    std::vector<Sample> samples;
    Energies energies;  // the arc of an opening at once is not in it
    [[nodiscard]] double peak(double Sample::*quantity) const;
    [[nodiscard]] const Sample& last() const { return samples.back(); }
};

struct StartConditions {
    Source source;
    CapacitorBranch branch;
    StartSwitch startSwitch;
    LoadTorque load;  // empty: none
    double end_s = 1;
    double sampling_s = 2e-5;       // a peak between two samples is missed by less than 1e-5 of it
    double tolerance_ratio = 1e-9;  // relative, of each step
    double initialSpeed_rad_s = 0;
};

// From rest, all fluxes and the capacitor empty. A deep bar is integrated as the double cage that
// has the same impedance at every frequency. Throws std::runtime_error if the integrator fails,
// std::invalid_argument for saturation without core loss (only with it are the air-gap fluxes
// states) and for a deep bar in a rotor whose own resistances are not as turns_ratio^2 (only in a
// cage that is alike in both axes are ladder and double cage one machine).
Start integrateStart(const Machine& machine, const StartConditions& conditions);

// Steady state at a fixed speed, sine of one frequency; all phasors are rms, and the source's own
// voltage is the reference (angle zero).
struct SteadyState {
    Phasor main_A;
    Phasor auxiliary_A;
    Phasor line_A;
    Phasor terminal_V;   // across the main winding
    Phasor auxiliary_V;  // across the auxiliary winding
    Phasor branch_V;     // across the capacitor branch
    Phasor rotorMain_A;
    Phasor rotorAuxiliary_A;
    double torque_Nm = 0;  // mean, electromagnetic
};

// The cross-field equations of [Krause] with d/dt = j omega. Without a branch the auxiliary winding
// is open. Neither deep bar nor saturation: throws std::invalid_argument.
SteadyState steadyState(const Machine& machine, const Source& source,
                        const std::optional<CapacitorBranch>& branch, double speed_rad_s);

// [Veinott]: both windings by double revolving fields, for a machine whose auxiliary axis is
// turns_ratio^2 times the main one (rotor and magnetizing branch; the stator's resistances and
// leakages may be any). The rotor's impedance is that at slip times frequency for the field that
// turns with the shaft, and at (2 - slip) times frequency for the other, with its deep bar. No
// saturation: throws std::invalid_argument. Rotor currents and branch volts are left at zero.
SteadyState twoRevolvingFields(const Machine& machine, const Source& source,
                               const std::optional<CapacitorBranch>& branch, double speed_rad_s);

// [FKU]: main winding alone, double revolving fields; core loss and friction are taken off the
// shaft as "rotational loss", as in the book's worked example.
struct RevolvingFields {
    Phasor input_A;  // rms, terminal volts as the reference
    double powerFactor_ratio = 0;
    double input_W = 0;
    double forwardAirGap_W = 0;
    double backwardAirGap_W = 0;
    double mechanical_W = 0;
    double output_W = 0;
    double speed_rad_s = 0;
    double airGapTorque_Nm = 0;
    double shaftTorque_Nm = 0;
    double efficiency_ratio = 0;
};
RevolvingFields revolvingFields(const Machine& machine, double rms_V, double frequency_Hz,
                                double slip_ratio, double rotationalLoss_W);

}  // namespace splitstart::book
