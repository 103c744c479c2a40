// Which parts of a stock to fit, for machines.
#include "report/json.h"
#include "report/report.h"
#include "report/verdict.h"

namespace splitstart
{

namespace
{

constexpr double micro = 1e6;

Json idOrNull(const std::string& id)
{
    return id.empty() ? Json(nullptr) : Json(id);
}

Json combinationJson(const Combination& combination)
{
    Json json = {{"name", combinationName(combination)},
                 {"start_device", idOrNull(combination.choice.startDevice)},
                 {"start_capacitor", idOrNull(combination.choice.startCapacitor)},
                 {"run_capacitor", idOrNull(combination.choice.runCapacitor)}};
    json["pair"] = nullptr;
    if (combination.pair) {
        const CapacitorPair& pair = *std::get<StartCapacitor>(combination.pair->data).pair;
        json["pair"] = {
            {"first", pair.first},
            {"second", pair.second},
            {"connection", pair.connection == PairConnection::parallel ? "parallel" : "series"}};
    }
    return json;
}

const char* depthName(Depth depth)
{
    return depth == Depth::labels      ? "labels"
           : depth == Depth::heldShaft ? "held shaft"
           : depth == Depth::fewStarts ? "few starts"
                                       : "starts";
}

Json candidateJson(const Candidate& candidate, const std::vector<Finding>& everywhere)
{
    Json json = combinationJson(candidate.combination);
    json["outcome"] = outcomeName(candidate.rank.outcome);
    json["looked_at"] = depthName(candidate.depth);
    json["not_simulated"] = idOrNull(candidate.notSimulated);
    json["worst_margin_percent"] = candidate.rank.margins_percent.empty()
                                       ? Json(nullptr)
                                       : Json(candidate.rank.margins_percent.front());
    json["starting_torque_nm"] = candidate.rank.startingTorque_Nm;
    Json fails = Json::array();
    Json open = Json::array();
    for (const Finding& each : candidate.findings) {
        bool apart = false;
        for (const Finding& other : everywhere) {
            apart = apart || other.check == each.check;
        }
        if (!apart && each.verdict == Verdict::fail) {
            fails.push_back(each.check->id);
        } else if (!apart && each.verdict == Verdict::undecided &&
                   candidate.depth == Depth::starts) {
            open.push_back(each.check->id);
        }
    }
    json["fails"] = fails;
    json["undecided"] = open;
    return json;
}

Json findingsJson(const std::vector<Finding>& findings)
{
    Json json = Json::array();
    for (const Finding& each : findings) {
        json.push_back(findingJson(each));
    }
    return json;
}

Json rangeJson(double minimum, double maximum)
{
    return {{"minimum", minimum}, {"maximum", maximum}};
}

Json rowJson(const RatingRow& row)
{
    Json json;
    json["start_capacitor_uf"] = row.capacitance_F ? rangeJson(row.capacitance_F->minimum * micro,
                                                               row.capacitance_F->maximum * micro)
                                                   : Json(nullptr);
    json["in_stock"] = row.onShelf;
    json["start_capacitor_sees_v"] = row.seen_V;
    json["start_capacitor_volts"] = row.printed_V > 0 ? Json(row.printed_V) : Json(nullptr);
    json["potential_relay"] = nullptr;
    json["current_relay"] = nullptr;
    if (const auto& need = row.device.potential) {
        json["potential_relay"] = {
            {"pick_up_v", rangeJson(need->lowestPickUp_V, need->highestPickUp_V)},
            {"highest_drop_out_v", need->highestDropOut_V},
            {"coil_continuous_v", need->coilContinuous_V},
            {"contact_a", row.device.contact_A}};
    }
    if (const auto& need = row.device.current) {
        json["current_relay"] = {
            {"pull_in_a", rangeJson(need->lowestPullIn_A, need->highestPullIn_A)},
            {"drop_out_a", rangeJson(need->lowestDropOut_A,
                                     std::min(need->highestDropOut_A, need->highestPullIn_A))},
            {"coil_continuous_a", need->coilContinuous_A},
            {"contact_a", row.device.contact_A}};
    }
    return json;
}

Json bandsJson(const RatingBands& bands)
{
    Json json = {{"circuit", bands.circuit},
                 {"start_device_kind",
                  bands.device ? Json(partKindInfo(*bands.device).name) : Json(nullptr)},
                 {"start_device", idOrNull(bands.deviceId)}};
    json["run_capacitor"] = nullptr;
    if (bands.run) {
        json["run_capacitor"] = {
            {"microfarads", bands.run->used_F * micro},
            {"as_the_case_has_it", bands.run->ofCase},
            {"passing_microfarads",
             rangeJson(bands.run->nominal_F.minimum * micro, bands.run->nominal_F.maximum * micro)},
            {"least_v", bands.run->least_V}};
    }
    Json rows = Json::array();
    for (const RatingRow& row : bands.rows) {
        rows.push_back(rowJson(row));
    }
    json["rows"] = rows;
    json["best_row"] = bands.best ? Json(*bands.best) : Json(nullptr);
    json["best_row_judged"] = bands.proof ? Json(outcomeName(*bands.proof)) : Json(nullptr);
    json["nothing_would_do"] = bands.rows.empty();
    json["nearest"] = nullptr;
    if (bands.nearest) {
        json["nearest"] = rowJson(*bands.nearest);
        json["nearest"]["why"] = bands.nearest->why;
        json["nearest"]["finding"] = bands.nearest->failing.check != nullptr
                                         ? findingJson(bands.nearest->failing)
                                         : Json(nullptr);
    }
    return json;
}

}  // namespace

std::string choiceJson(const Case& input, const Choice& choice)
{
    Json json = {{"schema", 1}, {"case", input.name}, {"invented", input.invented}};
    const SureChoice* const best = choice.recommended ? &choice.sure[*choice.recommended] : nullptr;
    json["verdict"] = choice.motor.health.safe.answer == EnergiseAnswer::no ? "do not energise"
                      : isFit(choice)                                       ? "fit"
                      : !choice.motorKnown || (best != nullptr && best->outcome != Outcome::fail)
                          ? "not decided"
                          : "nothing fit";
    json["start_parts"] = best != nullptr ? Json(outcomeName(best->outcome)) : Json(nullptr);
    json["recommended"] = nullptr;
    if (best != nullptr) {
        const Candidate& candidate = choice.candidates[best->candidate];
        json["recommended"] = candidateJson(candidate, choice.everywhere);
        json["recommended"]["case_lines"] = caseLines(candidate.combination);
    }
    Json sure = Json::array();
    for (const SureChoice& each : choice.sure) {
        const VerdictCounts counts = verdictCounts(each.study.motor, each.study.findings);
        sure.push_back(
            {{"name", choice.candidates[each.candidate].rank.name},
             {"outcome", outcomeName(each.outcome)},
             {"machines_looked_at", each.study.machines.size()},
             {"counts",
              {{"fail", counts.fail}, {"undecided", counts.undecided}, {"pass", counts.pass}}},
             {"findings", findingsJson(each.study.findings)}});
    }
    json["judged"] = sure;
    json["whatever_is_fitted"] = findingsJson(choice.everywhere);
    Json candidates = Json::array();
    for (const Candidate& each : choice.candidates) {
        candidates.push_back(candidateJson(each, choice.everywhere));
    }
    json["combinations"] = candidates;
    Json rejected = Json::array();
    for (const Rejection& each : choice.rejections) {
        rejected.push_back({{"part", each.part},
                            {"at_its_best_in", choice.candidates[each.candidate].rank.name},
                            {"finding", each.finding.check != nullptr ? findingJson(each.finding)
                                                                      : Json(nullptr)}});
    }
    json["rejected"] = rejected;
    Json unused = Json::array();
    for (const UnusedPart& each : choice.offer.unused) {
        unused.push_back({{"part", each.id}, {"why", each.why}});
    }
    json["not_used"] = unused;
    Json bands = Json::array();
    for (const RatingBands& each : choice.bands) {
        bands.push_back(bandsJson(each));
    }
    json["ratings_to_ask_for"] = bands;
    json["identification"] = identificationJson(choice.motor);
    Json notes = choice.notes;
    for (const std::string& note : choice.motor.notes) {
        notes.push_back(note);
    }
    json["notes"] = notes;
    return dumped(json);
}

}  // namespace splitstart
