#include "motor/motor.h"

#include <fmt/format.h>

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

std::string twoCagesNote(const EquivalentCircuit& circuit)
{
    constexpr double alike_ratio = 1.5;  // assumed: more than test benches differ by
    const double turnsSquared = circuit.turnsRatio * circuit.turnsRatio;
    const auto differ = [turnsSquared](double start, double run) {
        const double ratio = start / turnsSquared / run;
        return ratio > alike_ratio || ratio < 1 / alike_ratio;
    };
    const bool resistances = differ(circuit.rotorAuxiliary_ohm, circuit.rotorMain_ohm);
    if (!resistances && !differ(circuit.rotorAuxiliaryLeakage_ohm, circuit.rotorMainLeakage_ohm)) {
        return {};
    }
    return fmt::format(
        "rotor {}: start axis over turns ratio squared is {:.3g} ohm, run axis {:.3g} ohm; one "
        "cage "
        "has the same in both, so one of them is wrong, or is referred to the run winding already. "
        "What is computed with them is of no motor that there is",
        resistances ? "resistances" : "leakage reactances",
        (resistances ? circuit.rotorAuxiliary_ohm : circuit.rotorAuxiliaryLeakage_ohm) /
            turnsSquared,
        resistances ? circuit.rotorMain_ohm : circuit.rotorMainLeakage_ohm);
}

double synchronousSpeed_rad_s(double frequency_Hz, int poles)
{
    return 2 * std::numbers::pi * frequency_Hz / (poles / 2.0);
}

}  // namespace splitstart
