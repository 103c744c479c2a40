// Diagnosing as a person does it, at the shop's bottle cooler.
#include <gtest/gtest.h>

#include <cmath>
#include <nlohmann/json.hpp>
#include <set>

#include "system/program.h"

namespace splitstart
{

namespace
{

using Json = nlohmann::json;

// A case of a bench engineer, so that nothing has to be estimated.
std::string bench()
{
    return example("circuits/rsir-centrifugal-switch.xml");
}

Outcome diagnosed(const std::string& file, const std::vector<std::string>& symptoms,
                  const std::vector<std::string>& more = {})
{
    std::vector<std::string> arguments = {"diagnose", file};
    for (const std::string& symptom : symptoms) {
        arguments.insert(arguments.end(), {"--symptom", symptom});
    }
    arguments.insert(arguments.end(), more.begin(), more.end());
    return splitstartRun(arguments);
}

}  // namespace

TEST(Diagnose, SaysWhatFitsWhatIsAlikeAndWhatToLookAtNext)
{
    const Outcome outcome = diagnosed(bench(), {"motor=hums", "start-lead-amps-stalled=0"});
    EXPECT_EQ(outcome.status, 1) << outcome.err;
    for (const char* part :
         {"INVENTED", "motor: hums", "What it can be", "look the same with the supply on",
          "the contact of the centrifugal switch does not make", "contact-ohms",
          "What to look at next", "the wires, end by end", "fault at a time", "Lock out and tag"}) {
        EXPECT_NE(outcome.out.find(part), std::string::npos) << part << "\n" << outcome.out;
    }
    EXPECT_TRUE(outcome.err.empty());
}

TEST(Diagnose, IsDecidedOnceABenchMeterHasSaidWhich)
{
    const Outcome outcome =
        diagnosed(bench(), {"motor=hums", "start-lead-amps-stalled=0", "contact-ohms=open"},
                  {"--format", "json"});
    EXPECT_EQ(outcome.status, 0) << outcome.err;
    const Json json = Json::parse(outcome.out);
    EXPECT_EQ(json["verdict"], "decided");
    EXPECT_NE(json["causes"][0]["what"].get<std::string>().find("does not make (burnt)"),
              std::string::npos);
    double sum = 0;
    std::set<std::size_t> grouped;
    for (const Json& cause : json["causes"]) {
        sum += cause["share"].get<double>();
    }
    EXPECT_NEAR(sum, 1, 1e-9);
    for (const Json& group : json["groups"]) {
        for (const Json& cause : group["causes"]) {
            EXPECT_TRUE(grouped.insert(cause.get<std::size_t>()).second);
        }
    }
    EXPECT_EQ(grouped.size(), json["causes"].size());
    EXPECT_EQ(json["observed"]["contact-ohms"], "open");
}

// The example's wires have terminal 5 of the relay on R; they are known, so only a loose one is
// looked for.
TEST(Diagnose, TakesTheWiresThatTheCaseListsAsFound)
{
    const Outcome outcome =
        diagnosed(example("wires-as-found.xml"), {"motor=hums"}, {"--format", "json"});
    ASSERT_LE(outcome.status, 1) << outcome.err;
    const Json json = Json::parse(outcome.out);
    EXPECT_TRUE(json["wires_as_found"].get<bool>());
    for (const Json& cause : json["causes"]) {
        if (cause["kind"] == "wiring") {
            EXPECT_NE(cause["what"].get<std::string>().find("missing, loose or broken"),
                      std::string::npos);
        }
    }
    for (const Json& next : json["next"]) {
        EXPECT_NE(next["what"], "wires");
    }
}

TEST(Diagnose, RefusesWhatMakesNoSenseInOneLine)
{
    const std::vector<std::pair<std::vector<std::string>, const char*>> wrong = {
        {{"motor=dances"}, "allowed: motor= and then one of starts"},
        {{"motr=hums"}, "did you mean motor?"},
        {{"motor=hums", "motor=starts"}, "motor is given twice"},
        {{"line-amps-stalled=-3"}, "a number of A from 0 to 1000"},
        {{"coil-ohms=4000"}, "the circuit of this case has no relay with a coil"},
        {{"start-capacitor-microfarads=88"}, "the circuit of this case has no start capacitor"},
    };
    for (const auto& [symptoms, message] : wrong) {
        const Outcome outcome = diagnosed(bench(), symptoms);
        EXPECT_EQ(outcome.status, 2);
        EXPECT_TRUE(outcome.out.empty());
        EXPECT_NE(outcome.err.find(message), std::string::npos) << outcome.err;
        EXPECT_EQ(outcome.err.find("splitstart: "), 0U);
    }
    for (const std::vector<std::string>& more : {std::vector<std::string>{"--meter-percent", "50"},
                                                 {"--machines", "-1"},
                                                 {"--sure-percent", "10"},
                                                 {"--workers", "x"}}) {
        EXPECT_EQ(diagnosed(bench(), {"motor=hums"}, more).status, 2) << more[0];
    }
}

TEST(Diagnose, HelpListsEverySymptom)
{
    const Outcome outcome = splitstartRun({"diagnose", "--help"});
    EXPECT_EQ(outcome.status, 0);
    for (const char* name : {"motor", "start-device", "gauges", "line-amps-stalled",
                             "start-common-volts-running", "seconds-to-trip", "coil-ohms"}) {
        EXPECT_NE(outcome.out.find(std::string("  ") + name + ":"), std::string::npos) << name;
    }
}

}  // namespace splitstart
