// Capacitor run against induction run, under load.
#include <fmt/format.h>

#include <array>
#include <cmath>
#include <complex>
#include <numbers>

#include "circuit/case_circuit.h"
#include "study/held_shaft.h"
#include "study/lesson_kinds.h"
#include "study/lesson_runs.h"

namespace splitstart
{

namespace
{

// Of the case's own capacitance; 0 is the induction run, start winding open.
constexpr std::array<double, 13> sizes_ratio = {0,   0.15, 0.3, 0.45, 0.6, 0.7, 0.8,
                                                0.9, 1,    1.2, 1.4,  1.7, 2};
constexpr std::size_t ownSize = 8;
constexpr double begunAt_ratio = 0.95;  // spun up, so that nothing but the running counts
constexpr double watched_s = 1.6;
constexpr double step_s = 2e-4;
// Whole cycles of the line at the end, over which everything is measured.
constexpr int cyclesMeasured = 12;

struct Running {
    double speed_ratio = 0;
    double shaft_W = 0;
    double line_W = 0;
    double line_V = 0;
    double line_A = 0;
    double torque_Nm = 0;
    double pulsation_Nm = 0;  // amplitude at twice line frequency
    double capacitor_V = 0;
    std::complex<double> line_phasor_V;
    std::complex<double> main_A;
    std::complex<double> auxiliary_A;
    [[nodiscard]] double efficiency_percent() const { return 100 * shaft_W / line_W; }
    [[nodiscard]] double powerFactor() const { return line_W / (line_V * line_A); }
};

std::vector<double> product(const Signal& a, const Signal& b)
{
    std::vector<double> result(a.value.begin(), a.value.end());
    for (std::size_t i = 0; i < result.size(); ++i) {
        result[i] *= b.value[i];
    }
    return result;
}

Running runningOf(const SimulationModel& model, const Waveforms& run)
{
    const double to_s = run.time_s.back();
    const double from_s = to_s - cyclesMeasured / model.frequency_Hz;
    const StartColumns columns(model, run);
    const auto meanOf = [&](const std::vector<double>& values) {
        return mean({run.time_s, values}, from_s, to_s);
    };
    const Signal line = columns.signal(columns.names().line());
    const Signal torque = columns.signal("torque");
    const SubcircuitInstance& supply = model.instance("supply");
    const std::vector<double> line_V =
        columns.between(supply.nodeOfPort.at("l1"), supply.nodeOfPort.at("l2"));
    const Signal volts = columns.signal(line_V);
    const auto phasor = [&](const Signal& signal) {
        return fourierPhasor(signal, from_s, to_s, model.frequency_Hz);
    };
    Running result;
    result.speed_ratio = mean(columns.signal("speed"), from_s, to_s) / model.synchronousSpeed_rad_s;
    result.shaft_W = meanOf(product(columns.signal("load_torque"), columns.signal("speed")));
    // The supply's ammeter counts into the source.
    result.line_W = -meanOf(product(volts, line));
    result.line_V = rms(volts, from_s, to_s);
    result.line_A = rms(line, from_s, to_s);
    result.torque_Nm = mean(torque, from_s, to_s);
    result.pulsation_Nm =
        std::numbers::sqrt2 * std::abs(fourierPhasor(torque, from_s, to_s, 2 * model.frequency_Hz));
    result.line_phasor_V = phasor(volts);
    result.main_A = phasor(columns.signal(columns.names().main));
    result.auxiliary_A = phasor(columns.signal(columns.names().auxiliary));
    for (const SubcircuitInstance& instance : model.instances) {
        if (instance.name == "run_capacitor") {
            const std::vector<double> across = columns.across(instance);
            result.capacitor_V = rms(columns.signal(across), from_s, to_s);
        }
    }
    return result;
}

std::string runSays(const Running& at, bool induction)
{
    if (at.speed_ratio < 0.5) {
        return "It does not carry this load: it falls back below half speed.";
    }
    return fmt::format(
        "{}: {:.1f} % efficiency; the torque swings by {:.2f} N m either way about its "
        "mean of {:.2f} N m, twice in each cycle of the line.",
        induction ? "Induction run, start winding open" : "Capacitor run", at.efficiency_percent(),
        at.pulsation_Nm, at.torque_Nm);
}

// The last two cycles, from 0 s.
LessonCurve lastCycles(const Signal& signal, const char* name, const char* column,
                       double frequency_Hz)
{
    LessonCurve curve{name, column};
    constexpr int points = 96;
    const double length_s = 2 / frequency_Hz;
    const double from_s = signal.time_s.back() - length_s;
    for (int i = 0; i <= points; ++i) {
        const double after_s = length_s * i / points;
        curve.x.push_back(1000 * after_s);
        curve.y.push_back(valueAt(signal, from_s + after_s));
    }
    return curve;
}

// The same case with a smooth load, at running pressures from the first turn.
Case smoothlyLoaded(const Case& input)
{
    Case result = input;
    result.compressor.load.kind = LoadKind::steady;
    result.compressor.load.pressures = Pressures::unequalised;
    return result;
}

}  // namespace

Lesson runCapacitorLesson(const Case& input, SimulatorPool& pool)
{
    const double own_F = runCapacitor_F(input);
    if (input.circuit && own_F <= 0) {
        refuseLesson(input, "run-capacitor", "circuit/run-capacitor", {},
                     "a run capacitor, whose size it moves; circuits of the types PSC, CSCR and "
                     "RSCR have one");
    }
    LessonBench bench = lessonBench(input, pool);
    if (bench.ratedTorque_Nm() <= 0 || input.compressor.load.kind == LoadKind::none) {
        refuseLesson(input, "run-capacitor", "compressor/load", "none",
                     "a load, since a motor that idles shows neither efficiency nor slip");
    }
    bench.input = smoothlyLoaded(bench.input);
    const Circuit alone = runWindingAlone(bench.circuit);
    const TextbookMotor book = bench.textbook();
    Lesson lesson = begunLesson("run-capacitor", bench);
    lesson.varies = "run capacitor";
    lesson.unit = "uF";
    lesson.standard = ownSize;
    lesson.columns = {
        {"efficiency_percent", "efficiency", "%", LessonSource::run},
        {"power_factor", "power factor", "", LessonSource::run},
        {"torque_nm", "torque, mean", "N m", LessonSource::run},
        {"pulsation_nm", "torque swing at twice line frequency, amplitude", "N m",
         LessonSource::run},
        {"formula_pulsation_nm", "the same by the formula, from the run's amps", "N m",
         LessonSource::formula},
        {"speed_percent", "speed", "% of synchronous", LessonSource::run},
        {"line_a", "line", "A", LessonSource::run},
        {"line_w", "line", "W", LessonSource::run},
        {"main_a", "run winding", "A", LessonSource::run},
        {"auxiliary_a", "start winding", "A", LessonSource::run},
        {"run_capacitor_v", "run capacitor", "V", LessonSource::run},
    };
    RunSetting setting;
    setting.contact = StartContact::heldOpen;
    setting.initialSpeed_rad_s = begunAt_ratio * bench.synchronous_rad_s();
    std::vector<SimulationModel> models;
    std::vector<SimulationRequest> requests;
    for (const double size : sizes_ratio) {
        models.push_back(size > 0 ? bench.model(withRunCapacitor(bench.input, size * own_F),
                                                bench.circuit, setting)
                                  : bench.model(bench.input, alone, setting));
        requests.push_back(lessonStartRequest(models.back(), {watched_s, step_s, 0}));
    }
    const std::vector<Waveforms> waveforms = runLesson(requests, pool);
    for (std::size_t i = 0; i < models.size(); ++i) {
        const Running at = runningOf(models[i], waveforms[i]);
        const double capacitance_F = sizes_ratio.at(i) * own_F;
        const bool induction = capacitance_F <= 0;
        LessonPosition position;
        position.value = capacitance_F * 1e6;
        position.label = induction ? "none (induction run)" : microfaradText(capacitance_F);
        position.says = runSays(at, induction);
        position.numbers = {
            at.efficiency_percent(),
            at.powerFactor(),
            at.torque_Nm,
            at.pulsation_Nm,
            book.pulsation_Nm(at.main_A, at.auxiliary_A, at.speed_ratio),
            100 * at.speed_ratio,
            at.line_A,
            at.line_W,
            std::abs(at.main_A),
            std::abs(at.auxiliary_A),
            induction ? std::nullopt : std::optional(at.capacitor_V),
        };
        position.phasors = {phasorOf("line_v", "line volts", "V", at.line_phasor_V),
                            phasorOf("main_a", "run current", "A", at.main_A),
                            phasorOf("auxiliary_a", "start current", "A", at.auxiliary_A)};
        position.fields = {
            "winding amps that turn forward and backward, run winding's turns, worked out from the "
            "run's winding currents",
            "A", std::abs(book.forward_A(at.main_A, at.auxiliary_A)),
            std::abs(book.backward_A(at.main_A, at.auxiliary_A))};
        position.marks = {LessonMark{position.label, position.value, at.efficiency_percent()},
                          LessonMark{position.label, position.value, at.pulsation_Nm}};
        position.charts = {{"torque",
                            "Torque through two cycles of the line",
                            "time",
                            "ms",
                            "torque",
                            "N m",
                            {lastCycles(StartColumns(models[i], waveforms[i]).signal("torque"),
                                        "motor's torque", "torque_nm", models[i].frequency_Hz),
                             lastCycles(StartColumns(models[i], waveforms[i]).signal("load_torque"),
                                        "load", "load_torque_nm", models[i].frequency_Hz)}}};
        lesson.positions.push_back(std::move(position));
    }
    lesson.charts = {
        {"efficiency",
         "Efficiency",
         "run capacitor",
         "uF",
         "efficiency",
         "%",
         {overPositions(lesson, "efficiency", "efficiency_percent")}},
        {"pulsation",
         "Torque swing at twice line frequency",
         "run capacitor",
         "uF",
         "amplitude",
         "N m",
         {overPositions(lesson, "ngspice run", "pulsation_nm"),
          overPositions(lesson, "textbook formula", "formula_pulsation_nm")}},
    };
    for (const std::size_t i : {std::size_t{0}, ownSize}) {
        lesson.comparisons.push_back(
            {"torque swing, " + lesson.positions[i].label, "N m", *lesson.number(i, "pulsation_nm"),
             *lesson.number(i, "formula_pulsation_nm"), "the run's amps, angle and speed"});
    }
    lesson.notes.emplace_back(
        "the load is smooth in every run of this lesson, so that what swings is the motor's own "
        "torque; the run begins at 95 % speed, with the start circuit out");
    lesson.notes.emplace_back("the formula of the torque swing leaves core loss out");
    const std::string moved =
        ".param run_capacitor_farads, and run_capacitor_series_ohms with it, the same dissipation "
        "factor";
    lesson.decks = {
        {"run-capacitor.cir", "Running under load with the case's own run capacitor",
         bench.startDeck(bench.input, bench.circuit, setting, watched_s, moved)},
        {"induction-run.cir", "The same load on the run winding alone",
         bench.startDeck(bench.input, alone, setting, watched_s, "nothing: its first position")}};
    return lesson;
}

}  // namespace splitstart
