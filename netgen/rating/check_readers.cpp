#include "rating/check_readers.h"

#include <fmt/format.h>

#include <algorithm>

#include "motor/compressor_load.h"

namespace splitstart
{

namespace
{

constexpr double lightLoad_ratio = 0.1;  // of rated torque (assumed)

// Empty where the motor cannot carry the load of that point.
std::optional<HeldShaftMeasurement> pointOf(const CheckContext& context,
                                            const std::vector<HeldShaftMeasurement>& table,
                                            HeldPoint point, double line_ratio)
{
    const double rated_Nm = context.evidence.ratedTorque_Nm;
    std::optional<double> speed_ratio;
    switch (point) {
        case HeldPoint::standstill:
            speed_ratio = 0;
            break;
        case HeldPoint::latestOpening:
            speed_ratio = latestOpening_ratio;
            break;
        case HeldPoint::lightLoad:
            speed_ratio = speedAtTorque(table, lightLoad_ratio * rated_Nm, line_ratio);
            break;
        case HeldPoint::fullLoad:
            speed_ratio = speedAtTorque(table, rated_Nm, line_ratio);
            break;
    }
    return speed_ratio ? std::optional(heldAt(table, *speed_ratio, line_ratio)) : std::nullopt;
}

const char* pointSuffix(HeldPoint point)
{
    return point == HeldPoint::lightLoad  ? ", light load"
           : point == HeldPoint::fullLoad ? ", full load"
                                          : "";
}

}  // namespace

double lowestLine_ratio(const Case& input)
{
    return std::min(0.85, input.supply.voltage_V / ratedVoltage_V(input));
}

double highestLine_ratio(const Case& input)
{
    return std::max(1.10, input.supply.voltage_V / ratedVoltage_V(input));
}

std::optional<RunSection> runSection(const CheckContext& context)
{
    constexpr auto place = &CircuitChoice::runCapacitor;
    if (const auto* dual = chosenPart<DualRunCapacitor>(context.input, place)) {
        return RunSection{dual->compressor_F, dual->rated_V};
    }
    const auto* single = chosenPart<RunCapacitor>(context.input, place);
    return single != nullptr ? std::optional(RunSection{single->capacitance_F, single->rated_V})
                             : std::nullopt;
}

std::optional<RunSection> fanSection(const CheckContext& context)
{
    if (const auto* dual =
            chosenPart<DualRunCapacitor>(context.input, &CircuitChoice::runCapacitor)) {
        return RunSection{dual->fan_F, dual->rated_V};
    }
    const auto* single = chosenPart<RunCapacitor>(context.input, &CircuitChoice::fanCapacitor);
    return single != nullptr ? std::optional(RunSection{single->capacitance_F, single->rated_V})
                             : std::nullopt;
}

bool saturates(const CheckContext& context)
{
    const std::optional<EquivalentCircuit>& bench = context.input.compressor.equivalentCircuit;
    return bench && bench->saturationSlope_ratio > 0;
}

bool sourceKnown(const CheckContext& context)
{
    const Compressor& compressor = context.input.compressor;
    const bool sagMeasured =
        !compressor.equivalentCircuit &&
        std::any_of(compressor.measurements.begin(), compressor.measurements.end(),
                    [](const Measurement& each) {
                        return each.quantity == MeasuredQuantity::supplyVoltsStalled;
                    });
    return context.input.supply.sourceImpedanceGiven || !context.input.supply.conductors.empty() ||
           sagMeasured;
}

double synchronousSpeed_rad_s(const CheckContext& context)
{
    const std::optional<EquivalentCircuit>& bench = context.input.compressor.equivalentCircuit;
    return synchronousSpeed_rad_s(context.input.supply.frequency_Hz,
                                  bench ? bench->poles : context.input.compressor.poles);
}

CheckReading overStarts(const CheckContext& context, std::optional<double> StartMeasurement::*field,
                        const Limit& limit, Bound bound, double scale, const std::string& absent)
{
    CheckReading reading;
    for (const StartRun& run : context.evidence.starts) {
        if (const std::optional<double>& value = run.measured.*field) {
            reading.comparisons.push_back({cornerText(run.corner), *value * scale,
                                           limit.at(run.corner.winding_degC),
                                           bound == Bound::atLeast});
        }
    }
    if (reading.comparisons.empty()) {
        reading.doesNotArise = absent;
    }
    return reading;
}

std::string heldCornerText(const HeldShaftTable& table, double line_ratio)
{
    return cornerText({line_ratio, table.winding_degC, table.release, Pressures::equalised});
}

CheckReading overHeld(
    const CheckContext& context, StartContact contact, HeldPoint point,
    std::initializer_list<double> lines_ratio, const Limit& limit, Bound bound,
    const std::function<std::optional<double>(const HeldShaftMeasurement&)>& value)
{
    CheckReading reading;
    for (const HeldShaftTable& table : context.evidence.held) {
        for (const double line_ratio : lines_ratio) {
            const std::optional<HeldShaftMeasurement> held = pointOf(
                context,
                contact == StartContact::heldClosed ? table.startCircuitIn : table.startCircuitOut,
                point, line_ratio);
            if (!held) {
                reading.doesNotArise = fmt::format("the motor does not carry this load at {}",
                                                   heldCornerText(table, line_ratio));
                continue;
            }
            if (saturates(context) && point != HeldPoint::standstill) {
                reading.undecidedBecause = unsaturated;
            }
            if (const std::optional<double> taken = value(*held)) {
                reading.comparisons.push_back(
                    {heldCornerText(table, line_ratio) + pointSuffix(point), *taken,
                     limit.at(table.winding_degC), bound == Bound::atLeast});
            }
        }
    }
    return reading;
}

CheckReading settledSpeeds(const CheckContext& context, StartContact contact, double load_Nm,
                           double limit_percent)
{
    constexpr double percent = 100;
    const double line_ratio = lowestLine_ratio(context.input);
    CheckReading reading;
    for (const HeldShaftTable& table : context.evidence.held) {
        const double speed_ratio =
            speedAtTorque(
                contact == StartContact::heldClosed ? table.startCircuitIn : table.startCircuitOut,
                load_Nm, line_ratio)
                .value_or(0);
        reading.comparisons.push_back({heldCornerText(table, line_ratio) + ", full load",
                                       speed_ratio * percent, limit_percent, true});
    }
    if (saturates(context)) {
        reading.undecidedBecause = unsaturated;
    }
    return reading;
}

CheckReading openingSpeeds(const CheckContext& context, double limit_ratio, Bound bound)
{
    CheckReading reading =
        overStarts(context, &StartMeasurement::speedAtOpening_ratio, limit_ratio * 100, bound, 100);
    for (const StartRun& run : context.evidence.starts) {
        // Still in at speed: later than at any speed below synchronous.
        const StartMeasurement& m = run.measured;
        if (bound == Bound::atMost && m.timeToSpeed_s && !m.startContactOpened_s &&
            m.startContactAtEnd.value_or(0) > 0.5) {
            reading.comparisons.push_back(
                {cornerText(run.corner) + ", it never opens", 0, limit_ratio * 100, false, true});
        }
    }
    if (reading.comparisons.empty()) {
        reading.doesNotArise = neverOpened;
    }
    return reading;
}

CheckReading contactAmps(const CheckContext& context, const std::optional<double>& rating_A)
{
    if (!rating_A) {
        return {{}, "the contact's amps are not given"};
    }
    return overStarts(context, &StartMeasurement::contactCurrentMade_A, *rating_A, Bound::atMost);
}

}  // namespace splitstart
