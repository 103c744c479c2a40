// The checks of each part; allChecks() joins them. Internal to rating/.
#pragma once

#include <span>

#include "rating/check.h"

namespace splitstart
{

std::span<const Check> supplyChecks();
std::span<const Check> motorChecks();
std::span<const Check> capacitorChecks();
std::span<const Check> potentialRelayChecks();
std::span<const Check> currentRelayChecks();
std::span<const Check> protectorChecks();

// The part of that kind that the case puts into the circuit, or null.
template <typename Data>
const Data* chosenPart(const Case& input, const std::string CircuitChoice::*place)
{
    const CatalogPart* part = input.circuit ? input.parts.find((*input.circuit).*place) : nullptr;
    return part != nullptr ? std::get_if<Data>(&part->data) : nullptr;
}

// One comparison for each start in which the quantity exists and the corner is wanted.
template <typename Wanted>
CheckReading overStarts(const CheckContext& context, std::optional<double> StartMeasurement::*field,
                        double limit, bool valueAtLeast, double scale, Wanted wanted)
{
    CheckReading reading;
    for (const StartRun& run : context.evidence.starts) {
        const std::optional<double>& value = run.measured.*field;
        if (value && wanted(run)) {
            reading.comparisons.push_back(
                {cornerText(run.corner), *value * scale, limit, valueAtLeast});
        }
    }
    return reading;
}

inline bool everyStart(const StartRun& /*run*/)
{
    return true;
}

// The corner that a held-shaft table stands for at a line voltage.
inline std::string heldCornerText(const HeldShaftTable& table, double line_ratio)
{
    return cornerText({line_ratio, table.winding_degC, table.release, Pressures::equalised});
}

constexpr double lowestLine_ratio = 0.85;
constexpr double highestLine_ratio = 1.10;

}  // namespace splitstart
