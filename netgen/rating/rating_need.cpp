#include "rating/rating_need.h"

#include <algorithm>
#include <limits>

#include "rating/check_readers.h"

namespace splitstart
{

namespace
{

// The highest of what is taken at that speed, or the lowest.
std::optional<double> overTables(
    const CheckContext& context, double speed_ratio, double line_ratio, bool highest,
    const std::function<std::optional<double>(const HeldShaftMeasurement&, double)>& taken)
{
    std::optional<double> result;
    for (const HeldShaftTable& table : context.evidence.held) {
        const HeldShaftMeasurement held = heldAt(table.startCircuitIn, speed_ratio, line_ratio);
        const std::optional<double> value = taken(held, table.winding_degC);
        if (value && (!result || (highest ? *value > *result : *value < *result))) {
            result = value;
        }
    }
    return result;
}

}  // namespace

std::optional<double> neededRating(std::string_view checkId, const CheckContext& context,
                                   double rating)
{
    const std::span<const Check> all = allChecks();
    const auto check = std::find_if(all.begin(), all.end(), [&](const Check& each) {
        return each.id == checkId && each.applies(context);
    });
    if (check == all.end()) {
        return std::nullopt;
    }
    const CheckReading reading = check->read(context);
    if (!reading.undecidedBecause.empty() || !reading.doesNotArise.empty() ||
        reading.comparisons.empty()) {
        return std::nullopt;
    }
    std::optional<double> worst_ratio;
    for (const Comparison& each : reading.comparisons) {
        if (each.beyond || each.limit == 0) {
            return std::nullopt;
        }
        const double ratio = each.value / each.limit;
        const bool isWorse =
            !worst_ratio || (each.valueAtLeast ? ratio < *worst_ratio : ratio > *worst_ratio);
        worst_ratio = isWorse ? ratio : *worst_ratio;
    }
    return rating * *worst_ratio;
}

std::optional<PotentialRelayNeed> potentialRelayNeed(const CheckContext& context)
{
    const PotentialRelay& relay = *startDevice<PotentialRelay>(context);
    const auto need = [&context](const char* id, double rating) {
        return neededRating(id, context, rating);
    };
    const auto standing_V = need("relay-closed-at-standstill", relay.pickUp_V.minimum);
    const auto reached_V = need("relay-pick-up-reached", relay.pickUp_V.maximum);
    const auto running_V = need("relay-holds-running", relay.dropOut_V.maximum);
    const auto coil_V = need("relay-coil-volts", relay.coilContinuous_V.value_or(1));
    const std::optional<double> early_V = overTables(
        context, earliestOpening_ratio, highestLine_ratio(context.input), true,
        [&](const HeldShaftMeasurement& held, double winding_degC) -> std::optional<double> {
            if (!held.coil_V) {
                return std::nullopt;
            }
            return *held.coil_V /
                   coilTemperatureFactor(relay, winding_degC, context.input.supply.frequency_Hz);
        });
    if (!standing_V || !reached_V || !running_V || !coil_V || !early_V) {
        return std::nullopt;
    }
    return PotentialRelayNeed{std::max(*standing_V, *early_V), *reached_V, *running_V, *coil_V};
}

std::optional<CurrentRelayNeed> currentRelayNeed(const CheckContext& context)
{
    const CurrentRelay& relay = *startDevice<CurrentRelay>(context);
    const auto need = [&context](const char* id, double rating) {
        return neededRating(id, context, rating);
    };
    const auto pullsIn_A = need("relay-pulls-in", relay.pullIn_A.maximum);
    const auto staysOpen_A = need("relay-stays-open-running", relay.pullIn_A.minimum);
    const auto letsGo_A = need("relay-lets-go", relay.dropOut_A.minimum);
    const auto coil_A = need("relay-coil-amps", relay.coilContinuous_A.value_or(1));
    const std::optional<double> early_A =
        overTables(context, earliestOpening_ratio, lowestLine_ratio(context.input), false,
                   [](const HeldShaftMeasurement& held, double) { return held.coil_A; });
    if (!pullsIn_A || !staysOpen_A || !letsGo_A || !coil_A || !early_A) {
        return std::nullopt;
    }
    return CurrentRelayNeed{*staysOpen_A, *pullsIn_A, *letsGo_A, *early_A, *coil_A};
}

double startingTorque_Nm(const CheckContext& context)
{
    const double line_ratio = lowestLine_ratio(context.input);
    double least_Nm = std::numeric_limits<double>::infinity();
    for (const HeldShaftTable& table : context.evidence.held) {
        if (isHot(table.winding_degC)) {
            least_Nm = std::min(least_Nm, heldAt(table.startCircuitIn, 0, line_ratio).torque_Nm);
        }
    }
    return std::isfinite(least_Nm) ? least_Nm : 0;
}

}  // namespace splitstart
