#include "study/best_evidence.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "study/held_shaft.h"

namespace splitstart
{

namespace
{

void addStarts(Evidence& evidence, const Case& input, const std::vector<StartJob>& jobs,
               SimulatorPool& pool, const StudyProgress& progress)
{
    const std::vector<StartOutcome> outcomes = runStarts(input, jobs, pool, {}, progress);
    for (std::size_t i = 0; i < jobs.size(); ++i) {
        if (const auto* error = std::get_if<SimulationError>(&outcomes[i])) {
            throw SimulationError(error->fault(),
                                  fmt::format("{}: {}", cornerText(jobs[i].corner), error->what()),
                                  error->log());
        }
        (jobs[i].restart ? evidence.restarts : evidence.starts)
            .push_back({jobs[i].corner, std::get<StartMeasurement>(outcomes[i])});
    }
}

// Whether it has to start against pressure is one more thing that is not known. Where the motor is
// drawn from what is possible, so are the pressures.
bool pressuresAreOpen(const Case& input, const MotorStudy& motor)
{
    const CompressorLoad& load = input.compressor.load;
    return !motor.posterior && !load.pressuresGiven && load.kind != LoadKind::none;
}

}  // namespace

double auxiliaryOnLine_A(const EquivalentCircuit& motor, double rated_V)
{
    // Locked rotor, magnetising branch left out (it takes a few per cent).
    return rated_V / std::hypot(motor.auxiliary_ohm + motor.rotorAuxiliary_ohm,
                                motor.auxiliaryLeakage_ohm + motor.rotorAuxiliaryLeakage_ohm);
}

std::vector<StartJob> startJobs(const Case& input, const Circuit& circuit, const MotorStudy& motor,
                                Corners corners, std::optional<Pressures> pressures)
{
    std::vector<Corner> all = checkCorners(input);
    if (corners == Corners::few) {
        const auto [lowest, highest] = std::minmax_element(
            all.begin(), all.end(),
            [](const Corner& a, const Corner& b) { return a.line_ratio < b.line_ratio; });
        const double low_ratio = lowest->line_ratio;
        const double high_ratio = highest->line_ratio;
        std::erase_if(all, [=](const Corner& corner) {
            const bool wanted = isHot(corner.winding_degC) ? corner.line_ratio == low_ratio
                                                           : corner.line_ratio == high_ratio;
            return !wanted || corner.switchOn_deg || corner.capacitors;
        });
    }
    std::vector<StartJob> jobs;
    const auto add = [&](Corner corner, bool restart) {
        corner.pressures = pressures.value_or(corner.pressures);
        jobs.push_back({corner, restart,
                        simulationModel(input, circuit, motor.motor.circuit,
                                        motor.motor.ratedTorque_Nm.value, corner)});
    };
    for (const Corner& corner : all) {
        add(corner, false);
    }
    if (corners == Corners::all) {
        for (const Corner& corner : restartCorners(input)) {
            add(corner, true);
        }
    }
    return jobs;
}

Evidence heldEvidence(const Case& input, const Circuit& circuit, const MotorStudy& motor,
                      SimulatorPool& pool)
{
    const EquivalentCircuit& best = motor.motor.circuit;
    Evidence evidence;
    evidence.ratedTorque_Nm = motor.motor.ratedTorque_Nm.value;
    evidence.fit = motor.residuals;
    evidence.contradictions = motor.contradictions;
    evidence.held = heldShaftTables(input, circuit, best, pool, {Release::early, Release::late});
    evidence.auxiliaryOnLine_A = auxiliaryOnLine_A(best, ratedVoltage_V(input));
    evidence.inertia_kgm2 = best.inertia_kgm2;
    evidence.offTime = offTime(input, circuit, best, pool);
    return evidence;
}

std::vector<Evidence> withStarts(const Evidence& held, const Case& input, const Circuit& circuit,
                                 const MotorStudy& motor, Corners corners, SimulatorPool& pool,
                                 const StudyProgress& progress)
{
    std::vector<Evidence> all = {held};
    addStarts(all.back(), input, startJobs(input, circuit, motor, corners), pool, progress);
    if (pressuresAreOpen(input, motor)) {
        all.push_back(held);
        all.back().motor = "pressures not equalised at the start";
        addStarts(all.back(), input,
                  startJobs(input, circuit, motor, corners, Pressures::unequalised), pool,
                  progress);
    }
    return all;
}

std::vector<Evidence> bestEvidence(const Case& input, const Circuit& circuit,
                                   const MotorStudy& motor, SimulatorPool& pool,
                                   const StudyProgress& progress)
{
    return withStarts(heldEvidence(input, circuit, motor, pool), input, circuit, motor,
                      Corners::all, pool, progress);
}

}  // namespace splitstart
