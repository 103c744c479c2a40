// Motors drawn at random from what the estimation takes for granted, with the plate that each would
// carry. The medians and spreads are written down here once more: a prior that is changed must be
// changed in both places, with a reason.
#pragma once

#include <map>
#include <random>
#include <string>

#include "motor/estimate.h"
#include "physics/book_bench.h"

namespace splitstart
{

enum class StartKind { resistance, capacitor, capacitorAndRunCapacitor };

struct RandomMotor {
    EquivalentCircuit circuit;
    double ratedSlip = 0;
    double measuredSlip = 0;   // while further measurements are taken
    double lockedRotor_A = 0;  // 25 degC, start circuit in
    double ratedLoad_A = 0;    // 75 degC, start circuit out
    double delivered_Nm = 0;   // at rated slip, friction taken off
    double ratedTorque_Nm = 0;
    SourceImpedance source;
    book::StartParts parts;
    double plateCapacitor_ratio = 1;  // capacitors that the plate was rated with / `parts`
    EstimationInput input;            // what a person knows of it, to the last digit
    HeldShaftBench bench;

    // With the shaft held at that slip; `stiff`: the volts hold at the terminals.
    [[nodiscard]] HeldShaftResponse respond(double slip, double winding_degC, Feed feed,
                                            bool stiff = true) const;
    // What that measurement shows, windings at 75 degC running and 25 degC stalled unless said.
    // Requires a quantity other than seconds to start.
    [[nodiscard]] double shown(MeasuredQuantity quantity,
                               std::optional<double> winding_degC = {}) const;
    // Seconds from rest to 90 % speed, by 20 000 speeds held one after another: start circuit in up
    // to 80 %, load as the input says.
    [[nodiscard]] double secondsToStart() const;
    // The two windings in each other's place, at `unloadedSpeed_ratio`.
    [[nodiscard]] TwoFeedTest twoFeedTest() const;
    // The true value of each estimated parameter, by its name for people.
    [[nodiscard]] std::map<std::string, double> truth() const;
};

// Resistances are read with the stated accuracy; all else in `input` is exact.
RandomMotor randomMotor(std::mt19937& random, StartKind kind);

// The plate's amps off by as much as its accuracy says.
void misstatePlate(RandomMotor& motor, std::mt19937& random);

}  // namespace splitstart
