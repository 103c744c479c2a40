// What any check says of itself, to people and to machines.
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <set>
#include <sstream>
#include <string>

#include "report/report.h"
#include "unit/rating/sound_bench.h"

namespace splitstart
{

namespace
{

using Json = nlohmann::json;

constexpr std::string_view noSource = "common practice, no source";

// The text on one line, so that where it was broken does not matter.
std::string unbroken(const std::string& text)
{
    std::istringstream words(text);
    std::string line;
    for (std::string word; words >> word;) {
        line += line.empty() ? word : " " + word;
    }
    return line;
}

bool has(const std::string& text, std::string_view what)
{
    return text.find(unbroken(std::string(what))) != std::string::npos;
}

}  // namespace

TEST(ChecksNamed, AreThoseOfThatIdOrAll)
{
    EXPECT_EQ(checksNamed("all").size(), allChecks().size());
    EXPECT_EQ(checksNamed("ptc-recovers").size(), 1U);
    EXPECT_EQ(checksNamed("relay-chatter").size(), 2U);  // of both kinds of relay
    EXPECT_TRUE(checksNamed("no-such-check").empty());
    EXPECT_TRUE(checksNamed("").empty());
    for (const Check& check : allChecks()) {
        for (const Check* found : checksNamed(check.id)) {
            EXPECT_EQ(found->id, check.id);
        }
    }
}

TEST(ExplainText, SaysWhatACheckAsksHowItDecidesAndWhatThatRestsOn)
{
    for (const Check& check : allChecks()) {
        const std::string text = unbroken(explainText({&check}, {}));
        EXPECT_TRUE(has(text, check.id)) << check.id;
        for (const std::string_view each :
             {check.meaning, check.part, check.rule, check.source, check.remedy}) {
            EXPECT_FALSE(each.empty()) << check.id;
            EXPECT_TRUE(has(text, each)) << check.id << ": " << each << "\n" << text;
        }
        EXPECT_TRUE(has(text, check.unit)) << check.id;
        EXPECT_EQ(has(text, "Rests on: common practice"), check.basis == Basis::commonPractice);
        EXPECT_EQ(has(text, "Rests on: a published standard"), check.basis == Basis::standard);
        EXPECT_EQ(has(text, "Rests on: physics"), check.basis == Basis::physics);
    }
}

// A rule of the trade must not pass for a published one, nor a published one for a rule of the
// trade.
TEST(ExplainText, SaysWhereNothingIsPublished)
{
    int ofTheTrade = 0;
    for (const Check& check : allChecks()) {
        const std::string text = unbroken(explainText({&check}, {}));
        if (check.basis == Basis::commonPractice) {
            EXPECT_TRUE(has(text, "Source: " + std::string(noSource))) << check.id;
            ++ofTheTrade;
        } else {
            EXPECT_FALSE(has(text, noSource)) << check.id;
        }
        // Clauses are cited from memory, and say so.
        if (check.basis == Basis::standard) {
            EXPECT_TRUE(has(text, "from memory")) << check.id;
        }
    }
    EXPECT_GT(ofTheTrade, 0);
}

TEST(ExplainText, FitsANarrowScreen)
{
    for (const int width : {30, 50, 78}) {
        std::istringstream lines(explainText(checksNamed("all"), {false, true, width}));
        for (std::string line; std::getline(lines, line);) {
            EXPECT_LE(line.size(), static_cast<std::size_t>(width)) << line;
        }
    }
}

TEST(ExplainText, IsPlainWithoutColour)
{
    EXPECT_EQ(explainText(checksNamed("all"), {}).find('\x1b'), std::string::npos);
    EXPECT_NE(explainText(checksNamed("all"), {true, true, 78}).find('\x1b'), std::string::npos);
}

TEST(ExplainJson, HasARowForEachCheckWithNothingLeftOut)
{
    const Json json = Json::parse(explainJson(checksNamed("all")));
    EXPECT_EQ(json.at("schema"), 1);
    const Json& rows = json.at("checks");
    ASSERT_EQ(rows.size(), allChecks().size());
    for (std::size_t i = 0; i < rows.size(); ++i) {
        const Check& check = allChecks()[i];
        EXPECT_EQ(rows[i].at("id"), check.id);
        EXPECT_EQ(rows[i].at("unit"), check.unit);
        for (const char* key : {"id", "part", "meaning", "rule", "basis", "source", "remedy"}) {
            EXPECT_FALSE(rows[i].at(key).get<std::string>().empty()) << check.id << " " << key;
        }
        const bool trade =
            rows[i].at("basis").get<std::string>().find("trade") != std::string::npos;
        EXPECT_EQ(trade, rows[i].at("source").get<std::string>().starts_with(noSource)) << check.id;
    }
}

TEST(ExplainJson, IsAnEmptyListForNoCheck)
{
    EXPECT_TRUE(Json::parse(explainJson({})).at("checks").empty());
}

// What the verdict names can be asked for by that name.
TEST(Explain, KnowsEveryCheckThatAVerdictNames)
{
    for (const RatingBench& bench : soundBenches()) {
        for (const Finding& finding : bench.findings()) {
            EXPECT_FALSE(checksNamed(finding.check->id).empty()) << finding.check->id;
        }
    }
}

// Starts again and the off time are measured apart from the first starts.
TEST(CheckJson, TellsStartsAgainAndTheOffTime)
{
    const auto jsonOf = [](const RatingBench& bench) {
        CheckStudy study;
        study.circuit = bench.circuit;
        study.evidence = {bench.evidence};
        study.findings = bench.findings();
        return Json::parse(checkJson(bench.input, study, {}));
    };
    const Json tank = jsonOf(soundMilkTank());
    EXPECT_TRUE(tank.at("measurements").at("off_time").is_null());
    const RatingBench bench = soundMilkTank();
    const Json& restarts = tank.at("measurements").at("restarts");
    ASSERT_EQ(restarts.size(), bench.evidence.restarts.size());
    ASSERT_EQ(tank.at("measurements").at("starts").size(), bench.evidence.starts.size());
    EXPECT_EQ(restarts[0].at("quantities").at("ptc_at_start_degc"), 90);
    EXPECT_TRUE(restarts[0].at("quantities").at("coil_running_v").is_null());
    const Json room = jsonOf(soundRipeningRoom());
    EXPECT_EQ(room.at("measurements").at("off_time").at("auxiliary_a"), 2);
    EXPECT_EQ(room.at("measurements").at("off_time").at("line_w"), 15);
    EXPECT_TRUE(room.at("measurements").at("restarts").empty());
}

}  // namespace splitstart
