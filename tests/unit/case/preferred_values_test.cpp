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

}  // namespace splitstart
