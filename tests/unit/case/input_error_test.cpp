#include "case/input_error.h"

#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "case/parts.h"
#include "case/problem_list.h"
#include "case/quantity.h"

namespace splitstart
{
namespace
{

InputProblem problemAt(const std::string& file, int line, const std::string& found)
{
    return {{file, line}, "supply/volts", found, "a number", {}, {}};
}

std::vector<InputProblem> thrown(const ProblemList& list)
{
    try {
        list.throwIfAny();
    } catch (const InputError& error) {
        return error.problems();
    }
    return {};
}

TEST(Describe, NamesFileLineFieldFoundAllowed)
{
    InputProblem problem = problemAt("dairy.xml", 12, "2x0");
    problem.allowed = "a number of volts from 50 to 600";
    EXPECT_EQ(
        describe(problem),
        "dairy.xml:12: supply/volts: found \"2x0\"; allowed: a number of volts from 50 to 600.");
}

TEST(Describe, EndsWithTheHint)
{
    InputProblem problem = problemAt("d.xml", 1, "x");
    problem.hint = "Did you mean \"y\"?";
    EXPECT_EQ(describe(problem),
              "d.xml:1: supply/volts: found \"x\"; allowed: a number. Did you mean \"y\"?");
}

TEST(Describe, LeavesOutWhatIsNotThere)
{
    InputProblem problem;
    problem.place.file = "d.xml";
    problem.problem = "no such file";
    EXPECT_EQ(describe(problem), "d.xml: no such file.");
}

TEST(Describe, SaysWhatIsWrongInPlaceOfWhatWasFound)
{
    InputProblem problem = problemAt("d.xml", 3, "");
    problem.problem = "missing";
    EXPECT_EQ(describe(problem), "d.xml:3: supply/volts: missing; allowed: a number.");
}

TEST(Describe, IsOneLineWhateverWasFound)
{
    InputProblem problem = problemAt("a\nb.xml", 1, std::string(10000, 'x'));
    problem.allowed = "\u2028";
    problem.hint = "\x1b[2J";
    const std::string text = describe(problem);
    EXPECT_EQ(text.find_first_of("\r\n\x1b"), std::string::npos);
    EXPECT_EQ(text.find("\u2028"), std::string::npos);
    EXPECT_LT(text.size(), 700U);
}

TEST(InputError, SaysOneLineForEachProblem)
{
    const InputError error({problemAt("a", 1, "x"), problemAt("a", 2, "y")});
    EXPECT_STREQ(error.what(),
                 "a:1: supply/volts: found \"x\"; allowed: a number.\n"
                 "a:2: supply/volts: found \"y\"; allowed: a number.");
    EXPECT_EQ(error.problems().size(), 2U);
}

TEST(ProblemList, WithoutProblemsThrowsNothing)
{
    EXPECT_NO_THROW(ProblemList().throwIfAny());
}

TEST(ProblemList, SortsByLineWithinEachFileAndKeepsFilesInTheOrderMet)
{
    ProblemList list;
    list.add(problemAt("b", 9, "1"));
    list.add(problemAt("a", 5, "2"));
    list.add(problemAt("b", 3, "3"));
    list.add(problemAt("b", 3, "4"));
    list.add(problemAt("a", 1, "5"));
    std::string order;
    for (const InputProblem& problem : thrown(list)) {
        order += problem.found;
    }
    EXPECT_EQ(order, "34152");
}

TEST(ProblemList, ShowsAHundredAndCountsTheRest)
{
    ProblemList list;
    for (int i = 1; i <= 250; ++i) {
        list.add(problemAt("a", i, std::string(5000, 'x')));
    }
    EXPECT_EQ(list.count(), 250U);
    const std::vector<InputProblem> problems = thrown(list);
    ASSERT_EQ(problems.size(), 101U);
    EXPECT_EQ(describe(problems.back()), "a: 150 more problems are not shown.");
    EXPECT_LT(problems.front().found.size(), 100U);
}

TEST(OriginName, IsThePlainWord)
{
    EXPECT_STREQ(originName(Origin::measured), "measured");
    EXPECT_STREQ(originName(Origin::nameplate), "nameplate");
    EXPECT_STREQ(originName(Origin::given), "given");
    EXPECT_STREQ(originName(Origin::estimated), "estimated");
    EXPECT_STREQ(originName(Origin::assumed), "assumed");
}

TEST(PartsList, FindsByIdWhateverTheCase)
{
    PartsList list;
    list.parts.push_back({"relay-a", {}, false, PotentialRelay{}, {}});
    list.parts.push_back({"Run-40", {}, false, RunCapacitor{}, {}});
    ASSERT_NE(list.find("RUN-40"), nullptr);
    EXPECT_EQ(list.find("RUN-40")->id, "Run-40");
    EXPECT_EQ(list.find("run-4"), nullptr);
    EXPECT_EQ(list.find(""), nullptr);
}

}  // namespace
}  // namespace splitstart
