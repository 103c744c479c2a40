#include "unit/motor/random_motors.h"

#include <cmath>
#include <numbers>

namespace splitstart
{

namespace
{

constexpr double line_V = 230;
constexpr double line_Hz = 60;
constexpr double omega_rad_s = 2 * std::numbers::pi * line_Hz;

HeldShaftResponse respond(const RandomMotor& motor, double slip, double winding_degC,
                          bool startCircuitIn)
{
    const HeldShaftTrial trial{motor.circuit, line_V, 1 - slip, winding_degC, startCircuitIn};
    return motor.bench({&trial, 1}).front();
}

class Draw
{
public:
    explicit Draw(std::mt19937& random) : random_(random) {}
    double around(double median, double spread)
    {
        return median * std::exp(spread * normal_(random_));
    }
    double between(double low, double high)
    {
        return std::uniform_real_distribution<double>(low, high)(random_);
    }

private:
    std::mt19937& random_;
    std::normal_distribution<double> normal_;
};

EquivalentCircuit drawCircuit(Draw& draw, bool hasRunCapacitor)
{
    EquivalentCircuit circuit;
    const double n = hasRunCapacitor ? draw.around(1.37, 0.13) : draw.around(1.22, 0.12);
    circuit.turnsRatio = n;
    circuit.main_ohm = draw.between(0.5, 3.5);
    circuit.auxiliary_ohm = circuit.main_ohm * draw.between(2, 4);
    circuit.mainLeakage_ohm = draw.around(1.2, 0.6) * circuit.main_ohm;
    circuit.mainMagnetizing_ohm = draw.around(23, 0.35) * circuit.mainLeakage_ohm;
    circuit.rotorMain_ohm = draw.around(1.2, 0.35) * circuit.main_ohm;
    circuit.rotorMainLeakage_ohm = circuit.mainLeakage_ohm;
    circuit.auxiliaryLeakage_ohm = draw.around(0.95, 0.12) * n * n * circuit.mainLeakage_ohm;
    circuit.auxiliaryMagnetizing_ohm = n * n * circuit.mainMagnetizing_ohm;
    circuit.rotorAuxiliary_ohm = n * n * circuit.rotorMain_ohm;
    circuit.rotorAuxiliaryLeakage_ohm = n * n * circuit.rotorMainLeakage_ohm;
    circuit.poles = 2;
    return circuit;
}

// A start capacitor with as much reactance as the stalled start winding, a run capacitor with four
// times that: the order of magnitude that is fitted.
book::StartParts partsFor(const EquivalentCircuit& circuit, bool hasRunCapacitor)
{
    const double n = circuit.turnsRatio;
    const double start_ohm = 2 * n * n * circuit.mainLeakage_ohm + 0.3 * circuit.auxiliary_ohm;
    const auto capacitor = [](double reactance_ohm, double dissipation) {
        return book::CapacitorBranch{.capacitance_F = 1 / (omega_rad_s * reactance_ohm),
                                     .resistance_ohm = dissipation * reactance_ohm};
    };
    book::StartParts parts;
    parts.startCapacitor = capacitor(start_ohm, 0.06);
    if (hasRunCapacitor) {
        parts.runCapacitor = capacitor(4 * start_ohm, 0.002);
    }
    return parts;
}

RandomMotor drawMotor(Draw& draw, bool hasRunCapacitor)
{
    RandomMotor motor;
    motor.circuit = drawCircuit(draw, hasRunCapacitor);
    motor.ratedSlip = draw.around(0.045, 0.35);
    motor.parts = partsFor(motor.circuit, hasRunCapacitor);
    motor.bench = book::benchWith(motor.parts, line_V, line_Hz);
    // Core loss is a share of rated volt-amps, which hang on the core loss in turn.
    const double coreShare = draw.around(0.04, 0.5);
    for (int i = 0; i < 20; ++i) {
        motor.ratedLoad_A = respond(motor, motor.ratedSlip, 75, false).compressor_A;
        motor.circuit.coreLoss_W = coreShare * line_V * motor.ratedLoad_A;
    }
    motor.circuit.friction_W = 0.01 * line_V * motor.ratedLoad_A;
    motor.lockedRotor_A = respond(motor, 1, 25, true).compressor_A;
    const double friction_Nm = motor.circuit.friction_W * (1 - motor.ratedSlip) / omega_rad_s;
    motor.ratedTorque_Nm = respond(motor, motor.ratedSlip, 75, false).torque_Nm - friction_Nm;
    return motor;
}

}  // namespace

RandomMotor randomMotor(std::mt19937& random, bool hasRunCapacitor)
{
    Draw draw(random);
    RandomMotor motor = drawMotor(draw, hasRunCapacitor);
    // A few draws are no motors: their rated torque is a small share of the volt-amps, or backward.
    while (motor.ratedTorque_Nm * omega_rad_s < 0.2 * line_V * motor.ratedLoad_A) {
        motor = drawMotor(draw, hasRunCapacitor);
    }
    motor.input.main_ohm = {motor.circuit.main_ohm, Origin::measured, 0.02};
    motor.input.auxiliary_ohm = {motor.circuit.auxiliary_ohm, Origin::measured, 0.02};
    motor.input.line_V = line_V;
    motor.input.measuredAt_V = line_V;
    motor.input.frequency_Hz = line_Hz;
    motor.input.nameplate.lockedRotor_A = motor.lockedRotor_A;
    motor.input.nameplate.ratedLoad_A = motor.ratedLoad_A;
    motor.input.hasRunCapacitor = hasRunCapacitor;
    motor.input.wantsAlternatives = false;
    return motor;
}

std::map<std::string, double> RandomMotor::truth() const
{
    return {{"turns ratio, start to run winding", circuit.turnsRatio},
            {"run winding leakage reactance", circuit.mainLeakage_ohm},
            {"rotor leakage reactance, run axis", circuit.rotorMainLeakage_ohm},
            {"run axis magnetizing reactance", circuit.mainMagnetizing_ohm},
            {"rotor resistance at 25 degC, run axis", circuit.rotorMain_ohm},
            {"start winding leakage reactance", circuit.auxiliaryLeakage_ohm},
            {"start axis magnetizing reactance", circuit.auxiliaryMagnetizing_ohm},
            {"rotor resistance at 25 degC, start axis", circuit.rotorAuxiliary_ohm},
            {"rotor leakage reactance, start axis", circuit.rotorAuxiliaryLeakage_ohm},
            {"slip at rated load", ratedSlip},
            {"core loss", circuit.coreLoss_W},
            {"load torque at rated load", ratedTorque_Nm}};
}

}  // namespace splitstart
