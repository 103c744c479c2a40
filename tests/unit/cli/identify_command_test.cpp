// The pins of the diagram on the command line of `identify`.
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <iterator>
#include <sstream>
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

std::string complaintOf(const Arguments& arguments)
{
    try {
        identifyWith(arguments, {});
        return "none";
    } catch (const UsageError& error) {
        return error.what();
    } catch (const InputError& error) {
        return error.what();
    }
}

std::string complaint(const std::string& pins)
{
    Arguments arguments = nearlyEqual();
    arguments.insert(arguments.end(), {"--pins", pins});
    return complaintOf(arguments);
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

// The same words as for a file, of what was typed.
TEST(IdentifyCommand, RefusesLabelsThatWereNotRead)
{
    EXPECT_EQ(complaint("C=A,S=B,R=D"),
              "--pins C=A,S=B,R=D: R: found \"D\"; allowed: one of the pins of the readings: A, B, "
              "C.");
    EXPECT_EQ(complaint("C=A,S=B,R=B"),
              "--pins C=A,S=B,R=B: R: found \"B\"; allowed: another pin than start, which is "
              "\"B\".");
    EXPECT_TRUE(says(complaint("C=A,S=,R=C"), "S: found \"\""));
    EXPECT_TRUE(says(complaint("C=A,S=shell,R=C"), "S: found \"shell\""));
}

// Nobody who types options knows of elements and attributes.
TEST(IdentifyCommand, NamesTheOptionAsTypedAndNoFieldOfAFile)
{
    EXPECT_EQ(complaintOf({"--ohms", "AB=2,71", "BC=3.42", "AC=0.93"}),
              "--ohms AB=2,71: found \"2,71\"; allowed: a number of ohms from 0 to 100000000, or "
              "\"OL\" (also \"open\") where the meter shows no connection. Write decimals with a "
              "point, and nothing between thousands.");
    EXPECT_EQ(complaintOf({"--ohms", "AB=2.71", "BC=3.42", "AC=0.93ohm"}),
              "--ohms AC=0.93ohm: found \"0.93ohm\"; allowed: a number of ohms from 0 to "
              "100000000, or \"OL\" (also \"open\") where the meter shows no connection. Write the "
              "number alone; the unit is in the name.");
    EXPECT_EQ(complaintOf({"--ohms", "AB=2.71", "A1-B1=3.42", "AB=0.93", "BB=1"}),
              "--ohms: the readings name 4 pins: A, B, A1, B1; allowed: readings between exactly "
              "three different pins. Capital and small letters are different labels.\n"
              "--ohms AB=0.93: found \"AB\"; allowed: each pair of pins once.\n"
              "--ohms BB=1: found \"BB\"; allowed: two different labels.");
    const Arguments sound = {"--ohms", "AB=2.71", "BC=3.42", "AC=0.93"};
    const auto with = [&sound](const Arguments& more) {
        Arguments all = sound;
        all.insert(all.end(), more.begin(), more.end());
        return complaintOf(all);
    };
    EXPECT_EQ(with({"--lead-ohms", "9"}),
              "--lead-ohms: found \"9\"; allowed: a number of ohms from 0 to 2.");
    EXPECT_TRUE(says(with({"--insulation-megohms", "x"}), "--insulation-megohms: found \"x\""));
    EXPECT_TRUE(says(with({"--insulation-megohms", "5", "--test-volts", "500V"}),
                     "--test-volts: found \"500V\""));
    EXPECT_TRUE(says(complaintOf({"--ohms", "A-ThirteenLongs=1"}),
                     "--ohms: found \"A-ThirteenLongs=1\"; allowed: two pin labels and ohms"));
}

// What --help says is what the reader of a case file allows.
TEST(IdentifyCommand, SaysRangesAndDefaultsInItsHelp)
{
    std::ostringstream text;
    text << identifyLine().options;
    std::string words;
    std::istringstream stream(text.str());
    for (std::string word; stream >> word;) {
        words += word + " ";
    }
    for (const char* part :
         {"(-40 to 180, default 25)", "(0 to 2 ohm;", "(0 to 20, default 1)",
          "(0 to 1, default 0.01)", "(0 to 5000; goes with --insulation-megohms)"}) {
        EXPECT_TRUE(says(words, part)) << part;
    }
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
