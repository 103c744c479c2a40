// How sure a check is, what it hangs on, and what to measure next, asked of the program as a person
// would. What is expected is arithmetic of shares, and physics of what a reading can tell.
#include <gtest/gtest.h>

#include <algorithm>
#include <nlohmann/json.hpp>
#include <regex>
#include <string>

#include "system/check_run.h"
#include "system/program.h"

namespace splitstart
{

namespace
{

using Json = nlohmann::json;

// The cheese store with its text changed, beside the parts list that it names.
std::string changedStore(const ScratchFolder& folder, const std::string& pattern,
                         const std::string& replacement)
{
    folder.write("dairy-stock.xml", fileText(example("dairy-stock.xml")));
    const std::string text = fileText(example("cheese-store.xml"));
    const std::string changed = std::regex_replace(text, std::regex(pattern), replacement);
    EXPECT_NE(changed, text);
    return folder.write("case.xml", changed);
}

// Nothing but readings and nameplate.
std::string plateOnly(const ScratchFolder& folder)
{
    return changedStore(folder, "<measured[^>]*>", "");
}

std::size_t undecidedOf(const Json& json)
{
    return json["counts"]["undecided"].get<std::size_t>();
}

}  // namespace

TEST(PossibleMachinesOfACase, BearOutEachVerdictByTheirShare)
{
    const CheckRun& run = checkExample("cheese-store.xml");
    int looked = 0;
    for (const Json& finding : run.json["findings"]) {
        const double all = finding["machines"].get<double>();
        if (all == 0) {
            continue;  // asks the case alone
        }
        ++looked;
        EXPECT_GE(all, 20) << finding["id"];
        EXPECT_LE(all, run.json["machines_looked_at"].get<double>()) << finding["id"];
        const double holds = finding["holds_in"].get<double>() / all;
        const double fails = finding["fails_in"].get<double>() / all;
        const std::string expected = holds >= 0.95 ? "pass" : fails >= 0.95 ? "fail" : "undecided";
        EXPECT_EQ(finding["verdict"], expected) << finding["id"];
    }
    EXPECT_GT(looked, 20);
    EXPECT_TRUE(run.json["next_measurements"].empty()) << "all is decided";
}

TEST(PossibleMachinesOfACase, AreTheSameWhateverTheNumberOfWorkers)
{
    const auto with = [](const char* workers, const char* seed) {
        return splitstartRun({"check", example("cheese-store.xml"), "--format", "json", "--samples",
                              "20", "--workers", workers, "--seed", seed})
            .out;
    };
    const std::string once = with("1", "7");
    EXPECT_EQ(once, with("3", "7"));
    EXPECT_NE(once, with("2", "8"));
}

TEST(WhatNext, NamesReadingsThatTellOfTheTurnsRatioWhereOnlyThePlateIsKnown)
{
    const ScratchFolder folder;
    const Outcome outcome = splitstartRun(
        {"identify", plateOnly(folder), "--what-next", "--samples", "40", "--format", "json"});
    EXPECT_EQ(outcome.status, 1) << outcome.err;
    const Json json = Json::parse(outcome.out);
    EXPECT_GT(undecidedOf(json), 3U) << "a plate does not determine a motor";
    const Json& next = json["next_measurements"];
    ASSERT_FALSE(next.empty());
    std::vector<std::string> fields;
    double before = 1e9;
    for (const Json& each : next) {
        fields.push_back(each["field"].get<std::string>());
        EXPECT_FALSE(each["instrument"].get<std::string>().empty());
        EXPECT_FALSE(each["caution"].get<std::string>().empty());
        EXPECT_LE(each["settles"].get<double>(), static_cast<double>(undecidedOf(json)));
        const double worth = each["settles"].get<double>() + 0.1 * each["explains"].get<double>();
        EXPECT_LE(worth, before) << "best first";
        before = worth;
    }
    // Volts across the start winding follow the turns ratio one to one (double revolving fields,
    // any text on single-phase motors), and the relay's verdicts hang on it.
    const auto volts = std::find_if(fields.begin(), fields.end(), [](const std::string& field) {
        return field.find("start-common-volts-running") != std::string::npos;
    });
    EXPECT_NE(volts, fields.end());
    EXPECT_EQ(std::count(fields.begin(), fields.end(), *volts), 1);
}

TEST(WhatNext, IsSaidUnderTheVerdictWithInstrumentAndCaution)
{
    const ScratchFolder folder;
    const Outcome outcome = splitstartRun({"check", plateOnly(folder), "--samples", "20"});
    EXPECT_EQ(outcome.status, 1) << outcome.err;
    const std::size_t at = outcome.out.find("What to measure next");
    ASSERT_NE(at, std::string::npos);
    EXPECT_LT(outcome.out.find("What is undecided"), at);
    EXPECT_LT(at, outcome.out.find("The starts, best estimate"));
    const std::string next = outcome.out.substr(at, outcome.out.find("The starts") - at);
    EXPECT_NE(next.find("1. "), std::string::npos);
    EXPECT_NE(next.find("! "), std::string::npos);
    EXPECT_NE(next.find("with "), std::string::npos);
    EXPECT_NE(outcome.out.find("It hangs most on:"), std::string::npos);
}

TEST(WhatNext, LeavesLessOpenOnceItIsMeasured)
{
    const ScratchFolder folder;
    const Json plate =
        Json::parse(splitstartRun({"check", plateOnly(folder), "--format", "json"}).out);
    const CheckRun& measured = checkExample("cheese-store.xml");
    EXPECT_LT(undecidedOf(measured.json), undecidedOf(plate));
}

TEST(WhatNext, SaysThatNothingIsMissingWhereAllIsDecided)
{
    const Outcome outcome = splitstartRun({"identify", example("shop-cooler.xml"), "--what-next"});
    EXPECT_EQ(outcome.status, 0) << outcome.err;
    EXPECT_NE(outcome.out.find("Nothing is undecided"), std::string::npos);
}

TEST(WhatNext, PutsTheInsulationFirstWhereNobodyHasReadIt)
{
    const ScratchFolder folder;
    folder.write("dairy-stock.xml", fileText(example("dairy-stock.xml")));
    const std::string text = std::regex_replace(fileText(example("shop-cooler.xml")),
                                                std::regex("<insulation[^>]*>"), "");
    const Outcome outcome =
        splitstartRun({"identify", folder.write("case.xml", text), "--what-next"});
    EXPECT_EQ(outcome.status, 1) << outcome.err;
    EXPECT_NE(outcome.out.find("First: Insulation"), std::string::npos);
    EXPECT_EQ(outcome.out.find("Nothing is undecided"), std::string::npos);
}

// A compressor that draws 77 A stalled has no plate of 40 A: the plate says 10 % (NEMA MG 1 gives a
// locked-rotor code letter a band of 12 %, from memory).
TEST(FiguresAtOdds, AreNamedAsThePairThatTheyAre)
{
    const ScratchFolder folder;
    const std::string file =
        changedStore(folder, "locked-rotor-amps=\"81\"", "locked-rotor-amps=\"40\"");
    const Json json = Json::parse(splitstartRun({"check", file, "--format", "json"}).out);
    EXPECT_EQ(json["verdict"], "not decided");
    const Json& found = json["motor"]["contradictions"];
    ASSERT_FALSE(found.empty());
    for (const Json& each : found) {
        EXPECT_NE(each.get<std::string>().find("locked-rotor amps 40 A"), std::string::npos);
        EXPECT_NE(each.get<std::string>().find("cannot both be right"), std::string::npos);
    }
    EXPECT_EQ(json["machines_looked_at"], 0);
}

TEST(SamplingOptions, AreRefusedOutsideTheirRange)
{
    const std::vector<std::vector<std::string>> bad = {
        {"check", example("shop-cooler.xml"), "--samples", "5"},
        {"check", example("shop-cooler.xml"), "--samples", "100000"},
        {"check", example("shop-cooler.xml"), "--sure-percent", "30"},
        {"check", example("shop-cooler.xml"), "--sure-percent", "nan"},
        {"identify", example("shop-cooler.xml"), "--samples", "50"},
        {"identify", "--ohms", "AB=2", "BC=3", "AC=1", "--what-next"},
    };
    for (const std::vector<std::string>& arguments : bad) {
        const Outcome outcome = splitstartRun(arguments);
        EXPECT_EQ(outcome.status, 2) << arguments.back();
        EXPECT_TRUE(outcome.out.empty());
        EXPECT_FALSE(outcome.err.empty());
    }
}

}  // namespace splitstart
