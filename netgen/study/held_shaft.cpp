#include "study/held_shaft.h"

#include <algorithm>
#include <array>
#include <utility>

#include "spice/measurement.h"
#include "spice/netlist.h"
#include "study/corners.h"

namespace splitstart
{

SimulationRequest heldShaftRequest(const SimulationModel& model, std::vector<double> speeds_rad_s)
{
    Analysis analysis;
    analysis.kind = Analysis::Kind::fixedFrequency;
    analysis.frequency_Hz = model.frequency_Hz;
    SimulationRequest request;
    request.deck = writeDeck(model, analysis, {"shaft held", {}, false});
    request.vectors = heldShaftVectors(model);
    request.sweep = SourceSweep{std::string(shaftSource), std::move(speeds_rad_s)};
    return request;
}

namespace
{

// Close together near synchronous speed, where everything changes fast.
constexpr std::array<double, 15> speeds_ratio = {0.0,  0.15, 0.30, 0.45, 0.60, 0.70,  0.75, 0.80,
                                                 0.85, 0.90, 0.93, 0.95, 0.97, 0.985, 0.995};

// A model, and the speeds at which its shaft is held, one at least.
struct HeldRow {
    SimulationModel model;
    std::vector<double> speeds_rad_s;
};

// Runs all rows, each read by ngspice once for all its speeds; throws the first failure. Results by
// row, then by speed.
std::vector<HeldShaftMeasurement> runHeld(const std::vector<HeldRow>& rows, SimulatorPool& pool)
{
    std::vector<SimulationRequest> requests;
    requests.reserve(rows.size());
    for (const HeldRow& row : rows) {
        requests.push_back(heldShaftRequest(row.model, row.speeds_rad_s));
    }
    const std::vector<SimulationOutcome> outcomes = pool.runAll(requests);
    std::vector<HeldShaftMeasurement> results;
    for (std::size_t i = 0; i < rows.size(); ++i) {
        if (const auto* error = std::get_if<SimulationError>(&outcomes[i])) {
            throw *error;
        }
        SimulationModel model = rows[i].model;
        for (std::size_t point = 0; point < rows[i].speeds_rad_s.size(); ++point) {
            model.fixedSpeed_rad_s = rows[i].speeds_rad_s[point];
            results.push_back(measureHeldShaft(model, std::get<Waveforms>(outcomes[i]), point));
        }
    }
    return results;
}

void scale(Range& range, double ratio)
{
    range = {ratio * range.minimum, ratio * range.maximum};
}

// Stiff where the trial has no source: nameplate figures hold at the compressor's terminals.
Case caseOf(const Case& input, const HeldShaftTrial& trial)
{
    const std::optional<SourceImpedance>& source = trial.source;
    Case result = input;
    if (trial.capacitor_ratio != 1) {
        for (CatalogPart& part : result.parts.parts) {
            if (auto* start = std::get_if<StartCapacitor>(&part.data)) {
                scale(start->capacitance_F, trial.capacitor_ratio);
            } else if (auto* run = std::get_if<RunCapacitor>(&part.data)) {
                scale(run->capacitance_F, trial.capacitor_ratio);
            } else if (auto* dual = std::get_if<DualRunCapacitor>(&part.data)) {
                scale(dual->compressor_F, trial.capacitor_ratio);
            }
        }
    }
    if (source) {
        result.supply.source_ohm = source->resistance_ohm;
        result.supply.source_H = source->inductance_H;
    } else {
        result.supply.source_ohm = 0;
        result.supply.source_H = 0;
        result.supply.conductors.clear();
        result.supply.limit_A.reset();
    }
    return result;
}

}  // namespace

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

Circuit runWindingAlone(const Circuit& circuit)
{
    const std::string supply(circuit.find(PartKind::supply)->id);
    const std::string compressor(circuit.find(PartKind::compressor)->id);
    Circuit result = circuit;
    std::erase_if(result.parts, [](const CircuitPart& part) {
        return part.kind != PartKind::supply && part.kind != PartKind::compressor;
    });
    result.wires = {{{supply, "L1"}, {compressor, "R"}}, {{supply, "L2"}, {compressor, "C"}}};
    return result;
}

HeldShaftBench heldShaftBench(const Case& input, const Circuit& circuit, SimulatorPool& pool)
{
    // Neither plates nor readings at the compressor count what stands beside it.
    return [input, whole = withoutFan(circuit), alone = runWindingAlone(circuit),
            &pool](std::span<const HeldShaftTrial> trials) {
        // Trials that differ in speed alone share a row.
        std::vector<HeldShaftTrial> kinds;
        std::vector<HeldRow> rows;
        std::vector<std::pair<std::size_t, std::size_t>> placeOf;  // row, and point in it
        for (const HeldShaftTrial& trial : trials) {
            const double synchronous_rad_s =
                synchronousSpeed_rad_s(input.supply.frequency_Hz, trial.circuit.poles);
            HeldShaftTrial kind = trial;
            kind.speed_ratio = 0;
            const auto known = std::find(kinds.begin(), kinds.end(), kind);
            const auto row = static_cast<std::size_t>(known - kinds.begin());
            if (known == kinds.end()) {
                RunSetting setting;
                setting.contact = trial.feed == Feed::startCircuitIn ? StartContact::heldClosed
                                                                     : StartContact::heldOpen;
                setting.fixedSpeed_rad_s = trial.speed_ratio * synchronous_rad_s;
                const Corner corner{trial.line_V / ratedVoltage_V(input), trial.winding_degC,
                                    Release::middle, Pressures::equalised};
                const Circuit& fed = trial.feed == Feed::runWindingAlone ? alone : whole;
                kinds.push_back(kind);
                rows.push_back(
                    {simulationModel(caseOf(input, trial), fed, trial.circuit, 0, corner, setting),
                     {}});
            }
            placeOf.emplace_back(row, rows[row].speeds_rad_s.size());
            rows[row].speeds_rad_s.push_back(trial.speed_ratio * synchronous_rad_s);
        }
        std::vector<std::size_t> firstOf;
        std::size_t points = 0;
        for (const HeldRow& row : rows) {
            firstOf.push_back(points);
            points += row.speeds_rad_s.size();
        }
        const std::vector<HeldShaftMeasurement> results = runHeld(rows, pool);
        std::vector<HeldShaftResponse> responses;
        responses.reserve(trials.size());
        for (const auto& [row, point] : placeOf) {
            const HeldShaftMeasurement& measured = results[firstOf[row] + point];
            responses.push_back({measured.compressor_A, measured.auxiliary_A,
                                 measured.startWinding_V, measured.line_W, measured.torque_Nm,
                                 measured.terminal_V, measured.runWinding_V,
                                 measured.runCapacitor_V.value_or(0)});
        }
        return responses;
    };
}

std::vector<std::vector<HeldShaftTable>> heldShaftTables(std::span<const HeldMachine> machines,
                                                         const Circuit& circuit,
                                                         SimulatorPool& pool,
                                                         std::initializer_list<Release> releases)
{
    std::vector<HeldRow> rows;
    std::vector<std::vector<HeldShaftTable>> all;
    for (const HeldMachine& machine : machines) {
        const Case& input = *machine.input;
        const double synchronous_rad_s =
            synchronousSpeed_rad_s(input.supply.frequency_Hz, machine.motor->poles);
        std::vector<double> speeds_rad_s;
        speeds_rad_s.reserve(speeds_ratio.size());
        for (const double speed_ratio : speeds_ratio) {
            speeds_rad_s.push_back(speed_ratio * synchronous_rad_s);
        }
        std::vector<HeldShaftTable>& tables = all.emplace_back();
        for (const double winding_degC : {coldWinding_degC, hotWinding_degC(input)}) {
            for (const Release release : releases) {
                tables.push_back({winding_degC, release, {}, {}});
                for (const StartContact contact :
                     {StartContact::heldClosed, StartContact::heldOpen}) {
                    rows.push_back(
                        {simulationModel(input, circuit, *machine.motor, 0,
                                         {1, winding_degC, release, Pressures::equalised},
                                         {contact, speeds_rad_s.front()}),
                         speeds_rad_s});
                }
            }
        }
    }
    const std::vector<HeldShaftMeasurement> results = runHeld(rows, pool);
    auto next = results.begin();
    for (std::vector<HeldShaftTable>& tables : all) {
        for (HeldShaftTable& table : tables) {
            table.startCircuitIn.assign(next, next + speeds_ratio.size());
            next += speeds_ratio.size();
            table.startCircuitOut.assign(next, next + speeds_ratio.size());
            next += speeds_ratio.size();
        }
    }
    return all;
}

std::vector<HeldShaftTable> heldShaftTables(const Case& input, const Circuit& circuit,
                                            const EquivalentCircuit& motor, SimulatorPool& pool,
                                            std::initializer_list<Release> releases)
{
    const HeldMachine machine{&input, &motor};
    return heldShaftTables({&machine, 1}, circuit, pool, releases).front();
}

std::vector<std::optional<HeldShaftMeasurement>> offTimes(std::span<const HeldMachine> machines,
                                                          const Circuit& circuit,
                                                          SimulatorPool& pool)
{
    constexpr double leakage_A = 0.001;
    RunSetting setting{StartContact::automatic, 0.0};
    setting.switchOpen = true;
    const Circuit compressorAlone = withoutFan(circuit);
    std::vector<HeldRow> rows;
    for (const HeldMachine& machine : machines) {
        rows.push_back(
            {simulationModel(*machine.input, compressorAlone, *machine.motor, 0,
                             {1, coldWinding_degC, Release::early, Pressures::equalised}, setting),
             {0.0}});
    }
    std::vector<std::optional<HeldShaftMeasurement>> all;
    for (const HeldShaftMeasurement& measured : runHeld(rows, pool)) {
        const bool flows = measured.main_A > leakage_A || measured.auxiliary_A > leakage_A;
        all.push_back(flows ? std::optional(measured) : std::nullopt);
    }
    return all;
}

std::optional<HeldShaftMeasurement> offTime(const Case& input, const Circuit& circuit,
                                            const EquivalentCircuit& motor, SimulatorPool& pool)
{
    const HeldMachine machine{&input, &motor};
    return offTimes({&machine, 1}, circuit, pool).front();
}

}  // namespace splitstart
