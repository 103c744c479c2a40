// Time in which a motor comes up to speed, from its steady torque at held speeds.
#pragma once

#include <span>

#include "motor/estimate.h"

namespace splitstart
{

struct TorqueAtSpeed {
    double speed_ratio = 0;  // of synchronous speed
    double torque_Nm = 0;
};

// Seconds from rest to the last speed of the table: J dw/dt = torque - load, the torque between two
// points of the table on the straight line, the load rising with the turns of the shaft. Where less
// than a hundredth of the rated torque is left to accelerate, that hundredth is taken, so that a
// motor that stalls shows a long time instead of none.
// Leaves out the pulsations of both torques and the decay of the first cycles.
// Requires rising speeds from 0, at least two; inertia and synchronous speed above 0.
double runUpTime_s(std::span<const TorqueAtSpeed> table, double inertia_kgm2,
                   double synchronousSpeed_rad_s, double ratedTorque_Nm, const RunUpLoad& load);

// Seconds from rest to that share of synchronous speed, of which no start takes much less: the
// shaft meets no load at all, and between two points of the table there is the higher torque of
// both; where that is none, no time is counted. Newton's law of rotation, as runUpTime_s.
// Requires rising speeds from 0; inertia and synchronous speed above 0.
double fastestRunUp_s(std::span<const TorqueAtSpeed> table, double inertia_kgm2,
                      double synchronousSpeed_rad_s, double end_ratio);

}  // namespace splitstart
