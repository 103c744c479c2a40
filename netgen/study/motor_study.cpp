#include <fmt/format.h>

#include <cmath>
#include <numbers>
#include <optional>
#include <utility>

#include "case/input_error.h"
#include "circuit/case_circuit.h"
#include "circuit/part_notes.h"
#include "motor/compressor_load.h"
#include "motor/locked_rotor_code.h"
#include "motor/winding_temperature.h"
#include "study/case_study.h"
#include "study/held_shaft.h"

namespace splitstart
{

namespace
{

constexpr double wattsPerHorsepower = 745.7;

[[noreturn]] void refuse(const Case& input, const char* field, const std::string& found,
                         const std::string& allowed)
{
    refuseInput({input.file, 0}, field, found, allowed);
}

// Locked-rotor amps by the plate's code letter and output, in the middle of the letter's range (of
// about 6 % either way), where the plate gives no amps.
std::optional<double> lockedRotorByCodeLetter_A(const Case& input)
{
    const Nameplate& plate = input.compressor.nameplate;
    if (!plate.codeLetter || !plate.output_W) {
        return std::nullopt;
    }
    const std::optional<Range> range_A = lockedRotorRange_A(
        *plate.codeLetter, *plate.output_W / wattsPerHorsepower, ratedVoltage_V(input));
    if (!range_A || !std::isfinite(range_A->maximum)) {
        return std::nullopt;
    }
    return range_A->middle();
}

// Transformer, service and a short run of cable (computed from usual sizes; below the reference of
// IEC 60725, 0.4 + j0.25 ohm at 230 V, that nine in ten homes stay under, from memory).
SourceImpedance usualSource(const Supply& supply)
{
    constexpr double lowestOfTwoLines_V = 160;
    const double radian = 2 * std::numbers::pi * supply.frequency_Hz;
    return supply.voltage_V < lowestOfTwoLines_V ? SourceImpedance{0.24, 0.05 / radian}
                                                 : SourceImpedance{0.15, 0.08 / radian};
}

EstimationInput estimationInput(const Case& input, const Identification& identification)
{
    const Compressor& compressor = input.compressor;
    EstimationInput result;
    result.main_ohm = identification.runAt25_ohm;
    result.auxiliary_ohm = identification.startAt25_ohm;
    result.poles = compressor.poles;
    result.polesGiven = compressor.polesGiven;
    result.line_V = ratedVoltage_V(input);
    result.frequency_Hz = input.supply.frequency_Hz;
    result.nameplate = compressor.nameplate;
    if (!result.nameplate.lockedRotor_A) {
        result.nameplate.lockedRotor_A = lockedRotorByCodeLetter_A(input);
    }
    result.measurements = compressor.measurements;
    result.twoFeedTest = compressor.twoFeedTest;
    result.measuredAt_V = input.supply.voltage_V;
    const Supply& supply = input.supply;
    result.sourceGiven = supply.sourceImpedanceGiven || !supply.conductors.empty();
    result.source = result.sourceGiven ? SourceImpedance{supply.source_ohm, supply.source_H}
                                       : usualSource(supply);
    result.hasRunCapacitor = input.circuit && !input.circuit->runCapacitor.empty();
    result.hasStartCapacitor = input.circuit && !input.circuit->startCapacitor.empty();
    result.startCircuitLeaves = input.circuit && !input.circuit->startDevice.empty();
    result.loadTorque_Nm = compressor.load.torque_Nm;
    if (compressor.load.kind == LoadKind::none) {
        result.loadTorque_Nm = 0;
    }
    const LoadParameters load = loadParameters(compressor.load, 1.0);
    result.runUp.buildUp_revolutions = load.buildUp_revolutions;
    // Equalised, the first turn meets the friction of the pump alone.
    result.runUp.atRest_ratio = load.buildUp_revolutions > 0 ? load.friction_Nm : 1.0;
    return result;
}

void requireSoundReadings(const Case& input, const MotorStudy& study)
{
    if (!study.identification) {
        refuseMissing(
            {input.file, 0}, "compressor/readings",
            "three resistance readings and a nameplate, or an equivalent circuit in full");
    }
    if (study.identification->pattern == ReadingPattern::contradictsDiagram) {
        refuse(input, "compressor/readings", study.identification->answer,
               "readings that agree with the diagram; see `splitstart identify` for what to do "
               "next");
    }
    if (study.identification->pattern != ReadingPattern::complete) {
        refuse(input, "compressor/readings", study.identification->answer,
               "readings of three sound windings; see `splitstart identify` for what to do next");
    }
    const Nameplate& plate = input.compressor.nameplate;
    if (!plate.lockedRotor_A && !plate.ratedLoad_A && !lockedRotorByCodeLetter_A(input)) {
        refuse(input, "compressor/nameplate", "neither locked-rotor-amps nor rated-load-amps",
               "at least one of them, or code-letter and output: resistances alone do not "
               "determine the "
               "motor");
    }
}

// How the equivalent circuit that was given agrees with the readings and the plate beside it.
std::vector<FitResidual> givenMotorResiduals(const Case& input, const MotorStudy& study,
                                             const HeldShaftBench& bench)
{
    std::vector<FitResidual> residuals;
    const EquivalentCircuit& circuit = study.motor.circuit;
    const auto addWinding = [&](const char* name, const Quantity& read_ohm, double given_ohm) {
        // The circuit itself is as good as a bench measurement (5 %, assumed).
        constexpr double benchAccuracy_ratio = 0.05;
        residuals.push_back({name, "ohm", read_ohm.value,
                             resistanceAt_ohm(given_ohm, circuit.resistanceTemperature_degC, 25),
                             read_ohm.accuracy_ratio + benchAccuracy_ratio});
    };
    if (study.identification && study.identification->pattern == ReadingPattern::complete) {
        addWinding("run winding resistance at 25 degC", study.identification->runAt25_ohm,
                   circuit.main_ohm);
        addWinding("start winding resistance at 25 degC", study.identification->startAt25_ohm,
                   circuit.auxiliary_ohm);
    }
    if (input.compressor.nameplate.lockedRotor_A) {
        constexpr double plateAccuracy_ratio = 0.15;
        const HeldShaftTrial stalled{circuit, ratedVoltage_V(input), 0, 25};
        residuals.push_back({"locked-rotor amps", "A", *input.compressor.nameplate.lockedRotor_A,
                             bench({&stalled, 1}).front().compressor_A, plateAccuracy_ratio});
    }
    return residuals;
}

}  // namespace

Case completeCase(Case input)
{
    const Nameplate& plate = input.compressor.nameplate;
    if (input.supplyGiven) {
        return input;
    }
    if (!plate.voltage_V || !plate.frequency_Hz) {
        refuseMissing({input.file, 0}, "case/supply",
                      "a <supply volts=... hertz=...>, or a nameplate with volts and hertz");
    }
    input.supply.voltage_V = *plate.voltage_V;
    input.supply.frequency_Hz = *plate.frequency_Hz;
    return input;
}

MotorStudy windingStudy(const Case& input)
{
    MotorStudy study;
    if (input.compressor.readings) {
        study.identification = identify(*input.compressor.readings, {}, input.compressor.pins);
    }
    study.health = assessHealth(input.compressor, study.identification);
    return study;
}

void requireMotor(const Case& input)
{
    if (!input.compressor.equivalentCircuit) {
        return requireSoundReadings(input, windingStudy(input));
    }
    const bool hasLoad = input.compressor.load.kind != LoadKind::none;
    if (hasLoad && !input.compressor.load.torque_Nm) {
        refuseMissing({input.file, 0}, "compressor/load/torque-newton-metres",
                      "the mean load torque, since an equivalent circuit does not tell it; or "
                      "kind=\"none\" for a free shaft");
    }
}

MotorStudy motorStudy(const Case& input, const Circuit& circuit, SimulatorPool& pool,
                      std::uint64_t seed)
{
    requireMotor(input);
    MotorStudy study = windingStudy(input);
    study.source = {input.supply.source_ohm, input.supply.source_H};
    if (input.compressor.equivalentCircuit) {
        study.motor = givenMotor(input.compressor);
        study.residuals = givenMotorResiduals(input, study, heldShaftBench(input, circuit, pool));
        if (const std::string note = twoCagesNote(study.motor.circuit); !note.empty()) {
            study.notes.push_back(note);
        }
        if (study.motor.circuit.saturationSlope_ratio > 0) {
            study.notes.emplace_back(
                "saturation counts in the simulated starts; checks at held speeds, which do not "
                "show "
                "it, are undecided");
        }
    } else {
        const EstimationInput estimation = estimationInput(input, *study.identification);
        MotorEstimate estimate =
            estimateMotor(estimation, heldShaftBench(input, circuit, pool), seed);
        study.motor = std::move(estimate.motor);
        study.source = estimate.source;
        study.residuals = std::move(estimate.residuals);
        study.contradictions = std::move(estimate.contradictions);
        study.notes = std::move(estimate.notes);
        study.posterior = std::move(estimate.posterior);
        if (!input.compressor.nameplate.lockedRotor_A && lockedRotorByCodeLetter_A(input)) {
            study.notes.emplace_back(
                "locked-rotor amps taken from the nameplate's code letter and output (NEMA MG 1)");
        }
    }
    for (const std::string& note : assumedPartNotes(input)) {
        study.notes.push_back(note);
    }
    for (const std::string& note : assumedLoadNotes(input.compressor.load)) {
        study.notes.push_back(note);
    }
    return study;
}

}  // namespace splitstart
