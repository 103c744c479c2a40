// Readings as a technician writes them down, for the tests of this folder.
#pragma once

#include <limits>
#include <string>
#include <vector>

#include "case/case.h"

namespace splitstart
{

inline constexpr double openLoop = std::numeric_limits<double>::infinity();

// Readings between the pins A, B and C, with nothing said about the meter.
inline Readings readingsOf(double ab_ohm, double bc_ohm, double ac_ohm)
{
    Readings readings;
    readings.readings = {{"A", "B", ab_ohm, {}}, {"B", "C", bc_ohm, {}}, {"A", "C", ac_ohm, {}}};
    return readings;
}

// The same with the leads' resistance given.
inline Readings readingsOf(double ab_ohm, double bc_ohm, double ac_ohm, double lead_ohm)
{
    Readings readings = readingsOf(ab_ohm, bc_ohm, ac_ohm);
    readings.lead_ohm = lead_ohm;
    readings.leadGiven = true;
    return readings;
}

}  // namespace splitstart
