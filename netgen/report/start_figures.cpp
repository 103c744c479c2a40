#include "report/start_figures.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "circuit/case_circuit.h"
#include "report/number_text.h"

namespace splitstart
{

namespace
{

// The same quantity looks the same in every figure.
struct SignalLook {
    std::string_view name;
    Stroke stroke;
};
constexpr std::array<SignalLook, 15> looks = {{{"start_winding_v", Stroke::solid},
                                               {"run_winding_v", Stroke::dashed},
                                               {"supply_v", Stroke::thin},
                                               {"coil_v", Stroke::dotted},
                                               {"start_capacitor_v", Stroke::dashDotted},
                                               {"run_capacitor_v", Stroke::longDashed},
                                               {"start_winding_a", Stroke::solid},
                                               {"run_winding_a", Stroke::dashed},
                                               {"line_a", Stroke::thin},
                                               {"start_device_a", Stroke::dotted},
                                               {"speed_percent", Stroke::solid},
                                               {"start_contact", Stroke::thin},
                                               {"torque_nm", Stroke::solid},
                                               {"load_torque_nm", Stroke::dashed},
                                               {"ptc_degc", Stroke::dashed}}};

Stroke strokeOf(std::string_view name)
{
    const auto* const look = std::find_if(
        looks.begin(), looks.end(), [name](const SignalLook& each) { return each.name == name; });
    return look == looks.end() ? Stroke::thin : look->stroke;
}

std::vector<FigureCurve> curvesOf(const StartTrace& trace,
                                  std::initializer_list<std::string_view> names)
{
    std::vector<FigureCurve> curves;
    for (const std::string_view name : names) {
        if (const TraceSignal* const signal = trace.find(name)) {
            curves.push_back({std::string(signal->meaning), std::string(name), trace.time_s,
                              signal->values, strokeOf(name)});
        }
    }
    return curves;
}

// The stretches of time in which the start contact is made.
std::vector<FigureBand> contactBands(const StartTrace& trace)
{
    std::vector<FigureBand> bands;
    const TraceSignal* const contact = trace.find("start_contact");
    if (contact == nullptr) {
        return bands;
    }
    constexpr double made = 0.5;
    for (std::size_t i = 0; i < trace.time_s.size(); ++i) {
        if (contact->values[i] < made) {
            continue;
        }
        const bool goesOn = i > 0 && contact->values[i - 1] >= made;
        if (!goesOn) {
            bands.push_back({bands.empty() ? "start contact made" : "",
                             {trace.time_s[i], trace.time_s[i]},
                             true});
        }
        bands.back().range.maximum = trace.time_s[i];
    }
    return bands;
}

// A PTC has no contact; it has switched once it is hot.
bool hasContact(const TracedStart& start)
{
    return start.trace.find("start_contact") != nullptr;
}

std::string openingWords(const TracedStart& start)
{
    const StartMeasurement& m = start.measured;
    const std::string speed =
        m.timeToSpeed_s ? fmt::format("It is up to speed after {:.3f} s", *m.timeToSpeed_s)
                        : std::string("It does not come up to speed");
    if (!m.startContactOpened_s) {
        return speed + (hasContact(start)      ? "; the start contact never opens."
                        : m.startContactMade_s ? "; the PTC does not switch."
                                               : ".");
    }
    const double openings = m.startContactOpenings.value_or(1);
    return fmt::format("{}; {} at {:.3f} s, at {:.0f} % of synchronous speed{}.", speed,
                       hasContact(start) ? "the start contact opens" : "the PTC has switched",
                       *m.startContactOpened_s, *m.speedAtOpening_ratio * 100,
                       hasContact(start) && openings > 1
                           ? fmt::format(", makes again and opens {:.0f} times in all", openings)
                           : std::string());
}

}  // namespace

std::vector<Figure> startFigures(const TracedStart& start)
{
    const StartTrace cycles = cycleTrace(start.trace, start.frequency_Hz);
    const std::vector<FigureBand> bands = contactBands(start.trace);
    const FigureAxis time{"time from switch-on", "s", Range{0, cycles.time_s.back()}};
    const std::string words = openingWords(start);
    std::vector<Figure> figures;
    figures.push_back({"start-volts",
                       "Volts through the start, rms of each cycle",
                       time,
                       {"volts", "V rms"},
                       curvesOf(cycles, {"start_winding_v", "run_winding_v", "start_capacitor_v"}),
                       bands,
                       {},
                       words});
    figures.push_back({"start-amps",
                       "Amps through the start, rms of each cycle",
                       time,
                       {"amps", "A rms"},
                       curvesOf(cycles, {"start_winding_a", "run_winding_a", "line_a"}),
                       bands,
                       {},
                       words});
    Figure speed{"start-speed",
                 "Speed through the start",
                 time,
                 {"speed", "% of synchronous"},
                 curvesOf(start.trace, {"speed_percent"}),
                 bands,
                 {},
                 words};
    const StartMeasurement& m = start.measured;
    if (m.startContactOpened_s) {
        speed.marks.push_back(
            {fmt::format("{} at {:.3f} s", hasContact(start) ? "opens" : "PTC has switched",
                         *m.startContactOpened_s),
             *m.startContactOpened_s, *m.speedAtOpening_ratio * 100});
    }
    figures.push_back(speed);
    if (cycles.find("ptc_degc") != nullptr) {
        figures.push_back({"start-ptc",
                           "Temperature of the PTC through the start",
                           time,
                           {"temperature", "degC"},
                           curvesOf(cycles, {"ptc_degc"}),
                           {},
                           {},
                           words});
    }
    return figures;
}

std::vector<ChartPanel> chartPanels(const StartTrace& trace)
{
    std::vector<ChartPanel> panels;
    const auto add = [&](const char* title, std::initializer_list<std::string_view> names) {
        ChartPanel panel{title, {}};
        for (const std::string_view name : names) {
            if (const TraceSignal* const signal = trace.find(name)) {
                panel.lines.push_back({signal, strokeOf(name)});
            }
        }
        if (!panel.lines.empty()) {
            panels.push_back(std::move(panel));
        }
    };
    add("Volts", {"start_winding_v", "run_winding_v", "start_capacitor_v"});
    add("Amps", {"start_winding_a", "run_winding_a", "line_a"});
    add(trace.find("start_contact") == nullptr
            ? "Speed in % of synchronous"
            : "Speed in % of synchronous, and the start contact (100: made, 0: open)",
        {"speed_percent", "start_contact"});
    add("Torque in N m", {"torque_nm", "load_torque_nm"});
    return panels;
}

std::vector<Figure> openingFigures(const TracedStart& start)
{
    constexpr double cyclesBefore = 4;
    constexpr double cyclesAfter = 5;
    const double cycle_s = 1 / start.frequency_Hz;
    const double middle_s = start.measured.startContactOpened_s.value_or(cyclesBefore * cycle_s);
    const double end_s = start.trace.time_s.back();
    const double from_s = std::max(0.0, middle_s - cyclesBefore * cycle_s);
    const Range shown{from_s, std::min(end_s, middle_s + cyclesAfter * cycle_s)};
    const FigureAxis time{"time from switch-on", "s", shown};
    const char* const where = !start.measured.startContactOpened_s ? "in the first cycles"
                              : hasContact(start) ? "around the opening of the start contact"
                                                  : "around the switching of the PTC";
    const std::vector<FigureBand> bands = contactBands(start.trace);
    // Only what is shown, so that its axis fits it.
    StartTrace part;
    const auto [low, high] = std::pair(
        std::lower_bound(start.trace.time_s.begin(), start.trace.time_s.end(), shown.minimum),
        std::upper_bound(start.trace.time_s.begin(), start.trace.time_s.end(), shown.maximum));
    const auto first = low - start.trace.time_s.begin();
    const auto last = high - start.trace.time_s.begin();
    part.time_s.assign(low, high);
    for (const TraceSignal& signal : start.trace.signals) {
        part.signals.push_back({signal.name,
                                signal.unit,
                                signal.meaning,
                                {signal.values.begin() + first, signal.values.begin() + last}});
    }
    return {{"opening-volts",
             fmt::format("Volts {}", where),
             time,
             {"volts", "V"},
             curvesOf(part, {"start_winding_v", "run_winding_v", "start_capacitor_v"}),
             bands,
             {},
             openingWords(start)},
            {"opening-amps",
             fmt::format("Amps {}", where),
             time,
             {"amps", "A"},
             curvesOf(part, {"start_winding_a", "run_winding_a", "line_a"}),
             bands,
             {},
             openingWords(start)}};
}

std::vector<Figure> speedFigures(const Case& input, const Evidence& evidence)
{
    const auto table =
        std::find_if(evidence.held.begin(), evidence.held.end(),
                     [](const HeldShaftTable& each) { return !isHot(each.winding_degC); });
    if (table == evidence.held.end()) {
        return {};
    }
    using Points = std::vector<HeldShaftMeasurement>;
    const auto curve = [](const std::string& name, const std::string& column, const Points& points,
                          auto quantity, Stroke stroke) {
        FigureCurve made{name, column, {}, {}, stroke};
        for (const HeldShaftMeasurement& point : points) {
            const std::optional<double> value = quantity(point);
            if (value) {
                made.x.push_back(100 * point.speed_ratio);
                made.y.push_back(*value);
            }
        }
        return made;
    };
    const FigureAxis speed{"speed, shaft held", "% of synchronous"};
    const bool leaves = !table->startCircuitOut.empty();
    const auto torque = [](const HeldShaftMeasurement& point) {
        return std::optional<double>(point.torque_Nm);
    };
    std::vector<Figure> figures;
    Figure torques{"torque-over-speed",
                   "Torque over speed, rated volts, cold windings",
                   speed,
                   {"mean torque", "N m"},
                   {curve(leaves ? "start circuit in" : "motor", "torque_in_nm",
                          table->startCircuitIn, torque, Stroke::solid)}};
    if (leaves) {
        torques.curves.push_back(curve("start circuit out", "torque_out_nm", table->startCircuitOut,
                                       torque, Stroke::dashed));
    }
    if (evidence.ratedTorque_Nm > 0) {
        FigureCurve load{"load at rated conditions, mean", "load_nm", {}, {}, Stroke::dotted};
        for (const double x : torques.curves.front().x) {
            load.x.push_back(x);
            load.y.push_back(evidence.ratedTorque_Nm);
        }
        torques.curves.push_back(load);
    }
    torques.words =
        fmt::format("At standstill {}{}.", withUnit(torques.curves.front().y.front(), "N m"),
                    leaves ? " with the start circuit in" : "");
    figures.push_back(torques);

    const auto* const potential = chosenPart<PotentialRelay>(input, &CircuitChoice::startDevice);
    const auto* const current = chosenPart<CurrentRelay>(input, &CircuitChoice::startDevice);
    Figure felt{"volts-over-speed",
                "S-C volts over speed, rated volts, cold windings",
                speed,
                {"volts", "V rms"},
                {}};
    const auto startWinding = [](const HeldShaftMeasurement& point) {
        return std::optional<double>(point.startWinding_V);
    };
    const auto coil = [](const HeldShaftMeasurement& point) { return point.coil_V; };
    // Most coils lie beside the start winding and have its volts.
    const bool coilIsBeside =
        std::all_of(table->startCircuitIn.begin(), table->startCircuitIn.end(),
                    [](const HeldShaftMeasurement& point) {
                        constexpr double same_ratio = 0.02;
                        return point.coil_V && std::abs(*point.coil_V - point.startWinding_V) <=
                                                   same_ratio * point.startWinding_V;
                    });
    const auto addFelt = [&](const Points& points, const char* suffix, const char* words,
                             Stroke ofWinding, Stroke ofCoil) {
        felt.curves.push_back(
            curve(fmt::format("{}{}", coilIsBeside ? "S-C and coil" : "S-C", words),
                  fmt::format("start_winding{}_v", suffix), points, startWinding, ofWinding));
        if (potential != nullptr && !coilIsBeside) {
            felt.curves.push_back(curve(fmt::format("relay coil{}", words),
                                        fmt::format("coil{}_v", suffix), points, coil, ofCoil));
        }
    };
    addFelt(table->startCircuitIn, leaves ? "_in" : "", leaves ? ", start circuit in" : "",
            Stroke::solid, Stroke::dotted);
    if (leaves) {
        addFelt(table->startCircuitOut, "_out", ", start circuit out", Stroke::dashed,
                Stroke::dashDotted);
    }
    if (potential != nullptr) {
        felt.bands.push_back({"picks up", potential->pickUp_V});
        felt.bands.push_back({"drops out", potential->dropOut_V});
        felt.words =
            "Where the coil's volts come into the upper band the relay opens the start circuit; "
            "with it out they have to stay above the lower band.";
    }
    figures.push_back(felt);
    if (current != nullptr) {
        const auto amps = [](const HeldShaftMeasurement& point) { return point.coil_A; };
        Figure amp{"amps-over-speed",
                   "Amps of the relay's coil over speed, rated volts, cold",
                   speed,
                   {"amps", "A rms"},
                   {}};
        amp.curves.push_back(curve("coil, start circuit in", "coil_in_a", table->startCircuitIn,
                                   amps, Stroke::solid));
        amp.curves.push_back(curve("coil, start circuit out", "coil_out_a", table->startCircuitOut,
                                   amps, Stroke::dashed));
        amp.bands.push_back({"pulls in", current->pullIn_A});
        amp.bands.push_back({"drops out", current->dropOut_A});
        amp.words = "The relay holds while its amps are above the lower band and lets go below it.";
        figures.push_back(amp);
    }
    return figures;
}

}  // namespace splitstart
