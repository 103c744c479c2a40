// A rotor that stays stuck while a timed switch or a PTC takes the start circuit out: disc and
// windings heat with other amps from then on. And what the protector carries in the long run.
#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <string>
#include <utility>

#include "motor/compressor_load.h"
#include "physics/near.h"
#include "unit/rating/sound_bench.h"

namespace splitstart
{

namespace
{

constexpr const char* checkId = "protector-trips-stalled";
constexpr double step_s = 2e-4;
constexpr double limit_degC = 200;

// Amps before the start circuit leaves and after, at 100 % line.
struct Stall {
    double in_A = 0;
    double out_A = 0;
    double leaves_s = 0;
    [[nodiscard]] double at(double time_s) const { return time_s < leaves_s ? in_A : out_A; }
};

// A disc whose rise lags a final one that goes with the square of the amps, step by step. What the
// label says gives its lag: from its own ambient it trips in the label's time at the label's amps.
double discTrips_s(const Protector& part, const Stall& stall, double line, double ambient_degC)
{
    const auto final_K = [&part](double current_A) {
        return (part.trip_degC - part.ambient_degC) * current_A * current_A /
               (part.ultimateTrip_A * part.ultimateTrip_A);
    };
    const double labelFinal_K = final_K(part.tripCurrent_A);
    const double lag_s =
        part.tripTime_s.maximum /
        std::log(labelFinal_K / (labelFinal_K - (part.trip_degC - part.ambient_degC)));
    double rise_K = 0;
    for (double time_s = 0; time_s < 100; time_s += step_s) {
        const double toward_K = final_K(line * stall.at(time_s + step_s / 2));
        const double half_K = rise_K + step_s / 2 * (toward_K - rise_K) / lag_s;
        rise_K += step_s * (toward_K - half_K) / lag_s;
        if (ambient_degC + rise_K >= part.trip_degC) {
            return time_s + step_s;
        }
    }
    return std::numeric_limits<double>::infinity();
}

// A copper wire that keeps all of its heat, step by step: at a density of J it warms by
// (T + 234.5) J^2 / K^2 a second, K = 226 A sqrt(s)/mm2 (IEC 60949, from memory).
double wireIsAtLimit_s(double area_m2, const Stall& stall, double line, double from_degC)
{
    double degC = from_degC;
    for (double time_s = 0; time_s < 100; time_s += step_s) {
        const double density_A_m2 = line * stall.at(time_s + step_s / 2) / area_m2;
        degC += step_s * (degC + 234.5) * std::pow(density_A_m2 / 226e6, 2);
        if (degC >= limit_degC) {
            return time_s + step_s;
        }
    }
    return std::numeric_limits<double>::infinity();
}

void standStill(RatingBench& bench, double HeldShaftMeasurement::*amps, double in_A, double out_A)
{
    for (HeldShaftTable& table : bench.evidence.held) {
        table.startCircuitIn.front().*amps = in_A;
        table.startCircuitOut.front().*amps = out_A;
    }
}

constexpr auto compressor = &HeldShaftMeasurement::compressor_A;
constexpr auto mainWire = &HeldShaftMeasurement::main_A;
constexpr auto auxiliaryWire = &HeldShaftMeasurement::auxiliary_A;

// One table: the worst of its two lines against what steps come to, with the earliest leaving for
// the trip and the latest for the wire.
void expectSteps(const RatingBench& bench, const Protector& part, double area_m2,
                 const std::pair<double, double>& leavesAt85_s,
                 const std::pair<double, double>& leavesAt110_s)
{
    ASSERT_EQ(bench.evidence.held.size(), 1U);
    const HeldShaftTable& table = bench.evidence.held.front();
    const Finding finding = bench.finding(checkId);
    const bool low = finding.corner.starts_with("85 % line");
    ASSERT_TRUE(low || finding.corner.starts_with("110 % line")) << finding.corner;
    const double line = low ? 0.85 : 1.1;
    const auto& [earliest_s, latest_s] = low ? leavesAt85_s : leavesAt110_s;
    const HeldShaftMeasurement& in = table.startCircuitIn.front();
    const HeldShaftMeasurement& out = table.startCircuitOut.front();
    const double trips_s = discTrips_s(part, {in.compressor_A, out.compressor_A, earliest_s}, line,
                                       table.winding_degC);
    const double hot_s =
        wireIsAtLimit_s(area_m2, {in.main_A, out.main_A, latest_s}, line, table.winding_degC);
    EXPECT_TRUE(nearRel(finding.value, trips_s, 1e-3)) << finding.corner;
    EXPECT_TRUE(nearRel(finding.limit, hot_s, 1e-3)) << finding.corner;
}

}  // namespace

TEST(ProtectorTripsStalled, FollowsAStallThatATimedSwitchLeaves)
{
    for (const double out_A : {40.0, 55.0, 100.0}) {
        RatingBench bench = soundCurdRoom();
        bench.evidence.held.resize(1);  // cold
        auto& timer = partOf<TimedSwitch>(bench.input, "timer");
        timer.opensAfter_s = {0.8, 2.1};
        standStill(bench, compressor, 85, out_A);
        standStill(bench, mainWire, 70, 45);
        bench.input.compressor.wire.main_m2 = 1.1e-6;
        expectSteps(bench, partOf<Protector>(bench.input, "outside"), 1.1e-6, {0.8, 2.1},
                    {0.8, 2.1});
    }
}

// Both happen before the switch opens: it changes nothing then.
TEST(ProtectorTripsStalled, BeforeTheSwitchOpensIsThatOfTheAmpsUntilThen)
{
    RatingBench bench = soundCurdRoom();
    bench.evidence.held.resize(1);
    partOf<TimedSwitch>(bench.input, "timer").opensAfter_s = {30, 40};
    standStill(bench, compressor, 85, 1);
    standStill(bench, mainWire, 70, 1);
    bench.input.compressor.wire.main_m2 = 1.1e-6;
    expectSteps(bench, partOf<Protector>(bench.input, "outside"), 1.1e-6, {30, 40}, {30, 40});
}

// A PTC gets hot by amps squared times seconds: at half of the label's amps in four of its times.
TEST(ProtectorTripsStalled, FollowsAStallThatAPtcLeaves)
{
    RatingBench bench = soundMilkTank();
    bench.evidence.held.resize(1);
    auto& ptc = partOf<Ptc>(bench.input, "ptc");
    ptc.switchCurrent_A = 6;
    ptc.switchTime_s = {0.5, 0.9};
    const auto leaves_s = [](double current_A) {
        const double share = 6 * 6 / (current_A * current_A);
        return std::pair(0.5 * share, 0.9 * share);
    };
    standStill(bench, auxiliaryWire, 4, 0);
    standStill(bench, compressor, 85, 60);
    standStill(bench, mainWire, 70, 55);
    bench.input.compressor.wire.main_m2 = 1.1e-6;
    expectSteps(bench, partOf<Protector>(bench.input, "inside"), 1.1e-6, leaves_s(4 * 0.85),
                leaves_s(4 * 1.1));
}

// With the start circuit in it would trip. Once that has left, the run winding's amps alone are too
// few for the protector and go on heating the wire.
TEST(ProtectorTripsStalled, FailsWhereWhatIsLeftAfterTheSwitchNeverTripsIt)
{
    for (const auto make : {soundCurdRoom, soundMilkTank}) {
        RatingBench bench = make();
        EXPECT_EQ(bench.finding(checkId).verdict, Verdict::pass);
        standStill(bench, compressor, 85, 20);  // 22 A at 110 % line, cold: less than it carries
        const Finding finding = bench.finding(checkId);
        EXPECT_EQ(finding.verdict, Verdict::fail) << bench.input.name;
        EXPECT_FALSE(finding.hasValue);
    }
    // A relay never lets go of a stalled motor, nor does a switch on its shaft.
    for (const auto make : {soundColdStore, soundButterChurn}) {
        RatingBench bench = make();
        standStill(bench, compressor, 85, 20);
        EXPECT_EQ(bench.finding(checkId).verdict, Verdict::pass) << bench.input.name;
    }
}

// 35 A in 0.35 mm2 are 100 A/mm2, at 200 degC from 110 in about a second: longer than the switch
// leaves it there, shorter than the protector takes.
TEST(ProtectorTripsStalled, HeatsTheStartWindingOnlyWhileItIsIn)
{
    RatingBench bench = soundCurdRoom();
    bench.input.compressor.wire.main_m2 = 10e-6;
    bench.input.compressor.wire.auxiliary_m2 = 0.35e-6;
    standStill(bench, auxiliaryWire, 35, 0);
    EXPECT_EQ(bench.finding(checkId).verdict, Verdict::pass);
    standStill(bench, auxiliaryWire, 35, 35);  // a run capacitor might leave it as much
    EXPECT_EQ(bench.finding(checkId).verdict, Verdict::fail);
    standStill(bench, auxiliaryWire, 35, 0);
    partOf<TimedSwitch>(bench.input, "timer").opensAfter_s.maximum = 3;
    EXPECT_EQ(bench.finding(checkId).verdict, Verdict::fail);
}

// Beside hot windings how warm its disc is is assumed; beside cold ones it is known.
TEST(ProtectorCarriesRunning, FailsOnlyWhereItFailsBesideColdWindingsToo)
{
    const auto findingAt = [](double running_A) {
        RatingBench bench = soundColdStore();
        bench.eachRowOut(
            [running_A](HeldShaftMeasurement& row) { row.compressor_A = running_A / 1.1; });
        return bench.finding("protector-carries-running");
    };
    // 30 A over 65 degC, trip at 150 degC: with the square root of the kelvins that are left, 36.38
    // A from 25 degC and 20.58 A from 110 degC.
    EXPECT_EQ(findingAt(20.5).verdict, Verdict::pass);
    EXPECT_EQ(findingAt(20.6).verdict, Verdict::undecided);
    EXPECT_NE(findingAt(20.6).because.find("110 degC"), std::string::npos);
    EXPECT_EQ(findingAt(36.3).verdict, Verdict::undecided);
    EXPECT_EQ(findingAt(36.5).verdict, Verdict::fail);
}

// An analysis of small signals shows the unsaturated motor: at speed, where the flux is full, its
// values are not believed; at standstill, where the flux is low, they are.
TEST(Saturation, LeavesChecksAtSpeedUndecidedAndThoseAtStandstillNot)
{
    const std::pair<const char*, RatingBench (*)()> atSpeed[] = {
        {"protector-carries-running", soundColdStore},
        {"run-capacitor-volts", soundColdStore},
        {"run-capacitor-amps", soundColdStore},
        {"relay-pick-up-reached", soundColdStore},
        {"relay-holds-running", soundColdStore},
        {"relay-coil-volts", soundColdStore},
        {"supply-volts-running", soundColdStore},
        {"relay-lets-go", soundBottleCooler},
        {"relay-stays-open-running", soundBottleCooler},
        {"contactor-full-load-amps", soundCurdRoom},
        {"motor-carries-load", soundColdStore},
        {"motor-pull-up-torque", soundColdStore},
        {"start-switch-reached", soundButterChurn},
        {"start-switch-stays-open", soundButterChurn},
        {"crankcase-heat-watts", soundRipeningRoom},
    };
    const std::pair<const char*, RatingBench (*)()> standing[] = {
        {"motor-direction", soundColdStore},
        {"supply-volts-starting", soundColdStore},
        {"relay-closed-at-standstill", soundColdStore},
        {"protector-trips-stalled", soundColdStore},
        {"supply-limit", soundMilkTank},
        {"contactor-locked-rotor-amps", soundCurdRoom},
        {"relay-pulls-in", soundBottleCooler},
    };
    const auto findingAt = [](const auto& row, double slope_ratio) {
        RatingBench bench = row.second();
        bench.input.compressor.equivalentCircuit = coldStoreMotor();
        bench.input.compressor.equivalentCircuit->saturationSlope_ratio = slope_ratio;
        return bench.finding(row.first);
    };
    for (const auto& row : atSpeed) {
        EXPECT_EQ(findingAt(row, 0).verdict, Verdict::pass) << row.first;
        EXPECT_EQ(findingAt(row, 0.2).verdict, Verdict::undecided) << row.first;
        EXPECT_NE(findingAt(row, 0.2).because.find("saturates"), std::string::npos) << row.first;
    }
    for (const auto& row : standing) {
        EXPECT_EQ(findingAt(row, 0.2).verdict, Verdict::pass) << row.first;
    }
}

}  // namespace splitstart
