// Which corners are tried.
#include <gtest/gtest.h>

#include <algorithm>
#include <set>
#include <string>
#include <vector>

#include "study/case_study.h"
#include "study/corners.h"
#include "unit/dairy_service_cases.h"

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
                           corner.release == release && !corner.switchOn_deg && !corner.capacitors;
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

// The most amps through a start contact come from the largest capacitors, for the longest from a
// device that leaves late, at the highest line.
TEST(Corners, HoldTheLargestCapacitorsWithTheLatestStartDevice)
{
    for (const Case& input :
         {coldStoreCase(), bottleCoolerCase(), milkTankCase(), curdRoomCase(), butterChurnCase()}) {
        int cold = 0;
        int hot = 0;
        for (const Corner& corner : checkCorners(input)) {
            EXPECT_NE(corner.capacitors, Release::late);
            if (corner.capacitors) {
                EXPECT_EQ(corner.capacitors, Release::early)
                    << input.name;  // their most microfarads
                EXPECT_EQ(corner.release, Release::late) << input.name;
                EXPECT_EQ(corner.line_ratio, 1.10) << input.name;
                ++(isHot(corner.winding_degC) ? hot : cold);
            }
        }
        EXPECT_EQ(cold, 1) << input.name;
        EXPECT_EQ(hot, 1) << input.name;
    }
}

TEST(Corners, WithoutAStartDeviceOrAnyCapacitorHaveNoSuchOne)
{
    Case resistanceStart = stockedCase();
    resistanceStart.circuit = CircuitChoice{};
    resistanceStart.circuit->type = "RSIR";
    resistanceStart.circuit->startDevice = "current";
    for (const Case& input : {ripeningRoomCase(), resistanceStart}) {
        for (const Corner& corner : checkCorners(input)) {
            EXPECT_FALSE(corner.capacitors) << input.name;
        }
    }
}

// What is warm from the last start: a PTC. It is tried as the shortest off time leaves it, beside a
// hot motor, where it cools the least.
TEST(RestartCorners, AreThoseOfAWarmPtcBesideAHotMotor)
{
    const Case input = milkTankCase();
    const std::vector<Corner> corners = restartCorners(input);
    for (const double line : {0.85, 1.00}) {
        for (const Release release : {Release::early, Release::late}) {
            EXPECT_EQ(std::count_if(corners.begin(), corners.end(),
                                    [&](const Corner& corner) {
                                        return corner.line_ratio == line &&
                                               corner.release == release;
                                    }),
                      1);
        }
    }
    for (const Corner& corner : corners) {
        EXPECT_TRUE(isHot(corner.winding_degC));
        EXPECT_EQ(corner.restartAfter_s, 180.0);
        EXPECT_EQ(corner.pressures, input.compressor.load.pressures);
    }
}

TEST(RestartCorners, WaitAsLongAsTheCaseSaysElseThreeMinutes)
{
    Case input = milkTankCase();
    input.circuit->shortestOff_s = 40;
    EXPECT_EQ(restartCorners(input).front().restartAfter_s, 40.0);
    input.circuit->shortestOff_s.reset();
    EXPECT_EQ(restartCorners(input).front().restartAfter_s, 180.0);
}

TEST(RestartCorners, AreNoneWhereNothingHasToRecover)
{
    for (const Case& input : {coldStoreCase(), bottleCoolerCase(), curdRoomCase(),
                              butterChurnCase(), ripeningRoomCase()}) {
        EXPECT_TRUE(restartCorners(input).empty()) << input.name;
    }
}

// No first start is one after a short off time.
TEST(Corners, AreFirstStarts)
{
    for (const Corner& corner : checkCorners(milkTankCase())) {
        EXPECT_FALSE(corner.restartAfter_s);
    }
}

// Two corners that differ must not read the same.
TEST(CornerText, TellsEveryCornerApart)
{
    for (const Case& input : {coldStoreCase(), milkTankCase()}) {
        std::set<std::string> texts;
        std::vector<Corner> all = checkCorners(input);
        const std::vector<Corner> again = restartCorners(input);
        all.insert(all.end(), again.begin(), again.end());
        for (const Corner& corner : all) {
            EXPECT_TRUE(texts.insert(cornerText(corner)).second) << cornerText(corner);
        }
    }
}

}  // namespace splitstart
