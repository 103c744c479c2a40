#include "motor/winding_heat.h"

#include <cmath>

namespace splitstart
{

namespace
{

struct Metal {
    double heat_A2s_m4;  // K squared
    double belowZero_degC;
};

constexpr double squareMillimetre_m2 = 1e-6;

Metal metalOf(ConductorMaterial material)
{
    const bool copper = material == ConductorMaterial::copper;
    const double k = (copper ? 226 : 148) / squareMillimetre_m2;
    return {k * k, copper ? 234.5 : 228.0};
}

}  // namespace

double adiabaticHeat_A2s(double area_m2, ConductorMaterial material, double from_degC,
                         double to_degC)
{
    const Metal metal = metalOf(material);
    return metal.heat_A2s_m4 * area_m2 * area_m2 *
           std::log((to_degC + metal.belowZero_degC) / (from_degC + metal.belowZero_degC));
}

double adiabaticTemperature_degC(double area_m2, ConductorMaterial material, double from_degC,
                                 double heat_A2s)
{
    const Metal metal = metalOf(material);
    return (from_degC + metal.belowZero_degC) *
               std::exp(heat_A2s / (metal.heat_A2s_m4 * area_m2 * area_m2)) -
           metal.belowZero_degC;
}

double areaHeatingAt_m2(double current_A, double rate_K_s)
{
    constexpr double room_degC = 25;
    const Metal metal = metalOf(ConductorMaterial::copper);
    // dT/dt = I^2 (T + beta) / (K S)^2
    return current_A *
           std::sqrt((room_degC + metal.belowZero_degC) / (rate_K_s * metal.heat_A2s_m4));
}

}  // namespace splitstart
