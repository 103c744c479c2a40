#include "motor/compressor_load.h"

#include <gtest/gtest.h>

#include <utility>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <random>

#include "physics/near.h"

namespace splitstart
{

namespace
{

constexpr double pi = std::numbers::pi;

// Cylinder pressure over the crank angle of the ideal cycle, 0 = top dead centre: re-expansion of
// the clearance from discharge pressure on the way down, compression from suction on the way up.
double pressure_Pa(const LoadParameters& load, double angle_rad)
{
    const double clearance_m3 = load.clearance_ratio * load.sweptVolume_m3;
    const double volume_m3 = clearance_m3 + load.sweptVolume_m3 * 0.5 * (1 - std::cos(angle_rad));
    const double n = load.polytropicExponent;
    if (std::sin(angle_rad) >= 0) {
        return std::max(load.suction_Pa, load.discharge_Pa * std::pow(clearance_m3 / volume_m3, n));
    }
    const double full_m3 = clearance_m3 + load.sweptVolume_m3;
    return std::min(load.discharge_Pa, load.suction_Pa * std::pow(full_m3 / volume_m3, n));
}

// Work that the shaft puts into the gas in one turn, by the midpoint rule around the indicator
// diagram, with the suction pressure under the piston.
double workOfATurn_J(const LoadParameters& load)
{
    constexpr int steps = 200000;
    double work_J = 0;
    for (int i = 0; i < steps; ++i) {
        const double angle_rad = 2 * pi * (i + 0.5) / steps;
        const double slope_m3 = load.sweptVolume_m3 * 0.5 * std::sin(angle_rad);
        work_J -= (pressure_Pa(load, angle_rad) - load.suction_Pa) * slope_m3 * 2 * pi / steps;
    }
    return work_J;
}

CompressorLoad pumpWith(double suction_Pa, double discharge_Pa)
{
    CompressorLoad load;
    load.suction_Pa = suction_Pa;
    load.discharge_Pa = discharge_Pa;
    return load;
}

bool mentions(const std::vector<std::string>& notes, const char* words)
{
    return std::any_of(notes.begin(), notes.end(), [words](const std::string& note) {
        return note.find(words) != std::string::npos;
    });
}

}  // namespace

TEST(IndicatedWork, IsTheAreaOfTheIndicatorDiagram)
{
    std::mt19937 random(70);
    std::uniform_real_distribution<double> unit(0, 1);
    for (int i = 0; i < 20; ++i) {
        LoadParameters load;
        load.suction_Pa = 1e5 + 4e5 * unit(random);
        load.discharge_Pa = load.suction_Pa * (1.5 + 8 * unit(random));
        load.sweptVolume_m3 = 1e-6 + 5e-5 * unit(random);
        load.clearance_ratio = 0.02 + 0.06 * unit(random);
        load.polytropicExponent = 1.05 + 0.3 * unit(random);
        EXPECT_TRUE(nearRel(indicatedWork_J(load), workOfATurn_J(load), 1e-6));
    }
}

// Without clearance, and as the exponent nears 1, the isothermal work p V ln(p2/p1) of any text on
// engineering thermodynamics.
TEST(IndicatedWork, NearsTheIsothermalWork)
{
    LoadParameters load;
    load.suction_Pa = 3e5;
    load.discharge_Pa = 14e5;
    load.sweptVolume_m3 = 2e-5;
    load.clearance_ratio = 0;
    load.polytropicExponent = 1 + 1e-6;
    EXPECT_TRUE(nearRel(indicatedWork_J(load), 3e5 * 2e-5 * std::log(14.0 / 3), 1e-5));
}

TEST(IndicatedWork, GrowsWithSweptVolumeAlone)
{
    LoadParameters load = loadParameters(pumpWith(3e5, 14e5), 5);
    const double work_J = indicatedWork_J(load);
    load.sweptVolume_m3 *= 3;
    EXPECT_TRUE(nearRel(indicatedWork_J(load), 3 * work_J, 1e-12));
    load.sweptVolume_m3 = 0;
    EXPECT_EQ(indicatedWork_J(load), 0);
}

// The mean of the gas torque over a turn, and the friction, together are the rated torque.
TEST(LoadParameters, GiveTheRatedTorqueInTheMean)
{
    for (const double rated_Nm : {0.3, 1.0, 5.0, 20.0}) {
        for (const double discharge_Pa : {6e5, 14e5, 25e5}) {
            const LoadParameters load = loadParameters(pumpWith(2.5e5, discharge_Pa), rated_Nm);
            EXPECT_TRUE(
                nearRel(indicatedWork_J(load) / (2 * pi) + load.friction_Nm, rated_Nm, 1e-12));
            EXPECT_TRUE(nearRel(workOfATurn_J(load) / (2 * pi) + load.friction_Nm, rated_Nm, 1e-6));
            EXPECT_EQ(load.meanTorque_Nm, rated_Nm);
            EXPECT_GT(load.friction_Nm, 0);
        }
    }
}

TEST(LoadParameters, TakeWhatTheCaseGives)
{
    CompressorLoad given = pumpWith(2e5, 11e5);
    given.equalised_Pa = 6e5;
    given.startAngle_deg = 40;
    given.kind = LoadKind::steady;
    const LoadParameters load = loadParameters(given, 2);
    EXPECT_EQ(load.suction_Pa, 2e5);
    EXPECT_EQ(load.discharge_Pa, 11e5);
    EXPECT_EQ(load.equalised_Pa, 6e5);
    EXPECT_EQ(load.startAngle_deg, 40);
    EXPECT_EQ(load.kind, LoadKind::steady);
}

// Every way of giving some of the three pressures, in the order that the reader asks for.
TEST(LoadParameters, KeepSuctionEqualisedAndDischargePressureInThisOrder)
{
    std::mt19937 random(71);
    std::uniform_real_distribution<double> exponent(std::log(0.01e5), std::log(160e5));
    for (int i = 0; i < 2000; ++i) {
        std::array<double, 3> pressure_Pa{};
        for (double& each : pressure_Pa) {
            each = std::exp(exponent(random));
        }
        std::sort(pressure_Pa.begin(), pressure_Pa.end());
        CompressorLoad given;
        if ((i & 1) != 0) {
            given.suction_Pa = pressure_Pa[0];
        }
        if ((i & 2) != 0) {
            given.equalised_Pa = pressure_Pa[1];
        }
        if ((i & 4) != 0) {
            given.discharge_Pa = pressure_Pa[2];
        }
        const LoadParameters load = loadParameters(given, 3);
        EXPECT_LT(load.suction_Pa, load.equalised_Pa);
        EXPECT_LT(load.equalised_Pa, load.discharge_Pa);
        EXPECT_EQ(load.suction_Pa, given.suction_Pa.value_or(load.suction_Pa));
        EXPECT_EQ(load.discharge_Pa, given.discharge_Pa.value_or(load.discharge_Pa));
        EXPECT_GT(load.clearance_ratio, 0);
        EXPECT_GT(load.sweptVolume_m3, 0);
        EXPECT_TRUE(nearRel(indicatedWork_J(load) / (2 * pi) + load.friction_Nm, 3, 1e-12));
    }
}

TEST(LoadParameters, LetTheCornerOverruleTheCasesPressures)
{
    CompressorLoad load;
    load.pressures = Pressures::equalised;
    EXPECT_GT(loadParameters(load, 3).buildUp_revolutions, 0);
    EXPECT_EQ(loadParameters(load, 3, Pressures::unequalised).buildUp_revolutions, 0);
    load.pressures = Pressures::unequalised;
    EXPECT_EQ(loadParameters(load, 3).buildUp_revolutions, 0);
    EXPECT_GT(loadParameters(load, 3, Pressures::equalised).buildUp_revolutions, 0);
}

TEST(LoadParameters, AreAFreeShaftWithoutTorque)
{
    const LoadParameters load = loadParameters({}, 0);
    EXPECT_EQ(load.sweptVolume_m3, 0);
    EXPECT_EQ(load.friction_Nm, 0);
    EXPECT_EQ(indicatedWork_J(load), 0);
}

// Work of each cubic metre of displacement, written down once more from Eastop and McConkey (from
// memory): n/(n-1) p1 (1 + c - c r^(1/n)) (r^((n-1)/n) - 1), with the typical n 1.1 and c 0.04.
TEST(LoadParameters, TheSamePumpTakesMoreTorqueAgainstMorePressure)
{
    const auto work_Pa = [](double suction_Pa, double discharge_Pa) {
        const double r = discharge_Pa / suction_Pa;
        return 1.1 / 0.1 * suction_Pa * (1.04 - 0.04 * std::pow(r, 1 / 1.1)) *
               (std::pow(r, 0.1 / 1.1) - 1);
    };
    const CompressorLoad usual = pumpWith(2e5, 8e5);
    for (const auto& [suction_Pa, discharge_Pa] :
         {std::pair{2e5, 25e5}, {2e5, 12e5}, {3e5, 8e5}, {1e5, 8e5}}) {
        const double torque_Nm = torqueOfSamePump_Nm(usual, 3, pumpWith(suction_Pa, discharge_Pa));
        EXPECT_NEAR(torque_Nm, 3 * work_Pa(suction_Pa, discharge_Pa) / work_Pa(2e5, 8e5), 1e-9);
        // That is: the displacement stays.
        EXPECT_NEAR(loadParameters(pumpWith(suction_Pa, discharge_Pa), torque_Nm).sweptVolume_m3,
                    loadParameters(usual, 3).sweptVolume_m3, 1e-12);
    }
    EXPECT_GT(torqueOfSamePump_Nm(usual, 3, pumpWith(2e5, 25e5)), 3.5);
    CompressorLoad steady = usual;
    steady.kind = LoadKind::steady;
    EXPECT_DOUBLE_EQ(torqueOfSamePump_Nm(steady, 3, pumpWith(2e5, 25e5)), 3);
}

TEST(AssumedLoadNotes, NameWhatTheCaseDoesNotSay)
{
    const std::vector<std::string> all = assumedLoadNotes({});
    EXPECT_TRUE(mentions(all, "kind of pump"));
    EXPECT_TRUE(mentions(all, "pressures at the start"));
    EXPECT_TRUE(mentions(all, "running pressures assumed"));
    CompressorLoad given = pumpWith(3e5, 14e5);
    given.kindGiven = true;
    given.pressuresGiven = true;
    EXPECT_TRUE(assumedLoadNotes(given).empty());
    CompressorLoad half;
    half.suction_Pa = 2e5;
    EXPECT_TRUE(mentions(assumedLoadNotes(half), "2 and 9 bar"));
}

}  // namespace splitstart
