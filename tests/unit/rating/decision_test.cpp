// When the possible machines that were looked at are enough, and what is said of them.
#include "rating/decision.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <random>
#include <string>
#include <vector>

namespace splitstart
{

namespace
{

// A machine on which a value of 100 + margin stands against a limit of at least 100.
SampleReading readingOf(double margin)
{
    Comparison worst;
    worst.corner = "somewhere";
    worst.limit = 100;
    worst.valueAtLeast = true;
    worst.value = 100 + margin;
    return {true, worst};
}

// Margins of 1 and -1 with a wide spread, so that only their signs say anything: one in ten is a
// hundred times as large.
std::vector<SampleReading> mixed(std::size_t holds, std::size_t fails)
{
    std::vector<SampleReading> readings;
    for (std::size_t i = 0; i < holds + fails; ++i) {
        readings.push_back(readingOf((i < holds ? 1.0 : -1.0) * (i % 10 == 0 ? 100 : 1)));
    }
    return readings;
}

std::vector<SampleReading> unclear(std::size_t count)
{
    return std::vector<SampleReading>(count);
}

const DecisionRule rule;  // 95 %, 200 machines

// The first number of machines at which so many that all hold are enough.
std::size_t enoughThatHold(double share_ratio)
{
    DecisionRule other;
    other.share_ratio = share_ratio;
    other.samples = 10000;
    for (std::size_t count = 1; count < other.samples; ++count) {
        if (isSettled(mixed(count, 0), other)) {
            return count;
        }
    }
    return 0;
}

}  // namespace

// After n of n from a flat prior the posterior of the share is Beta(n + 1, 1), whose distribution
// function is p^(n + 1): 95 % sure of more than p once p^(n + 1) < 0.05 (Bayes; any text on
// statistics). 0.95^59 = 0.0485, 0.95^58 = 0.0510; 0.99^299 = 0.0495, 0.99^298 = 0.05004.
TEST(Decision, IsSettledByAsManyAlikeAsTheBetaLawAsks)
{
    EXPECT_EQ(enoughThatHold(0.95), 58U);
    EXPECT_EQ(enoughThatHold(0.99), 298U);
    EXPECT_EQ(enoughThatHold(0.90), 28U);  // 0.9^29 = 0.0471, 0.9^28 = 0.0523
    // 0.5^21 is long enough, but fewer than 20 are never enough.
    EXPECT_EQ(enoughThatHold(0.50), 20U);
}

TEST(Decision, IsSettledByFailuresAsByHolds)
{
    EXPECT_FALSE(isSettled(mixed(0, 57), rule));
    EXPECT_TRUE(isSettled(mixed(0, 58), rule));
    EXPECT_EQ(verdictOf(mixed(0, 58), rule), Verdict::fail);
    EXPECT_EQ(verdictOf(mixed(58, 0), rule), Verdict::pass);
}

// With one failure in n the posterior is Beta(n, 2), whose distribution function is
// (n + 1) p^n - n p^(n + 1): 0.04998 at p = 0.95 and n = 92, 0.0521 at 91.
TEST(Decision, NeedsMoreWhereOneIsUnlikeTheRest)
{
    const auto below = [](double p, double all) {
        // Beta(all, 2): (all + 1) p^all - all p^(all + 1).
        return (all + 1) * std::pow(p, all) - all * std::pow(p, all + 1);
    };
    for (std::size_t all = 20; all < 150; ++all) {
        EXPECT_EQ(isSettled(mixed(all - 1, 1), rule), below(0.95, static_cast<double>(all)) < 0.05)
            << all;
    }
}

// Half and half: neither share reaches 95 %, and twenty are enough to know.
TEST(Decision, IsSettledEarlyWhereItWillStayUndecided)
{
    EXPECT_FALSE(isSettled(mixed(9, 9), rule));
    EXPECT_TRUE(isSettled(mixed(10, 10), rule));
    EXPECT_EQ(verdictOf(mixed(10, 10), rule), Verdict::undecided);
    EXPECT_TRUE(isSettled(unclear(58), rule));
    EXPECT_EQ(verdictOf(unclear(58), rule), Verdict::undecided);
    // Two of 20 that fail are not yet a share above 5 % (Beta(19, 3)), four are (Beta(17, 5)).
    EXPECT_FALSE(isSettled(mixed(18, 2), rule));
    EXPECT_TRUE(isSettled(mixed(16, 4), rule));
}

TEST(Decision, IsNeverSettledByFewerThanTwentyButByAllThatMayBeLookedAt)
{
    for (std::size_t count = 1; count < 20; ++count) {
        std::vector<SampleReading> alike;
        for (std::size_t i = 0; i < count; ++i) {
            alike.push_back(readingOf(1e6 + static_cast<double>(i)));
        }
        EXPECT_FALSE(isSettled(alike, rule)) << count;
        EXPECT_FALSE(isSettled(mixed(0, count), rule)) << count;
    }
    DecisionRule few;
    few.samples = 20;
    EXPECT_TRUE(isSettled(mixed(19, 1), few));
    few.samples = 30;
    EXPECT_FALSE(isSettled(mixed(29, 0), few));
    EXPECT_TRUE(isSettled(mixed(30, 0), few));
}

// A start that just succeeds has the margin of one that succeeds with ease.
TEST(Decision, CountsMachinesAndNotHowFarTheyAreFromTheLimit)
{
    EXPECT_FALSE(isSettled(std::vector<SampleReading>(24, {true, {"", 1, 1000, false}}), {}));
}

TEST(Decision, GoesByTheSharesOfAllMachines)
{
    EXPECT_EQ(verdictOf(mixed(190, 10), rule), Verdict::pass);
    EXPECT_EQ(verdictOf(mixed(189, 11), rule), Verdict::undecided);
    EXPECT_EQ(verdictOf(mixed(10, 190), rule), Verdict::fail);
    std::vector<SampleReading> someUnclear = mixed(189, 0);
    someUnclear.resize(200);
    EXPECT_EQ(verdictOf(someUnclear, rule), Verdict::undecided);
    DecisionRule half;
    half.share_ratio = 0.6;
    EXPECT_EQ(verdictOf(mixed(120, 80), half), Verdict::pass);
    EXPECT_TRUE(readingOf(0).holds());  // on the limit is not beyond it
    EXPECT_FALSE(SampleReading().holds());
    EXPECT_FALSE(SampleReading().fails());
}

// Of 101 machines with margins a, a + 1, ... the fifth from the bottom is worse than 95 of them.
TEST(Decision, ShowsTheMachineThatTheVerdictHangsOn)
{
    const auto row = [](double from) {
        std::vector<SampleReading> readings;
        for (int i = 0; i <= 100; ++i) {
            readings.push_back(readingOf(from + (37 * i) % 101));  // in no order
            readings.back().worst.corner = "margin " + std::to_string((37 * i) % 101);
        }
        return readings;
    };
    Finding finding;
    decide(finding, row(1), rule);
    EXPECT_EQ(finding.verdict, Verdict::pass);
    EXPECT_EQ(finding.corner, "margin 5");
    EXPECT_DOUBLE_EQ(finding.value, 106);
    EXPECT_DOUBLE_EQ(finding.limit, 100);
    EXPECT_DOUBLE_EQ(finding.margin, 6);
    EXPECT_TRUE(finding.hasValue && finding.hasLimit);
    EXPECT_EQ(finding.samples, 101U);
    EXPECT_EQ(finding.holds, 101U);
    EXPECT_EQ(finding.fails, 0U);
    EXPECT_TRUE(finding.because.empty());
    decide(finding, row(-200), rule);
    EXPECT_EQ(finding.verdict, Verdict::fail);
    EXPECT_EQ(finding.corner, "margin 95");
    EXPECT_EQ(finding.fails, 101U);
    decide(finding, row(-50), rule);
    EXPECT_EQ(finding.verdict, Verdict::undecided);
    EXPECT_EQ(finding.corner, "margin 50");
    EXPECT_EQ(finding.holds, 51U);
    EXPECT_EQ(finding.fails, 50U);
    EXPECT_NE(finding.because.find("holds in 51 and fails in 50 of 101"), std::string::npos)
        << finding.because;
}

TEST(Decision, ShowsNoValueWhereThereIsNone)
{
    Finding finding;
    finding.hasValue = true;
    decide(finding, unclear(30), rule);
    EXPECT_EQ(finding.verdict, Verdict::undecided);
    EXPECT_FALSE(finding.hasValue);
    std::vector<SampleReading> beyond(30, readingOf(-1));
    for (SampleReading& each : beyond) {
        each.worst.beyond = true;
    }
    decide(finding, beyond, rule);
    EXPECT_EQ(finding.verdict, Verdict::fail);
    EXPECT_FALSE(finding.hasValue);
}

// Margins made of three inputs with weights 10, 5 and 0.1, and of one that has none at all.
TEST(Decision, NamesTheInputsThatTheMarginHangsOn)
{
    std::mt19937 random(3);
    std::normal_distribution<double> normal;
    std::vector<SampleInput> inputs = {
        {"little", {}}, {"second", {}}, {"nothing", {}}, {"first", {}}, {"always the same", {}}};
    std::vector<SampleReading> readings;
    for (int i = 0; i < 400; ++i) {
        for (SampleInput& input : inputs) {
            input.values.push_back(input.name == "always the same" ? 1 : normal(random));
        }
        // Ranks see a cube as they see a straight line.
        const double margin = -10 * inputs[3].values.back() + 6 * inputs[1].values.back() +
                              0.1 * inputs[0].values.back();
        readings.push_back(readingOf(std::pow(margin, 3)));
        if (i % 7 == 0) {
            readings.back() = {};  // not judged: counts for nothing
        }
    }
    EXPECT_EQ(inputsThatMatter(readings, inputs), (std::vector<std::string>{"first", "second"}));
    EXPECT_TRUE(inputsThatMatter(unclear(400), inputs).empty());
    EXPECT_TRUE(inputsThatMatter(std::vector<SampleReading>(400, readingOf(1)), inputs).empty());
}

// Thirty inputs that have nothing to do with it, twenty machines: in nineteen of twenty such
// studies none may be named.
TEST(Decision, NamesNoInputByChance)
{
    std::mt19937 random(5);
    std::normal_distribution<double> normal;
    constexpr int studies = 400;
    int naming = 0;
    for (int study = 0; study < studies; ++study) {
        std::vector<SampleInput> inputs(30);
        std::vector<SampleReading> readings;
        for (int machine = 0; machine < 20; ++machine) {
            for (SampleInput& input : inputs) {
                input.values.push_back(normal(random));
            }
            readings.push_back(readingOf(normal(random)));
        }
        naming += inputsThatMatter(readings, inputs).empty() ? 0 : 1;
    }
    // 20 of 400 expected at the most; three deviations of the count more.
    EXPECT_LE(naming, 33);
}

TEST(Decision, LeavesTheReasonOfWhatNoMachineCanAnswer)
{
    Finding finding;
    finding.because = "the contact's amps are not given";
    decide(finding, unclear(20), rule);
    EXPECT_EQ(finding.verdict, Verdict::undecided);
    EXPECT_EQ(finding.because, "the contact's amps are not given");
}

TEST(Decision, NamesThreeInputsAtTheMost)
{
    std::mt19937 random(4);
    std::normal_distribution<double> normal;
    std::vector<SampleInput> inputs = {{"a", {}}, {"b", {}}, {"c", {}}, {"d", {}}};
    std::vector<SampleReading> readings;
    for (int i = 0; i < 400; ++i) {
        double margin = 0;
        for (SampleInput& input : inputs) {
            input.values.push_back(normal(random));
            margin += input.values.back();
        }
        readings.push_back(readingOf(margin));
    }
    EXPECT_EQ(inputsThatMatter(readings, inputs).size(), 3U);
}

namespace
{

struct Outcomes {
    double pass = 0;
    double fail = 0;
    double machines = 0;  // mean number looked at
};

// What is said of a check that holds in that share of the possible machines, looked at as a study
// does, 20 at a time. Margins normal, their mean so far from 0 as that share asks.
Outcomes outcomesAt(double deviationsFromTheLimit, int repetitions)
{
    std::mt19937 random(5);
    std::normal_distribution<double> normal;
    Outcomes outcomes;
    for (int i = 0; i < repetitions; ++i) {
        std::vector<SampleReading> readings;
        while (readings.size() < rule.samples) {
            constexpr std::size_t batch = 20;
            for (std::size_t k = 0; k < batch && readings.size() < rule.samples; ++k) {
                readings.push_back(readingOf(deviationsFromTheLimit + normal(random)));
            }
            if (isSettled(readings, rule)) {
                break;
            }
        }
        const Verdict verdict = verdictOf(readings, rule);
        outcomes.pass += verdict == Verdict::pass ? 1.0 / repetitions : 0;
        outcomes.fail += verdict == Verdict::fail ? 1.0 / repetitions : 0;
        outcomes.machines += static_cast<double>(readings.size()) / repetitions;
    }
    return outcomes;
}

}  // namespace

// Quantiles of the normal law (any table): 1.2816 has 90 % below it, 2.3263 has 99 %.
TEST(Decision, SeldomErrs)
{
    constexpr int repetitions = 2000;
    const Outcomes tooFew = outcomesAt(1.2816, repetitions);
    const Outcomes enough = outcomesAt(2.3263, repetitions);
    const Outcomes opposite = outcomesAt(-2.3263, repetitions);
    RecordProperty("pass at a share of 0.90", std::to_string(tooFew.pass));
    RecordProperty("pass at a share of 0.99", std::to_string(enough.pass));
    RecordProperty("machines at 0.90", std::to_string(tooFew.machines));
    RecordProperty("machines at 0.99", std::to_string(enough.machines));
    EXPECT_LT(tooFew.pass, 0.04);
    EXPECT_EQ(tooFew.fail, 0);
    EXPECT_GT(enough.pass, 0.97);
    EXPECT_EQ(enough.fail, 0);
    EXPECT_GT(opposite.fail, 0.97);
    EXPECT_EQ(opposite.pass, 0);
    EXPECT_GT(outcomesAt(8, 50).pass, 0.99);
    EXPECT_NEAR(outcomesAt(8, 50).machines, 60,
                1e-9);  // the first multiple of 20 that is 58 or more
}

}  // namespace splitstart
