// Two revolving fields, and a rotor that is spun by hand.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "study/held_shaft.h"
#include "study/lesson_kinds.h"
#include "study/lesson_runs.h"

namespace splitstart
{

namespace
{

constexpr std::array<int, 13> speeds_percent = {-100, -80, -60, -40, -20, -10, 0,
                                                10,   20,  40,  60,  80,  100};
constexpr std::size_t standstill = 6;
// Of the curves between the positions.
constexpr int curveStep_percent = 4;
constexpr double watched_s = 1.5;

// What the shaft does in the end.
enum class Fate { runsForward, runsBackward, stands, inBetween };

Fate fateOf(double endSpeed_ratio)
{
    constexpr double creeping_ratio = 0.05;
    return endSpeed_ratio >= upToSpeed_ratio           ? Fate::runsForward
           : endSpeed_ratio <= -upToSpeed_ratio        ? Fate::runsBackward
           : std::abs(endSpeed_ratio) < creeping_ratio ? Fate::stands
                                                       : Fate::inBetween;
}

std::string fateText(Fate fate, int spun_percent, double endSpeed_ratio)
{
    const std::string spun =
        spun_percent == 0
            ? std::string("Left at rest")
            : fmt::format("Spun {} to {} % of synchronous speed",
                          spun_percent > 0 ? "forward" : "backward", std::abs(spun_percent));
    switch (fate) {
        case Fate::runsForward:
        case Fate::runsBackward:
            return fmt::format("{}, it {} {}.", spun,
                               std::abs(spun_percent) < 90 ? "runs up" : "goes on running",
                               fate == Fate::runsForward ? "forward" : "backward");
        case Fate::stands:
            return spun + (spun_percent == 0 ? ", it hums and stands."
                                             : ", it falls back to standstill and hums.");
        case Fate::inBetween:
            break;
    }
    return fmt::format("{}, it turns at {:.0f} % at the end of the run.", spun,
                       100 * endSpeed_ratio);
}

struct FieldCurves {
    LessonCurve sum{"both fields", "torque_nm"};
    LessonCurve forward{"forward field", "forward_nm"};
    LessonCurve backward{"backward field, against it", "backward_nm"};
};

}  // namespace

Lesson twoFieldsLesson(const Case& input, SimulatorPool& pool)
{
    const LessonBench bench = lessonBench(input, pool);
    const Circuit alone = runWindingAlone(bench.circuit);
    const TextbookMotor book = bench.textbook();
    Lesson lesson = begunLesson("two-fields", bench);
    lesson.varies = "speed to which the rotor is spun by hand";
    lesson.unit = "% of synchronous";
    lesson.standard = standstill;
    lesson.columns = {
        {"torque_nm", "torque of both fields", "N m", LessonSource::run},
        {"forward_nm", "torque of the forward field", "N m", LessonSource::computed},
        {"backward_nm", "torque of the backward field, against it", "N m", LessonSource::computed},
        {"formula_torque_nm", "both fields by the formula", "N m", LessonSource::formula},
        {"main_a", "run winding", "A", LessonSource::run},
        {"start_winding_v", "open start winding, S-C", "V", LessonSource::run},
        {"end_speed_percent", "speed after the power came on and stayed", "%", LessonSource::run},
        {"seconds_to_speed", "time to 90 % speed, either way round", "s", LessonSource::run},
    };
    std::vector<double> speeds_rad_s;
    std::vector<int> percents(speeds_percent.begin(), speeds_percent.end());
    for (int percent = -100; percent <= 100; percent += curveStep_percent) {
        percents.push_back(percent);
    }
    speeds_rad_s.reserve(percents.size());
    for (const int percent : percents) {
        speeds_rad_s.push_back(percent / 100.0 * bench.synchronous_rad_s());
    }
    SimulationModel held = bench.model(bench.input, alone, {StartContact::automatic, 0.0});
    std::vector<SimulationRequest> requests = {heldShaftRequest(held, speeds_rad_s)};
    std::vector<SimulationModel> spun;
    for (const int percent : speeds_percent) {
        RunSetting setting;
        setting.initialSpeed_rad_s = percent / 100.0 * bench.synchronous_rad_s();
        spun.push_back(bench.model(bench.input, alone, setting));
        requests.push_back(lessonStartRequest(spun.back(), {watched_s, 3e-4, 0}));
    }
    const std::vector<Waveforms> waveforms = runLesson(requests, pool);

    FieldCurves curves;
    for (std::size_t i = 0; i < percents.size(); ++i) {
        held.fixedSpeed_rad_s = speeds_rad_s[i];
        const HeldShaftMeasurement at = measureHeldShaft(held, waveforms.front(), i);
        const HeldShaftPhasors fields = heldShaftPhasors(held, waveforms.front(), i);
        if (i >= speeds_percent.size()) {
            for (auto [curve, value] : {std::pair(&curves.sum, at.torque_Nm),
                                        std::pair(&curves.forward, fields.forwardTorque_Nm),
                                        std::pair(&curves.backward, -fields.backwardTorque_Nm)}) {
                curve->x.push_back(percents[i]);
                curve->y.push_back(value);
            }
            continue;
        }
        const double speed_ratio = percents[i] / 100.0;
        const auto formula =
            book.singlePhase(ratedVoltage_V(bench.input), bench.source_ohm(), speed_ratio);
        const Waveforms& run = waveforms[i + 1];
        const Signal speed = StartColumns(spun[i], run).signal("speed");
        const double endSpeed_ratio =
            mean(speed, run.time_s.back() - 0.1, run.time_s.back()) / bench.synchronous_rad_s();
        const Fate fate = fateOf(endSpeed_ratio);
        std::optional<double> seconds;
        if (fate == Fate::runsForward || fate == Fate::runsBackward) {
            const double way = fate == Fate::runsForward ? 1 : -1;
            const double goal_rad_s = way * upToSpeed_ratio * bench.synchronous_rad_s();
            seconds = std::abs(speed_ratio) >= upToSpeed_ratio
                          ? std::optional(0.0)
                          : crossing(speed, goal_rad_s, way > 0);
        }
        LessonPosition position;
        position.value = percents[i];
        position.label = fmt::format("{:+d} %", percents[i]);
        if (percents[i] == 0) {
            position.label = "0 %";
        }
        position.says = fateText(fate, percents[i], endSpeed_ratio);
        position.numbers = {at.torque_Nm,
                            fields.forwardTorque_Nm,
                            -fields.backwardTorque_Nm,
                            formula.forward_Nm - formula.backward_Nm,
                            at.main_A,
                            at.startWinding_V,
                            100 * endSpeed_ratio,
                            seconds};
        position.phasors = {phasorOf("line_v", "line volts", "V", fields.terminal_V),
                            phasorOf("start_winding_v", "S-C volts", "V", fields.startWinding_V),
                            phasorOf("main_a", "run current", "A", fields.main_A)};
        position.fields = {"flux through the rotor, worked out from the run's rotor flux phasors",
                           "mV s", 1000 * std::abs(fields.forwardFlux_Vs),
                           1000 * std::abs(fields.backwardFlux_Vs)};
        position.marks = {LessonMark{position.label, position.value, at.torque_Nm}};
        position.charts = {
            {"speed",
             "Speed after the power came on",
             "time",
             "s",
             "speed",
             "% of synchronous",
             {thinned(speed, "speed", "speed_percent", 100 / bench.synchronous_rad_s())}}};
        lesson.positions.push_back(std::move(position));
    }
    lesson.charts = {{"torque",
                      "Torque of the two fields over speed",
                      "speed",
                      "% of synchronous",
                      "torque",
                      "N m",
                      {curves.sum, curves.forward, curves.backward}}};
    constexpr std::size_t compared = 11;  // 80 %
    lesson.comparisons = {
        {"torque at 80 % speed, start winding open", "N m", *lesson.number(compared, "torque_nm"),
         *lesson.number(compared, "formula_torque_nm")},
        {"run winding amps at 80 % speed", "A", *lesson.number(compared, "main_a"),
         book.singlePhase(ratedVoltage_V(bench.input), bench.source_ohm(), 0.8).main_A}};
    lesson.notes.emplace_back(
        "the start lead is off the compressor in every run of this lesson; the load opposes either "
        "way of turning");
    RunSetting deck;
    deck.initialSpeed_rad_s = 0.6 * bench.synchronous_rad_s();
    lesson.decks = {
        {"two-fields.cir", "The run winding alone, the rotor spun to 60 % before power comes on",
         bench.startDeck(bench.input, alone, deck, watched_s,
                         ".param compressor_initial_speed_rad_s, the speed to which the rotor is "
                         "spun by hand")}};
    return lesson;
}

}  // namespace splitstart
