// `splitstart lesson` as a person types it.
#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <map>
#include <nlohmann/json.hpp>

#include "system/program.h"

namespace splitstart
{

namespace
{

using Json = nlohmann::json;

const std::vector<std::string>& names()
{
    static const std::vector<std::string> all = {"phase-shift",    "two-fields",    "relay-opening",
                                                 "capacitor-size", "run-capacitor", "swapped-wire"};
    return all;
}

}  // namespace

TEST(LessonCommand, ListsEveryLessonInOneLine)
{
    const Outcome outcome = splitstartRun({"lesson", "--list"});
    EXPECT_EQ(outcome.status, 0);
    for (const std::string& name : names()) {
        EXPECT_NE(outcome.out.find(name), std::string::npos) << name;
    }
    EXPECT_EQ(std::count(outcome.out.begin(), outcome.out.end(), '\n'), 6);
}

TEST(LessonCommand, WritesEachLessonAsOnePageUnderOneAndAHalfMegabytes)
{
    const ScratchFolder folder;
    for (const std::string& name : names()) {
        const std::string file = folder.path() / (name + ".html");
        const Outcome outcome = splitstartRun({"lesson", name, "-o", file});
        ASSERT_EQ(outcome.status, 0) << outcome.err;
        EXPECT_TRUE(outcome.out.empty());
        EXPECT_LT(std::filesystem::file_size(file), 1500000U) << name;
        const std::string page = fileText(file);
        EXPECT_EQ(page.find("<!DOCTYPE html>"), 0U);
        // What no simulator can tell must not look like a number.
        EXPECT_EQ(page.find(">nan<"), std::string::npos) << name;
        EXPECT_EQ(page.find(">inf<"), std::string::npos) << name;
    }
}

TEST(LessonCommand, GivesTheSameAnswerTwice)
{
    // Its time of making would differ now and then.
    const std::map<std::string, std::string> fixed = {{"SOURCE_DATE_EPOCH", "1764165600"}};
    const Outcome once = splitstartRun({"lesson", "relay-opening"}, fixed);
    const Outcome again = splitstartRun({"lesson", "relay-opening"}, fixed);
    EXPECT_NE(once.out.find("bench-capacitor-start.xml, which the program brings along, on "
                            "2025-11-26 14:00 UTC by splitstart"),
              std::string::npos);
    EXPECT_EQ(once.status, 0) << once.err;
    EXPECT_EQ(once.out, again.out);
}

TEST(LessonCommand, RunsOnACaseOfOnesOwn)
{
    const Outcome outcome =
        splitstartRun({"lesson", "relay-opening", example("circuits/csir-potential-relay.xml"),
                       "--format", "json"});
    ASSERT_EQ(outcome.status, 0) << outcome.err;
    const Json json = Json::parse(outcome.out);
    EXPECT_EQ(json["case"], "ice-cream chest in the shop");
    EXPECT_EQ(json["lesson"], "relay-opening");
    EXPECT_GE(json["positions"].size(), 9U);
}

TEST(LessonCommand, WarnsOfReadingsThatCondemnTheWindings)
{
    const ScratchFolder folder;
    folder.write("dairy-stock.xml", fileText(example("dairy-stock.xml")));
    std::string text = fileText(example("circuits/csir-potential-relay.xml"));
    for (const auto& [from, to] : {std::pair<std::string, std::string>("../dairy", "dairy"),
                                   {"megohms=\"200\"", "megohms=\"0.1\""}}) {
        ASSERT_NE(text.find(from), std::string::npos);
        text.replace(text.find(from), from.size(), to);
    }
    const std::string file = folder.write("case.xml", text);
    const Outcome outcome = splitstartRun({"lesson", "relay-opening", file});
    EXPECT_EQ(outcome.status, 0) << outcome.err;
    const std::string warning = "The readings of this case say: do not energise.";
    EXPECT_EQ(outcome.err.find("splitstart: " + warning), 0U) << outcome.err;
    const std::size_t at = outcome.out.find("<div class=\"verdict is-fail\"><p>" + warning);
    EXPECT_LT(at, outcome.out.find("The turning rotor"));
    EXPECT_TRUE(
        splitstartRun({"lesson", "relay-opening", example("circuits/csir-potential-relay.xml")})
            .err.empty());
}

TEST(LessonCommand, SaysWhatACaseLacksInOneLine)
{
    const std::vector<std::pair<const char*, const char*>> lacking = {
        {"relay-opening", "a potential relay"},
        {"capacitor-size", "a start capacitor"},
        {"phase-shift", "a start capacitor"},
        {"run-capacitor", "a run capacitor"}};
    for (const auto& [name, what] : lacking) {
        const Outcome outcome =
            splitstartRun({"lesson", name, example("circuits/rsir-current-relay.xml")});
        EXPECT_EQ(outcome.status, 2) << name;
        EXPECT_TRUE(outcome.out.empty());
        EXPECT_NE(outcome.err.find(what), std::string::npos) << outcome.err;
        EXPECT_EQ(std::count(outcome.err.begin(), outcome.err.end(), '\n'), 1) << outcome.err;
    }
}

TEST(LessonCommand, RefusesWhatMakesNoSense)
{
    const std::vector<std::vector<std::string>> wrong = {
        {"lesson"},
        {"lesson", "phase-shft"},
        {"lesson", "phase-shift", "--format", "text"},
        {"lesson", "phase-shift", example("cheese-store.xml"), "more.xml"},
        {"lesson", "--list", "phase-shift"},
        {"lesson", "phase-shift", "no-such-file.xml"},
        {"lesson", example("cheese-store.xml")},
    };
    for (const std::vector<std::string>& arguments : wrong) {
        const Outcome outcome = splitstartRun(arguments);
        EXPECT_EQ(outcome.status, 2) << outcome.err;
        EXPECT_TRUE(outcome.out.empty());
        EXPECT_FALSE(outcome.err.empty());
    }
    EXPECT_NE(splitstartRun({"lesson", "phase-shft"}).err.find("Did you mean \"phase-shift\"?"),
              std::string::npos);
}

TEST(LessonCommand, NeverOverwritesTheCaseItRead)
{
    const ScratchFolder folder;
    const std::string text = fileText(example("circuits/csir-potential-relay.xml"));
    const std::string file = folder.write("case.xml", text);
    const Outcome outcome = splitstartRun({"lesson", "phase-shift", file, "-o", file});
    EXPECT_EQ(outcome.status, 2);
    EXPECT_EQ(fileText(file), text);
}

}  // namespace splitstart
