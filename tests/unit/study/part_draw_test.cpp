// Parts from anywhere in the ranges on their labels.
#include "study/part_draw.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <set>
#include <stdexcept>
#include <string>
#include <vector>

#include "unit/dairy_service_cases.h"

namespace splitstart
{

namespace
{

std::vector<Case> allCases()
{
    return {coldStoreCase(), bottleCoolerCase(), milkTankCase(),
            curdRoomCase(),  butterChurnCase(),  ripeningRoomCase()};
}

std::vector<double> all(const Case& input, double position)
{
    return std::vector<double>(partTolerances(input).size(), position);
}

std::vector<std::string> namesOf(const Case& input)
{
    std::vector<std::string> names;
    for (const PartTolerance& tolerance : partTolerances(input)) {
        names.push_back(tolerance.name);
    }
    return names;
}

}  // namespace

TEST(PartTolerances, AreThoseOfThePartsInTheCircuit)
{
    EXPECT_EQ(namesOf(coldStoreCase()),
              (std::vector<std::string>{"pick-up volts of the relay", "drop-out volts of the relay",
                                        "microfarads of the start capacitor",
                                        "microfarads of the run capacitor",
                                        "trip time of the protector"}));
    EXPECT_EQ(namesOf(bottleCoolerCase()),
              (std::vector<std::string>{"pull-in amps of the relay", "drop-out amps of the relay",
                                        "microfarads of the start capacitor",
                                        "trip time of the protector"}));
    Case noCircuit = coldStoreCase();
    noCircuit.circuit.reset();
    EXPECT_TRUE(partTolerances(noCircuit).empty());
    for (const Case& input : allCases()) {
        const std::vector<std::string> names = namesOf(input);
        EXPECT_EQ(std::set<std::string>(names.begin(), names.end()).size(), names.size())
            << input.name;
        for (const PartTolerance& tolerance : partTolerances(input)) {
            EXPECT_GE(tolerance.range.maximum, tolerance.range.minimum) << tolerance.name;
        }
    }
}

TEST(PartTolerances, CollapseToOneValue)
{
    for (const Case& input : allCases()) {
        for (const double position : {0.0, 0.3, 1.0}) {
            for (const PartTolerance& each :
                 partTolerances(withParts(input, all(input, position)))) {
                EXPECT_EQ(each.range.minimum, each.range.maximum) << input.name << each.name;
            }
        }
    }
}

TEST(PartTolerances, EndAtPositionsZeroAndOne)
{
    const Case input = coldStoreCase();
    const auto relayAt = [&](double position) {
        Case drawn = withParts(input, all(input, position));
        return partOf<PotentialRelay>(drawn, "relay");
    };
    Case copy = input;
    const auto& printed = partOf<PotentialRelay>(copy, "relay");
    EXPECT_DOUBLE_EQ(relayAt(0).pickUp_V.minimum, printed.pickUp_V.minimum);
    EXPECT_DOUBLE_EQ(relayAt(1).pickUp_V.maximum, printed.pickUp_V.maximum);
    EXPECT_DOUBLE_EQ(relayAt(0.5).pickUp_V.middle(), printed.pickUp_V.middle());
    EXPECT_DOUBLE_EQ(relayAt(0).dropOut_V.maximum, printed.dropOut_V.minimum);
    EXPECT_DOUBLE_EQ(relayAt(1).dropOut_V.minimum, printed.dropOut_V.maximum);
}

TEST(PartTolerances, AreDrawnEachByItsOwnPosition)
{
    const Case input = coldStoreCase();
    const std::vector<PartTolerance> printed = partTolerances(input);
    for (std::size_t moved = 0; moved < printed.size(); ++moved) {
        std::vector<double> positions = all(input, 0);
        positions[moved] = 1;
        const std::vector<PartTolerance> drawn = partTolerances(withParts(input, positions));
        for (std::size_t i = 0; i < printed.size(); ++i) {
            EXPECT_DOUBLE_EQ(drawn[i].range.minimum,
                             i == moved ? printed[i].range.maximum : printed[i].range.minimum)
                << printed[i].name;
        }
    }
}

// A relay that let go above the current at which it pulls in would never rest (common practice, no
// source).
TEST(PartTolerances, KeepTheDropOutOfACurrentRelayBelowItsPullIn)
{
    Case input = bottleCoolerCase();
    auto& relay = partOf<CurrentRelay>(input, "relay");
    relay.pullIn_A = {8, 12};
    relay.dropOut_A = {6, 10};  // the ranges overlap
    for (const double pullIn : {0.0, 0.2, 0.5, 1.0}) {
        for (const double dropOut : {0.0, 0.5, 1.0}) {
            std::vector<double> positions = all(input, 0.5);
            positions[0] = pullIn;
            positions[1] = dropOut;
            Case drawn = withParts(input, positions);
            const auto& one = partOf<CurrentRelay>(drawn, "relay");
            EXPECT_DOUBLE_EQ(one.pullIn_A.minimum, 8 + 4 * pullIn);
            EXPECT_LT(one.dropOut_A.maximum, one.pullIn_A.minimum);
            EXPECT_EQ(one.dropOut_A.minimum, one.dropOut_A.maximum);
            EXPECT_NEAR(one.dropOut_A.maximum, std::min(6 + 4 * dropOut, 0.98 * (8 + 4 * pullIn)),
                        1e-12);
        }
    }
}

TEST(PartTolerances, LeaveTheRestOfTheCaseAsItWas)
{
    const Case input = coldStoreCase();
    const Case drawn = withParts(input, all(input, 0.7));
    ASSERT_EQ(drawn.parts.parts.size(), input.parts.parts.size());
    EXPECT_EQ(drawn.supply.voltage_V, input.supply.voltage_V);
    EXPECT_EQ(drawn.circuit->startDevice, input.circuit->startDevice);
    EXPECT_EQ(drawn.compressor.equivalentCircuit, input.compressor.equivalentCircuit);
    Case before = input;
    Case after = drawn;
    const auto& printed = partOf<PotentialRelay>(before, "relay");
    const auto& relay = partOf<PotentialRelay>(after, "relay");
    EXPECT_EQ(relay.coil_ohm, printed.coil_ohm);
    EXPECT_EQ(relay.contact_A, printed.contact_A);
    // A part that stands on the shelf is not in the circuit.
    const auto& shelf = partOf<Protector>(before, "outside");
    EXPECT_EQ(partOf<Protector>(after, "outside").tripTime_s.maximum, shelf.tripTime_s.maximum);
    EXPECT_EQ(partOf<Protector>(after, "outside").tripTime_s.minimum, shelf.tripTime_s.minimum);
    // The case itself is not touched.
    EXPECT_LT(partTolerances(input).front().range.minimum,
              partTolerances(input).front().range.maximum);
}

TEST(PartTolerances, AskForAsManyPositionsAsThereAre)
{
    const Case input = coldStoreCase();
    std::vector<double> positions = all(input, 0.5);
    positions.pop_back();
    EXPECT_THROW(withParts(input, positions), std::invalid_argument);
    positions.resize(positions.size() + 2);
    EXPECT_THROW(withParts(input, positions), std::invalid_argument);
    EXPECT_THROW(withParts(input, {}), std::invalid_argument);
}

}  // namespace splitstart
