#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>

#include "case/text.h"
#include "circuit/case_circuit.h"
#include "cli/command.h"
#include "cli/corner_options.h"
#include "cli/number_option.h"
#include "report/start_figures.h"
#include "study/held_shaft.h"
#include "study/traced_start.h"

namespace splitstart
{

namespace po = boost::program_options;

namespace
{

// One row for each instant, one column for each signal; RFC 4180. Seven digits.
std::string traceCsv(const StartTrace& trace)
{
    std::string text = "time_s";
    for (const TraceSignal& signal : trace.signals) {
        text += fmt::format(",{}", signal.name);
    }
    text += "\r\n";
    for (std::size_t i = 0; i < trace.time_s.size(); ++i) {
        text += fmt::format("{:.7g}", trace.time_s[i]);
        for (const TraceSignal& signal : trace.signals) {
            text += fmt::format(",{:.7g}", signal.values[i]);
        }
        text += "\r\n";
    }
    return text;
}

// What there is over speed, in and out; empty where the start circuit cannot leave.
std::string speedCsv(const Evidence& evidence)
{
    std::string text =
        "winding_degc,parts,start_circuit,speed_percent,torque_nm,line_a,run_winding_a,"
        "start_winding_a,start_winding_v,run_winding_v,line_w,current_angle_deg,"
        "coil_v,coil_a\r\n";
    const auto cell = [](const std::optional<double>& value) {
        return value ? fmt::format("{:.7g}", *value) : std::string();
    };
    for (const HeldShaftTable& table : evidence.held) {
        for (const bool isIn : {true, false}) {
            for (const HeldShaftMeasurement& m :
                 isIn ? table.startCircuitIn : table.startCircuitOut) {
                text += fmt::format(
                    "{:.7g},{},{},{:.7g},{:.7g},{:.7g},{:.7g},{:.7g},{:.7g},{:.7g},{:.7g},{:.7g},{}"
                    ",{"
                    "}\r\n",
                    table.winding_degC,
                    table.release == Release::early  ? "early"
                    : table.release == Release::late ? "late"
                                                     : "middle",
                    isIn ? "in" : "out", 100 * m.speed_ratio, m.torque_Nm, m.line_A, m.main_A,
                    m.auxiliary_A, m.startWinding_V, m.runWinding_V, m.line_W, m.currentAngle_deg,
                    cell(m.coil_V), cell(m.coil_A));
            }
        }
    }
    return text;
}

constexpr std::array<std::string_view, 9> figureNames = {
    "start-volts",  "start-amps",        "start-speed",      "start-ptc",      "opening-volts",
    "opening-amps", "torque-over-speed", "volts-over-speed", "amps-over-speed"};

// Tables over speed are at rated volts with cold and hot windings and parts in the middle: what
// asks for another corner would not be answered.
void refuseCornerOverSpeed(const po::variables_map& values, bool overSpeed)
{
    if (!overSpeed) {
        return;
    }
    for (const char* option : {"line-percent", "switch-on-degrees", "windings", "parts",
                               "capacitors", "restart-after-seconds", "seconds", "rms"}) {
        if (values.count(option) != 0 && !values[option].defaulted()) {
            throw UsageError(fmt::format(
                "--{}: is for a start; over speed it is at rated volts, parts in the middle of "
                "their tolerances, windings cold and hot",
                option));
        }
    }
}

std::string namesOf(const std::vector<Figure>& figures)
{
    std::string names;
    for (const Figure& figure : figures) {
        names += (names.empty() ? "" : ", ") + figure.id;
    }
    return names;
}

}  // namespace

CommandLine plotLine()
{
    CommandLine line("splitstart plot CASE.xml [options]",
                     "Curves of one start, or over speed with the shaft held, of the best estimate "
                     "of the motor: "
                     "as a table (CSV) of every signal, or as a picture (SVG) for a document.",
                     "splitstart plot examples/cheese-store.xml --figure start-volts -o start.svg",
                     "csv|svg");
    line.statuses = {{allPass, "done"}, {badInput}, {simulatorFailed}};
    addCornerOptions(line);
    line.options.add_options()(
        "figure", po::value<std::string>()->value_name("NAME"),
        "the picture: start-volts, start-amps, start-speed, start-ptc (with a PTC), opening-volts, "
        "opening-amps; torque-over-speed, volts-over-speed, amps-over-speed (with a current "
        "relay). "
        "It makes the format svg")(
        "over", po::value<std::string>()->default_value("time")->value_name("time|speed"),
        "what the table runs over")("rms", po::bool_switch(),
                                    "in the table over time: volts and amps as rms of each cycle");
    addNumber<double>(line,
                      {"seconds", "S", startLength_s, std::nullopt,
                       "length of the start in seconds; left out: until it is over, 3 s at most"});
    return line;
}

int plotCommand(const po::variables_map& values)
{
    const auto& format = values["format"].as<std::string>();
    const auto& over = values["over"].as<std::string>();
    const bool isPicture = values.count("figure") != 0;
    if (format != "csv" && format != "svg") {
        throw UsageError(
            fmt::format("--format: found \"{}\"; allowed: csv or svg", shortText(format)));
    }
    if (over != "time" && over != "speed") {
        throw UsageError(
            fmt::format("--over: found \"{}\"; allowed: time or speed", shortText(over)));
    }
    if (format == "svg" && !isPicture) {
        throw UsageError("--format svg: name the picture with --figure");
    }
    if (isPicture && !values["format"].defaulted() && format == "csv") {
        throw UsageError("--figure: makes a picture; for the table of the same run leave it out");
    }
    const std::string name = isPicture ? values["figure"].as<std::string>() : std::string();
    const bool isKnown =
        std::find(figureNames.begin(), figureNames.end(), name) != figureNames.end();
    if (isPicture && !isKnown) {
        throw UsageError(fmt::format("--figure: found \"{}\"; allowed: {}", shortText(name),
                                     fmt::join(figureNames, ", ")));
    }
    if (isPicture && !values["over"].defaulted()) {
        throw UsageError("--over: says what a table runs over; a picture's name says it already");
    }
    if (isPicture && values["rms"].as<bool>()) {
        throw UsageError("--rms: is for the table; start-volts and start-amps are rms already");
    }
    refuseCornerOverSpeed(values, over == "speed" || name.ends_with("-over-speed"));
    std::optional<double> length_s;
    if (values.count("seconds") != 0) {
        length_s = values["seconds"].as<double>();
    }
    const Case input = caseFrom(values);
    const Corner corner = cornerFrom(values, input);
    const Circuit circuit = caseCircuit(input);
    SimulatorPool pool;
    const MotorStudy motor = motorStudy(input, circuit, pool);
    if (motor.health.safe.answer == EnergiseAnswer::no) {
        fmt::print(stderr, "splitstart: DO NOT ENERGISE this compressor: {}\n",
                   motor.health.safe.why);
    }
    const auto evidence = [&] {
        Evidence held;
        held.ratedTorque_Nm = motor.motor.ratedTorque_Nm.value;
        held.held = heldShaftTables(withSource(input, motor), circuit, motor.motor.circuit, pool,
                                    {Release::middle});
        return held;
    };
    const auto start = [&] { return tracedStart(input, circuit, motor, corner, pool, length_s); };
    if (!isPicture) {
        if (over == "speed") {
            deliver(values, speedCsv(evidence()));
        } else {
            const TracedStart traced = start();
            deliver(values, traceCsv(values["rms"].as<bool>()
                                         ? cycleTrace(traced.trace, traced.frequency_Hz)
                                         : traced.trace));
        }
        return allPass;
    }
    std::vector<Figure> figures;
    if (name.ends_with("-over-speed")) {
        figures = speedFigures(input, evidence());
    } else {
        const TracedStart traced = start();
        figures = startFigures(traced);
        for (const Figure& figure : openingFigures(traced)) {
            figures.push_back(figure);
        }
    }
    const auto figure = std::find_if(figures.begin(), figures.end(),
                                     [&name](const Figure& each) { return each.id == name; });
    if (figure == figures.end()) {
        throw UsageError(fmt::format(
            "--figure: found \"{}\"; this case has {}: {}", shortText(name),
            name.ends_with("-over-speed") ? "over speed" : "over time", namesOf(figures)));
    }
    deliver(values, figureSvg(*figure));
    return allPass;
}

}  // namespace splitstart
