#include "unit/dairy_cases.h"

namespace splitstart
{

namespace
{

void addPart(Case& input, const char* id, const PartData& data)
{
    input.parts.parts.push_back({id, "invented", true, data, {input.file, 1}});
}

CircuitChoice choiceOf(const char* type, const char* runCapacitor, const char* protector,
                       const char* fan, const SourcePlace& place)
{
    CircuitChoice choice;
    choice.type = type;
    choice.startDevice = "relay";
    choice.startCapacitor = "start";
    choice.runCapacitor = runCapacitor;
    choice.protector = protector;
    choice.fan = fan;
    choice.place = place;
    return choice;
}

Protector internalProtector()
{
    Protector protector;
    protector.location = ProtectorPlace::internal;
    protector.ultimateTrip_A = 30;
    protector.tripCurrent_A = 70;
    protector.tripTime_s = {4, 8};
    protector.trip_degC = 150;
    protector.reset_degC = 70;
    protector.ambient_degC = 65;
    return protector;
}

Protector externalProtector()
{
    Protector protector;
    protector.location = ProtectorPlace::external;
    protector.ultimateTrip_A = 8;
    protector.tripCurrent_A = 24;
    protector.tripTime_s = {4, 8};
    protector.trip_degC = 120;
    protector.reset_degC = 65;
    protector.ambient_degC = 25;
    return protector;
}

}  // namespace

Case coldStoreCase()
{
    Case input;
    input.name = "cold store of the dairy";
    input.invented = true;
    input.file = "cold-store.xml";
    input.supply = {230, 60, 0.12, 0.15e-3, true, 0};
    input.supplyGiven = true;
    input.compressor.nameplate.voltage_V = 230;
    input.compressor.nameplate.frequency_Hz = 60;
    PotentialRelay relay;
    relay.pickUp_V = {195, 215};
    relay.dropOut_V = {40, 90};
    relay.coil_ohm = 9500;
    relay.coil_H = 12;
    relay.coilContinuous_V = 400;
    relay.contact_A = 50;
    relay.operate_s = 0.012;
    relay.release_s = 0.008;
    addPart(input, "relay", relay);
    StartCapacitor start;
    start.capacitance_F = {130e-6, 156e-6};
    start.rated_V = 330;
    start.bleed_ohm = 15e3;
    start.bleed_W = 2;
    addPart(input, "start", start);
    RunCapacitor run;
    run.capacitance_F = {37.6e-6, 42.4e-6};
    run.rated_V = 440;
    run.dissipationFactor = 0.002;
    addPart(input, "run", run);
    addPart(input, "inside", internalProtector());
    addPart(input, "outside", externalProtector());
    input.circuit = choiceOf("CSCR", "run", "inside", "", {input.file, 7});
    return input;
}

Case bottleCoolerCase()
{
    Case input;
    input.name = "bottle cooler in the shop";
    input.invented = true;
    input.file = "bottle-cooler.xml";
    input.supply = {115, 60, 0.25, 0.1e-3, true, 0};
    input.supplyGiven = true;
    input.compressor.nameplate.voltage_V = 115;
    input.compressor.nameplate.frequency_Hz = 60;
    CurrentRelay relay;
    relay.pullIn_A = {17, 18.5};
    relay.dropOut_A = {13.5, 15};
    relay.coil_ohm = 0.06;
    relay.coilContinuous_A = 8;
    relay.contact_A = 30;
    relay.attitude = RelayAttitude::upright;
    addPart(input, "relay", relay);
    StartCapacitor start;
    start.capacitance_F = {161e-6, 193e-6};
    start.rated_V = 165;
    addPart(input, "start", start);
    RunCapacitor run;
    run.capacitance_F = {14e-6, 16e-6};
    run.rated_V = 370;
    addPart(input, "run", run);
    addPart(input, "outside", externalProtector());
    addPart(input, "fan", CondenserFan{115, 0.6, 0.6});
    input.circuit = choiceOf("CSIR", "", "outside", "fan", {input.file, 7});
    return input;
}

Case stockedCase()
{
    Case input;
    input.name = "parts shelf of the dairy";
    input.invented = true;
    input.file = "shelf.xml";
    input.supply = {230, 60, 0.12, 0.15e-3, true, 0};
    input.supplyGiven = true;
    input.compressor.nameplate.voltage_V = 230;
    input.compressor.nameplate.frequency_Hz = 60;
    PotentialRelay potential;
    potential.pickUp_V = {195, 215};
    potential.dropOut_V = {40, 90};
    potential.coil_ohm = 9500;
    potential.coil_H = 12;
    addPart(input, "potential", potential);
    CurrentRelay current;
    current.pullIn_A = {17, 18.5};
    current.dropOut_A = {13.5, 15};
    current.coil_ohm = 0.06;
    addPart(input, "current", current);
    Ptc ptc;
    ptc.cold_ohm = {16, 24};
    ptc.hot_ohm = 60e3;
    ptc.reference_degC = 125;
    ptc.switchCurrent_A = 6;
    ptc.switchTime_s = {0.5, 0.9};
    ptc.running_W = 2.5;
    addPart(input, "ptc", ptc);
    TimedSwitch timer;
    timer.opensAfter_s = {0.5, 0.7};
    timer.rearm_s = 1.5;
    addPart(input, "timer", timer);
    CentrifugalSwitch shaft;
    shaft.opens_rad_s = {270, 290};
    shaft.closes_rad_s = {120, 180};
    addPart(input, "shaft", shaft);
    StartCapacitor start;
    start.capacitance_F = {130e-6, 156e-6};
    start.rated_V = 330;
    addPart(input, "start", start);
    addPart(input, "run", RunCapacitor{{37.6e-6, 42.4e-6}, 440, 0.002, true, {}});
    addPart(input, "dual",
            DualRunCapacitor{{37.6e-6, 42.4e-6}, {4.7e-6, 5.3e-6}, 440, 0.003, true, {}});
    addPart(input, "fan-run", RunCapacitor{{4.5e-6, 5.5e-6}, 370, 0.004, true, {}});
    addPart(input, "fan", CondenserFan{230, 0.6, 0.6});
    addPart(input, "fan-with-capacitor", CapacitorFan{230, 0.9, 5e-6, 6, true});
    addPart(input, "one-pole", Contactor{1, 30, 150, 0.004, true});
    addPart(input, "two-pole", Contactor{2, 30, 150, 0.003, true});
    addPart(input, "inside", internalProtector());
    addPart(input, "outside", externalProtector());
    return input;
}

EquivalentCircuit coldStoreMotor()
{
    EquivalentCircuit motor;
    motor.frequency_Hz = 60;
    motor.main_ohm = 0.66;
    motor.mainLeakage_ohm = 0.97;
    motor.mainMagnetizing_ohm = 31;
    motor.rotorMain_ohm = 1.13;
    motor.rotorMainLeakage_ohm = 0.96;
    motor.auxiliary_ohm = 1.92;
    motor.auxiliaryLeakage_ohm = 1.37;
    motor.auxiliaryMagnetizing_ohm = 46;
    motor.rotorAuxiliary_ohm = 1.68;
    motor.rotorAuxiliaryLeakage_ohm = 1.45;
    motor.turnsRatio = 1.22;
    motor.poles = 2;
    motor.inertia_kgm2 = 0.008;
    motor.coreLoss_W = 97;
    motor.friction_W = 25;
    motor.resistanceTemperature_degC = 25;
    return motor;
}

EquivalentCircuit bottleCoolerMotor()
{
    EquivalentCircuit motor;
    motor.frequency_Hz = 60;
    motor.main_ohm = 2.02;
    motor.mainLeakage_ohm = 2.79;
    motor.mainMagnetizing_ohm = 66.8;
    motor.rotorMain_ohm = 4.12;
    motor.rotorMainLeakage_ohm = 2.12;
    motor.auxiliary_ohm = 7.14;
    motor.auxiliaryLeakage_ohm = 3.22;
    motor.auxiliaryMagnetizing_ohm = 92.9;
    motor.rotorAuxiliary_ohm = 5.74;
    motor.rotorAuxiliaryLeakage_ohm = 2.95;
    motor.turnsRatio = 1.18;
    motor.poles = 4;
    motor.inertia_kgm2 = 0.0146;
    motor.resistanceTemperature_degC = 20;
    return motor;
}

}  // namespace splitstart
