#include "physics/book_bench.h"

#include <numbers>

namespace splitstart::book
{

namespace
{

Phasor impedance(const CapacitorBranch& branch, double omega_rad_s)
{
    return {branch.resistance_ohm, -1 / (omega_rad_s * branch.capacitance_F)};
}

// At one frequency two branches side by side are one branch.
std::optional<CapacitorBranch> branchOf(const StartParts& parts, Feed feed, double omega_rad_s)
{
    if (feed == Feed::runWindingAlone) {
        return std::nullopt;
    }
    if (feed == Feed::startCircuitOut || !parts.runCapacitor) {
        return feed == Feed::startCircuitIn ? parts.startCapacitor : parts.runCapacitor;
    }
    const Phasor start = impedance(parts.startCapacitor, omega_rad_s);
    const Phasor run = impedance(*parts.runCapacitor, omega_rad_s);
    const Phasor both = start * run / (start + run);
    return CapacitorBranch{.capacitance_F = -1 / (omega_rad_s * both.imag()),
                           .resistance_ohm = both.real()};
}

// More microfarads of the same kind have as much less series resistance.
CapacitorBranch scaled(const CapacitorBranch& branch, double ratio)
{
    CapacitorBranch result = branch;
    result.capacitance_F *= ratio;
    result.resistance_ohm /= ratio;
    return result;
}

StartParts scaled(StartParts parts, double ratio)
{
    if (ratio != 1) {
        parts.startCapacitor = scaled(parts.startCapacitor, ratio);
        if (parts.runCapacitor) {
            parts.runCapacitor = scaled(*parts.runCapacitor, ratio);
        }
    }
    return parts;
}

}  // namespace

Machine machineOf(const EquivalentCircuit& circuit, double winding_degC, double rated_V)
{
    const double reference_degC = circuit.resistanceTemperature_degC;
    const double copper = (234.5 + winding_degC) / (234.5 + reference_degC);
    const double cage = (225 + winding_degC) / (225 + reference_degC);
    const double omega_rad_s = 2 * std::numbers::pi * circuit.frequency_Hz;
    Machine machine;
    machine.mainResistance_ohm = copper * circuit.main_ohm;
    machine.mainLeakage_H = circuit.mainLeakage_ohm / omega_rad_s;
    machine.mainMagnetizing_H = circuit.mainMagnetizing_ohm / omega_rad_s;
    machine.rotorMainResistance_ohm = cage * circuit.rotorMain_ohm;
    machine.rotorMainLeakage_H = circuit.rotorMainLeakage_ohm / omega_rad_s;
    machine.auxiliaryResistance_ohm = copper * circuit.auxiliary_ohm;
    machine.auxiliaryLeakage_H = circuit.auxiliaryLeakage_ohm / omega_rad_s;
    machine.auxiliaryMagnetizing_H = circuit.auxiliaryMagnetizing_ohm / omega_rad_s;
    machine.rotorAuxiliaryResistance_ohm = cage * circuit.rotorAuxiliary_ohm;
    machine.rotorAuxiliaryLeakage_H = circuit.rotorAuxiliaryLeakage_ohm / omega_rad_s;
    machine.turns_ratio = circuit.turnsRatio;
    machine.polePairs = circuit.poles / 2.0;
    machine.inertia_kgm2 = circuit.inertia_kgm2;
    if (circuit.coreLoss_W > 0) {
        machine.coreLoss_ohm = 2 * rated_V * rated_V / circuit.coreLoss_W;
    }
    if (circuit.rotorBar_ohm > 0) {
        // Cold: heat raises the bar's resistance, not its inductance.
        machine.deepBar =
            DeepBar{.resistance_ohm = cage * circuit.rotorBar_ohm,
                    .inductance_H =
                        circuit.rotorBar_ohm / (2 * std::numbers::pi * circuit.rotorBarCorner_Hz)};
    }
    return machine;
}

HeldShaftBench benchWith(const StartParts& parts, double rated_V, double frequency_Hz)
{
    return [=](std::span<const HeldShaftTrial> trials) {
        const double omega_rad_s = 2 * std::numbers::pi * frequency_Hz;
        std::vector<HeldShaftResponse> responses;
        responses.reserve(trials.size());
        for (const HeldShaftTrial& trial : trials) {
            const Machine machine = machineOf(trial.circuit, trial.winding_degC, rated_V);
            const SourceImpedance behind = trial.source.value_or(SourceImpedance{});
            const Source source{.rms_V = trial.line_V,
                                .frequency_Hz = frequency_Hz,
                                .resistance_ohm = behind.resistance_ohm,
                                .inductance_H = behind.inductance_H};
            const SteadyState steady = twoRevolvingFields(
                machine, source,
                branchOf(scaled(parts, trial.capacitor_ratio), trial.feed, omega_rad_s),
                trial.speed_ratio * machine.synchronousSpeed_rad_s(frequency_Hz));
            const bool runCapacitor = parts.runCapacitor && trial.feed != Feed::runWindingAlone;
            responses.push_back(
                {.compressor_A = std::abs(steady.line_A),
                 .auxiliary_A = std::abs(steady.auxiliary_A),
                 .startWinding_V = std::abs(steady.auxiliary_V),
                 .compressor_W = (steady.terminal_V * std::conj(steady.line_A)).real(),
                 .torque_Nm = steady.torque_Nm,
                 .terminal_V = std::abs(steady.terminal_V),
                 .runWinding_V = std::abs(steady.terminal_V),
                 .runCapacitor_V =
                     runCapacitor ? std::abs(steady.terminal_V - steady.auxiliary_V) : 0});
        }
        return responses;
    };
}

}  // namespace splitstart::book
