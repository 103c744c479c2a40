// Start parts for a motor: those that suit it, and those in hand.
#pragma once

#include <optional>
#include <vector>

#include "calibration/true_machine.h"
#include "rating/check.h"
#include "spice/measurement.h"

namespace splitstart::calibration
{

struct PartSet {
    std::optional<PotentialRelay> potential = {};
    std::optional<CurrentRelay> current = {};
    std::optional<Ptc> ptc = {};
    std::optional<StartCapacitor> start = {};
    std::optional<RunCapacitor> run = {};
    Protector protector = {};
};

// The case with those parts in its circuit.
Case withPartSet(const Case& input, Family family, const PartSet& parts);

// Capacitors and PTC that suit, and placeholders for relay and protector.
PartSet firstParts(const MotorDraw& draw, const EquivalentCircuit& motor, Draw& random);

// Relay and protector that suit, by what the motor does with its shaft held.
void fitToMotor(PartSet& parts, const MotorDraw& draw, const RatedPoint& rated,
                const HeldShaftTable& cold, Draw& random);

// The parts in hand: in six of ten cases chosen well, in the others substitutes. `high` is a start
// with the suitable parts at 110 % line.
PartSet partsInHand(const PartSet& proper, const MotorDraw& draw, const RatedPoint& rated,
                    const HeldShaftTable& cold, const HeldShaftTable& hot,
                    const StartMeasurement& high, Draw& random);

}  // namespace splitstart::calibration
