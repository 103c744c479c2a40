#include "study/found_start.h"

#include <algorithm>
#include <array>

#include "case/input_error.h"
#include "motor/winding_heat.h"
#include "study/corners.h"
#include "study/held_shaft.h"
#include "study/start_runs.h"

namespace splitstart
{

namespace
{

// Long enough to see an ordinary protector open beside a stalled motor (common practice, no source:
// 2 to 10 s at locked-rotor amps).
constexpr StartEffort effort = {3e-4, 0.5, 0, 10};

// Insulation of hermetic motors ages fast beyond it (assumed, no source).
constexpr double hot_degC = 150;

bool hasFault(const FoundWiringStudy& found, WiringFaultKind kind)
{
    return std::any_of(found.faults.begin(), found.faults.end(),
                       [kind](const WiringFault& fault) { return fault.kind == kind; });
}

std::optional<HeatingTime> heatingTime(const WindingRange& wire,
                                       const std::optional<double>& heat_A2s, double run_s)
{
    if (!heat_A2s || !(*heat_A2s > 0)) {
        return std::nullopt;
    }
    const auto seconds = [&](double area_m2) {
        return adiabaticHeat_A2s(area_m2, wire.material, coldWinding_degC, hot_degC) /
               (*heat_A2s / run_s);
    };
    const HeatingTime time{seconds(wire.thinnest_m2), seconds(wire.thickest_m2)};
    return time.thin_s < longestHeating_s ? std::optional(time) : std::nullopt;
}

}  // namespace

bool isShort(const FoundWiringStudy& found)
{
    return hasFault(found, WiringFaultKind::deadShort) ||
           hasFault(found, WiringFaultKind::shortThroughClosedContact);
}

bool isDead(const FoundWiringStudy& found)
{
    return hasFault(found, WiringFaultKind::deadCompressor);
}

WindingWires windingWires(const Case& best, const MotorStudy& motor, const Circuit& wanted,
                          SimulatorPool& pool)
{
    Evidence evidence;
    evidence.held = heldShaftTables(best, wanted, motor.motor.circuit, pool, {Release::middle});
    evidence.auxiliaryOnLine_A = auxiliaryOnLine_A(motor.motor.circuit, ratedVoltage_V(best));
    const CheckContext context{best, wanted, evidence};
    return {mainWinding(context), auxiliaryWinding(context)};
}

WiredStart judgedStart(const Case& best, const StartMeasurement& measured,
                       const WindingWires& wires)
{
    WiredStart start;
    start.measured = measured;
    start.protectorOpens_s = protectorOpens_s(best, measured);
    if (!start.endsWell()) {
        start.main = heatingTime(wires.main, measured.mainHeat_A2s, *measured.end_s);
        start.auxiliary = heatingTime(wires.auxiliary, measured.auxiliaryHeat_A2s, *measured.end_s);
    }
    return start;
}

std::vector<WiredOutcome> wiredStarts(const Case& best, const MotorStudy& motor,
                                      const Circuit& wanted, std::span<const Circuit> circuits,
                                      SimulatorPool& pool, const StartEffort& watched)
{
    const Corner corner{1, coldWinding_degC, Release::middle, best.compressor.load.pressures};
    std::vector<StartJob> jobs;
    jobs.reserve(circuits.size());
    for (const Circuit& circuit : circuits) {
        jobs.push_back({corner, false,
                        simulationModel(best, circuit, motor.motor.circuit,
                                        motor.motor.ratedTorque_Nm.value, corner)});
    }
    const std::vector<StartOutcome> outcomes = runStarts(best, jobs, pool, watched);
    const WindingWires wires = windingWires(best, motor, wanted, pool);
    std::vector<WiredOutcome> starts;
    starts.reserve(outcomes.size());
    for (const StartOutcome& outcome : outcomes) {
        if (const auto* error = std::get_if<SimulationError>(&outcome)) {
            starts.emplace_back(*error);
            continue;
        }
        starts.emplace_back(judgedStart(best, std::get<StartMeasurement>(outcome), wires));
    }
    return starts;
}

FoundStart foundStart(const Case& input, const WiringStudy& wiring, SimulatorPool& pool)
{
    const MotorStudy motor = motorStudy(input, wiring.circuit, pool);
    const SimulableCircuit found = simulable(wiring.found->circuit);
    const std::array<Circuit, 2> circuits = {found.circuit, wiring.circuit};
    const std::vector<WiredOutcome> outcomes =
        wiredStarts(withSource(input, motor), motor, wiring.circuit, circuits, pool, effort);
    std::array<WiredStart, 2> starts;
    for (std::size_t i = 0; i < starts.size(); ++i) {
        if (const auto* error = std::get_if<SimulationError>(&outcomes[i])) {
            throw *error;
        }
        starts[i] = std::get<WiredStart>(outcomes[i]);
    }
    const double watched_s = std::max(*starts[0].measured.end_s, *starts[1].measured.end_s);
    return {watched_s, starts[0], starts[1], found.leftOut};
}

FoundStartAnswer foundStartAnswer(const Case& input, const WiringStudy& study, SimulatorPool& pool)
{
    FoundStartAnswer answer;
    if (!study.found || study.found->isRight()) {
        return answer;
    }
    if (isShort(*study.found)) {
        answer.whyNot =
            "it is a short from line to line; nothing limits the current but the supply";
        return answer;
    }
    if (isDead(*study.found)) {
        answer.whyNot = "no current can flow through the compressor: it does nothing";
        return answer;
    }
    try {
        answer.start = foundStart(input, study, pool);
    } catch (const InputError& error) {
        answer.whyNot = std::string("the case does not tell the motor: ") + error.what();
    } catch (const SimulationError& error) {
        answer.whyNot = std::string("the simulator could not follow it: ") + error.what();
    }
    return answer;
}

}  // namespace splitstart
