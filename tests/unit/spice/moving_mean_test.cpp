#include "spice/moving_mean.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

namespace splitstart
{
namespace
{

constexpr double window_s = 0.02;

TEST(MovingMean, OfAStraightRiseIsItsMiddle)
{
    MovingMean mean(window_s);
    for (double time_s = 0; time_s < 0.1; time_s += 0.0007) {
        mean.add(time_s, 50 * time_s);
        EXPECT_NEAR(mean.mean(), 50 * mean.middle_s(), 1e-9) << time_s;
        EXPECT_NEAR(mean.middle_s(), time_s - std::min(time_s, window_s) / 2, 1e-12);
    }
}

// Over a whole period a sine has no mean, wherever the window begins and however uneven the steps.
TEST(MovingMean, OfASineOverItsPeriodIsItsOffset)
{
    MovingMean mean(window_s);
    double time_s = 0;
    for (int i = 0; i < 4000; ++i) {
        mean.add(time_s, 3 + std::sin(2 * std::numbers::pi * time_s / window_s));
        if (time_s > window_s) {
            EXPECT_NEAR(mean.mean(), 3, 1e-4) << time_s;
        }
        time_s += i % 3 == 0 ? 1e-6 : 5e-5;
    }
}

TEST(MovingMean, OverNothingIsTheLastPoint)
{
    MovingMean mean(0);
    for (const double value : {3.0, -1.0, 7.0}) {
        mean.add(value + 10, value);
        EXPECT_EQ(mean.mean(), value);
        EXPECT_EQ(mean.middle_s(), value + 10);
        mean.add(value + 10.5, 2 * value);
        EXPECT_EQ(mean.mean(), 2 * value);
    }
}

// A step in the signal is two points at next to the same time.
TEST(MovingMean, CountsAStepFromWhenItIsThere)
{
    MovingMean mean(1);
    mean.add(0, 0);
    mean.add(10, 0);
    mean.add(10.0000001, 8);
    mean.add(10.25, 8);
    EXPECT_NEAR(mean.mean(), 2, 1e-5);
    mean.add(11, 8);
    EXPECT_NEAR(mean.mean(), 8, 1e-5);
}

}  // namespace
}  // namespace splitstart
