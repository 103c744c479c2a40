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

std::optional<Corner> worstCorner(const CheckStudy& study)
{
    const Evidence& best = study.evidence.front();
    // The run at whose corner a finding was worst: it begins with the corner's words, and of two
    // corners of which one's words begin with the other's, the longer is meant.
    const auto runOf = [&best](const Finding& finding) {
        const StartRun* found = nullptr;
        std::size_t longest = 0;
        for (const std::vector<StartRun>* runs : {&best.starts, &best.restarts}) {
            for (const StartRun& run : *runs) {
                const std::string words = cornerText(run.corner);
                if (finding.corner.starts_with(words) && words.size() > longest) {
                    found = &run;
                    longest = words.size();
                }
            }
        }
        return found;
    };
    constexpr double infinite = std::numeric_limits<double>::infinity();
    const StartRun* worst = nullptr;
    std::pair<int, double> least{3, infinite};
    for (const Finding& finding : study.findings) {
        const StartRun* const run = finding.hasLimit ? runOf(finding) : nullptr;
        if (run == nullptr) {
            continue;
        }
        const int severity = finding.verdict == Verdict::fail        ? 0
                             : finding.verdict == Verdict::undecided ? 1
                                                                     : 2;
        const double margin_ratio = !finding.hasValue    ? -infinite
                                    : finding.limit == 0 ? infinite
                                                         : finding.margin / std::abs(finding.limit);
        if (std::pair(severity, margin_ratio) < least) {
            least = {severity, margin_ratio};
            worst = run;
        }
    }
    return worst == nullptr ? std::nullopt : std::optional(worst->corner);
}

}  // namespace splitstart
