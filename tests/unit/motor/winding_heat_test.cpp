// Adiabatic heating against the differential equation itself,
//   dT/dt = I^2 rho(T) / (c S^2),
// integrated step by step from the metal's own constants, none of which the code uses.
#include "motor/winding_heat.h"

#include <gtest/gtest.h>

#include <functional>

#include "physics/near.h"

namespace splitstart
{

namespace
{

// Resistivity at 20 degC and heat for each cubic metre and kelvin. Copper: IEC 60028 and IEC 60949;
// aluminium: IEC 60889 and IEC 60949 (all from memory).
struct MetalConstants {
    double resistivity_ohm_m = 0;
    double perKelvin = 0;
    double heat_J_m3K = 0;
};

MetalConstants constantsOf(ConductorMaterial material)
{
    return material == ConductorMaterial::copper ? MetalConstants{1.7241e-8, 0.00393, 3.45e6}
                                                 : MetalConstants{2.8264e-8, 0.00403, 2.5e6};
}

double slope_K_s(ConductorMaterial material, double area_m2, double current_A, double at_degC)
{
    const MetalConstants metal = constantsOf(material);
    const double density = current_A / area_m2;
    return density * density * metal.resistivity_ohm_m * (1 + metal.perKelvin * (at_degC - 20)) /
           metal.heat_J_m3K;
}

// Classical Runge-Kutta of the fourth order.
double temperatureAfter_degC(ConductorMaterial material, double area_m2, double from_degC,
                             double time_s, const std::function<double(double)>& current_A)
{
    constexpr int steps = 4000;
    const double h = time_s / steps;
    double degC = from_degC;
    for (int i = 0; i < steps; ++i) {
        const auto slope = [&](double at_s, double at_degC) {
            return slope_K_s(material, area_m2, current_A(at_s), at_degC);
        };
        const double t = i * h;
        const double k1 = slope(t, degC);
        const double k2 = slope(t + h / 2, degC + h / 2 * k1);
        const double k3 = slope(t + h / 2, degC + h / 2 * k2);
        const double k4 = slope(t + h, degC + h * k3);
        degC += h / 6 * (k1 + 2 * k2 + 2 * k3 + k4);
    }
    return degC;
}

constexpr ConductorMaterial metals[] = {ConductorMaterial::copper, ConductorMaterial::aluminium};

// The constants above give K = 225.7 and 148.1; the standard rounds them to 226 and 148.
constexpr double rounding_ratio = 5e-3;

}  // namespace

TEST(AdiabaticHeat, LeadsWhereTheDifferentialEquationLeads)
{
    for (const ConductorMaterial material : metals) {
        for (const double area_m2 : {0.5e-6, 1e-6, 2.5e-6}) {
            for (const double from_degC : {25.0, 110.0}) {
                for (const double density_A_mm2 : {20.0, 45.0, 60.0}) {
                    const double current_A = density_A_mm2 * area_m2 * 1e6;
                    for (const double time_s : {0.5, 3.0, 6.0}) {
                        const double exact_degC =
                            temperatureAfter_degC(material, area_m2, from_degC, time_s,
                                                  [&](double) { return current_A; });
                        const double found_degC = adiabaticTemperature_degC(
                            area_m2, material, from_degC, current_A * current_A * time_s);
                        // The exponent is off by the rounding: so is the rise by that and its own
                        // share of growth.
                        EXPECT_TRUE(nearOfScale(found_degC, exact_degC, exact_degC - from_degC,
                                                2 * rounding_ratio))
                            << density_A_mm2 << " A/mm2, " << time_s << " s";
                    }
                }
            }
        }
    }
}

// The order in which the amps flow does not count, only their squares over time.
TEST(AdiabaticHeat, CountsAmpsSquaredWhateverTheirCourse)
{
    constexpr double area_m2 = 1e-6;
    const auto falling_A = [](double t) { return 60 - 15 * t; };  // over 2 s
    // Integral of (60 - 15 t)^2 from 0 to 2: (60^3 - 30^3) / (3 * 15).
    const double heat_A2s = (216000.0 - 27000.0) / 45;
    const double exact_degC =
        temperatureAfter_degC(ConductorMaterial::copper, area_m2, 25, 2, falling_A);
    EXPECT_TRUE(
        nearOfScale(adiabaticTemperature_degC(area_m2, ConductorMaterial::copper, 25, heat_A2s),
                    exact_degC, exact_degC - 25, rounding_ratio));
}

TEST(AdiabaticHeat, IsTheOneThatLeadsThere)
{
    for (const ConductorMaterial material : metals) {
        for (const double from_degC : {-20.0, 25.0, 110.0}) {
            for (const double to_degC : {120.0, 200.0, 300.0}) {
                const double heat_A2s = adiabaticHeat_A2s(1.3e-6, material, from_degC, to_degC);
                EXPECT_GT(heat_A2s, 0);
                EXPECT_TRUE(
                    nearRel(adiabaticTemperature_degC(1.3e-6, material, from_degC, heat_A2s),
                            to_degC, 1e-12));
            }
        }
        EXPECT_EQ(adiabaticHeat_A2s(1e-6, material, 80, 80), 0);
    }
}

// Time to 200 degC at a steady current, by stepping the equation to that time.
TEST(AdiabaticHeat, GivesTheSecondsToALimit)
{
    for (const ConductorMaterial material : metals) {
        constexpr double current_A = 50;
        const double time_s = adiabaticHeat_A2s(1e-6, material, 25, 200) / (current_A * current_A);
        const double reached_degC =
            temperatureAfter_degC(material, 1e-6, 25, time_s, [](double) { return current_A; });
        EXPECT_TRUE(nearOfScale(reached_degC, 200, 175, 2 * rounding_ratio));
    }
}

// Four times the amps squared for twice the cross section.
TEST(AdiabaticHeat, GoesWithTheSquareOfTheCrossSection)
{
    const auto heat = [](double area_m2) {
        return adiabaticHeat_A2s(area_m2, ConductorMaterial::copper, 25, 200);
    };
    EXPECT_TRUE(nearRel(heat(2e-6), 4 * heat(1e-6), 1e-12));
}

TEST(AreaHeatingAt, IsTheCrossSectionThatTheEquationHeatsSoFastAt25Degrees)
{
    for (const double current_A : {5.0, 24.0, 70.0}) {
        for (const double rate_K_s : {8.0, 18.0, 50.0}) {
            const double area_m2 = areaHeatingAt_m2(current_A, rate_K_s);
            EXPECT_TRUE(nearRel(slope_K_s(ConductorMaterial::copper, area_m2, current_A, 25),
                                rate_K_s, rounding_ratio));
        }
    }
    // 40 A/mm2 in copper at 25 degC heat by some 8 K/s, 60 by some 18, 100 by some 50.
    for (const auto& [density_A_mm2, rate_K_s] :
         {std::pair(40.0, 8.0), {60.0, 18.0}, {100.0, 50.0}}) {
        EXPECT_TRUE(nearRel(1e-6 * density_A_mm2 * areaHeatingAt_m2(1, rate_K_s) * 1e12, 1, 0.02));
    }
}

}  // namespace splitstart
