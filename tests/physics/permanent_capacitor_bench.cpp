#include "physics/permanent_capacitor_bench.h"

#include <cmath>
#include <complex>
#include <numbers>
#include <vector>

#include "physics/waveform.h"

namespace splitstart
{

namespace
{

double amplitudeAt(const std::vector<double>& time_s, const std::vector<double>& values,
                   double frequency_Hz, const MeanOverLastPeriod& mean)
{
    std::vector<double> cosine(values);
    std::vector<double> sine(values);
    for (std::size_t i = 0; i < values.size(); ++i) {
        const double angle_rad = 2 * std::numbers::pi * frequency_Hz * time_s[i];
        cosine[i] *= std::cos(angle_rad);
        sine[i] *= std::sin(angle_rad);
    }
    return 2 * std::hypot(mean.of(cosine), mean.of(sine));
}

std::vector<double> difference(std::vector<double> a, const std::vector<double>& b)
{
    for (std::size_t i = 0; i < a.size(); ++i) {
        a[i] -= b[i];
    }
    return a;
}

}  // namespace

book::Machine inventedHermetic()
{
    constexpr double omega_rad_s = 2 * std::numbers::pi * 60;
    constexpr double n = 1.35;
    return {.mainResistance_ohm = 1.6,
            .mainLeakage_H = 2.3 / omega_rad_s,
            .mainMagnetizing_H = 62 / omega_rad_s,
            .rotorMainResistance_ohm = 1.9,
            .rotorMainLeakage_H = 2.1 / omega_rad_s,
            .auxiliaryResistance_ohm = 4.4,
            .auxiliaryLeakage_H = 3.6 / omega_rad_s,
            .auxiliaryMagnetizing_H = n * n * 62 / omega_rad_s,
            .rotorAuxiliaryResistance_ohm = n * n * 1.9,
            .rotorAuxiliaryLeakage_H = n * n * 2.1 / omega_rad_s,
            .turns_ratio = n,
            .polePairs = 1,
            .inertia_kgm2 = 0.002};
}

book::CapacitorBranch inventedRunCapacitor()
{
    return {.capacitance_F = 30e-6, .resistance_ohm = 0.1};
}

book::Machine withAuxiliaryLikeMain(book::Machine machine, double turns_ratio)
{
    const double square = turns_ratio * turns_ratio;
    machine.turns_ratio = turns_ratio;
    machine.auxiliaryResistance_ohm = square * machine.mainResistance_ohm;
    machine.auxiliaryLeakage_H = square * machine.mainLeakage_H;
    machine.auxiliaryMagnetizing_H = square * machine.mainMagnetizing_H;
    machine.rotorAuxiliaryResistance_ohm = square * machine.rotorMainResistance_ohm;
    machine.rotorAuxiliaryLeakage_H = square * machine.rotorMainLeakage_H;
    return machine;
}

book::Phasor forwardImpedance_ohm(const book::Machine& machine, double frequency_Hz,
                                  double slip_ratio)
{
    const book::Phasor jOmega(0, 2 * std::numbers::pi * frequency_Hz);
    const book::Phasor rotor_ohm =
        machine.rotorMainResistance_ohm / slip_ratio + jOmega * machine.rotorMainLeakage_H;
    const book::Phasor magnetizing_ohm = jOmega * machine.mainMagnetizing_H;
    return machine.mainResistance_ohm + jOmega * machine.mainLeakage_H +
           rotor_ohm * magnetizing_ohm / (rotor_ohm + magnetizing_ohm);
}

double speedAt(const MotorCircuit& circuit, double slip_ratio)
{
    return (1 - slip_ratio) * circuit.machine.synchronousSpeed_rad_s(circuit.source.frequency_Hz);
}

SettledRun settledTransient(const MotorCircuit& circuit, double step_s)
{
    constexpr double end_s = 2;  // many times the rotor's time constant with its stator shorted
    const Waveforms waveforms = runTransient(
        deckOf(circuit, transientCard(end_s, step_s)),
        {probe::main_A, probe::auxiliary_A, "v.xsupply.vline#branch", "line", "aux", "torque"},
        end_s);
    const MeanOverLastPeriod mean(waveforms.time_s, 1 / circuit.source.frequency_Hz);
    const auto& torque_Nm = waveforms.real[5];
    return {.main_A = mean.rootSquare(waveforms.real[0]),
            .auxiliary_A = mean.rootSquare(waveforms.real[1]),
            .line_A = mean.rootSquare(waveforms.real[2]),
            .branch_V = mean.rootSquare(difference(waveforms.real[3], waveforms.real[4])),
            .auxiliary_V = mean.rootSquare(waveforms.real[4]),
            .torque_Nm = mean.of(torque_Nm),
            .swing_Nm =
                amplitudeAt(waveforms.time_s, torque_Nm, 2 * circuit.source.frequency_Hz, mean)};
}

}  // namespace splitstart
