#include "study/traced_start.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

namespace splitstart
{

TracedStart tracedStart(const Case& input, const Circuit& circuit, const MotorStudy& motor,
                        const Corner& corner, SimulatorPool& pool, std::optional<double> length_s)
{
    const Case complete = withSource(input, motor);
    StartJob job{corner, corner.restartAfter_s.has_value(),
                 simulationModel(complete, circuit, motor.motor.circuit,
                                 motor.motor.ratedTorque_Nm.value, corner)};
    StartEffort effort;
    const auto request = [&] {
        SimulationRequest asked = startRequest(complete, job, effort);
        if (length_s) {
            Analysis analysis;
            analysis.largestStep_s = effort.largestStep_s;
            analysis.end_s = endBetweenSteps_s(*length_s, effort.largestStep_s);
            asked.deck = writeDeck(job.model, analysis, {"start from rest", {}, false, true});
            asked.end_s = analysis.end_s;
            asked.stop.reset();
        }
        return asked;
    };
    Waveforms waveforms;
    try {
        waveforms = pool.run(request());
    } catch (const SimulationError& error) {
        if (error.fault() != SimulationFault::aborted) {
            throw;
        }
        // A break-off hangs on where the steps happen to fall.
        effort = finer(effort);
        waveforms = pool.run(request());
    }
    return {corner, measureStart(job.model, waveforms), startTrace(job.model, waveforms),
            job.model.frequency_Hz};
}

std::optional<Corner> worstCorner(const Case& input, const CheckStudy& study)
{
    const Case complete = withSource(input, study.motor);
    const Evidence& best = study.evidence.front();
    // What is there without any start, and with each of them alone.
    Evidence without = best;
    without.starts.clear();
    without.restarts.clear();
    std::vector<std::pair<const StartRun*, Evidence>> alone;
    for (const auto& [runs, place] : {std::pair(&best.starts, &Evidence::starts),
                                      std::pair(&best.restarts, &Evidence::restarts)}) {
        for (const StartRun& run : *runs) {
            Evidence one = without;
            (one.*place).push_back(run);
            alone.emplace_back(&run, std::move(one));
        }
    }
    constexpr double infinite = std::numeric_limits<double>::infinity();
    const StartRun* worst = nullptr;
    std::pair<int, double> least{3, infinite};
    for (const Finding& finding : study.findings) {
        const auto read = [&](const Evidence& evidence) {
            return finding.check->read({complete, study.circuit, evidence}).comparisons;
        };
        const std::vector<Comparison> standing = read(without);
        const auto saidWithoutStart = [&standing](const Comparison& comparison) {
            return std::any_of(standing.begin(), standing.end(), [&](const Comparison& each) {
                return each.corner == comparison.corner;
            });
        };
        const int severity = finding.verdict == Verdict::fail        ? 0
                             : finding.verdict == Verdict::undecided ? 1
                                                                     : 2;
        for (const auto& [run, evidence] : alone) {
            for (const Comparison& comparison : read(evidence)) {
                if (saidWithoutStart(comparison)) {
                    continue;
                }
                const double margin_ratio = comparison.beyond ? -infinite
                                            : comparison.limit == 0
                                                ? infinite
                                                : comparison.margin() / std::abs(comparison.limit);
                if (std::pair(severity, margin_ratio) < least) {
                    least = {severity, margin_ratio};
                    worst = run;
                }
            }
        }
    }
    return worst == nullptr ? std::nullopt : std::optional(worst->corner);
}

}  // namespace splitstart
