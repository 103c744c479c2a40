// compressor_load.lib and steady_load.lib in stock ngspice.
//
// Source of the work of a turn: ideal reciprocating compressor with clearance, any text on
// engineering thermodynamics (from memory).
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "physics/near.h"
#include "spice/stock_ngspice.h"

namespace splitstart
{
namespace
{

constexpr double turn_rad = 2 * std::numbers::pi;

struct Compressor {
    double suction_Pa = 0.25e6;
    double discharge_Pa = 1.4e6;
    double equalised_Pa = 0.6e6;
    double buildUp_revs = 0;
    double swept_m3 = 1e-5;
    double clearance_ratio = 0.03;
    double exponent = 1.1;
    double friction_Nm = 0.08;
    double start_deg = 180;

    [[nodiscard]] std::string card() const
    {
        return fmt::format(
            "xload speed angle load compressor_load suction_pa={} discharge_pa={} equalised_pa={}"
            " build_up_revs={} swept_m3={} clearance_ratio={} polytropic_exponent={}"
            " friction_nm={} start_angle_deg={}\n",
            suction_Pa, discharge_Pa, equalised_Pa, buildUp_revs, swept_m3, clearance_ratio,
            exponent, friction_Nm, start_deg);
    }

    // n/(n-1) ps (V1 - V4) ((pd/ps)^((n-1)/n) - 1)
    [[nodiscard]] double workOfATurn_J() const
    {
        const double n = exponent;
        const double ratio = discharge_Pa / suction_Pa;
        const double v1 = swept_m3 * (1 + clearance_ratio);
        const double v4 = swept_m3 * clearance_ratio * std::pow(ratio, 1 / n);
        return n / (n - 1) * suction_Pa * (v1 - v4) * (std::pow(ratio, (n - 1) / n) - 1);
    }
};

// v(angle), v(load), v(xload.over_suction), v(xload.suction) over so many turns at a fixed speed,
// in steps of a 400th of a turn.
stock::Waveforms turn(const Compressor& compressor, double speed_rad_s, double turns)
{
    const double period_s = turn_rad / std::abs(speed_rad_s);
    return stock::transient(compressor.card() + fmt::format("vspeed speed 0 dc {}\n", speed_rad_s),
                            {"v(angle)", "v(load)", "v(xload.over_suction)", "v(xload.suction)"},
                            {.end_s = turns * period_s, .step_s = period_s / 400});
}

TEST(CompressorLoad, MeanTorqueIsTheIndicatedWorkAndFriction)
{
    Compressor low;
    Compressor high;
    high.discharge_Pa = 2.4e6;
    high.exponent = 1.3;
    high.clearance_ratio = 0.06;
    for (const Compressor& compressor : {low, high}) {
        for (const double speed_rad_s : {20.0, 300.0}) {
            const stock::Waveforms w = turn(compressor, speed_rad_s, 3);
            const double period_s = turn_rad / speed_rad_s;
            EXPECT_TRUE(nearRel(w.mean(1, period_s, 3 * period_s),
                                compressor.workOfATurn_J() / turn_rad + compressor.friction_Nm,
                                0.005));
        }
    }
}

TEST(CompressorLoad, PressureFollowsThePolytropeUpToTheValve)
{
    const Compressor c;
    const stock::Waveforms w = turn(c, 50, 1);
    EXPECT_TRUE(nearRel(w.at(0, 0), std::numbers::pi, 1e-9));  // bottom dead centre
    EXPECT_TRUE(nearRel(w.highestMagnitude(2, 0, 1), c.discharge_Pa - c.suction_Pa, 1e-9));
    // Half-way up, a quarter of a turn on: volume = clearance + swept/2.
    const double quarter_s = turn_rad / 50 / 4;
    const double half =
        c.suction_Pa * std::pow((1 + c.clearance_ratio) / (0.5 + c.clearance_ratio), c.exponent);
    EXPECT_TRUE(nearRel(w.at(2, quarter_s) + c.suction_Pa, half, 0.002));
    // Torque there: -(p - ps) dV/dangle with dV/dangle = -swept/2, and friction.
    EXPECT_TRUE(
        nearRel(w.at(1, quarter_s), (half - c.suction_Pa) * c.swept_m3 / 2 + c.friction_Nm, 0.002));
}

TEST(CompressorLoad, EqualisedStartBeginsWithFrictionAndBuildsUp)
{
    Compressor c;
    c.buildUp_revs = 2;
    constexpr double speed_rad_s = 50;
    constexpr double period_s = turn_rad / speed_rad_s;
    const stock::Waveforms w = turn(c, speed_rad_s, 20);
    // From bottom dead centre, a hundredth of a turn on.
    EXPECT_TRUE(nearRel(w.at(1, 0.01 * period_s), c.friction_Nm, 0.01));
    EXPECT_TRUE(nearRel(w.at(3, 2 * period_s),
                        c.suction_Pa + (c.equalised_Pa - c.suction_Pa) / std::numbers::e, 1e-4));
    const auto meanOfTurn = [&](int number) {
        return w.mean(1, (number - 1) * period_s, number * period_s);
    };
    EXPECT_LT(meanOfTurn(1), 0.6 * meanOfTurn(2));
    EXPECT_LT(meanOfTurn(2), meanOfTurn(3));
    EXPECT_TRUE(nearRel(w.mean(1, 19 * period_s, 20 * period_s),
                        c.workOfATurn_J() / turn_rad + c.friction_Nm, 0.005));
}

TEST(CompressorLoad, TurningBackwardIsOpposedAlike)
{
    const Compressor c;
    constexpr double period_s = turn_rad / 50;
    const stock::Waveforms forward = turn(c, 50, 2);
    const stock::Waveforms backward = turn(c, -50, 2);
    EXPECT_LT(backward.mean(1, period_s, 2 * period_s), 0);
    EXPECT_TRUE(nearRel(backward.mean(1, period_s, 2 * period_s),
                        -forward.mean(1, period_s, 2 * period_s), 0.005));
}

TEST(CompressorLoad, StandingItHasNoFrictionAndNoJump)
{
    // Through standstill in a second, from 5 rad/s backward to 5 rad/s forward.
    const Compressor c;
    const stock::Waveforms w =
        stock::transient(c.card() + "vspeed speed 0 pwl(0 -5 1 5)\n", {"v(speed)", "v(load)"},
                         {.end_s = 1, .step_s = 1e-3});
    const auto& torque = w.values[1];
    for (std::size_t i = 1; i < torque.size(); ++i) {
        ASSERT_LT(std::abs(torque[i] - torque[i - 1]), 0.2 * w.highestMagnitude(1, 0, 1));
    }
}

TEST(SteadyLoad, OpposesTheRotationEitherWay)
{
    for (const double speed_rad_s : {150.0, -150.0}) {
        const stock::Waveforms w =
            stock::transient("xload speed angle load steady_load torque_nm=0.9 friction_nm=0.1\n" +
                                 fmt::format("vspeed speed 0 dc {}\n", speed_rad_s),
                             {"v(load)", "v(angle)"}, {.end_s = 0.1, .step_s = 1e-3});
        EXPECT_TRUE(nearRel(w.mean(0, 0.01, 0.1), std::copysign(1.0, speed_rad_s), 1e-6));
        EXPECT_TRUE(nearRel(w.at(1, 0.1), 0.1 * speed_rad_s, 1e-4));
    }
}

TEST(SteadyLoad, BuildsUpOverTheAngleTurned)
{
    const stock::Waveforms w = stock::transient(
        "xload speed angle load steady_load torque_nm=0.9 friction_nm=0.1 build_up_revs=3\n"
        "vspeed speed 0 dc 100\n",
        {"v(load)"}, {.end_s = 1, .step_s = 1e-3});
    EXPECT_TRUE(nearRel(w.at(0, 2e-3), 0.1 + 0.9 * (1 - std::exp(-0.2 / (3 * turn_rad))), 0.01));
    EXPECT_TRUE(nearRel(w.at(0, 3 * turn_rad / 100), 0.1 + 0.9 * (1 - 1 / std::numbers::e), 1e-3));
    EXPECT_TRUE(nearRel(w.at(0, 1), 0.1 + 0.9 * (1 - std::exp(-100 / (3 * turn_rad))), 1e-4));
}

}  // namespace
}  // namespace splitstart
