// What --help says of numbers and exit statuses, and what is said to who types something else.
#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <set>
#include <sstream>

#include "cli/command.h"
#include "cli/manual.h"

namespace splitstart
{

namespace
{

namespace po = boost::program_options;

using Arguments = std::vector<std::string>;

std::string complaint(const CommandLine& line, const Arguments& arguments)
{
    try {
        po::variables_map values;
        line.parse(arguments, values);
        return "none";
    } catch (const UsageError& error) {
        return error.what();
    }
}

// One blank between words, whatever the width of the help text.
std::string words(const CommandLine& line)
{
    std::ostringstream text;
    text << line.options;
    std::istringstream stream(text.str());
    std::string result;
    for (std::string word; stream >> word;) {
        result += word + " ";
    }
    return result;
}

bool says(const std::string& text, const std::string& part)
{
    return text.find(part) != std::string::npos;
}

}  // namespace

TEST(NumberOptions, AreRefusedWithWhatWasFoundAndWhatIsAllowed)
{
    const CommandLine check = checkLine();
    EXPECT_EQ(complaint(check, {"--samples", "abc"}),
              "--samples: found \"abc\"; allowed: a whole number from 20 to 10000");
    EXPECT_EQ(complaint(check, {"--samples", "19"}),
              "--samples: found \"19\"; allowed: a whole number from 20 to 10000");
    EXPECT_EQ(complaint(check, {"--samples", "10001"}),
              "--samples: found \"10001\"; allowed: a whole number from 20 to 10000");
    EXPECT_EQ(
        complaint(check, {"--samples", "99999999999999999999"}),
        "--samples: found \"99999999999999999999\"; allowed: a whole number from 20 to 10000");
    EXPECT_EQ(complaint(check, {"--seed", "-1"}),
              "--seed: found \"-1\"; allowed: a whole number, 0 or more");
    EXPECT_EQ(complaint(check, {"--sure-percent", "97,5"}),
              "--sure-percent: found \"97,5\"; allowed: a number from 60 to 99.5. Write decimals "
              "with a point, and nothing between thousands.");
    EXPECT_EQ(complaint(check, {"--sure-percent", "nan"}),
              "--sure-percent: found \"nan\"; allowed: a number from 60 to 99.5");
    EXPECT_EQ(complaint(check, {"--workers", ""}),
              "--workers: found \"\"; allowed: a whole number from 0 to 64");
    EXPECT_EQ(complaint(check, {"--workers"}), "--workers: its value is missing");
    EXPECT_EQ(complaint(check, {"--samples", "20", "--seed", "9223372036854775807", "--workers",
                                "64", "--sure-percent", "99.5"}),
              "none");
}

TEST(NumberOptions, KeepALargeSeedAsItWasTyped)
{
    po::variables_map values;
    checkLine().parse({"--seed", "9007199254740993"}, values);  // 2^53 + 1 is no double
    EXPECT_EQ(values["seed"].as<long>(), 9007199254740993);
}

TEST(NumberOptions, SayTheirRangeInTheHelp)
{
    const std::string check = words(checkLine());
    for (const char* part : {"--samples N (=200)", "(20 to 10000)", "--sure-percent PERCENT (=95)",
                             "(60 to 99.5)", "--seed N (=1)", "(0 or more)", "(0 to 64)"}) {
        EXPECT_TRUE(says(check, part)) << part << " in " << check;
    }
    EXPECT_TRUE(says(words(chooseLine()), "(1 to 20)"));
    EXPECT_TRUE(says(words(diagnoseLine()), "0: as usual for each kind (0 to 20)"));
    const std::string netlist = words(netlistLine());
    for (const char* part : {"(50 to 130)", "(0.2 to 60)", "(0 to 86400)", "(0 to 360)"}) {
        EXPECT_TRUE(says(netlist, part)) << part << " in " << netlist;
    }
    EXPECT_TRUE(says(words(sweepLine()), "(2 to 1000000)"));
}

// Whatever takes a number refuses a word with its name and a range: none is left to the parser's
// own words.
TEST(NumberOptions, AreAllOfThisKind)
{
    const std::set<std::string> ofNumbers = {"N", "PERCENT", "DEGREES", "S"};
    int met = 0;
    for (const Command& command : commands()) {
        const CommandLine line = command.line();
        for (const auto& option : line.options.options()) {
            const std::string parameter = option->format_parameter();
            const std::string name = "--" + option->long_name();
            if (!ofNumbers.contains(parameter.substr(0, parameter.find(' '))) ||
                (command.name == "identify" && name == "--accuracy-percent")) {
                continue;
            }
            ++met;
            EXPECT_TRUE(
                complaint(line, {name, "abc"}).starts_with(name + ": found \"abc\"; allowed: a "))
                << command.name;
        }
    }
    EXPECT_GT(met, 25);
}

TEST(ExitStatuses, StandInTheHelpOfEveryCommand)
{
    for (const Command& command : commands()) {
        const CommandLine line = command.line();
        const std::string text = line.statusText();
        EXPECT_TRUE(text.starts_with("Exit status: 0 ")) << command.name << ": " << text;
        for (const char* part : {", 2 ", ", 3 "}) {
            EXPECT_TRUE(says(text, part)) << command.name << ": " << text;
        }
        EXPECT_EQ(says(text, ", 143 "), command.name == "sweep");
        // Of one place, so not twice in the help.
        EXPECT_FALSE(says(line.purpose, "Exit status")) << command.name;
    }
    EXPECT_EQ(netlistLine().statusText(),
              "Exit status: 0 done, 2 bad input or usage, 3 the simulator could not finish; the "
              "message says why.");
}

TEST(ExitStatuses, AreThoseOfTheReadmeAndOfTheManual)
{
    std::vector<std::string> expected;
    const std::string manual = manualPage("");
    const std::string ofManual = manual.substr(manual.find(".SH EXIT STATUS"));
    for (const StatusMeaning& each : exitStatuses()) {
        const std::string number = std::to_string(static_cast<int>(each.status));
        expected.push_back("| " + number + " | " + each.meaning + " |");
        EXPECT_TRUE(says(ofManual, ".B " + number + "\n")) << number;
    }
    std::ifstream stream(std::filesystem::path(SPLITSTART_SOURCE_DIR) / "README.md");
    std::vector<std::string> found;
    bool inside = false;
    for (std::string line; std::getline(stream, line);) {
        inside = line.starts_with("| exit status ") || (inside && line.starts_with("|"));
        if (inside && line.size() > 2 && line[2] >= '0' && line[2] <= '9') {
            found.push_back(line);
        }
    }
    EXPECT_EQ(found, expected);
}

TEST(ManualPage, SaysWhatIsTheDefault)
{
    const std::string page = manualPage("");
    EXPECT_TRUE(says(page, "(default 200)"));
    EXPECT_FALSE(says(page, "usually"));
}

}  // namespace splitstart
