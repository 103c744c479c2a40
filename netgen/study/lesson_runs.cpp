#include "study/lesson_runs.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <stdexcept>

#include "case/input_error.h"
#include "circuit/case_circuit.h"
#include "spice/netlist.h"
#include "study/corners.h"
#include "study/held_shaft.h"

namespace splitstart
{

namespace
{

CatalogPart* partInPlace(Case& input, const std::string CircuitChoice::*place)
{
    const std::string& id = (*input.circuit).*place;
    const CatalogPart* part = input.parts.find(id);
    const auto found = std::find_if(input.parts.parts.begin(), input.parts.parts.end(),
                                    [part](const CatalogPart& each) { return &each == part; });
    return found == input.parts.parts.end() ? nullptr : &*found;
}

std::string loadText(const CompressorLoad& load, double rated_Nm)
{
    const char* const pressures =
        load.pressures == Pressures::equalised ? "equalised" : "unequalised";
    switch (load.kind) {
        case LoadKind::none:
            return "no load";
        case LoadKind::steady:
            return fmt::format("a steady load of {:.3g} N m at rated load, pressures {} at first",
                               rated_Nm, pressures);
        case LoadKind::reciprocating:
            break;
    }
    return fmt::format("a reciprocating pump of {:.3g} N m at rated load, pressures {} at first",
                       rated_Nm, pressures);
}

std::string conditionsOf(const LessonBench& bench)
{
    return fmt::format(
        "Every run: rated volts ({:.0f} V, {:.0f} Hz), windings at {:.0f} degC, parts in the "
        "middle of their tolerances, {}.",
        ratedVoltage_V(bench.input), bench.input.supply.frequency_Hz, coldWinding_degC,
        loadText(bench.input.compressor.load, bench.ratedTorque_Nm()));
}

Analysis heldAnalysis(const SimulationModel& model)
{
    Analysis analysis;
    analysis.kind = Analysis::Kind::fixedFrequency;
    analysis.frequency_Hz = model.frequency_Hz;
    return analysis;
}

}  // namespace

Corner LessonBench::corner() const
{
    return {1, coldWinding_degC, Release::middle, input.compressor.load.pressures};
}

TextbookMotor LessonBench::textbook() const
{
    return {motor.motor.circuit, input.supply.frequency_Hz, coldWinding_degC,
            ratedVoltage_V(input)};
}

std::complex<double> LessonBench::source_ohm() const
{
    return {input.supply.source_ohm,
            2 * std::numbers::pi * input.supply.frequency_Hz * input.supply.source_H};
}

double LessonBench::synchronous_rad_s() const
{
    return synchronousSpeed_rad_s(input.supply.frequency_Hz, motor.motor.circuit.poles);
}

SimulationModel LessonBench::model(const RunSetting& setting) const
{
    return model(input, circuit, setting);
}

SimulationModel LessonBench::model(const Case& changed, const Circuit& wired,
                                   const RunSetting& setting) const
{
    return simulationModel(changed, wired, motor.motor.circuit, ratedTorque_Nm(), corner(),
                           setting);
}

std::string LessonBench::startDeck(const Case& changed, const Circuit& wired,
                                   const RunSetting& setting, double end_s,
                                   const std::string& moved) const
{
    Analysis analysis;
    analysis.end_s = endBetweenSteps_s(end_s, analysis.largestStep_s);
    DeckText text = deckText(changed, wired, motor, corner());
    text.comments.insert(text.comments.begin(), "the slider of the lesson moves: " + moved);
    return writeDeck(model(changed, wired, setting), analysis, text);
}

std::string LessonBench::heldDeck(const Case& changed, const Circuit& wired,
                                  const RunSetting& setting, const std::string& moved) const
{
    DeckText text = deckText(changed, wired, motor, corner());
    text.title = "shaft held, " + changed.name + (changed.invented ? " (invented)" : "");
    text.comments.insert(text.comments.begin(), "the slider of the lesson moves: " + moved);
    const SimulationModel held = model(changed, wired, setting);
    return writeDeck(held, heldAnalysis(held), text);
}

LessonBench lessonBench(const Case& input, SimulatorPool& pool)
{
    if (!input.circuit) {
        refuseMissing({input.file, 0}, "case/circuit", "a <circuit>, since a lesson runs one");
    }
    LessonBench bench;
    const Circuit whole = caseCircuit(input);
    bench.motor = motorStudy(input, whole, pool);
    bench.input = withSource(input, bench.motor);
    bench.circuit = withoutFan(whole);
    return bench;
}

Lesson begunLesson(const char* name, const LessonBench& bench)
{
    Lesson lesson;
    lesson.name = name;
    lesson.caseName = bench.input.name;
    lesson.invented = bench.input.invented;
    lesson.caseFile = bench.input.file;
    lesson.frequency_Hz = bench.input.supply.frequency_Hz;
    lesson.conditions = conditionsOf(bench);
    if (bench.motor.health.safe.answer == EnergiseAnswer::no) {
        lesson.warning =
            "The readings of this case say: do not energise. " + bench.motor.health.safe.why;
    }
    lesson.startDevice = startDeviceOf(bench.circuit);
    lesson.hasRunCapacitor = runCapacitor_F(bench.input) > 0;
    lesson.motor = bench.input.compressor.equivalentCircuit
                       ? "The motor's equivalent circuit is given in the case file."
                       : "The motor is estimated from the readings and the nameplate in the case "
                         "file; shown is the most probable one.";
    lesson.notes = bench.motor.notes;
    if (bench.circuit.parts.size() != caseCircuit(bench.input).parts.size()) {
        lesson.notes.emplace_back("the condenser fan is left out: amps are the compressor's alone");
    }
    return lesson;
}

void refuseLesson(const Case& input, const char* lesson, const char* field,
                  const std::string& found, const std::string& allowed)
{
    const SourcePlace place{input.file, input.circuit ? input.circuit->place.line : 0};
    const std::string allowedHere = fmt::format("for the lesson {}: {}", lesson, allowed);
    if (found.empty()) {
        refuseMissing(place, field, allowedHere);
    }
    refuseInput(place, field, found, allowedHere);
}

Case withStartCapacitor(const Case& input, double capacitance_F)
{
    Case result = input;
    std::get<StartCapacitor>(partInPlace(result, &CircuitChoice::startCapacitor)->data)
        .capacitance_F = {capacitance_F, capacitance_F};
    return result;
}

Case withRunCapacitor(const Case& input, double capacitance_F)
{
    Case result = input;
    PartData& data = partInPlace(result, &CircuitChoice::runCapacitor)->data;
    if (auto* dual = std::get_if<DualRunCapacitor>(&data)) {
        dual->compressor_F = {capacitance_F, capacitance_F};
    } else {
        std::get<RunCapacitor>(data).capacitance_F = {capacitance_F, capacitance_F};
    }
    return result;
}

double startCapacitor_F(const Case& input)
{
    const auto* part = chosenPart<StartCapacitor>(input, &CircuitChoice::startCapacitor);
    return part != nullptr ? part->capacitance_F.middle() : 0;
}

double runCapacitor_F(const Case& input)
{
    if (const auto* dual = chosenPart<DualRunCapacitor>(input, &CircuitChoice::runCapacitor)) {
        return dual->compressor_F.middle();
    }
    const auto* part = chosenPart<RunCapacitor>(input, &CircuitChoice::runCapacitor);
    return part != nullptr ? part->capacitance_F.middle() : 0;
}

SimulationRequest lessonStartRequest(const SimulationModel& model, const LessonStart& start)
{
    Analysis analysis;
    analysis.largestStep_s = start.largestStep_s;
    analysis.end_s = endBetweenSteps_s(start.end_s, start.largestStep_s);
    SimulationRequest request;
    request.deck = writeDeck(model, analysis, {"position of a lesson", {}, false, true});
    request.vectors = startVectors(model);
    request.end_s = analysis.end_s;
    if (start.settledFor_s > 0) {
        request.stop = StopRule{"speed", upToSpeed_ratio * model.synchronousSpeed_rad_s,
                                start.settledFor_s, 0};
    }
    return request;
}

std::vector<Waveforms> runLesson(const std::vector<SimulationRequest>& requests,
                                 SimulatorPool& pool)
{
    std::vector<SimulationOutcome> outcomes = pool.runAll(requests);
    std::vector<Waveforms> results;
    results.reserve(outcomes.size());
    for (SimulationOutcome& outcome : outcomes) {
        if (const auto* error = std::get_if<SimulationError>(&outcome)) {
            throw *error;
        }
        results.push_back(std::move(std::get<Waveforms>(outcome)));
    }
    return results;
}

LessonCurve thinned(const Signal& signal, const char* name, const char* column, double factor,
                    int points)
{
    LessonCurve curve{name, column};
    const double end_s = signal.time_s.back();
    for (int i = 0; i <= points; ++i) {
        const double time_s = end_s * i / points;
        curve.x.push_back(time_s);
        curve.y.push_back(factor * valueAt(signal, time_s));
    }
    return curve;
}

LessonCurve cycleRms(const Signal& signal, const char* name, const char* column, double cycle_s,
                     int points)
{
    const std::vector<double> values = windowRms(signal, cycle_s);
    return thinned({signal.time_s, values}, name, column, 1, points);
}

std::complex<double> fourierPhasor(const Signal& signal, double from_s, double to_s,
                                   double frequency_Hz)
{
    const double radian_s = 2 * std::numbers::pi * frequency_Hz;
    std::complex<double> sum;
    double time_s = from_s;
    double value = valueAt(signal, from_s);
    const auto add = [&](double next_s, double next) {
        // By the trapezoidal rule of the product; steps are a 50th of a cycle or less.
        sum += 0.5 * (next_s - time_s) *
               (value * std::polar(1.0, -radian_s * time_s) +
                next * std::polar(1.0, -radian_s * next_s));
        time_s = next_s;
        value = next;
    };
    for (std::size_t i = 0; i < signal.time_s.size(); ++i) {
        if (signal.time_s[i] > from_s && signal.time_s[i] < to_s) {
            add(signal.time_s[i], signal.value[i]);
        }
    }
    add(to_s, valueAt(signal, to_s));
    // j: from a cosine's angle to a sine's.
    return sum * std::complex<double>(0, 1) * std::numbers::sqrt2 / (to_s - from_s);
}

LessonPhasor phasorOf(const char* name, const char* words, const char* unit,
                      std::complex<double> rms)
{
    return {name, words, unit, std::abs(rms), degrees(std::arg(rms))};
}

LessonCurve overPositions(const Lesson& lesson, const char* name, const char* column)
{
    LessonCurve curve{name, column};
    for (std::size_t i = 0; i < lesson.positions.size(); ++i) {
        if (const std::optional<double> number = lesson.number(i, column)) {
            curve.x.push_back(lesson.positions[i].value);
            curve.y.push_back(*number);
        }
    }
    return curve;
}

void markPositions(Lesson& lesson, const std::vector<const char*>& columns)
{
    for (std::size_t i = 0; i < lesson.positions.size(); ++i) {
        LessonPosition& position = lesson.positions[i];
        for (const char* column : columns) {
            const std::optional<double> number = lesson.number(i, column);
            position.marks.push_back(
                number ? std::optional(LessonMark{position.label, position.value, *number})
                       : std::nullopt);
        }
    }
}

std::string switchedOffSays(const std::optional<Range>& protectorOpens_s)
{
    if (!protectorOpens_s || !std::isfinite(protectorOpens_s->minimum)) {
        return "nothing switches it off";
    }
    return fmt::format("the overload protector opens after {:.1f} to {:.1f} s",
                       protectorOpens_s->minimum, protectorOpens_s->maximum);
}

std::string heatSays(const WiredStart& start)
{
    if (start.endsWell()) {
        return "";
    }
    if (!start.main && !start.auxiliary) {
        return fmt::format(" No winding is at 150 degC within {:.0f} s; {}.", longestHeating_s,
                           switchedOffSays(start.protectorOpens_s));
    }
    const bool mainFirst =
        start.main && (!start.auxiliary || start.main->thin_s <= start.auxiliary->thin_s);
    const HeatingTime& first = mainFirst ? *start.main : *start.auxiliary;
    return fmt::format(
        " The {} winding gets hot first: 150 degC after {:.1f} to {:.1f} s, by how thick its wire "
        "may be; {}.",
        mainFirst ? "run" : "start", first.thin_s, first.thick_s,
        switchedOffSays(start.protectorOpens_s));
}

double degrees(double radians)
{
    return radians * 180 / std::numbers::pi;
}

std::string microfaradText(double capacitance_F)
{
    const double microfarads = capacitance_F * 1e6;
    return microfarads < 10 ? fmt::format("{:.2g} uF", microfarads)
                            : fmt::format("{:.0f} uF", microfarads);
}

}  // namespace splitstart
