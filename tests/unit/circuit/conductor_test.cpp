// circuit/conductor.h: the resistance of a run. Against published tables:
// tests/physics/conductor_standards_test.cpp.
#include "circuit/conductor.h"

#include <gtest/gtest.h>

#include <limits>
#include <stdexcept>

namespace splitstart
{

namespace
{

constexpr ConductorMaterial copper = ConductorMaterial::copper;
constexpr ConductorMaterial aluminium = ConductorMaterial::aluminium;

}  // namespace

// 1 km of 1 mm2 there, at 20 degC: the resistivity in ohm mm2/km, twice.
TEST(Conductor, ResistanceIsThatOfBothWays)
{
    EXPECT_NEAR(conductorResistance_ohm(1000, 1, copper, 20, 1), 2 * 17.241, 1e-9);
    EXPECT_NEAR(conductorResistance_ohm(1000, 1, aluminium, 20, 1), 2 * 28.264, 1e-9);
    EXPECT_NEAR(conductorResistance_ohm(500, 4, copper, 20, 1), 2 * 17.241 / 8, 1e-9);
    EXPECT_EQ(conductorResistance_ohm(0, 2.5, copper, 20), 0);
}

TEST(Conductor, StrandedWiresAreLongerThanTheRun)
{
    EXPECT_NEAR(conductorResistance_ohm(30, 2.5, copper, 60) /
                    conductorResistance_ohm(30, 2.5, copper, 60, 1),
                1.02, 1e-12);
}

TEST(Conductor, WarmMetalHasMoreResistance)
{
    const auto rise = [](ConductorMaterial material) {
        return conductorResistance_ohm(10, 2.5, material, 30) /
                   conductorResistance_ohm(10, 2.5, material, 20) -
               1;
    };
    EXPECT_NEAR(rise(copper), 0.0393, 1e-9);
    EXPECT_NEAR(rise(aluminium), 0.0403, 1e-9);
}

TEST(Conductor, ImpossibleRunsAreRefused)
{
    constexpr double notANumber = std::numeric_limits<double>::quiet_NaN();
    constexpr double infinite = std::numeric_limits<double>::infinity();
    for (const double length_m : {-1.0, infinite, notANumber}) {
        EXPECT_THROW(conductorResistance_ohm(length_m, 2.5, copper, 20), std::invalid_argument);
    }
    for (const double area_mm2 : {0.0, -2.5, infinite, notANumber}) {
        EXPECT_THROW(conductorResistance_ohm(10, area_mm2, copper, 20), std::invalid_argument);
    }
    for (const double temperature_degC : {-51.0, 251.0, notANumber}) {
        EXPECT_THROW(conductorResistance_ohm(10, 2.5, copper, temperature_degC),
                     std::invalid_argument);
    }
    for (const double lay_ratio : {0.99, 1.11, notANumber}) {
        EXPECT_THROW(conductorResistance_ohm(10, 2.5, copper, 20, lay_ratio),
                     std::invalid_argument);
    }
}

}  // namespace splitstart
