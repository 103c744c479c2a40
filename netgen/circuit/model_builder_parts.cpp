// The parts on the circuit's places: start devices, capacitors, protector, fan, contactor.
#include <cmath>
#include <numbers>

#include "circuit/model_builder.h"
#include "circuit/part_physics.h"
#include "motor/compressor_load.h"

namespace splitstart
{

namespace
{

constexpr double noResistor_ohm = 1e12;  // "no resistor fitted" in models/ac_capacitor.lib

}  // namespace

void ModelBuilder::addHeldContact(const std::string& name, const std::string& a,
                                  const std::string& b, bool madeAtRest)
{
    const bool made = heldContactMade(madeAtRest);
    addResistance(name, a, b, made ? relayContact_ohm : openContact_ohm,
                  made ? "start contact, made" : "start contact, open");
}

void ModelBuilder::addStartDevice(const CircuitPart& part)
{
    const std::string& id = input_.circuit->startDevice;
    const std::string name = instanceName(part.id);
    if (!held()) {
        const bool isPtc = part.kind == PartKind::ptc;
        model_.startDevice = SimulationModel::StartDevice{
            name, "x" + name + (isPtc ? ".vptc" : ".xcontact.vcontact"), name + "_closed"};
    }
    switch (part.kind) {
        case PartKind::potentialRelay:
            return addPotentialRelay(part, data<PotentialRelay>(id));
        case PartKind::currentRelay:
            return addCurrentRelay(part, data<CurrentRelay>(id));
        case PartKind::ptc:
            return addPtc(part, data<Ptc>(id));
        case PartKind::timedSwitch:
            return addTimedSwitch(part, data<TimedSwitch>(id));
        default:
            return addCentrifugalSwitch(part, data<CentrifugalSwitch>(id));
    }
}

void ModelBuilder::addPotentialRelay(const CircuitPart& part, const PotentialRelay& relay)
{
    const std::string name = instanceName(part.id);
    if (held()) {
        addHeldContact(name, node(part, "1"), node(part, "2"), true);
        return addImpedance(name + "_coil", node(part, "2"), node(part, "5"), relay.coil_ohm,
                            relay.coil_H, "relay coil 2-5, a resistance and an inductance");
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

void ModelBuilder::addPtc(const CircuitPart& part, const Ptc& ptc)
{
    const std::string name = instanceName(part.id);
    const double cold_ohm = atRelease(ptc.cold_ohm, corner_.release, false);
    const double running_V = ptcRunning_ratio * ratedVoltage_V(input_);
    if (held()) {
        const bool made = heldContactMade(true);
        return addResistance(name, node(part, "A"), node(part, "B"),
                             made ? cold_ohm : ptcRunning_ohm(ptc, running_V),
                             made ? "PTC, cold" : "PTC, hot");
    }
    const PtcHeat heat =
        ptcHeat(ptc, atRelease(ptc.switchTime_s, corner_.release, true), running_V);
    const double ambient_degC = startDeviceAmbient_degC(input_, corner_.winding_degC);
    const double initial_degC = corner_.restartAfter_s
                                    ? ptcCooled_degC(heat, *corner_.restartAfter_s, ambient_degC)
                                    : ambient_degC;
    add(name, "ptc",
        {{"a", node(part, "A")},
         {"b", node(part, "B")},
         {"temperature", name + "_temperature"},
         {"closed", name + "_closed"}},
        {{"cold_ohms", cold_ohm},
         {"hot_ohms", ptc.hot_ohm},
         {"reference_degc", ptc.reference_degC},
         {"rise_per_k", ptcRise_per_K},
         {"dissipation_w_per_k", heat.dissipation_W_K},
         {"heat_capacity_j_per_k", heat.capacity_J_K},
         {"ambient_degc", ambient_degC},
         {"initial_degc", initial_degC}},
        "PTC: its own heat cuts the start winding off");
}

void ModelBuilder::addTimedSwitch(const CircuitPart& part, const TimedSwitch& timer)
{
    const std::string name = instanceName(part.id);
    if (held()) {
        return addHeldContact(name, node(part, "1"), node(part, "2"), true);
    }
    add(name, "timed_switch",
        {{"a", node(part, "1")},
         {"b", node(part, "2")},
         {"line_a", node(part, "L")},
         {"line_b", node(part, "N")},
         {"closed", name + "_closed"}},
        {{"open_after_s", atRelease(timer.opensAfter_s, corner_.release, true)},
         // Far below the lowest line, far above what an open switch lets through (assumed).
         {"on_volts", 0.25 * ratedVoltage_V(input_)},
         {"rearm_s", timer.rearm_s},
         {"contact_ohms", relayContact_ohm},
         {"open_ohms", openContact_ohm},
         {"line_hz", input_.supply.frequency_Hz},
         {"contact_override", startContactOverride()}},
        "start switch: opens a set time after it has got volts");
}

void ModelBuilder::addCentrifugalSwitch(const CircuitPart& part, const CentrifugalSwitch& onShaft)
{
    const std::string name = instanceName(part.id);
    if (held()) {
        return addHeldContact(name, node(part, "1"), node(part, "2"), true);
    }
    add(name, "centrifugal_switch",
        {{"a", node(part, "1")},
         {"b", node(part, "2")},
         {"speed", "speed"},
         {"closed", name + "_closed"}},
        {{"opens_rad_s", atRelease(onShaft.opens_rad_s, corner_.release, true)},
         {"closes_rad_s", atRelease(onShaft.closes_rad_s, corner_.release, false)},
         {"contact_ohms", relayContact_ohm},
         {"open_ohms", openContact_ohm},
         {"contact_override", startContactOverride()}},
        "switch on the shaft: opens at speed");
}

void ModelBuilder::addCapacitor(const std::string& name, const std::string& a, const std::string& b,
                                const Range& capacitance_F, double dissipation,
                                const CapacitorState& state, const char* comment)
{
    const double farads = atRelease(capacitance_F, capacitorRelease(), false);
    const double series_ohm =
        dissipation / (2 * std::numbers::pi * input_.supply.frequency_Hz * farads);
    // What is left of its charge when it has been off for that long; without a bleed resistor, all.
    double charge_V = state.charge_V;
    if (state.bleed_ohm && corner_.restartAfter_s) {
        charge_V *= std::exp(-*corner_.restartAfter_s / (*state.bleed_ohm * farads));
    }
    add(name, "ac_capacitor", {{"a", a}, {"b", b}},
        {{"farads", farads},
         {"series_ohms", std::max(series_ohm, 1e-4)},
         {"bleed_ohms", state.bleed_ohm.value_or(noResistor_ohm)},
         {"initial_v", held() ? 0 : charge_V}},
        comment);
}

void ModelBuilder::addStartCapacitor(const CircuitPart& part, const StartCapacitor& capacitor)
{
    CapacitorState state;
    state.bleed_ohm = capacitor.bleed_ohm;
    // What the last opening left on it, at the most the crest of its rated volts. A PTC never quite
    // opens, so that nothing stays behind one.
    const bool throughPtc = circuit_.find(PartKind::ptc) != nullptr;
    if (corner_.restartAfter_s && !throughPtc) {
        state.charge_V = std::numbers::sqrt2 * capacitor.rated_V;
    }
    addCapacitor(
        instanceName(part.id), node(part, "A"), node(part, "B"), capacitor.capacitance_F,
        capacitor.dissipationFactor, state,
        capacitor.bleed_ohm ? "start capacitor with its bleed resistor" : "start capacitor");
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
    addImpedance(instanceName(part.id), node(part, "A"), node(part, "B"),
                 impedance_ohm * fan.powerFactor,
                 reactance_ohm / (2 * std::numbers::pi * input_.supply.frequency_Hz),
                 "condenser fan, fed whenever the compressor is");
}

void ModelBuilder::addCapacitorFan(const CircuitPart& part, const CapacitorFan& fan)
{
    const std::string name = instanceName(part.id);
    const double line_Hz = input_.supply.frequency_Hz;
    const FanMachine machine = fanMachine(fan, line_Hz);
    if (held()) {
        // It runs at its rated point, where each winding is an impedance.
        const double radian = 2 * std::numbers::pi * line_Hz;
        const double turns = machine.circuit.turnsRatio;
        addImpedance(name + "_main", node(part, "R"), node(part, "C"), machine.main_ohm,
                     machine.mainReactance_ohm / radian, "run winding of the fan, running");
        return addImpedance(name + "_start", node(part, "S"), node(part, "C"),
                            turns * turns * machine.main_ohm,
                            turns * turns * machine.mainReactance_ohm / radian,
                            "start winding of the fan, running");
    }
    Parameters parameters = motorParameters(machine.circuit, fan.voltage_V);
    constexpr double room_degC = 25;
    for (const char* temperature : {"resistance_temperature_degc", "main_temperature_degc",
                                    "auxiliary_temperature_degc", "rotor_temperature_degc"}) {
        parameters.emplace_back(temperature, room_degC);
    }
    parameters.emplace_back("initial_speed_rad_s", 0);
    add(name, "split_phase_motor",
        {{"c", node(part, "C")},
         {"s", node(part, "S")},
         {"r", node(part, "R")},
         {"speed", name + "_speed"},
         {"torque", name + "_torque"},
         {"load_torque", name + "_load"}},
        parameters, "motor of the condenser fan");
    // Blade and bearings together take the rated torque at the rated speed.
    const double friction_Nm = 0.02 * machine.rated_Nm;
    add(name + "_blade", "fan_load", {{"speed", name + "_speed"}, {"load_torque", name + "_load"}},
        {{"torque_nm", machine.rated_Nm - friction_Nm},
         {"rated_rad_s", machine.ratedSpeed_rad_s},
         {"friction_nm", friction_Nm}},
        "blade of the condenser fan");
}

void ModelBuilder::addContactor(const CircuitPart& part, const Contactor& contactor)
{
    const std::string name = instanceName(part.id);
    const bool secondOpens = contactor.poles == 2;
    const auto ohms = [&](bool opens) {
        return setting_.switchOpen && opens ? openContact_ohm : contactor.pole_ohm;
    };
    addResistance(name + "_pole_1", node(part, "L1"), node(part, "T1"), ohms(true),
                  "contactor, pole L1-T1");
    addResistance(
        name + "_pole_2", node(part, "L2"), node(part, "T2"), ohms(secondOpens),
        secondOpens ? "contactor, pole L2-T2" : "contactor, bar in place of a second pole");
}

}  // namespace splitstart
