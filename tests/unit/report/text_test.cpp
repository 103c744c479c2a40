// What people read: on a narrow screen, and where one cause stands behind many findings.
#include <gtest/gtest.h>

#include <sstream>

#include "report/report.h"
#include "report/text_page.h"
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
    const std::string text = checkText(bench.input, studyOf(bench), {});
    EXPECT_EQ(countOf(text, "[?]"), 2U) << text;  // the misfit, and all the rest in one line
    EXPECT_NE(text.find("motor-fits-evidence"), std::string::npos);
}

TEST(CheckText, TellsToBuyOnlyWhereSomethingFails)
{
    RatingBench bench = soundColdStore();
    partOf<PotentialRelay>(bench.input, "relay").coilContinuous_V.reset();
    const std::string text = checkText(bench.input, studyOf(bench), {});
    EXPECT_EQ(countOf(text, "To do: fit a relay"), 0U) << text;
    EXPECT_EQ(countOf(text, "Should it fail: fit a relay"), 1U) << text;
}

TEST(CheckText, SaysBeyondWhereTheValueIsNotKnown)
{
    RatingBench bench = soundColdStore();
    bench.evidence.starts[0].measured.timeToSpeed_s.reset();
    const std::string text = checkText(bench.input, studyOf(bench), {});
    EXPECT_NE(text.find("beyond the limit of 3.00 s"), std::string::npos) << text;
    EXPECT_EQ(text.find("inf"), std::string::npos);
}

}  // namespace splitstart
