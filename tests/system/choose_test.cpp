// Choosing as a person does it: a box of parts, and a compressor that will not start.
#include <gtest/gtest.h>

#include <algorithm>
#include <nlohmann/json.hpp>
#include <string>

#include "system/program.h"

namespace splitstart
{

namespace
{

using Json = nlohmann::json;

Outcome chosen(const std::string& file, std::vector<std::string> more = {})
{
    std::vector<std::string> arguments = {"choose", file};
    arguments.insert(arguments.end(), more.begin(), more.end());
    return splitstartRun(arguments);
}

Json rejectionOf(const Json& json, const std::string& part)
{
    for (const Json& each : json["rejected"]) {
        if (each["part"] == part) {
            return each;
        }
    }
    return {};
}

// A part of the invented store room as it stands there, alone in a list.
std::string stockOf(const std::vector<std::string>& ids)
{
    const std::string all = fileText(example("dairy-stock.xml"));
    std::string text = "<parts invented=\"yes\">";
    for (const std::string& id : ids) {
        const std::size_t at = all.find("id=\"" + id + "\"");
        if (at == std::string::npos) {
            throw std::runtime_error("no part " + id);
        }
        const std::size_t begin = all.rfind('<', at);
        text += all.substr(begin, all.find("/>", at) + 2 - begin);
    }
    return text + "</parts>";
}

bool contains(const std::string& text, const std::string& part)
{
    return text.find(part) != std::string::npos;
}

}  // namespace

// The relay is burnt and cannot be read; on the shelf lie one that suits, one that never opens, the
// right capacitor for too few volts, and two small ones that are right together.
TEST(Choose, FindsThePairOnTheShelfAndSaysWhyTheOthersAreOut)
{
    const ScratchFolder folder;
    const Outcome outcome =
        chosen(example("dead-relay.xml"),
               {"--stock", example("dairy-shelf.xml"), "--format", "json", "--sure-top", "1"});
    ASSERT_EQ(outcome.status, 0) << outcome.err;
    const Json json = Json::parse(outcome.out);
    EXPECT_EQ(json["schema"], 1);
    EXPECT_TRUE(json["invented"].get<bool>());
    EXPECT_EQ(json["verdict"], "fit");
    EXPECT_EQ(json["recommended"]["start_device"], "shelf-relay-white");
    EXPECT_EQ(json["recommended"]["pair"]["first"], "shelf-start-64");
    EXPECT_EQ(json["recommended"]["pair"]["connection"], "parallel");
    EXPECT_EQ(json["recommended"]["run_capacitor"], "shelf-run-40");
    EXPECT_EQ(json["judged"][0]["outcome"], "pass");
    EXPECT_GE(json["judged"][0]["machines_looked_at"].get<int>(), 20);
    EXPECT_EQ(rejectionOf(json, "shelf-relay-grey")["finding"]["id"], "relay-pick-up-reached");
    const Json tooLow = rejectionOf(json, "shelf-start-130");
    EXPECT_EQ(tooLow["finding"]["id"], "start-capacitor-volts");
    EXPECT_EQ(tooLow["finding"]["limit"], 165);
    EXPECT_GT(tooLow["finding"]["value"].get<double>(), 250);
    EXPECT_EQ(rejectionOf(json, "shelf-run-12")["finding"]["id"], "run-capacitor-volts");
    EXPECT_TRUE(rejectionOf(json, "shelf-relay-white").is_null());
    ASSERT_EQ(json["not_used"].size(), 2U);  // a PTC, and one that is on order
    EXPECT_TRUE(json["ratings_to_ask_for"].empty());

    // What is to be pasted makes a case that the other commands take.
    std::string text = fileText(example("dead-relay.xml"));
    const std::size_t circuit = text.find("  <circuit");
    text.replace(circuit, text.find("/>", circuit) + 2 - circuit,
                 json["recommended"]["case_lines"][0].get<std::string>());
    std::string shelf = fileText(example("dairy-shelf.xml"));
    shelf.insert(shelf.rfind("</parts>"), json["recommended"]["case_lines"][1].get<std::string>() +
                                              stockOf({"internal-a"}).substr(22));
    shelf.resize(shelf.rfind("</parts>"));
    folder.write("shelf.xml", shelf);
    text.replace(text.find("dairy-stock.xml"), 15, "shelf.xml");
    const std::string pasted = folder.write("case.xml", text);
    const Outcome wiring = splitstartRun({"wiring", pasted});
    EXPECT_EQ(wiring.status, 0) << wiring.err;
    EXPECT_TRUE(contains(wiring.out, "These are two parts, shelf-start-64 and shelf-start-64 in"));
    const Outcome drawing = splitstartRun({"wiring", pasted, "--drawing"});
    // The label stands in lines of its own.
    EXPECT_TRUE(contains(drawing.out, "parallel,</text>")) << drawing.err;
    EXPECT_TRUE(contains(drawing.out, "128 to 154 uF</text>"));
    const Outcome netlist = splitstartRun({"netlist", pasted});
    EXPECT_EQ(netlist.status, 0) << netlist.err;
    const Outcome check = splitstartRun({"check", pasted, "--samples", "20", "--format", "json"});
    EXPECT_NE(check.status, 2) << check.err;
    EXPECT_EQ(Json::parse(check.out)["counts"]["fail"], 0);
}

TEST(Choose, PutsTheKnownPartsOfTheCheeseStoreFirst)
{
    const Outcome outcome =
        chosen(example("cheese-store.xml"), {"--keep", "run-capacitor", "--format", "json"});
    ASSERT_EQ(outcome.status, 0) << outcome.err;
    const Json json = Json::parse(outcome.out);
    EXPECT_EQ(json["recommended"]["name"], "relay-a + start-130 + run-40");
    EXPECT_EQ(rejectionOf(json, "relay-b")["finding"]["id"], "relay-pick-up-reached");
    EXPECT_EQ(rejectionOf(json, "start-130-low")["finding"]["id"], "start-capacitor-volts");
    EXPECT_EQ(rejectionOf(json, "start-161-bare")["finding"]["id"], "bleed-resistor-fitted");
    EXPECT_EQ(rejectionOf(json, "timer-room")["finding"]["id"], "start-switch-rearms-after-trip");
}

// Plain text, and the same whatever the number of workers.
TEST(Choose, SaysTheSameWithOneWorkerAndWithTwo)
{
    const ScratchFolder folder;
    const std::string stock = folder.write(
        "stock.xml", stockOf({"relay-c", "relay-remakes", "start-161", "start-64", "ptc-room"}));
    const Outcome one = chosen(example("shop-cooler.xml"), {"--stock", stock, "--workers", "1"});
    const Outcome two = chosen(example("shop-cooler.xml"), {"--stock", stock, "--workers", "2"});
    EXPECT_EQ(one.status, 0) << one.err;
    EXPECT_EQ(one.out, two.out);
    for (const char* part :
         {"INVENTED", "FIT: relay-c + start-161", "How sure", "To paste into the case",
          "<circuit type=\"CSIR\" start-device=\"relay-c\" start-capacitor=\"start-161\"",
          "The combinations, best first", "relay-remakes", "this circuit has no place for a PTC",
          "Lock out and tag"}) {
        EXPECT_TRUE(contains(one.out, part)) << part << "\n" << one.out;
    }
    EXPECT_TRUE(one.err.empty());
}

TEST(Choose, SaysPlainlyThatNothingFitsAndWhatToAskFor)
{
    const ScratchFolder folder;
    const std::string stock =
        folder.write("stock.xml", stockOf({"relay-room-amps", "start-161", "start-161-bare"}));
    const Outcome outcome =
        chosen(example("shop-cooler.xml"), {"--stock", stock, "--format", "json"});
    ASSERT_EQ(outcome.status, 1) << outcome.err;
    const Json json = Json::parse(outcome.out);
    EXPECT_EQ(json["verdict"], "nothing fit");
    EXPECT_EQ(rejectionOf(json, "relay-room-amps")["finding"]["id"], "relay-pulls-in");
    ASSERT_EQ(json["ratings_to_ask_for"].size(), 1U);
    const Json& bands = json["ratings_to_ask_for"][0];
    EXPECT_FALSE(bands["nothing_would_do"].get<bool>());
    EXPECT_EQ(bands["best_row_judged"], "pass");
    bool known = false;
    for (const Json& row : bands["rows"]) {
        if (row["in_stock"] == Json({"start-161", "start-161-bare"})) {
            known = true;
            EXPECT_LT(row["current_relay"]["pull_in_a"]["minimum"], 14.3);
            EXPECT_GT(row["current_relay"]["pull_in_a"]["maximum"], 15);
        }
    }
    EXPECT_TRUE(known) << bands.dump(1);
    const Outcome empty =
        chosen(example("shop-cooler.xml"), {"--stock", folder.write("empty.xml", "<parts/>")});
    EXPECT_EQ(empty.status, 1) << empty.err;
    EXPECT_TRUE(contains(empty.out, "NOTHING IN STOCK IS FIT")) << empty.out;
    EXPECT_TRUE(contains(empty.out, "What to ask the supply house for")) << empty.out;
}

// A load that no capacitor of this motor can start, given by an equivalent circuit.
TEST(Choose, SaysThatNoRatingWouldDo)
{
    const ScratchFolder folder;
    std::string text = fileText(example("shop-cooler.xml"));
    text.replace(text.find("torque-newton-metres=\"0.5\""), 26, "torque-newton-metres=\"6\"");
    folder.write("dairy-stock.xml", fileText(example("dairy-stock.xml")));
    const Outcome outcome =
        chosen(folder.write("case.xml", text),
               {"--stock", folder.write("stock.xml", stockOf({"relay-c", "start-161"}))});
    EXPECT_EQ(outcome.status, 1) << outcome.err;
    EXPECT_TRUE(contains(outcome.out, "NOTHING IN STOCK IS FIT")) << outcome.out;
    EXPECT_TRUE(contains(outcome.out, "No rating of these parts would do")) << outcome.out;
}

TEST(Choose, RefusesWhatMakesNoSense)
{
    const ScratchFolder folder;
    const std::string file = example("shop-cooler.xml");
    std::string other = stockOf({"relay-c"});
    other.replace(other.find("pull-in-amps-min=\"14.3\""), 23, "pull-in-amps-min=\"14.0\"");
    const std::string clash = folder.write("clash.xml", other);
    const std::vector<std::vector<std::string>> bad = {
        {"--keep", "fan"},   {"--keep", "run-capacitor"},  // the case has none
        {"--sure-top", "0"}, {"--sure-top", "21"},        {"--stock", "no-such-file.xml"},
        {"--stock", file},  // a case file
        {"--stock", clash},  {"--workers", "65"},         {"--stock", clash, "-o", clash},
    };
    for (const std::vector<std::string>& arguments : bad) {
        const Outcome outcome = chosen(file, arguments);
        EXPECT_EQ(outcome.status, 2) << arguments.back();
        EXPECT_EQ(outcome.out, "") << arguments.back();
        EXPECT_FALSE(outcome.err.empty()) << arguments.back();
    }
    EXPECT_EQ(fileText(clash), other);
    EXPECT_TRUE(contains(chosen(file, {"--stock", clash}).err,
                         "current-relay/id: found \"relay-c\"; allowed: the same data"));
}

}  // namespace splitstart
