// The start winding's volts rise with speed until the potential relay opens.
#include <fmt/format.h>

#include <array>
#include <cmath>

#include "case/reader.h"
#include "circuit/case_circuit.h"
#include "study/held_shaft.h"
#include "study/lesson_kinds.h"
#include "study/lesson_runs.h"
#include "study/start_runs.h"

namespace splitstart
{

namespace
{

constexpr std::array<int, 13> speeds_percent = {0, 10, 20, 30, 40, 50, 60, 70, 80, 85, 90, 95, 99};
constexpr std::size_t usualSpeed = 8;
constexpr int curveStep_percent = 3;

std::string relaySays(double in_V, double out_V, const PotentialRelay& relay)
{
    const std::string before =
        in_V < relay.pickUp_V.minimum
            ? fmt::format("With the start circuit in, the coil has {:.0f} V: too little to open.",
                          in_V)
        : in_V > relay.pickUp_V.maximum
            ? fmt::format(
                  "With the start circuit in, the coil has {:.0f} V: any relay of this "
                  "calibration has opened.",
                  in_V)
            : fmt::format(
                  "With the start circuit in, the coil has {:.0f} V: a relay of this "
                  "calibration opens about here.",
                  in_V);
    const std::string after =
        out_V > relay.dropOut_V.maximum
            ? fmt::format(" Once the start circuit is out there are {:.0f} V, which hold it open.",
                          out_V)
        : out_V < relay.dropOut_V.minimum
            ? fmt::format(
                  " With the start circuit out there would be {:.0f} V, and it would close "
                  "again.",
                  out_V)
            : fmt::format(
                  " With the start circuit out there would be {:.0f} V: some relays of "
                  "this calibration close again.",
                  out_V);
    return before + after;
}

}  // namespace

Lesson relayOpeningLesson(const Case& input, SimulatorPool& pool)
{
    const auto* const relay = chosenPart<PotentialRelay>(input, &CircuitChoice::startDevice);
    if (input.circuit && relay == nullptr) {
        const CatalogPart* device = input.parts.find(input.circuit->startDevice);
        refuseLesson(input, "relay-opening", "circuit/start-device",
                     device == nullptr ? std::string() : std::string(partElementName(device->data)),
                     "a potential relay, whose coil it watches");
    }
    const LessonBench bench = lessonBench(input, pool);
    const TextbookMotor book = bench.textbook();
    const double synchronous_rad_s = bench.synchronous_rad_s();
    Lesson lesson = begunLesson("relay-opening", bench);
    lesson.varies = "speed";
    lesson.unit = "% of synchronous";
    lesson.standard = usualSpeed;
    lesson.columns = {
        {"coil_in_v", "relay coil, start circuit in", "V", LessonSource::run},
        {"coil_out_v", "relay coil, start circuit out", "V", LessonSource::run},
        {"start_winding_in_v", "S-C, start circuit in", "V", LessonSource::run},
        {"start_winding_out_v", "S-C, start circuit out", "V", LessonSource::run},
        {"lead_off_v", "S-C, start lead off", "V", LessonSource::run},
        {"formula_lead_off_v", "S-C, start lead off, by the formula", "V", LessonSource::formula},
        {"torque_in_nm", "torque, start circuit in", "N m", LessonSource::run},
        {"torque_out_nm", "torque, start circuit out", "N m", LessonSource::run},
    };
    std::vector<int> percents(speeds_percent.begin(), speeds_percent.end());
    for (int percent = 0; percent < 100; percent += curveStep_percent) {
        percents.push_back(percent);
    }
    std::vector<double> speeds_rad_s;
    speeds_rad_s.reserve(percents.size());
    for (const int percent : percents) {
        speeds_rad_s.push_back(percent / 100.0 * synchronous_rad_s);
    }
    const Circuit alone = runWindingAlone(bench.circuit);
    std::array<SimulationModel, 3> held = {
        bench.model({StartContact::heldClosed, 0.0}), bench.model({StartContact::heldOpen, 0.0}),
        bench.model(bench.input, alone, {StartContact::automatic, 0.0})};
    std::vector<SimulationRequest> requests;
    requests.reserve(held.size() + 1);
    for (const SimulationModel& model : held) {
        requests.push_back(heldShaftRequest(model, speeds_rad_s));
    }
    const SimulationModel started = bench.model({});
    requests.push_back(lessonStartRequest(started, {3.0, 3e-4, 0.3}));
    const std::vector<Waveforms> waveforms = runLesson(requests, pool);

    LessonCurve in{"coil, start circuit in", "coil_in_v"};
    LessonCurve out{"coil, start circuit out", "coil_out_v"};
    for (std::size_t i = 0; i < percents.size(); ++i) {
        std::array<HeldShaftMeasurement, 3> at;
        for (std::size_t k = 0; k < held.size(); ++k) {
            held.at(k).fixedSpeed_rad_s = speeds_rad_s[i];
            at.at(k) = measureHeldShaft(held.at(k), waveforms[k], i);
        }
        const double in_V = at[0].coil_V.value_or(0);
        const double out_V = at[1].coil_V.value_or(0);
        if (i >= speeds_percent.size()) {
            in.x.push_back(percents[i]);
            in.y.push_back(in_V);
            out.x.push_back(percents[i]);
            out.y.push_back(out_V);
            continue;
        }
        const HeldShaftPhasors phasors = heldShaftPhasors(held[0], waveforms[0], i);
        LessonPosition position;
        position.value = percents[i];
        position.label = fmt::format("{} %", percents[i]);
        position.says = relaySays(in_V, out_V, *relay);
        position.numbers = {
            in_V,
            out_V,
            at[0].startWinding_V,
            at[1].startWinding_V,
            at[2].startWinding_V,
            book.singlePhase(ratedVoltage_V(bench.input), bench.source_ohm(), percents[i] / 100.0)
                .startWinding_V,
            at[0].torque_Nm,
            at[1].torque_Nm};
        position.phasors = {phasorOf("line_v", "line volts", "V", phasors.terminal_V),
                            phasorOf("start_winding_v", "S-C volts", "V", phasors.startWinding_V),
                            phasorOf("main_a", "run current", "A", phasors.main_A),
                            phasorOf("auxiliary_a", "start current", "A", phasors.auxiliary_A)};
        position.marks = {LessonMark{"", position.value, in_V}};
        lesson.positions.push_back(std::move(position));
    }
    const std::vector<LessonBand> bands = {{"pick-up", relay->pickUp_V},
                                           {"drop-out", relay->dropOut_V}};
    lesson.charts = {{"coil",
                      "Coil volts over speed",
                      "speed",
                      "% of synchronous",
                      "coil volts",
                      "V",
                      {in, out},
                      bands}};

    // One whole start.
    const Waveforms& run = waveforms.back();
    const StartMeasurement start = measureStart(started, run);
    const SubcircuitInstance& device = *started.find("potential_relay");
    const StartColumns columns(started, run);
    const std::vector<double> coil_V =
        columns.between(device.nodeOfPort.at("t2"), device.nodeOfPort.at("t5"));
    LessonCurve coil = cycleRms(columns.signal(coil_V), "coil, rms of each cycle", "coil_v",
                                1 / bench.input.supply.frequency_Hz);
    const LessonCurve speed =
        thinned(columns.signal("speed"), "speed", "speed_percent", 100 / synchronous_rad_s);
    std::vector<LessonMark> openings;
    std::vector<LessonMark> speedAtOpening;
    if (start.startContactOpened_s) {
        const double opened_s = *start.startContactOpened_s;
        const double coilThen_V = valueAt({coil.x, coil.y}, opened_s);
        openings.push_back({fmt::format("opens at {:.2f} s", opened_s), opened_s, coilThen_V});
        speedAtOpening.push_back(
            {fmt::format("opens at {:.0f} % speed", 100 * start.speedAtOpening_ratio.value_or(0)),
             opened_s, 100 * start.speedAtOpening_ratio.value_or(0)});
    }
    lesson.charts.push_back({"start-coil",
                             "One start: coil volts",
                             "time",
                             "s",
                             "coil volts",
                             "V",
                             {std::move(coil)},
                             bands,
                             openings});
    lesson.charts.push_back({"start-speed",
                             "The same start: speed",
                             "time",
                             "s",
                             "speed",
                             "% of synchronous",
                             {speed},
                             {},
                             speedAtOpening});
    lesson.notes.push_back(
        start.startContactOpened_s
            ? fmt::format("in the start shown, the relay in the middle of its calibration opened "
                          "at {:.2f} s and {:.0f} % of synchronous speed, {:.0f} times in all",
                          *start.startContactOpened_s, 100 * start.speedAtOpening_ratio.value_or(0),
                          start.startContactOpenings.value_or(0))
            : std::string("in the start shown, the relay did not open"));
    lesson.comparisons = {
        {fmt::format("S-C volts at {}, start lead off", lesson.positions[usualSpeed].label), "V",
         *lesson.number(usualSpeed, "lead_off_v"),
         *lesson.number(usualSpeed, "formula_lead_off_v")}};
    lesson.decks = {
        {"relay-opening.cir", "The circuit with its shaft held and the start circuit in",
         bench.heldDeck(bench.input, bench.circuit,
                        {StartContact::heldClosed, 0.8 * synchronous_rad_s},
                        "the volts of the source vshaft, which are the speed in rad/s")},
        {"relay-start.cir", "One whole start",
         bench.startDeck(bench.input, bench.circuit, {}, 1.5, "nothing, this is the whole start")}};
    return lesson;
}

}  // namespace splitstart
