#include <gtest/gtest.h>

#include <cmath>
#include <string>
#include <vector>

#include "circuit/part_physics.h"
#include "circuit/simulation_model.h"
#include "physics/near.h"
#include "rating/check.h"
#include "unit/rating/sound_bench.h"

namespace splitstart
{

namespace
{

constexpr const char* watched = "start-capacitor-volts";

// The same evidence of another motor, its start capacitor's volts in every start as given.
Evidence another(const char* name, double worst_V)
{
    Evidence evidence = soundColdStore().evidence;
    evidence.motor = name;
    for (StartRun& run : evidence.starts) {
        run.measured.startCapacitorWorst_V = worst_V;
    }
    return evidence;
}

Finding watchedWith(double best_V, const std::vector<Evidence>& others)
{
    RatingBench bench = soundColdStore();
    bench.eachStart([best_V](StartMeasurement& m) { m.startCapacitorWorst_V = best_V; });
    return findingOf(bench.findings(others), watched);
}

bool mentions(const std::string& text, const char* words)
{
    return text.find(words) != std::string::npos;
}

}  // namespace

TEST(Judge, DecidesWhereAllMotorsAgree)
{
    const Finding pass = watchedWith(200, {another("light", 150), another("heavy", 329)});
    EXPECT_EQ(pass.verdict, Verdict::pass);
    EXPECT_TRUE(pass.because.empty());
    const Finding fail = watchedWith(340, {another("light", 331), another("heavy", 400)});
    EXPECT_EQ(fail.verdict, Verdict::fail);
    EXPECT_TRUE(fail.because.empty());
}

TEST(Judge, IsUndecidedAndNamesTheMotorThatDiffers)
{
    const Finding finding =
        watchedWith(200, {another("turns ratio low", 150), another("turns ratio high", 335)});
    EXPECT_EQ(finding.verdict, Verdict::undecided);
    EXPECT_TRUE(mentions(finding.because, "turns ratio high")) << finding.because;
    EXPECT_FALSE(mentions(finding.because, "turns ratio low")) << finding.because;
    EXPECT_TRUE(mentions(finding.because, "pass")) << finding.because;
    const Finding other = watchedWith(340, {another("turns ratio low", 150)});
    EXPECT_EQ(other.verdict, Verdict::undecided);
    EXPECT_TRUE(mentions(other.because, "fail")) << other.because;
}

TEST(Judge, ShowsTheBestEstimatesValueEvenWhenAnotherMotorIsWorse)
{
    const Finding finding = watchedWith(200, {another("heavy", 400)});
    EXPECT_TRUE(finding.hasValue);
    EXPECT_EQ(finding.value, 200);
    EXPECT_EQ(finding.limit, 330);
    EXPECT_EQ(finding.margin, 130);
}

TEST(Judge, IsUndecidedWhenAnotherMotorHasNothingToCompare)
{
    Evidence empty = another("not simulated", 0);
    empty.starts.clear();
    const Finding finding = watchedWith(200, {empty});
    EXPECT_EQ(finding.verdict, Verdict::undecided);
    EXPECT_TRUE(mentions(finding.because, "not simulated"));
}

TEST(Judge, IsUndecidedWithAReasonWhenThereIsNothingToCompare)
{
    RatingBench bench = soundColdStore();
    bench.eachStart([](StartMeasurement& m) { m.startCapacitorWorst_V.reset(); });
    const Finding finding = bench.finding(watched);
    EXPECT_EQ(finding.verdict, Verdict::undecided);
    EXPECT_FALSE(finding.because.empty());
    EXPECT_FALSE(finding.hasValue);
}

TEST(Judge, IsUndecidedWhereARatingIsNotGiven)
{
    RatingBench store = soundColdStore();
    partOf<PotentialRelay>(store.input, "relay").coilContinuous_V = {};
    partOf<PotentialRelay>(store.input, "relay").contact_A = {};
    partOf<StartCapacitor>(store.input, "start").bleed_W = {};
    store.input.supply.sourceImpedanceGiven = false;
    for (const char* id : {"relay-coil-volts", "relay-contact-amps", "bleed-resistor-watts",
                           "supply-volts-starting"}) {
        EXPECT_EQ(store.finding(id).verdict, Verdict::undecided) << id;
        EXPECT_TRUE(mentions(store.finding(id).because, "not given")) << id;
    }
    RatingBench cooler = soundBottleCooler();
    partOf<CurrentRelay>(cooler.input, "relay").coilContinuous_A = {};
    partOf<CurrentRelay>(cooler.input, "relay").contact_A = {};
    partOf<CurrentRelay>(cooler.input, "relay").attitude = RelayAttitude::unknown;
    for (const char* id : {"relay-coil-amps", "relay-contact-amps", "relay-attitude"}) {
        EXPECT_EQ(cooler.finding(id).verdict, Verdict::undecided) << id;
        EXPECT_TRUE(mentions(cooler.finding(id).because, "not given")) << id;
    }
}

TEST(Judge, ShowsTheWorstCornerWithItsValueLimitAndMargin)
{
    RatingBench bench = soundColdStore();
    StartRun& worst = bench.evidence.starts[7];
    worst.measured.startCapacitorWorst_V = 310;
    const Finding finding = bench.finding(watched);
    EXPECT_EQ(finding.verdict, Verdict::pass);
    EXPECT_EQ(finding.corner, cornerText(worst.corner));
    EXPECT_EQ(finding.value, 310);
    EXPECT_EQ(finding.limit, 330);
    EXPECT_EQ(finding.margin, 20);
}

TEST(Judge, CountsTheMarginFromTheSideThatTheLimitIsOn)
{
    const Comparison atMost{"", 320, 330, false};
    EXPECT_EQ(atMost.margin(), 10);
    const Comparison atLeast{"", 320, 330, true};
    EXPECT_EQ(atLeast.margin(), -10);
    RatingBench bench = soundColdStore();
    bench.evidence.starts[4].measured.speedAtEnd_ratio = 0.8;
    const Finding finding = bench.finding("motor-starts");
    EXPECT_EQ(finding.verdict, Verdict::fail);
    EXPECT_TRUE(nearRel(finding.margin, -10, 1e-12));  // percent of synchronous speed
}

TEST(Judge, PassesAtTheRatingAndFailsBeyondIt)
{
    EXPECT_EQ(watchedWith(330, {}).verdict, Verdict::pass);
    EXPECT_EQ(watchedWith(330.01, {}).verdict, Verdict::fail);
}

TEST(Judge, NamesItsVerdicts)
{
    EXPECT_EQ(verdictName(Verdict::pass), "pass");
    EXPECT_EQ(verdictName(Verdict::fail), "fail");
    EXPECT_EQ(verdictName(Verdict::undecided), "undecided");
}

// A start winding without current gives no torque but for the rounding: that is no right way round.
TEST(MotorDirection, IsNotRightWithoutTorque)
{
    for (const double torque_Nm : {0.0, 1e-15, -1e-15}) {
        RatingBench bench = soundColdStore();
        bench.evidence.held[1].startCircuitIn.front().torque_Nm = torque_Nm;
        EXPECT_EQ(bench.finding("motor-direction").verdict, Verdict::fail) << torque_Nm;
        bench.evidence.ratedTorque_Nm = 0;  // a free shaft
        EXPECT_EQ(bench.finding("motor-direction").verdict, Verdict::fail) << torque_Nm;
    }
}

TEST(MotorTimeToSpeed, OfAMotorThatNeverGetsThereIsTooLong)
{
    RatingBench bench = soundColdStore();
    bench.evidence.starts[2].measured.timeToSpeed_s.reset();
    bench.evidence.starts[2].measured.end_s = 3;
    const Finding finding = bench.finding("motor-time-to-speed");
    EXPECT_EQ(finding.verdict, Verdict::fail);
    EXPECT_EQ(finding.corner,
              cornerText(bench.evidence.starts[2].corner) + ", it does not get there");
}

TEST(ProtectorHoldsStart, FailsWhenItOpenedWhateverTheHottestSampleShows)
{
    RatingBench bench = soundColdStore();
    bench.evidence.starts[2].measured.protectorTripped = 1;
    bench.evidence.starts[2].measured.protectorHottest_degC = 150;
    EXPECT_EQ(bench.finding("protector-holds-start").verdict, Verdict::fail);
}

// Cold, at 85 % line: copper that heats by 18 K/s at 25 degC and rated volts, and faster as its
// resistance rises with T + 234.5, is at 200 degC after
//   259.5 ln(434.5 / 259.5) / (18 * 0.85^2) = 10.3 s,
// that which heats by 8 K/s after 23.1 s. What trips in between nobody can judge.
TEST(ProtectorTripsStalled, IsUndecidedBetweenFastAndSlowHeating)
{
    const auto verdictAt = [](double share) {
        RatingBench bench = soundColdStore();
        bench.eachRowIn([share](HeldShaftMeasurement& row) { row.compressor_A *= share; });
        return bench.finding("protector-trips-stalled").verdict;
    };
    EXPECT_EQ(verdictAt(1), Verdict::pass);
    EXPECT_EQ(verdictAt(0.8), Verdict::undecided);
    EXPECT_EQ(verdictAt(0.5), Verdict::fail);
}

TEST(ProtectorTripsStalled, FailsWhereOneCornerSurelyFailsThoughAnotherIsUnsure)
{
    RatingBench bench = soundColdStore();
    const auto stall = [&bench](std::size_t table, double share) {
        bench.evidence.held[table].startCircuitIn.front().compressor_A *= share;
    };
    stall(0, 0.8);  // unsure
    EXPECT_EQ(bench.finding("protector-trips-stalled").verdict, Verdict::undecided);
    stall(1, 0.3);  // never trips
    EXPECT_EQ(bench.finding("protector-trips-stalled").verdict, Verdict::fail);
}

// The trip time that the check works out, against the exponential itself.
TEST(ProtectorTripsStalled, WorksOutTheTripTimeOfAFirstOrderBody)
{
    RatingBench bench = soundColdStore();
    bench.evidence.held.resize(1);  // cold
    const auto& protector = partOf<Protector>(bench.input, "inside");
    const Finding finding = bench.finding("protector-trips-stalled");
    ASSERT_EQ(finding.corner.substr(0, 9), "85 % line");
    const double current_A = 85 * 0.85;
    const double tau_s = protectorTimeConstant_s(protector, protector.tripTime_s.maximum);
    const double final_K = 85 * current_A * current_A / (30 * 30);  // over 65 to 150 degC at 30 A
    EXPECT_TRUE(nearRel(25 + final_K * (1 - std::exp(-finding.value / tau_s)), 150, 1e-9))
        << finding.corner << " " << finding.value;
    EXPECT_TRUE(nearRel(finding.limit, 259.5 * std::log(434.5 / 259.5) / (18 * 0.85 * 0.85), 1e-9));
}

}  // namespace splitstart
