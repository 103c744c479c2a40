// The main job on the invented examples. What is expected is physics: it starts, the relay opens
// between these speeds, the fault that the example was given is found, and nothing else fails.
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <set>

#include "system/check_run.h"
#include "system/program.h"

namespace splitstart
{

namespace
{

using Json = nlohmann::json;

TEST(Check, CheeseStoreIsFit)
{
    const CheckRun& run = checkExample("cheese-store.xml");
    EXPECT_EQ(run.status, 0) << run.json["findings"].dump(1);
    EXPECT_EQ(run.withVerdict("fail"), std::set<std::string>{});
    EXPECT_EQ(run.withVerdict("undecided"), std::set<std::string>{});
    EXPECT_GE(run.json["findings"].size(), 15U);
    EXPECT_TRUE(run.json["invented"].get<bool>());
    ASSERT_GE(run.starts().size(), 16U);
    for (const Json& start : run.starts()) {
        // It comes up, and the start circuit leaves once, between the speeds that are taught.
        EXPECT_GT(quantity(start, "speed_at_end_ratio"), 0.9);
        EXPECT_EQ(quantity(start, "start_contact_openings"), 1);
        EXPECT_GT(quantity(start, "speed_at_opening_ratio"), 0.60);
        EXPECT_LT(quantity(start, "speed_at_opening_ratio"), 0.95);
        // A potential relay's coil hangs across S-C.
        EXPECT_NEAR(quantity(start, "coil_running_v") / quantity(start, "start_winding_running_v"),
                    1, 0.01);
    }
}

TEST(Check, BottleCoolerStartsAndItsRelayLetsGo)
{
    const CheckRun& run = checkExample("shop-cooler.xml");
    EXPECT_EQ(run.status, 0) << run.json["findings"].dump(1);
    EXPECT_EQ(run.withVerdict("fail"), std::set<std::string>{});
    for (const Json& start : run.starts()) {
        EXPECT_GT(quantity(start, "speed_at_end_ratio"), 0.9);
        EXPECT_EQ(quantity(start, "start_contact_at_end"), 0);
        // The fan is fed beside the compressor, so the line carries more than pin C.
        EXPECT_GT(quantity(start, "line_running_a"), quantity(start, "compressor_running_a"));
    }
}

TEST(Check, RelayThatNeverOpensAtLowLineIsFound)
{
    const CheckRun& run = checkExample("relay-never-opens.xml");
    EXPECT_EQ(run.status, 1);
    EXPECT_EQ(run.finding("relay-opens")["verdict"], "fail");
    EXPECT_EQ(run.finding("start-capacitor-left-in")["verdict"], "fail");
    EXPECT_LT(run.finding("relay-pick-up-reached")["margin"].get<double>(), 0);
    bool openedSomewhere = false;
    for (const Json& start : run.starts()) {
        const double line = start["corner"]["line_ratio"].get<double>();
        const bool late = start["corner"]["parts"] == "late";
        // The motor itself is sound: it comes up in every corner.
        EXPECT_GT(quantity(start, "speed_at_end_ratio"), 0.9);
        if (line < 0.86 && late) {
            EXPECT_EQ(quantity(start, "start_contact_at_end"), 1);
        }
        openedSomewhere = openedSomewhere || quantity(start, "start_contact_at_end") == 0;
    }
    EXPECT_TRUE(openedSomewhere) << "at high line the same relay opens";
}

TEST(Check, StartCapacitorOfTooLowAVoltageRatingIsFound)
{
    const CheckRun& run = checkExample("start-capacitor-too-low.xml");
    EXPECT_EQ(run.status, 1);
    EXPECT_EQ(run.withVerdict("fail"), std::set<std::string>{"start-capacitor-volts"});
    const Json finding = run.finding("start-capacitor-volts");
    EXPECT_GT(finding["value"].get<double>(), finding["limit"].get<double>());
    EXPECT_EQ(finding["unit"], "V");
}

TEST(Check, NameplateFiguresAreReproduced)
{
    for (const char* name : {"cheese-store.xml", "relay-never-opens.xml"}) {
        const CheckRun& run = checkExample(name);
        int plateFigures = 0;
        for (const Json& fit : run.json["motor"]["fit"]) {
            const double wanted = fit["wanted"].get<double>();
            // A plate is a rounded rating, 10 %; rated-load amps are a rating for its protection.
            if (fit["name"] == "locked-rotor amps" || fit["name"] == "rated-load amps") {
                const double accuracy_ratio = fit["name"] == "locked-rotor amps" ? 0.10 : 0.20;
                EXPECT_NEAR(fit["reproduced"].get<double>() / wanted, 1, accuracy_ratio)
                    << fit.dump();
                ++plateFigures;
            } else {
                // What was read on the machine itself, to 1 to 3 %, or timed to 10 %.
                EXPECT_NEAR(fit["reproduced"].get<double>() / wanted, 1,
                            fit["name"] == "seconds to start" ? 0.10 : 0.03)
                    << fit.dump();
            }
        }
        EXPECT_EQ(plateFigures, 2);
        for (const Json& parameter : run.json["motor"]["parameters"]) {
            EXPECT_TRUE(parameter.contains("origin"));
            EXPECT_NE(parameter["basis"], "");
        }
    }
}

// A start against standing pressure is another start; a file that does not say which it is leaves
// it open.
TEST(Check, PressuresThatAreNotGivenLeaveTheStartUndecided)
{
    const ScratchFolder folder;
    folder.write("dairy-stock.xml", fileText(example("dairy-stock.xml")));
    std::string text = fileText(example("cheese-store.xml"));
    const std::string load = "<load kind=\"reciprocating\" pressures=\"equalised\"/>";
    ASSERT_NE(text.find(load), std::string::npos);
    text.erase(text.find(load), load.size());
    const Outcome outcome =
        splitstartRun({"check", folder.write("case.xml", text), "--format", "json"});
    EXPECT_EQ(outcome.status, 1) << outcome.err;
    const CheckRun run{outcome.status, Json::parse(outcome.out)};
    EXPECT_EQ(run.finding("motor-starts")["verdict"], "undecided");
    EXPECT_EQ(run.finding("motor-starts")["hangs_on"].front(), "pressures at the start");
}

TEST(Check, EveryFindingSaysWhatItRestsOn)
{
    const CheckRun& run = checkExample("cheese-store.xml");
    for (const Json& finding : run.json["findings"]) {
        for (const char* key : {"id", "part", "rule", "basis", "meaning"}) {
            EXPECT_NE(finding[key].get<std::string>(), "") << finding.dump();
        }
        if (!finding["value"].is_null()) {
            const double distance =
                std::abs(finding["value"].get<double>() - finding["limit"].get<double>());
            EXPECT_NEAR(std::abs(finding["margin"].get<double>()), distance,
                        1e-9 + 1e-9 * distance);
        }
    }
}

TEST(Check, TextBeginsWithTheVerdictAndEndsWithTheCautions)
{
    const Outcome outcome = splitstartRun({"check", example("relay-never-opens.xml")});
    EXPECT_EQ(outcome.status, 1);
    const std::size_t verdict = outcome.out.find("NOT FIT");
    const std::size_t fails = outcome.out.find("What fails");
    const std::size_t undecided = outcome.out.find("What is undecided");
    const std::size_t cautions = outcome.out.find("Lock out");
    ASSERT_NE(verdict, std::string::npos);
    ASSERT_NE(cautions, std::string::npos);
    EXPECT_LT(verdict, fails);
    EXPECT_LT(fails, std::min(undecided, cautions));
    EXPECT_NE(outcome.out.find("INVENTED"), std::string::npos);
    EXPECT_EQ(outcome.out.find('\033'), std::string::npos) << "no colour off a terminal";
}

TEST(Check, ResultsAreTheSameWhateverTheNumberOfWorkers)
{
    const std::vector<std::string> common = {"check", example("shop-cooler.xml"), "--format",
                                             "json"};
    std::vector<std::string> one = common;
    one.insert(one.end(), {"--workers", "1"});
    std::vector<std::string> three = common;
    three.insert(three.end(), {"--workers", "3"});
    EXPECT_EQ(splitstartRun(one).out, splitstartRun(three).out);
}

}  // namespace

}  // namespace splitstart
