// Readings that are odd for a compressor: what they say stays what the meter said, and they are
// asked after.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "motor/health.h"
#include "motor/identify.h"
#include "unit/motor/readings_of.h"

namespace splitstart
{

namespace
{

std::vector<HealthFinding> findingsOf(const Readings& readings)
{
    Compressor compressor;
    compressor.readings = readings;
    return assessHealth(compressor, identify(readings)).findings;
}

bool has(const std::vector<HealthFinding>& findings, const char* id)
{
    return std::any_of(findings.begin(), findings.end(),
                       [id](const HealthFinding& each) { return each.id == id; });
}

}  // namespace

// Bad joints and broken strands make such ratios. Habits of motor makers help to name the pins;
// they must not bend the ohms.
TEST(OddRatio, LeavesTheOhmsToTheMeter)
{
    for (const double ratio : {3.0, 8.0, 15.0, 30.0, 70.0}) {
        for (const double run_ohm : {0.6, 1.0, 3.0}) {
            const double start_ohm = ratio * run_ohm;
            const Identification it =
                identify(readingsOf(start_ohm, run_ohm, start_ohm + run_ohm, 0));
            ASSERT_EQ(it.pattern, ReadingPattern::complete);
            EXPECT_LE(std::abs(it.run_ohm.value - run_ohm),
                      it.run_ohm.accuracy_ratio * it.run_ohm.value)
                << ratio << " times " << run_ohm;
            EXPECT_LE(std::abs(it.run_ohm.value - run_ohm), 0.15 * run_ohm)
                << ratio << " times " << run_ohm;
        }
    }
}

TEST(OddRatio, IsAskedAfterFromNineTimes)
{
    EXPECT_TRUE(has(findingsOf(readingsOf(30, 1, 31, 0)), "odd-ratio"));
    EXPECT_FALSE(has(findingsOf(readingsOf(5, 1, 6, 0)), "odd-ratio"));
}

TEST(MarkedPins, ThatReadOtherwiseAreNotTrusted)
{
    Readings readings;
    readings.readings = {{"R", "S", 1.35, {}}, {"S", "C", 7.5, {}}, {"R", "C", 8.85, {}}};
    EXPECT_TRUE(has(findingsOf(readings), "labels-differ"));
    EXPECT_NE(identify(readings).answer.find("disagree: do not wire"), std::string::npos);
    readings.readings = {{"C", "R", 1.35, {}}, {"S", "C", 7.5, {}}, {"R", "S", 8.85, {}}};
    EXPECT_FALSE(has(findingsOf(readings), "labels-differ"));
    EXPECT_EQ(identify(readings).answer.find("do not wire"), std::string::npos);
}

// Ohms tell common for certain, but start from run by habit only.
TEST(Naming, IsNeverCalledCertainByOhmsAlone)
{
    const Identification found = identify(readingsOf(5, 1.2, 6.2, 0));
    ASSERT_EQ(found.confidence, Confidence::certain);
    EXPECT_NE(found.answer.find("not proved"), std::string::npos) << found.answer;
    EXPECT_EQ(found.answer.find("certain"), std::string::npos) << found.answer;
}

// Copper changes by 1/259.5 a kelvin at 25 degC (IEC 60034-1): 13.4 ohm against a sum of 3.64 would
// take hundreds of kelvins, 8.8 against 8.0 some 24.
TEST(SumRule, BlamesNoDriftThatNoCompressorHas)
{
    Readings readings;
    readings.readings = {{"A", "B", 2.71, {}}, {"A", "C", 13.4, {}}, {"B", "C", 0.93, {}}};
    EXPECT_EQ(identify(readings).misfit.explanation.find("warmed or cooled"), std::string::npos);
    readings.leadGiven = true;
    readings.readings = {{"A", "B", 2.00, {}}, {"A", "C", 8.80, {}}, {"B", "C", 6.00, {}}};
    EXPECT_NE(identify(readings).misfit.explanation.find("warmed or cooled"), std::string::npos)
        << identify(readings).misfit.explanation;
}

// 1.6 ohm of leads are broken leads, and 1.5 ohm less those is no short; but a dead short reads
// just as much as good leads do.
TEST(Leads, ThatAreTooHighDoNotMakeAShort)
{
    EXPECT_EQ(identify(readingsOf(2.7, 1.5, 4.2, 1.6)).pattern, ReadingPattern::belowLead);
    EXPECT_EQ(identify(readingsOf(2.7, 0.2, 2.7, 0.2)).pattern, ReadingPattern::shorted);
}

TEST(SumRule, SaysSoWhereItIsMet)
{
    const Identification it = identify(readingsOf(2.0, 1.0, 3.0, 0));
    EXPECT_EQ(it.misfit.explanation.find("0 ohm more"), std::string::npos);
    EXPECT_NE(it.misfit.explanation.find("equals"), std::string::npos);
}

}  // namespace splitstart
