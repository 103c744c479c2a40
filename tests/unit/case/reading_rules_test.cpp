#include "case/reading_rules.h"

#include <gtest/gtest.h>

#include <string>
#include <utility>
#include <vector>

namespace splitstart
{
namespace
{

using Labels = std::pair<std::string, std::string>;

std::vector<std::string> messages(const std::vector<WindingReading>& readings)
{
    std::vector<std::string> result;
    for (const InputProblem& problem : readingProblems(readings, {"d.xml", 4})) {
        result.push_back(describe(problem));
    }
    return result;
}

WindingReading reading(const std::string& a, const std::string& b, int line = 0)
{
    return {a, b, 1.0, {"d.xml", line}};
}

TEST(PinLabel, IsWhateverStandsOnThePin)
{
    for (const char* label :
         {"A", "C", "1", "+", "red", "\u0421", "\u2460", "terminal-1/2", "shells"}) {
        EXPECT_TRUE(isPinLabel(label)) << label;
    }
    for (const char* label : {"", "A B", " ", "thirteen-char", "a\u00A0b", "a\tb", "\u202E",
                              "shell", "SHELL", "\xFF", "\u200B"}) {
        EXPECT_FALSE(isPinLabel(label)) << label;
    }
}

TEST(SplitPins, TakesTwoLabelsWithABlankBetween)
{
    EXPECT_EQ(splitPins("A B"), Labels("A", "B"));
    EXPECT_EQ(splitPins("red   white"), Labels("red", "white"));
    EXPECT_EQ(splitPins("B A"), Labels("B", "A"));
}

TEST(SplitPins, PutsTheShellLastAndInLowerCase)
{
    EXPECT_EQ(splitPins("A Shell"), Labels("A", "shell"));
    EXPECT_EQ(splitPins("SHELL A"), Labels("A", "shell"));
}

TEST(SplitPins, RefusesAnythingElse)
{
    for (const char* text :
         {"", "A", "AB", "A-B", "A,B", " A B", "A B ", "A B C", "shell shell", "A thirteen-char"}) {
        EXPECT_EQ(splitPins(text), std::nullopt) << text;
    }
}

TEST(ReadingSet, OfThreePairsAndToTheShellAreComplete)
{
    EXPECT_TRUE(messages({reading("A", "B"), reading("C", "B"), reading("C", "A")}).empty());
    EXPECT_TRUE(messages({reading("A", "shell"), reading("A", "B"), reading("C", "B"),
                          reading("C", "A"), reading("C", "shell")})
                    .empty());
}

TEST(ReadingSet, OfOnePairTwiceAreRefusedWhicheverWayRound)
{
    EXPECT_EQ(
        messages({reading("A", "B", 5), reading("B", "C", 6), reading("A", "C", 7),
                  reading("B", "A", 8)}),
        std::vector<std::string>{"d.xml:8: reading/between: found \"B A\"; allowed: each pair "
                                 "of pins once. The first is in line 5."});
}

TEST(ReadingSet, OfAPinWithItselfAreRefused)
{
    EXPECT_EQ(messages({reading("A", "B", 5), reading("B", "C", 6), reading("A", "C", 7),
                        reading("B", "B", 8)}),
              std::vector<std::string>{"d.xml:8: reading/between: found \"B B\"; allowed: two "
                                       "different labels."});
}

TEST(ReadingSet, MustNameExactlyThreePins)
{
    EXPECT_EQ(messages({reading("A", "B"), reading("b", "C"), reading("A", "C")}),
              std::vector<std::string>{
                  "d.xml:4: readings: the readings name 4 pins: A, B, b, C; allowed: readings "
                  "between exactly three different pins. Capital and small letters are different "
                  "labels."});
    EXPECT_EQ(
        messages({reading("A", "B")}),
        std::vector<std::string>{"d.xml:4: readings: the readings name 2 pins: A, B; allowed: "
                                 "readings between exactly three different pins."});
}

TEST(ReadingSet, MustCoverEachPair)
{
    EXPECT_EQ(messages({reading("A", "B"), reading("B", "C")}),
              std::vector<std::string>{"d.xml:4: readings: no reading between \"A\" and \"C\"; "
                                       "allowed: a reading for each of the three pairs of pins."});
}

std::vector<std::string> objections(const KnownPins& pins,
                                    const std::vector<WindingReading>& readings)
{
    std::vector<std::string> result;
    for (const PinsObjection& each : pinsObjections(pins, readings)) {
        std::string text = std::string(each.attribute) + ' ' + each.found + ": " + each.allowed;
        text += each.hint.empty() ? "" : ". " + each.hint;
        result.push_back(text);
    }
    return result;
}

const std::vector<WindingReading> threePairs = {reading("A", "B"), reading("B", "C"),
                                                reading("A", "C"), reading("B", "shell")};

TEST(KnownPinsSet, OfTheThreeLabelsInAnyOrderIsRight)
{
    EXPECT_TRUE(objections({"A", "B", "C", {}}, threePairs).empty());
    EXPECT_TRUE(objections({"C", "A", "B", {}}, threePairs).empty());
    EXPECT_TRUE(objections({"red", "white", "black", {}}, {}).empty());
}

TEST(KnownPinsSet, MustNameThreeDifferentPins)
{
    const std::vector<std::string> same{"start A: another pin than common, which is \"A\""};
    EXPECT_EQ(objections({"A", "A", "C", {}}, threePairs), same);
    EXPECT_EQ(objections({"A", "A", "C", {}}, {}), same);
    EXPECT_EQ(objections({"B", "A", "B", {}}, {}),
              std::vector<std::string>{"run B: another pin than common, which is \"B\""});
    EXPECT_EQ(objections({"C", "A", "A", {}}, {}),
              std::vector<std::string>{"run A: another pin than start, which is \"A\""});
}

TEST(KnownPinsSet, MustUseTheLabelsOfTheReadings)
{
    EXPECT_EQ(
        objections({"a", "B", "D", {}}, threePairs),
        (std::vector<std::string>{
            "common a: one of the pins of the readings: A, B, C. Capital and small letters are "
            "different labels.",
            "run D: one of the pins of the readings: A, B, C"}));
}

// The readings' own problem is reported by itself; a second one would only confuse.
TEST(KnownPinsSet, IsNotComparedWithReadingsOfTwoOrFourPins)
{
    EXPECT_TRUE(objections({"X", "Y", "Z", {}}, {reading("A", "B")}).empty());
    EXPECT_TRUE(objections({"X", "Y", "Z", {}}, {reading("A", "B"), reading("C", "D")}).empty());
}

TEST(ReadingSet, ToTheShellMustComeFromOneOfThePins)
{
    EXPECT_EQ(
        messages(
            {reading("A", "B"), reading("B", "C"), reading("A", "C"), reading("D", "shell", 9)}),
        std::vector<std::string>{"d.xml:9: reading/between: found \"D shell\"; allowed: one of "
                                 "the pins A, B, C and \"shell\"."});
}

}  // namespace
}  // namespace splitstart
