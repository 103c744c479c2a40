#include "unit/motor/random_motors.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <stdexcept>

namespace splitstart
{

namespace
{

constexpr double line_V = 230;
constexpr double line_Hz = 60;
constexpr double omega_rad_s = 2 * std::numbers::pi * line_Hz;  // two poles: also that of the field
constexpr double accuracy_ratio = 0.02;                         // of the resistances, 95 %

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

// Everything that the priors leave open, before the machine's size is known.
struct Shares {
    double turnsRatio, leakage, rotorLeakage, magnetizing, rotorResistance, rotorRise;
    double auxiliaryLeakage, coreLoss, friction, inertia_s, loadTorque;
};

Shares drawShares(Draw& draw, StartKind kind)
{
    Shares shares{};
    shares.turnsRatio = kind == StartKind::resistance  ? draw.around(0.95, 0.30)
                        : kind == StartKind::capacitor ? draw.around(1.20, 0.18)
                                                       : draw.around(1.35, 0.20);
    shares.leakage = draw.around(1.85, 0.45);
    shares.rotorLeakage = draw.around(0.88, 0.25);
    shares.magnetizing = draw.around(28, 0.35);
    shares.rotorResistance = draw.around(1, 0.40);
    shares.rotorRise = draw.around(0.04, 1.0);
    shares.auxiliaryLeakage = draw.around(1.0, 0.25);
    shares.coreLoss = draw.around(1, 0.55);
    shares.friction = draw.around(0.018, 0.75);
    shares.inertia_s = draw.around(0.13, 0.70);
    shares.loadTorque = draw.around(1, 0.10);
    return shares;
}

// From a median of small motors (700 VA and less) to one of large motors (1600 VA and more).
double bySize(double rated_VA, double small, double large)
{
    const double share = std::log(rated_VA / 700) / std::log(1600.0 / 700);
    return small + (large - small) * std::clamp(share, 0.0, 1.0);
}

// The windings and the cage of a machine of that size.
void applyShares(EquivalentCircuit& circuit, const Shares& shares, double rated_VA)
{
    const double n2 = shares.turnsRatio * shares.turnsRatio;
    circuit.turnsRatio = shares.turnsRatio;
    circuit.mainLeakage_ohm = shares.leakage * circuit.main_ohm;
    circuit.mainMagnetizing_ohm = shares.magnetizing * circuit.mainLeakage_ohm;
    circuit.rotorMain_ohm = bySize(rated_VA, 1.55, 1.3) * shares.rotorResistance * circuit.main_ohm;
    circuit.rotorMainLeakage_ohm = shares.rotorLeakage * circuit.mainLeakage_ohm;
    circuit.auxiliaryLeakage_ohm = shares.auxiliaryLeakage * n2 * circuit.mainLeakage_ohm;
    circuit.auxiliaryMagnetizing_ohm = n2 * circuit.mainMagnetizing_ohm;
    circuit.rotorAuxiliary_ohm = n2 * circuit.rotorMain_ohm;
    circuit.rotorAuxiliaryLeakage_ohm = n2 * circuit.rotorMainLeakage_ohm;
    // Half of the bar has come at line frequency.
    circuit.rotorBar_ohm = 2 * shares.rotorRise * circuit.rotorMain_ohm;
    circuit.rotorBarCorner_Hz = line_Hz;
    circuit.coreLoss_W = bySize(rated_VA, 0.055, 0.038) * shares.coreLoss * rated_VA;
    circuit.friction_W = shares.friction * rated_VA;
    // Seconds of an output of 0.65 of the volt-amps.
    circuit.inertia_kgm2 = 2 * shares.inertia_s * 0.65 * rated_VA / (omega_rad_s * omega_rad_s);
}

// A start capacitor of about as much reactance as the stalled start winding of the typical motor
// with these resistances, a run capacitor of four times that. They hang on nothing else of the
// motor: a capacitor that told something of it would be evidence that the estimation does not use.
// A resistance start has next to nothing there.
book::StartParts partsFor(Draw& draw, const EquivalentCircuit& circuit, StartKind kind)
{
    const double n = kind == StartKind::capacitor ? 1.2 : 1.35;
    const double start_ohm = draw.between(0.8, 1.25) *
                             (2 * n * n * 1.85 * circuit.main_ohm + 0.3 * circuit.auxiliary_ohm);
    const auto capacitor = [](double reactance_ohm, double dissipation) {
        return book::CapacitorBranch{.capacitance_F = 1 / (omega_rad_s * reactance_ohm),
                                     .resistance_ohm = dissipation * reactance_ohm};
    };
    book::StartParts parts;
    parts.startCapacitor =
        kind == StartKind::resistance ? capacitor(0.005, 2) : capacitor(start_ohm, 0.06);
    if (kind == StartKind::capacitorAndRunCapacitor) {
        parts.runCapacitor = capacitor(4 * start_ohm, 0.002);
    }
    return parts;
}

RandomMotor drawMotor(Draw& draw, StartKind kind)
{
    RandomMotor motor;
    motor.circuit.poles = 2;
    motor.circuit.main_ohm = draw.around(1.5, 0.6);
    motor.circuit.auxiliary_ohm = motor.circuit.main_ohm * draw.between(2, 4);
    const Shares shares = drawShares(draw, kind);
    const double slip = draw.around(1, 0.40);
    const double sourceRatio = draw.around(1, 0.75);
    motor.plateCapacitor_ratio = kind == StartKind::resistance ? 1 : draw.around(1, 0.20);
    motor.parts = partsFor(draw, motor.circuit, kind);
    motor.bench = book::benchWith(motor.parts, line_V, line_Hz);
    motor.input.line_V = line_V;
    double rated_VA = 1000;
    // Several shares hang on the volt-amps, which hang on them in turn.
    for (int i = 0; i < 30; ++i) {
        applyShares(motor.circuit, shares, rated_VA);
        motor.ratedSlip = std::min(bySize(rated_VA, 0.045, 0.036) * slip, 0.5);
        motor.ratedLoad_A = motor.respond(motor.ratedSlip, 75, Feed::startCircuitOut).compressor_A;
        rated_VA = line_V * motor.ratedLoad_A;
    }
    motor.lockedRotor_A = motor.respond(1, 25, Feed::startCircuitIn).compressor_A;
    const double friction_Nm = motor.circuit.friction_W * (1 - motor.ratedSlip) / omega_rad_s;
    motor.delivered_Nm =
        motor.respond(motor.ratedSlip, 75, Feed::startCircuitOut).torque_Nm - friction_Nm;
    motor.ratedTorque_Nm = shares.loadTorque * motor.delivered_Nm;
    motor.input.source = {0.15, 0.08 / omega_rad_s};
    motor.source = {motor.input.source.resistance_ohm * sourceRatio,
                    motor.input.source.inductance_H * sourceRatio};
    // While it is measured the pump asks for 0.9 of its torque, within 35 % in 95 of 100 cases:
    // drawn from the wide prior of the slip, kept as often as the load asks.
    for (int i = 0; i < 500; ++i) {
        motor.measuredSlip = std::min(motor.ratedSlip * draw.around(0.9, 0.6), 0.5);
        const double load_ratio =
            motor.respond(motor.measuredSlip, 75, Feed::startCircuitOut, false).torque_Nm /
            motor.ratedTorque_Nm;
        const double off = std::log(std::max(load_ratio, 1e-3) / 0.9) / (0.35 / 1.96);
        if (draw.between(0, 1) < std::exp(-0.5 * off * off)) {
            break;
        }
    }
    motor.input.main_ohm = {draw.around(motor.circuit.main_ohm, accuracy_ratio / 1.96),
                            Origin::measured, accuracy_ratio};
    motor.input.auxiliary_ohm = {draw.around(motor.circuit.auxiliary_ohm, accuracy_ratio / 1.96),
                                 Origin::measured, accuracy_ratio};
    return motor;
}

}  // namespace

namespace
{

// How probable that rated point is: output about 0.45 of the volt-amps, with a run capacitor
// 0.55, pull-out torque about 2.1 times the rated torque, each within 60 % in 95 of 100 cases.
double usualness(const RandomMotor& motor, bool hasRunCapacitor)
{
    if (motor.delivered_Nm <= 0) {
        return 0;
    }
    double most_Nm = 0;
    for (const double speed_ratio : {0.45, 0.58, 0.68, 0.76, 0.83, 0.9}) {
        most_Nm =
            std::max(most_Nm, motor.respond(1 - speed_ratio, 75, Feed::startCircuitOut).torque_Nm);
    }
    const double output_ratio =
        motor.delivered_Nm * (1 - motor.ratedSlip) * omega_rad_s / (line_V * motor.ratedLoad_A);
    const double deviation = 0.6 / 1.96;
    const double likelyOutput_ratio = hasRunCapacitor ? 0.55 : 0.45;
    const double off = std::hypot(std::log(output_ratio / likelyOutput_ratio),
                                  std::log(std::max(most_Nm / motor.delivered_Nm, 1e-3) / 2.1)) /
                       deviation;
    return std::exp(-0.5 * off * off);
}

}  // namespace

RandomMotor randomMotor(std::mt19937& random, StartKind kind)
{
    Draw draw(random);
    RandomMotor motor = drawMotor(draw, kind);
    const bool hasRunCapacitor = kind == StartKind::capacitorAndRunCapacitor;
    while (draw.between(0, 1) > usualness(motor, hasRunCapacitor)) {
        motor = drawMotor(draw, kind);
    }
    motor.input.measuredAt_V = line_V;
    motor.input.frequency_Hz = line_Hz;
    motor.input.nameplate.lockedRotor_A = motor.lockedRotor_A;
    motor.input.nameplate.ratedLoad_A = motor.ratedLoad_A;
    motor.input.hasRunCapacitor = hasRunCapacitor;
    motor.input.hasStartCapacitor = kind != StartKind::resistance;
    motor.input.runUp = {0.08, 60};
    return motor;
}

void misstatePlate(RandomMotor& motor, std::mt19937& random)
{
    Nameplate& plate = motor.input.nameplate;
    Draw draw(random);
    // The figure's own accuracy, and 2 % that a machine of sines leaves out.
    const double spread = std::hypot(plate.accuracy_ratio, 0.02) / 1.96;
    plate.lockedRotor_A = draw.around(*plate.lockedRotor_A, spread);
    plate.ratedLoad_A = draw.around(*plate.ratedLoad_A, spread);
}

HeldShaftResponse RandomMotor::respond(double slip, double winding_degC, Feed feed,
                                       bool stiff) const
{
    HeldShaftTrial trial{circuit,  input.line_V,
                         1 - slip, winding_degC,
                         feed,     stiff ? std::nullopt : std::optional<SourceImpedance>(source)};
    // Stiff: as the plate was rated; of its two amps those at rated load tell too little to matter.
    trial.capacitor_ratio = stiff && slip == 1 ? plateCapacitor_ratio : 1;
    return bench({&trial, 1}).front();
}

double RandomMotor::shown(MeasuredQuantity quantity, std::optional<double> winding_degC) const
{
    const auto running = [&] {
        return respond(measuredSlip, winding_degC.value_or(75), Feed::startCircuitOut, false);
    };
    const auto stalled = [&](Feed feed = Feed::startCircuitIn) {
        return respond(1, winding_degC.value_or(25), feed, false);
    };
    const auto powerFactor = [](const HeldShaftResponse& there) {
        return there.compressor_W / (there.terminal_V * there.compressor_A);
    };
    using Q = MeasuredQuantity;
    switch (quantity) {
        case Q::startCommonVoltsRunning:
            return running().startWinding_V;
        case Q::startCommonVoltsStalled:
            return stalled().startWinding_V;
        case Q::lineAmpsRunning:
            return running().compressor_A;
        case Q::lineAmpsStalled:
            return stalled().compressor_A;
        case Q::startLeadAmpsRunning:
            return running().auxiliary_A;
        case Q::startLeadAmpsStalled:
            return stalled().auxiliary_A;
        case Q::lineWattsRunning:
            return running().compressor_W;
        case Q::lineWattsStalled:
            return stalled().compressor_W;
        case Q::supplyVoltsStalled:
            return stalled().terminal_V;
        case Q::turnsRatio:
            return circuit.turnsRatio;
        case Q::runCapacitorVoltsRunning:
            return running().runCapacitor_V;
        case Q::powerFactorRunning:
            return powerFactor(running());
        case Q::powerFactorStalled:
            return powerFactor(stalled());
        case Q::runWindingAmpsStalled:
            return stalled(Feed::runWindingAlone).compressor_A;
        case Q::runWindingWattsStalled:
            return stalled(Feed::runWindingAlone).compressor_W;
        case Q::secondsToStart:
            break;
    }
    throw std::invalid_argument("not read at a held shaft");
}

double RandomMotor::secondsToStart() const
{
    constexpr int steps = 20000;
    constexpr double end_ratio = 0.9;
    double time_s = 0;
    double turned_rev = 0;
    for (int i = 0; i < steps; ++i) {
        const double speed_ratio = end_ratio * (i + 0.5) / steps;
        const double torque_Nm =
            respond(1 - speed_ratio, 25,
                    speed_ratio < 0.8 ? Feed::startCircuitIn : Feed::startCircuitOut, false)
                .torque_Nm;
        const double built = std::min(turned_rev / input.runUp.buildUp_revolutions, 1.0);
        const double load_Nm =
            ratedTorque_Nm * (input.runUp.atRest_ratio + (1 - input.runUp.atRest_ratio) * built);
        const double step_s = circuit.inertia_kgm2 * end_ratio * omega_rad_s / steps /
                              std::max(torque_Nm - load_Nm, 0.01 * ratedTorque_Nm);
        time_s += step_s;
        turned_rev += speed_ratio * line_Hz * step_s;
    }
    return time_s;
}

TwoFeedTest RandomMotor::twoFeedTest() const
{
    constexpr double unloadedSlip = 0.01;
    const double n2 = circuit.turnsRatio * circuit.turnsRatio;
    EquivalentCircuit turned = circuit;
    std::swap(turned.main_ohm, turned.auxiliary_ohm);
    std::swap(turned.mainLeakage_ohm, turned.auxiliaryLeakage_ohm);
    std::swap(turned.mainMagnetizing_ohm, turned.auxiliaryMagnetizing_ohm);
    std::swap(turned.rotorMain_ohm, turned.rotorAuxiliary_ohm);
    std::swap(turned.rotorMainLeakage_ohm, turned.rotorAuxiliaryLeakage_ohm);
    turned.rotorBar_ohm *= n2;
    turned.coreLoss_W /= n2;
    turned.turnsRatio = 1 / circuit.turnsRatio;
    TwoFeedTest test;
    test.runFed_V = line_V;
    test.startOpen_V = respond(unloadedSlip, 25, Feed::runWindingAlone).startWinding_V;
    test.startFed_V = line_V;
    const HeldShaftTrial trial{turned, line_V, 1 - unloadedSlip, 25, Feed::runWindingAlone};
    test.runOpen_V = bench({&trial, 1}).front().startWinding_V;
    return test;
}

std::map<std::string, double> RandomMotor::truth() const
{
    return {{"run winding resistance at 25 degC", circuit.main_ohm},
            {"start winding resistance at 25 degC", circuit.auxiliary_ohm},
            {"turns ratio, start to run winding", circuit.turnsRatio},
            {"run winding leakage reactance", circuit.mainLeakage_ohm},
            {"rotor leakage reactance, run axis", circuit.rotorMainLeakage_ohm},
            {"run axis magnetising reactance", circuit.mainMagnetizing_ohm},
            {"rotor resistance at 25 degC, run axis", circuit.rotorMain_ohm},
            {"rise of the rotor's resistance at line frequency",
             circuit.rotorBar_ohm / (2 * circuit.rotorMain_ohm)},
            {"start winding leakage reactance", circuit.auxiliaryLeakage_ohm},
            {"start axis magnetising reactance", circuit.auxiliaryMagnetizing_ohm},
            {"rotor resistance at 25 degC, start axis", circuit.rotorAuxiliary_ohm},
            {"rotor leakage reactance, start axis", circuit.rotorAuxiliaryLeakage_ohm},
            {"slip at rated load", ratedSlip},
            {"core loss", circuit.coreLoss_W},
            {"inertia of rotor and crank", circuit.inertia_kgm2},
            {"load torque at rated load", ratedTorque_Nm},
            {"source resistance of the supply", source.resistance_ohm}};
}

}  // namespace splitstart
