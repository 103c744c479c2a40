#include "study/held_shaft.h"

#include <array>

#include "spice/measurement.h"
#include "spice/netlist.h"
#include "study/corners.h"

namespace splitstart
{

namespace
{

// Close together near synchronous speed, where everything changes fast.
constexpr std::array<double, 15> speeds_ratio = {0.0,  0.15, 0.30, 0.45, 0.60, 0.70,  0.75, 0.80,
                                                 0.85, 0.90, 0.93, 0.95, 0.97, 0.985, 0.995};

SimulationRequest heldShaftRequest(const SimulationModel& model)
{
    Analysis analysis;
    analysis.kind = Analysis::Kind::fixedFrequency;
    analysis.frequency_Hz = model.frequency_Hz;
    SimulationRequest request;
    request.deck = writeDeck(model, analysis, {"shaft held", {}, false});
    request.vectors = heldShaftVectors(model);
    return request;
}

// Runs all models; throws the first failure.
std::vector<HeldShaftMeasurement> runHeld(const std::vector<SimulationModel>& models,
                                          SimulatorPool& pool)
{
    std::vector<SimulationRequest> requests;
    requests.reserve(models.size());
    for (const SimulationModel& model : models) {
        requests.push_back(heldShaftRequest(model));
    }
    const std::vector<SimulationOutcome> outcomes = pool.runAll(requests);
    std::vector<HeldShaftMeasurement> results;
    results.reserve(models.size());
    for (std::size_t i = 0; i < models.size(); ++i) {
        if (const auto* error = std::get_if<SimulationError>(&outcomes[i])) {
            throw *error;
        }
        results.push_back(measureHeldShaft(models[i], std::get<Waveforms>(outcomes[i])));
    }
    return results;
}

// Runs each model at all those speeds, read by ngspice once for them all; throws the first failure.
// Results by model, then by speed.
std::vector<HeldShaftMeasurement> runHeld(const std::vector<SimulationModel>& models,
                                          const std::vector<double>& speeds_rad_s,
                                          SimulatorPool& pool)
{
    std::vector<SimulationRequest> requests;
    requests.reserve(models.size());
    for (const SimulationModel& model : models) {
        requests.push_back(heldShaftRequest(model));
        requests.back().sweep = SourceSweep{std::string(shaftSource), speeds_rad_s};
    }
    const std::vector<SimulationOutcome> outcomes = pool.runAll(requests);
    std::vector<HeldShaftMeasurement> results;
    results.reserve(models.size() * speeds_rad_s.size());
    for (std::size_t i = 0; i < models.size(); ++i) {
        if (const auto* error = std::get_if<SimulationError>(&outcomes[i])) {
            throw *error;
        }
        SimulationModel model = models[i];
        for (std::size_t point = 0; point < speeds_rad_s.size(); ++point) {
            model.fixedSpeed_rad_s = speeds_rad_s[point];
            results.push_back(measureHeldShaft(model, std::get<Waveforms>(outcomes[i]), point));
        }
    }
    return results;
}

// Without the fan, whichever kind it is. A fan's capacitor stays: nothing flows in one whose other
// end hangs free, and the section of a dual one cannot be taken out.
Circuit withoutFan(const Circuit& circuit)
{
    Circuit result = circuit;
    for (const PartKind kind :
         {PartKind::condenserFan, PartKind::capacitorFan, PartKind::fanCapacitor}) {
        if (const CircuitPart* part = result.find(kind)) {
            result = withoutPart(result, std::string(part->id));
        }
    }
    return result;
}

}  // namespace

HeldShaftBench heldShaftBench(const Case& input, const Circuit& circuit, SimulatorPool& pool)
{
    return [&input, &circuit, &pool](std::span<const HeldShaftTrial> trials) {
        // Nameplate figures hold at stiff terminals; neither they nor readings at the compressor
        // count what stands beside it.
        Case stiff = input;
        stiff.supply.source_ohm = 0;
        stiff.supply.source_H = 0;
        stiff.supply.conductors.clear();
        stiff.supply.limit_A.reset();
        const Circuit compressorAlone = withoutFan(circuit);
        std::vector<SimulationModel> models;
        models.reserve(trials.size());
        for (const HeldShaftTrial& trial : trials) {
            RunSetting setting;
            setting.contact =
                trial.startCircuitIn ? StartContact::heldClosed : StartContact::heldOpen;
            setting.fixedSpeed_rad_s =
                trial.speed_ratio *
                synchronousSpeed_rad_s(input.supply.frequency_Hz, trial.circuit.poles);
            const Corner corner{trial.line_V / ratedVoltage_V(input), trial.winding_degC,
                                Release::middle, Pressures::equalised};
            models.push_back(simulationModel(trial.stiff ? stiff : input, compressorAlone,
                                             trial.circuit, 0, corner, setting));
        }
        std::vector<HeldShaftResponse> responses;
        responses.reserve(trials.size());
        for (const HeldShaftMeasurement& measured : runHeld(models, pool)) {
            responses.push_back({measured.compressor_A, measured.auxiliary_A,
                                 measured.startWinding_V, measured.line_W, measured.torque_Nm});
        }
        return responses;
    };
}

std::vector<HeldShaftTable> heldShaftTables(const Case& input, const Circuit& circuit,
                                            const EquivalentCircuit& motor, SimulatorPool& pool)
{
    const double synchronous_rad_s = synchronousSpeed_rad_s(input.supply.frequency_Hz, motor.poles);
    std::vector<double> speeds_rad_s;
    speeds_rad_s.reserve(speeds_ratio.size());
    for (const double speed_ratio : speeds_ratio) {
        speeds_rad_s.push_back(speed_ratio * synchronous_rad_s);
    }
    std::vector<SimulationModel> models;
    std::vector<HeldShaftTable> tables;
    for (const double winding_degC : {coldWinding_degC, hotWinding_degC(input)}) {
        for (const Release release : {Release::early, Release::late}) {
            tables.push_back({winding_degC, release, {}, {}});
            for (const StartContact contact : {StartContact::heldClosed, StartContact::heldOpen}) {
                models.push_back(simulationModel(input, circuit, motor, 0,
                                                 {1, winding_degC, release, Pressures::equalised},
                                                 {contact, speeds_rad_s.front()}));
            }
        }
    }
    const std::vector<HeldShaftMeasurement> results = runHeld(models, speeds_rad_s, pool);
    auto next = results.begin();
    for (HeldShaftTable& table : tables) {
        table.startCircuitIn.assign(next, next + speeds_ratio.size());
        next += speeds_ratio.size();
        table.startCircuitOut.assign(next, next + speeds_ratio.size());
        next += speeds_ratio.size();
    }
    return tables;
}

std::optional<HeldShaftMeasurement> offTime(const Case& input, const Circuit& circuit,
                                            const EquivalentCircuit& motor, SimulatorPool& pool)
{
    constexpr double leakage_A = 0.001;
    RunSetting setting{StartContact::automatic, 0.0};
    setting.switchOpen = true;
    const SimulationModel model =
        simulationModel(input, withoutFan(circuit), motor, 0,
                        {1, coldWinding_degC, Release::early, Pressures::equalised}, setting);
    HeldShaftMeasurement measured = runHeld({model}, pool).front();
    const bool flows = measured.main_A > leakage_A || measured.auxiliary_A > leakage_A;
    return flows ? std::optional(measured) : std::nullopt;
}

}  // namespace splitstart
