#include "study/wiring_study.h"

#include <utility>

#include "circuit/as_found.h"
#include "circuit/case_circuit.h"
#include "circuit/ohm_network.h"

namespace splitstart
{

namespace
{

// What a perfect meter would show at the pins of a motor that is given in full, with the accuracy
// of an ordinary one.
Readings readingsOf(const EquivalentCircuit& motor, const KnownPins& pins)
{
    Readings readings;
    readings.readings = {
        {pins.common, pins.run, motor.main_ohm, {}},
        {pins.common, pins.start, motor.auxiliary_ohm, {}},
        {pins.start, pins.run, motor.main_ohm + motor.auxiliary_ohm, {}},
    };
    readings.windingTemperature_degC = motor.resistanceTemperature_degC;
    readings.windingTemperatureGiven = true;
    readings.leadGiven = true;
    return readings;
}

}  // namespace

WiringStudy wiringStudy(const Case& input)
{
    WiringStudy study;
    study.circuit = caseCircuit(input);
    study.plan = wiringPlan(study.circuit);
    if (input.asFound) {
        FoundWiringStudy& found = study.found.emplace();
        found.circuit = asFoundCircuit(study.circuit, *input.asFound);
        found.comparison = compareWiring(study.circuit, found.circuit);
        found.faults = wiringFaults(found.circuit);
    }
    study.windings = windingStudy(input);
    if (const std::optional<KnownPins>& known = input.compressor.pins) {
        study.pins = {{"C", known->common}, {"R", known->run}, {"S", known->start}};
    } else if (study.windings.identification &&
               study.windings.identification->confidence >= Confidence::likely) {
        study.pins = study.windings.identification->pins;
    }
    std::optional<Identification> identification = study.windings.identification;
    std::optional<Readings> meter = input.compressor.readings;
    if (!meter && input.compressor.equivalentCircuit) {
        const KnownPins pins = input.compressor.pins.value_or(KnownPins{"C", "S", "R", {}});
        meter = readingsOf(*input.compressor.equivalentCircuit, pins);
        identification = identify(*meter, {}, pins);
        study.proofFromCircuit = true;
    }
    if (!identification || identification->pattern != ReadingPattern::complete) {
        return study;
    }
    study.proof = coldProof(*identification, *meter);
    const WindingOhms windings{identification->run_ohm.value, identification->start_ohm.value};
    const Circuit proved = wiredForProof(study.circuit, study.plan);
    const auto between = [&](const Circuit& circuit, const Terminal& a, const Terminal& b) {
        return ohmsBetween(circuit, branchesAtRest(input, circuit, windings), a, b);
    };
    study.runToCommon_ohm = between(proved, study.plan.runEnd, study.plan.commonEnd);
    study.startToCommon_ohm = between(proved, study.plan.startEnd, study.plan.commonEnd);
    const std::string supply(study.circuit.find(PartKind::supply)->id);
    study.acrossSupply_ohm = between(study.circuit, {supply, "L1"}, {supply, "L2"});
    return study;
}

}  // namespace splitstart
