// The lessons that move the start capacitor: at standstill, and through whole starts.
#include <fmt/format.h>

#include <array>
#include <cmath>
#include <numbers>

#include "circuit/case_circuit.h"
#include "study/held_shaft.h"
#include "study/lesson_kinds.h"
#include "study/lesson_runs.h"
#include "study/start_runs.h"

namespace splitstart
{

namespace
{

// Of the case's own capacitance: from far too small to far too large.
constexpr std::array<double, 13> sizes_ratio = {0.05, 0.1, 0.2, 0.35, 0.5, 0.75, 1,
                                                1.3,  1.7, 2.2, 3,    4.5, 7};
constexpr std::size_t ownSize = 6;

constexpr const char* movedCapacitor =
    ".param start_capacitor_farads, and start_capacitor_series_ohms with it, the same dissipation "
    "factor: ohms = factor / (2 pi hertz farads)";

void requireStartCapacitor(const Case& input, const char* lesson)
{
    if (input.circuit && startCapacitor_F(input) <= 0) {
        refuseLesson(input, lesson, "circuit/start-capacitor", {},
                     "a start capacitor, whose size it moves; circuits of the types CSIR and CSCR "
                     "have one");
    }
}

// The circuit at standstill with the start contact made, at each size of the capacitor.
struct Locked {
    std::vector<SimulationModel> models;
    std::vector<SimulationRequest> requests;
};

RunSetting locked()
{
    return {StartContact::heldClosed, 0.0};
}

Locked lockedRuns(const LessonBench& bench)
{
    Locked result;
    const double own_F = startCapacitor_F(bench.input);
    for (const double size : sizes_ratio) {
        result.models.push_back(
            bench.model(withStartCapacitor(bench.input, size * own_F), bench.circuit, locked()));
        result.requests.push_back(heldShaftRequest(result.models.back(), {0.0}));
    }
    return result;
}

constexpr const char* givenAmps = "the run's amps and angle";

// By the torque against the top of this curve: an angle alone says nothing of a capacitor.
std::string phaseShiftSays(const Lesson& lesson, std::size_t position, double beside_F)
{
    const std::size_t top = lesson.largest("torque_nm");
    const double torque_Nm = *lesson.number(position, "torque_nm");
    const double top_Nm = *lesson.number(top, "torque_nm");
    const char* const where = position < top   ? "below the top of the torque"
                              : position > top ? "past the top of the torque"
                                               : "at the top of the torque, of the sizes shown";
    std::string text = fmt::format(
        "The start current leads the run current by {:.0f} degrees; the torque is {}: {}.",
        *lesson.number(position, "angle_deg"),
        position == top
            ? fmt::format("{:.3g} N m", torque_Nm)
            : fmt::format("{:.3g} N m, {:.0f} % of the most", torque_Nm, 100 * torque_Nm / top_Nm),
        where);
    if (beside_F > 0) {
        text += fmt::format(" A run capacitor of {} lies beside it.", microfaradText(beside_F));
    }
    return text;
}

}  // namespace

Lesson phaseShiftLesson(const Case& input, SimulatorPool& pool)
{
    requireStartCapacitor(input, "phase-shift");
    const LessonBench bench = lessonBench(input, pool);
    const TextbookMotor book = bench.textbook();
    Lesson lesson = begunLesson("phase-shift", bench);
    lesson.varies = "start capacitor";
    lesson.unit = "uF";
    lesson.standard = ownSize;
    lesson.columns = {
        {"torque_nm", "torque at standstill", "N m", LessonSource::run},
        {"formula_torque_nm", "the same by the formula, from the run's amps", "N m",
         LessonSource::formula},
        {"angle_deg", "start current ahead of run current", "degrees", LessonSource::run},
        {"main_a", "run winding", "A", LessonSource::run},
        {"auxiliary_a", "start winding", "A", LessonSource::run},
        {"line_a", "line", "A", LessonSource::run},
        {"torque_per_amp2", "torque over the product of the currents", "N m/A2",
         LessonSource::computed},
        {"start_capacitor_v", "start capacitor", "V", LessonSource::run},
    };
    const Locked runs = lockedRuns(bench);
    const std::vector<Waveforms> waveforms = runLesson(runs.requests, pool);
    for (std::size_t i = 0; i < waveforms.size(); ++i) {
        const HeldShaftMeasurement at = measureHeldShaft(runs.models[i], waveforms[i]);
        const HeldShaftPhasors phasors = heldShaftPhasors(runs.models[i], waveforms[i]);
        const double capacitance_F = sizes_ratio.at(i) * startCapacitor_F(input);
        const double formula_Nm = book.startingTorque_Nm(
            at.main_A, at.auxiliary_A, at.currentAngle_deg * std::numbers::pi / 180);
        LessonPosition position;
        position.value = capacitance_F * 1e6;
        position.label = microfaradText(capacitance_F);
        position.numbers = {at.torque_Nm,
                            formula_Nm,
                            at.currentAngle_deg,
                            at.main_A,
                            at.auxiliary_A,
                            at.line_A,
                            at.torque_Nm / (at.main_A * at.auxiliary_A),
                            at.startCapacitor_V};
        position.phasors = {
            phasorOf("line_v", "line volts", "V", phasors.terminal_V),
            phasorOf("main_a", "run current", "A", phasors.main_A),
            phasorOf("auxiliary_a", "start current", "A", phasors.auxiliary_A),
            phasorOf("line_a", "line current", "A", phasors.line_A),
        };
        lesson.positions.push_back(std::move(position));
    }
    for (std::size_t i = 0; i < lesson.positions.size(); ++i) {
        lesson.positions[i].says = phaseShiftSays(lesson, i, runCapacitor_F(input));
    }
    lesson.charts = {
        {"torque",
         "Torque at standstill",
         "start capacitor",
         "uF",
         "torque",
         "N m",
         {overPositions(lesson, "ngspice run", "torque_nm"),
          overPositions(lesson, "textbook formula", "formula_torque_nm")}},
        {"angle",
         "Angle between the winding currents",
         "start capacitor",
         "uF",
         "angle",
         "degrees",
         {overPositions(lesson, "start current ahead", "angle_deg")},
         {{"about a quarter of a cycle", {80, 100}}}},
    };
    markPositions(lesson, {"torque_nm", "angle_deg"});
    for (const std::size_t i : {ownSize, lesson.largest("torque_nm")}) {
        lesson.comparisons.push_back({"torque at standstill, " + lesson.positions[i].label, "N m",
                                      *lesson.number(i, "torque_nm"),
                                      *lesson.number(i, "formula_torque_nm"), givenAmps});
    }
    if (lesson.largest("torque_nm") == ownSize) {
        lesson.comparisons.pop_back();
    }
    lesson.decks = {{"phase-shift.cir", "The motor at standstill with its start capacitor",
                     bench.heldDeck(bench.input, bench.circuit, locked(), movedCapacitor)}};
    return lesson;
}

namespace
{

// Where the torque over the size has its top: the parabola through three points over the logarithm.
// Empty where it still rises at the last size, or falls from the first.
std::optional<double> topOfTorque_F(const Lesson& lesson)
{
    const std::size_t top = lesson.largest("locked_torque_nm");
    if (top == 0 || top + 1 == lesson.positions.size()) {
        return std::nullopt;
    }
    std::array<double, 3> x{};
    std::array<double, 3> y{};
    for (std::size_t i = 0; i < 3; ++i) {
        x.at(i) = std::log(lesson.positions[top + i - 1].value);
        y.at(i) = *lesson.number(top + i - 1, "locked_torque_nm");
    }
    const double left = (y[1] - y[0]) / (x[1] - x[0]);
    const double right = (y[2] - y[1]) / (x[2] - x[1]);
    const double bend = (right - left) / (x[2] - x[0]);
    return std::exp(0.5 * (x[0] + x[1]) - 0.5 * left / bend) * 1e-6;
}

std::string sizeOutcome(const WiredStart& start)
{
    const StartMeasurement& measured = start.measured;
    if (start.starts()) {
        return fmt::format("Up to speed in {:.2f} s.", *measured.timeToSpeed_s);
    }
    constexpr double turning_ratio = 0.1;
    const double end_ratio = measured.speedAtEnd_ratio.value_or(0);
    return std::abs(end_ratio) < turning_ratio
               ? std::string("It does not turn: it hums, at standstill amps.")
               : fmt::format("It turns, but is at {:.0f} % speed after {:.1f} s.", 100 * end_ratio,
                             *measured.end_s);
}

std::string contactSays(const StartMeasurement& measured, const Lesson& lesson)
{
    if (!measured.startContactAtEnd || !lesson.startDevice) {
        return "";
    }
    if (!measured.startContactOpened_s) {
        return *measured.startContactAtEnd > 0.5
                   ? " The start contact does not open: the start capacitor, which is made for "
                     "seconds (common practice, no source), stays in."
                   : " The start contact never closes.";
    }
    // A start circuit that leaves in the lower half of the speed has not done its work.
    constexpr double early_ratio = 0.5;
    const double openings = measured.startContactOpenings.value_or(1);
    const bool isEarly =
        measured.speedAtOpening_ratio && *measured.speedAtOpening_ratio < early_ratio;
    if (!isEarly && openings < 2) {
        return "";
    }
    const std::string leaves =
        fmt::format(" The {} takes the start circuit out at {:.0f} % speed{}",
                    partKindInfo(*lesson.startDevice).words,
                    100 * measured.speedAtOpening_ratio.value_or(0), isEarly ? " already" : "");
    if (openings > 1) {
        return fmt::format("{} and puts it in again: it opens {:.0f} times.", leaves, openings);
    }
    return fmt::format("{}; from then on {}.", leaves,
                       lesson.hasRunCapacitor ? "the run capacitor alone helps the motor"
                                              : "the motor is on its run winding alone");
}

std::string capacitorSizeSays(const WiredStart& start, const StartCapacitor& capacitor,
                              const Lesson& lesson)
{
    std::string text = sizeOutcome(start) + contactSays(start.measured, lesson);
    const double worst_V = start.measured.startCapacitorWorst_V.value_or(0);
    if (worst_V > capacitor.rated_V) {
        text += fmt::format(" The capacitor stands {:.0f} V, more than its {:.0f} V.", worst_V,
                            capacitor.rated_V);
    }
    return text + heatSays(start);
}

}  // namespace

Lesson capacitorSizeLesson(const Case& input, SimulatorPool& pool)
{
    requireStartCapacitor(input, "capacitor-size");
    const LessonBench bench = lessonBench(input, pool);
    const auto& capacitor = *chosenPart<StartCapacitor>(input, &CircuitChoice::startCapacitor);
    Lesson lesson = begunLesson("capacitor-size", bench);
    lesson.varies = "start capacitor";
    lesson.unit = "uF";
    lesson.standard = ownSize;
    lesson.columns = {
        {"starts", "gets up to speed (1 yes, 0 no)", "", LessonSource::run},
        {"seconds_to_speed", "time to 90 % speed", "s", LessonSource::run},
        {"end_speed_percent", "speed at the end of the run", "% of synchronous", LessonSource::run},
        {"locked_torque_nm", "torque at standstill", "N m", LessonSource::run},
        {"line_stalled_a", "line at standstill", "A", LessonSource::run},
        {"start_capacitor_worst_v", "start capacitor, worst cycle", "V", LessonSource::run},
        {"of_rated_volts_percent", "of its rated volts", "%", LessonSource::computed},
        {"contact_opens_s", "start contact opens at", "s", LessonSource::run},
        {"speed_at_opening_percent", "speed then", "%", LessonSource::run},
        {"main_hot_s", "run winding 150 degC after, at the soonest", "s", LessonSource::computed},
        {"auxiliary_hot_s", "start winding 150 degC after, at the soonest", "s",
         LessonSource::computed},
        {"protector_opens_s", "protector opens after, at the soonest", "s", LessonSource::computed},
    };
    Locked runs = lockedRuns(bench);
    std::vector<SimulationModel> started;
    const LessonStart effort{2.0 + startDeviceTime_s(input), 3e-4, 0.3 + startDeviceTime_s(input)};
    for (const double size : sizes_ratio) {
        started.push_back(bench.model(
            withStartCapacitor(bench.input, size * startCapacitor_F(input)), bench.circuit, {}));
        runs.requests.push_back(lessonStartRequest(started.back(), effort));
    }
    const std::vector<Waveforms> waveforms = runLesson(runs.requests, pool);
    const WindingWires wires = windingWires(bench.input, bench.motor, bench.circuit, pool);
    for (std::size_t i = 0; i < started.size(); ++i) {
        const HeldShaftMeasurement at = measureHeldShaft(runs.models[i], waveforms[i]);
        const Waveforms& run = waveforms[started.size() + i];
        const WiredStart judged = judgedStart(bench.input, measureStart(started[i], run), wires);
        const StartMeasurement& start = judged.measured;
        const double capacitance_F = sizes_ratio.at(i) * startCapacitor_F(input);
        if (i == ownSize) {
            lesson.comparisons.push_back(
                {"torque at standstill, " + microfaradText(capacitance_F), "N m", at.torque_Nm,
                 bench.textbook().startingTorque_Nm(at.main_A, at.auxiliary_A,
                                                    at.currentAngle_deg * std::numbers::pi / 180),
                 givenAmps});
        }
        LessonPosition position;
        position.value = capacitance_F * 1e6;
        position.label = microfaradText(capacitance_F);
        position.says = capacitorSizeSays(judged, capacitor, lesson);
        const auto percent = [](const std::optional<double>& ratio) {
            return ratio ? std::optional(100 * *ratio) : std::nullopt;
        };
        const std::optional<Range>& protector_s = judged.protectorOpens_s;
        const bool opens = protector_s && std::isfinite(protector_s->minimum) && !judged.endsWell();
        position.numbers = {
            start.timeToSpeed_s ? 1 : 0,
            start.timeToSpeed_s,
            percent(start.speedAtEnd_ratio),
            at.torque_Nm,
            at.line_A,
            start.startCapacitorWorst_V,
            start.startCapacitorWorst_V
                ? std::optional(100 * *start.startCapacitorWorst_V / capacitor.rated_V)
                : std::nullopt,
            start.startContactOpened_s,
            percent(start.speedAtOpening_ratio),
            judged.main ? std::optional(judged.main->thin_s) : std::nullopt,
            judged.auxiliary ? std::optional(judged.auxiliary->thin_s) : std::nullopt,
            opens ? std::optional(protector_s->minimum) : std::nullopt};
        LessonChart speed{"speed",
                          "Speed through the start",
                          "time",
                          "s",
                          "speed",
                          "% of synchronous",
                          {thinned(StartColumns(started[i], run).signal("speed"), "speed",
                                   "speed_percent", 100 / bench.synchronous_rad_s())}};
        if (start.startContactOpened_s && start.speedAtOpening_ratio) {
            speed.marks.push_back({"start contact opens", *start.startContactOpened_s,
                                   100 * *start.speedAtOpening_ratio});
        }
        position.charts.push_back(std::move(speed));
        lesson.positions.push_back(std::move(position));
    }
    lesson.charts = {
        {"locked-torque",
         "Torque at standstill",
         "start capacitor",
         "uF",
         "torque",
         "N m",
         {overPositions(lesson, "torque at standstill", "locked_torque_nm")}},
        {"capacitor-volts",
         "Volts on the start capacitor, worst cycle",
         "start capacitor",
         "uF",
         "volts",
         "V",
         {overPositions(lesson, "start capacitor", "start_capacitor_worst_v")},
         {{"above its rating",
           {capacitor.rated_V,
            std::max(
                1.2 * capacitor.rated_V,
                lesson.number(lesson.largest("start_capacitor_worst_v"), "start_capacitor_worst_v")
                    .value())}}}},
    };
    markPositions(lesson, {"locked_torque_nm", "start_capacitor_worst_v"});
    if (const std::optional<double> best_F = topOfTorque_F(lesson)) {
        // A run capacitor beside it is a part of what the formula asks for.
        const double formula_F =
            bench.textbook().greatestTorque_F(capacitor.dissipationFactor) - runCapacitor_F(input);
        lesson.comparisons.insert(
            lesson.comparisons.begin(),
            {"capacitor for the most torque at standstill", "uF", *best_F * 1e6, formula_F * 1e6});
        lesson.notes.emplace_back(
            "the size with the most torque is the top of a parabola through the three runs nearest "
            "to it; the formula takes the line as stiff, and nothing but capacitors in the start "
            "lead");
    }
    lesson.decks = {{"capacitor-size.cir", "One whole start with the case's own start capacitor",
                     bench.startDeck(bench.input, bench.circuit, {}, 1.5, movedCapacitor)}};
    return lesson;
}

}  // namespace splitstart
