// Printed ranges of start capacitors and lives of run capacitors. What several makers print, with
// EIA-463, IEC 60252-1 and IEC 60252-2 named beside it; the standards' own text could not be read.
#include "case/preferred_values.h"

#include <gtest/gtest.h>

#include <algorithm>

namespace splitstart
{
namespace
{

constexpr double micro = 1e-6;

bool isPrinted(double minimum_uF, double maximum_uF)
{
    const auto ranges = preferredStartRanges_F();
    return std::any_of(ranges.begin(), ranges.end(), [&](const Range& range) {
        return std::abs(range.minimum - minimum_uF * micro) < 1e-9 &&
               std::abs(range.maximum - maximum_uF * micro) < 1e-9;
    });
}

}  // namespace

// As the lists print them, read independently of the rule of 1.2.
TEST(PreferredStartRanges, AreThoseThatArePrinted)
{
    const std::pair<double, double> printed[] = {
        {21, 25},   {36, 43},   {64, 77},   {72, 86},   {88, 106},  {108, 130}, {130, 156},
        {145, 174}, {161, 193}, {189, 227}, {270, 324}, {378, 454}, {540, 648}, {1280, 1536},
    };
    for (const auto& [minimum_uF, maximum_uF] : printed) {
        EXPECT_TRUE(isPrinted(minimum_uF, maximum_uF)) << minimum_uF;
    }
}

TEST(PreferredStartRanges, RiseAndAreNotTwiceTheSame)
{
    const auto ranges = preferredStartRanges_F();
    for (std::size_t i = 1; i < ranges.size(); ++i) {
        EXPECT_LT(ranges[i - 1].minimum, ranges[i].minimum);
        EXPECT_LT(ranges[i - 1].maximum, ranges[i].maximum);
    }
}

// Printers round differently: 88-108 beside 88-106.
TEST(NearestPreferredStartRange, IsSilentForARangeAsSomebodyPrintsIt)
{
    for (const auto& [minimum_uF, maximum_uF] :
         {std::pair{130.0, 156.0}, {88.0, 108.0}, {161.0, 194.0}, {72.0, 86.4}}) {
        EXPECT_FALSE(nearestPreferredStartRange_F({minimum_uF * micro, maximum_uF * micro}));
    }
}

TEST(NearestPreferredStartRange, NamesTheNeighbourOfAMisreadLabel)
{
    const auto nearest = nearestPreferredStartRange_F({198 * micro, 227 * micro});
    ASSERT_TRUE(nearest);
    EXPECT_NEAR(nearest->minimum, 189 * micro, 1e-9);
    EXPECT_NEAR(nearest->maximum, 227 * micro, 1e-9);
}

TEST(PreferredStartVolts, HoldTheCommonRatings)
{
    const auto volts = preferredStartVolts_V();
    for (const double common_V : {125.0, 165.0, 250.0, 330.0}) {
        EXPECT_NE(std::find(volts.begin(), volts.end(), common_V), volts.end());
    }
}

TEST(LifeOfClass, IsThatOfTheFourClasses)
{
    EXPECT_EQ(lifeOfClass_h('A'), 30000);
    EXPECT_EQ(lifeOfClass_h('B'), 10000);
    EXPECT_EQ(lifeOfClass_h('C'), 3000);
    EXPECT_EQ(lifeOfClass_h('D'), 1000);
    EXPECT_FALSE(lifeOfClass_h('E'));
}

// IEC 60063:2015, table of E6 to E192 (from memory), as lists of resistors print them: E24, E96 and
// E192 have values that the rounded power of ten does not give, or that must not be shifted.
TEST(PreferredValues, AreThoseOfTheTables)
{
    EXPECT_EQ(preferredValues("E3", 1, 9.99), (std::vector<double>{1, 2.2, 4.7}));
    EXPECT_EQ(preferredValues("E12", 10, 100),
              (std::vector<double>{10, 12, 15, 18, 22, 27, 33, 39, 47, 56, 68, 82, 100}));
    EXPECT_EQ(
        preferredValues("E24", 0.1, 0.3),
        (std::vector<double>{0.1, 0.11, 0.12, 0.13, 0.15, 0.16, 0.18, 0.2, 0.22, 0.24, 0.27, 0.3}));
    EXPECT_EQ(
        preferredValues("E48", 1, 1.7),
        (std::vector<double>{1, 1.05, 1.1, 1.15, 1.21, 1.27, 1.33, 1.4, 1.47, 1.54, 1.62, 1.69}));
    EXPECT_EQ(preferredValues("E96", 9, 9.99), (std::vector<double>{9.09, 9.31, 9.53, 9.76}));
    const std::vector<double> e192 = preferredValues("E192", 1, 9.99);
    EXPECT_EQ(e192.size(), 192U);
    EXPECT_EQ(std::count(e192.begin(), e192.end(), 9.2), 1);
    EXPECT_EQ(std::count(e192.begin(), e192.end(), 9.19), 0);
}

TEST(PreferredValues, AreNoneForAnotherSeriesOrAnEmptySpan)
{
    EXPECT_TRUE(preferredValues("E5", 1, 10).empty());
    EXPECT_TRUE(preferredValues("E12", 0, 10).empty());
    EXPECT_TRUE(preferredValues("E12", 10, 1).empty());
    EXPECT_TRUE(preferredValues("E12", 3.4, 3.8).empty());
}

}  // namespace splitstart
