#include "study/lesson_formula.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "motor/motor.h"
#include "motor/winding_temperature.h"

namespace splitstart
{

namespace
{

using Phasor = TextbookMotor::Phasor;
const Phasor j(0, 1);

// A field that stands still against the cage meets no rotor current; the formula's 1/slip does not
// get there.
constexpr double leastSlip_ratio = 1e-9;

}  // namespace

TextbookMotor::TextbookMotor(const EquivalentCircuit& circuit, double frequency_Hz,
                             double winding_degC, double rated_V)
    : radian_s_(2 * std::numbers::pi * frequency_Hz),
      synchronous_rad_s_(synchronousSpeed_rad_s(frequency_Hz, circuit.poles)),
      turns_ratio_(circuit.turnsRatio)
{
    const double frequency_ratio = frequency_Hz / circuit.frequency_Hz;
    const double known_degC = circuit.resistanceTemperature_degC;
    const auto copper_ohm = [&](double ohm) {
        return resistanceAt_ohm(ohm, known_degC, winding_degC);
    };
    const double cage = resistanceAt_ohm(1, known_degC, winding_degC, WindingMetal::aluminium);
    main_ohm_ = copper_ohm(circuit.main_ohm) + j * frequency_ratio * circuit.mainLeakage_ohm;
    auxiliary_ohm_ =
        copper_ohm(circuit.auxiliary_ohm) + j * frequency_ratio * circuit.auxiliaryLeakage_ohm;
    // Half of the core loss in each axis.
    const double core_siemens =
        circuit.coreLoss_W > 0 ? circuit.coreLoss_W / (2 * rated_V * rated_V) : 0;
    magnetizing_ohm_ =
        1.0 / (core_siemens + 1.0 / (j * frequency_ratio * circuit.mainMagnetizing_ohm));
    rotorResistance_ohm_ = cage * circuit.rotorMain_ohm;
    rotorLeakage_ohm_ = frequency_ratio * circuit.rotorMainLeakage_ohm;
    bar_ohm_ = cage * circuit.rotorBar_ohm;
    barCorner_Hz_ = cage * circuit.rotorBarCorner_Hz;
}

Phasor TextbookMotor::rotor_ohm(double slip_ratio) const
{
    const double slip = std::max(slip_ratio, leastSlip_ratio);
    const double line_Hz = radian_s_ / (2 * std::numbers::pi);
    const Phasor bar = j * slip * line_Hz / barCorner_Hz_;
    return (rotorResistance_ohm_ + bar_ohm_ * bar / (1.0 + bar)) / slip + j * rotorLeakage_ohm_;
}

Phasor TextbookMotor::field_ohm(double slip_ratio) const
{
    return 1.0 / (1.0 / magnetizing_ohm_ + 1.0 / rotor_ohm(slip_ratio));
}

double TextbookMotor::airGap_ohm(double slip_ratio) const
{
    const Phasor rotor = rotor_ohm(slip_ratio);
    return std::norm(field_ohm(slip_ratio) / rotor) * rotor.real();
}

double TextbookMotor::startingTorque_Nm(double main_A, double auxiliary_A, double lead_rad) const
{
    return 2 * turns_ratio_ * airGap_ohm(1) / synchronous_rad_s_ * main_A * auxiliary_A *
           std::sin(lead_rad);
}

TextbookMotor::SinglePhase TextbookMotor::singlePhase(double rms_V, Phasor source_ohm,
                                                      double speed_ratio) const
{
    const double slip = 1 - speed_ratio;
    const Phasor forward_ohm = field_ohm(slip);
    const Phasor backward_ohm = field_ohm(2 - slip);
    const double main_A =
        rms_V / std::abs(source_ohm + main_ohm_ + 0.5 * (forward_ohm + backward_ohm));
    // Each field has half the current in both axes.
    const double torque = 0.5 * main_A * main_A / synchronous_rad_s_;
    return {main_A, torque * airGap_ohm(slip), torque * airGap_ohm(2 - slip),
            0.5 * turns_ratio_ * main_A * std::abs(forward_ohm - backward_ohm)};
}

Phasor TextbookMotor::forward_A(Phasor main_A, Phasor auxiliary_A) const
{
    return 0.5 * (main_A - j * turns_ratio_ * auxiliary_A);
}

Phasor TextbookMotor::backward_A(Phasor main_A, Phasor auxiliary_A) const
{
    return 0.5 * (main_A + j * turns_ratio_ * auxiliary_A);
}

double TextbookMotor::pulsation_Nm(Phasor main_A, Phasor auxiliary_A, double speed_ratio) const
{
    const double slip = 1 - speed_ratio;
    return 2 * std::abs(forward_A(main_A, auxiliary_A)) *
           std::abs(backward_A(main_A, auxiliary_A)) *
           std::abs(field_ohm(slip) - field_ohm(2 - slip)) / synchronous_rad_s_;
}

double TextbookMotor::greatestTorque_F(double dissipationFactor) const
{
    // With x ohm of capacitor, torque goes as (a + b x) / (c + d x + e x^2): the numerator is
    // |Z_start| sin(lead) |Z_main|, the denominator |Z_start|^2.
    const Phasor main = main_ohm_ + field_ohm(1);
    const Phasor start = auxiliary_ohm_ + turns_ratio_ * turns_ratio_ * field_ohm(1);
    const double a = start.real() * main.imag() - start.imag() * main.real();
    const double b = dissipationFactor * main.imag() + main.real();
    const double c = std::norm(start);
    const double d = 2 * (dissipationFactor * start.real() - start.imag());
    const double e = 1 + dissipationFactor * dissipationFactor;
    const double reactance_ohm =
        (std::sqrt(a * a * e * e + b * e * (b * c - a * d)) - a * e) / (b * e);
    return 1 / (radian_s_ * reactance_ohm);
}

}  // namespace splitstart
