#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>
#include <string>

#include "case/preferred_values.h"
#include "circuit/case_circuit.h"
#include "spice/measurement.h"
#include "study/case_study.h"
#include "study/corners.h"
#include "study/held_shaft.h"

namespace splitstart
{

namespace
{

// Long enough for the slowest start that may still pass (3 s).
constexpr double runEnd_s = 3.0;
// A start is over, and its running values can be read, when it has been up to speed for this long.
constexpr double settledFor_s = 0.30;

struct StartJob {
    std::size_t evidence = 0;  // which motor
    Corner corner;
    bool restart = false;  // again after a short off time
    SimulationModel model;
};

// Time in which the armature of the slowest relay has followed for certain: ten time constants
// beyond the ten milliseconds of an ordinary one.
double slowRelay_s(const Case& input)
{
    const CatalogPart* part =
        input.circuit ? input.parts.find(input.circuit->startDevice) : nullptr;
    double lag_s = 0;
    if (part != nullptr) {
        if (const auto* potential = std::get_if<PotentialRelay>(&part->data)) {
            lag_s = std::max(potential->operate_s, potential->release_s);
        } else if (const auto* current = std::get_if<CurrentRelay>(&part->data)) {
            lag_s = std::max(current->operate_s, current->release_s);
        } else if (const auto* ptc = std::get_if<Ptc>(&part->data)) {
            // With less current than on its label it takes longer.
            return 2 * ptc->switchTime_s.maximum + 1;
        } else if (const auto* timer = std::get_if<TimedSwitch>(&part->data)) {
            return timer->opensAfter_s.maximum;
        }
    }
    return 10 * std::max(lag_s - 0.010, 0.0);
}

SimulationRequest startRequest(const SimulationModel& model, double largestStep_s,
                               double relayTime_s)
{
    Analysis analysis;
    analysis.largestStep_s = largestStep_s;
    analysis.end_s = endBetweenSteps_s(runEnd_s + relayTime_s, largestStep_s);
    SimulationRequest request;
    request.deck = writeDeck(model, analysis, {"start from rest", {}, false});
    request.vectors = startVectors(model);
    request.end_s = analysis.end_s;
    request.stop = StopRule{"speed", upToSpeed_ratio * model.synchronousSpeed_rad_s,
                            settledFor_s + relayTime_s};
    return request;
}

// What a label says that labels do not say: it may have been misread.
std::vector<std::string> labelNotes(const Case& input)
{
    const auto* start = chosenPart<StartCapacitor>(input, &CircuitChoice::startCapacitor);
    if (start == nullptr) {
        return {};
    }
    const std::optional<Range> nearest = nearestPreferredStartRange_F(start->capacitance_F);
    if (!nearest) {
        return {};
    }
    constexpr double micro = 1e6;
    return {
        fmt::format("start capacitor: {:.4g} to {:.4g} uF is not a range that such capacitors "
                    "are printed with (nearest {:.4g} to {:.4g}); read the label again",
                    start->capacitance_F.minimum * micro, start->capacitance_F.maximum * micro,
                    nearest->minimum * micro, nearest->maximum * micro)};
}

// Locked rotor, magnetizing branch left out (it takes a few per cent).
double auxiliaryOnLine_A(const EquivalentCircuit& motor, double rated_V)
{
    return rated_V / std::hypot(motor.auxiliary_ohm + motor.rotorAuxiliary_ohm,
                                motor.auxiliaryLeakage_ohm + motor.rotorAuxiliaryLeakage_ohm);
}

// Runs all starts. One that breaks off is run once more with half the step, since a break-off hangs
// on where the steps happen to fall; the second failure counts.
std::vector<SimulationOutcome> runStarts(const std::vector<StartJob>& jobs, SimulatorPool& pool,
                                         double relayTime_s, const StudyProgress& progress)
{
    const double step_s = Analysis().largestStep_s;
    std::vector<SimulationRequest> requests;
    requests.reserve(jobs.size());
    for (const StartJob& job : jobs) {
        requests.push_back(startRequest(job.model, step_s, relayTime_s));
    }
    std::vector<SimulationOutcome> outcomes = pool.runAll(requests, progress);
    for (std::size_t i = 0; i < jobs.size(); ++i) {
        const auto* error = std::get_if<SimulationError>(&outcomes[i]);
        if (error != nullptr && error->fault() == SimulationFault::aborted) {
            const SimulationRequest finer = startRequest(jobs[i].model, step_s / 2, relayTime_s);
            outcomes[i] = std::move(pool.runAll({&finer, 1}).front());
        }
    }
    return outcomes;
}

// Only the outermost corners: enough to see whether another motor would change a verdict.
bool isOutermost(const Corner& corner)
{
    return corner.line_ratio <= 0.851 || corner.line_ratio >= 1.099;
}

}  // namespace

namespace
{

bool hasCapacitorAndContact(const Case& input)
{
    return !input.circuit->startDevice.empty() &&
           (!input.circuit->startCapacitor.empty() || !input.circuit->runCapacitor.empty());
}

}  // namespace

double hotWinding_degC(const Case& input)
{
    constexpr double afterHardRun_degC = 110;
    constexpr double belowTrip_K = 20;
    const CatalogPart* part = input.circuit ? input.parts.find(input.circuit->protector) : nullptr;
    const auto* protector = part != nullptr ? std::get_if<Protector>(&part->data) : nullptr;
    if (protector == nullptr || protector->location == ProtectorPlace::external) {
        return afterHardRun_degC;
    }
    return std::min(afterHardRun_degC, protector->trip_degC - belowTrip_K);
}

std::vector<Corner> checkCorners(const Case& input)
{
    std::vector<double> lines = {0.85, 0.90, 1.00, 1.10};
    const double asFound_ratio = input.supply.voltage_V / ratedVoltage_V(input);
    if (std::abs(asFound_ratio - 1) > 0.01) {
        lines.push_back(asFound_ratio);
    }
    const double highest = *std::max_element(lines.begin(), lines.end());
    std::vector<Corner> corners;
    for (const double line : lines) {
        for (const double winding_degC : {coldWinding_degC, hotWinding_degC(input)}) {
            for (const Release release : {Release::early, Release::late}) {
                corners.push_back({line, winding_degC, release, input.compressor.load.pressures});
            }
        }
    }
    // A capacitor switched on at the crest begins with the hardest first cycle.
    for (const double winding_degC : {coldWinding_degC, hotWinding_degC(input)}) {
        for (const Release release : {Release::early, Release::late}) {
            corners.push_back(
                {highest, winding_degC, release, input.compressor.load.pressures, 90});
        }
    }
    // The most amps through a start contact: the largest capacitors, for as long as may be.
    if (hasCapacitorAndContact(input)) {
        for (const double winding_degC : {coldWinding_degC, hotWinding_degC(input)}) {
            Corner corner{highest, winding_degC, Release::late, input.compressor.load.pressures};
            corner.capacitors = Release::early;
            corners.push_back(corner);
        }
    }
    return corners;
}

std::vector<Corner> restartCorners(const Case& input)
{
    // What an off-delay of the trade keeps it off for (common practice, no source: 2 to 5 minutes).
    constexpr double usualOff_s = 180;
    if (chosenPart<Ptc>(input, &CircuitChoice::startDevice) == nullptr) {
        return {};
    }
    std::vector<Corner> corners;
    for (const double line : {0.85, 1.0}) {
        for (const Release release : {Release::early, Release::late}) {
            Corner corner{line, hotWinding_degC(input), release, input.compressor.load.pressures};
            corner.restartAfter_s = input.circuit->shortestOff_s.value_or(usualOff_s);
            corners.push_back(corner);
        }
    }
    return corners;
}

CheckStudy checkStudy(const Case& input, SimulatorPool& pool, const StudyProgress& progress)
{
    CheckStudy study;
    study.circuit = caseCircuit(input);
    study.motor = motorStudy(input, study.circuit, pool, Alternatives::yes);
    for (const std::string& note : labelNotes(input)) {
        study.motor.notes.push_back(note);
    }
    const Motor& motor = study.motor.motor;
    study.evidence.push_back({"", motor.ratedTorque_Nm.value, {}, {}});
    std::vector<const EquivalentCircuit*> circuits = {&motor.circuit};
    for (const Motor::Alternative& alternative : motor.alternatives) {
        study.evidence.push_back({alternative.name, alternative.ratedTorque_Nm, {}, {}});
        circuits.push_back(&alternative.circuit);
    }

    if (!input.compressor.load.pressuresGiven && input.compressor.load.kind != LoadKind::none) {
        // Whether it has to start against pressure is then one more thing that is not known.
        study.evidence.push_back(
            {"pressures not equalised at the start", motor.ratedTorque_Nm.value, {}, {}});
        circuits.push_back(&motor.circuit);
    }
    std::vector<StartJob> jobs;
    const auto addJob = [&](std::size_t i, const Corner& corner, bool restart) {
        jobs.push_back({i, corner, restart,
                        simulationModel(input, study.circuit, *circuits[i],
                                        study.evidence[i].ratedTorque_Nm, corner)});
    };
    for (std::size_t i = 0; i < circuits.size(); ++i) {
        const bool unequalised = i > motor.alternatives.size();
        for (Corner corner : checkCorners(input)) {
            if (unequalised) {
                corner.pressures = Pressures::unequalised;
            }
            if (i == 0 || isOutermost(corner)) {
                addJob(i, corner, false);
            }
        }
        for (Corner corner : restartCorners(input)) {
            if (unequalised) {
                corner.pressures = Pressures::unequalised;
            }
            addJob(i, corner, true);
        }
    }
    const std::vector<SimulationOutcome> outcomes =
        runStarts(jobs, pool, slowRelay_s(input), progress);
    // One of the other motors that cannot be simulated to the end proves nothing: what it would
    // have had to confirm is undecided.
    std::set<std::size_t> brokenOff;
    for (std::size_t i = 0; i < jobs.size(); ++i) {
        Evidence& evidence = study.evidence[jobs[i].evidence];
        if (const auto* error = std::get_if<SimulationError>(&outcomes[i])) {
            if (jobs[i].evidence > 0 && error->fault() == SimulationFault::aborted) {
                brokenOff.insert(jobs[i].evidence);
                continue;
            }
            throw SimulationError(
                error->fault(),
                fmt::format("{}{}: {}", cornerText(jobs[i].corner),
                            evidence.motor.empty() ? "" : ", " + evidence.motor, error->what()),
                error->log());
        }
        (jobs[i].restart ? evidence.restarts : evidence.starts)
            .push_back(
                {jobs[i].corner, measureStart(jobs[i].model, std::get<Waveforms>(outcomes[i]))});
    }
    for (const std::size_t i : brokenOff) {
        study.evidence[i].motor += ", whose simulation broke off";
        study.evidence[i].starts.clear();
        study.evidence[i].restarts.clear();
    }
    for (std::size_t i = 0; i < circuits.size(); ++i) {
        study.evidence[i].fit = study.motor.residuals;
        study.evidence[i].held = heldShaftTables(input, study.circuit, *circuits[i], pool);
        study.evidence[i].auxiliaryOnLine_A =
            auxiliaryOnLine_A(*circuits[i], ratedVoltage_V(input));
        study.evidence[i].offTime = offTime(input, study.circuit, *circuits[i], pool);
    }
    study.findings = judge(input, study.circuit, study.evidence);
    return study;
}

std::string startDeck(const Case& input, const Circuit& circuit, const MotorStudy& motor,
                      const Corner& corner, double end_s)
{
    const SimulationModel model = simulationModel(input, circuit, motor.motor.circuit,
                                                  motor.motor.ratedTorque_Nm.value, corner);
    Analysis analysis;
    analysis.end_s = endBetweenSteps_s(end_s, analysis.largestStep_s);
    DeckText text;
    text.title = fmt::format("start of {}{}", input.name, input.invented ? " (invented)" : "");
    text.comments = {
        fmt::format("{}: {}", circuit.type, circuit.description),
        fmt::format("corner: {}", cornerText(corner)),
        "100 % line is the rated voltage",
        motor.identification ? "pins: " + motor.identification->answer : "pins: no readings given",
        motor.health.safe.answer == EnergiseAnswer::no ? "DO NOT ENERGISE: " + motor.health.safe.why
                                                       : "",
        "run it with: ngspice -b FILE",
        "",
        "where the numbers of the motor come from (value, unit, source, 95 % interval):",
    };
    for (const MotorParameter& parameter : motor.motor.parameters) {
        text.comments.push_back(fmt::format("  {} {:.4g} {} ({}, +/- {:.0f} %): {}", parameter.name,
                                            parameter.value.value, parameter.unit,
                                            originName(parameter.value.origin),
                                            parameter.value.accuracy_ratio * 100, parameter.basis));
    }
    for (const std::string& note : motor.notes) {
        text.comments.push_back("  note: " + note);
    }
    text.controlSection = true;
    return writeDeck(model, analysis, text);
}

}  // namespace splitstart
