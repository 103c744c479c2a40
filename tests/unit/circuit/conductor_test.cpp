// circuit/conductor.h: gauges, areas and the resistance of a run. Against published tables:
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

TEST(Conductor, GaugeIsReadFromItsUsualSpellings)
{
    EXPECT_EQ(awgNumber("14"), 14);
    EXPECT_EQ(awgNumber("1"), 1);
    EXPECT_EQ(awgNumber("0"), 0);
    EXPECT_EQ(awgNumber("1/0"), 0);
    EXPECT_EQ(awgNumber("2/0"), -1);
    EXPECT_EQ(awgNumber("4/0"), -3);
    EXPECT_EQ(awgNumber("40"), 40);
}

TEST(Conductor, WhatIsNoGaugeIsNone)
{
    for (const char* text : {"", "/0", "0/0", "5/0", "-1", "-1/0", "41", "14 ", " 14", "14.5",
                             "fourteen", "1/1", "4/00", "+2", "99999999999"}) {
        EXPECT_EQ(awgNumber(text), std::nullopt) << '"' << text << '"';
    }
}

TEST(Conductor, ThirtyNineGaugesMakeAFactorOf92InDiameter)
{
    // The two diameters that define the gauge: 0.005 in for 36, 0.46 in for 4/0.
    constexpr double quarterPi = 0.78539816339744831;
    EXPECT_NEAR(awgArea_mm2(36), quarterPi * 0.127 * 0.127, 1e-12);
    EXPECT_NEAR(awgArea_mm2(-3), quarterPi * 11.684 * 11.684, 1e-9);
    for (int gauge = -3; gauge < 40; ++gauge) {
        EXPECT_GT(awgArea_mm2(gauge), awgArea_mm2(gauge + 1)) << gauge;
    }
}

TEST(Conductor, GaugesOutsideTheSeriesAreRefused)
{
    EXPECT_THROW(awgArea_mm2(-4), std::invalid_argument);
    EXPECT_THROW(awgArea_mm2(41), std::invalid_argument);
}

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
