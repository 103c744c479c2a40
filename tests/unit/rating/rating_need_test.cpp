// What ratings would have to be: at that rating the check itself is at its limit.
#include "rating/rating_need.h"

#include <gtest/gtest.h>

#include "unit/dairy_cases.h"
#include "unit/rating/sound_bench.h"

namespace splitstart
{
namespace
{

Verdict verdictOf(const RatingBench& bench, const char* id)
{
    return bench.finding(id).verdict;
}

CheckContext contextOf(const RatingBench& bench)
{
    return {bench.input, bench.circuit, bench.evidence};
}

TEST(RatingNeed, IsWhereTheChecksOfAPotentialRelayChangeTheirVerdict)
{
    const RatingBench sound = soundColdStore();
    const std::optional<PotentialRelayNeed> need = potentialRelayNeed(contextOf(sound));
    ASSERT_TRUE(need.has_value());
    const auto verdictWith = [&sound](const char* id, const auto& change) {
        RatingBench bench = sound;
        change(partOf<PotentialRelay>(bench.input, "relay"));
        return verdictOf(bench, id);
    };
    for (const auto& [factor, highVerdict, lowVerdict] :
         {std::tuple(1.001, Verdict::fail, Verdict::pass),
          std::tuple(0.999, Verdict::pass, Verdict::fail)}) {
        const double scale = factor;
        EXPECT_EQ(verdictWith("relay-pick-up-reached",
                              [&](PotentialRelay& relay) {
                                  relay.pickUp_V.maximum = scale * need->highestPickUp_V;
                              }),
                  highVerdict);
        EXPECT_EQ(verdictWith("relay-holds-running",
                              [&](PotentialRelay& relay) {
                                  relay.dropOut_V.maximum = scale * need->highestDropOut_V;
                              }),
                  highVerdict);
        EXPECT_EQ(verdictWith("relay-coil-volts",
                              [&](PotentialRelay& relay) {
                                  relay.coilContinuous_V = scale * need->coilContinuous_V;
                              }),
                  lowVerdict);
    }
    EXPECT_EQ(verdictWith("relay-closed-at-standstill",
                          [&](PotentialRelay& relay) {
                              relay.pickUp_V.minimum = 1.001 * need->lowestPickUp_V;
                          }),
              Verdict::pass);
}

TEST(RatingNeed, IsWhereTheChecksOfACurrentRelayChangeTheirVerdict)
{
    const RatingBench sound = soundBottleCooler();
    const std::optional<CurrentRelayNeed> need = currentRelayNeed(contextOf(sound));
    ASSERT_TRUE(need.has_value());
    const auto verdictWith = [&sound](const char* id, const auto& change) {
        RatingBench bench = sound;
        change(partOf<CurrentRelay>(bench.input, "relay"));
        return verdictOf(bench, id);
    };
    for (const double factor : {1.001, 0.999}) {
        const Verdict above = factor > 1 ? Verdict::fail : Verdict::pass;
        const Verdict below = factor > 1 ? Verdict::pass : Verdict::fail;
        EXPECT_EQ(verdictWith("relay-pulls-in",
                              [&](CurrentRelay& relay) {
                                  relay.pullIn_A.maximum = factor * need->highestPullIn_A;
                              }),
                  above);
        EXPECT_EQ(verdictWith("relay-stays-open-running",
                              [&](CurrentRelay& relay) {
                                  relay.pullIn_A.minimum = factor * need->lowestPullIn_A;
                              }),
                  below);
        EXPECT_EQ(verdictWith("relay-lets-go",
                              [&](CurrentRelay& relay) {
                                  relay.dropOut_A.minimum = factor * need->lowestDropOut_A;
                              }),
                  below);
        EXPECT_EQ(verdictWith("relay-coil-amps",
                              [&](CurrentRelay& relay) {
                                  relay.coilContinuous_A = factor * need->coilContinuous_A;
                              }),
                  below);
    }
}

// A relay must not open below 60 % speed, not even where the coil has the most volts: at 110 %
// line. The bench's coil has 120 + 180 * 0.6 = 228 V there, 250.8 V at that line. Beside hot
// windings its copper is at 70 degC, where it has (234.5 + 70) / (234.5 + 25) of its ohms (IEC
// 60034-1 with the 234.5 of IEC 60028, from memory), so that a pick-up is as much higher; 1.3 times
// the volts are then worth 1.3 * 250.8 V / 1.1734 = 277.86 V of the relay's label.
TEST(RatingNeed, OfTheLowestPickUpIsThatOfTheEarliestOpening)
{
    RatingBench bench = soundColdStore();
    partOf<PotentialRelay>(bench.input, "relay").coil_H = 0;
    EXPECT_NEAR(potentialRelayNeed(contextOf(bench)).value().lowestPickUp_V, 250.8, 1e-6);
    for (HeldShaftTable& table : bench.evidence.held) {
        for (HeldShaftMeasurement& row : table.startCircuitIn) {
            *row.coil_V *= table.winding_degC > 60 ? 1.3 : 1;
        }
    }
    EXPECT_NEAR(potentialRelayNeed(contextOf(bench)).value().lowestPickUp_V, 277.86, 0.01);
}

// A current relay lets go too early where its coil has the fewest amps: 40 - 30 * 0.6 = 22 A at 60
// % speed, at 85 % line 18.7 A.
TEST(RatingNeed, OfTheHighestDropOutIsThatOfTheEarliestOpening)
{
    RatingBench bench = soundBottleCooler();
    bench.eachRowIn([](HeldShaftMeasurement& row) { row.coil_A = 40 - 30 * row.speed_ratio; });
    EXPECT_NEAR(currentRelayNeed(contextOf(bench)).value().highestDropOut_A, 18.7, 1e-6);
}

// Start devices share ids: the row that counts is that of the device in the circuit.
TEST(RatingNeed, IsReadFromTheRowThatApplies)
{
    RatingBench cooler = soundBottleCooler();
    const double rating_A = *partOf<CurrentRelay>(cooler.input, "relay").contact_A;
    const Finding finding = cooler.finding("relay-contact-amps");
    const std::optional<double> need =
        neededRating("relay-contact-amps", contextOf(cooler), rating_A);
    ASSERT_TRUE(need.has_value());
    EXPECT_NEAR(*need, finding.value, 1e-9 * finding.value);
    EXPECT_EQ(neededRating("ptc-volts", contextOf(cooler), 1), std::nullopt);
}

TEST(RatingNeed, IsNotKnownWhereTheMotorDoesNotCarryItsLoad)
{
    RatingBench bench = soundColdStore();
    bench.evidence.ratedTorque_Nm = 1e6;
    EXPECT_FALSE(potentialRelayNeed(contextOf(bench)).has_value());
}

}  // namespace
}  // namespace splitstart
