// `report` and `plot` as a person calls them; what the page shows is looked at in tests/browser.
#include <gtest/gtest.h>

#include <cmath>
#include <pugixml.hpp>
#include <regex>
#include <sstream>

#include "system/check_run.h"
#include "system/program.h"

namespace splitstart
{

namespace
{

constexpr std::size_t mostBytes = 1'500'000;

std::vector<std::vector<std::string>> rowsOf(const std::string& csv)
{
    std::vector<std::vector<std::string>> rows;
    std::istringstream lines(csv);
    for (std::string line; std::getline(lines, line);) {
        EXPECT_EQ(line.back(), '\r');
        line.pop_back();
        std::vector<std::string> cells;
        std::istringstream cellsOf(line);
        for (std::string cell; std::getline(cellsOf, cell, ',');) {
            cells.push_back(cell);
        }
        if (line.ends_with(",")) {
            cells.emplace_back();
        }
        rows.push_back(cells);
    }
    return rows;
}

std::size_t columnOf(const std::vector<std::vector<std::string>>& rows, const std::string& name)
{
    const auto found = std::find(rows[0].begin(), rows[0].end(), name);
    EXPECT_NE(found, rows[0].end()) << name;
    return static_cast<std::size_t>(found - rows[0].begin());
}

}  // namespace

TEST(Report, IsTheSamePageForTheSameCase)
{
    const std::map<std::string, std::string> time = {{"SOURCE_DATE_EPOCH", "1780000000"}};
    const Outcome first = splitstartRun({"report", example("shop-cooler.xml")}, time);
    ASSERT_EQ(first.status, 0) << first.err;
    EXPECT_TRUE(first.out.starts_with("<!DOCTYPE html>"));
    EXPECT_LT(first.out.size(), mostBytes);
    EXPECT_NE(first.out.find("2026-05-28 20:26 UTC"), std::string::npos);
    const Outcome second =
        splitstartRun({"report", example("shop-cooler.xml"), "--workers", "1"}, time);
    EXPECT_EQ(first.out, second.out);
}

TEST(Report, IsSmallEnoughForEveryKindOfStart)
{
    // The longest start, the most parts, the fewest.
    for (const char* name :
         {"circuits/rscr-ptc.xml", "circuits/cscr-crankcase-heat.xml", "circuits/psc.xml"}) {
        const Outcome outcome = splitstartRun({"report", example(name), "--samples", "20"});
        EXPECT_LE(outcome.status, 1) << name << outcome.err;
        EXPECT_LT(outcome.out.size(), mostBytes) << name;
        EXPECT_TRUE(outcome.out.ends_with("</body>\n</html>\n")) << name;
    }
}

TEST(Report, CondemnsWithoutASimulation)
{
    const ScratchFolder folder;
    std::string text = fileText(example("cheese-store.xml"));
    text = std::regex_replace(text, std::regex(R"(between="B C" ohms="2.00")"),
                              R"(between="B C" ohms="open")");
    text = std::regex_replace(text, std::regex(R"(between="A B" ohms="2.65")"),
                              R"(between="A B" ohms="open")");
    text = std::regex_replace(text, std::regex("dairy-stock.xml"), example("dairy-stock.xml"));
    folder.write("dairy-stock.xml", fileText(example("dairy-stock.xml")));
    text = std::regex_replace(text, std::regex(R"(file="[^"]*dairy-stock.xml")"),
                              R"(file="dairy-stock.xml")");
    const Outcome outcome = splitstartRun({"report", folder.write("open.xml", text)});
    EXPECT_EQ(outcome.status, 1) << outcome.err;
    EXPECT_NE(outcome.out.find("DO NOT ENERGISE"), std::string::npos);
    EXPECT_NE(outcome.out.find("Lock out and tag"), std::string::npos);
    EXPECT_EQ(outcome.out.find("The start, volt by volt"), std::string::npos);
}

TEST(Report, SaysFirstThatTheWiresFoundAreWrong)
{
    const ScratchFolder folder;
    folder.write("dairy-stock.xml", fileText(example("dairy-stock.xml")));
    // The bottle cooler with line on line.
    std::string text = fileText(example("shop-cooler.xml"));
    text = std::regex_replace(
        text, std::regex("</case>"),
        "<as-found><wire from=\"supply.L1\" to=\"supply.L2\"/></as-found></case>");
    const Outcome outcome = splitstartRun({"report", folder.write("short.xml", text)});
    EXPECT_EQ(outcome.status, 1) << outcome.err;
    const std::string top = outcome.out.substr(0, outcome.out.find("id=\"cautions\""));
    EXPECT_NE(top.find("must not be powered"), std::string::npos) << top;
    EXPECT_NE(top.find("verdict is-fail"), std::string::npos);
    EXPECT_LT(top.find("must not be powered"), top.find("suit this compressor"));
}

TEST(Report, AsksForNothingUnderPowerWhereTheCompressorMustNotBeEnergised)
{
    const ScratchFolder folder;
    folder.write("dairy-stock.xml", fileText(example("dairy-stock.xml")));
    std::string text = fileText(example("cheese-store.xml"));
    text = std::regex_replace(text, std::regex("megohms=\"180\""), "megohms=\"0.01\"");
    const std::string file = folder.write("grounded.xml", text);
    const Outcome outcome = splitstartRun({"report", file, "--samples", "20"});
    EXPECT_EQ(outcome.status, 1) << outcome.err;
    EXPECT_NE(outcome.out.find("Do not put this compressor on the line"), std::string::npos);
    EXPECT_EQ(outcome.out.find("What to measure next"), std::string::npos);
    EXPECT_NE(outcome.out.find("NOT BEFORE THIS IS CURED"), std::string::npos);
    const Outcome plotted = splitstartRun({"plot", file});
    EXPECT_EQ(plotted.status, 0);
    EXPECT_NE(plotted.err.find("DO NOT ENERGISE"), std::string::npos) << plotted.err;
}

TEST(Report, RefusesBadInputAndLeavesNoFile)
{
    const ScratchFolder folder;
    const std::string page = (folder.path() / "page.html").string();
    const Outcome outcome = splitstartRun({"report", "/no/such/case.xml", "-o", page});
    EXPECT_EQ(outcome.status, 2);
    EXPECT_FALSE(std::filesystem::exists(page));
    EXPECT_EQ(splitstartRun({"report", example("shop-cooler.xml"), "--format", "json"}).status, 2);
    EXPECT_EQ(splitstartRun({"report"}).status, 2);
}

TEST(Plot, TableOverTimeHasEverySignalAtEveryStep)
{
    const Outcome outcome = splitstartRun({"plot", example("shop-cooler.xml")});
    ASSERT_EQ(outcome.status, 0) << outcome.err;
    const auto rows = rowsOf(outcome.out);
    ASSERT_GT(rows.size(), 1000U);
    for (const auto& row : rows) {
        ASSERT_EQ(row.size(), rows[0].size());
    }
    const std::size_t time = columnOf(rows, "time_s");
    double before = -1;
    for (std::size_t i = 1; i < rows.size(); ++i) {
        const double now = std::stod(rows[i][time]);
        EXPECT_GE(now, before);
        before = now;
    }
    for (const char* name : {"start_winding_v", "run_winding_v", "line_a", "speed_percent",
                             "start_contact", "start_capacitor_v", "torque_nm"}) {
        columnOf(rows, name);
    }
}

TEST(Plot, RmsAtTheEndIsWhatTheDeckMeasuresInStockNgspice)
{
    const ScratchFolder folder;
    const std::string deck = (folder.path() / "start.cir").string();
    ASSERT_EQ(splitstartRun({"netlist", example("shop-cooler.xml"), "--seconds", "0.6", "-o", deck})
                  .status,
              0);
    const std::map<std::string, double> stock = stockQuantities(deck);
    const Outcome outcome =
        splitstartRun({"plot", example("shop-cooler.xml"), "--rms", "--seconds", "0.6"});
    ASSERT_EQ(outcome.status, 0) << outcome.err;
    const auto rows = rowsOf(outcome.out);
    EXPECT_NEAR(std::stod(rows.back()[columnOf(rows, "start_winding_v")]) /
                    stock.at("start_winding_running_v"),
                1, 0.02);
    EXPECT_NEAR(std::stod(rows.back()[columnOf(rows, "time_s")]), 0.6, 1e-3);
}

TEST(Plot, TableOverSpeedHasBothStatesOfTheStartCircuit)
{
    const Outcome outcome = splitstartRun({"plot", example("shop-cooler.xml"), "--over", "speed"});
    ASSERT_EQ(outcome.status, 0) << outcome.err;
    const auto rows = rowsOf(outcome.out);
    const std::size_t state = columnOf(rows, "start_circuit");
    const std::size_t speed = columnOf(rows, "speed_percent");
    const std::size_t torque = columnOf(rows, "torque_nm");
    int checked = 0;
    for (std::size_t i = 1; i < rows.size(); ++i) {
        ASSERT_EQ(rows[i].size(), rows[0].size()) << i;
        if (std::stod(rows[i][speed]) == 0) {
            // One winding alone has no torque at standstill: two equal fields, revolving against
            // each other (Fitzgerald, Kingsley, Umans, "Electric Machinery"). What is left comes
            // from the megohms of the open contact.
            const double torque_Nm = std::stod(rows[i][torque]);
            if (rows[i][state] == "out") {
                EXPECT_NEAR(torque_Nm, 0, 1e-4);
            } else {
                EXPECT_GT(torque_Nm, 0.5);
            }
            ++checked;
        }
    }
    EXPECT_GE(checked, 4);
}

TEST(Plot, PicturesAreSvgAndNamedWhereUnknown)
{
    for (const char* name :
         {"start-volts", "start-amps", "start-speed", "opening-volts", "opening-amps",
          "torque-over-speed", "volts-over-speed", "amps-over-speed"}) {
        const Outcome outcome =
            splitstartRun({"plot", example("shop-cooler.xml"), "--figure", name});
        ASSERT_EQ(outcome.status, 0) << name << outcome.err;
        pugi::xml_document document;
        ASSERT_TRUE(document.load_string(outcome.out.c_str())) << name;
        EXPECT_STREQ(document.document_element().name(), "svg");
        EXPECT_TRUE(document.select_node("//path[@data-curve]")) << name;
    }
    const Outcome unknown =
        splitstartRun({"plot", example("shop-cooler.xml"), "--figure", "start-ptc"});
    EXPECT_EQ(unknown.status, 2);
    EXPECT_NE(unknown.err.find("this case has over time: start-volts"), std::string::npos)
        << unknown.err;
}

TEST(Plot, RefusesWhatDoesNotMakeSense)
{
    const std::vector<std::vector<std::string>> wrong = {
        {"--format", "png"},
        {"--format", "svg"},
        {"--over", "money"},
        {"--seconds", "0.01"},
        {"--seconds", "nan"},
        {"--figure", "start-volts", "--format", "csv"},
        {"--line-percent", "300"},
        {"--line-percent", "85", "--over", "speed"},
        {"--windings", "hot", "--figure", "torque-over-speed"},
        {"--rms", "--figure", "start-volts"},
        {"--figure", "start-money"},
    };
    for (const std::vector<std::string>& options : wrong) {
        std::vector<std::string> arguments = {"plot", example("shop-cooler.xml")};
        arguments.insert(arguments.end(), options.begin(), options.end());
        const Outcome outcome = splitstartRun(arguments);
        EXPECT_EQ(outcome.status, 2) << options[0];
        EXPECT_NE(outcome.err.find(options[0]), std::string::npos) << outcome.err;
    }
}

}  // namespace splitstart
