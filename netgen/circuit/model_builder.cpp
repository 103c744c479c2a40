#include "circuit/model_builder.h"

#include <fmt/format.h>

#include <cmath>
#include <numbers>

#include "circuit/conductor.h"
#include "circuit/part_physics.h"

namespace splitstart
{

namespace
{

constexpr double copperSwitch_ohm = 0.005;  // a closed control contact (assumed)
constexpr double limitResponse_s = 0.016;   // a regulator as quick as a cycle (assumed)
// Two conductors side by side in a cable: 0.5 to 0.8 uH for each metre of the run (assumed).
constexpr double loop_H_per_m = 7e-7;
constexpr double anyKnee_Vs = 1;        // where there is no saturation
constexpr double noCoreLoss_ohm = 1e9;  // "no core loss" in models/split_phase_motor.lib

}  // namespace

std::vector<std::pair<std::string, double>> motorParameters(const EquivalentCircuit& motor,
                                                            double rated_V)
{
    const double radian = 2 * std::numbers::pi * motor.frequency_Hz;
    // At speed both axes carry nearly the same flux, so each takes half of the core loss.
    const double coreLoss_ohm =
        motor.coreLoss_W > 0 ? 2 * rated_V * rated_V / motor.coreLoss_W : noCoreLoss_ohm;
    // The watts are those at the motor's own frequency, whatever it is fed with.
    const double rated_rad_s = synchronousSpeed_rad_s(motor.frequency_Hz, motor.poles);
    const double friction_Nms = motor.friction_W / (rated_rad_s * rated_rad_s);
    return {{"main_ohms", motor.main_ohm},
            {"main_leakage_h", motor.mainLeakage_ohm / radian},
            {"main_magnetizing_h", motor.mainMagnetizing_ohm / radian},
            {"rotor_main_ohms", motor.rotorMain_ohm},
            {"rotor_main_leakage_h", motor.rotorMainLeakage_ohm / radian},
            {"auxiliary_ohms", motor.auxiliary_ohm},
            {"auxiliary_leakage_h", motor.auxiliaryLeakage_ohm / radian},
            {"auxiliary_magnetizing_h", motor.auxiliaryMagnetizing_ohm / radian},
            {"rotor_auxiliary_ohms", motor.rotorAuxiliary_ohm},
            {"rotor_auxiliary_leakage_h", motor.rotorAuxiliaryLeakage_ohm / radian},
            {"turns_ratio", motor.turnsRatio},
            {"pole_pairs", motor.poles / 2},
            {"inertia_kgm2", motor.inertia_kgm2},
            {"core_loss_ohms", coreLoss_ohm},
            {"friction_nms", friction_Nms},
            {"rotor_bar_ohms_ratio", motor.rotorBar_ohm / motor.rotorMain_ohm},
            {"rotor_bar_corner_hz", motor.rotorBarCorner_Hz},
            {"saturation_slope_ratio", motor.saturationSlope_ratio},
            {"saturation_knee_v_s", motor.saturationSlope_ratio > 0
                                        ? std::numbers::sqrt2 * motor.saturationKnee_V / radian
                                        : anyKnee_Vs}};
}

SimulationModel ModelBuilder::build()
{
    model_.frequency_Hz = input_.supply.frequency_Hz;
    model_.synchronousSpeed_rad_s =
        splitstart::synchronousSpeed_rad_s(input_.supply.frequency_Hz, motor_.poles);
    model_.fixedSpeed_rad_s = setting_.fixedSpeed_rad_s;
    model_.polePairs = motor_.poles / 2;
    model_.turnsRatio = motor_.turnsRatio;
    nameNodes();
    for (const CircuitPart& part : circuit_.parts) {
        addPart(part);
    }
    return std::move(model_);
}

void ModelBuilder::nameNodes()
{
    const Nets nets(circuit_);
    const auto supply = circuit_.find(PartKind::supply);
    const auto compressor = circuit_.find(PartKind::compressor);
    for (const std::vector<Terminal>& net : nets.all()) {
        const auto contains = [&net](const Terminal& terminal) {
            return std::find(net.begin(), net.end(), terminal) != net.end();
        };
        std::string name;
        if (contains({supply->id, "L2"})) {
            name = "0";
        } else if (contains({supply->id, "L1"})) {
            name = "l1";
        } else {
            name = instanceName(net.front().part + "_" + net.front().name);
            for (const char* pin : {"C", "S", "R"}) {
                if (contains({compressor->id, pin})) {
                    name = std::string("pin_") + pin;
                }
            }
            std::transform(name.begin(), name.end(), name.begin(),
                           [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
        }
        for (const Terminal& terminal : net) {
            model_.nodeOfTerminal[terminal] = name;
        }
    }
}

void ModelBuilder::addPart(const CircuitPart& part)
{
    const CircuitChoice& choice = input_.circuit.value();
    const std::string name = instanceName(part.id);
    switch (part.kind) {
        case PartKind::supply:
            return addSupply(part);
        case PartKind::compressor:
            return addCompressor(part);
        case PartKind::thermostat:
            return addResistance(
                name, node(part, "1"), node(part, "2"),
                setting_.switchOpen ? openContact_ohm : copperSwitch_ohm,
                setting_.switchOpen ? "thermostat, satisfied" : "thermostat, calling for cold");
        case PartKind::contactor:
            return addContactor(part, data<Contactor>(choice.contactor));
        case PartKind::potentialRelay:
        case PartKind::currentRelay:
        case PartKind::ptc:
        case PartKind::timedSwitch:
        case PartKind::centrifugalSwitch:
            return addStartDevice(part);
        case PartKind::startCapacitor:
            return addStartCapacitor(part, data<StartCapacitor>(choice.startCapacitor));
        case PartKind::runCapacitor:
        case PartKind::fanCapacitor: {
            const bool ofFan = part.kind == PartKind::fanCapacitor;
            const auto& capacitor =
                data<RunCapacitor>(ofFan ? choice.fanCapacitor : choice.runCapacitor);
            return addCapacitor(name, node(part, "A"), node(part, "B"), capacitor.capacitance_F,
                                capacitor.dissipationFactor, {},
                                ofFan ? "run capacitor of the fan" : "run capacitor");
        }
        case PartKind::dualRunCapacitor: {
            const auto& dual = data<DualRunCapacitor>(choice.runCapacitor);
            addCapacitor("run_capacitor", node(part, "C"), node(part, "HERM"), dual.compressor_F,
                         dual.dissipationFactor, {}, "section HERM of the dual run capacitor");
            return addCapacitor("fan_capacitor", node(part, "C"), node(part, "FAN"), dual.fan_F,
                                dual.dissipationFactor, {},
                                "section FAN of the dual run capacitor");
        }
        case PartKind::protector:
            return addProtector(name, data<Protector>(choice.protector), node(part, "1"),
                                node(part, "3"));
        case PartKind::condenserFan:
            return addFan(part, data<CondenserFan>(choice.fan));
        case PartKind::capacitorFan:
            return addCapacitorFan(part, data<CapacitorFan>(choice.fan));
    }
}

void ModelBuilder::addSupply(const CircuitPart& part)
{
    const Supply& supply = input_.supply;
    // Runs of wire stand between the supply's own terminals and the circuit's L1, one after the
    // other, there and back in one.
    std::string from = supply.conductors.empty() ? node(part, "L1") : "service";
    Parameters parameters = {{"rms_v", ratedVoltage_V(input_) * corner_.line_ratio},
                             {"line_hz", supply.frequency_Hz},
                             {"source_ohms", std::max(supply.source_ohm, 1e-6)},
                             {"source_h", std::max(supply.source_H, 1e-9)},
                             {"switch_on_deg", corner_.switchOn_deg.value_or(supply.switchOn_deg)}};
    if (supply.limit_A) {
        parameters.emplace_back("limit_a", *supply.limit_A);
        parameters.emplace_back("response_s", limitResponse_s);
    }
    add(instanceName(part.id), supply.limit_A ? "limited_supply" : "supply",
        {{"l1", from}, {"l2", node(part, "L2")}}, parameters,
        supply.limit_A ? "supply that cannot deliver more than its limit of amps"
                       : "supply behind the resistance and inductance of its feeder");
    for (std::size_t i = 0; i < supply.conductors.size(); ++i) {
        const ConductorRun& run = supply.conductors[i];
        const bool last = i + 1 == supply.conductors.size();
        const std::string to = last ? node(part, "L1") : fmt::format("feed_{}", i + 1);
        add(fmt::format("conductor_{}", i + 1), "conductor", {{"a", from}, {"b", to}},
            {{"metres", run.length_m},
             {"square_millimetres", run.area_m2 * 1e6},
             {"temperature_degc", run.temperature_degC},
             {"aluminium", run.material == ConductorMaterial::aluminium ? 1 : 0},
             {"lay_ratio", strandedLay_ratio},
             {"henries_per_m", loop_H_per_m}},
            "run of wire from the supply, there and back");
        from = to;
    }
}

void ModelBuilder::addCompressor(const CircuitPart& part)
{
    std::string star = node(part, "C");
    const std::string& chosen = input_.circuit->protector;
    if (!chosen.empty() && data<Protector>(chosen).location == ProtectorPlace::internal) {
        star = "star";
        addProtector("protector", data<Protector>(chosen), node(part, "C"), star);
    }
    Parameters parameters = motorParameters(motor_, ratedVoltage_V(input_));
    parameters.insert(
        parameters.end(),
        {{"resistance_temperature_degc", motor_.resistanceTemperature_degC},
         {"main_temperature_degc", corner_.winding_degC},
         {"auxiliary_temperature_degc", corner_.winding_degC},
         {"rotor_temperature_degc", corner_.winding_degC},
         {"initial_speed_rad_s", setting_.fixedSpeed_rad_s.value_or(setting_.initialSpeed_rad_s)}});
    add("compressor", "split_phase_motor",
        {{"c", star},
         {"s", node(part, "S")},
         {"r", node(part, "R")},
         {"speed", "speed"},
         {"torque", "torque"},
         {"load_torque", "load_torque"}},
        parameters, "motor: run winding R to C, start winding S to C, rotor, shaft");
    addLoad();
}

void ModelBuilder::addLoad()
{
    if (held()) {
        return;
    }
    const LoadParameters load =
        loadParameters(input_.compressor.load, ratedTorque_Nm_, corner_.pressures);
    const std::map<std::string, std::string> nodes = {
        {"speed", "speed"}, {"angle", "angle"}, {"load_torque", "load_torque"}};
    if (load.kind == LoadKind::reciprocating && load.meanTorque_Nm > 0) {
        return add("load", "compressor_load", nodes,
                   {{"suction_pa", load.suction_Pa},
                    {"discharge_pa", load.discharge_Pa},
                    {"equalised_pa", load.equalised_Pa},
                    {"build_up_revs", load.buildUp_revolutions},
                    {"swept_m3", load.sweptVolume_m3},
                    {"clearance_ratio", load.clearance_ratio},
                    {"polytropic_exponent", load.polytropicExponent},
                    {"friction_nm", load.friction_Nm},
                    // The model counts from top dead centre, the case from bottom dead centre.
                    {"start_angle_deg", 180 + load.startAngle_deg}},
                   "pump torque over the crank angle");
    }
    const bool none = load.kind == LoadKind::none || load.meanTorque_Nm <= 0;
    add("load", "steady_load", nodes,
        {{"torque_nm", none ? 0 : load.meanTorque_Nm - load.friction_Nm},
         {"friction_nm", none ? 0 : load.friction_Nm},
         {"build_up_revs", none ? 0 : load.buildUp_revolutions}},
        none ? "free shaft" : "pump torque, the same at every crank angle");
}

}  // namespace splitstart
