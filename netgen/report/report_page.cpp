#include "report/report_page.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>

#include "case/reader.h"
#include "case/vocabulary.h"
#include "report/case_drawing.h"
#include "report/html_page.h"
#include "report/html_prose.h"
#include "report/number_text.h"
#include "report/parts_section.h"
#include "report/pins_picture.h"
#include "report/prose_sections.h"
#include "report/report.h"
#include "report/start_figures.h"
#include "report/verdict.h"

namespace splitstart
{

namespace
{

// What there is to see is said below the first of several figures.
void addFigureWithCaption(pugi::xml_node section, const Figure& figure, bool withWords = true)
{
    pugi::xml_node box = section.append_child("figure");
    addFigure(box, figure);
    addElement(box, "figcaption",
               figure.words.empty() || !withWords
                   ? figure.title
                   : fmt::format("{}. {}", figure.title, figure.words));
}

void addDrawing(pugi::xml_node section, const std::string& svg)
{
    pugi::xml_document drawing;
    drawing.load_string(svg.c_str());
    pugi::xml_node box = addElement(section, "div", {}, "wide");
    box.append_attribute("tabindex") = "0";
    box.append_attribute("role") = "region";
    box.append_attribute("aria-label") = "wiring drawing";
    box.append_copy(drawing.document_element());
}

void addCautions(HtmlPage& page)
{
    pugi::xml_node section = page.addSection("cautions", "Before you touch or power anything");
    HtmlProse prose(addElement(section, "div", {}, "caution"));
    writeCautions(prose);
}

void addMaking(HtmlPage& page, const Case& input, const PageMaking& making)
{
    pugi::xml_node section = page.addSection("making", "How this page was made");
    addElement(
        section, "p",
        fmt::format("From {} on {} by {}{}.", fmt::join(input.filesRead, " and "), making.time,
                    making.versions, making.options.empty() ? "" : ", with " + making.options));
    addElement(section, "p",
               "Where each number comes from stands above: measured, from a nameplate or label, "
               "given, estimated or assumed. What is estimated or assumed may be wrong by what "
               "stands beside it, and now and then by more. The computation does not see the "
               "machine: whoever stands before it decides.");
}

// Circuit and pins in one line each, below the verdict.
void addSubject(pugi::xml_node box, const Circuit& circuit, const MotorStudy& motor)
{
    addElement(box, "p", fmt::format("{}: {}", circuit.type, circuit.description));
    if (motor.identification) {
        addElement(box, "p", motor.identification->answer);
    }
}

// The verdict for somebody who does not know the trade.
std::string plainAnswer(Fitness fitness, EnergiseAnswer safe)
{
    switch (fitness) {
        case Fitness::fit:
            return safe == EnergiseAnswer::yes
                       ? "These parts, wired right, suit this compressor."
                       : "These parts, wired right, suit this compressor. Whether it is safe to "
                         "energise is not known yet.";
        case Fitness::notFit:
            return "These parts do not suit this compressor: do not run it with them.";
        case Fitness::notDecided:
            return "Whether these parts suit this compressor is not decided by what is known.";
        case Fitness::doNotEnergise:
            break;
    }
    return "Do not put this compressor on the line.";
}

// Whether somebody found it wired otherwise than it should be.
bool isWiredWrong(const WiringStudy& wiring)
{
    return wiring.found && !wiring.found->isRight();
}

void addVerdict(HtmlPage& page, const CheckStudy& study, const WiringStudy& wiring)
{
    const Fitness fitness = fitnessOf(study.motor, study.findings);
    const SafeToEnergise& safe = study.motor.health.safe;
    const bool wrong = isWiredWrong(wiring);
    const char* const look =
        wrong || fitness == Fitness::notFit || fitness == Fitness::doNotEnergise ? "verdict is-fail"
        : fitness == Fitness::fit && safe.answer == EnergiseAnswer::yes          ? "verdict is-pass"
                                                                        : "verdict is-undecided";
    pugi::xml_node box = addElement(page.top(), "div", {}, look);
    HtmlProse prose(box);
    if (wrong) {
        addElement(box, "p",
                   "As it is wired now it must not be powered: the wires found are not right.");
        prose.paragraph(
            "[FAIL] The wires found are not right; under Wiring stands what is wrong and "
            "what puts it right. What follows is of the circuit as it should be.");
    }
    addElement(box, "p", plainAnswer(fitness, safe.answer));
    writeVerdict(prose, study);
    writeLiveWhenOff(prose, study);
    if (safe.answer == EnergiseAnswer::notKnown) {
        prose.paragraph("[?] Safe to energise: not known. " + safe.why);
    }
    addSubject(box, study.circuit, study.motor);
}

void addPins(HtmlPage& page, const MotorStudy& motor,
             const std::map<std::string, std::string>& pins)
{
    pugi::xml_node section = page.addSection("pins", "Pins, windings and insulation");
    if (!motor.identification || motor.identification->pattern == ReadingPattern::complete) {
        pugi::xml_node picture = section.append_child("figure");
        addPinsPicture(picture, pins, motor.identification);
        addElement(picture, "figcaption",
                   "Which pin is which by its name, not a map of where the pins sit. Ohms from "
                   "all three readings, the meter's leads taken off.");
    }
    HtmlProse prose(section);
    if (motor.identification) {
        writePins(prose, *motor.identification);
    } else {
        prose.paragraph("No readings of the windings were given.");
    }
    prose.heading("Windings and insulation");
    writeHealth(prose, motor.health);
}

// Signals of a start at equal steps, in few digits, for the page's chart.
Json traceJson(const TracedStart& start)
{
    constexpr double finest_s = 3e-4;
    constexpr double mostSteps = 5000;
    const StartTrace& trace = start.trace;
    const double end_s = trace.time_s.back();
    const double step_s = std::max(finest_s, end_s / mostSteps);
    const auto steps = static_cast<std::size_t>(end_s / step_s);
    const auto rounded = [](double value, int digits) {
        return std::strtod(fmt::format("{:.{}g}", value, digits).c_str(), nullptr);
    };
    constexpr int digitsOfTime = 6;
    constexpr int digits = 4;
    std::vector<double> time_s;
    for (std::size_t i = 0; i <= steps; ++i) {
        time_s.push_back(rounded(step_s * static_cast<double>(i), digitsOfTime));
    }
    const auto sampled = [&](const std::vector<double>& wave) {
        std::vector<double> values;
        values.reserve(time_s.size());
        std::size_t at = 0;
        for (const double time : time_s) {
            while (at + 2 < trace.time_s.size() && trace.time_s[at + 1] < time) {
                ++at;
            }
            const double share = std::clamp(
                (time - trace.time_s[at]) / (trace.time_s[at + 1] - trace.time_s[at]), 0.0, 1.0);
            values.push_back(rounded(std::lerp(wave[at], wave[at + 1], share), digits));
        }
        return values;
    };
    Json panels = Json::array();
    Json signals = Json::array();
    for (const ChartPanel& panel : chartPanels(trace)) {
        Json names = Json::array();
        for (const auto& [signal, stroke] : panel.lines) {
            const StrokeLook look = strokeLook(stroke);
            names.push_back(signal->name);
            signals.push_back({{"name", signal->name},
                               {"unit", signal->unit},
                               {"meaning", signal->meaning},
                               {"colour", look.colour},
                               {"dashes", look.dashes},
                               {"values", sampled(signal->values)}});
        }
        panels.push_back({{"title", panel.title}, {"signals", names}});
    }
    const StartMeasurement& m = start.measured;
    return {{"corner", cornerText(start.corner)},
            {"frequency_hz", start.frequency_Hz},
            {"start_contact_opened_s",
             m.startContactOpened_s ? Json(*m.startContactOpened_s) : Json(nullptr)},
            {"panels", panels},
            {"time_s", time_s},
            {"signals", signals}};
}

void addStarts(HtmlPage& page, const std::vector<TracedStart>& starts)
{
    pugi::xml_node section = page.addSection("start", "The start, volt by volt");
    Json traces = Json::array();
    for (std::size_t i = 0; i < starts.size(); ++i) {
        const TracedStart& start = starts[i];
        addElement(section, "h3",
                   fmt::format("{}: {}", i == 0 ? "At rated volts" : "Where it is worst",
                               cornerText(start.corner)));
        bool isFirst = true;
        for (const std::vector<Figure>& figures : {startFigures(start), openingFigures(start)}) {
            for (const Figure& figure : figures) {
                addFigureWithCaption(section, figure, isFirst);
                isFirst = false;
            }
        }
        pugi::xml_node chart = addElement(section, "div", {}, "chart screen-only");
        chart.append_attribute("data-trace") = static_cast<unsigned>(i);
        chart.append_attribute("hidden") = "hidden";
        traces.push_back(traceJson(start));
    }
    page.addData("traces", traces);
    for (const char* script : {"dygraph.min.js", "synchronizer.js", "chart.js"}) {
        page.addScript(script);
    }
    page.addStyle("dygraph.min.css");
}

void addSpeed(HtmlPage& page, const Case& input, const CheckStudy& study)
{
    pugi::xml_node section = page.addSection("speed", "Torque and volts over speed");
    for (const Figure& figure : speedFigures(input, study.evidence.front())) {
        addFigureWithCaption(section, figure);
    }
}

void addCorners(HtmlPage& page, const CheckStudy& study)
{
    pugi::xml_node section = page.addSection("corners", "All simulated starts");
    std::vector<std::vector<std::string>> rows;
    const Evidence& best = study.evidence.front();
    for (const std::vector<StartRun>* runs : {&best.starts, &best.restarts}) {
        for (const StartRun& run : *runs) {
            const StartCells cells = startCells(study, run);
            rows.emplace_back(cells.begin(), cells.end());
        }
    }
    addTable(section, "Best estimate of the motor",
             {"line volts", "windings", "end of the parts' tolerances", "up to speed after",
              "start circuit leaves", "amps of pin C in running"},
             rows);
    addElement(section, "p", std::string(startsLegend), "quiet");
    if (!study.machines.empty()) {
        addElement(
            section, "p",
            fmt::format("Besides, up to {} possible machines were looked at: motors and parts "
                        "as readings and labels allow them. A check ends as soon as it is "
                        "settled, so its own count may be smaller.",
                        study.machines.size()));
    }
}

void addWiring(HtmlPage& page, const Case& input, const WiringStudy& wiring,
               const FoundStartAnswer& found)
{
    pugi::xml_node section = page.addSection("wiring", "Wiring, step by step");
    addDrawing(section, caseDrawing(input, wiring, false));
    if (wiring.found && !wiring.found->isRight()) {
        addElement(section, "h3", "As it was found");
        addDrawing(section, caseDrawing(input, wiring, true));
    }
    HtmlProse prose(section);
    writeWiring(prose, input, wiring, found);
}

using Rows = std::vector<std::vector<std::string>>;

std::string accuracyText(double accuracy_ratio)
{
    return accuracy_ratio > 0 ? fmt::format("give or take {} %", shortNumber(accuracy_ratio * 100))
                              : std::string();
}

// What the case file says, number by number. `source`: of the supply, where it was estimated.
Rows givenRows(const Case& input, const std::optional<SourceImpedance>& estimated)
{
    Rows rows;
    const auto add = [&rows](const std::string& what, const std::string& value, const char* origin,
                             const std::string& accuracy = {}) {
        rows.push_back({what, value, origin, accuracy});
    };
    const Supply& supply = input.supply;
    add("supply",
        fmt::format("{}, {}", withUnit(supply.voltage_V, "V"), withUnit(supply.frequency_Hz, "Hz")),
        input.supplyGiven ? "given" : "nameplate");
    const SourceImpedance source =
        estimated.value_or(SourceImpedance{supply.source_ohm, supply.source_H});
    add("supply's impedance",
        fmt::format("{} and {}", withUnit(source.resistance_ohm, "ohm"),
                    withUnit(1e3 * source.inductance_H, "mH")),
        supply.sourceImpedanceGiven ? "given"
        : estimated                 ? "estimated"
                                    : "assumed");
    if (const std::optional<Readings>& readings = input.compressor.readings) {
        for (const WindingReading& each : readings->readings) {
            add(fmt::format("ohms {} to {}", each.pinA, each.pinB),
                std::isinf(each.resistance_ohm) ? std::string("open")
                                                : withUnit(each.resistance_ohm, "ohm", 4),
                "measured",
                accuracyText(readings->accuracy_ratio) +
                    (readings->accuracyGiven ? "" : " (assumed)"));
        }
        add("meter leads", withUnit(readings->lead_ohm, "ohm"),
            readings->leadGiven ? "given" : "assumed");
        add("windings' temperature then",
            fmt::format("{:.0f} degC", readings->windingTemperature_degC),
            readings->windingTemperatureGiven ? "given" : "assumed");
    }
    if (const std::optional<InsulationReading>& insulation = input.compressor.insulation) {
        add("insulation to the shell",
            std::isinf(insulation->resistance_ohm)
                ? std::string("beyond the meter's range")
                : fmt::format("{}{}", insulation->lowerLimit ? "above " : "",
                              withUnit(insulation->resistance_ohm / 1e6, "Mohm")),
            "measured",
            insulation->test_V > 0 ? fmt::format("tested at {}", withUnit(insulation->test_V, "V"))
                                   : std::string("by an ohmmeter"));
    }
    const Nameplate& plate = input.compressor.nameplate;
    const auto addPlate = [&](const char* what, const std::optional<double>& value,
                              const char* unit) {
        if (value) {
            add(what, withUnit(*value, unit), "nameplate",
                accuracyText(plate.accuracy_ratio) + " (assumed unless the case says so)");
        }
    };
    addPlate("locked-rotor amps", plate.lockedRotor_A, "A");
    addPlate("rated-load amps", plate.ratedLoad_A, "A");
    addPlate("rated-load watts", plate.ratedLoad_W, "W");
    addPlate("rated output", plate.output_W, "W");
    for (const Measurement& each : input.compressor.measurements) {
        const auto quantities = measuredQuantities();
        const auto spec =
            std::find_if(quantities.begin(), quantities.end(),
                         [&each](const auto& row) { return row.quantity == each.quantity; });
        std::string words(measuredQuantityName(each.quantity));
        std::replace(words.begin(), words.end(), '-', ' ');
        add(words,
            fmt::format("{} {}", shortNumber(each.value, 4),
                        spec == quantities.end() ? std::string_view() : spec->unit.word),
            "measured", accuracyText(each.accuracy_ratio));
    }
    const CompressorLoad& load = input.compressor.load;
    add("load",
        load.kind == LoadKind::none     ? "none"
        : load.kind == LoadKind::steady ? "steady torque"
                                        : "reciprocating pump",
        load.kindGiven ? "given" : "assumed");
    if (load.kind == LoadKind::reciprocating) {
        add("pressures at the start",
            load.pressures == Pressures::equalised ? "equalised" : "not equalised",
            load.pressuresGiven ? "given" : "assumed");
    }
    if (load.torque_Nm) {
        add("mean torque at rated load", withUnit(*load.torque_Nm, "N m"), "given");
    }
    return rows;
}

void addProvenance(HtmlPage& page, const Case& input, const CheckStudy& study)
{
    const MotorStudy& motor = study.motor;
    pugi::xml_node section = page.addSection("numbers", "Where each number comes from");
    addTable(section, "What was given", {"what", "value", "from", "how sure"},
             givenRows(input, motor.posterior ? std::optional(motor.source) : std::nullopt));
    addElement(section, "p", "Ratings are those of the labels, as the parts list has them.");
    Rows rows;
    for (const MotorParameter& parameter : motor.motor.parameters) {
        rows.push_back({parameter.name, withUnit(parameter.value.value, parameter.unit),
                        originName(parameter.value.origin),
                        accuracyText(parameter.value.accuracy_ratio), parameter.basis});
    }
    addTable(section, "The motor", {"what", "value", "from", "how sure", "rests on"}, rows);
    if (!motor.residuals.empty()) {
        rows.clear();
        for (const FitResidual& residual : motor.residuals) {
            rows.push_back({residual.name, withUnit(residual.wanted, residual.unit),
                            withUnit(residual.reproduced, residual.unit)});
        }
        addTable(section, "How this motor reproduces what was read and what the plate says",
                 {"what", "read, or on the plate", "this motor gives"}, rows);
    }
    HtmlProse prose(section);
    for (const std::string& contradiction : motor.contradictions) {
        prose.paragraph("[?] " + contradiction);
    }
    for (const std::string& note : motor.notes) {
        prose.paragraph("- " + note);
    }
    if (motor.identification) {
        for (const std::string& assumption : motor.identification->assumptions) {
            prose.paragraph("- " + assumption);
        }
    }
}

}  // namespace

std::string reportPage(const Case& input, const ReportData& data, const PageMaking& making)
{
    const CheckStudy& study = data.study;
    HtmlPage page(input.name, input.invented);
    addVerdict(page, study, data.wiring);
    addCautions(page);

    const VerdictCounts counts = verdictCounts(study.motor, study.findings);
    if (counts.fail + counts.undecided > 0 || !data.next.empty() || isWiredWrong(data.wiring)) {
        pugi::xml_node section = page.addSection("findings", "What to do about it");
        HtmlProse prose(section);
        if (isWiredWrong(data.wiring)) {
            prose.heading("The wires");
            addWords(section.append_child("p"), "Put the wires right first: ");
            addElement(section.last_child(), "a", "Wiring, step by step").append_attribute("href") =
                "#wiring";
        }
        writeFindings(prose, study, Verdict::fail);
        writeFindings(prose, study, Verdict::undecided);
        if (!data.next.empty()) {
            writeNextMeasurements(prose, data.next);
        }
    }
    addPins(page, study.motor, data.wiring.pins);
    addPartsSection(page.addSection("parts", "Parts, ratings and margins"), input, study);
    addStarts(page, data.starts);
    addSpeed(page, input, study);
    addCorners(page, study);
    addWiring(page, input, data.wiring, data.found);
    addProvenance(page, input, study);
    addMaking(page, input, making);
    pugi::xml_node netlist = page.addSection("netlist", "The netlist");
    addElement(netlist, "p",
               "The start circuit at rated volts as a SPICE deck. Stock ngspice runs it as it is "
               "(ngspice -b start.cir) and prints the quantities of the start.");
    addNetlist(netlist, data.netlist, "start.cir");
    return page.document();
}

std::string condemnedPage(const Case& input, const MotorStudy& study,
                          const std::optional<WiringStudy>& wiring, const PageMaking& making)
{
    HtmlPage page(input.name, input.invented);
    const bool condemned = study.health.safe.answer == EnergiseAnswer::no;
    pugi::xml_node box =
        addElement(page.top(), "div", {}, condemned ? "verdict is-fail" : "verdict is-undecided");
    addElement(box, "p",
               condemned ? "DO NOT ENERGISE. " + study.health.safe.why
                         : "NOT DECIDED: with these readings no start can be computed. " +
                               study.health.safe.why);
    addCautions(page);
    addPins(
        page, study,
        study.identification ? study.identification->pins : std::map<std::string, std::string>());
    addTable(page.addSection("numbers", "What was given"), "What was given",
             {"what", "value", "from", "how sure"}, givenRows(input, std::nullopt));
    if (wiring) {
        FoundStartAnswer none;
        none.whyNot = "the readings of the windings tell no motor";
        addWiring(page, input, *wiring, none);
    }
    addMaking(page, input, making);
    return page.document();
}

}  // namespace splitstart
