#include <cmath>

#include "circuit/case_circuit.h"
#include "report/json.h"
#include "report/part_text.h"
#include "report/report.h"

namespace splitstart
{

namespace
{

Json terminalsJson(const std::vector<Terminal>& terminals)
{
    Json json = Json::array();
    for (const Terminal& terminal : terminals) {
        json.push_back(terminalText(terminal));
    }
    return json;
}

const char* stageName(WiringStage stage)
{
    return stage == WiringStage::startCircuit ? "start circuit"
           : stage == WiringStage::afterProof ? "after the proof"
                                              : "feed";
}

Json finiteOrNull(double value)
{
    return std::isfinite(value) ? Json(value) : Json(nullptr);
}

Json proofJson(const WiringStudy& study)
{
    Json json = {{"run_end", terminalText(study.plan.runEnd)},
                 {"start_end", terminalText(study.plan.startEnd)},
                 {"common_end", terminalText(study.plan.commonEnd)}};
    if (!study.proof) {
        return json;
    }
    json["run_to_common_ohm"] = study.runToCommon_ohm;
    json["start_to_common_ohm"] = study.startToCommon_ohm;
    json["across_supply_ohm"] = finiteOrNull(study.acrossSupply_ohm);
    json["from"] = study.proofFromCircuit ? "equivalent circuit" : "readings";
    json["proves_the_wiring"] = study.proof->correctIsProved;
    json["tells_all_landings_apart"] = study.proof->allToldApart;
    Json landings = Json::array();
    for (const WireLanding& landing : study.proof->landings) {
        landings.push_back({{"name", landing.name},
                            {"common_wire_on", std::string(1, landing.commonWireOn)},
                            {"start_wire_on", std::string(1, landing.startWireOn)},
                            {"run_wire_on", std::string(1, landing.runWireOn)},
                            {"run_to_common_ohm", landing.runToCommon_ohm},
                            {"start_to_common_ohm", landing.startToCommon_ohm},
                            {"told_from_correct", landing.toldFromCorrect}});
    }
    json["landings"] = landings;
    json["not_told_apart"] = study.proof->notToldApart;
    return json;
}

Json differencesJson(const std::vector<NetDifference>& differences)
{
    Json json = Json::array();
    for (const NetDifference& difference : differences) {
        Json groups = Json::array();
        for (const std::vector<Terminal>& group : difference.groups) {
            groups.push_back(terminalsJson(group));
        }
        json.push_back(groups);
    }
    return json;
}

Json foundJson(const FoundWiringStudy& found)
{
    Json json = {{"right", found.isRight()},
                 {"lines_exchanged", found.comparison.linesExchanged},
                 {"joined_but_should_be_apart", differencesJson(found.comparison.joined)},
                 {"apart_but_should_be_joined", differencesJson(found.comparison.apart)}};
    Json moves = Json::array();
    for (const WireMove& move : found.comparison.moves) {
        Json each = {{"change", move.change == WireChange::moveEnd ? "move end"
                                : move.change == WireChange::add   ? "add"
                                                                   : "remove"},
                     {"wire", {terminalText(move.wire.from), terminalText(move.wire.to)}}};
        if (move.change == WireChange::moveEnd) {
            each["from"] = terminalText(move.from);
            each["to"] = terminalText(move.to);
        }
        each["sentence"] = moveSentence(move);
        moves.push_back(each);
    }
    json["moves"] = moves;
    Json faults = Json::array();
    for (const WiringFault& fault : found.faults) {
        faults.push_back({{"finding", fault.finding},
                          {"meaning", fault.meaning},
                          {"terminals", terminalsJson(fault.terminals)}});
    }
    json["faults"] = faults;
    return json;
}

Json heatingJson(const std::optional<HeatingTime>& time)
{
    return time ? Json{{"thin_wire_s", time->thin_s}, {"thick_wire_s", time->thick_s}}
                : Json(nullptr);
}

Json wiredStartJson(const WiredStart& start)
{
    Json quantities;
    for (const StartQuantity& quantity : startQuantities()) {
        const std::optional<double>& value = start.measured.*(quantity.field);
        quantities[std::string(quantity.name)] = value ? Json(*value) : Json(nullptr);
    }
    Json opens = nullptr;
    if (start.protectorOpens_s) {
        opens =
            std::isinf(start.protectorOpens_s->minimum)
                ? Json("never")
                : Json::array({start.protectorOpens_s->minimum, start.protectorOpens_s->maximum});
    }
    return {{"starts", start.starts()},
            {"protector_opens_s", opens},
            {"turns_backwards", start.turnsBackwards()},
            {"run_winding_to_150_degc", heatingJson(start.main)},
            {"start_winding_to_150_degc", heatingJson(start.auxiliary)},
            {"quantities", quantities}};
}

Json foundStartJson(const FoundStart& start)
{
    return {{"watched_s", start.watched_s},
            {"as_found", wiredStartJson(start.asFound)},
            {"as_it_should_be", wiredStartJson(start.asItShouldBe)},
            {"left_out", start.leftOut}};
}

}  // namespace

std::string wiringJson(const Case& input, const WiringStudy& study, const FoundStartAnswer& found)
{
    Json json = {{"schema", 1}, {"case", input.name}, {"invented", input.invented}};
    json["circuit"] = {{"type", study.circuit.type},
                       {"variant", study.circuit.variant},
                       {"description", study.circuit.description}};
    json["pins"] = study.pins;
    Json parts = Json::array();
    for (const CircuitPart& part : study.circuit.parts) {
        const CatalogPart* entry = catalogPartOf(input, part.kind);
        parts.push_back(
            {{"id", part.id},
             {"kind", partKindInfo(part.kind).name},
             {"part", entry != nullptr ? Json(entry->id) : Json(nullptr)},
             {"rating", entry != nullptr ? Json(ratingText(entry->data)) : Json(nullptr)}});
    }
    json["parts"] = parts;
    Json steps = Json::array();
    for (const WiringStep& step : study.plan.steps) {
        steps.push_back({{"from", terminalText(step.wire.from)},
                         {"to", terminalText(step.wire.to)},
                         {"stage", stageName(step.stage)},
                         {"in_place_of_from", terminalsJson(step.fromMayBe)},
                         {"in_place_of_to", terminalsJson(step.toMayBe)},
                         {"far_end_after_the_proof", step.farEndLater}});
    }
    json["steps"] = steps;
    json["proof"] = proofJson(study);
    json["as_found"] = study.found ? foundJson(*study.found) : Json(nullptr);
    if (study.found) {
        json["as_found"]["start"] = found.start ? foundStartJson(*found.start) : Json(nullptr);
        json["as_found"]["not_simulated_because"] = found.whyNot;
    }
    json["identification"] = identificationJson(study.windings);
    return dumped(json);
}

}  // namespace splitstart
