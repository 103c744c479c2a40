// The time of a run-up against closed forms and a finer integration.
#include "motor/run_up.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <stdexcept>
#include <vector>

#include "physics/near.h"

namespace splitstart
{

namespace
{

constexpr double synchronous_rad_s = 2 * std::numbers::pi * 60;
constexpr double inertia_kgm2 = 0.004;
const RunUpLoad steadyLoad{1, 0};

}  // namespace

// J dw/dt = T: t = J w / T with a steady net torque (any text on dynamics).
TEST(RunUp, TakesInertiaTimesSpeedOverASteadyTorque)
{
    const std::vector<TorqueAtSpeed> table = {{0, 5}, {0.4, 5}, {0.9, 5}};
    EXPECT_TRUE(nearRel(runUpTime_s(table, inertia_kgm2, synchronous_rad_s, 2, steadyLoad),
                        inertia_kgm2 * 0.9 * synchronous_rad_s / 3, 1e-9));
}

// J dw/dt = A - B w: t = J/B ln(A / (A - B w)) (separation of variables, any text on differential
// equations).
TEST(RunUp, TakesALogarithmOverATorqueThatFallsInAStraightLine)
{
    const double end_rad_s = 0.9 * synchronous_rad_s;
    const std::vector<TorqueAtSpeed> table = {{0, 5}, {0.3, 4}, {0.9, 2}};  // 5 N m - B w
    const double net_Nm = 5 - 1.5;
    const double slope = 3 / end_rad_s;
    const double expected_s =
        inertia_kgm2 / slope * std::log(net_Nm / (net_Nm - slope * end_rad_s));
    EXPECT_TRUE(nearRel(runUpTime_s(table, inertia_kgm2, synchronous_rad_s, 1.5, steadyLoad),
                        expected_s, 0.005));
}

TEST(RunUp, IsInProportionToTheInertia)
{
    const std::vector<TorqueAtSpeed> table = {{0, 3}, {0.5, 4}, {0.8, 5}, {0.9, 3}};
    const double once_s = runUpTime_s(table, inertia_kgm2, synchronous_rad_s, 2, steadyLoad);
    EXPECT_TRUE(nearRel(runUpTime_s(table, 3 * inertia_kgm2, synchronous_rad_s, 2, steadyLoad),
                        3 * once_s, 1e-12));
}

// Speed and angle integrated by the classical Runge-Kutta method of fourth order (any text on
// numerical methods), steps of 2 us.
TEST(RunUp, MeetsALoadThatBuildsUpAsAFineIntegrationDoes)
{
    const std::vector<TorqueAtSpeed> table = {{0, 3}, {0.3, 3.6}, {0.6, 4.8}, {0.8, 5}, {0.9, 3.5}};
    const auto torqueAt = [&](double speed_ratio) {
        for (std::size_t i = 1; i < table.size(); ++i) {
            if (speed_ratio <= table[i].speed_ratio || i + 1 == table.size()) {
                const double share = (speed_ratio - table[i - 1].speed_ratio) /
                                     (table[i].speed_ratio - table[i - 1].speed_ratio);
                return table[i - 1].torque_Nm +
                       share * (table[i].torque_Nm - table[i - 1].torque_Nm);
            }
        }
        return 0.0;
    };
    for (const double buildUp_revolutions : {2.0, 10.0, 60.0}) {
        const RunUpLoad load{0.1, buildUp_revolutions};
        constexpr double rated_Nm = 2.6;
        const auto acceleration = [&](double speed_rad_s, double angle_rad) {
            const double turned =
                1 - std::exp(-angle_rad / (2 * std::numbers::pi) / buildUp_revolutions);
            return (torqueAt(speed_rad_s / synchronous_rad_s) - rated_Nm * (0.1 + 0.9 * turned)) /
                   inertia_kgm2;
        };
        double w = 0;
        double angle = 0;
        double time_s = 0;
        constexpr double h = 2e-6;
        while (w < 0.9 * synchronous_rad_s) {
            const double k1 = acceleration(w, angle);
            const double k2 = acceleration(w + h / 2 * k1, angle + h / 2 * w);
            const double k3 = acceleration(w + h / 2 * k2, angle + h / 2 * (w + h / 2 * k1));
            const double k4 = acceleration(w + h * k3, angle + h * (w + h / 2 * k2));
            angle += h * (w + h / 6 * (k1 + k2 + k3));
            w += h / 6 * (k1 + 2 * k2 + 2 * k3 + k4);
            time_s += h;
        }
        EXPECT_TRUE(nearRel(runUpTime_s(table, inertia_kgm2, synchronous_rad_s, rated_Nm, load),
                            time_s, buildUp_revolutions < 10 ? 0.025 : 0.01))
            << buildUp_revolutions;
    }
}

TEST(RunUp, OfAMotorThatStallsIsLongButEnds)
{
    const std::vector<TorqueAtSpeed> table = {{0, 1}, {0.9, 1}};
    const double time_s = runUpTime_s(table, inertia_kgm2, synchronous_rad_s, 2, steadyLoad);
    EXPECT_TRUE(nearRel(time_s, inertia_kgm2 * 0.9 * synchronous_rad_s / 0.02, 1e-9));
}

TEST(RunUp, AsksForTwoSpeedsAnInertiaAndAField)
{
    const std::vector<TorqueAtSpeed> table = {{0, 5}, {0.9, 5}};
    EXPECT_THROW(runUpTime_s({table.data(), 1}, 1, 1, 1, steadyLoad), std::invalid_argument);
    EXPECT_THROW(runUpTime_s(table, 0, 1, 1, steadyLoad), std::invalid_argument);
    EXPECT_THROW(runUpTime_s(table, 1, 0, 1, steadyLoad), std::invalid_argument);
}

// A torque that is everywhere the same takes J w/T; where there is none, nothing is counted.
TEST(FastestRunUp, IsTheSpinOverTheTorque)
{
    const std::vector<TorqueAtSpeed> even = {{0, 4}, {0.5, 4}, {1, 4}};
    EXPECT_NEAR(fastestRunUp_s(even, 0.02, 300, 1), 0.02 * 300 / 4, 1e-12);
    EXPECT_NEAR(fastestRunUp_s(even, 0.02, 300, 0.9), 0.02 * 270 / 4, 1e-12);
    const std::vector<TorqueAtSpeed> rising = {{0, 1}, {0.5, 2}, {1, 4}};
    EXPECT_NEAR(fastestRunUp_s(rising, 0.02, 300, 1), 0.02 * 150 / 2 + 0.02 * 150 / 4, 1e-12);
    const std::vector<TorqueAtSpeed> without = {{0, -1}, {0.5, 0}, {1, 4}};
    EXPECT_NEAR(fastestRunUp_s(without, 0.02, 300, 1), 0.02 * 150 / 4, 1e-12);
}

}  // namespace splitstart
