// The deck is the computation: stock ngspice runs it unchanged and gives the answers of `check`.
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "system/program.h"

namespace splitstart
{

namespace
{

using Json = nlohmann::json;

// The quantities of that corner, as embedded ngspice gave them to `check`.
Json embeddedQuantities(const std::string& file, double line_ratio, double winding_degC,
                        const std::string& parts)
{
    const Outcome outcome = splitstartRun({"check", file, "--format", "json"});
    const Json json = Json::parse(outcome.out);
    for (const Json& start : json["measurements"]["starts"]) {
        const Json& corner = start["corner"];
        if (std::abs(corner["line_ratio"].get<double>() - line_ratio) < 1e-9 &&
            corner["winding_degc"] == winding_degC && corner["parts"] == parts &&
            corner["switch_on_deg"].is_null()) {
            return start["quantities"];
        }
    }
    return {};
}

void compareWithStock(const std::string& name)
{
    const ScratchFolder folder;
    const std::string deck = (folder.path() / "start.cir").string();
    const Json embedded = embeddedQuantities(example(name), 1.0, 25, "late");
    ASSERT_TRUE(embedded.is_object());
    // `check` ends a run once it is over; the deck is told to run just as long, so that "running"
    // means the same cycles.
    const Outcome written =
        splitstartRun({"netlist", example(name), "--line-percent", "100", "--windings", "cold",
                       "--parts", "late", "--seconds", embedded["end_s"].dump(), "-o", deck});
    ASSERT_EQ(written.status, 0) << written.err;
    const std::map<std::string, double> stock = stockQuantities(deck);
    int compared = 0;
    for (const auto& [quantity, value] : stock) {
        if (quantity.starts_with("integral_")) {
            continue;  // intermediate values of a mean
        }
        ASSERT_TRUE(embedded.contains(quantity)) << quantity;
        ASSERT_TRUE(embedded[quantity].is_number()) << quantity;
        const double expected = embedded[quantity].get<double>();
        EXPECT_NEAR(value / expected, 1, 0.005) << quantity << " " << value << " " << expected;
        ++compared;
    }
    EXPECT_GE(compared, 15);
}

TEST(Netlist, StockNgspiceGivesTheSameAnswersForTheCheeseStore)
{
    compareWithStock("cheese-store.xml");
}

TEST(Netlist, StockNgspiceGivesTheSameAnswersForTheBottleCooler)
{
    compareWithStock("shop-cooler.xml");
}

// One deck for each circuit, start device, feed and frequency.
TEST(Netlist, OfEveryCircuitRunsInStockNgspice)
{
    const ScratchFolder folder;
    int decks = 0;
    for (const auto& entry : std::filesystem::directory_iterator(example("circuits"))) {
        const std::string deck = (folder.path() / "start.cir").string();
        const Outcome written =
            splitstartRun({"netlist", entry.path().string(), "--windings", "hot", "--parts", "late",
                           "--seconds", "2", "-o", deck});
        ASSERT_EQ(written.status, 0) << entry.path() << written.err;
        std::map<std::string, double> stock = stockQuantities(deck);
        // Whatever starts it, the motor comes up to speed, with a lagging current for its load.
        EXPECT_GT(stock["speed_at_end_ratio"], 0.9) << entry.path();
        EXPECT_LT(stock["speed_at_end_ratio"], 1.0) << entry.path();
        EXPECT_GT(stock["compressor_running_a"], 0) << entry.path();
        EXPECT_GT(stock["line_stalled_a"], 2 * stock["compressor_running_a"]) << entry.path();
        ++decks;
    }
    EXPECT_GE(decks, 20);
}

// A finding's corner can be looked at by hand.
TEST(Netlist, StartsAgainWithAHotPtcAndAChargedCapacitor)
{
    const std::string file = example("circuits/psc-ptc.xml");
    const Outcome cold = splitstartRun({"netlist", file});
    const Outcome hot = splitstartRun({"netlist", file, "--restart-after-seconds", "5"});
    EXPECT_NE(cold.out.find(".param ptc_initial_degc=25\n"), std::string::npos);
    EXPECT_EQ(hot.out.find(".param ptc_initial_degc=25\n"), std::string::npos);
    const Outcome charged = splitstartRun(
        {"netlist", example("circuits/csir-potential-relay.xml"), "--restart-after-seconds", "0"});
    EXPECT_EQ(charged.out.find(".param start_capacitor_initial_v=0\n"), std::string::npos);
    EXPECT_EQ(splitstartRun({"netlist", file, "--restart-after-seconds", "-1"}).status, 2);
    EXPECT_EQ(splitstartRun({"netlist", file, "--capacitors", "middle"}).status, 2);
}

TEST(Netlist, HostileNamesDoNotReachNgspiceAsCommands)
{
    const ScratchFolder folder;
    const std::string text = fileText(example("shop-cooler.xml"));
    const std::string mark = "bottle cooler in the dairy shop";
    std::string hostile = text;
    hostile.replace(hostile.find(mark), mark.size(),
                    "*#shell touch pwned; .control `touch pwned` $(touch pwned) *ng_script");
    const std::string stock = fileText(example("dairy-stock.xml"));
    std::string hostileStock = stock;
    const std::string words = "current relay, small";
    hostileStock.replace(hostileStock.find(words), words.size(), "*#shell touch pwned");
    folder.write("dairy-stock.xml", hostileStock);
    const std::string file = folder.write("case.xml", hostile);
    const Outcome written = splitstartRun({"netlist", file});
    ASSERT_EQ(written.status, 0) << written.err;
    EXPECT_EQ(written.out.find("*#"), std::string::npos);
    EXPECT_EQ(written.out.find('`'), std::string::npos);
    const std::string deck = folder.write("start.cir", written.out);
    EXPECT_FALSE(stockQuantities(deck).empty());
    EXPECT_FALSE(std::filesystem::exists(folder.path() / "pwned"));
    EXPECT_FALSE(std::filesystem::exists("pwned"));
}

TEST(Netlist, SameCaseGivesTheSameBytes)
{
    const std::vector<std::string> arguments = {"netlist", example("cheese-store.xml")};
    EXPECT_EQ(splitstartRun(arguments).out, splitstartRun(arguments).out);
}

}  // namespace

}  // namespace splitstart
