// A check that takes something for granted is counted over the possible machines in which it is so.
#include <gtest/gtest.h>

#include <algorithm>
#include <string>
#include <string_view>
#include <vector>

#include "rating/decision.h"
#include "unit/rating/sound_bench.h"

namespace splitstart
{

namespace
{

const DecisionRule rule;  // 95 %, 200 machines

const Check& checkNamed(std::string_view id, const CheckContext& context)
{
    const std::span<const Check> all = allChecks();
    return *std::find_if(all.begin(), all.end(),
                         [&](const Check& each) { return each.id == id && each.applies(context); });
}

SampleReading reading(bool holds, bool asked)
{
    SampleReading result;
    result.clear = true;
    result.asked = asked;
    result.worst.value = holds ? 1 : -1;
    result.worst.valueAtLeast = true;
    return result;
}

std::vector<SampleReading> readings(std::size_t askedAndHold, std::size_t askedAndFail,
                                    std::size_t notAsked)
{
    std::vector<SampleReading> result;
    result.insert(result.end(), askedAndHold, reading(true, true));
    result.insert(result.end(), askedAndFail, reading(false, true));
    result.insert(result.end(), notAsked, reading(false, false));
    return result;
}

// Neither fast enough nor with the contact open at the end.
void stall(StartMeasurement& start)
{
    start.speedAtEnd_ratio = 0.05;
    start.timeToSpeed_s.reset();
    start.startContactOpened_s.reset();
    start.startContactOpenings = 0;
    start.startContactAtEnd = 1;
    start.speedAtOpening_ratio.reset();
    start.coilAfterOpening_V.reset();
}

TEST(Presumed, CountsTheMachinesThatTheCheckCanBeAskedOf)
{
    const RatingBench bench = soundColdStore();
    Finding finding;
    finding.check = &checkNamed("relay-opens", {bench.input, bench.circuit, bench.evidence});
    decide(finding, readings(57, 3, 40), rule);
    EXPECT_EQ(finding.verdict, Verdict::pass);
    EXPECT_EQ(finding.presumed, Presumes::comesUpToSpeed);
    EXPECT_EQ(finding.holds, 57U);
    EXPECT_EQ(finding.fails, 3U);
    EXPECT_EQ(finding.samples, 60U);
    EXPECT_EQ(finding.lookedAt, 100U);
    EXPECT_EQ(countedMachinesText(finding),
              "60 machines that come up to speed, of 100 that the readings and labels allow");
    decide(finding, readings(56, 4, 40), rule);
    EXPECT_EQ(finding.verdict, Verdict::undecided);
    decide(finding, readings(60, 0, 0), rule);
    EXPECT_EQ(finding.presumed, Presumes::nothing);
    EXPECT_EQ(countedMachinesText(finding), "60 machines that the readings and labels allow");
}

// Nineteen machines that start, or less than a quarter, are too few to stand on: then all count,
// and it fails as it does where a motor is known not to start.
TEST(Presumed, CountsAllWhereTooFewCanBeAsked)
{
    const RatingBench bench = soundColdStore();
    Finding finding;
    finding.check = &checkNamed("relay-opens", {bench.input, bench.circuit, bench.evidence});
    decide(finding, readings(9, 0, 191), rule);
    EXPECT_EQ(finding.verdict, Verdict::fail);
    EXPECT_EQ(finding.presumed, Presumes::nothing);
    EXPECT_EQ(finding.samples, 200U);
    decide(finding, readings(49, 0, 151), rule);
    EXPECT_EQ(finding.verdict, Verdict::undecided);
    EXPECT_EQ(finding.samples, 200U);
    decide(finding, readings(50, 0, 150), rule);
    EXPECT_EQ(finding.verdict, Verdict::pass);
    EXPECT_EQ(finding.samples, 50U);
    decide(finding, readings(19, 0, 21), rule);
    EXPECT_EQ(finding.samples, 40U);
    decide(finding, readings(20, 0, 20), rule);
    EXPECT_EQ(finding.samples, 20U);
}

TEST(Presumed, IsNotSettledBeforeEnoughCouldBeAsked)
{
    // All 58 that were asked hold, as many as the rule needs; those not asked do not count.
    EXPECT_TRUE(isSettled(readings(58, 0, 100), rule));
    EXPECT_FALSE(isSettled(readings(57, 0, 100), rule));
    // Sixteen of sixty: 53 of 200 by then. One of a hundred: too few, all count, and nearly all
    // fail.
    EXPECT_FALSE(isSettled(readings(16, 0, 44), rule));
    EXPECT_TRUE(isSettled(readings(1, 0, 99), rule));
}

// A start circuit that stays in may itself keep the motor from 90 %: that start counts.
TEST(Presumed, DoesNotExcuseAStartCircuitThatStaysInAndSlowsTheMotor)
{
    RatingBench bench = soundColdStore();
    const CheckContext context = {bench.input, bench.circuit, bench.evidence};
    bench.eachStart(stall);
    bench.eachStart([](StartMeasurement& start) { start.speedAtEnd_ratio = 0.85; });
    for (const char* id : {"relay-opens", "start-capacitor-left-in"}) {
        const SampleReading slow = sampleReading(checkNamed(id, context), context);
        EXPECT_TRUE(slow.asked && slow.fails()) << id;
    }
}

// Where the motor would settle nowhere with the start circuit in, a current relay may never let go,
// and no other check asks for it: that is no pass.
TEST(Presumed, DoesNotExcuseACurrentRelayThatTheMotorCannotGetAwayFrom)
{
    RatingBench bench = soundBottleCooler();
    const CheckContext context = {bench.input, bench.circuit, bench.evidence};
    const Check& letsGo = checkNamed("relay-lets-go", context);
    EXPECT_TRUE(sampleReading(letsGo, context).holds());
    bench.eachRowIn([](HeldShaftMeasurement& row) { row.torque_Nm = 0; });
    const SampleReading stuck = sampleReading(letsGo, context);
    EXPECT_FALSE(stuck.holds());
    EXPECT_TRUE(stuck.asked);
}

TEST(Presumed, LeavesOutTheStartsInWhichTheMotorStalls)
{
    RatingBench bench = soundColdStore();
    const CheckContext context = {bench.input, bench.circuit, bench.evidence};
    const char* const ids[] = {"relay-opens", "start-capacitor-left-in", "start-capacitor-duty"};
    for (const char* id : ids) {
        const SampleReading sound = sampleReading(checkNamed(id, context), context);
        EXPECT_TRUE(sound.holds() && sound.asked) << id;
    }
    stall(bench.evidence.starts.front().measured);
    for (const char* id : ids) {
        const SampleReading one = sampleReading(checkNamed(id, context), context);
        EXPECT_TRUE(one.holds() && one.asked) << id;
    }
    bench.eachStart(stall);
    for (const char* id : ids) {
        const SampleReading none = sampleReading(checkNamed(id, context), context);
        EXPECT_TRUE(none.fails() && !none.asked) << id;
    }
    const SampleReading starts = sampleReading(checkNamed("motor-starts", context), context);
    EXPECT_TRUE(starts.fails() && starts.asked);
}

// A relay that lets go at a crawl may be why the motor stalls: nothing excuses it.
TEST(Presumed, DoesNotExcuseARelayThatOpensTooEarly)
{
    RatingBench bench = soundColdStore();
    const CheckContext context = {bench.input, bench.circuit, bench.evidence};
    const Check& early = checkNamed("relay-opens-not-early", context);
    bench.eachStart(stall);
    EXPECT_FALSE(sampleReading(early, context).asked);  // it never opens
    bench.eachStart([](StartMeasurement& start) {
        start.startContactOpened_s = 0.2;
        start.speedAtOpening_ratio = 0.3;
    });
    const SampleReading opens = sampleReading(early, context);
    EXPECT_TRUE(opens.fails() && opens.asked);
}

// At half its torque the motor carries its load nowhere, and what its coil sees in running is not
// to be asked; hot alone, cold windings still tell.
TEST(Presumed, AsksOfRunningOnlyWhereTheLoadIsCarried)
{
    RatingBench bench = soundColdStore();
    const CheckContext context = {bench.input, bench.circuit, bench.evidence};
    const Check& holds = checkNamed("relay-holds-running", context);
    EXPECT_TRUE(sampleReading(holds, context).holds());
    ASSERT_GE(bench.evidence.held.size(), 2U);
    const auto weaken = [](HeldShaftTable& table) {
        for (HeldShaftMeasurement& row : table.startCircuitOut) {
            row.torque_Nm = 0;
        }
    };
    weaken(bench.evidence.held.front());
    const SampleReading oneLeft = sampleReading(holds, context);
    EXPECT_TRUE(oneLeft.asked && oneLeft.holds());
    for (HeldShaftTable& table : bench.evidence.held) {
        weaken(table);
    }
    const SampleReading none = sampleReading(holds, context);
    EXPECT_FALSE(none.asked || none.clear);
    // The best estimate alone leaves it open and says why.
    const Finding finding = bench.finding("relay-holds-running");
    EXPECT_EQ(finding.verdict, Verdict::undecided);
    EXPECT_NE(finding.because.find("does not carry this load"), std::string::npos)
        << finding.because;
}

// Whatever a stalled motor, or one that carries no load, leaves unasked says so in its verdict.
TEST(Presumed, IsSaidByEveryCheckThatMayNotArise)
{
    std::size_t unasked = 0;
    for (RatingBench bench : {soundColdStore(), soundBottleCooler(), soundMilkTank(),
                              soundCurdRoom(), soundButterChurn()}) {
        bench.eachStart(stall);
        bench.eachRowOut([](HeldShaftMeasurement& row) { row.torque_Nm = 0; });
        const CheckContext context = {bench.input, bench.circuit, bench.evidence};
        for (const Check& check : allChecks()) {
            if (!check.applies(context) || sampleReading(check, context).asked) {
                continue;
            }
            ++unasked;
            EXPECT_NE(check.presumes, Presumes::nothing) << check.id;
            EXPECT_FALSE(presumptionText(check.presumes).empty()) << check.id;
            EXPECT_FALSE(check.asksTheCaseOnly) << check.id;
        }
    }
    EXPECT_GT(unasked, 20U);
}

}  // namespace

}  // namespace splitstart
