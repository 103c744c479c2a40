#include "motor/run_up.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <stdexcept>

namespace splitstart
{

double runUpTime_s(std::span<const TorqueAtSpeed> table, double inertia_kgm2,
                   double synchronousSpeed_rad_s, double ratedTorque_Nm, const RunUpLoad& load)
{
    if (table.size() < 2 || !(inertia_kgm2 > 0) || !(synchronousSpeed_rad_s > 0)) {
        throw std::invalid_argument(
            "a run-up needs two speeds, an inertia and a synchronous speed");
    }
    constexpr double leastAccelerating_ratio = 0.01;
    constexpr int stepsBetween = 20;
    double time_s = 0;
    double turned_revolutions = 0;
    for (std::size_t i = 1; i < table.size(); ++i) {
        const TorqueAtSpeed& low = table[i - 1];
        const TorqueAtSpeed& high = table[i];
        const double step_rad_s =
            (high.speed_ratio - low.speed_ratio) * synchronousSpeed_rad_s / stepsBetween;
        for (int step = 0; step < stepsBetween; ++step) {
            const double share = (step + 0.5) / stepsBetween;
            const double built_ratio =
                load.buildUp_revolutions > 0
                    ? -std::expm1(-turned_revolutions / load.buildUp_revolutions)
                    : 1.0;
            const double load_Nm = ratedTorque_Nm * std::lerp(load.atRest_ratio, 1.0, built_ratio);
            const double least_Nm = std::max(leastAccelerating_ratio * ratedTorque_Nm, 1e-9);
            const double net_Nm =
                std::max(std::lerp(low.torque_Nm, high.torque_Nm, share) - load_Nm, least_Nm);
            const double step_s = inertia_kgm2 * step_rad_s / net_Nm;
            const double speed_rad_s =
                std::lerp(low.speed_ratio, high.speed_ratio, share) * synchronousSpeed_rad_s;
            time_s += step_s;
            turned_revolutions += speed_rad_s * step_s / (2 * std::numbers::pi);
        }
    }
    return time_s;
}

double fastestRunUp_s(std::span<const TorqueAtSpeed> table, double inertia_kgm2,
                      double synchronousSpeed_rad_s, double end_ratio)
{
    double time_s = 0;
    for (std::size_t i = 1; i < table.size() && table[i - 1].speed_ratio < end_ratio; ++i) {
        const double to_ratio = std::min(table[i].speed_ratio, end_ratio);
        const double step_rad_s = (to_ratio - table[i - 1].speed_ratio) * synchronousSpeed_rad_s;
        const double most_Nm = std::max(table[i - 1].torque_Nm, table[i].torque_Nm);
        time_s += most_Nm > 0 ? inertia_kgm2 * step_rad_s / most_Nm : 0;
    }
    return time_s;
}

}  // namespace splitstart
