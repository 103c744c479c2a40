// Which combination of parts is better.
#include "study/ranking.h"

#include <gtest/gtest.h>

#include <limits>

namespace splitstart
{
namespace
{

Check checkWith(std::string_view unit, std::string_view part = "relay")
{
    Check check;
    check.id = "made-up";
    check.part = part;
    check.unit = unit;
    return check;
}

Finding atMost(const Check& check, double value, double limit)
{
    Finding finding;
    finding.check = &check;
    finding.hasLimit = finding.hasValue = true;
    finding.value = value;
    finding.limit = limit;
    finding.margin = limit - value;
    finding.verdict = finding.margin >= 0 ? Verdict::pass : Verdict::fail;
    return finding;
}

Finding atLeast(const Check& check, double value, double limit)
{
    Finding finding = atMost(check, value, limit);
    finding.margin = value - limit;
    finding.verdict = finding.margin >= 0 ? Verdict::pass : Verdict::fail;
    return finding;
}

TEST(RelativeMargin, IsTheShareOfTheLimit)
{
    const Check volts = checkWith("V");
    EXPECT_DOUBLE_EQ(relativeMargin(atMost(volts, 297, 330)), 0.1);
    EXPECT_DOUBLE_EQ(relativeMargin(atLeast(volts, 90, 100)), -0.1);
    // Speeds lie close to their limits in every sound machine: 95 % against 90 is half of what
    // there is to have.
    const Check percent = checkWith("%");
    EXPECT_DOUBLE_EQ(relativeMargin(atLeast(percent, 95, 90)), 0.5);
    EXPECT_DOUBLE_EQ(relativeMargin(atLeast(percent, 85, 90)), -0.5);
    EXPECT_DOUBLE_EQ(relativeMargin(atMost(percent, 76, 95)), 0.2);
    const Check degrees = checkWith("degC");
    EXPECT_DOUBLE_EQ(relativeMargin(atMost(degrees, 100, 125)), 0.25);
}

TEST(RelativeMargin, OfYesAndNoIsAllOrNothing)
{
    constexpr double infinity = std::numeric_limits<double>::infinity();
    const Check counted = checkWith("");
    EXPECT_EQ(relativeMargin(atMost(counted, 1, 1)), infinity);  // opens once, may once
    EXPECT_EQ(relativeMargin(atMost(counted, 2, 1)), -1);
    const Check torque = checkWith("N m");
    EXPECT_EQ(relativeMargin(atLeast(torque, 0.3, 0)), infinity);
    EXPECT_EQ(relativeMargin(atLeast(torque, -0.3, 0)), -1);
    Finding beyond = atMost(checkWith("s"), 0, 3);
    beyond.hasValue = false;
    EXPECT_EQ(relativeMargin(beyond), -infinity);
}

Rank rankWith(Outcome outcome, std::vector<int> margins, double torque_Nm = 1,
              std::size_t pieces = 2, const char* name = "a")
{
    return {outcome, std::move(margins), torque_Nm, pieces, name};
}

TEST(Ranking, GoesByOutcomeThenWorstMarginThenTorqueThenFewerParts)
{
    const Rank best = rankWith(Outcome::pass, {10, 20});
    EXPECT_TRUE(isBetter(best, rankWith(Outcome::undecided, {50, 50}, 9)));
    EXPECT_TRUE(isBetter(rankWith(Outcome::undecided, {-50}), rankWith(Outcome::fail, {50})));
    EXPECT_TRUE(isBetter(best, rankWith(Outcome::pass, {9, 90}, 9)));
    EXPECT_TRUE(isBetter(rankWith(Outcome::pass, {10, 20}, 2), best));
    EXPECT_TRUE(isBetter(best, rankWith(Outcome::pass, {10, 90}, 1, 3)));
    EXPECT_TRUE(isBetter(rankWith(Outcome::pass, {10, 21}, 1, 2, "z"), best));
    EXPECT_TRUE(isBetter(best, rankWith(Outcome::pass, {10, 20}, 1, 2, "b")));
    EXPECT_FALSE(isBetter(best, best));
    // Torques that differ by rounding alone are the same, so that fewer parts count.
    EXPECT_TRUE(isBetter(best, rankWith(Outcome::pass, {10, 20}, 1 + 1e-12, 3)));
}

TEST(Ranking, LeavesOutWhatTellsNothing)
{
    const Check supply = checkWith("V", "supply");
    const Check relay = checkWith("V", "relay");
    const std::vector<Finding> findings = {atMost(supply, 120, 100), atMost(relay, 80, 100)};
    EXPECT_EQ(outcomeOf(findings, {}), Outcome::fail);
    EXPECT_EQ(outcomeOf(findings, {&supply}), Outcome::pass);
    const Rank rank = rankOf(findings, {&supply}, 1, 2, "n");
    EXPECT_EQ(rank.outcome, Outcome::pass);
    ASSERT_EQ(rank.margins_percent.size(), 1U);
    EXPECT_NEAR(rank.margins_percent.front(), 20, 1);
}

}  // namespace
}  // namespace splitstart
