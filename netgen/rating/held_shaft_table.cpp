// Points of a table over speed.
#include <algorithm>
#include <cmath>

#include "rating/check.h"

namespace splitstart
{

HeldShaftMeasurement heldAt(std::span<const HeldShaftMeasurement> table, double speed_ratio,
                            double line_ratio)
{
    const auto after = std::lower_bound(
        table.begin(), table.end(), speed_ratio,
        [](const HeldShaftMeasurement& row, double speed) { return row.speed_ratio < speed; });
    const HeldShaftMeasurement& high = after == table.end() ? table.back() : *after;
    const HeldShaftMeasurement& low = after == table.begin() ? table.front() : *(after - 1);
    const double width = high.speed_ratio - low.speed_ratio;
    const double share =
        width > 0 ? std::clamp((speed_ratio - low.speed_ratio) / width, 0.0, 1.0) : 0.0;
    const auto between = [&](double HeldShaftMeasurement::*field, double scale) {
        return scale * std::lerp(low.*field, high.*field, share);
    };
    using M = HeldShaftMeasurement;
    M result;
    result.speed_ratio = speed_ratio;
    for (double M::*field :
         {&M::line_A, &M::compressor_A, &M::main_A, &M::auxiliary_A, &M::startWinding_V,
          &M::startToRun_V, &M::runWinding_V, &M::terminal_V}) {
        result.*field = between(field, line_ratio);
    }
    result.torque_Nm = between(&M::torque_Nm, line_ratio * line_ratio);
    result.line_W = between(&M::line_W, line_ratio * line_ratio);
    // The short way round: from 179 to -179 degrees it is 2 degrees, through 180.
    const double turn_deg = std::remainder(high.currentAngle_deg - low.currentAngle_deg, 360);
    result.currentAngle_deg = std::remainder(low.currentAngle_deg + share * turn_deg, 360);
    for (std::optional<double> M::*field :
         {&M::startCapacitor_V, &M::runCapacitor_V, &M::coil_V, &M::coil_A}) {
        if (low.*field && high.*field) {
            result.*field = line_ratio * std::lerp(*(low.*field), *(high.*field), share);
        }
    }
    return result;
}

std::optional<double> speedAtTorque(std::span<const HeldShaftMeasurement> table, double torque_Nm,
                                    double line_ratio)
{
    const double square = line_ratio * line_ratio;
    for (std::size_t i = table.size() - 1; i > 0; --i) {
        const double high = table[i].torque_Nm * square - torque_Nm;
        const double low = table[i - 1].torque_Nm * square - torque_Nm;
        if (high >= 0) {
            return table[i].speed_ratio;
        }
        if (low >= 0) {
            return std::lerp(table[i - 1].speed_ratio, table[i].speed_ratio, low / (low - high));
        }
    }
    return std::nullopt;
}

}  // namespace splitstart
