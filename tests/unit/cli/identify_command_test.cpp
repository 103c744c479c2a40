// The pins of the diagram on the command line of `identify`.
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>
#include <vector>

#include "case/input_error.h"
#include "cli/command.h"

namespace splitstart
{

namespace
{

using Arguments = std::vector<std::string>;

struct Outcome {
    int status = -1;
    std::string text;
};

// Nearly equal windings of a sound motor: by ohms alone, start and run are a toss-up.
Arguments nearlyEqual()
{
    return {"--ohms",
            "AB=5.4",
            "--ohms",
            "BC=10.4",
            "--ohms",
            "AC=5",
            "--lead-ohms",
            "0",
            "--insulation-megohms",
            "180",
            "--test-volts",
            "500"};
}

int identify(const Arguments& arguments)
{
    return runCommand({"identify", "", identifyLine, identifyCommand}, arguments);
}

Outcome identifyWith(Arguments arguments, const Arguments& more)
{
    const std::string file = ::testing::TempDir() + "splitstart-identify-" +
                             std::to_string(::testing::UnitTest::GetInstance()->random_seed()) +
                             ::testing::UnitTest::GetInstance()->current_test_info()->name();
    arguments.insert(arguments.end(), more.begin(), more.end());
    arguments.insert(arguments.end(), {"--output", file});
    Outcome outcome;
    outcome.status = identify(arguments);
    std::ifstream stream(file);
    outcome.text = {std::istreambuf_iterator<char>(stream), std::istreambuf_iterator<char>()};
    std::filesystem::remove(file);
    return outcome;
}

std::string complaint(const std::string& pins)
{
    try {
        identifyWith(nearlyEqual(), {"--pins", pins});
        return "none";
    } catch (const UsageError& error) {
        return error.what();
    } catch (const InputError& error) {
        return error.what();
    }
}

bool says(const std::string& text, const std::string& part)
{
    return text.find(part) != std::string::npos;
}

}  // namespace

TEST(IdentifyCommand, WithTheDiagramsPinsReachesAVerdictThatOhmsAloneDoNot)
{
    EXPECT_EQ(identifyWith(nearlyEqual(), {}).status, failsOrUndecided);
    const Outcome decided = identifyWith(nearlyEqual(), {"--pins", "C=A,S=B,R=C"});
    EXPECT_EQ(decided.status, allPass);
    EXPECT_TRUE(says(decided.text, "certain, by the"));
}

TEST(IdentifyCommand, TakesTheDiagramsPinsInAnyOrder)
{
    const Outcome first = identifyWith(nearlyEqual(), {"--pins", "C=A,S=B,R=C"});
    EXPECT_EQ(identifyWith(nearlyEqual(), {"--pins", "R=C,C=A,S=B"}).text, first.text);
    EXPECT_NE(identifyWith(nearlyEqual(), {"--pins", "C=A,S=C,R=B"}).text, first.text);
}

TEST(IdentifyCommand, SaysThatTheDiagramIsContradicted)
{
    const Outcome outcome =
        identifyWith(nearlyEqual(), {"--pins", "C=B,S=A,R=C", "--format", "json"});
    EXPECT_EQ(outcome.status, failsOrUndecided);
    EXPECT_TRUE(says(outcome.text, "\"id\": \"pins-contradict\""));
    EXPECT_TRUE(says(outcome.text, "\"answer\": \"no\""));
    EXPECT_TRUE(says(outcome.text, "\"pins\": {}"));
}

TEST(IdentifyCommand, SaysInJsonWhereThePinsComeFrom)
{
    EXPECT_TRUE(says(identifyWith(nearlyEqual(), {"--format", "json"}).text,
                     "\"pins_from\": \"readings\""));
    EXPECT_TRUE(
        says(identifyWith(nearlyEqual(), {"--format", "json", "--pins", "C=A,S=B,R=C"}).text,
             "\"pins_from\": \"diagram\""));
}

TEST(IdentifyCommand, TakesPinsWhoseLabelsHoldAnEqualsSign)
{
    const Outcome outcome =
        identifyWith({"--ohms", "1-+=5.4", "--ohms", "+-==10.4", "--ohms", "1-==5"},
                     {"--pins", "C=1,S=+,R==", "--format", "json"});
    EXPECT_TRUE(says(outcome.text, "\"R\": \"=\""));
}

TEST(IdentifyCommand, RefusesPinsThatAreNotThreeRolesOnceEach)
{
    for (const std::string pins :
         {"A,B,C", "C=A", "C=A,S=B", "C=A,S=B,R=C,", ",C=A,S=B,R=C", "C=A,S=B,S=C", "c=A,S=B,R=C",
          "C=A,S=B,R=C,C=A", "C=A S=B R=C", "C=A,S=B,M=C", "C:A,S:B,R:C"}) {
        const std::string text = complaint(pins);
        EXPECT_TRUE(says(text, "--pins: found \"" + pins + "\"")) << text;
        EXPECT_TRUE(says(text, "such as C=A,S=B,R=C")) << text;
    }
}

// The same words as for a file, without a line that nobody wrote.
TEST(IdentifyCommand, RefusesLabelsThatWereNotRead)
{
    EXPECT_EQ(complaint("C=A,S=B,R=D"),
              "command line: pins/run: found \"D\"; allowed: one of the pins of the readings: A, "
              "B, C.");
    EXPECT_EQ(complaint("C=A,S=B,R=B"),
              "command line: pins/run: found \"B\"; allowed: another pin than start, which is "
              "\"B\".");
    EXPECT_TRUE(says(complaint("C=A,S=,R=C"), "pins/start: found \"\""));
    EXPECT_TRUE(says(complaint("C=A,S=shell,R=C"), "pins/start: found \"shell\""));
}

// With a case file the option would say what the file may deny.
TEST(IdentifyCommand, TakesPinsOnTheCommandLineOnlyWithReadingsThere)
{
    try {
        identify({"some-case.xml", "--pins", "C=A,S=B,R=C"});
        FAIL() << "no usage error";
    } catch (const UsageError& error) {
        EXPECT_TRUE(says(error.what(), "write <pins> instead"));
    }
}

}  // namespace splitstart
