#include "physics/quarter_horsepower.h"

#include <numbers>

namespace splitstart::book
{

namespace
{
constexpr double omega_rad_s = 2 * std::numbers::pi * 60;
}

Machine quarterHorsepower()
{
    return {.mainResistance_ohm = 2.02,
            .mainLeakage_H = 2.79 / omega_rad_s,
            .mainMagnetizing_H = 66.8 / omega_rad_s,
            .rotorMainResistance_ohm = 4.12,
            .rotorMainLeakage_H = 2.12 / omega_rad_s,
            .auxiliaryResistance_ohm = 7.14,
            .auxiliaryLeakage_H = 3.22 / omega_rad_s,
            .auxiliaryMagnetizing_H = 92.9 / omega_rad_s,
            .rotorAuxiliaryResistance_ohm = 5.74,
            .rotorAuxiliaryLeakage_H = 2.95 / omega_rad_s,
            .turns_ratio = 1.18,
            .polePairs = 2,
            .inertia_kgm2 = 0.0146};
}

Machine quarterHorsepowerWithRoundRotor()
{
    Machine machine = quarterHorsepower();
    const double impedance_ratio = machine.turns_ratio * machine.turns_ratio;
    machine.auxiliaryMagnetizing_H = impedance_ratio * machine.mainMagnetizing_H;
    machine.rotorAuxiliaryResistance_ohm = impedance_ratio * machine.rotorMainResistance_ohm;
    machine.rotorAuxiliaryLeakage_H = impedance_ratio * machine.rotorMainLeakage_H;
    return machine;
}

Machine quarterHorsepowerWithDeepBars(double resistance_ratio, double corner_Hz)
{
    Machine machine = quarterHorsepowerWithRoundRotor();
    const double bar_ohm = resistance_ratio * machine.rotorMainResistance_ohm;
    machine.deepBar = DeepBar{.resistance_ohm = bar_ohm,
                              .inductance_H = bar_ohm / (2 * std::numbers::pi * corner_Hz)};
    return machine;
}

StartConditions quarterHorsepowerStart()
{
    StartConditions conditions;
    conditions.source = {.rms_V = 110, .frequency_Hz = 60};
    conditions.branch = {.capacitance_F = 1 / (14.5 * omega_rad_s), .resistance_ohm = 3};
    conditions.startSwitch = {.opening = Opening::atCurrentZero,
                              .speed_rad_s = 0.75 * quarterHorsepower().synchronousSpeed_rad_s(60)};
    return conditions;
}

}  // namespace splitstart::book
