#include "circuit/part_physics.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "circuit/simulation_model.h"
#include "motor/compressor_load.h"
#include "motor/winding_temperature.h"

namespace splitstart
{

namespace
{

constexpr double room_degC = 25;
constexpr double fewestTurns_ratio = 0.5;
constexpr double mostTurns_ratio = 3;

double capacitorAmps(const CapacitorFan& fan, double line_Hz)
{
    return 2 * std::numbers::pi * line_Hz * fan.capacitor_F * fan.voltage_V;
}

}  // namespace

double protectorTimeConstant_s(const Protector& protector, double tripTime_s)
{
    const double ratio = protector.ultimateTrip_A / protector.tripCurrent_A;
    return -tripTime_s / std::log1p(-ratio * ratio);
}

double protectorAmbient_degC(const Protector& protector, double winding_degC)
{
    // The ambient at which the ratings were taken is none of this: a cold motor's disc is cold. An
    // internal protector sits on the windings; an external one on the shell, which a hot motor has
    // warmed part of the way (half, assumed).
    const double warming_K = std::max(0.0, winding_degC - room_degC);
    return protector.location == ProtectorPlace::internal ? winding_degC
                                                          : winding_degC - 0.5 * warming_K;
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

double startDeviceAmbient_degC(const Case& input, double winding_degC)
{
    constexpr double besideHotShell_degC = 60;
    const double otherwise_degC = isHot(winding_degC) ? besideHotShell_degC : room_degC;
    return input.circuit ? input.circuit->ambient_degC.value_or(otherwise_degC) : otherwise_degC;
}

double ptcRunning_ohm(const Ptc& ptc, double running_V)
{
    constexpr double nearItsEnd_ratio = 0.9;
    return std::min(running_V * running_V / ptc.running_W, nearItsEnd_ratio * ptc.hot_ohm);
}

double mostRunning_W(const Ptc& ptc, double running_V)
{
    constexpr double steep_ratio = 2;
    return running_V * running_V / (steep_ratio * ptc.cold_ohm.maximum);
}

double ptcTemperatureAt_degC(const Ptc& ptc, double resistance_ohm)
{
    // models/ptc.lib the other way round.
    const double cold_S = 1 / ptc.cold_ohm.middle();
    const double hot_S = 1 / ptc.hot_ohm;
    const double share = (0.5 * cold_S - hot_S) / (cold_S - hot_S);
    const double coldPower = std::exp(-ptcRise_per_K * (ptc.reference_degC - room_degC));
    const double steepness = (1 - share) / (share - coldPower);
    const double span_S = (cold_S - hot_S) * (1 + steepness * coldPower);
    const double power = (span_S / (1 / resistance_ohm - hot_S) - 1) / steepness;
    return ptc.reference_degC + std::log(power) / ptcRise_per_K;
}

PtcHeat ptcHeat(const Ptc& ptc, double switchTime_s, double running_V)
{
    PtcHeat heat;
    const double cold_ohm = ptc.cold_ohm.middle();
    heat.capacity_J_K = ptc.switchCurrent_A * ptc.switchCurrent_A * cold_ohm * switchTime_s /
                        (ptc.reference_degC - room_degC);
    const double running_ohm = ptcRunning_ohm(ptc, running_V);
    heat.running_degC = ptcTemperatureAt_degC(ptc, running_ohm);
    heat.dissipation_W_K = running_V * running_V / running_ohm / (heat.running_degC - room_degC);
    return heat;
}

double ptcCooled_degC(const PtcHeat& heat, double off_s, double ambient_degC)
{
    const double hot_degC = std::max(heat.running_degC, ambient_degC);
    return ambient_degC + (hot_degC - ambient_degC) * std::exp(-off_s / heat.timeConstant_s());
}

bool isFanMachine(const CapacitorFan& fan, double line_Hz)
{
    const Range fitting_A = fanAmps(fan, line_Hz);
    return fan.current_A >= fitting_A.minimum && fan.current_A <= fitting_A.maximum;
}

Range fanAmps(const CapacitorFan& fan, double line_Hz)
{
    const double capacitor_A = capacitorAmps(fan, line_Hz);
    return {capacitor_A * (1 + fewestTurns_ratio * fewestTurns_ratio),
            capacitor_A * (1 + mostTurns_ratio * mostTurns_ratio)};
}

FanMachine fanMachine(const CapacitorFan& fan, double line_Hz)
{
    constexpr double statorShare_ratio = 0.1;
    constexpr double leakageShare_ratio = 0.08;
    constexpr double ratedSlip_ratio = 0.12;
    // With its own torque it would be up to speed in this time, which is that of a light blade.
    constexpr double runUp_s = 0.3;
    const double n = std::sqrt(std::max(fan.current_A / capacitorAmps(fan, line_Hz) - 1,
                                        fewestTurns_ratio * fewestTurns_ratio));
    const double auxiliary_A = capacitorAmps(fan, line_Hz) * std::sqrt(1 + n * n);
    const double main_A = n * auxiliary_A;
    const double main_ohm = fan.voltage_V / main_A;
    const double angle_rad = std::atan(n);
    FanMachine machine;
    machine.main_ohm = main_ohm * std::cos(angle_rad);
    machine.mainReactance_ohm = main_ohm * std::sin(angle_rad);

    // The magnetising branch and the rotor, as an admittance behind the stator's own impedance.
    const double stator_ohm = statorShare_ratio * main_ohm;
    const double leakage_ohm = leakageShare_ratio * main_ohm;
    const double gap_ohm = machine.main_ohm - stator_ohm;
    const double gapReactance_ohm = machine.mainReactance_ohm - leakage_ohm;
    const double square = gap_ohm * gap_ohm + gapReactance_ohm * gapReactance_ohm;
    const double conductance_S = gap_ohm / square;
    const double susceptance_S = gapReactance_ohm / square;
    const double rotorOverSlip_ohm =
        (1 + std::sqrt(1 - 4 * conductance_S * conductance_S * leakage_ohm * leakage_ohm)) /
        (2 * conductance_S);
    const double rotorSquare = rotorOverSlip_ohm * rotorOverSlip_ohm + leakage_ohm * leakage_ohm;

    EquivalentCircuit& circuit = machine.circuit;
    circuit.frequency_Hz = line_Hz;
    circuit.main_ohm = stator_ohm;
    circuit.mainLeakage_ohm = leakage_ohm;
    circuit.mainMagnetizing_ohm = 1 / (susceptance_S - leakage_ohm / rotorSquare);
    circuit.rotorMain_ohm = rotorOverSlip_ohm * ratedSlip_ratio;
    circuit.rotorMainLeakage_ohm = leakage_ohm;
    circuit.auxiliary_ohm = n * n * stator_ohm;
    circuit.auxiliaryLeakage_ohm = n * n * leakage_ohm;
    circuit.auxiliaryMagnetizing_ohm = n * n * circuit.mainMagnetizing_ohm;
    circuit.rotorAuxiliary_ohm = n * n * circuit.rotorMain_ohm;
    circuit.rotorAuxiliaryLeakage_ohm = n * n * leakage_ohm;
    circuit.turnsRatio = n;
    circuit.poles = fan.poles;

    const double synchronous_rad_s = synchronousSpeed_rad_s(line_Hz, fan.poles);
    machine.ratedSpeed_rad_s = (1 - ratedSlip_ratio) * synchronous_rad_s;
    const double gapSquare_V2 = main_A * main_A * square;
    machine.rated_Nm = 2 * gapSquare_V2 / rotorSquare * rotorOverSlip_ohm / synchronous_rad_s;
    circuit.inertia_kgm2 = machine.rated_Nm * runUp_s / machine.ratedSpeed_rad_s;
    return machine;
}

}  // namespace splitstart
