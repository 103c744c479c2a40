#include "rating/check_readers.h"

namespace splitstart
{

namespace
{

constexpr double lightLoad_ratio = 0.1;  // of rated torque (assumed)
constexpr const char* neverOpened = "the contact never opened in any run";

HeldShaftMeasurement pointOf(const CheckContext& context,
                             const std::vector<HeldShaftMeasurement>& table, HeldPoint point,
                             double line_ratio)
{
    const double rated_Nm = context.evidence.ratedTorque_Nm;
    switch (point) {
        case HeldPoint::standstill:
            return heldAt(table, 0, line_ratio);
        case HeldPoint::latestOpening:
            return heldAt(table, latestOpening_ratio, line_ratio);
        case HeldPoint::lightLoad:
            return heldAt(table, speedAtTorque(table, lightLoad_ratio * rated_Nm, line_ratio),
                          line_ratio);
        case HeldPoint::fullLoad:
            break;
    }
    return heldAt(table, speedAtTorque(table, rated_Nm, line_ratio), line_ratio);
}

const char* pointSuffix(HeldPoint point)
{
    return point == HeldPoint::lightLoad  ? ", light load"
           : point == HeldPoint::fullLoad ? ", full load"
                                          : "";
}

}  // namespace

CheckReading overStarts(const CheckContext& context, std::optional<double> StartMeasurement::*field,
                        double limit, Bound bound, double scale, const std::string& absent)
{
    CheckReading reading;
    for (const StartRun& run : context.evidence.starts) {
        if (const std::optional<double>& value = run.measured.*field) {
            reading.comparisons.push_back(
                {cornerText(run.corner), *value * scale, limit, bound == Bound::atLeast});
        }
    }
    if (reading.comparisons.empty()) {
        reading.undecidedBecause = absent;
    }
    return reading;
}

std::string heldCornerText(const HeldShaftTable& table, double line_ratio)
{
    return cornerText({line_ratio, table.winding_degC, table.release, Pressures::equalised});
}

CheckReading overHeld(
    const CheckContext& context, StartContact contact, HeldPoint point,
    std::initializer_list<double> lines_ratio, double limit, Bound bound,
    const std::function<std::optional<double>(const HeldShaftMeasurement&)>& value)
{
    CheckReading reading;
    for (const HeldShaftTable& table : context.evidence.held) {
        for (const double line_ratio : lines_ratio) {
            const HeldShaftMeasurement held = pointOf(
                context,
                contact == StartContact::heldClosed ? table.startCircuitIn : table.startCircuitOut,
                point, line_ratio);
            if (const std::optional<double> taken = value(held)) {
                reading.comparisons.push_back(
                    {heldCornerText(table, line_ratio) + pointSuffix(point), *taken, limit,
                     bound == Bound::atLeast});
            }
        }
    }
    return reading;
}

CheckReading openingSpeeds(const CheckContext& context, double limit_ratio, Bound bound)
{
    return overStarts(context, &StartMeasurement::speedAtOpening_ratio, limit_ratio * 100, bound,
                      100, neverOpened);
}

CheckReading contactAmps(const CheckContext& context, const std::optional<double>& rating_A)
{
    if (!rating_A) {
        return {{}, "the contact's amps are not given"};
    }
    return overStarts(context, &StartMeasurement::contactCurrentMade_A, *rating_A, Bound::atMost);
}

}  // namespace splitstart
