// The wiring of a case as a person gets it.
#include <gtest/gtest.h>

#include <cmath>
#include <nlohmann/json.hpp>
#include <pugixml.hpp>
#include <regex>
#include <set>

#include "system/program.h"

namespace splitstart
{

namespace
{

using Json = nlohmann::json;

Json wiringOf(const std::string& file)
{
    const Outcome outcome = splitstartRun({"wiring", file, "--format", "json"});
    EXPECT_EQ(outcome.status, 0) << outcome.err;
    return Json::parse(outcome.out);
}

}  // namespace

// The deck and the steps come from one wire list: terminals that the steps join are one node of the
// deck.
TEST(Wiring, JoinsWhatTheDeckJoins)
{
    const Json wiring = wiringOf(example("cheese-store.xml"));
    const Outcome deck = splitstartRun({"netlist", example("cheese-store.xml")});
    ASSERT_EQ(deck.status, 0) << deck.err;
    // Contact 1-2 and coil 2-5 of the relay, run capacitor, compressor S: all on the pin's node.
    EXPECT_NE(deck.out.find("xrelay relay_1 pin_s"), std::string::npos);
    EXPECT_NE(deck.out.find("xrun_capacitor pin_r pin_s"), std::string::npos);
    std::set<std::string> joined;
    for (const Json& step : wiring["steps"]) {
        joined.insert(step["from"].get<std::string>() + "=" + step["to"].get<std::string>());
    }
    EXPECT_EQ(joined.count("relay.2=compressor.S"), 1U);
    EXPECT_EQ(joined.count("run-capacitor.B=relay.2"), 1U);
}

// The readings of the case are 2.65, 2.00 and 0.75 ohm with 0.10 ohm of leads.
TEST(Wiring, SaysWhatTheMeterMustReadBeforePower)
{
    const Json proof = wiringOf(example("cheese-store.xml"))["proof"];
    EXPECT_NEAR(proof["run_to_common_ohm"].get<double>(), 0.65, 0.03);
    EXPECT_NEAR(proof["start_to_common_ohm"].get<double>(), 1.90, 0.03);
    EXPECT_EQ(proof["landings"].size(), 6U);
    EXPECT_TRUE(proof["proves_the_wiring"].get<bool>());
    std::set<std::pair<long, long>> different;
    for (const Json& landing : proof["landings"]) {
        different.insert({std::lround(100 * landing["run_to_common_ohm"].get<double>()),
                          std::lround(100 * landing["start_to_common_ohm"].get<double>())});
    }
    EXPECT_EQ(different.size(), 6U);
}

// Windings of 1.2 and 1.25 ohm and a meter of a tenth of an ohm: no reading can prove which is
// which.
TEST(Wiring, SaysWhereTheMeterCannotProveIt)
{
    const ScratchFolder folder;
    std::string text = fileText(example("cheese-store.xml"));
    const auto replace = [&text](const std::string& from, const std::string& to) {
        const std::size_t at = text.find(from);
        ASSERT_NE(at, std::string::npos) << from;
        text.replace(at, from.size(), to);
    };
    replace("resolution-ohms=\"0.01\"", "resolution-ohms=\"0.1\"");
    replace("ohms=\"2.65\"", "ohms=\"2.5\"");
    replace("ohms=\"2.00\"", "ohms=\"1.4\"");
    replace("ohms=\"0.75\"", "ohms=\"1.3\"");
    folder.write("dairy-stock.xml", fileText(example("dairy-stock.xml")));
    const std::string file = folder.write("alike.xml", text);
    const Outcome outcome = splitstartRun({"wiring", file});
    EXPECT_NE(outcome.out.find("too alike for this meter"), std::string::npos) << outcome.out;
    EXPECT_FALSE(wiringOf(file)["proof"]["proves_the_wiring"].get<bool>());
}

TEST(Wiring, ShowsCautionsAndATickBoxForEachWire)
{
    const Outcome outcome = splitstartRun({"wiring", example("cheese-store.xml")});
    EXPECT_EQ(outcome.status, 0);
    for (const char* words : {"Lock out", "Discharge every capacitor", "Terminal cover on",
                              "Never energise a grounded", "Local codes", "INVENTED"}) {
        EXPECT_NE(outcome.out.find(words), std::string::npos) << words;
    }
    const std::size_t wires = wiringOf(example("cheese-store.xml"))["steps"].size();
    for (std::size_t i = 1; i <= wires; ++i) {
        EXPECT_NE(outcome.out.find("[ ] " + std::to_string(i) + " "), std::string::npos) << i;
    }
}

// The drawing has the wires of the list, each once.
TEST(Wiring, DrawsTheWiresOfTheList)
{
    const Json wiring = wiringOf(example("cheese-store.xml"));
    std::multiset<std::string> listed;
    for (const Json& step : wiring["steps"]) {
        listed.insert(step["from"].get<std::string>() + "=" + step["to"].get<std::string>());
    }
    const ScratchFolder folder;
    const std::string file = (folder.path() / "wiring.svg").string();
    const Outcome outcome =
        splitstartRun({"wiring", example("cheese-store.xml"), "--drawing", "-o", file});
    ASSERT_EQ(outcome.status, 0) << outcome.err;
    pugi::xml_document document;
    ASSERT_TRUE(document.load_file(file.c_str()));
    std::multiset<std::string> drawn;
    for (const pugi::xpath_node& found : document.select_nodes("//path[@data-from]")) {
        drawn.insert(std::string(found.node().attribute("data-from").value()) + "=" +
                     found.node().attribute("data-to").value());
    }
    EXPECT_EQ(drawn, listed);
    EXPECT_EQ(
        splitstartRun({"wiring", example("cheese-store.xml"), "--drawing", "--format", "json"})
            .status,
        2);
}

// A grounded winding: the wiring is shown, with the reason why it must not be powered.
TEST(Wiring, SaysNotToEnergiseAGroundedCompressor)
{
    const ScratchFolder folder;
    std::string text = fileText(example("cheese-store.xml"));
    const std::string sound = "megohms=\"180\"";
    text.replace(text.find(sound), sound.size(), "megohms=\"0.01\"");
    folder.write("dairy-stock.xml", fileText(example("dairy-stock.xml")));
    const Outcome outcome = splitstartRun({"wiring", folder.write("grounded.xml", text)});
    EXPECT_EQ(outcome.status, 1);
    EXPECT_NE(outcome.out.find("DO NOT ENERGISE"), std::string::npos);
}

// Windings read, insulation not: the wires are listed, with a word that power has to wait.
TEST(Wiring, SaysWhenItIsNotKnownWhetherToEnergise)
{
    const ScratchFolder folder;
    std::string text = fileText(example("cheese-store.xml"));
    const std::size_t from = text.find("<insulation");
    text.erase(from, text.find("/>", from) + 2 - from);
    folder.write("dairy-stock.xml", fileText(example("dairy-stock.xml")));
    const Outcome outcome = splitstartRun({"wiring", folder.write("unread.xml", text)});
    EXPECT_EQ(outcome.status, 1);
    EXPECT_NE(outcome.out.find("NOT YET"), std::string::npos) << outcome.out;
    // Nothing read at all: asked for the wires alone.
    const Outcome unread = splitstartRun({"wiring", example("circuits/psc.xml")});
    EXPECT_EQ(unread.status, 0);
    EXPECT_NE(unread.out.find("NOT YET"), std::string::npos) << unread.out;
    const Outcome sound = splitstartRun({"wiring", example("cheese-store.xml")});
    EXPECT_EQ(sound.status, 0);
    EXPECT_EQ(sound.out.find("NOT YET"), std::string::npos);
    // The insulation is tested with nothing on the pins, so before the first wire.
    EXPECT_LT(sound.out.find("insulation tester"), sound.out.find("[ ] 1 "));
}

namespace
{

using Wires = std::vector<std::pair<std::string, std::string>>;

Wires wiresOfTheCheeseStore()
{
    Wires wires;
    const Json wiring = wiringOf(example("cheese-store.xml"));
    for (const Json& step : wiring["steps"]) {
        wires.emplace_back(step["from"], step["to"]);
    }
    return wires;
}

Outcome withWires(const Wires& wires, const std::string& format)
{
    std::vector<std::string> arguments = {"wiring", example("cheese-store.xml"), "--format",
                                          format};
    for (const auto& [from, to] : wires) {
        arguments.emplace_back("--wire");
        arguments.push_back(from + "=" + to);
    }
    return splitstartRun(arguments);
}

// Every wire on that terminal on the other one instead.
Wires moved(Wires wires, const std::string& from, const std::string& to)
{
    for (auto& [a, b] : wires) {
        a = a == from ? to : a;
        b = b == from ? to : b;
    }
    return wires;
}

}  // namespace

TEST(WiresAsFound, AreRightByAnyRoute)
{
    Wires wires = wiresOfTheCheeseStore();
    EXPECT_EQ(withWires(wires, "text").status, 0);
    // The run capacitor's wire on the pin in place of the relay's terminal 2, and turned round.
    for (auto& [from, to] : wires) {
        if (from == "run-capacitor.B" && to == "relay.2") {
            to = "compressor.S";
        }
    }
    wires = moved(moved(moved(wires, "run-capacitor.A", "x"), "run-capacitor.B", "run-capacitor.A"),
                  "x", "run-capacitor.B");
    const Outcome outcome = withWires(wires, "json");
    EXPECT_EQ(outcome.status, 0) << outcome.err;
    EXPECT_TRUE(Json::parse(outcome.out)["as_found"]["right"].get<bool>());
}

// One wire lies on S and one on R: exchanging them takes two moves of wire ends.
TEST(WiresAsFound, ArePutRightByTheFewestMoves)
{
    Wires wires = wiresOfTheCheeseStore();
    wires = moved(moved(moved(wires, "compressor.S", "x"), "compressor.R", "compressor.S"), "x",
                  "compressor.R");
    const Outcome text = withWires(wires, "text");
    EXPECT_EQ(text.status, 1);
    EXPECT_NE(text.out.find("exchanged"), std::string::npos) << text.out;
    EXPECT_NE(text.out.find("Do not power it"), std::string::npos) << text.out;
    const Json found = Json::parse(withWires(wires, "json").out)["as_found"];
    EXPECT_EQ(found["moves"].size(), 2U);
}

// What they do is simulated beside what the right wires do.
TEST(WiresAsFound, AreSimulatedAsTheyAre)
{
    const Outcome outcome =
        splitstartRun({"wiring", example("wires-as-found.xml"), "--format", "json"});
    EXPECT_EQ(outcome.status, 1) << outcome.err;
    const Json start = Json::parse(outcome.out)["as_found"]["start"];
    const Json& right = start["as_it_should_be"]["quantities"];
    const Json& found = start["as_found"]["quantities"];
    // With its coil on R the relay sees the volts between S and R, far above its pick-up at
    // standstill: it opens at once and the start capacitor is out.
    EXPECT_LT(found["start_circuit_in_s"].get<double>(), 0.05);
    EXPECT_GT(right["start_circuit_in_s"].get<double>(), 0.05);
    EXPECT_GT(found["coil_running_v"].get<double>(), right["coil_running_v"].get<double>());
}

TEST(WiresAsFound, NameADeadShortInWords)
{
    Wires wires = wiresOfTheCheeseStore();
    wires.emplace_back("supply.L1", "supply.L2");
    const Outcome outcome = withWires(wires, "text");
    EXPECT_EQ(outcome.status, 1);
    EXPECT_NE(outcome.out.find("short"), std::string::npos) << outcome.out;
    const Json found = Json::parse(withWires(wires, "json").out)["as_found"];
    EXPECT_TRUE(found["start"].is_null());
    EXPECT_NE(found["not_simulated_because"].get<std::string>().find("short"), std::string::npos);
    ASSERT_EQ(found["moves"].size(), 1U);
    EXPECT_EQ(found["moves"][0]["change"], "remove");
}

// Loose ends all mean the same, which is said once.
TEST(WiresAsFound, SayOnceWhatMeansTheSame)
{
    // Lines are broken anywhere between words.
    const std::string out = std::regex_replace(withWires({{"relay.2", "compressor.S"}}, "text").out,
                                               std::regex("\\s+"), " ");
    const std::size_t first = out.find("A wire is missing");
    ASSERT_NE(first, std::string::npos) << out;
    EXPECT_EQ(out.find("A wire is missing", first + 1), std::string::npos) << out;
    for (const char* terminal : {"relay.1", "relay.5", "compressor.C", "supply.L1"}) {
        EXPECT_NE(out.find(std::string("no wire reaches ") + terminal), std::string::npos)
            << terminal;
    }
}

TEST(WiresAsFound, SayWhichWireCannotBe)
{
    Wires wires = wiresOfTheCheeseStore();
    wires.emplace_back("relay.9", "compressor.S");
    const Outcome outcome = withWires(wires, "text");
    EXPECT_EQ(outcome.status, 2);
    EXPECT_NE(outcome.err.find("relay.9"), std::string::npos) << outcome.err;
    EXPECT_TRUE(outcome.out.empty());
    EXPECT_EQ(withWires({{"relay.2", ""}}, "text").status, 2);
}

TEST(WiresAsFound, AreDrawnAsTheyAre)
{
    const Outcome outcome =
        splitstartRun({"wiring", example("wires-as-found.xml"), "--drawing", "--as-found"});
    EXPECT_EQ(outcome.status, 1) << outcome.err;
    EXPECT_NE(outcome.out.find("AS FOUND, NOT RIGHT"), std::string::npos);
    EXPECT_NE(outcome.out.find("data-from=\"relay.5\" data-to=\"compressor.R\""),
              std::string::npos);
    EXPECT_EQ(
        splitstartRun({"wiring", example("cheese-store.xml"), "--drawing", "--as-found"}).status,
        2);
    // A drawing in a file says nothing on the screen of why the status is 1.
    const ScratchFolder folder;
    const std::string file = (folder.path() / "found.svg").string();
    const std::string of = example("wires-as-found.xml");
    const Outcome written = splitstartRun({"wiring", of, "--drawing", "--as-found", "-o", file});
    EXPECT_EQ(written.status, 1);
    EXPECT_EQ(written.out, "");
    EXPECT_EQ(written.err, "splitstart: " + file +
                               " is written. The wires found are not right: `splitstart wiring " +
                               of + "` says what to move.\n");
}

TEST(Wiring, NeedsACircuit)
{
    const ScratchFolder folder;
    const Outcome outcome =
        splitstartRun({"wiring", folder.write("bare.xml",
                                              "<case name=\"bare\"><compressor><nameplate "
                                              "volts=\"230\" hertz=\"60\"/></compressor></case>")});
    EXPECT_EQ(outcome.status, 2);
    EXPECT_NE(outcome.err.find("circuit"), std::string::npos) << outcome.err;
}

}  // namespace splitstart
