#include "calibration/true_parts.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace splitstart::calibration
{

namespace
{

double radian(const MotorDraw& draw)
{
    return 2 * std::numbers::pi * draw.line_Hz;
}

Range around(double middle, double half_ratio)
{
    return {middle * (1 - half_ratio), middle * (1 + half_ratio)};
}

// A start capacitor's printed range is 0 to +20 %.
Range startRange(double printed_F)
{
    return {printed_F, 1.2 * printed_F};
}

Range runRange(double printed_F)
{
    return around(printed_F, 0.05);
}

// Never in the way of a start with suitable parts.
Protector strongProtector(const MotorDraw& draw)
{
    const double rated_A = draw.rated_VA / draw.rated_V;
    Protector protector;
    protector.location = ProtectorPlace::external;
    protector.ultimateTrip_A = 100 * rated_A;
    protector.tripCurrent_A = 500 * rated_A;
    protector.tripTime_s = {10, 20};
    protector.trip_degC = 150;
    protector.reset_degC = 70;
    return protector;
}

// The start winding's share of the parts: at standstill with the rotor in it.
struct StalledWindings {
    double main_ohm = 0;
    double mainReactance_ohm = 0;
    double auxiliary_ohm = 0;
    double auxiliaryReactance_ohm = 0;
};

StalledWindings stalledWindings(const EquivalentCircuit& motor)
{
    return {motor.main_ohm + motor.rotorMain_ohm,
            motor.mainLeakage_ohm + motor.rotorMainLeakage_ohm,
            motor.auxiliary_ohm + motor.rotorAuxiliary_ohm,
            motor.auxiliaryLeakage_ohm + motor.rotorAuxiliaryLeakage_ohm};
}

// The highest speed at which the table gives that torque, or its last.
HeldShaftMeasurement loaded(const std::vector<HeldShaftMeasurement>& table, double torque_Nm,
                            double line_ratio)
{
    return heldAt(table, speedAtTorque(table, torque_Nm, line_ratio).value_or(0.9), line_ratio);
}

}  // namespace

Case withPartSet(const Case& input, Family family, const PartSet& parts)
{
    Case result = input;
    CircuitChoice choice = result.circuit.value_or(CircuitChoice());
    result.parts.parts.clear();
    result.parts.invented = true;
    const auto add = [&](const char* id, const PartData& data) {
        CatalogPart part;
        part.id = id;
        part.invented = true;
        part.data = data;
        result.parts.parts.push_back(part);
        return std::string(id);
    };
    choice.type = family == Family::pscPtc          ? "PSC"
                  : family == Family::cscrPotential ? "CSCR"
                  : hasStartCapacitor(family)       ? "CSIR"
                                                    : "RSIR";
    choice.variant = "standard";
    if (parts.potential) {
        choice.startDevice = add("relay", *parts.potential);
    } else if (parts.current) {
        choice.startDevice = add("relay", *parts.current);
    } else {
        choice.startDevice = add("pill", parts.ptc.value());
    }
    if (parts.start) {
        choice.startCapacitor = add("start", *parts.start);
    }
    if (parts.run) {
        choice.runCapacitor = add("run", *parts.run);
    }
    choice.protector = add("overload", parts.protector);
    result.circuit = choice;
    return result;
}

PartSet firstParts(const MotorDraw& draw, const EquivalentCircuit& motor, Draw& random)
{
    PartSet parts;
    parts.protector = strongProtector(draw);
    const StalledWindings stalled = stalledWindings(motor);
    if (hasStartCapacitor(draw.family)) {
        // Currents at right angles at standstill, and as far from that as economy goes.
        const double quadrature_ohm =
            stalled.auxiliaryReactance_ohm +
            stalled.auxiliary_ohm * stalled.main_ohm / stalled.mainReactance_ohm;
        StartCapacitor capacitor;
        capacitor.capacitance_F =
            startRange(1 / (radian(draw) * quadrature_ohm * random.logUniform(0.8, 2.2)) / 1.1);
        capacitor.rated_V = 330;
        capacitor.bleed_ohm = 15e3;
        capacitor.bleed_W = 2;
        parts.start = capacitor;
    }
    if (hasRunCapacitor(draw.family)) {
        RunCapacitor capacitor;
        const double farads = draw.runCapacitor_k * draw.rated_VA / draw.turns_ratio /
                              (draw.rated_V * draw.rated_V * std::hypot(1, draw.turns_ratio)) /
                              radian(draw);
        capacitor.capacitance_F = runRange(farads);
        capacitor.rated_V = 440;
        parts.run = capacitor;
    }
    const double base_ohm = draw.rated_V * draw.rated_V / draw.rated_VA;
    if (draw.family == Family::rsirPtc || draw.family == Family::pscPtc) {
        Ptc ptc;
        const double cold_ohm =
            draw.family == Family::rsirPtc
                ? random.uniform(0.25, 0.7) *
                      std::hypot(stalled.auxiliary_ohm, stalled.auxiliaryReactance_ohm)
                : random.uniform(0.3, 0.8) * base_ohm;
        ptc.cold_ohm = around(cold_ohm, 0.17);
        ptc.switchCurrent_A = draw.rated_V / std::hypot(stalled.auxiliary_ohm + cold_ohm,
                                                        stalled.auxiliaryReactance_ohm);
        const double slowest_s = random.logUniform(0.5, 1.2);
        ptc.switchTime_s = {random.uniform(0.6, 0.75) * slowest_s, slowest_s};
        ptc.running_W = random.uniform(2, 4);
        ptc.runningGiven = true;
        parts.ptc = ptc;
    } else if (draw.family == Family::csirPotential || draw.family == Family::cscrPotential) {
        PotentialRelay relay;
        relay.coil_ohm = 55 * draw.rated_V;
        relay.pickUp_V = around(draw.rated_V, 0.04);
        relay.dropOut_V = around(0.4 * draw.rated_V, 0.2);
        parts.potential = relay;
    } else {
        CurrentRelay relay;
        relay.coil_ohm = 0.3 * draw.rated_V / draw.rated_VA;
        relay.pullIn_A = around(3 * draw.rated_VA / draw.rated_V, 0.03);
        relay.dropOut_A = around(2.5 * draw.rated_VA / draw.rated_V, 0.03);
        relay.attitude = RelayAttitude::upright;
        parts.current = relay;
    }
    return parts;
}

void fitToMotor(PartSet& parts, const MotorDraw& draw, const RatedPoint& rated,
                const HeldShaftTable& cold, Draw& random)
{
    const double leaves_ratio = random.uniform(0.75, 0.80);
    const HeldShaftMeasurement leaving = heldAt(cold.startCircuitIn, leaves_ratio, 1);
    if (parts.potential) {
        PotentialRelay& relay = *parts.potential;
        relay.pickUp_V = around(leaving.coil_V.value(), random.uniform(0.03, 0.06));
        relay.coil_ohm = 55 * relay.pickUp_V.middle();
        relay.dropOut_V = {0.15 * relay.pickUp_V.middle(), 0.35 * relay.pickUp_V.middle()};
    }
    if (parts.current) {
        CurrentRelay& relay = *parts.current;
        // It has to make at 85 % line, and to stay open in running.
        constexpr double mostPullIn_ratio = 0.8;  // of the run winding's stalled amps
        constexpr double gap_ratio = 1.12;
        const double stalled_A = cold.startCircuitOut.front().coil_A.value();
        const double running_A = loaded(cold.startCircuitOut, rated.torque_Nm, 1).coil_A.value();
        const double half_ratio = random.uniform(0.02, 0.04);
        const double dropOut_A =
            std::max(std::min(leaving.coil_A.value(), mostPullIn_ratio / gap_ratio * stalled_A),
                     1.15 * running_A);
        relay.dropOut_A = around(dropOut_A, half_ratio);
        relay.pullIn_A = around(gap_ratio * dropOut_A, half_ratio);
        relay.coil_ohm = 0.3 * draw.rated_V / draw.rated_VA;
    }
}

namespace
{

// How the parts in hand were come by: chosen by somebody who knows, with room to spare, or
// substitutes from the van, of which any rating may be a half or twice what is needed.
class Choice
{
public:
    explicit Choice(Draw& random) : random_(random), substitute_(random.chance(0.4)) {}
    // A rating over what the part meets.
    [[nodiscard]] double rating() const
    {
        return substitute_ ? random_.logUniform(0.55, 2.0) : random_.uniform(1.15, 2.0);
    }
    // A value over the one that suits.
    [[nodiscard]] double value(double most_ratio) const
    {
        return substitute_ ? random_.logUniform(1 / most_ratio, most_ratio)
                           : random_.uniform(0.95, 1.05);
    }
    [[nodiscard]] Draw& random() const { return random_; }
    [[nodiscard]] bool substitute() const { return substitute_; }

private:
    Draw& random_;
    bool substitute_;
};

void choosePotential(PotentialRelay& relay, const HeldShaftTable& hot, const RatedPoint& rated,
                     const HeldShaftTable& cold, const StartMeasurement& high, const Choice& choice)
{
    const double half_ratio = choice.random().uniform(0.03, 0.06);
    relay.pickUp_V = around(relay.pickUp_V.middle() * choice.value(1.35), half_ratio);
    // A warm coil drops out at a sixth more volts.
    const double running_V = loaded(hot.startCircuitOut, rated.torque_Nm, 0.85).coil_V.value();
    const double highest_V =
        std::min(running_V / 1.17 * choice.random().uniform(0.3, choice.substitute() ? 1.1 : 0.7),
                 0.85 * relay.pickUp_V.minimum);
    relay.dropOut_V = {choice.random().uniform(0.4, 0.75) * highest_V, highest_V};
    const double light_V = loaded(cold.startCircuitOut, 0.1 * rated.torque_Nm, 1.1).coil_V.value();
    relay.coilContinuous_V = light_V * choice.rating();
    relay.contact_A = high.contactCurrentMade_A.value_or(10) * choice.rating();
}

void chooseCurrent(CurrentRelay& relay, const HeldShaftTable& cold, const RatedPoint& rated,
                   const StartMeasurement& high, const Choice& choice)
{
    const double half_ratio = choice.random().uniform(0.02, 0.04);
    const double dropOut_A = relay.dropOut_A.middle() * choice.value(1.35);
    relay.dropOut_A = around(dropOut_A, half_ratio);
    relay.pullIn_A = around(dropOut_A * choice.random().uniform(1.1, 1.3), half_ratio);
    const double running_A = loaded(cold.startCircuitOut, rated.torque_Nm, 0.85).coil_A.value();
    relay.coilContinuous_A = running_A * choice.rating();
    relay.contact_A = high.contactCurrentMade_A.value_or(10) * choice.rating();
}

void choosePtc(Ptc& ptc, const StartMeasurement& high, const Choice& choice)
{
    ptc.cold_ohm = around(ptc.cold_ohm.middle() * choice.value(1.6), 0.17);
    ptc.switchCurrent_A *= choice.value(1.25);
    const double slowest_s = ptc.switchTime_s.maximum * choice.value(1.3);
    ptc.switchTime_s = {choice.random().uniform(0.6, 0.75) * slowest_s, slowest_s};
    ptc.rated_V = high.ptcWorst_V.value_or(300) * choice.rating();
    ptc.inrush_A = high.auxiliaryPeak_A.value_or(10) / std::numbers::sqrt2 * choice.rating();
    ptc.recovery_s = choice.random().uniform(120, 400);
}

void chooseCapacitors(PartSet& parts, const HeldShaftTable& cold, const RatedPoint& rated,
                      const StartMeasurement& high, const Choice& choice)
{
    Draw& random = choice.random();
    if (parts.start) {
        StartCapacitor& capacitor = *parts.start;
        if (random.chance(0.5)) {
            capacitor.capacitance_F =
                startRange(capacitor.capacitance_F.minimum * choice.value(1.7));
        }
        capacitor.rated_V = high.startCapacitorWorst_V.value_or(250) * choice.rating();
        capacitor.bleed_ohm = random.logUniform(8e3, 40e3);
        capacitor.bleed_W = random.chance(0.5) ? 2 : 1;
        if (random.chance(0.5)) {
            capacitor.longestOn_s = high.startCircuitIn_s.value_or(0.5) * 2 * choice.rating();
        }
    }
    if (parts.run) {
        RunCapacitor& capacitor = *parts.run;
        if (random.chance(0.3)) {
            capacitor.capacitance_F =
                runRange(capacitor.capacitance_F.middle() * choice.value(1.4));
        }
        capacitor.rated_V =
            loaded(cold.startCircuitOut, 0.1 * rated.torque_Nm, 1.1).runCapacitor_V.value_or(400) *
            choice.rating();
    }
}

// Suitable where it trips at one and a half times rated amps beside hot windings.
Protector protectorInHand(const MotorDraw& draw, const RatedPoint& rated, const Choice& choice)
{
    Draw& random = choice.random();
    Protector protector;
    const bool internal = draw.rated_VA > 1500 && random.chance(0.6);
    protector.location = internal ? ProtectorPlace::internal : ProtectorPlace::external;
    protector.trip_degC = internal ? 150 : 120;
    protector.reset_degC = internal ? 70 : 65;
    protector.ambient_degC = internal ? 65 : 25;
    const double besideHot_degC = internal ? 110 : 67.5;
    const double hotShare = std::sqrt((protector.trip_degC - besideHot_degC) /
                                      (protector.trip_degC - protector.ambient_degC));
    protector.ultimateTrip_A =
        1.45 * rated.load_A / hotShare *
        (choice.substitute() ? random.logUniform(0.6, 1.7) : random.uniform(0.95, 1.2));
    protector.tripCurrent_A =
        std::max(rated.lockedRotor_A * random.uniform(0.9, 1.1), 1.3 * protector.ultimateTrip_A);
    const double slowest_s = random.logUniform(1.5, 12);
    protector.tripTime_s = {random.uniform(0.5, 0.75) * slowest_s, slowest_s};
    return protector;
}

}  // namespace

PartSet partsInHand(const PartSet& proper, const MotorDraw& draw, const RatedPoint& rated,
                    const HeldShaftTable& cold, const HeldShaftTable& hot,
                    const StartMeasurement& high, Draw& random)
{
    PartSet parts = proper;
    const Choice choice(random);
    if (parts.potential) {
        choosePotential(*parts.potential, hot, rated, cold, high, choice);
    }
    if (parts.current) {
        chooseCurrent(*parts.current, cold, rated, high, choice);
    }
    if (parts.ptc) {
        choosePtc(*parts.ptc, high, choice);
    }
    chooseCapacitors(parts, cold, rated, high, choice);
    parts.protector = protectorInHand(draw, rated, choice);
    return parts;
}

}  // namespace splitstart::calibration
