// Closed forms of sines, lines and steps, sampled at unequal steps.
#include "spice/waveform_math.h"

#include <gtest/gtest.h>

#include <cmath>
#include <functional>
#include <numbers>
#include <random>
#include <vector>

#include "physics/near.h"

namespace splitstart
{

namespace
{

constexpr double cycle_s = 1.0 / 60;
constexpr double omega_rad_s = 2 * std::numbers::pi * 60;
// Of the trapezoidal rule at steps of up to 20 us: (omega h)^2 / 12 is 5e-6.
constexpr double sampling_ratio = 1e-5;

// A function of time sampled from 0 to end_s at steps that differ by a factor of up to ten.
class Sampled
{
public:
    Sampled(double end_s, const std::function<double(double)>& value, double longest_s = 20e-6)
    {
        std::mt19937 random(40);
        std::uniform_real_distribution<double> step(0.1 * longest_s, longest_s);
        for (double t = 0; t < end_s; t += step(random)) {
            add(t, value(t));
        }
        add(end_s, value(end_s));
    }
    [[nodiscard]] Signal signal() const { return {time_, value_}; }

private:
    void add(double time_s, double value)
    {
        time_.push_back(time_s);
        value_.push_back(value);
    }
    std::vector<double> time_;
    std::vector<double> value_;
};

double sine(double t)
{
    return 3 * std::sin(omega_rad_s * t + 0.4);
}

}  // namespace

TEST(ValueAt, IsOnTheStraightLineBetweenSamples)
{
    const std::vector<double> time = {1, 2, 5};
    const std::vector<double> value = {10, 20, -10};
    const Signal signal{time, value};
    EXPECT_DOUBLE_EQ(valueAt(signal, 1.25), 12.5);
    EXPECT_DOUBLE_EQ(valueAt(signal, 3), 10);
    EXPECT_DOUBLE_EQ(valueAt(signal, 2), 20);
}

TEST(ValueAt, IsTheEndValueOutsideTheSamples)
{
    const std::vector<double> time = {1, 2, 5};
    const std::vector<double> value = {10, 20, -10};
    const Signal signal{time, value};
    EXPECT_DOUBLE_EQ(valueAt(signal, -7), 10);
    EXPECT_DOUBLE_EQ(valueAt(signal, 1), 10);
    EXPECT_DOUBLE_EQ(valueAt(signal, 5), -10);
    EXPECT_DOUBLE_EQ(valueAt(signal, 99), -10);
}

TEST(Integral, OfASineIsTheDifferenceOfCosines)
{
    const Sampled sampled(0.2, sine);
    for (const auto& [from_s, to_s] : {std::pair(0.0, 0.2), std::pair(0.0123, 0.1),
                                       std::pair(0.05, 0.0501), std::pair(0.1, 0.1 + cycle_s)}) {
        const double exact =
            3 / omega_rad_s *
            (std::cos(omega_rad_s * from_s + 0.4) - std::cos(omega_rad_s * to_s + 0.4));
        EXPECT_TRUE(nearOfScale(integral(sampled.signal(), from_s, to_s), exact, 3 / omega_rad_s,
                                sampling_ratio));
    }
}

// The trapezoidal rule is exact for a straight line, wherever the ends fall between the samples.
TEST(Integral, OfALineIsExact)
{
    const auto line = [](double t) { return 5 - 40 * t; };
    const Sampled sampled(0.3, line, 7e-3);
    std::mt19937 random(41);
    std::uniform_real_distribution<double> any(0, 0.3);
    for (int i = 0; i < 200; ++i) {
        const double a = any(random);
        const double b = any(random);
        const double from_s = std::min(a, b);
        const double to_s = std::max(a, b);
        const double exact = 5 * (to_s - from_s) - 20 * (to_s * to_s - from_s * from_s);
        EXPECT_TRUE(nearOfScale(integral(sampled.signal(), from_s, to_s), exact, 1, 1e-12));
    }
}

TEST(Integral, AddsUp)
{
    const Sampled sampled(0.1, sine);
    const Signal signal = sampled.signal();
    EXPECT_TRUE(nearOfScale(integral(signal, 0.01, 0.037) + integral(signal, 0.037, 0.09),
                            integral(signal, 0.01, 0.09), 3 / omega_rad_s, 1e-6));
}

TEST(Mean, OfWholeCyclesIsTheDirectComponent)
{
    const Sampled sampled(0.2, [](double t) { return 7 + sine(t); });
    EXPECT_TRUE(nearRel(mean(sampled.signal(), 0.03, 0.03 + 3 * cycle_s), 7, sampling_ratio));
}

TEST(Rms, OfWholeCyclesIsThePeakOverTheRootOfTwo)
{
    const Sampled sampled(0.2, sine);
    EXPECT_TRUE(nearRel(rms(sampled.signal(), 0.021, 0.021 + 4 * cycle_s), 3 / std::numbers::sqrt2,
                        sampling_ratio));
}

TEST(Rms, OfADirectAndAnAlternatingComponentIsTheRootOfTheSumOfSquares)
{
    const Sampled sampled(0.2, [](double t) { return 4 + sine(t); });
    EXPECT_TRUE(
        nearRel(rms(sampled.signal(), 0, 6 * cycle_s), std::sqrt(16 + 4.5), sampling_ratio));
}

namespace
{

// Peak 1, but 3 in the fourth and fifth cycle.
double burst(double t)
{
    const bool loud = t > 3 * cycle_s && t < 5 * cycle_s;
    return (loud ? 3 : 1) * std::sin(omega_rad_s * t);
}

}  // namespace

TEST(WindowRms, FindsTheLoudestAndTheQuietestCycle)
{
    const Sampled sampled(9 * cycle_s, burst);
    const Signal signal = sampled.signal();
    EXPECT_TRUE(
        nearRel(largestWindowRms(signal, 0, 9 * cycle_s, cycle_s), 3 / std::numbers::sqrt2, 1e-4));
    EXPECT_TRUE(
        nearRel(smallestWindowRms(signal, 0, 9 * cycle_s, cycle_s), 1 / std::numbers::sqrt2, 1e-4));
    // A window of three cycles holds the loud two and a quiet one.
    EXPECT_TRUE(nearRel(largestWindowRms(signal, 0, 9 * cycle_s, 3 * cycle_s),
                        std::sqrt((4.5 + 4.5 + 0.5) / 3), 1e-4));
}

TEST(WindowRms, AtEachSampleIsThatOfTheWindowBeforeIt)
{
    const Sampled sampled(9 * cycle_s, burst);
    const Signal signal = sampled.signal();
    const std::vector<double> rolling = windowRms(signal, cycle_s);
    ASSERT_EQ(rolling.size(), signal.time_s.size());
    EXPECT_EQ(rolling.front(), 0);
    for (std::size_t i = 1; i < rolling.size(); ++i) {
        const double to_s = signal.time_s[i];
        const double from_s = std::max(0.0, to_s - cycle_s);
        EXPECT_TRUE(nearOfScale(rolling[i], rms(signal, from_s, to_s), 3, 1e-3)) << to_s;
    }
}

TEST(WindowRms, LooksInsideTheIntervalOnly)
{
    const Sampled sampled(9 * cycle_s, burst);
    const Signal signal = sampled.signal();
    EXPECT_TRUE(nearRel(largestWindowRms(signal, 0, 2.999 * cycle_s, cycle_s),
                        1 / std::numbers::sqrt2, 1e-4));
    EXPECT_TRUE(nearRel(largestWindowRms(signal, 5.001 * cycle_s, 9 * cycle_s, cycle_s),
                        1 / std::numbers::sqrt2, 1e-4));
    EXPECT_TRUE(nearRel(smallestWindowRms(signal, 3.001 * cycle_s, 4.999 * cycle_s, cycle_s),
                        3 / std::numbers::sqrt2, 1e-4));
}

TEST(WindowRms, TakesAWindowThatFillsTheIntervalBetweenTwoSamples)
{
    const Sampled sampled(0.2, sine, 2e-3);
    const double from_s = 0.0321;
    const double to_s = from_s + cycle_s;
    const double whole = rms(sampled.signal(), from_s, to_s);
    EXPECT_TRUE(nearRel(largestWindowRms(sampled.signal(), from_s, to_s, cycle_s), whole, 0.02));
    EXPECT_TRUE(nearRel(smallestWindowRms(sampled.signal(), from_s, to_s, cycle_s), whole, 0.02));
}

TEST(WindowRms, SaysSoWhenTheWindowDoesNotFit)
{
    const Sampled sampled(0.2, sine);
    EXPECT_EQ(largestWindowRms(sampled.signal(), 0.1, 0.1 + 0.9 * cycle_s, cycle_s), 0);
    EXPECT_TRUE(std::isinf(smallestWindowRms(sampled.signal(), 0.1, 0.1 + 0.9 * cycle_s, cycle_s)));
}

TEST(LargestMagnitude, CountsBothSigns)
{
    const Sampled sampled(0.2, [](double t) { return -1 + sine(t); });
    EXPECT_TRUE(nearRel(largestMagnitude(sampled.signal(), 0, 0.2), 4, sampling_ratio));
    // Of the falling half wave only.
    const Sampled pulse(0.2, [](double t) { return t < 0.1 ? -5 * t : 0.1; });
    EXPECT_TRUE(nearRel(largestMagnitude(pulse.signal(), 0, 0.2), 0.5, 1e-3));
    EXPECT_DOUBLE_EQ(largestMagnitude(pulse.signal(), 0.15, 0.2), 0.1);
}

TEST(Crossing, OfASineIsWhereItsArcSays)
{
    const Sampled sampled(0.2, sine);
    const double exact_s = (std::asin(0.5) - 0.4) / omega_rad_s;
    const auto rising = crossing(sampled.signal(), 1.5, true);
    ASSERT_TRUE(rising);
    EXPECT_TRUE(nearOfScale(*rising, exact_s, cycle_s, 1e-5));
    const auto falling = crossing(sampled.signal(), 1.5, false);
    ASSERT_TRUE(falling);
    EXPECT_TRUE(nearOfScale(*falling, (std::numbers::pi - std::asin(0.5) - 0.4) / omega_rad_s,
                            cycle_s, 1e-5));
}

TEST(Crossing, IsTheFirstAtOrAfterTheGivenTime)
{
    const Sampled sampled(0.2, sine);
    const double first_s = crossing(sampled.signal(), 0, true).value();
    const double next_s = crossing(sampled.signal(), 0, true, first_s + 1e-4).value();
    EXPECT_TRUE(nearOfScale(next_s - first_s, cycle_s, cycle_s, 1e-5));
}

TEST(Crossing, BeforeTheGivenTimeButInTheSameStepDoesNotCount)
{
    const std::vector<double> time = {0, 1, 2, 3};
    const std::vector<double> value = {-1, 3, -1, 3};
    const Signal signal{time, value};
    EXPECT_DOUBLE_EQ(crossing(signal, 0, true).value(), 0.25);
    EXPECT_DOUBLE_EQ(crossing(signal, 0, true, 0.25).value(), 0.25);
    EXPECT_DOUBLE_EQ(crossing(signal, 0, true, 0.5).value(), 2.25);
    EXPECT_EQ(crossing(signal, 0, true, 2.5), std::nullopt);
}

TEST(Crossing, IsEmptyWhenTheLevelIsNotReached)
{
    const Sampled sampled(0.2, sine);
    EXPECT_EQ(crossing(sampled.signal(), 3.1, true), std::nullopt);
    EXPECT_EQ(crossing(sampled.signal(), -3.1, false), std::nullopt);
    const std::vector<double> one = {1};
    EXPECT_EQ(crossing(Signal{one, one}, 0.5, true), std::nullopt);
}

TEST(CrossingCount, IsOneForEachCycle)
{
    const Sampled sampled(10.2 * cycle_s, sine);
    EXPECT_EQ(crossingCount(sampled.signal(), 0, false), 10);
    EXPECT_EQ(crossingCount(sampled.signal(), 0, true), 10);
    EXPECT_EQ(crossingCount(sampled.signal(), 5, true), 0);
}

TEST(CrossingCount, CountsASampleOnTheLevelOnce)
{
    const std::vector<double> time = {0, 1, 2, 3, 4, 5, 6};
    const std::vector<double> value = {1, 0, -1, 0, 1, 0, -1};
    const Signal signal{time, value};
    EXPECT_EQ(crossingCount(signal, 0, false), 2);
    EXPECT_EQ(crossingCount(signal, 0, true), 1);
    EXPECT_DOUBLE_EQ(crossing(signal, 0, false).value(), 1);
}

}  // namespace splitstart
