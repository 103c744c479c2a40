#include "study/found_start.h"

#include <algorithm>
#include <array>

#include "motor/winding_heat.h"
#include "rating/winding_range.h"
#include "study/corners.h"
#include "study/held_shaft.h"

namespace splitstart
{

namespace
{

// Long enough to see an ordinary protector open beside a stalled motor (common practice, no source:
// 2 to 10 s at locked-rotor amps).
constexpr double watched_s = 10;
constexpr double largestStep_s = 3e-4;
constexpr double finerStep_s = 1e-4;
constexpr double settledFor_s = 0.5;

// Insulation of hermetic motors ages fast beyond it (assumed, no source).
constexpr double hot_degC = 150;

// What a start that stays in does to a winding in an hour is no matter of seconds.
constexpr double longest_s = 300;

SimulationRequest startRequest(const SimulationModel& model, double step_s)
{
    Analysis analysis;
    analysis.largestStep_s = step_s;
    analysis.end_s = endBetweenSteps_s(watched_s, step_s);
    SimulationRequest request;
    request.deck = writeDeck(model, analysis, {"start as wired", {}, false});
    request.vectors = startVectors(model);
    request.end_s = analysis.end_s;
    request.stop =
        StopRule{"speed", upToSpeed_ratio * model.synchronousSpeed_rad_s, settledFor_s, 0};
    return request;
}

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
    return time.thin_s < longest_s ? std::optional(time) : std::nullopt;
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

FoundStart foundStart(const Case& input, const WiringStudy& wiring, SimulatorPool& pool)
{
    const MotorStudy motor = motorStudy(input, wiring.circuit, pool);
    const Case best = withSource(input, motor);
    const SimulableCircuit found = simulable(wiring.found->circuit);
    const Corner corner{1, coldWinding_degC, Release::middle, best.compressor.load.pressures};
    std::vector<SimulationModel> models;
    std::vector<SimulationRequest> requests;
    for (const Circuit* circuit : {&found.circuit, &wiring.circuit}) {
        models.push_back(simulationModel(best, *circuit, motor.motor.circuit,
                                         motor.motor.ratedTorque_Nm.value, corner));
        requests.push_back(startRequest(models.back(), largestStep_s));
    }
    std::vector<SimulationOutcome> outcomes = pool.runAll(requests);
    std::array<WiredStart, 2> starts;
    for (std::size_t i = 0; i < starts.size(); ++i) {
        const auto* broken = std::get_if<SimulationError>(&outcomes[i]);
        if (broken != nullptr && broken->fault() == SimulationFault::aborted) {
            // Where it breaks off hangs on where the steps happen to fall.
            const SimulationRequest again = startRequest(models[i], finerStep_s);
            outcomes[i] = std::move(pool.runAll({&again, 1}).front());
        }
        if (const auto* error = std::get_if<SimulationError>(&outcomes[i])) {
            throw *error;
        }
        starts[i].measured = measureStart(models[i], std::get<Waveforms>(outcomes[i]));
        outcomes[i] = Waveforms();
    }
    // The wire's thickness is judged by the circuit as it should be.
    Evidence evidence;
    evidence.held =
        heldShaftTables(best, wiring.circuit, motor.motor.circuit, pool, {Release::middle});
    evidence.auxiliaryOnLine_A = auxiliaryOnLine_A(motor.motor.circuit, ratedVoltage_V(best));
    const CheckContext context{best, wiring.circuit, evidence};
    for (WiredStart& start : starts) {
        const StartMeasurement& measured = start.measured;
        const bool over = start.starts() && measured.startContactAtEnd.value_or(0) < 0.5;
        if (!over) {
            start.main = heatingTime(mainWinding(context), measured.mainHeat_A2s, *measured.end_s);
            start.auxiliary =
                heatingTime(auxiliaryWinding(context), measured.auxiliaryHeat_A2s, *measured.end_s);
        }
    }
    return {watched_s, starts[0], starts[1], found.leftOut};
}

}  // namespace splitstart
