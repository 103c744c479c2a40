// What a start of half a second hides, and what no simulation should be believed on.
#include <gtest/gtest.h>

#include "circuit/part_physics.h"
#include "unit/rating/sound_bench.h"

namespace splitstart
{

TEST(FiguresThatDoNotFitOneMotor, LeaveEverySimulatedCheckUndecided)
{
    RatingBench bench = soundColdStore();
    bench.evidence.fit.front().reproduced = 2 * bench.evidence.fit.front().wanted;
    bench.input.supply.voltage_V = 100;  // what the case alone tells is still judged
    for (const Finding& finding : bench.findings()) {
        const Verdict expected =
            finding.check->id.starts_with("supply-volts") && finding.check->asksTheCaseOnly
                ? Verdict::fail
            : finding.check->asksTheCaseOnly && finding.check->id != "motor-fits-evidence"
                ? Verdict::pass
                : Verdict::undecided;
        EXPECT_EQ(finding.verdict, expected) << finding.check->id;
    }
}

TEST(StartCapacitorDuty, FailsWhereTheStartCircuitNeverLeavesHoweverShortTheRun)
{
    RatingBench bench = soundColdStore();
    bench.evidence.starts[2].measured.startContactAtEnd = 1;
    bench.evidence.starts[2].measured.startCircuitIn_s = 0.6;
    const std::vector<Finding> findings = bench.findings();
    EXPECT_EQ(findingOf(findings, "start-capacitor-duty").verdict, Verdict::fail);
}

// 60 s an hour shared by the starts of an hour: 20 where nobody says otherwise.
TEST(StartCapacitorDuty, IsSharedByTheStartsOfAnHour)
{
    const auto verdictAt = [](double in_s, std::optional<double> startsPerHour) {
        RatingBench bench = soundColdStore();
        bench.input.circuit->startsPerHour = startsPerHour;
        bench.eachStart([in_s](StartMeasurement& m) { m.startCircuitIn_s = in_s; });
        return bench.finding("start-capacitor-duty").verdict;
    };
    EXPECT_EQ(verdictAt(2.99, {}), Verdict::pass);
    EXPECT_EQ(verdictAt(3.01, {}), Verdict::fail);
    EXPECT_EQ(verdictAt(5.99, 10), Verdict::pass);
    EXPECT_EQ(verdictAt(6.01, 10), Verdict::fail);
    EXPECT_EQ(verdictAt(0.99, 60), Verdict::pass);
    EXPECT_EQ(verdictAt(1.01, 60), Verdict::fail);
}

TEST(StartCapacitorLongestOn, FailsWhereTheStartCircuitNeverLeaves)
{
    RatingBench bench = soundCurdRoom();
    bench.evidence.starts[2].measured.startContactAtEnd = 1;
    EXPECT_EQ(bench.finding("start-capacitor-longest-on").verdict, Verdict::fail);
    EXPECT_FALSE(bench.finding("start-capacitor-longest-on").hasValue);
}

TEST(RelayOpensNotLate, FailsWhereItNeverOpensAtSpeed)
{
    RatingBench bench = soundColdStore();
    StartMeasurement& measured = bench.evidence.starts[2].measured;
    measured.startContactOpened_s.reset();
    measured.speedAtOpening_ratio.reset();
    measured.startContactAtEnd = 1;
    const std::vector<Finding> findings = bench.findings();
    EXPECT_EQ(findingOf(findings, "relay-opens-not-late").verdict, Verdict::fail);
}

TEST(RunningChecks, AreUndecidedWhereTheMotorStallsUnderItsLoad)
{
    RatingBench bench = soundColdStore();
    bench.eachRowOut([](HeldShaftMeasurement& row) { row.torque_Nm *= 0.05; });
    const std::vector<Finding> findings = bench.findings();
    EXPECT_EQ(findingOf(findings, "motor-carries-load").verdict, Verdict::fail);
    EXPECT_EQ(findingOf(findings, "relay-holds-running").verdict, Verdict::undecided);
    EXPECT_EQ(findingOf(findings, "protector-carries-running").verdict, Verdict::undecided);
}

TEST(BleedResistor, MustStandThePulseOfAStartToo)
{
    RatingBench bench = soundColdStore();
    // 1 kilohm at some 300 V takes 90 W for half a second: little over an hour, too much at once.
    partOf<StartCapacitor>(bench.input, "start").bleed_ohm = 1000;
    const std::vector<Finding> findings = bench.findings();
    EXPECT_EQ(findingOf(findings, "bleed-resistor-watts").verdict, Verdict::fail);
    EXPECT_NE(findingOf(findings, "bleed-resistor-watts").corner.find("during the start"),
              std::string::npos);
}

// The armature follows the coil's amps; copper at 70 degC has (234.5 + 70) / (234.5 + 25) of the
// ohms that it has at 25 degC (IEC 60034-1, from memory), and so needs that many more volts.
TEST(WarmRelayCoil, NeedsMoreVolts)
{
    PotentialRelay relay;
    relay.coil_ohm = 10e3;
    EXPECT_DOUBLE_EQ(coilTemperatureFactor(relay, 25, 60), 1);
    EXPECT_NEAR(coilTemperatureFactor(relay, 110, 60), 304.5 / 259.5, 1e-9);
    relay.coil_H = 1000;  // reactance alone does not warm
    EXPECT_LT(coilTemperatureFactor(relay, 110, 60), 1.001);
}

}  // namespace splitstart
