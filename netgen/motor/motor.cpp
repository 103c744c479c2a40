#include "motor/motor.h"

#include <numbers>

namespace splitstart
{

Motor givenMotor(const Compressor& compressor)
{
    const EquivalentCircuit& given = compressor.equivalentCircuit.value();
    Motor motor;
    motor.circuit = given;
    if (compressor.load.torque_Nm) {
        motor.ratedTorque_Nm = {*compressor.load.torque_Nm, Origin::given, 0};
    }
    const auto add = [&motor](const char* name, double value, const char* unit) {
        motor.parameters.push_back(
            {name, {value, Origin::given, 0}, unit, "equivalent circuit in the case file"});
    };
    add("run winding resistance", given.main_ohm, "ohm");
    add("run winding leakage reactance", given.mainLeakage_ohm, "ohm");
    add("run axis magnetising reactance", given.mainMagnetizing_ohm, "ohm");
    add("rotor resistance, run axis", given.rotorMain_ohm, "ohm");
    add("rotor leakage reactance, run axis", given.rotorMainLeakage_ohm, "ohm");
    add("start winding resistance", given.auxiliary_ohm, "ohm");
    add("start winding leakage reactance", given.auxiliaryLeakage_ohm, "ohm");
    add("start axis magnetising reactance", given.auxiliaryMagnetizing_ohm, "ohm");
    add("rotor resistance, start axis", given.rotorAuxiliary_ohm, "ohm");
    add("rotor leakage reactance, start axis", given.rotorAuxiliaryLeakage_ohm, "ohm");
    add("turns ratio, start to run winding", given.turnsRatio, "");
    add("poles", given.poles, "");
    add("inertia", given.inertia_kgm2, "kg m2");
    add("core loss", given.coreLoss_W, "W");
    add("friction and windage", given.friction_W, "W");
    return motor;
}

double synchronousSpeed_rad_s(double frequency_Hz, int poles)
{
    return 2 * std::numbers::pi * frequency_Hz / (poles / 2.0);
}

}  // namespace splitstart
