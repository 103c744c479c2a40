// What people read: on a narrow screen, and where one cause stands behind many findings.
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <iterator>
#include <nlohmann/json.hpp>
#include <sstream>

#include "report/finding_text.h"
#include "report/number_text.h"
#include "report/report.h"
#include "report/text_page.h"
#include "report/verdict.h"
#include "unit/rating/sound_bench.h"

namespace splitstart
{

namespace
{

std::size_t longestLine(const std::string& text)
{
    std::istringstream lines(text);
    std::size_t longest = 0;
    for (std::string line; std::getline(lines, line);) {
        longest = std::max(longest, line.size());
    }
    return longest;
}

std::size_t countOf(const std::string& text, const std::string& what)
{
    std::size_t count = 0;
    for (std::size_t at = text.find(what); at != std::string::npos; at = text.find(what, at + 1)) {
        ++count;
    }
    return count;
}

CheckStudy studyOf(const RatingBench& bench)
{
    CheckStudy study;
    study.circuit = bench.circuit;
    study.evidence = {bench.evidence};
    study.findings = bench.findings();
    return study;
}

}  // namespace

TEST(Identification, FitsANarrowScreen)
{
    Case input;
    Readings readings;
    readings.readings = {{"A", "B", 2.7, {}}, {"B", "C", 3.4, {}}, {"A", "C", 0.9, {}}};
    input.compressor.readings = readings;
    const MotorStudy study = windingStudy(input);
    for (const int width : {30, 42, 78}) {
        const std::string text = identifyText("cheese store", true, study, {false, true, width});
        EXPECT_LE(longestLine(text), static_cast<std::size_t>(width));
        EXPECT_NE(text.find("Lock out"), std::string::npos);
    }
}

TEST(TextPage, KeepsAWordThatIsWiderThanThePageWhole)
{
    TextPage page(false, 30);
    page.paragraph("a motor-with-a-name-far-longer-than-the-page runs");
    EXPECT_NE(page.text().find("motor-with-a-name-far-longer-than-the-page"), std::string::npos);
}

TEST(CheckText, FoldsWhatRestsOnAMotorThatIsNotKnown)
{
    RatingBench bench = soundColdStore();
    bench.evidence.fit.front().reproduced = 2 * bench.evidence.fit.front().wanted;
    const std::string text = checkText(bench.input, studyOf(bench), {}, {});
    EXPECT_EQ(countOf(text, "[?]"), 2U) << text;  // the misfit, and all the rest in one line
    EXPECT_NE(text.find("motor-fits-evidence"), std::string::npos);
}

TEST(CheckText, TellsToBuyOnlyWhereSomethingFails)
{
    RatingBench bench = soundColdStore();
    partOf<PotentialRelay>(bench.input, "relay").coilContinuous_V.reset();
    const std::string text = checkText(bench.input, studyOf(bench), {}, {});
    EXPECT_EQ(countOf(text, "To do: fit a relay"), 0U) << text;
    EXPECT_EQ(countOf(text, "Should it fail: fit a relay"), 1U) << text;
}

TEST(CheckText, SaysBeyondWhereTheValueIsNotKnown)
{
    RatingBench bench = soundColdStore();
    bench.evidence.starts[0].measured.timeToSpeed_s.reset();
    const std::string text = checkText(bench.input, studyOf(bench), {}, {});
    EXPECT_NE(text.find("beyond the limit of 3.00 s"), std::string::npos) << text;
    EXPECT_EQ(text.find("inf"), std::string::npos);
}

TEST(TextPage, KeepsAUnitWithItsNumberAtEveryWidth)
{
    const std::string text =
        "give or take 12.5 % of 9 N m, or 110 degC; (0.5 ohm) at 400 V and 0.01 kg m2, ten times.";
    for (int width = 30; width <= 80; ++width) {
        TextPage page(false, width);
        page.paragraph(text, 2, 2);
        EXPECT_LE(longestLine(page.text()), static_cast<std::size_t>(width));
        for (const char* bond :
             {"12.5 %", "9 N m,", "110 degC;", "(0.5 ohm)", "400 V", "0.01 kg m2,"}) {
            EXPECT_NE(page.text().find(bond), std::string::npos) << bond << "\n" << page.text();
        }
        // Nothing is lost or doubled by it.
        std::istringstream before(text);
        std::istringstream after(page.text());
        using Words = std::istream_iterator<std::string>;
        EXPECT_TRUE(std::equal(Words(before), Words(), Words(after), Words())) << page.text();
    }
}

TEST(TextPage, BreaksABondThatIsWiderThanThePage)
{
    TextPage page(false, 30);
    page.paragraph("123456789012345678901234567 degC", 2, 0);
    EXPECT_LE(longestLine(page.text()), 30U) << page.text();
}

TEST(NumberText, TellsApartWhatDiffersAndPrintsNoMinusBeforeNought)
{
    EXPECT_EQ(shortNumber(120.4), "120");
    EXPECT_EQ(shortNumber(120.4, digitsToTell(120.4, 120)), "120.4");
    EXPECT_EQ(shortNumber(120, digitsToTell(120.4, 120)), "120.0");
    EXPECT_EQ(digitsToTell(120, 120), 3);
    EXPECT_EQ(digitsToTell(98, 120), 3);
    EXPECT_EQ(shortNumber(-1e-9), "0");
    EXPECT_EQ(shortNumber(0.752), "0.752");
    EXPECT_EQ(shortNumber(13.42), "13.4");
    EXPECT_EQ(shortNumber(9.996), "10.0");
    EXPECT_EQ(shortNumber(99.96), "100");
}

TEST(CheckText, PrintsNoNumbersForWhatIsSoOrNotSo)
{
    RatingBench bench = soundColdStore();
    partOf<StartCapacitor>(bench.input, "start").bleed_ohm.reset();
    const std::string text = checkText(bench.input, studyOf(bench), {}, {false, true, 78});
    EXPECT_NE(text.find("[FAIL] bleed-resistor-fitted"), std::string::npos) << text;
    for (const char* never : {"0.500", "as fitted", "as named", "worst at as"}) {
        EXPECT_EQ(text.find(never), std::string::npos) << never << " in\n" << text;
    }
    // What was given and has a unit keeps its numbers.
    EXPECT_NE(text.find(", as given"), std::string::npos) << text;
}

// A capacitor is not bought for what a relay does to it.
TEST(CheckText, SaysWhatToCureFirst)
{
    const std::string words = "First cure what keeps the start circuit in";
    const TextStyle wide{false, false, 300};
    RatingBench bench = soundColdStore();
    bench.evidence.starts[0].measured.startCapacitorWorst_V = 1000;
    EXPECT_EQ(checkText(bench.input, studyOf(bench), {}, wide).find(words), std::string::npos);
    bench.evidence.starts[0].measured.startContactAtEnd = 1;
    EXPECT_NE(checkText(bench.input, studyOf(bench), {}, wide).find(words), std::string::npos);
    // One that does not come up to speed keeps it in by that.
    bench.evidence.starts[0].measured.timeToSpeed_s.reset();
    bench.evidence.starts[0].measured.speedAtEnd_ratio = 0;
    EXPECT_EQ(checkText(bench.input, studyOf(bench), {}, wide).find(words), std::string::npos)
        << checkText(bench.input, studyOf(bench), {}, wide);
}

TEST(CheckText, CountsOpeningsInTimes)
{
    RatingBench bench = soundColdStore();
    bench.evidence.starts[0].measured.startContactOpenings = 13;
    const std::string chatter = checkText(bench.input, studyOf(bench), {}, {false, false, 200});
    EXPECT_NE(chatter.find("13 times, at "), std::string::npos) << chatter;
    bench.evidence.starts[0].measured.startContactOpenings = 0;
    const std::string never = checkText(bench.input, studyOf(bench), {}, {false, false, 200});
    EXPECT_NE(never.find("never, at "), std::string::npos) << never;
}

TEST(CheckText, SaysThatTheProtectorTripsAndPrintsNoMinusBeforeNoAmps)
{
    RatingBench bench = soundColdStore();
    bench.eachStart([](StartMeasurement& m) { m.compressorRunning_A = -1e-6; });
    bench.evidence.starts[0].measured.protectorTripped = 1;
    const std::string text = checkText(bench.input, studyOf(bench), {}, {false, false, 200});
    EXPECT_EQ(text.find("-0.0"), std::string::npos) << text;
    EXPECT_EQ(countOf(text, "  trips\n"), 1U) << text;
    EXPECT_EQ(countOf(text, "  0.0 A\n") + 1,
              bench.evidence.starts.size() + bench.evidence.restarts.size());
}

namespace
{

Check checkOf(std::string_view id, std::string_view unit)
{
    Check check;
    check.id = id;
    check.unit = unit;
    return check;
}

// A pass with that margin below a limit of 100 V.
Finding passWith(const Check& check, double margin)
{
    Finding finding;
    finding.check = &check;
    finding.verdict = Verdict::pass;
    finding.hasLimit = finding.hasValue = true;
    finding.corner = "100 % line";
    finding.limit = 100;
    finding.value = 100 - margin;
    finding.margin = margin;
    return finding;
}

}  // namespace

TEST(CheckText, HeadlineNamesNarrowPassesNarrowestFirst)
{
    const std::array<Check, 5> checks = {checkOf("wide", "V"), checkOf("near", "V"),
                                         checkOf("nearer", "V"), checkOf("nearly", "V"),
                                         checkOf("nearest", "V")};
    const RatingBench bench = soundColdStore();
    CheckStudy study = studyOf(bench);
    study.findings = {passWith(checks[0], 5.1)};
    EXPECT_NE(checkText(bench.input, study, {}, {}).find("FIT: all 1 checks"), std::string::npos);
    study.findings.push_back(passWith(checks[1], 4.9));
    EXPECT_NE(checkText(bench.input, study, {}, {false, false, 300})
                  .find("FIT, but narrow: near has 4.90 V to spare. All 2"),
              std::string::npos);
    study.findings.push_back(passWith(checks[2], 2));
    study.findings.push_back(passWith(checks[3], 3));
    study.findings.push_back(passWith(checks[4], 1));
    EXPECT_NE(checkText(bench.input, study, {}, {false, false, 300})
                  .find("narrow: nearest has 1.00 V to spare, nearer has 2.00 V to spare, nearly "
                        "has 3.00 V to spare and 1 more."),
              std::string::npos)
        << checkText(bench.input, study, {}, {false, false, 300});
}

// A difference of two temperatures is in kelvins (SI brochure, 2.3.1).
TEST(FindingText, HasAMarginOfTemperatureInKelvins)
{
    Check heat = checkOf("run-winding-heat", "degC");
    const Finding finding = passWith(heat, 86.7);
    EXPECT_EQ(marginText(finding), "86.7 K");
    EXPECT_NE(findingText(finding).find("13.3 degC against the limit 100 degC: margin 86.7 K"),
              std::string::npos)
        << findingText(finding);
    heat.unit = "V";
    EXPECT_EQ(marginText(finding), "86.7 V");
}

TEST(Narrow, IsNoCountNoLimitOfNoughtAndNoFailure)
{
    const Check volts = checkOf("volts", "V");
    const Check count = checkOf("count", "");
    EXPECT_TRUE(isNarrow(passWith(volts, 1)));
    EXPECT_TRUE(isNarrow(passWith(volts, 0)));
    EXPECT_FALSE(isNarrow(passWith(volts, 5)));
    EXPECT_FALSE(isNarrow(passWith(count, 0)));
    Finding nought = passWith(volts, 0);
    nought.limit = 0;
    EXPECT_FALSE(isNarrow(nought));
    Finding fails = passWith(volts, -1);
    fails.verdict = Verdict::fail;
    EXPECT_FALSE(isNarrow(fails));
}

TEST(CheckJson, SaysTheVerdictTheCountsAndWhatToDo)
{
    using Json = nlohmann::json;
    const auto jsonOf = [](const RatingBench& bench, const CheckStudy& study) {
        return Json::parse(checkJson(bench.input, study, {}));
    };
    RatingBench bench = soundColdStore();
    const Json sound = jsonOf(bench, studyOf(bench));
    EXPECT_EQ(sound["schema"], 1);
    EXPECT_EQ(sound["verdict"], "fit");
    EXPECT_EQ(sound["counts"]["pass"], bench.findings().size());
    EXPECT_EQ(sound["counts"]["fail"], 0);
    for (const Json& finding : sound["findings"]) {
        EXPECT_FALSE(finding["remedy"].get<std::string>().empty()) << finding;
        EXPECT_TRUE(finding["narrow"].is_boolean()) << finding;
    }

    partOf<PotentialRelay>(bench.input, "relay").coilContinuous_V.reset();
    EXPECT_EQ(jsonOf(bench, studyOf(bench))["verdict"], "not decided");
    EXPECT_EQ(jsonOf(bench, studyOf(bench))["counts"]["undecided"], 1);

    bench.evidence.starts[0].measured.startContactOpenings = 13;
    const Json chatters = jsonOf(bench, studyOf(bench));
    EXPECT_EQ(chatters["verdict"], "not fit");
    EXPECT_GE(chatters["counts"]["fail"], 1);

    CheckStudy grounded = studyOf(bench);
    grounded.motor.health.safe.answer = EnergiseAnswer::no;
    EXPECT_EQ(jsonOf(bench, grounded)["verdict"], "do not energise");
}

}  // namespace splitstart
