#include "study/start_runs.h"

#include <algorithm>
#include <limits>
#include <numbers>

#include "circuit/case_circuit.h"

namespace splitstart
{

// Time in which the armature of the slowest relay has followed for certain: ten time constants
// beyond the ten milliseconds of an ordinary one.
double startDeviceTime_s(const Case& input)
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

SimulationRequest startRequest(const Case& input, const StartJob& job, const StartEffort& effort)
{
    const SimulationModel& model = job.model;
    const double relayTime_s = startDeviceTime_s(input) + job.extra_s;
    // A start that is over at once still has to show its first two cycles and its last six.
    const double cycle_s = 1 / model.frequency_Hz;
    const double lastCycles_s = (cyclesAtEnd + 1) * cycle_s;
    // Within a turn the speed swings with the strokes of a pump and with twice the line's
    // frequency: a light rotor is up to speed though it is below for a moment in each.
    const double turn_s = 2 * std::numbers::pi / model.synchronousSpeed_rad_s;
    Analysis analysis;
    analysis.largestStep_s = effort.largestStep_s;
    analysis.end_s = endBetweenSteps_s(effort.end_s + relayTime_s, effort.largestStep_s);
    SimulationRequest request;
    request.deck = writeDeck(model, analysis, {"start from rest", {}, false, true});
    request.vectors = startVectors(model);
    request.end_s = analysis.end_s;
    request.timeLimit_s = effort.timeLimit_s;
    request.stop = StopRule{"speed",
                            upToSpeed_ratio * model.synchronousSpeed_rad_s,
                            std::max(effort.settledFor_s, lastCycles_s) + relayTime_s,
                            effort.settledForShare,
                            turn_s,
                            2 * cycle_s + lastCycles_s};
    return request;
}

StartEffort finer(StartEffort effort)
{
    effort.largestStep_s /= 2;
    return effort;
}

std::vector<StartOutcome> runStarts(const Case& input, std::span<const StartJob> jobs,
                                    SimulatorPool& pool, const StartEffort& effort,
                                    const StudyProgress& progress)
{
    std::vector<SimulationRequest> requests;
    requests.reserve(jobs.size());
    for (const StartJob& job : jobs) {
        requests.push_back(startRequest(input, job, effort));
    }
    std::vector<SimulationOutcome> outcomes = pool.runAll(requests, progress);
    std::vector<StartOutcome> results;
    results.reserve(jobs.size());
    for (std::size_t i = 0; i < jobs.size(); ++i) {
        const auto* error = std::get_if<SimulationError>(&outcomes[i]);
        if (error != nullptr && error->fault() == SimulationFault::aborted) {
            const SimulationRequest again = startRequest(input, jobs[i], finer(effort));
            outcomes[i] = std::move(pool.runAll({&again, 1}).front());
        }
        if (const auto* failure = std::get_if<SimulationError>(&outcomes[i])) {
            results.emplace_back(*failure);
        } else {
            results.emplace_back(measureStart(jobs[i].model, std::get<Waveforms>(outcomes[i])));
        }
        outcomes[i] = Waveforms();  // waveforms are large
    }
    return results;
}

std::optional<Range> protectorOpens_s(const Case& input, const StartMeasurement& measured)
{
    const auto* const protector = chosenPart<Protector>(input, &CircuitChoice::protector);
    if (protector == nullptr || !measured.protectorTripped) {
        return std::nullopt;
    }
    const double opens_s =
        measured.protectorOpens_s.value_or(std::numeric_limits<double>::infinity());
    const double middle_s = protector->tripTime_s.middle();
    return Range{opens_s * protector->tripTime_s.minimum / middle_s,
                 opens_s * protector->tripTime_s.maximum / middle_s};
}

}  // namespace splitstart
