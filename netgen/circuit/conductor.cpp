#include "circuit/conductor.h"

#include <fmt/format.h>

#include <stdexcept>

namespace splitstart
{

namespace
{

struct Metal {
    double resistivity_ohm_m;  // at 20 degC
    double coefficient_per_K;  // of that
};

Metal metalOf(ConductorMaterial material)
{
    return material == ConductorMaterial::copper ? Metal{1.7241e-8, 0.00393}
                                                 : Metal{2.8264e-8, 0.00403};
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
