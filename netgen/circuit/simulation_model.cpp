#include "circuit/simulation_model.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <stdexcept>
#include <variant>

#include "case/input_error.h"
#include "motor/winding_temperature.h"

namespace splitstart
{

namespace
{

constexpr double copperSwitch_ohm = 0.005;  // a closed control contact (assumed)
constexpr double relayContact_ohm =
    0.02;                                // a sound relay contact (assumed; under 0.5 ohm is passed)
constexpr double openContact_ohm = 1e6;  // leakage of an open contact, far above all windings
constexpr double noResistor_ohm = 1e12;  // "no resistor fitted" in models/ac_capacitor.lib
constexpr double noCoreLoss_ohm = 1e9;   // "no core loss" in models/split_phase_motor.lib

class ModelBuilder
{
public:
    ModelBuilder(const Case& input, const Circuit& circuit, const EquivalentCircuit& motor,
                 double ratedTorque_Nm, const Corner& corner, const RunSetting& setting)
        : input_(input),
          circuit_(circuit),
          motor_(motor),
          ratedTorque_Nm_(ratedTorque_Nm),
          corner_(corner),
          setting_(setting)
    {
    }

    SimulationModel build()
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

private:
    using Parameters = std::vector<std::pair<std::string, double>>;

    void nameNodes();
    void addPart(const CircuitPart& part);
    void addSupply(const CircuitPart& part);
    void addCompressor(const CircuitPart& part);
    void addLoad();
    void addPotentialRelay(const CircuitPart& part, const PotentialRelay& relay);
    void addCurrentRelay(const CircuitPart& part, const CurrentRelay& relay);
    void addCapacitor(const CircuitPart& part, const Range& capacitance_F, double dissipation,
                      std::optional<double> bleed_ohm);
    void addProtector(const std::string& id, const Protector& protector,
                      const std::string& lineNode, const std::string& motorNode);
    void addFan(const CircuitPart& part, const CondenserFan& fan);

    [[nodiscard]] const std::string& node(const CircuitPart& part, const char* terminal) const
    {
        return model_.node(part.id, terminal);
    }

    // Instance names: SPICE folds case and gives "-" no meaning of its own, so only letters,
    // digits and "_" are used.
    static std::string instanceName(std::string_view id)
    {
        std::string name(id);
        std::replace(name.begin(), name.end(), '-', '_');
        return name;
    }

    void add(std::string name, std::string subcircuit, std::map<std::string, std::string> nodes,
             Parameters parameters, std::string comment)
    {
        model_.instances.push_back({std::move(name), std::move(subcircuit), std::move(nodes),
                                    std::move(parameters), std::move(comment)});
    }

    template <typename Data>
    [[nodiscard]] const Data& data(const std::string& id) const
    {
        return std::get<Data>(input_.parts.find(id)->data);
    }

    // With the shaft held the steady state is wanted, before anything moves or trips: contacts are
    // plain resistances then, which ngspice also reads four times faster.
    [[nodiscard]] bool held() const { return setting_.fixedSpeed_rad_s.has_value(); }

    void addResistance(const std::string& name, const std::string& a, const std::string& b,
                       double resistance_ohm, const char* comment)
    {
        add(name, "closed_switch", {{"a", a}, {"b", b}}, {{"ohms", resistance_ohm}}, comment);
    }

    // The start contact of a held shaft. At rest a potential relay's contact is made, a current
    // relay's is open.
    void addHeldContact(const std::string& name, const std::string& a, const std::string& b,
                        bool madeAtRest)
    {
        const bool made = setting_.contact == StartContact::heldClosed ||
                          (setting_.contact == StartContact::automatic && madeAtRest);
        addResistance(name, a, b, made ? relayContact_ohm : openContact_ohm,
                      made ? "start contact, made" : "start contact, open");
    }

    [[nodiscard]] double startContactOverride() const
    {
        return setting_.contact == StartContact::automatic    ? 0
               : setting_.contact == StartContact::heldClosed ? 1
                                                              : -1;
    }

    const Case& input_;
    const Circuit& circuit_;
    const EquivalentCircuit& motor_;
    double ratedTorque_Nm_;
    const Corner& corner_;
    const RunSetting& setting_;
    SimulationModel model_;
};

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
    switch (part.kind) {
        case PartKind::supply:
            return addSupply(part);
        case PartKind::compressor:
            return addCompressor(part);
        case PartKind::thermostat:
            return addResistance(instanceName(part.id), node(part, "1"), node(part, "2"),
                                 copperSwitch_ohm, "thermostat, calling for cold");
        case PartKind::potentialRelay:
            return addPotentialRelay(part, data<PotentialRelay>(choice.startDevice));
        case PartKind::currentRelay:
            return addCurrentRelay(part, data<CurrentRelay>(choice.startDevice));
        case PartKind::startCapacitor: {
            const auto& capacitor = data<StartCapacitor>(choice.startCapacitor);
            return addCapacitor(part, capacitor.capacitance_F, capacitor.dissipationFactor,
                                capacitor.bleed_ohm);
        }
        case PartKind::runCapacitor: {
            const auto& capacitor = data<RunCapacitor>(choice.runCapacitor);
            return addCapacitor(part, capacitor.capacitance_F, capacitor.dissipationFactor, {});
        }
        case PartKind::protector:
            return addProtector(instanceName(part.id), data<Protector>(choice.protector),
                                node(part, "1"), node(part, "3"));
        case PartKind::condenserFan:
            return addFan(part, data<CondenserFan>(choice.fan));
    }
}

void ModelBuilder::addSupply(const CircuitPart& part)
{
    add(instanceName(part.id), "supply", {{"l1", node(part, "L1")}, {"l2", node(part, "L2")}},
        {{"rms_v", ratedVoltage_V(input_) * corner_.line_ratio},
         {"line_hz", input_.supply.frequency_Hz},
         {"source_ohms", std::max(input_.supply.source_ohm, 1e-6)},
         {"source_h", std::max(input_.supply.source_H, 1e-9)},
         {"switch_on_deg", corner_.switchOn_deg.value_or(input_.supply.switchOn_deg)}},
        "supply behind the resistance and inductance of its feeder");
}

void ModelBuilder::addCompressor(const CircuitPart& part)
{
    std::string star = node(part, "C");
    const std::string& chosen = input_.circuit->protector;
    if (!chosen.empty() && data<Protector>(chosen).location == ProtectorPlace::internal) {
        star = "star";
        addProtector("protector", data<Protector>(chosen), node(part, "C"), star);
    }
    const double radian = 2 * std::numbers::pi * motor_.frequency_Hz;
    const double rated_V = ratedVoltage_V(input_);
    // At speed both axes carry nearly the same flux, so each takes half of the core loss.
    const double coreLoss_ohm =
        motor_.coreLoss_W > 0 ? 2 * rated_V * rated_V / motor_.coreLoss_W : noCoreLoss_ohm;
    const double friction_Nms =
        motor_.friction_W / (model_.synchronousSpeed_rad_s * model_.synchronousSpeed_rad_s);
    add("compressor", "split_phase_motor",
        {{"c", star},
         {"s", node(part, "S")},
         {"r", node(part, "R")},
         {"speed", "speed"},
         {"torque", "torque"},
         {"load_torque", "load_torque"}},
        {{"main_ohms", motor_.main_ohm},
         {"main_leakage_h", motor_.mainLeakage_ohm / radian},
         {"main_magnetizing_h", motor_.mainMagnetizing_ohm / radian},
         {"rotor_main_ohms", motor_.rotorMain_ohm},
         {"rotor_main_leakage_h", motor_.rotorMainLeakage_ohm / radian},
         {"auxiliary_ohms", motor_.auxiliary_ohm},
         {"auxiliary_leakage_h", motor_.auxiliaryLeakage_ohm / radian},
         {"auxiliary_magnetizing_h", motor_.auxiliaryMagnetizing_ohm / radian},
         {"rotor_auxiliary_ohms", motor_.rotorAuxiliary_ohm},
         {"rotor_auxiliary_leakage_h", motor_.rotorAuxiliaryLeakage_ohm / radian},
         {"turns_ratio", motor_.turnsRatio},
         {"pole_pairs", motor_.poles / 2},
         {"inertia_kgm2", motor_.inertia_kgm2},
         {"core_loss_ohms", coreLoss_ohm},
         {"friction_nms", friction_Nms},
         {"resistance_temperature_degc", motor_.resistanceTemperature_degC},
         {"main_temperature_degc", corner_.winding_degC},
         {"auxiliary_temperature_degc", corner_.winding_degC},
         {"rotor_temperature_degc", corner_.winding_degC},
         {"initial_speed_rad_s", setting_.fixedSpeed_rad_s.value_or(0)}},
        "motor: run winding R to C, start winding S to C, rotor, shaft");
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

void ModelBuilder::addPotentialRelay(const CircuitPart& part, const PotentialRelay& relay)
{
    const std::string name = instanceName(part.id);
    if (held()) {
        addHeldContact(name, node(part, "1"), node(part, "2"), true);
        return add(name + "_coil", "fan_motor", {{"a", node(part, "2")}, {"b", node(part, "5")}},
                   {{"ohms", relay.coil_ohm}, {"henries", std::max(relay.coil_H, 1e-6)}},
                   "relay coil 2-5, a resistance and an inductance");
    }
    const double warm =
        coilTemperatureFactor(relay, corner_.winding_degC, input_.supply.frequency_Hz);
    add(name, "potential_relay",
        {{"t1", node(part, "1")},
         {"t2", node(part, "2")},
         {"t5", node(part, "5")},
         {"coil_volts", name + "_coil_volts"},
         {"closed", name + "_closed"}},
        {{"pick_up_v", warm * atRelease(relay.pickUp_V, corner_.release, true)},
         {"drop_out_v", warm * atRelease(relay.dropOut_V, corner_.release, false)},
         {"coil_ohms", relay.coil_ohm},
         {"coil_h", std::max(relay.coil_H, 1e-6)},
         {"operate_s", relay.operate_s},
         {"release_s", relay.release_s},
         {"contact_ohms", relayContact_ohm},
         {"open_ohms", openContact_ohm},
         {"line_hz", input_.supply.frequency_Hz},
         {"contact_override", startContactOverride()}},
        "potential relay: contact 1-2 opens when the coil 2-5 has picked up");
}

void ModelBuilder::addCurrentRelay(const CircuitPart& part, const CurrentRelay& relay)
{
    const std::string name = instanceName(part.id);
    if (held()) {
        addHeldContact(name, node(part, relay.contactFromM ? "M" : "L"), node(part, "S"), false);
        return addResistance(name + "_coil", node(part, "L"), node(part, "M"), relay.coil_ohm,
                             "relay coil L-M");
    }
    add(name, "current_relay",
        {{"coil_l", node(part, "L")},
         {"coil_m", node(part, "M")},
         {"contact_a", node(part, relay.contactFromM ? "M" : "L")},
         {"contact_s", node(part, "S")},
         {"coil_amps", name + "_coil_amps"},
         {"closed", name + "_closed"}},
        {{"pull_in_a", atRelease(relay.pullIn_A, corner_.release, false)},
         {"drop_out_a", atRelease(relay.dropOut_A, corner_.release, false)},
         {"coil_ohms", relay.coil_ohm},
         {"operate_s", relay.operate_s},
         {"release_s", relay.release_s},
         {"contact_ohms", relayContact_ohm},
         {"open_ohms", openContact_ohm},
         {"line_hz", input_.supply.frequency_Hz},
         {"contact_override", startContactOverride()}},
        "current relay: coil L-M, contact to S made while the coil current is high");
}

void ModelBuilder::addCapacitor(const CircuitPart& part, const Range& capacitance_F,
                                double dissipation, std::optional<double> bleed_ohm)
{
    const double farads = atRelease(capacitance_F, corner_.release, false);
    const double series_ohm =
        dissipation / (2 * std::numbers::pi * input_.supply.frequency_Hz * farads);
    add(instanceName(part.id), "ac_capacitor", {{"a", node(part, "A")}, {"b", node(part, "B")}},
        {{"farads", farads},
         {"series_ohms", std::max(series_ohm, 1e-4)},
         {"bleed_ohms", bleed_ohm.value_or(noResistor_ohm)},
         {"initial_v", 0}},
        bleed_ohm ? "capacitor with its bleed resistor" : "capacitor");
}

void ModelBuilder::addProtector(const std::string& id, const Protector& protector,
                                const std::string& lineNode, const std::string& motorNode)
{
    if (held()) {
        return addResistance(id, lineNode, motorNode, protector.closed_ohm,
                             "overload protector, closed");
    }
    const double tripTime_s = corner_.release == Release::middle ? protector.tripTime_s.middle()
                                                                 : protector.tripTime_s.minimum;
    add(id, "overload_protector",
        {{"t1", lineNode},
         {"t3", motorNode},
         {"disc_temperature", id + "_disc"},
         {"closed", id + "_closed"}},
        {{"ultimate_trip_a", protector.ultimateTrip_A},
         {"trip_degc", protector.trip_degC},
         {"reset_degc", protector.reset_degC},
         {"rating_ambient_degc", protector.ambient_degC},
         {"ambient_degc", protectorAmbient_degC(protector, corner_.winding_degC)},
         {"time_constant_s", protectorTimeConstant_s(protector, tripTime_s)},
         {"closed_ohms", protector.closed_ohm},
         {"open_ohms", openContact_ohm},
         {"contact_override", 0}},
        protector.location == ProtectorPlace::internal
            ? "overload protector inside the shell, between pin C and the windings"
            : "overload protector in the common lead");
}

void ModelBuilder::addFan(const CircuitPart& part, const CondenserFan& fan)
{
    const double impedance_ohm = fan.voltage_V / fan.current_A;
    const double reactance_ohm = impedance_ohm * std::sqrt(1 - fan.powerFactor * fan.powerFactor);
    add(instanceName(part.id), "fan_motor", {{"a", node(part, "A")}, {"b", node(part, "B")}},
        {{"ohms", impedance_ohm * fan.powerFactor},
         {"henries",
          std::max(reactance_ohm / (2 * std::numbers::pi * input_.supply.frequency_Hz), 1e-9)}},
        "condenser fan, fed whenever the compressor is");
}

}  // namespace

double atRelease(const Range& range, Release release, bool maximumIsLate)
{
    switch (release) {
        case Release::early:
            return maximumIsLate ? range.minimum : range.maximum;
        case Release::late:
            return maximumIsLate ? range.maximum : range.minimum;
        case Release::middle:
            break;
    }
    return range.middle();
}

double ratedVoltage_V(const Case& input)
{
    return input.compressor.nameplate.voltage_V.value_or(input.supply.voltage_V);
}

double protectorTimeConstant_s(const Protector& protector, double tripTime_s)
{
    const double ratio = protector.ultimateTrip_A / protector.tripCurrent_A;
    return -tripTime_s / std::log1p(-ratio * ratio);
}

double coilTemperatureFactor(const PotentialRelay& relay, double winding_degC, double line_Hz)
{
    constexpr double hotCoil_degC = 70;
    constexpr double rating_degC = 25;
    const double coil_degC = isHot(winding_degC) ? hotCoil_degC : rating_degC;
    const double reactance_ohm = 2 * std::numbers::pi * line_Hz * relay.coil_H;
    const double warm_ohm = resistanceAt_ohm(relay.coil_ohm, rating_degC, coil_degC);
    return std::hypot(warm_ohm, reactance_ohm) / std::hypot(relay.coil_ohm, reactance_ohm);
}

double protectorAmbient_degC(const Protector& protector, double winding_degC)
{
    // The ambient at which the ratings were taken is none of this: a cold motor's disc is cold. An
    // internal protector sits on the windings; an external one on the shell, which a hot motor has
    // warmed part of the way (half, assumed).
    constexpr double room_degC = 25;  // as the temperature of cold windings
    const double warming_K = std::max(0.0, winding_degC - room_degC);
    return protector.location == ProtectorPlace::internal ? winding_degC
                                                          : winding_degC - 0.5 * warming_K;
}

bool isHot(double winding_degC)
{
    constexpr double between_degC = 60;
    return winding_degC > between_degC;
}

std::string cornerText(const Corner& corner)
{
    const char* release = corner.release == Release::early  ? ", parts at the early end"
                          : corner.release == Release::late ? ", parts at the late end"
                                                            : "";
    return fmt::format("{:.0f} % line, {} windings{}{}{}", corner.line_ratio * 100,
                       isHot(corner.winding_degC) ? "hot" : "cold", release,
                       corner.pressures == Pressures::unequalised ? ", unequalised" : "",
                       corner.switchOn_deg
                           ? fmt::format(", switched on at {:.0f} degrees", *corner.switchOn_deg)
                           : "");
}

const std::string& SimulationModel::node(std::string_view part, std::string_view terminal) const
{
    return nodeOfTerminal.at({std::string(part), std::string(terminal)});
}

const SubcircuitInstance* SimulationModel::find(std::string_view subcircuit) const
{
    const auto found = std::find_if(
        instances.begin(), instances.end(),
        [subcircuit](const SubcircuitInstance& each) { return each.subcircuit == subcircuit; });
    return found == instances.end() ? nullptr : &*found;
}

namespace
{

// Refuses an id that the parts list does not have, or has for another kind of part.
template <typename... Data>
void requirePart(const Case& input, const std::string& id, const char* attribute, const char* kind)
{
    const CatalogPart* part = input.parts.find(id);
    if (!id.empty() && (part == nullptr || !(std::holds_alternative<Data>(part->data) || ...))) {
        refuseInput(input.circuit->place, fmt::format("circuit/{}", attribute), id,
                    fmt::format("the id of a {} in the parts list", kind));
    }
}

void requireParts(const Case& input)
{
    const CircuitChoice& choice = *input.circuit;
    requirePart<PotentialRelay, CurrentRelay>(input, choice.startDevice, "start-device",
                                              "potential relay or current relay");
    requirePart<StartCapacitor>(input, choice.startCapacitor, "start-capacitor", "start capacitor");
    requirePart<RunCapacitor>(input, choice.runCapacitor, "run-capacitor", "run capacitor");
    requirePart<Protector>(input, choice.protector, "protector", "protector");
    requirePart<CondenserFan>(input, choice.fan, "fan", "condenser fan");
}

}  // namespace

Circuit caseCircuit(const Case& input)
{
    if (!input.circuit) {
        refuseInput({input.file, 0}, "case/circuit", "nothing",
                    "a <circuit type=... start-device=...> that says how it is wired");
    }
    requireParts(input);
    const CircuitChoice& choice = *input.circuit;
    std::optional<PartKind> startDevice;
    if (!choice.startDevice.empty()) {
        const CatalogPart* part = input.parts.find(choice.startDevice);
        startDevice = std::holds_alternative<PotentialRelay>(part->data) ? PartKind::potentialRelay
                                                                         : PartKind::currentRelay;
    }
    const Circuit* standard = findStandardCircuit(choice.type, startDevice);
    if (standard == nullptr) {
        std::vector<std::string> known;
        for (const Circuit& each : standardCircuits()) {
            known.push_back(fmt::format("{} ({})", each.type, each.description));
        }
        refuseInput(choice.place, "circuit/type",
                    fmt::format("{} with {}", choice.type,
                                startDevice ? partKindInfo(*startDevice).words : "no start device"),
                    fmt::format("one of: {}", fmt::join(known, "; ")));
    }
    Circuit circuit = *standard;
    const auto leaveOut = [&circuit](PartKind kind) {
        if (const CircuitPart* part = circuit.find(kind)) {
            circuit = withoutPart(circuit, std::string(part->id));
        }
    };
    if (choice.fan.empty()) {
        leaveOut(PartKind::condenserFan);
    }
    const CircuitPart* protector = circuit.find(PartKind::protector);
    const bool external = !choice.protector.empty() &&
                          std::get<Protector>(input.parts.find(choice.protector)->data).location ==
                              ProtectorPlace::external;
    if (protector != nullptr && !external) {
        circuit = withPartBridged(circuit, std::string(protector->id));
    }
    const auto require = [&](PartKind kind, const std::string& id, const char* attribute) {
        if ((circuit.find(kind) != nullptr) == id.empty()) {
            refuseInput(choice.place, fmt::format("circuit/{}", attribute),
                        id.empty() ? "nothing" : id,
                        id.empty() ? fmt::format("the id of a {}: a {} circuit needs one",
                                                 partKindInfo(kind).words, choice.type)
                                   : fmt::format("nothing: a {} circuit has no {}", choice.type,
                                                 partKindInfo(kind).words));
        }
    };
    require(PartKind::startCapacitor, choice.startCapacitor, "start-capacitor");
    require(PartKind::runCapacitor, choice.runCapacitor, "run-capacitor");
    if (const std::vector<std::string> faults = circuitFaults(circuit); !faults.empty()) {
        throw std::logic_error(fmt::format("{}: {}", circuit.type, fmt::join(faults, "; ")));
    }
    return circuit;
}

SimulationModel simulationModel(const Case& input, const Circuit& circuit,
                                const EquivalentCircuit& motor, double ratedTorque_Nm,
                                const Corner& corner, const RunSetting& setting)
{
    return ModelBuilder(input, circuit, motor, ratedTorque_Nm, corner, setting).build();
}

}  // namespace splitstart
