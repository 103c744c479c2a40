#include "report/json.h"

#include "report/report.h"
#include "report/verdict.h"

namespace splitstart
{

std::string dumped(const Json& json)
{
    return json.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

namespace
{

Json quantityJson(const Quantity& quantity)
{
    return {{"value", quantity.value},
            {"origin", originName(quantity.origin)},
            {"accuracy_ratio", quantity.accuracy_ratio}};
}

}  // namespace

Json identificationJson(const MotorStudy& study)
{
    Json json;
    if (study.identification) {
        const Identification& identification = *study.identification;
        json["answer"] = identification.answer;
        json["pins"] = identification.pins;
        json["pins_from"] = identification.diagram ? "diagram" : "readings";
        json["confidence"] = confidenceInWords(identification.confidence);
        Json assignments = Json::array();
        for (const PinAssignment& each : identification.assignments) {
            assignments.push_back({{"C", each.common},
                                   {"S", each.start},
                                   {"R", each.run},
                                   {"probability", each.probability}});
        }
        json["assignments"] = assignments;
        if (identification.pattern == ReadingPattern::complete) {
            json["run_ohm"] = quantityJson(identification.run_ohm);
            json["start_ohm"] = quantityJson(identification.start_ohm);
            json["run_at_25_ohm"] = quantityJson(identification.runAt25_ohm);
            json["start_at_25_ohm"] = quantityJson(identification.startAt25_ohm);
            json["misfit_ohm"] = identification.misfit.shown_ohm;
        }
        json["misfit"] = identification.misfit.explanation;
        json["runner_up"] = identification.runnerUp;
        json["decided_by"] = identification.decidedBy;
        json["assumptions"] = identification.assumptions;
    }
    Json health = Json::array();
    for (const HealthFinding& finding : study.health.findings) {
        health.push_back({{"id", finding.id},
                          {"verdict", healthVerdictName(finding.verdict)},
                          {"what", finding.what},
                          {"next_step", finding.nextStep},
                          {"cautions", finding.cautions}});
    }
    json["health"] = health;
    json["safe_to_energise"] = {
        {"answer", study.health.safe.answer == EnergiseAnswer::yes  ? "yes"
                   : study.health.safe.answer == EnergiseAnswer::no ? "no"
                                                                    : "not known"},
        {"why", study.health.safe.why}};
    return json;
}

namespace
{

// A motor given in full needs no readings; its diagram is known all the same.
Json pinsJson(const Case& input, const MotorStudy& study)
{
    if (study.identification) {
        return {{"pins", study.identification->pins},
                {"pins_from", study.identification->diagram ? "diagram" : "readings"}};
    }
    if (const std::optional<KnownPins>& known = input.compressor.pins) {
        return {{"pins", {{"C", known->common}, {"R", known->run}, {"S", known->start}}},
                {"pins_from", "diagram"}};
    }
    return {{"pins", Json::object()}, {"pins_from", nullptr}};
}

Json cornerJson(const Corner& corner)
{
    return {
        {"line_ratio", corner.line_ratio},
        {"winding_degc", corner.winding_degC},
        {"parts", corner.release == Release::early  ? "early"
                  : corner.release == Release::late ? "late"
                                                    : "middle"},
        {"capacitors", corner.capacitors == Release::early  ? Json("upper end")
                       : corner.capacitors == Release::late ? Json("lower end")
                                                            : Json(nullptr)},
        {"restart_after_s", corner.restartAfter_s ? Json(*corner.restartAfter_s) : Json(nullptr)},
        {"switch_on_deg", corner.switchOn_deg ? Json(*corner.switchOn_deg) : Json(nullptr)},
        {"pressures", corner.pressures == Pressures::equalised ? "equalised" : "unequalised"}};
}

Json startsJson(const std::vector<StartRun>& starts)
{
    Json runs = Json::array();
    for (const StartRun& run : starts) {
        Json quantities;
        for (const StartQuantity& quantity : startQuantities()) {
            const std::optional<double>& value = run.measured.*(quantity.field);
            quantities[std::string(quantity.name)] = value ? Json(*value) : Json(nullptr);
        }
        runs.push_back({{"corner", cornerJson(run.corner)}, {"quantities", quantities}});
    }
    return runs;
}

// What flows with the switch open.
Json offTimeJson(const Evidence& evidence)
{
    if (!evidence.offTime) {
        return nullptr;
    }
    return {{"line_w", evidence.offTime->line_W},
            {"auxiliary_a", evidence.offTime->auxiliary_A},
            {"main_a", evidence.offTime->main_A}};
}

}  // namespace

Json findingJson(const Finding& finding)
{
    const Check& check = *finding.check;
    Json json = {{"id", check.id}, {"part", check.part}};
    json["corner"] = finding.hasLimit ? Json(finding.corner) : Json(nullptr);
    json["value"] = finding.hasValue ? Json(finding.value) : Json(nullptr);
    json["limit"] = finding.hasLimit ? Json(finding.limit) : Json(nullptr);
    json["unit"] = check.unit;
    json["margin"] = finding.hasValue ? Json(finding.margin) : Json(nullptr);
    json["verdict"] = verdictName(finding.verdict);
    json["narrow"] = isNarrow(finding);
    json["because"] = finding.because;
    json["machines"] = finding.samples;
    json["of_machines"] = finding.lookedAt;
    json["among"] = finding.presumed == Presumes::nothing ? Json(nullptr)
                                                          : Json(presumptionText(finding.presumed));
    json["holds_in"] = finding.holds;
    json["fails_in"] = finding.fails;
    json["hangs_on"] = finding.hangsOn;
    json["meaning"] = check.meaning;
    json["rule"] = check.rule;
    json["basis"] = check.source;
    json["remedy"] = check.remedy;
    return json;
}

namespace
{

Json nextJson(const std::vector<NextMeasurement>& next)
{
    Json json = Json::array();
    for (const NextMeasurement& each : next) {
        json.push_back({{"what", each.what},
                        {"instrument", each.instrument},
                        {"how", each.how},
                        {"caution", each.caution},
                        {"field", each.field},
                        {"settles", each.settles},
                        {"explains", each.explains}});
    }
    return json;
}

// The whole answer, ahead of what it rests on.
void addVerdict(Json& json, const MotorStudy& motor, const std::vector<Finding>& findings)
{
    const VerdictCounts counts = verdictCounts(motor, findings);
    json["verdict"] = fitnessName(fitnessOf(motor, findings));
    json["counts"] = {
        {"fail", counts.fail}, {"undecided", counts.undecided}, {"pass", counts.pass}};
}

Json motorJson(const MotorStudy& study)
{
    Json parameters = Json::array();
    for (const MotorParameter& parameter : study.motor.parameters) {
        Json json = quantityJson(parameter.value);
        json["name"] = parameter.name;
        json["unit"] = parameter.unit;
        json["basis"] = parameter.basis;
        parameters.push_back(json);
    }
    Json fit = Json::array();
    for (const FitResidual& residual : study.residuals) {
        fit.push_back({{"name", residual.name},
                       {"unit", residual.unit},
                       {"wanted", residual.wanted},
                       {"reproduced", residual.reproduced}});
    }
    return {{"parameters", parameters},
            {"fit", fit},
            {"contradictions", study.contradictions},
            {"notes", study.notes}};
}

}  // namespace

std::string identifyJson(const std::string& name, bool invented, const MotorStudy& study)
{
    Json json = {{"schema", 1}, {"case", name}, {"invented", invented}};
    json.update(identificationJson(study));
    return dumped(json);
}

std::string condemnedJson(const Case& input, const MotorStudy& study)
{
    Json json = {{"schema", 1}, {"case", input.name}, {"invented", input.invented}};
    addVerdict(json, study, {});
    json.update(identificationJson(study));
    return dumped(json);
}

std::string whatNextJson(const Case& input, const CheckStudy& study,
                         const std::vector<NextMeasurement>& next)
{
    Json json = {{"schema", 1}, {"case", input.name}, {"invented", input.invented}};
    addVerdict(json, study.motor, study.findings);
    Json undecided = Json::array();
    for (const Finding& finding : study.findings) {
        if (finding.verdict == Verdict::undecided) {
            undecided.push_back(findingJson(finding));
        }
    }
    json["undecided"] = undecided;
    json["next_measurements"] = nextJson(next);
    return dumped(json);
}

std::string checkJson(const Case& input, const CheckStudy& study,
                      const std::vector<NextMeasurement>& next)
{
    Json json = {{"schema", 1}, {"case", input.name}, {"invented", input.invented}};
    addVerdict(json, study.motor, study.findings);
    json.update(pinsJson(input, study.motor));
    json["circuit"] = {{"type", study.circuit.type},
                       {"variant", study.circuit.variant},
                       {"description", study.circuit.description}};
    Json findings = Json::array();
    for (const Finding& finding : study.findings) {
        findings.push_back(findingJson(finding));
    }
    json["findings"] = findings;
    json["machines_looked_at"] = study.machines.size();
    json["next_measurements"] = nextJson(next);
    json["identification"] = identificationJson(study.motor);
    json["motor"] = motorJson(study.motor);
    Json units;
    for (const StartQuantity& quantity : startQuantities()) {
        units[std::string(quantity.name)] = {{"unit", quantity.unit},
                                             {"meaning", quantity.meaning}};
    }
    const Evidence& best = study.evidence.front();
    json["measurements"] = {{"quantities", units},
                            {"starts", startsJson(best.starts)},
                            {"restarts", startsJson(best.restarts)},
                            {"off_time", offTimeJson(best)}};
    return dumped(json);
}

}  // namespace splitstart
