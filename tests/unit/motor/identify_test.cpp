#include "motor/identify.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>

#include "case/input_error.h"
#include "physics/near.h"
#include "unit/motor/readings_of.h"

namespace splitstart
{

namespace
{

using PinMap = std::map<std::string, std::string>;

double probabilitySum(const Identification& identification)
{
    return std::accumulate(
        identification.assignments.begin(), identification.assignments.end(),
        identification.threeEqualProbability,
        [](double sum, const PinAssignment& assignment) { return sum + assignment.probability; });
}

// What is between two pins of a motor whose C is A, S is B, R is C, with so much in each path.
Readings readingsOfMotor(double run_ohm, double start_ohm, double commonPath_ohm, double lead_ohm)
{
    return readingsOf(start_ohm + commonPath_ohm + lead_ohm, run_ohm + start_ohm + lead_ohm,
                      run_ohm + commonPath_ohm + lead_ohm);
}

}  // namespace

// Common practice, no source: common and start 7.5, start to run 8.5, common to run 1.35 ohm.
TEST(Identify, FieldReadingsNameThePinsAndTheMisfitIsLaidToTheLeads)
{
    const Identification found = identify(readingsOf(7.5, 8.5, 1.35));
    ASSERT_EQ(found.pattern, ReadingPattern::complete);
    EXPECT_EQ(found.pins, (PinMap{{"C", "A"}, {"S", "B"}, {"R", "C"}}));
    EXPECT_EQ(found.confidence, Confidence::certain);
    EXPECT_TRUE(nearRel(found.misfit.shown_ohm, 0.35, 1e-9));
    EXPECT_TRUE(found.misfit.withinMeter);
    EXPECT_NE(found.misfit.explanation.find("Meter leads explain that"), std::string::npos);
    // What is taken off as leads lies between the usual and the whole misfit.
    EXPECT_GT(found.lead_ohm.value, IdentifyAssumptions{}.unknownLead_ohm);
    EXPECT_LT(found.lead_ohm.value, 0.35);
    EXPECT_LT(found.run_ohm.value, 1.35);
}

TEST(Identify, FieldReadingsOnAZeroedMeterStillNameThePinsAndTheMisfitIsReported)
{
    const Identification found = identify(readingsOf(7.5, 8.5, 1.35, 0));
    EXPECT_EQ(found.pins, (PinMap{{"C", "A"}, {"S", "B"}, {"R", "C"}}));
    EXPECT_FALSE(found.misfit.withinMeter);
    EXPECT_NE(found.misfit.explanation.find("path to C"), std::string::npos);
    EXPECT_NE(found.misfit.explanation.find("warmed or cooled"), std::string::npos);
}

// 6, 7, 8 ohm stand in a primer; no reading is the sum of the others.
TEST(Identify, ThePrimersSixSevenEightCannotComeFromATwoWindingMotor)
{
    const Identification found = identify(readingsOf(6, 7, 8));
    EXPECT_EQ(found.pattern, ReadingPattern::sumRuleViolated);
    EXPECT_TRUE(found.pins.empty());
    EXPECT_TRUE(found.assignments.empty());
    EXPECT_EQ(found.confidence, Confidence::none);
}

TEST(Identify, LabelsAndTheOrderOfReadingsDoNotMatter)
{
    // Physical pins 0, 1, 2 are C, S, R.
    const std::array<std::array<double, 3>, 3> between{
        {{0, 2.71, 0.93}, {2.71, 0, 3.42}, {0.93, 3.42, 0}}};
    const double probability =
        identify(readingsOf(2.71, 3.42, 0.93, 0.1)).assignments.front().probability;
    std::array<std::string, 3> label{"A", "B", "C"};
    do {
        std::array<std::pair<std::size_t, std::size_t>, 3> order{{{0, 1}, {0, 2}, {1, 2}}};
        do {
            Readings readings;
            readings.leadGiven = true;
            readings.lead_ohm = 0.1;
            for (const auto& [first, second] : order) {
                readings.readings.push_back(
                    {label[second], label[first], between[first][second], {}});
            }
            const Identification found = identify(readings);
            ASSERT_EQ(found.pins, (PinMap{{"C", label[0]}, {"S", label[1]}, {"R", label[2]}}));
            ASSERT_TRUE(nearRel(found.assignments.front().probability, probability, 1e-12));
        } while (std::next_permutation(order.begin(), order.end()));
    } while (std::next_permutation(label.begin(), label.end()));
}

TEST(Identify, ProbabilitiesSumToOneAndFallFromFirstToLast)
{
    for (const Readings& readings :
         {readingsOf(7.5, 8.5, 1.35), readingsOf(1.0, 1.3, 0.75), readingsOf(2.1, 4.1, 2.0, 0)}) {
        const Identification found = identify(readings);
        ASSERT_EQ(found.assignments.size(), 6U);
        EXPECT_NEAR(probabilitySum(found), 1, 1e-12);
        EXPECT_TRUE(std::is_sorted(found.assignments.begin(), found.assignments.end(),
                                   [](const PinAssignment& a, const PinAssignment& b) {
                                       return a.probability > b.probability;
                                   }));
    }
}

// A rotary compressor with start 0.6 of run: the higher resistance is taken for start, as it
// usually is, but never as a fact.
TEST(Identify, ReversedWindingsAreCalledAGuessAndTheTruthIsTheRunnerUp)
{
    const Identification found = identify(readingsOfMotor(1.5, 0.9, 0, 0.1));
    ASSERT_EQ(found.pattern, ReadingPattern::complete);
    EXPECT_EQ(found.pins.at("C"), "A");
    EXPECT_EQ(found.commonConfidence, Confidence::certain);
    EXPECT_EQ(found.confidence, Confidence::guess);
    EXPECT_EQ(found.assignments[1].start, "B");
    EXPECT_GT(found.assignments[1].probability, 0.1);
    EXPECT_NE(found.answer.find("do not wire by this"), std::string::npos);
    EXPECT_FALSE(found.runnerUp.empty());
    EXPECT_NE(found.decidedBy.find("nameplate"), std::string::npos);
    EXPECT_NE(found.decidedBy.find("run capacitor's far end"), std::string::npos);
}

TEST(Identify, NearlyEqualWindingsAreATossUpBetweenStartAndRun)
{
    const Identification found = identify(readingsOfMotor(5.0, 5.05, 0, 0.1));
    EXPECT_EQ(found.commonConfidence, Confidence::certain);
    EXPECT_EQ(found.confidence, Confidence::guess);
    EXPECT_LT(found.assignments[0].probability, 0.6);
    EXPECT_GT(found.assignments[1].probability, 0.4);
}

TEST(Identify, TheTaughtRatioOfThreeToFiveIsCertain)
{
    for (const double ratio : {3.0, 4.0, 5.0}) {
        EXPECT_EQ(identify(readingsOfMotor(2, 2 * ratio, 0, 0.15)).confidence, Confidence::certain)
            << ratio;
    }
}

// Both windings within the uncertainty of unknown leads: even C is open to doubt, and a four-wire
// meter settles it.
TEST(Identify, AFinerMeterDecidesWhatLeadsHide)
{
    Readings coarse = readingsOfMotor(0.15, 0.6, 0, 0.3);
    const Identification doubtful = identify(coarse);
    Readings fine = readingsOfMotor(0.15, 0.6, 0, 0);
    fine.leadGiven = true;
    fine.resolution_ohm = 0.0001;
    fine.accuracy_ratio = 0.002;
    const Identification settled = identify(fine);
    EXPECT_EQ(settled.pins, (PinMap{{"C", "A"}, {"S", "B"}, {"R", "C"}}));
    EXPECT_GT(settled.commonProbability, doubtful.commonProbability);
    EXPECT_LT(settled.run_ohm.accuracy_ratio, 0.1 * doubtful.run_ohm.accuracy_ratio);
}

TEST(Identify, GivenLeadsAreSubtractedFromEachReading)
{
    const Identification found = identify(readingsOfMotor(2, 7, 0.01, 0.4));
    Readings given = readingsOfMotor(2, 7, 0.01, 0.4);
    given.leadGiven = true;
    given.lead_ohm = 0.4;
    const Identification corrected = identify(given);
    EXPECT_TRUE(nearRel(corrected.run_ohm.value, 2.01, 0.002));
    EXPECT_TRUE(nearRel(corrected.start_ohm.value, 7.01, 0.002));
    EXPECT_NEAR(corrected.misfit.shown_ohm, 0.02, 1e-9);
    EXPECT_LT(corrected.run_ohm.accuracy_ratio, found.run_ohm.accuracy_ratio);
    EXPECT_EQ(corrected.run_ohm.origin, Origin::measured);
}

// Without the leads' resistance the sum rule gives most of it back.
TEST(Identify, LeadsThatWereNotGivenAreFoundFromTheSumRule)
{
    for (const double lead_ohm : {0.0, 0.15, 0.3}) {
        const Identification found = identify(readingsOfMotor(1, 3.2, 0.01, lead_ohm));
        EXPECT_NEAR(found.lead_ohm.value, lead_ohm,
                    found.lead_ohm.value * found.lead_ohm.accuracy_ratio);
        EXPECT_TRUE(nearRel(found.run_ohm.value, 1.01, found.run_ohm.accuracy_ratio));
    }
}

// IEC 60034-1 for copper, with 235 (from memory): readings at 70 degC shrink to 25 degC.
TEST(Identify, ResistanceAtTwentyFiveDegreesFollowsTheCopperFormula)
{
    Readings readings = readingsOf(7.5, 8.5, 1.2, 0.1);
    readings.windingTemperature_degC = 70;
    readings.windingTemperatureGiven = true;
    const Identification found = identify(readings);
    const double ratio = (235.0 + 25) / (235 + 70);
    EXPECT_TRUE(nearRel(found.runAt25_ohm.value, found.run_ohm.value * ratio, 1e-3));
    EXPECT_TRUE(nearRel(found.startAt25_ohm.value, found.start_ohm.value * ratio, 1e-3));
    // An unknown temperature leaves more doubt in the figure at 25 degC, and says so.
    readings.windingTemperatureGiven = false;
    const Identification unknown = identify(readings);
    EXPECT_GT(unknown.startAt25_ohm.accuracy_ratio, found.startAt25_ohm.accuracy_ratio);
    EXPECT_EQ(unknown.startAt25_ohm.origin, Origin::estimated);
    EXPECT_GT(found.startAt25_ohm.accuracy_ratio, found.start_ohm.accuracy_ratio);
}

// Copper rises by 0.00393 of its resistance at 20 degC for each kelvin (IEC 60028, from memory): at
// 70 degC by 0.00393 / (1 + 50 * 0.00393) = 0.328 % of what it has there. Five kelvin off, which is
// what a temperature that was read is assumed to be, are 1.64 %, ten are 3.28 %.
TEST(Identify, DoubtAboutTheTemperatureIsThatOfTheCopper)
{
    Readings readings = readingsOf(7.5, 8.5, 1.2, 0.1);
    readings.windingTemperature_degC = 70;
    for (const bool given : {true, false}) {
        readings.windingTemperatureGiven = given;
        const Identification found = identify(readings);
        const double ofCopper_ratio = given ? 0.0164 : 0.0328;
        EXPECT_TRUE(nearRel(found.startAt25_ohm.accuracy_ratio,
                            std::hypot(found.start_ohm.accuracy_ratio, ofCopper_ratio), 0.01));
        EXPECT_TRUE(nearRel(found.runAt25_ohm.accuracy_ratio,
                            std::hypot(found.run_ohm.accuracy_ratio, ofCopper_ratio), 0.01));
    }
}

// A resistance in the path to C alone adds to C-R and C-S, not to S-R: twice to the sum.
TEST(Identify, AResistanceInTheCommonPathShowsTwiceInTheMisfit)
{
    const Identification found = identify([] {
        Readings readings = readingsOfMotor(2, 7, 0.3, 0);
        readings.leadGiven = true;
        return readings;
    }());
    EXPECT_NEAR(found.misfit.shown_ohm, 0.6, 1e-9);
    EXPECT_FALSE(found.misfit.withinMeter);
    EXPECT_NE(found.misfit.explanation.find("0.29 ohm in the path to C"), std::string::npos)
        << found.misfit.explanation;
}

TEST(Identify, ASumThatIsTooLowIsLaidToTheReadingBetweenStartAndRun)
{
    const Identification found = identify(readingsOf(7.0, 9.6, 2.0, 0));
    EXPECT_LT(found.misfit.shown_ohm, 0);
    EXPECT_FALSE(found.misfit.withinMeter);
    EXPECT_NE(found.misfit.explanation.find("S-R reading alone"), std::string::npos);
    EXPECT_EQ(found.misfit.explanation.find("path to C"), std::string::npos);
}

// Readings that miss the sum by more than the meter explains tell less about the windings.
TEST(Identify, AMisfitBeyondTheMeterWidensTheAccuracyOfTheWindings)
{
    const Identification clean = identify(readingsOf(4, 15, 11, 0));
    const Identification coarse = identify(readingsOf(4, 14, 11, 0));
    EXPECT_TRUE(clean.misfit.withinMeter);
    EXPECT_FALSE(coarse.misfit.withinMeter);
    EXPECT_EQ(coarse.pins, clean.pins);
    EXPECT_GT(coarse.start_ohm.accuracy_ratio, 2 * clean.start_ohm.accuracy_ratio);
}

TEST(Identify, ThreeEqualReadingsAreNoSinglePhaseMotor)
{
    for (const Readings& readings :
         {readingsOf(5, 5, 5), readingsOf(0.8, 0.81, 0.8, 0.1), readingsOf(14.2, 13.9, 14.5)}) {
        const Identification found = identify(readings);
        EXPECT_EQ(found.pattern, ReadingPattern::threeEqual);
        EXPECT_GT(found.threeEqualProbability, 0.95);
        EXPECT_TRUE(found.pins.empty());
    }
}

TEST(Identify, OpenReadingsHaveTheirOwnPatterns)
{
    const Identification onePin = identify(readingsOf(openLoop, openLoop, 5, 0.1));
    EXPECT_EQ(onePin.pattern, ReadingPattern::onePinOpen);
    EXPECT_EQ(onePin.open.pin, "B");
    EXPECT_TRUE(nearRel(onePin.open.others_ohm, 4.9, 1e-12));
    EXPECT_EQ(identify(readingsOf(openLoop, openLoop, openLoop)).pattern, ReadingPattern::allOpen);
    EXPECT_EQ(identify(readingsOf(4, openLoop, 3)).pattern, ReadingPattern::oneReadingOpen);
}

TEST(Identify, ReadingsTooLowForAWindingNameNothing)
{
    EXPECT_EQ(identify(readingsOf(0, 5, 5)).pattern, ReadingPattern::zeroReading);
    EXPECT_EQ(identify(readingsOf(0.05, 5, 5)).pattern, ReadingPattern::shorted);
    EXPECT_EQ(identify(readingsOf(0.12, 5, 5.1, 0.1)).pattern, ReadingPattern::shorted);
    const Identification below = identify(readingsOf(2.0, 2.3, 0.15, 0.5));
    EXPECT_EQ(below.pattern, ReadingPattern::belowLead);
    EXPECT_EQ(below.lowestPair, "A-C");
    EXPECT_TRUE(below.pins.empty());
    // 0.3 ohm is the run winding of a 5 hp motor and must not be called a short.
    EXPECT_EQ(identify(readingsOf(0.3, 0.9, 1.15)).pattern, ReadingPattern::complete);
}

TEST(Identify, ReadingsToTheShellAreKeptAside)
{
    Readings readings = readingsOf(7.5, 8.5, 1.35);
    readings.readings.push_back({"B", "shell", openLoop, {}});
    const Identification found = identify(readings);
    ASSERT_EQ(found.shell.size(), 1U);
    EXPECT_EQ(found.shell[0].pin, "B");
    EXPECT_EQ(found.pins.at("C"), "A");
}

TEST(Identify, AMissingPairIsBadInput)
{
    Readings readings = readingsOf(7.5, 8.5, 1.35);
    readings.readings.pop_back();
    EXPECT_THROW(identify(readings), InputError);
    EXPECT_THROW(identify(Readings{}), InputError);
}

TEST(Identify, EveryAssumptionIsStated)
{
    const auto text = [](const Readings& readings) {
        std::string all;
        for (const std::string& line : identify(readings).assumptions) {
            all += line + "\n";
        }
        return all;
    };
    const std::string bare = text(readingsOf(7.5, 8.5, 1.35));
    EXPECT_NE(bare.find("no source"), std::string::npos);
    EXPECT_NE(bare.find("0.15 ohm"), std::string::npos);
    EXPECT_NE(bare.find("25 degC assumed"), std::string::npos);
    EXPECT_NE(text(readingsOf(7.5, 8.5, 1.35, 0.2)).find("0.20 ohm as given"), std::string::npos);
}

TEST(Identify, WordsNeverClaimAFullHundredPercent)
{
    EXPECT_EQ(percentInWords(1.0), "over 99.9 %");
    EXPECT_EQ(percentInWords(0.9989), "99.8 %");
    EXPECT_EQ(percentInWords(0.5), "50 %");
    EXPECT_EQ(percentInWords(0.004), "under 1 %");
    EXPECT_EQ(confidenceOf(0.99), Confidence::certain);
    EXPECT_EQ(confidenceOf(0.9899), Confidence::likely);
    EXPECT_EQ(confidenceOf(0.8999), Confidence::guess);
}

}  // namespace splitstart
