#include "circuit/conductor.h"

#include <fmt/format.h>

#include <charconv>
#include <cmath>
#include <numbers>
#include <stdexcept>

namespace splitstart
{

namespace
{

constexpr int thickestGauge = -3;  // 4/0
constexpr int thinnestGauge = 40;

struct Metal {
    double resistivity_ohm_m;  // at 20 degC
    double coefficient_per_K;  // of that
};

Metal metalOf(ConductorMaterial material)
{
    return material == ConductorMaterial::copper ? Metal{1.7241e-8, 0.00393}
                                                 : Metal{2.8264e-8, 0.00403};
}

std::optional<int> wholeNumber(std::string_view text)
{
    int number = 0;
    const char* const end = text.data() + text.size();
    const auto [stopped, error] = std::from_chars(text.data(), end, number);
    if (error != std::errc() || stopped != end || text.front() == '-') {
        return std::nullopt;
    }
    return number;
}

// Also false for a value that is not a number.
void requireRange(const char* what, double value, double lowest, double highest)
{
    if (!(value >= lowest && value <= highest)) {
        throw std::invalid_argument(
            fmt::format("{} of a conductor is {}, not {} to {}", what, value, lowest, highest));
    }
}

}  // namespace

std::optional<int> awgNumber(std::string_view text)
{
    if (text.ends_with("/0")) {
        const std::optional<int> aughts = wholeNumber(text.substr(0, text.size() - 2));
        return aughts && *aughts >= 1 && *aughts <= 1 - thickestGauge ? std::optional(1 - *aughts)
                                                                      : std::nullopt;
    }
    const std::optional<int> gauge = wholeNumber(text);
    return gauge && *gauge <= thinnestGauge ? gauge : std::nullopt;
}

double awgArea_mm2(int gauge)
{
    requireRange("the gauge", gauge, thickestGauge, thinnestGauge);
    const double diameter_mm = 0.127 * std::pow(92, (36 - gauge) / 39.0);
    return std::numbers::pi / 4 * diameter_mm * diameter_mm;
}

double conductorResistance_ohm(double metresOneWay, double area_mm2, ConductorMaterial material,
                               double temperature_degC, double lay_ratio)
{
    constexpr double longestRun_m = 1e6;
    constexpr double smallestArea_mm2 = 1e-6;
    constexpr double largestArea_mm2 = 1e6;
    requireRange("the length [m]", metresOneWay, 0, longestRun_m);
    requireRange("the area [mm2]", area_mm2, smallestArea_mm2, largestArea_mm2);
    requireRange("the temperature [degC]", temperature_degC, -50, 250);
    requireRange("the lay ratio", lay_ratio, 1, 1.1);
    const Metal metal = metalOf(material);
    const double resistivity_ohm_m =
        metal.resistivity_ohm_m * (1 + metal.coefficient_per_K * (temperature_degC - 20));
    return 2 * metresOneWay * lay_ratio * resistivity_ohm_m / (area_mm2 * 1e-6);
}

}  // namespace splitstart
