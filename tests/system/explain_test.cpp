// `check --explain`, `check --all`, and the order in which a person reads what is wrong.
#include <gtest/gtest.h>

#include <algorithm>

#include "system/check_run.h"
#include "system/program.h"

namespace splitstart
{

namespace
{

using Json = nlohmann::json;

std::size_t countOf(const std::string& text, const std::string& part)
{
    std::size_t count = 0;
    for (std::size_t at = text.find(part); at != std::string::npos;
         at = text.find(part, at + part.size())) {
        ++count;
    }
    return count;
}

TEST(Explain, EveryFindingOfACheckCanBeExplained)
{
    const Outcome table = splitstartRun({"check", "--explain", "all", "--format", "json"});
    ASSERT_EQ(table.status, 0) << table.err;
    std::map<std::string, std::set<std::string>> meanings;
    const Json rows = Json::parse(table.out);
    for (const Json& row : rows["checks"]) {
        meanings[row["id"]].insert(row["meaning"].get<std::string>());
    }
    // What one of them has, the other has not: relay, start capacitor, fan; contactor, crankcase
    // heat.
    for (const char* name : {"faults/relay-chatters.xml", "circuits/psc-crankcase-heat.xml"}) {
        for (const Json& finding : checkExample(name).json["findings"]) {
            const std::string id = finding["id"];
            ASSERT_EQ(meanings.count(id), 1U) << id;
            EXPECT_EQ(meanings[id].count(finding["meaning"]), 1U) << id;
        }
    }
}

TEST(Explain, NeedsNoCaseAndSaysWhatACheckRestsOn)
{
    const Outcome text = splitstartRun({"check", "--explain", "relay-holds-after-opening"});
    EXPECT_EQ(text.status, 0);
    EXPECT_EQ(text.err, "");
    for (const char* part :
         {"relay-holds-after-opening", "Passes if:", "Rests on:", "Source:", "If it fails:"}) {
        EXPECT_NE(text.out.find(part), std::string::npos) << part << "\n" << text.out;
    }
    EXPECT_EQ(text.out.find("motor-starts"), std::string::npos) << "this check and no other";

    const Outcome json =
        splitstartRun({"check", "--explain", "relay-holds-after-opening", "--format", "json"});
    EXPECT_EQ(json.status, 0);
    const Json checks = Json::parse(json.out)["checks"];
    ASSERT_EQ(checks.size(), 1U);
    for (const char* key : {"id", "part", "meaning", "rule", "basis", "source", "remedy"}) {
        EXPECT_NE(checks[0][key].get<std::string>(), "") << key;
    }
}

TEST(Explain, UnknownIdIsBadInputWithASuggestion)
{
    const Outcome outcome = splitstartRun({"check", "--explain", "relay-holds-after-openin"});
    EXPECT_EQ(outcome.status, 2);
    EXPECT_EQ(outcome.out, "");
    EXPECT_NE(outcome.err.find("did you mean relay-holds-after-opening?"), std::string::npos)
        << outcome.err;
    const Outcome far = splitstartRun({"check", "--explain", "zzzzzzzzzzzzzzzzzzzz"});
    EXPECT_EQ(far.status, 2);
    EXPECT_EQ(far.err.find("did you mean"), std::string::npos) << far.err;
}

TEST(Explain, TakesNoCaseFile)
{
    const Outcome outcome =
        splitstartRun({"check", example("cheese-store.xml"), "--explain", "motor-starts"});
    EXPECT_EQ(outcome.status, 2);
    EXPECT_NE(outcome.err.find("--explain"), std::string::npos);
}

// A person reads the verdict, then what fails, then what is open, then how much is well.
TEST(CheckText, FailuresComeFirstThenTheUndecidedThenWithAllThePasses)
{
    const std::string file = example("faults/relay-chatters.xml");
    const Outcome brief = splitstartRun({"check", file});
    const Outcome all = splitstartRun({"check", file, "--all"});
    EXPECT_EQ(brief.status, 1);
    EXPECT_EQ(all.status, 1);
    for (const Outcome* each : {&brief, &all}) {
        const std::size_t verdict = each->out.find("NOT FIT");
        const std::size_t fails = each->out.find("What fails");
        const std::size_t undecided = each->out.find("What is undecided");
        ASSERT_NE(undecided, std::string::npos);
        EXPECT_LT(verdict, fails);
        EXPECT_LT(fails, undecided);
    }
    EXPECT_EQ(brief.out.find("What passes"), std::string::npos);
    const std::size_t passes = all.out.find("What passes");
    ASSERT_NE(passes, std::string::npos);
    EXPECT_LT(all.out.find("What is undecided"), passes);

    const CheckRun& run = checkExample("faults/relay-chatters.xml");
    const std::size_t failing = run.withVerdict("fail").size();
    const std::size_t open = run.withVerdict("undecided").size();
    ASSERT_GT(failing, 0U);
    ASSERT_GT(open, 0U);
    // Each failing check stands after its heading and before the next; each passing one only with
    // --all.
    const std::size_t failsAt = all.out.find("What fails");
    const std::size_t undecidedAt = all.out.find("What is undecided");
    for (const std::string& id : run.withVerdict("fail")) {
        const std::size_t at = all.out.find(id, failsAt);
        EXPECT_LT(at, undecidedAt) << id;
    }
    for (const std::string& id : run.withVerdict("undecided")) {
        const std::size_t at = all.out.find(id, undecidedAt);
        EXPECT_LT(at, passes) << id;
    }
    for (const std::string& id : run.withVerdict("pass")) {
        EXPECT_NE(all.out.find(id, passes), std::string::npos) << id;
    }
    // How many of each stands before the first of them; what is wrong with the windings counts,
    // too.
    std::size_t passing = run.withVerdict("pass").size();
    for (const Json& each : run.json["identification"]["health"]) {
        EXPECT_EQ(each["verdict"], "pass");
        ++passing;
    }
    const std::string counts = std::to_string(failing) + " fail, " + std::to_string(open) +
                               " undecided, " + std::to_string(passing) + " pass";
    EXPECT_LT(brief.out.find(counts), brief.out.find("What fails")) << brief.out.substr(0, 400);
    EXPECT_NE(brief.out.find(std::to_string(passing) + " checks pass; --all shows them."),
              std::string::npos);
    EXPECT_EQ(all.out.find("--all shows them"), std::string::npos);
    EXPECT_EQ(countOf(brief.out, "What fails"), 1U);
}

TEST(CheckText, AFitCaseHasNothingThatFails)
{
    const Outcome outcome = splitstartRun({"check", example("circuits/psc-crankcase-heat.xml")});
    EXPECT_EQ(outcome.status, 0);
    EXPECT_EQ(outcome.out.find("NOT FIT"), std::string::npos);
    EXPECT_EQ(outcome.out.find("What fails"), std::string::npos);
    EXPECT_EQ(outcome.out.find("What is undecided"), std::string::npos);
}

}  // namespace

}  // namespace splitstart
