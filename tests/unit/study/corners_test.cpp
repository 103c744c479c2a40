// Which corners are tried.
#include <gtest/gtest.h>

#include <algorithm>

#include "study/case_study.h"
#include "study/corners.h"
#include "unit/dairy_cases.h"

namespace splitstart
{

TEST(Corners, AreEveryLineColdAndHotAtBothEndsOfTheParts)
{
    const std::vector<Corner> corners = checkCorners(coldStoreCase());
    for (const double line : {0.85, 0.90, 1.00, 1.10}) {
        for (const bool hot : {false, true}) {
            for (const Release release : {Release::early, Release::late}) {
                EXPECT_TRUE(std::any_of(corners.begin(), corners.end(), [&](const Corner& corner) {
                    return corner.line_ratio == line && isHot(corner.winding_degC) == hot &&
                           corner.release == release && !corner.switchOn_deg;
                }));
            }
        }
    }
}

// A capacitor switched on at the crest of the line begins with the hardest cycle, hardest at the
// highest line.
TEST(Corners, HoldSwitchOnAtTheCrestOfTheHighestLine)
{
    Case input = coldStoreCase();
    input.compressor.nameplate.voltage_V = 230;
    for (const double found_V : {230.0, 290.0}) {
        input.supply.voltage_V = found_V;
        const double highest = std::max(1.10, found_V / 230);
        int atCrest = 0;
        for (const Corner& corner : checkCorners(input)) {
            EXPECT_LE(corner.line_ratio, highest);
            if (corner.switchOn_deg) {
                EXPECT_EQ(*corner.switchOn_deg, 90);
                EXPECT_EQ(corner.line_ratio, highest);
                ++atCrest;
            }
        }
        EXPECT_EQ(atCrest, 4);
    }
}

// Windings hotter than that would have opened it: there is no such start.
TEST(HotWindings, AreNoHotterThanAProtectorOnThemAllows)
{
    Case input = coldStoreCase();
    auto& protector = partOf<Protector>(input, "inside");
    protector.trip_degC = 105;
    protector.reset_degC = 70;
    EXPECT_LT(hotWinding_degC(input), 105);
    EXPECT_TRUE(isHot(hotWinding_degC(input)));
    protector.trip_degC = 150;
    EXPECT_EQ(hotWinding_degC(input), 110);
    // One outside the shell leaves the windings as hot as they are.
    EXPECT_EQ(hotWinding_degC(bottleCoolerCase()), 110);
}

}  // namespace splitstart
