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

struct RandomMotor {
    EquivalentCircuit circuit;
    double ratedSlip = 0;
    double lockedRotor_A = 0;  // 25 degC, start circuit in
    double ratedLoad_A = 0;    // 75 degC, start circuit out
    double ratedTorque_Nm = 0;
    book::StartParts parts;
    EstimationInput input;  // what a person knows of it, to the last digit
    HeldShaftBench bench;

    // The true value of each estimated parameter, by its name for people.
    [[nodiscard]] std::map<std::string, double> truth() const;
};

RandomMotor randomMotor(std::mt19937& random, bool hasRunCapacitor);

}  // namespace splitstart
