#include <cmath>

#include "report/diagnosis_words.h"
#include "report/json.h"
#include "report/report.h"

namespace splitstart
{

namespace
{

// JSON has no infinity: "open" or "never" stands as it does in the text.
Json numberJson(SymptomKind kind, double value)
{
    if (std::isinf(value)) {
        return kind == SymptomKind::secondsToTrip ? "never" : "open";
    }
    return value / symptomInfo(kind).unitInSi;
}

Json rangeJson(SymptomKind kind, const Range& range)
{
    return Json::array({numberJson(kind, range.minimum), numberJson(kind, range.maximum)});
}

Json predictionJson(const Prediction& prediction)
{
    Json json = Json::object();
    for (const SymptomInfo& info : symptomKinds()) {
        const auto word = prediction.words.find(info.kind);
        const auto range = prediction.values.find(info.kind);
        if (word != prediction.words.end()) {
            json[std::string(info.name)] = word->second;
        } else if (range != prediction.values.end()) {
            json[std::string(info.name)] = rangeJson(info.kind, range->second);
        }
    }
    return json;
}

Json causeJson(const CauseResult& result, const std::vector<Symptom>& symptoms)
{
    Json json = {{"kind", causeKindName(result.cause.kind)},
                 {"what", result.cause.what},
                 {"share", result.share},
                 {"share_before", result.cause.weight},
                 {"also_by", result.cause.alsoBy},
                 {"cure", result.cause.cure}};
    if (!result.prediction().notSimulated.empty()) {
        json["not_simulated"] = result.prediction().notSimulated;
    }
    if (!result.simulatorSays().empty()) {
        json["simulator_says"] = result.simulatorSays();
    }
    Json unfitting = Json::array();
    for (const std::size_t i : result.unfitting) {
        unfitting.push_back(symptomInfo(symptoms[i].kind).name);
    }
    json["does_not_fit"] = unfitting;
    json["pressures"] =
        result.variants.front().pressures == Pressures::equalised ? "equalised" : "unequalised";
    json["expected"] = predictionJson(result.prediction());
    return json;
}

Json nextJson(const NextObservation& next)
{
    const HowToObserve how = howToObserve(next);
    Json json = {{"what", next.isWires ? "wires" : std::string(symptomInfo(next.kind).name)},
                 {"supply_on", !next.isWires && symptomInfo(next.kind).powered},
                 {"gain_bits", next.gain_bits},
                 {"how", how.how},
                 {"caution", how.caution}};
    Json outcomes = Json::array();
    for (const NextObservation::Outcome& outcome : next.outcomes) {
        Json each = {{"share", outcome.share}, {"causes", outcome.causes}};
        if (outcome.notSeen) {
            each["seen"] = nullptr;
        } else if (!outcome.word.empty()) {
            each["seen"] = outcome.word;
        } else {
            each["seen"] = rangeJson(next.kind, outcome.value);
        }
        outcomes.push_back(each);
    }
    json["outcomes"] = outcomes;
    return json;
}

}  // namespace

std::string diagnosisJson(const Case& input, const Diagnosis& diagnosis,
                          const std::vector<Symptom>& symptoms)
{
    Json json = {{"schema", 1}, {"case", input.name}, {"invented", input.invented}};
    json["circuit"] = diagnosis.circuit.description;
    json["wires_as_found"] = input.asFound.has_value();
    Json observed = Json::object();
    for (const Symptom& symptom : symptoms) {
        const std::string name(symptomInfo(symptom.kind).name);
        if (symptom.word.empty()) {
            observed[name] = numberJson(symptom.kind, symptom.value);
        } else {
            observed[name] = symptom.word;
        }
    }
    json["observed"] = observed;
    json["verdict"] = symptoms.empty()        ? "nothing observed"
                      : diagnosis.nothingFits ? "nothing fits"
                      : diagnosis.decided     ? "decided"
                                              : "undecided";
    json["one_fault_at_a_time"] = true;
    json["simulated_starts"] = diagnosis.simulated;
    Json causes = Json::array();
    for (const CauseResult& result : diagnosis.results) {
        causes.push_back(causeJson(result, symptoms));
    }
    Json groups = Json::array();
    for (const CauseGroup& group : diagnosis.groups) {
        Json apart = Json::array();
        for (const SymptomKind kind : group.toldApartBy) {
            apart.push_back(symptomInfo(kind).name);
        }
        groups.push_back(
            {{"share", group.share}, {"causes", group.causes}, {"told_apart_unpowered_by", apart}});
    }
    json["groups"] = groups;
    json["causes"] = causes;
    json["may_power"] = diagnosis.mayPower;
    json["why_not_power"] = diagnosis.whyNotPower;
    Json next = Json::array();
    for (const NextObservation& each : diagnosis.next) {
        next.push_back(nextJson(each));
    }
    json["next"] = next;
    return dumped(json);
}

}  // namespace splitstart
