// The diagram on the nameplate names the pins, and the readings check it.
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <string>

#include "case/input_error.h"
#include "motor/cold_proof.h"
#include "motor/health.h"
#include "motor/identify.h"
#include "physics/near.h"
#include "study/case_study.h"
#include "unit/motor/readings_of.h"

namespace splitstart
{

namespace
{

using PinMap = std::map<std::string, std::string>;

constexpr double megohm = 1e6;

KnownPins diagramOf(const std::string& common, const std::string& start, const std::string& run)
{
    return {common, start, run, {"dairy.xml", 12}};
}

const KnownPins asUsual = diagramOf("A", "B", "C");

// C is A, S is B, R is C, with a zeroed meter.
Readings windings(double run_ohm, double start_ohm)
{
    return readingsOf(start_ohm, run_ohm + start_ohm, run_ohm, 0);
}

Identification identified(const Readings& readings, const KnownPins& diagram = asUsual)
{
    return identify(readings, {}, diagram);
}

Compressor compressorOf(const Readings& readings, const KnownPins& diagram)
{
    Compressor compressor;
    compressor.readings = readings;
    compressor.pins = diagram;
    compressor.insulation = InsulationReading{180 * megohm, 500};
    return compressor;
}

HealthReport healthOf(const Readings& readings, const KnownPins& diagram = asUsual)
{
    return assessHealth(compressorOf(readings, diagram), identified(readings, diagram));
}

HealthFinding findingOf(const HealthReport& report, const std::string& id)
{
    const auto found =
        std::find_if(report.findings.begin(), report.findings.end(),
                     [&id](const HealthFinding& finding) { return finding.id == id; });
    return found == report.findings.end()
               ? HealthFinding{"no such finding", HealthVerdict::undecided, "", "", {}}
               : *found;
}

bool says(const std::string& text, const std::string& part)
{
    return text.find(part) != std::string::npos;
}

}  // namespace

TEST(Diagram, ThatTheReadingsAgreeWithMakesThePinsCertain)
{
    const Readings readings = windings(5, 5.4);
    ASSERT_LT(identify(readings).confidence, Confidence::likely);
    const Identification found = identified(readings);
    EXPECT_EQ(found.pattern, ReadingPattern::complete);
    EXPECT_EQ(found.confidence, Confidence::certain);
    EXPECT_EQ(found.pins, (PinMap{{"C", "A"}, {"S", "B"}, {"R", "C"}}));
    EXPECT_TRUE(says(found.answer, "certain, by the diagram"));
    EXPECT_TRUE(says(found.answer, "The readings agree."));
    EXPECT_TRUE(found.runnerUp.empty());
    EXPECT_TRUE(found.decidedBy.empty());
    const HealthReport report = healthOf(readings);
    EXPECT_EQ(findingOf(report, "pins-named").verdict, HealthVerdict::pass);
    EXPECT_EQ(report.safe.answer, EnergiseAnswer::yes);
}

TEST(Diagram, IsRememberedAndNothingIsWithoutOne)
{
    ASSERT_TRUE(identified(windings(1, 4)).diagram.has_value());
    EXPECT_EQ(identified(windings(1, 4)).diagram->start, "B");
    EXPECT_FALSE(identify(windings(1, 4)).diagram.has_value());
    EXPECT_FALSE(identify(windings(1, 4)).byReadings.has_value());
}

// A rotary compressor with start 0.6 of run: a guess by ohms, and the wrong way round.
TEST(Diagram, OfAStartWindingLowerThanRunIsBelievedWithAWarning)
{
    const Readings readings = windings(1.5, 0.9);
    ASSERT_EQ(identify(readings).pins.at("S"), "C");
    const Identification found = identified(readings);
    EXPECT_EQ(found.confidence, Confidence::certain);
    EXPECT_EQ(found.pins.at("S"), "B");
    EXPECT_EQ(found.byReadings->start, "C");
    EXPECT_TRUE(says(found.answer, "unusual"));
    EXPECT_TRUE(says(found.answer, "S and R exchanged burns the start winding"));
    EXPECT_EQ(findingOf(healthOf(readings), "pins-named").verdict, HealthVerdict::pass);
    EXPECT_EQ(findingOf(healthOf(readings), "pins-contradict").id, "no such finding");
}

// The resistances follow the diagram, not the naming that ohms alone would give.
TEST(Diagram, DecidesWhichResistanceIsStartAndWhichIsRun)
{
    const Identification found = identified(windings(1.5, 0.9));
    EXPECT_TRUE(nearRel(found.run_ohm.value, 1.5, 0.02));
    EXPECT_TRUE(nearRel(found.start_ohm.value, 0.9, 0.02));
    const Identification alone = identify(windings(1.5, 0.9));
    EXPECT_TRUE(nearRel(alone.run_ohm.value, 0.9, 0.02));
    EXPECT_TRUE(nearRel(found.runAt25_ohm.value, found.run_ohm.value, 1e-9));
    const ColdProof proof = coldProof(found, windings(1.5, 0.9));
    EXPECT_NEAR(proof.landings[0].shownRunToCommon_ohm, 1.5, 1e-12);
}

// The taught motor has start 3 to 5 times run; a diagram that says the reverse was probably
// misread, which is no failure of the compressor but must not pass either.
TEST(Diagram, ThatExchangesTheTaughtMotorsStartAndRunIsLookedAtOnceMore)
{
    const Readings readings = windings(5, 1.25);
    const HealthFinding named = findingOf(healthOf(readings), "pins-named");
    EXPECT_EQ(named.verdict, HealthVerdict::undecided);
    EXPECT_TRUE(says(named.what, "hardly any compressor is wound so"));
    EXPECT_TRUE(says(named.nextStep, "diagram"));
    EXPECT_TRUE(says(named.nextStep, "run capacitor's far end"));
    EXPECT_FALSE(named.cautions.empty());
    const Identification found = identified(readings);
    EXPECT_LT(found.confidence, Confidence::certain);
    EXPECT_EQ(found.pins.at("S"), "B");
    EXPECT_EQ(found.assignments.front().start, "B");
    EXPECT_EQ(findingOf(healthOf(readings), "pins-contradict").id, "no such finding");
}

// R(S-R) is the sum of the other two, so the highest reading stands opposite C.
TEST(Diagram, WhoseCommonIsNotOppositeTheHighestReadingIsContradicted)
{
    const Readings readings = windings(0.8, 2.6);
    for (const KnownPins& wrong : {diagramOf("B", "A", "C"), diagramOf("B", "C", "A"),
                                   diagramOf("C", "A", "B"), diagramOf("C", "B", "A")}) {
        const Identification found = identified(readings, wrong);
        EXPECT_EQ(found.pattern, ReadingPattern::contradictsDiagram);
        EXPECT_TRUE(contradictsDiagram(found));
        EXPECT_EQ(found.confidence, Confidence::none);
        EXPECT_TRUE(found.pins.empty());
        EXPECT_TRUE(found.assignments.empty());
        EXPECT_LT(found.diagramCommonProbability, 0.01);
        const HealthReport report = healthOf(readings, wrong);
        const HealthFinding contradiction = findingOf(report, "pins-contradict");
        EXPECT_EQ(contradiction.verdict, HealthVerdict::fail);
        EXPECT_TRUE(says(contradiction.what, "it calls " + wrong.common + " common"));
        EXPECT_TRUE(says(contradiction.what, "By ohms A is common"));
        EXPECT_TRUE(says(contradiction.nextStep, "Do not wire it yet"));
        EXPECT_TRUE(says(contradiction.nextStep, "labels"));
        EXPECT_FALSE(contradiction.cautions.empty());
        EXPECT_EQ(findingOf(report, "pins-named").id, "no such finding");
        EXPECT_EQ(report.safe.answer, EnergiseAnswer::no);
    }
}

TEST(Diagram, ContradictionNamesTheReadingsThatShowIt)
{
    const std::string what =
        findingOf(healthOf(windings(0.8, 2.6), diagramOf("B", "A", "C")), "pins-contradict").what;
    EXPECT_TRUE(says(what,
                     "A-C must read about the sum of B-A (2.6 ohm) and B-C (3.4 ohm), but it "
                     "reads 0.80 ohm"))
        << what;
}

// Two windings of 0.1 and 5 ohm on a coarse meter: which end of the small one is C, nobody can say.
TEST(Diagram, OfACommonPinThatTheMetersErrorAllowsIsBelieved)
{
    Readings readings = readingsOf(5.2, 5.3, 0.3);
    readings.accuracy_ratio = 0.05;
    readings.resolution_ohm = 0.1;
    const Identification alone = identify(readings);
    ASSERT_LT(alone.commonConfidence, Confidence::certain);
    for (const KnownPins& diagram : {diagramOf("A", "B", "C"), diagramOf("C", "B", "A")}) {
        const Identification found = identified(readings, diagram);
        EXPECT_EQ(found.pattern, ReadingPattern::complete);
        EXPECT_EQ(found.confidence, Confidence::certain) << found.answer;
        EXPECT_EQ(found.pins.at("C"), diagram.common);
        EXPECT_EQ(says(found.answer, "By ohms alone"), diagram.common != alone.pins.at("C"));
    }
}

// No naming suits 6, 7 and 8 ohm or three equal readings, so the diagram's does not either.
TEST(Diagram, OfReadingsThatBreakTheSumRuleIsContradictedToo)
{
    for (const Readings& readings : {readingsOf(6, 7, 8), readingsOf(5, 5, 5)}) {
        const Identification found = identified(readings);
        EXPECT_TRUE(contradictsDiagram(found));
        EXPECT_FALSE(contradictsDiagram(identify(readings)));
        EXPECT_TRUE(found.pins.empty());
        const HealthReport report = healthOf(readings);
        EXPECT_EQ(findingOf(report, "pins-contradict").verdict, HealthVerdict::fail);
        EXPECT_FALSE(says(findingOf(report, "pins-contradict").what, "By ohms"));
        EXPECT_EQ(report.safe.answer, EnergiseAnswer::no);
    }
    EXPECT_EQ(findingOf(healthOf(readingsOf(6, 7, 8)), "sum-rule").verdict,
              HealthVerdict::undecided);
    EXPECT_EQ(findingOf(healthOf(readingsOf(5, 5, 5)), "three-equal-windings").verdict,
              HealthVerdict::fail);
}

// Readings that may be given but that no winding has: 0.2 ohm beside 20 Mohm.
TEST(Diagram, OfWindingsOutOfAllProportionIsNotCertainAndKeepsItsFiguresFinite)
{
    const Readings readings = readingsOf(0.2, 2e7, 2e7, 0);
    for (const KnownPins& diagram : {diagramOf("A", "B", "C"), diagramOf("B", "A", "C")}) {
        const Identification found = identified(readings, diagram);
        EXPECT_LT(found.confidence, Confidence::certain);
        EXPECT_TRUE(std::isfinite(found.run_ohm.accuracy_ratio));
        EXPECT_TRUE(std::isfinite(found.start_ohm.accuracy_ratio));
        EXPECT_NE(healthOf(readings, diagram).safe.answer, EnergiseAnswer::yes);
    }
}

TEST(Diagram, NamesThePinsWhereOhmsCannot)
{
    for (const Readings& readings :
         {readingsOf(openLoop, openLoop, 5), readingsOf(openLoop, openLoop, openLoop),
          readingsOf(4, openLoop, 3), readingsOf(0, 5, 5), readingsOf(0.05, 5, 5),
          readingsOf(2.0, 2.3, 0.15, 0.5)}) {
        ASSERT_TRUE(identify(readings).pins.empty());
        const Identification found = identified(readings, diagramOf("B", "C", "A"));
        EXPECT_EQ(found.pins, (PinMap{{"C", "B"}, {"S", "C"}, {"R", "A"}}));
        EXPECT_EQ(found.confidence, Confidence::certain);
        EXPECT_TRUE(says(found.answer, "which these readings do not check"));
        EXPECT_FALSE(contradictsDiagram(found));
        EXPECT_NE(healthOf(readings).safe.answer, EnergiseAnswer::yes);
    }
}

// Whatever the labels are, even C, S and R on other pins.
TEST(Diagram, TellsWhatAnOpenPinMeans)
{
    const Readings readings = readingsOf(openLoop, openLoop, 5);
    const HealthFinding protector =
        findingOf(healthOf(readings, diagramOf("B", "C", "A")), "protector-open");
    EXPECT_EQ(protector.verdict, HealthVerdict::undecided);
    EXPECT_TRUE(says(protector.what, "C (pin B) is open to both others"));
    const HealthFinding start =
        findingOf(healthOf(readings, diagramOf("C", "B", "A")), "start-winding-open");
    EXPECT_EQ(start.verdict, HealthVerdict::fail);
    EXPECT_TRUE(says(start.what, "S (pin B)"));
    EXPECT_TRUE(says(start.what, "if the diagram was read right"));
    EXPECT_EQ(findingOf(healthOf(readings, diagramOf("C", "A", "B")), "run-winding-open").verdict,
              HealthVerdict::fail);
}

TEST(Diagram, OfOtherPinsThanThoseReadIsBadInput)
{
    try {
        identified(windings(1, 4), diagramOf("A", "B", "D"));
        FAIL() << "D was not read";
    } catch (const InputError& error) {
        EXPECT_STREQ(error.what(),
                     "dairy.xml:12: pins/run: found \"D\"; allowed: one of the pins of the "
                     "readings: A, B, C.");
    }
    EXPECT_THROW(identified(windings(1, 4), diagramOf("A", "B", "B")), InputError);
}

TEST(Diagram, IsAmongTheAssumptionsOnlyWhereThereIsOne)
{
    const auto mentions = [](const Identification& found) {
        return std::any_of(found.assumptions.begin(), found.assumptions.end(),
                           [](const std::string& line) { return says(line, "diagram"); });
    };
    EXPECT_TRUE(mentions(identified(windings(1, 4))));
    EXPECT_FALSE(mentions(identify(windings(1, 4))));
}

TEST(Diagram, OfACaseReachesItsStudy)
{
    Case input;
    input.compressor = compressorOf(windings(5, 5.4), diagramOf("A", "C", "B"));
    const MotorStudy study = windingStudy(input);
    ASSERT_TRUE(study.identification.has_value());
    EXPECT_EQ(study.identification->pins.at("S"), "C");
    EXPECT_EQ(study.identification->confidence, Confidence::certain);
    input.compressor.pins = diagramOf("C", "A", "B");
    EXPECT_EQ(findingOf(windingStudy(input).health, "pins-contradict").verdict,
              HealthVerdict::fail);
}

}  // namespace splitstart
