#include "calibration/judged_case.h"

#include <cmath>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "calibration/field_readings.h"
#include "calibration/true_machine.h"
#include "case/input_error.h"
#include "circuit/case_circuit.h"
#include "motor/motor.h"
#include "study/case_study.h"
#include "study/held_shaft.h"
#include "study/start_runs.h"

namespace splitstart::calibration
{

namespace
{

using Json = nlohmann::json;

// All that the true machine does: its parts have one value each, so that the ends of the
// tolerances are one.
Evidence trueEvidence(const TrueMachine& machine, double settled_s, SimulatorPool& pool)
{
    std::vector<StartJob> jobs;
    std::set<std::string> known;
    const auto add = [&](Corner corner, bool restart) {
        corner.release = Release::middle;
        corner.capacitors.reset();
        if (known.insert(cornerText(corner)).second) {
            jobs.push_back({corner, restart,
                            simulationModel(machine.real, machine.circuit, machine.motor,
                                            machine.rated.torque_Nm, corner)});
        }
    };
    for (const Corner& corner : checkCorners(machine.real)) {
        add(corner, false);
    }
    for (const Corner& corner : restartCorners(machine.real)) {
        add(corner, true);
    }
    Evidence evidence;
    evidence.ratedTorque_Nm = machine.rated.torque_Nm;
    const std::vector<StartOutcome> outcomes =
        runStarts(machine.real, jobs, pool, {Analysis().largestStep_s, settled_s});
    for (std::size_t i = 0; i < jobs.size(); ++i) {
        if (const auto* error = std::get_if<SimulationError>(&outcomes[i])) {
            throw SimulationError(*error);
        }
        (jobs[i].restart ? evidence.restarts : evidence.starts)
            .push_back({jobs[i].corner, std::get<StartMeasurement>(outcomes[i])});
    }
    evidence.held =
        heldShaftTables(machine.real, machine.circuit, machine.motor, pool, {Release::middle});
    evidence.auxiliaryOnLine_A = auxiliaryOnLine_A(machine.motor, machine.draw.rated_V);
    evidence.offTime = offTime(machine.real, machine.circuit, machine.motor, pool);
    return evidence;
}

// The true value of each number that the tool states of a motor, by the tool's name for it.
std::map<std::string, double> trueParameters(const TrueMachine& machine)
{
    const EquivalentCircuit& motor = machine.motor;
    return {
        {"run winding resistance at 25 degC", motor.main_ohm},
        {"start winding resistance at 25 degC", motor.auxiliary_ohm},
        {"turns ratio, start to run winding", motor.turnsRatio},
        {"run winding leakage reactance", motor.mainLeakage_ohm},
        {"rotor leakage reactance, run axis", motor.rotorMainLeakage_ohm},
        {"run axis magnetising reactance", motor.mainMagnetizing_ohm},
        {"rotor resistance at 25 degC, run axis", motor.rotorMain_ohm},
        {"rise of the rotor's resistance at line frequency", machine.draw.rise_ratio},
        {"start winding leakage reactance", motor.auxiliaryLeakage_ohm},
        {"start axis magnetising reactance", motor.auxiliaryMagnetizing_ohm},
        {"rotor resistance at 25 degC, start axis", motor.rotorAuxiliary_ohm},
        {"rotor leakage reactance, start axis", motor.rotorAuxiliaryLeakage_ohm},
        {"slip at rated load", machine.draw.ratedSlip_ratio},
        {"core loss", motor.coreLoss_W},
        {"friction and windage", motor.friction_W},
        {"inertia of rotor and crank", motor.inertia_kgm2},
        {"load torque at rated load", machine.rated.torque_Nm},
        {"source resistance of the supply", machine.real.supply.source_ohm},
    };
}

Json parametersOf(const Motor& motor, const TrueMachine& machine)
{
    constexpr double ninetyFivePercent = 1.96;
    const std::map<std::string, double> truth = trueParameters(machine);
    Json rows = Json::array();
    for (const MotorParameter& parameter : motor.parameters) {
        const auto found = truth.find(parameter.name);
        if (found == truth.end() || parameter.value.accuracy_ratio <= 0) {
            continue;
        }
        const double deviation = std::log1p(parameter.value.accuracy_ratio) / ninetyFivePercent;
        rows.push_back(
            {{"name", parameter.name},
             {"true", found->second},
             {"estimate", parameter.value.value},
             {"accuracy", parameter.value.accuracy_ratio},
             {"deviations", std::log(found->second / parameter.value.value) / deviation}});
    }
    return rows;
}

Json findingsOf(const CheckStudy& study, const TrueMachine& machine, const Evidence& evidence)
{
    Json rows = Json::array();
    for (const Finding& finding : study.findings) {
        if (finding.check->asksTheCaseOnly) {
            continue;
        }
        const CheckContext real = {machine.real, machine.circuit, evidence};
        const SampleReading truth = sampleReading(*finding.check, real);
        // Said of machines that start, of one that does not: neither true nor false. Nor is a
        // failure refuted by the starts that come about, where those that do not would fail.
        const CheckReading all = finding.check->read(real);
        const Comparison* worst = worstOf(all);
        const bool moot = finding.presumed == Presumes::nothing &&
                          finding.verdict == Verdict::fail && truth.holds() && worst != nullptr &&
                          worst->margin() < 0;
        const bool open =
            !truth.clear || moot || (!truth.asked && finding.presumed != Presumes::nothing);
        Json row = {{"id", finding.check->id},
                    {"verdict", verdictName(finding.verdict)},
                    {"samples", finding.samples},
                    {"holds", finding.holds},
                    {"fails", finding.fails},
                    {"motor_unknown", finding.motorUnknown},
                    {"corner", finding.corner},
                    {"presumed", finding.presumed != Presumes::nothing},
                    {"looked_at", finding.lookedAt},
                    {"truth", open ? "open" : truth.holds() ? "pass" : "fail"}};
        if (finding.hasValue) {
            row["value"] = finding.value;
            row["limit"] = finding.limit;
        }
        if (truth.clear) {
            row["true_corner"] = truth.worst.corner;
            row["true_limit"] = truth.worst.limit;
            if (!truth.worst.beyond) {
                row["true_value"] = truth.worst.value;
            }
        }
        rows.push_back(row);
    }
    return rows;
}

// What `check` says of the case alone, such as how a relay is mounted: not a matter of estimation,
// but among what it counts.
Json askingTheCaseOnly(const CheckStudy& study)
{
    std::size_t all = 0;
    std::size_t undecided = 0;
    for (const Finding& finding : study.findings) {
        all += finding.check->asksTheCaseOnly ? 1 : 0;
        undecided +=
            finding.check->asksTheCaseOnly && finding.verdict == Verdict::undecided ? 1 : 0;
    }
    return {{"all", all}, {"undecided", undecided}};
}

Json describe(const TrueMachine& machine)
{
    const MotorDraw& draw = machine.draw;
    const RatedPoint& rated = machine.rated;
    const Supply& supply = machine.real.supply;
    Json row = {{"family", familyName(draw.family)},
                {"rated_v", draw.rated_V},
                {"hertz", draw.line_Hz},
                {"poles", draw.poles},
                {"rated_va", draw.rated_VA},
                {"rated_nm", rated.torque_Nm},
                {"output_w", rated.output_W},
                {"efficiency", rated.efficiency_ratio},
                {"breakdown", rated.breakdown_ratio},
                {"locked_a", rated.lockedRotor_A},
                {"rated_a", rated.load_A},
                {"inertia_s", draw.inertia_s},
                {"x1_r1", draw.leakage_ratio},
                {"x2_x1", draw.rotorLeakage_ratio},
                {"xm_x1", draw.magnetizing_ratio},
                {"r2_r1", draw.rotorResistance_ratio},
                {"rise", draw.rise_ratio},
                {"turns", draw.turns_ratio},
                {"xa_a2x1", draw.auxiliaryLeakage_ratio},
                {"ra_a2r1", draw.auxiliary_ratio},
                {"core_loss", draw.coreLoss_ratio},
                {"friction", draw.friction_ratio},
                {"slip", draw.ratedSlip_ratio},
                {"found_v", supply.voltage_V},
                {"source_ohms", supply.source_ohm},
                {"source_mh", 1000 * supply.source_H}};
    row["rejected"] = machine.rejected;
    return row;
}

Json failure(const std::string& kind, const std::string& message)
{
    return {{"kind", kind}, {"message", message.substr(0, 400)}};
}

// Runs `work`; what it throws becomes the failure of that stage.
template <typename Work>
bool guarded(Json& row, const std::string& stage, const Work& work)
{
    try {
        work();
        return true;
    } catch (const SimulationError& error) {
        row["failure"] = failure(stage + ": " + faultName(error.fault()), error.what());
    } catch (const InputError& error) {
        row["failure"] = failure(stage + ": input refused", error.what());
    } catch (const std::exception& error) {
        row["failure"] = failure(stage + ": other", error.what());
    }
    return false;
}

}  // namespace

Json judgeCase(std::size_t index, const StudyOptions& options, SimulatorPool& pool)
{
    Json row = {{"index", index},
                {"seed", options.seed},
                {"level", options.level},
                {"samples", options.samples},
                {"share", options.share_ratio},
                {"settled_s", options.settled_s}};
    TrueMachine machine;
    FieldReadings field;
    Evidence evidence;
    const bool drawn = guarded(row, "truth", [&] {
        machine = drawMachine(options.seed, index, pool);
        row["machine"] = describe(machine);
        field = readInTheField(machine, options.level, options.seed, index, pool);
        // The plate is what the label says, also where the truth is judged.
        machine.real.compressor.nameplate = field.input.compressor.nameplate;
        if (!options.estimatesOnly()) {
            evidence = trueEvidence(machine, options.settled_s, pool);
        }
    });
    if (!drawn) {
        return row;
    }
    const Nameplate& plate = field.input.compressor.nameplate;
    row["plate"] = {{"locked_a", *plate.lockedRotor_A}, {"rated_a", *plate.ratedLoad_A}};
    row["source_given"] = field.input.supply.sourceImpedanceGiven;
    row["seconds_to_start"] = field.secondsToStart_s ? Json(*field.secondsToStart_s) : Json();
    row["running_slip"] = field.runningSlip_ratio ? Json(*field.runningSlip_ratio) : Json();
    guarded(row, "tool", [&] {
        if (options.estimatesOnly()) {
            const MotorStudy motor = motorStudy(field.input, caseCircuit(field.input), pool,
                                                mixed(options.seed, index, Stream::tool));
            row["contradictions"] = motor.contradictions;
            row["parameters"] = parametersOf(motor.motor, machine);
            return;
        }
        CheckOptions tool;
        tool.rule.share_ratio = options.share_ratio;
        tool.rule.samples = options.samples;
        tool.seed = mixed(options.seed, index, Stream::tool);
        const CheckStudy study = checkStudy(field.input, pool, tool);
        row["contradictions"] = study.motor.contradictions;
        row["fits_one_motor"] = fitsOneMotor(study.evidence.front());
        Json fit = Json::array();
        for (const FitResidual& residual : study.motor.residuals) {
            fit.push_back({residual.name, residual.wanted, residual.reproduced});
        }
        row["fit"] = fit;
        row["machines"] = study.machines.size();
        row["parameters"] = parametersOf(study.motor.motor, machine);
        row["findings"] = findingsOf(study, machine, evidence);
        row["case_only"] = askingTheCaseOnly(study);
    });
    return row;
}

}  // namespace splitstart::calibration
