#include "motor/health.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "physics/near.h"
#include "unit/motor/readings_of.h"

namespace splitstart
{

namespace
{

constexpr double megohm = 1e6;

Compressor compressorWith(const Readings& readings)
{
    Compressor compressor;
    compressor.readings = readings;
    return compressor;
}

Compressor compressorWith(const Readings& readings, double insulation_ohm, double test_V)
{
    Compressor compressor = compressorWith(readings);
    compressor.insulation = InsulationReading{insulation_ohm, test_V};
    return compressor;
}

HealthReport assess(const Compressor& compressor)
{
    return assessHealth(compressor, identify(*compressor.readings));
}

// A sound motor read with a zeroed meter.
Readings soundReadings()
{
    return readingsOf(7.2, 8.55, 1.37, 0);
}

const HealthFinding& findingOf(const HealthReport& report, const std::string& id)
{
    static const HealthFinding none{"no such finding", HealthVerdict::undecided, "", "", {}};
    const auto found =
        std::find_if(report.findings.begin(), report.findings.end(),
                     [&id](const HealthFinding& finding) { return finding.id == id; });
    return found == report.findings.end() ? none : *found;
}

bool says(const std::string& text, const std::string& part)
{
    return text.find(part) != std::string::npos;
}

bool warns(const HealthFinding& finding, const std::string& part)
{
    return std::any_of(finding.cautions.begin(), finding.cautions.end(),
                       [&part](const std::string& caution) { return says(caution, part); });
}

Readings labelled(const Readings& readings, const std::string& a, const std::string& b,
                  const std::string& c)
{
    const std::map<std::string, std::string> name{{"A", a}, {"B", b}, {"C", c}};
    Readings renamed = readings;
    for (WindingReading& reading : renamed.readings) {
        reading.pinA = name.at(reading.pinA);
        reading.pinB = name.at(reading.pinB);
    }
    return renamed;
}

}  // namespace

TEST(Health, ASoundMotorWithGoodInsulationMayBeEnergised)
{
    const HealthReport report = assess(compressorWith(soundReadings(), 180 * megohm, 500));
    for (const HealthFinding& finding : report.findings) {
        EXPECT_EQ(finding.verdict, HealthVerdict::pass) << finding.id << ": " << finding.what;
    }
    EXPECT_EQ(report.insulation, InsulationGrade::good);
    EXPECT_EQ(report.safe.answer, EnergiseAnswer::yes);
    EXPECT_TRUE(says(report.safe.why, "terminal cover on"));
}

TEST(Health, WithoutAnInsulationTestNobodyKnowsWhetherItIsSafe)
{
    const HealthReport report = assess(compressorWith(soundReadings()));
    EXPECT_EQ(findingOf(report, "insulation").verdict, HealthVerdict::undecided);
    EXPECT_EQ(report.insulation, InsulationGrade::unknown);
    EXPECT_EQ(report.safe.answer, EnergiseAnswer::notKnown);
}

TEST(Health, WithoutReadingsNobodyKnowsEither)
{
    Compressor compressor;
    compressor.insulation = InsulationReading{180 * megohm, 500};
    const HealthReport report = assessHealth(compressor, std::nullopt);
    EXPECT_EQ(report.safe.answer, EnergiseAnswer::notKnown);
    EXPECT_TRUE(says(report.safe.why, "windings have not been read"));
}

// The ladder: below 0.5 fail, 0.5 to 2 doubtful, 2 to 20 fair, above 20 good, in megohms (common
// practice, no single source).
TEST(Health, TheInsulationLadderHasFourRungs)
{
    EXPECT_EQ(insulationGrade(0), InsulationGrade::failed);
    EXPECT_EQ(insulationGrade(0.49 * megohm), InsulationGrade::failed);
    EXPECT_EQ(insulationGrade(0.5 * megohm), InsulationGrade::doubtful);
    EXPECT_EQ(insulationGrade(1.99 * megohm), InsulationGrade::doubtful);
    EXPECT_EQ(insulationGrade(2 * megohm), InsulationGrade::fair);
    EXPECT_EQ(insulationGrade(20 * megohm), InsulationGrade::fair);
    EXPECT_EQ(insulationGrade(20.1 * megohm), InsulationGrade::good);
    EXPECT_EQ(insulationGrade(openLoop), InsulationGrade::good);
}

TEST(Health, EachRungHasItsVerdictAndItsAnswerAboutPower)
{
    const auto reportAt = [](double insulation_ohm) {
        return assess(compressorWith(soundReadings(), insulation_ohm, 500));
    };
    const HealthReport failed = reportAt(0.2 * megohm);
    EXPECT_EQ(findingOf(failed, "insulation").verdict, HealthVerdict::fail);
    EXPECT_EQ(failed.safe.answer, EnergiseAnswer::no);
    EXPECT_TRUE(warns(findingOf(failed, "insulation"), "Never energise"));
    const HealthReport doubtful = reportAt(1 * megohm);
    EXPECT_EQ(findingOf(doubtful, "insulation").verdict, HealthVerdict::undecided);
    EXPECT_EQ(doubtful.safe.answer, EnergiseAnswer::notKnown);
    EXPECT_TRUE(says(findingOf(doubtful, "insulation").nextStep, "sources ask 0.5, 1, 2, 5 or 50"));
    const HealthReport fair = reportAt(8 * megohm);
    EXPECT_EQ(findingOf(fair, "insulation").verdict, HealthVerdict::pass);
    EXPECT_EQ(fair.safe.answer, EnergiseAnswer::yes);
}

TEST(Health, AGroundedPinIsNeverToBeEnergisedHoweverGoodTheTesterReads)
{
    Readings readings = soundReadings();
    readings.readings.push_back({"A", "shell", 850, {}});
    const HealthReport report = assess(compressorWith(readings, 180 * megohm, 500));
    const HealthFinding& grounded = findingOf(report, "winding-grounded");
    EXPECT_EQ(grounded.verdict, HealthVerdict::fail);
    EXPECT_EQ(report.safe.answer, EnergiseAnswer::no);
    EXPECT_TRUE(says(report.safe.why, "grounded"));
    EXPECT_TRUE(warns(grounded, "Never energise"));
    EXPECT_TRUE(warns(grounded, "stand aside"));
}

TEST(Health, AnOhmmeterThatSeesNothingIsNoProofOfInsulation)
{
    Readings readings = soundReadings();
    readings.readings.push_back({"A", "shell", openLoop, {}});
    const HealthReport alone = assess(compressorWith(readings));
    EXPECT_EQ(findingOf(alone, "ground-by-ohmmeter").verdict, HealthVerdict::undecided);
    EXPECT_EQ(alone.safe.answer, EnergiseAnswer::notKnown);
    const HealthReport confirmed = assess(compressorWith(readings, 50 * megohm, 500));
    EXPECT_EQ(findingOf(confirmed, "ground-by-ohmmeter").verdict, HealthVerdict::pass);
    EXPECT_EQ(confirmed.safe.answer, EnergiseAnswer::yes);
}

TEST(Health, AnInsulationReadingTakenWithAnOhmmeterIsJudgedAsOne)
{
    EXPECT_EQ(
        findingOf(assess(compressorWith(soundReadings(), 0.3 * megohm, 0)), "winding-grounded")
            .verdict,
        HealthVerdict::fail);
    for (const double reading_ohm : {8 * megohm, openLoop}) {
        const HealthReport report = assess(compressorWith(soundReadings(), reading_ohm, 0));
        EXPECT_EQ(findingOf(report, "ground-by-ohmmeter").verdict, HealthVerdict::undecided);
        EXPECT_EQ(report.insulation, InsulationGrade::unknown);
        EXPECT_EQ(report.safe.answer, EnergiseAnswer::notKnown);
    }
}

TEST(Health, AReadingAtTheEndOfALowRangeProvesNothing)
{
    Compressor compressor = compressorWith(soundReadings(), 1 * megohm, 500);
    compressor.insulation->lowerLimit = true;
    EXPECT_EQ(assess(compressor).insulation, InsulationGrade::unknown);
    EXPECT_EQ(assess(compressor).safe.answer, EnergiseAnswer::notKnown);
    compressor.insulation->resistance_ohm = 200 * megohm;
    EXPECT_EQ(assess(compressor).insulation, InsulationGrade::good);
    EXPECT_TRUE(says(findingOf(assess(compressor), "insulation").what, "above 200 Mohm"));
}

TEST(Health, TestVoltsAreJudgedToo)
{
    Compressor compressor = compressorWith(soundReadings(), 180 * megohm, 1000);
    compressor.nameplate.voltage_V = 230;
    const HealthReport harsh = assess(compressor);
    EXPECT_EQ(findingOf(harsh, "insulation-test-volts").verdict, HealthVerdict::undecided);
    EXPECT_EQ(harsh.safe.answer, EnergiseAnswer::notKnown);
    // 500 V on a 115 V motor: the sources conflict, and the finding says so.
    compressor.nameplate.voltage_V = 115;
    compressor.insulation->test_V = 500;
    const HealthFinding conflict = findingOf(assess(compressor), "insulation-test-volts");
    EXPECT_EQ(conflict.verdict, HealthVerdict::pass);
    EXPECT_TRUE(says(conflict.what, "conflict"));
    EXPECT_TRUE(says(conflict.what, "IEEE 43, from memory"));
    compressor.insulation->test_V = 50;
    EXPECT_EQ(assess(compressor).insulation, InsulationGrade::unknown);
    // Low is low, at any volts.
    compressor.insulation->resistance_ohm = 0.1 * megohm;
    EXPECT_EQ(assess(compressor).insulation, InsulationGrade::failed);
}

// A winding on 115 V sees the crest of a sine, 1.414 times as much (any text on circuits): 162.6 V.
// What stands fewer volts than that has not been shown to stand the line.
TEST(Health, InsulationIsProvedByNoLessThanTheCrestOfTheLine)
{
    Compressor compressor = compressorWith(soundReadings(), 180 * megohm, 160);
    compressor.nameplate.voltage_V = 115;
    EXPECT_EQ(assess(compressor).insulation, InsulationGrade::unknown);
    compressor.insulation->test_V = 165;
    EXPECT_EQ(assess(compressor).insulation, InsulationGrade::good);
}

TEST(Health, TestsOfInsulationCarryTheVacuumCaution)
{
    EXPECT_TRUE(warns(findingOf(assess(compressorWith(soundReadings())), "insulation"), "vacuum"));
    EXPECT_TRUE(warns(findingOf(assess(compressorWith(soundReadings())), "insulation"),
                      "capacitors and electronics stay disconnected"));
}

// IEEE 43 (from memory): insulation resistance halves for each 10 K, and is brought to 40 degC.
TEST(Health, InsulationIsBroughtToFortyDegrees)
{
    EXPECT_TRUE(nearRel(insulationAt40_ohm(80 * megohm, 20), 20 * megohm, 1e-12));
    EXPECT_TRUE(nearRel(insulationAt40_ohm(80 * megohm, 40), 80 * megohm, 1e-12));
    EXPECT_TRUE(nearRel(insulationAt40_ohm(10 * megohm, 50), 20 * megohm, 1e-12));
    Readings readings = soundReadings();
    readings.windingTemperatureGiven = true;
    readings.windingTemperature_degC = 20;
    const HealthReport report = assess(compressorWith(readings, 80 * megohm, 500));
    EXPECT_TRUE(says(findingOf(report, "insulation").what, "20 Mohm"));
}

TEST(Health, CommonOpenToBothIsTheProtectorAndCondemnsNothing)
{
    Readings readings = labelled(readingsOf(openLoop, 8.5, openLoop), "C", "S", "R");
    readings.windingTemperatureGiven = true;
    readings.windingTemperature_degC = 75;
    const HealthReport report = assess(compressorWith(readings));
    const HealthFinding& protector = findingOf(report, "protector-open");
    EXPECT_EQ(protector.verdict, HealthVerdict::undecided);
    EXPECT_TRUE(says(protector.nextStep, "Wait until the shell is cool"));
    EXPECT_TRUE(says(protector.nextStep, "Do not condemn"));
    EXPECT_TRUE(says(protector.what, "too hot to judge"));
    EXPECT_NE(report.safe.answer, EnergiseAnswer::yes);
}

TEST(Health, AnOpenWindingIsNamedWhereThePinsAre)
{
    const HealthReport start =
        assess(compressorWith(labelled(readingsOf(openLoop, openLoop, 1.4), "C", "S", "R")));
    EXPECT_EQ(findingOf(start, "start-winding-open").verdict, HealthVerdict::fail);
    EXPECT_EQ(start.safe.answer, EnergiseAnswer::no);
    const HealthReport run =
        assess(compressorWith(labelled(readingsOf(7.2, openLoop, openLoop), "c", "s", "r")));
    EXPECT_EQ(findingOf(run, "run-winding-open").verdict, HealthVerdict::fail);
    EXPECT_TRUE(says(findingOf(run, "run-winding-open").nextStep, "Before condemning"));
}

TEST(Health, OneOpenPinWithoutNamesKeepsAllThreeReadingsOfTheEvidence)
{
    const HealthReport report = assess(compressorWith(readingsOf(openLoop, openLoop, 5)));
    const HealthFinding& open = findingOf(report, "one-pin-open");
    EXPECT_EQ(open.verdict, HealthVerdict::undecided);
    EXPECT_TRUE(says(open.what, "If B is C, the internal protector"));
    EXPECT_TRUE(says(open.what, "If B is S, the start winding"));
    EXPECT_TRUE(says(open.what, "If B is R, the run winding"));
}

TEST(Health, EveryUnusualPatternHasItsOwnFindingWithNextStepAndCautions)
{
    struct Row {
        Readings readings;
        std::string id;
        HealthVerdict verdict;
    };
    const std::vector<Row> rows{
        {readingsOf(openLoop, openLoop, openLoop), "all-open", HealthVerdict::fail},
        {readingsOf(openLoop, 4, 3), "contradictory-open", HealthVerdict::undecided},
        {readingsOf(0, 5, 5), "zero-reading", HealthVerdict::fail},
        {readingsOf(0.05, 5, 5), "shorted-winding", HealthVerdict::fail},
        {readingsOf(0.15, 2, 2.3, 0.5), "reading-below-leads", HealthVerdict::undecided},
        {readingsOf(5, 5, 5), "three-equal-windings", HealthVerdict::fail},
        {readingsOf(6, 7, 8), "sum-rule", HealthVerdict::undecided},
    };
    for (const Row& row : rows) {
        // Good insulation must not outvote the windings.
        const HealthReport report = assess(compressorWith(row.readings, 180 * megohm, 500));
        const HealthFinding& finding = findingOf(report, row.id);
        EXPECT_EQ(finding.verdict, row.verdict) << row.id;
        EXPECT_FALSE(finding.nextStep.empty()) << row.id;
        EXPECT_FALSE(finding.cautions.empty()) << row.id;
        EXPECT_EQ(report.safe.answer, row.verdict == HealthVerdict::fail ? EnergiseAnswer::no
                                                                         : EnergiseAnswer::notKnown)
            << row.id;
    }
}

TEST(Health, ThreeEqualWindingsMustNotSeeSinglePhaseMains)
{
    const HealthReport report = assess(compressorWith(readingsOf(5, 5, 5)));
    EXPECT_TRUE(
        warns(findingOf(report, "three-equal-windings"), "Never connect it to single-phase mains"));
}

TEST(Health, ThePrimersReadingsAreRejectedKindly)
{
    const HealthReport report = assess(compressorWith(readingsOf(6, 7, 8)));
    EXPECT_TRUE(says(findingOf(report, "sum-rule").nextStep, "Nothing is broken by this alone"));
}

TEST(Health, AGuessAtThePinsKeepsThePowerOff)
{
    const HealthReport report =
        assess(compressorWith(readingsOf(5.05, 10.05, 5, 0), 180 * megohm, 500));
    EXPECT_EQ(findingOf(report, "pins-named").verdict, HealthVerdict::undecided);
    EXPECT_TRUE(says(findingOf(report, "pins-named").nextStep, "nameplate"));
    EXPECT_EQ(report.safe.answer, EnergiseAnswer::notKnown);
}

TEST(Health, ALowRunWindingIsAGuessWithoutASizeAndAFindingWithOne)
{
    // 0.18 ohm may be a very large compressor.
    Compressor compressor = compressorWith(readingsOf(0.63, 0.8, 0.18, 0));
    EXPECT_EQ(findingOf(assess(compressor), "low-winding").verdict, HealthVerdict::undecided);
    EXPECT_TRUE(says(findingOf(assess(compressor), "low-winding").what, "a guess"));
    // 230 V and 200 A locked: at least 0.115 ohm, so it fits.
    compressor.nameplate.voltage_V = 230;
    compressor.nameplate.lockedRotor_A = 200;
    EXPECT_EQ(findingOf(assess(compressor), "low-winding").id, "no such finding");
    // 115 V and 20 A locked: no run winding of a quarter horsepower has so little.
    compressor.nameplate.voltage_V = 115;
    compressor.nameplate.lockedRotor_A = 20;
    EXPECT_EQ(findingOf(assess(compressor), "low-winding").verdict, HealthVerdict::fail);
    EXPECT_EQ(assess(compressor).safe.answer, EnergiseAnswer::no);
}

}  // namespace splitstart
