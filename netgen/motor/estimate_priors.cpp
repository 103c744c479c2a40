// What is known of single-phase motors before one is measured.
//
// Ratios of published equivalent circuits with a run winding, each recast so that rotor and
// magnetising branch are the full values referred to the run winding:
//   1/4 hp 110 V 4 pole    Fitzgerald, Kingsley, Umans, example 9.2 = Krause, chapter 9
//   1/4 hp 120 V 4 pole    Chapman, problem 9-1          1.5 hp 220 V 6 pole  Chapman, problem 9-5
//   1/3 hp 110 V 4 pole    Chapman, example 9-1          500 W 115 V 4 pole   Umans, a problem
//   185 W 110 V 4 pole     Theraja, example 36.1         1/2 hp 110 V 4 pole  El-Hawary
//   215 V and 220 V 4 pole Kothari and Nagrath, examples 10.2 and 10.5
//   3.5 kW 230 V 2 pole    Fitzgerald, example 9.5 (run capacitor)
//   compressor, per unit   Lesieutre and others, phasor models of air-conditioner motors
// The values of the second Chapman example, El-Hawary, the 3.5 kW machine, the compressor and the
// start windings of the first are from memory, the others were read in public copies of examples
// and solutions. Geometric means and standard deviations of the logarithm over these machines:
//   X1/R1 1.62, 0.30   Xm/X1 27.8, 0.27   R2/R1 1.64, 0.24   X2/X1 0.90, 0.16 (0.77 where the
//   source does not assume equality)   start leakage / (a^2 X1) 1.04, 0.27 (three machines)
//   turns ratio with run capacitor 1.38, 0.20 (five)   core loss / volt-amps 0.055, 0.45 (five)
//   friction / volt-amps 0.018, 0.74 (six)
// The small machines are cousins of one another, so spreads are wider here. No two of the
// logarithms correlate with significance (eleven machines), so the ratios count as independent.
#include <algorithm>
#include <cmath>

#include "motor/estimator.h"

namespace splitstart::estimation
{

namespace
{

// Between a value that small motors have and one that large ones have.
double bySize(const EstimationInput& input, double small, double large)
{
    constexpr double small_VA = 700;
    constexpr double large_VA = 1600;
    const Nameplate& plate = input.nameplate;
    // Locked-rotor amps are about five times rated-load amps (common practice, no source).
    const double rated_VA =
        input.line_V * plate.ratedLoad_A.value_or(plate.lockedRotor_A.value_or(0) / 5);
    const double share = std::clamp(
        std::log(std::max(rated_VA, 1.0) / small_VA) / std::log(large_VA / small_VA), 0.0, 1.0);
    return std::lerp(small, large, share);
}

Prior turnsRatioPrior(const EstimationInput& input)
{
    if (input.hasRunCapacitor) {
        return {1.35, 0.20, "", "five published machines with a run capacitor"};
    }
    // One published machine (1.18); the trade's range is 1.0 to 1.5 (no source).
    return input.hasStartCapacitor
               ? Prior{1.20, 0.18, "", "a textbook's capacitor-start machine, 1.18"}
               : Prior{0.95, 0.30, "", "assumed: resistance-start windings have fewer turns"};
}

}  // namespace

Priors priorsFor(const EstimationInput& input)
{
    const char* machines = "eleven published machines";
    Priors priors;
    priors[turnsRatio] = turnsRatioPrior(input);
    // The published ohms are those of warm windings, these are at 25 degC: 1.62 times 1.15.
    priors[leakage] = {1.85, 0.45, "", machines};
    priors[rotorLeakage] = {0.88, 0.25, "", machines};
    priors[magnetizing] = {28, 0.35, "", machines};
    priors[rotorResistance] = {bySize(input, 1.55, 1.3), 0.40, "", machines};
    // Emde's formula for a bar in a slot, x (sinh 2x + sin 2x)/(cosh 2x - cos 2x) with x = depth
    // over depth of penetration (from memory: Alger, "The Nature of Induction Machines"): cast
    // aluminium bars 6 to 15 mm deep have 0.3 to 20 % more at 60 Hz, their end rings nothing.
    priors[rotorRise] = {0.04, 1.0, "", "aluminium bars 6 to 15 mm deep (skin effect)"};
    priors[auxiliaryLeakage] = {1.0, 0.25, "", "three published machines"};
    priors[coreLoss] = {bySize(input, 0.055, 0.038), 0.55, "", "five published machines"};
    priors[friction] = {0.018, 0.75, "", "six published machines"};
    // Compressor motors in published models of delayed voltage recovery have 0.03 to 0.05 s, all
    // from memory; starts of 0.3 s, which the trade reports (no source), ask for 0.3 s.
    priors[inertia] = {0.13, 0.70, "", "between published models and the trade's starting times"};
    priors[ratedSlip] = {bySize(input, 0.045, 0.036), 0.40, "", "usual plate speeds"};
    priors[loadTorque] = {1,
                          input.loadTorque_Nm        ? 0.02
                          : input.nameplate.output_W ? 0.15
                                                     : 0.10,
                          "", input.loadTorque_Nm ? "case file" : "assumed"};
    // Wide: the load ties it down. On the straight part of the curve slip goes with torque over
    // volts squared.
    const double volts_ratio = input.measuredAt_V > 0 ? input.line_V / input.measuredAt_V : 1.0;
    priors[measuredSlip] = {0.9 * volts_ratio * volts_ratio, 0.6, "",
                            "what the pump's load asks for at the volts as found"};
    // Nine of ten in a twelvefold range: 10 m of 10 AWG to 50 m of 14 AWG is 0.066 to 0.83 ohm
    // (handbook ohms per length).
    priors[sourceImpedance] = {
        1, input.sourceGiven ? 0.10 : 0.75, "",
        input.sourceGiven ? "case file"
                          : "a transformer and a short run of cable (computed from usual sizes)"};
    // The parts of the case may be substitutes, and capacitors have tolerances.
    const bool hasCapacitor = input.hasStartCapacitor || input.hasRunCapacitor;
    priors[plateCapacitors] = {1, hasCapacitor ? 0.20 : 0.001, "",
                               "assumed: the capacitors in the case may not be the original ones"};
    const auto read = [](const Quantity& resistance_ohm) {
        return Prior{resistance_ohm.value,
                     std::max(std::log1p(resistance_ohm.accuracy_ratio) / ninetyFivePercent, 1e-3),
                     "", "readings, meter leads taken off, corrected to 25 degC"};
    };
    priors[mainResistance] = read(input.main_ohm);
    priors[auxiliaryResistance] = read(input.auxiliary_ohm);
    static constexpr std::array<const char*, unknownCount> names = {
        "turns ratio",
        "run winding leakage",
        "rotor leakage",
        "magnetising reactance",
        "rotor resistance",
        "rise of rotor resistance with slip",
        "start winding leakage",
        "core loss",
        "friction",
        "inertia",
        "slip at rated load",
        "load torque",
        "slip during the measurements",
        "source impedance",
        "capacitors that the plate was rated with",
        "run winding resistance",
        "start winding resistance",
    };
    for (std::size_t i = 0; i < unknownCount; ++i) {
        priors[i].name = names[i];
    }
    return priors;
}

}  // namespace splitstart::estimation
