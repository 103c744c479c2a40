#include "system/check_run.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <numbers>
#include <pugixml.hpp>
#include <stdexcept>

#include "system/program.h"

namespace splitstart
{

using Json = nlohmann::json;

std::set<std::string> CheckRun::withVerdict(std::string_view verdict) const
{
    std::set<std::string> ids;
    for (const Json& finding : json["findings"]) {
        if (finding["verdict"] == verdict) {
            ids.insert(finding["id"]);
        }
    }
    return ids;
}

Json CheckRun::finding(std::string_view id) const
{
    for (const Json& each : json["findings"]) {
        if (each["id"] == id) {
            return each;
        }
    }
    return {};
}

std::string CheckRun::verdictOf(std::string_view id) const
{
    const Json found = finding(id);
    return found.is_null() ? "none" : found["verdict"].get<std::string>();
}

const Json& CheckRun::starts() const
{
    return json.at("measurements").at("starts");
}

const Json& CheckRun::restarts() const
{
    return json.at("measurements").at("restarts");
}

const CheckRun& checkExample(const std::string& name)
{
    static std::map<std::string, CheckRun> runs;
    const auto known = runs.find(name);
    if (known != runs.end()) {
        return known->second;
    }
    const Outcome outcome = splitstartRun({"check", example(name), "--format", "json"});
    EXPECT_EQ(outcome.err, "") << name;
    return runs[name] = {outcome.status, Json::parse(outcome.out)};
}

double quantity(const Json& start, const char* name)
{
    const Json& value = start.at("quantities").at(name);
    if (!value.is_number()) {
        throw std::runtime_error(std::string("no ") + name + ", " + cornerOf(start));
    }
    return value.get<double>();
}

bool hasQuantity(const Json& start, const char* name)
{
    return start.at("quantities").at(name).is_number();
}

bool isEarly(const Json& start)
{
    return start.at("corner").at("parts") == "early";
}

double lineRatio(const Json& start)
{
    return start.at("corner").at("line_ratio").get<double>();
}

bool isHot(const Json& start)
{
    return start.at("corner").at("winding_degc").get<double>() > 25;
}

std::string cornerOf(const Json& start)
{
    return start.at("corner").dump();
}

namespace
{

double numberAt(const std::string& name, const std::string& attributePath)
{
    pugi::xml_document document;
    if (!document.load_file(example(name).c_str())) {
        throw std::runtime_error("cannot read " + name);
    }
    const pugi::xpath_node node = document.select_node(attributePath.c_str());
    if (!node.attribute()) {
        throw std::runtime_error(name + " has no " + attributePath);
    }
    return std::stod(node.attribute().value());
}

}  // namespace

double exampleNumber(const std::string& name, const std::string& attributePath)
{
    return numberAt(name, attributePath);
}

double stockNumber(const std::string& partId, const std::string& attribute)
{
    return numberAt("dairy-stock.xml", "/parts/*[@id='" + partId + "']/@" + attribute);
}

double openCircuitVolts(const std::string& name, const Json& start)
{
    return lineRatio(start) * exampleNumber(name, "//nameplate/@volts");
}

Impedance inParallel(Impedance a, Impedance b)
{
    return a * b / (a + b);
}

WindingsAtRest windingsAtRest(const std::string& name, double winding_degC)
{
    const auto ohms = [&name](const std::string& attribute) {
        return exampleNumber(name, "//equivalent-circuit/@" + attribute + "-ohms");
    };
    const double copper_ratio = (234.5 + winding_degC) / (234.5 + 25);
    const double aluminium_ratio = (225 + winding_degC) / (225.0 + 25);
    const auto winding = [&](const std::string& which) {
        const Impedance rotor(aluminium_ratio * ohms("rotor-" + which),
                              ohms("rotor-" + which + "-leakage-reactance"));
        const Impedance magnetizing(0, ohms(which + "-magnetizing-reactance"));
        return Impedance(copper_ratio * ohms(which), ohms(which + "-leakage-reactance")) +
               inParallel(magnetizing, rotor);
    };
    return {winding("main"), winding("auxiliary")};
}

Impedance sourceImpedance(const std::string& name)
{
    const double omega_rad_s = 2 * std::numbers::pi * exampleNumber(name, "//supply/@hertz");
    return {exampleNumber(name, "//supply/@source-ohms"),
            omega_rad_s * 1e-3 * exampleNumber(name, "//supply/@source-millihenries")};
}

Impedance capacitorImpedance(double microfarads, double hertz)
{
    return {0, -1 / (2 * std::numbers::pi * hertz * microfarads * 1e-6)};
}

void expectComesUpEverywhere(const CheckRun& run)
{
    ASSERT_GE(run.starts().size(), 16U);
    for (const Json& start : run.starts()) {
        EXPECT_GT(quantity(start, "speed_at_end_ratio"), 0.9) << cornerOf(start);
        EXPECT_LT(quantity(start, "speed_at_end_ratio"), 1) << "a loaded induction motor slips";
        EXPECT_LT(quantity(start, "time_to_speed_s"), 3) << cornerOf(start);
        EXPECT_EQ(quantity(start, "protector_tripped"), 0) << cornerOf(start);
    }
}

void expectFit(const CheckRun& run)
{
    EXPECT_EQ(run.status, 0);
    EXPECT_EQ(run.withVerdict("fail"), std::set<std::string>{});
    EXPECT_EQ(run.withVerdict("undecided"), std::set<std::string>{});
    EXPECT_TRUE(run.json["invented"].get<bool>());
    expectComesUpEverywhere(run);
    std::set<double> lines;
    for (const Json& start : run.starts()) {
        lines.insert(lineRatio(start));
    }
    EXPECT_EQ(*lines.begin(), 0.85);
    EXPECT_EQ(*lines.rbegin(), 1.10);
}

void expectLeavesOnce(const CheckRun& run, double slowest_ratio, double fastest_ratio)
{
    for (const Json& start : run.starts()) {
        EXPECT_EQ(quantity(start, "start_contact_openings"), 1) << cornerOf(start);
        EXPECT_EQ(quantity(start, "start_contact_at_end"), 0) << cornerOf(start);
        EXPECT_FALSE(hasQuantity(start, "start_contact_reclosed_v")) << cornerOf(start);
        EXPECT_GE(quantity(start, "speed_at_opening_ratio"), slowest_ratio) << cornerOf(start);
        EXPECT_LE(quantity(start, "speed_at_opening_ratio"), fastest_ratio) << cornerOf(start);
    }
}

}  // namespace splitstart
