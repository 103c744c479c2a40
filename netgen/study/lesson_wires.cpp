// What one slip of wiring does.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <tuple>

#include "circuit/ohm_network.h"
#include "circuit/wire_mistakes.h"
#include "circuit/wiring_faults.h"
#include "circuit/wiring_plan.h"
#include "motor/winding_temperature.h"
#include "study/corners.h"
#include "study/found_start.h"
#include "study/held_shaft.h"
#include "study/lesson_kinds.h"
#include "study/lesson_runs.h"

namespace splitstart
{

namespace
{

constexpr std::size_t mostSlips = 10;  // without the short
constexpr StartEffort effort = {4e-4, 0.3, 0, 2.5};

struct Slip {
    std::string label;  // "right wiring", or the slip
    Circuit circuit;
    bool isShort = false;
    bool isDead = false;
    std::optional<std::size_t> run = {};  // of those that were simulated
};

bool isOf(const WireMistake& mistake, WireMistakeKind kind)
{
    return mistake.ways.front().kind == kind;
}

// The right wiring first; then wires on wrong pins, missing wires, exchanged ends and the rest, in
// turn, so that a few of each are shown; of wirings without any current one. A short at the end.
std::vector<Slip> slipsOf(const Circuit& right)
{
    const std::vector<WireMistake> mistakes = wireMistakes(right);
    constexpr std::array kinds = {std::pair(WireMistakeKind::exchangedPins, 5U),
                                  std::pair(WireMistakeKind::missingWire, 3U),
                                  std::pair(WireMistakeKind::exchangedTerminals, 2U),
                                  std::pair(WireMistakeKind::movedEnd, 4U)};
    std::vector<Slip> slips = {{"right wiring", right}};
    bool haveDead = false;
    for (const auto& [kind, most] : kinds) {
        unsigned taken = 0;
        for (const WireMistake& mistake : mistakes) {
            if (!isOf(mistake, kind) || taken == most || slips.size() > mostSlips) {
                continue;
            }
            const FoundWiringStudy found{mistake.circuit, {}, wiringFaults(mistake.circuit)};
            Slip slip{mistake.ways.front().text, mistake.circuit, isShort(found), isDead(found)};
            if (slip.isShort || (slip.isDead && haveDead)) {
                continue;
            }
            haveDead = haveDead || slip.isDead;
            slips.push_back(std::move(slip));
            ++taken;
        }
    }
    const auto isShorted = [](const WireMistake& mistake) {
        return isShort({mistake.circuit, {}, wiringFaults(mistake.circuit)});
    };
    const auto shorted = std::find_if(mistakes.begin(), mistakes.end(), isShorted);
    if (shorted != mistakes.end()) {
        slips.push_back({shorted->ways.front().text, shorted->circuit, true});
    }
    return slips;
}

std::optional<double> shortest_s(const std::optional<HeatingTime>& time)
{
    return time ? std::optional(time->thin_s) : std::nullopt;
}

constexpr const char* quiet = "it stays quiet";

// `right_A`: that the right wiring draws in the second cycle.
std::string slipSays(const WiredStart& start, double right_A, bool isWrong)
{
    const StartMeasurement& measured = start.measured;
    if (start.starts()) {
        std::string text = fmt::format("It starts, in {:.2f} s", *measured.timeToSpeed_s);
        text += isWrong ? fmt::format("; {}.", startsThoughWrong) : std::string(".");
        if (measured.startContactAtEnd.value_or(0) > 0.5) {
            text += " The start contact stays closed.";
        }
        return text + heatSays(start);
    }
    // The coil of a relay or a bleed resistor may still draw a little.
    constexpr double quiet_ratio = 0.04;
    if (std::max(measured.lineStalled_A.value_or(0), measured.lineRunning_A.value_or(0)) <
        quiet_ratio * right_A) {
        return fmt::format("Next to no current flows: {}.", quiet);
    }
    const double end_ratio = measured.speedAtEnd_ratio.value_or(0);
    const std::string text =
        start.turnsBackwards() ? std::string("It turns the wrong way round.")
        : std::abs(end_ratio) < 0.1
            ? std::string("It does not start: it hums.")
            : fmt::format("It turns, but does not get up to speed: {:.0f} % at the end of the run.",
                          100 * end_ratio);
    return text + heatSays(start);
}

// Ohms between those ends with the supply off and every wire on, windings at 25 degC.
class ColdOhms
{
public:
    explicit ColdOhms(const LessonBench& bench)
        : input_(bench.input),
          plan_(wiringPlan(bench.circuit)),
          supply_(bench.circuit.find(PartKind::supply)->id)
    {
        const EquivalentCircuit& motor = bench.motor.motor.circuit;
        const auto cold_ohm = [&motor](double ohm) {
            return resistanceAt_ohm(ohm, motor.resistanceTemperature_degC, coldWinding_degC);
        };
        windings_ = {cold_ohm(motor.main_ohm), cold_ohm(motor.auxiliary_ohm)};
    }

    [[nodiscard]] std::optional<double> acrossSupply(const Circuit& circuit) const
    {
        return between(circuit, {supply_, "L1"}, {supply_, "L2"});
    }
    [[nodiscard]] std::optional<double> runToCommon(const Circuit& circuit) const
    {
        return between(circuit, plan_.runEnd, plan_.commonEnd);
    }
    [[nodiscard]] std::optional<double> startToCommon(const Circuit& circuit) const
    {
        return between(circuit, plan_.startEnd, plan_.commonEnd);
    }

    // "start-capacitor.A to thermostat.2": where those three are read.
    [[nodiscard]] std::string supplyEnds() const { return ends({supply_, "L1"}, {supply_, "L2"}); }
    [[nodiscard]] std::string runEnds() const { return ends(plan_.runEnd, plan_.commonEnd); }
    [[nodiscard]] std::string startEnds() const { return ends(plan_.startEnd, plan_.commonEnd); }

    // Under which conditions they are read, in a sentence.
    [[nodiscard]] static std::string conditions(const Circuit& circuit)
    {
        return fmt::format(
            "an ohmmeter is put on with the supply locked out and tagged, capacitors discharged, "
            "every wire on and the thermostat closed{}; what the meter's leads show by themselves "
            "is taken off",
            pressedIn(circuit));
    }

    // Which reading of these two circuits differs first, in a sentence.
    [[nodiscard]] std::string tells(const Circuit& wrong, const Circuit& right) const
    {
        const auto text = [](const std::optional<double>& ohm) {
            constexpr double wires_ohm = 0.01;
            return !ohm               ? std::string("open")
                   : *ohm < wires_ohm ? std::string("0 ohm")
                   : *ohm < 100       ? fmt::format("{:.3g} ohm", *ohm)
                                      : fmt::format("{:.0f} ohm", *ohm);
        };
        const std::array readings = {
            std::tuple(runEnds() + " (far ends of the wires meant for R and C)", runToCommon(wrong),
                       runToCommon(right)),
            std::tuple(startEnds() + " (far ends of the wires meant for S and C)",
                       startToCommon(wrong), startToCommon(right)),
            std::tuple(supplyEnds(), acrossSupply(wrong), acrossSupply(right))};
        for (const auto& [ends, found, wanted] : readings) {
            if (text(found) != text(wanted)) {
                return fmt::format(
                    " Supply locked out and tagged, capacitors discharged, thermostat closed{}: an "
                    "ohmmeter, its leads' own ohms taken off, shows {} in place of {} from {}.",
                    pressedIn(wrong), text(found), text(wanted), ends);
            }
        }
        return " None of the three ohmmeter readings tells it from the right wiring.";
    }

private:
    [[nodiscard]] std::optional<double> between(const Circuit& circuit, const Terminal& a,
                                                const Terminal& b) const
    {
        const double ohm = ohmsBetween(circuit, branchesAtRest(input_, circuit, windings_), a, b);
        return std::isfinite(ohm) ? std::optional(ohm) : std::nullopt;
    }

    static std::string ends(const Terminal& from, const Terminal& to)
    {
        return fmt::format("{} to {}", terminalText(from), terminalText(to));
    }
    static const char* pressedIn(const Circuit& circuit)
    {
        return circuit.find(PartKind::contactor) != nullptr ? ", contactor pressed in by hand" : "";
    }

    const Case& input_;
    WiringPlan plan_;
    std::string supply_;
    WindingOhms windings_;
};

}  // namespace

Lesson swappedWireLesson(const Case& input, SimulatorPool& pool)
{
    const LessonBench bench = lessonBench(input, pool);
    std::vector<Slip> slips = slipsOf(bench.circuit);
    const ColdOhms cold(bench);
    Lesson lesson = begunLesson("swapped-wire", bench);
    lesson.varies = "wiring";
    lesson.standard = 0;
    lesson.columns = {
        {"starts", "gets up to speed (1 yes, 0 no)", "", LessonSource::run},
        {"seconds_to_speed", "time to 90 % speed", "s", LessonSource::run},
        {"speed_at_end_percent", "speed at the end of the run", "% of synchronous",
         LessonSource::run},
        {"line_stalled_a", "line, second cycle", "A", LessonSource::run},
        {"of_right_amps", "over that of the right wiring", "", LessonSource::computed},
        {"line_at_end_a", "line at the end of the run", "A", LessonSource::run},
        {"main_hot_s", "run winding 150 degC after, at the soonest", "s", LessonSource::computed},
        {"auxiliary_hot_s", "start winding 150 degC after, at the soonest", "s",
         LessonSource::computed},
        {"protector_opens_s", "protector opens after, at the soonest", "s", LessonSource::computed},
        {"run_to_common_ohm", "ohmmeter, wires meant for R and C: " + cold.runEnds(), "ohm",
         LessonSource::resistances},
        {"start_to_common_ohm", "ohmmeter, wires meant for S and C: " + cold.startEnds(), "ohm",
         LessonSource::resistances},
        {"across_supply_ohm", "ohmmeter, supply locked out: " + cold.supplyEnds(), "ohm",
         LessonSource::resistances},
    };
    std::vector<Circuit> circuits;
    for (Slip& slip : slips) {
        if (!slip.isShort && !slip.isDead) {
            slip.run = circuits.size();
            circuits.push_back(simulable(slip.circuit).circuit);
        }
    }
    // What the comparison is made with.
    circuits.push_back(runWindingAlone(bench.circuit));
    const std::vector<WiredOutcome> outcomes =
        wiredStarts(bench.input, bench.motor, bench.circuit, circuits, pool, effort);
    if (const auto* error = std::get_if<SimulationError>(&outcomes.front())) {
        throw *error;
    }
    const double right_A =
        std::get<WiredStart>(outcomes.front()).measured.lineStalled_A.value_or(0);
    for (std::size_t i = 0; i < slips.size(); ++i) {
        const Slip& slip = slips[i];
        LessonPosition position;
        position.value = static_cast<double>(i);
        position.label = slip.label;
        position.wiring = slip.circuit;
        position.isRun = false;
        position.numbers.assign(lesson.columns.size(), std::nullopt);
        const auto set = [&](std::string_view column, const std::optional<double>& value) {
            for (std::size_t k = 0; k < lesson.columns.size(); ++k) {
                if (lesson.columns[k].name == column) {
                    position.numbers[k] = value;
                }
            }
        };
        set("run_to_common_ohm", cold.runToCommon(slip.circuit));
        set("start_to_common_ohm", cold.startToCommon(slip.circuit));
        set("across_supply_ohm", cold.acrossSupply(slip.circuit));
        const std::string byMeter = i == 0 ? "" : cold.tells(slip.circuit, bench.circuit);
        if (slip.isShort) {
            position.says =
                "Line to line without any winding between: nothing to simulate. Never switch it "
                "on.";
        } else if (slip.isDead) {
            position.says = fmt::format("No current flows in the compressor at all: {}.", quiet);
        } else if (const auto* start = std::get_if<WiredStart>(&outcomes[*slip.run])) {
            const StartMeasurement& measured = start->measured;
            position.says = slipSays(*start, right_A, i > 0);
            position.isRun = true;
            set("starts", start->starts() ? 1 : 0);
            set("seconds_to_speed", measured.timeToSpeed_s);
            if (measured.speedAtEnd_ratio) {
                set("speed_at_end_percent", 100 * *measured.speedAtEnd_ratio);
            }
            set("line_stalled_a", measured.lineStalled_A);
            if (measured.lineStalled_A && right_A > 0) {
                set("of_right_amps", *measured.lineStalled_A / right_A);
            }
            set("line_at_end_a", measured.lineRunning_A);
            set("main_hot_s", shortest_s(start->main));
            set("auxiliary_hot_s", shortest_s(start->auxiliary));
            if (start->protectorOpens_s && std::isfinite(start->protectorOpens_s->minimum) &&
                !start->starts()) {
                set("protector_opens_s", start->protectorOpens_s->minimum);
            }
            lesson.decks.push_back({fmt::format("wiring-{}.cir", i), slip.label,
                                    bench.startDeck(bench.input, circuits[*slip.run], {}, 1.0,
                                                    "the wiring; this is: " + slip.label)});
        } else {
            position.says = "ngspice could not follow this one to its end.";
        }
        position.says += byMeter;
        lesson.positions.push_back(std::move(position));
    }
    if (const auto* alone = std::get_if<WiredStart>(&outcomes.back())) {
        lesson.comparisons = {{"run winding amps at standstill, start lead off", "A",
                               alone->measured.lineStalled_A.value_or(0),
                               bench.textbook()
                                   .singlePhase(ratedVoltage_V(bench.input), bench.source_ohm(), 0)
                                   .main_A}};
    }
    lesson.notes.emplace_back(
        "shown is a choice of single slips; `splitstart diagnose` weighs all of them. Times to 150 "
        "degC are for wire as thin as it may be");
    lesson.notes.push_back(cold.conditions(bench.circuit));
    return lesson;
}

}  // namespace splitstart
