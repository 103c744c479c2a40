// Phasor solutions of the second opinion.
#include <Eigen/Dense>
#include <cmath>
#include <numbers>
#include <stdexcept>

#include "physics/second_opinion.h"

namespace splitstart::book
{

namespace
{

constexpr double pi = std::numbers::pi;

Phasor inverseSum(Phasor a, Phasor b)
{
    return a * b / (a + b);
}

Phasor gapImpedance(double magnetizing_H, double coreLoss_ohm, double omega_rad_s)
{
    const Phasor reactance(0, omega_rad_s * magnetizing_H);
    return std::isfinite(coreLoss_ohm) ? inverseSum(reactance, coreLoss_ohm) : reactance;
}

}  // namespace

double Machine::synchronousSpeed_rad_s(double frequency_Hz) const
{
    return 2 * pi * frequency_Hz / polePairs;
}

// Unknown: main, auxiliary, rotor q and rotor d current. Air-gap volts of each axis are its gap
// impedance times the sum of its currents; rotor flux is leakage times rotor current plus air-gap
// volts over j omega.
SteadyState steadyState(const Machine& m, const Source& source,
                        const std::optional<CapacitorBranch>& branch, double speed_rad_s)
{
    if (m.deepBar || m.saturation) {
        throw std::invalid_argument("the cross-field phasors know neither deep bar nor saturation");
    }
    const double omega = 2 * pi * source.frequency_Hz;
    const Phasor j(0, 1);
    const Phasor jOmega = j * omega;
    const double n = m.turns_ratio;
    const double electrical_rad_s = m.polePairs * speed_rad_s;
    const Phasor gapQ = gapImpedance(m.mainMagnetizing_H, m.coreLoss_ohm, omega);
    const Phasor gapD = gapImpedance(m.auxiliaryMagnetizing_H, n * n * m.coreLoss_ohm, omega);
    const Phasor main = m.mainResistance_ohm + jOmega * m.mainLeakage_H;
    const Phasor auxiliary = m.auxiliaryResistance_ohm + jOmega * m.auxiliaryLeakage_H;
    const Phasor rotorFluxQ = m.rotorMainLeakage_H + gapQ / jOmega;  // per rotor ampere
    const Phasor rotorFluxD = m.rotorAuxiliaryLeakage_H + gapD / jOmega;
    const Phasor supply = source.resistance_ohm + jOmega * source.inductance_H;
    const Phasor series =
        branch ? branch->resistance_ohm + 1.0 / (jOmega * branch->capacitance_F) : Phasor(0);

    Eigen::Matrix4cd a = Eigen::Matrix4cd::Zero();
    Eigen::Vector4cd rhs = Eigen::Vector4cd::Zero();
    a.row(0) << main + gapQ + supply, supply, gapQ, 0.0;
    rhs(0) = source.rms_V;
    if (branch) {
        a.row(1) << supply, auxiliary + gapD + series + supply, 0.0, gapD;
        rhs(1) = source.rms_V;
    } else {
        a(1, 1) = 1;  // no auxiliary current
    }
    // 0 = r' i'_q - (omega_r / n) lambda'_d + j omega lambda'_q, and
    // 0 = r' i'_d + omega_r n lambda'_q + j omega lambda'_d.
    a.row(2) << jOmega * (gapQ / jOmega), -electrical_rad_s / n * (gapD / jOmega),
        m.rotorMainResistance_ohm + jOmega * rotorFluxQ, -electrical_rad_s / n * rotorFluxD;
    a.row(3) << electrical_rad_s * n * (gapQ / jOmega), jOmega * (gapD / jOmega),
        electrical_rad_s * n * rotorFluxQ, m.rotorAuxiliaryResistance_ohm + jOmega * rotorFluxD;
    const Eigen::Vector4cd current = a.partialPivLu().solve(rhs);

    SteadyState steady;
    steady.main_A = current(0);
    steady.auxiliary_A = current(1);
    steady.line_A = current(0) + current(1);
    steady.rotorMain_A = current(2);
    steady.rotorAuxiliary_A = current(3);
    steady.terminal_V = source.rms_V - supply * steady.line_A;
    steady.auxiliary_V = auxiliary * current(1) + gapD * (current(1) + current(3));
    steady.branch_V = series * current(1);
    const Phasor fluxQ =
        gapQ / jOmega * (current(0) + current(2)) + m.rotorMainLeakage_H * current(2);
    const Phasor fluxD =
        gapD / jOmega * (current(1) + current(3)) + m.rotorAuxiliaryLeakage_H * current(3);
    // Mean of a product of two sines = real part of one rms phasor times the other's conjugate.
    steady.torque_Nm = m.polePairs * (n * (fluxQ * std::conj(current(3))).real() -
                                      (fluxD * std::conj(current(2))).real() / n);
    return steady;
}

SteadyState twoRevolvingFields(const Machine& m, const Source& source,
                               const std::optional<CapacitorBranch>& branch, double speed_rad_s)
{
    if (m.saturation) {
        throw std::invalid_argument("revolving fields are of a linear machine");
    }
    const double omega = 2 * pi * source.frequency_Hz;
    const Phasor j(0, 1);
    const double n = m.turns_ratio;
    const double slip = 1 - speed_rad_s / m.synchronousSpeed_rad_s(source.frequency_Hz);
    const Phasor magnetizing = gapImpedance(m.mainMagnetizing_H, m.coreLoss_ohm, omega);
    struct Field {
        Phasor impedance;      // half of it, as each field is half of the winding's
        double rotor_ohm = 0;  // the part of its resistance that is the rotor's, not the core's
    };
    const auto field = [&](double fieldSlip) {
        const double rotor_rad_s = fieldSlip * omega;
        Phasor rotor = m.rotorMainResistance_ohm + j * rotor_rad_s * m.rotorMainLeakage_H;
        if (m.deepBar) {
            rotor +=
                inverseSum(m.deepBar->resistance_ohm, j * rotor_rad_s * m.deepBar->inductance_H);
        }
        const Phasor both = inverseSum(rotor / fieldSlip, magnetizing);
        return Field{0.5 * both, 0.5 * std::norm(both) * (fieldSlip / rotor).real()};
    };
    const Field forward = field(slip);
    const Field backward = field(2 - slip);
    const Phasor gap = forward.impedance + backward.impedance;
    const Phasor turning = j * n * (forward.impedance - backward.impedance);
    const Phasor main = m.mainResistance_ohm + j * omega * m.mainLeakage_H;
    const Phasor auxiliary = m.auxiliaryResistance_ohm + j * omega * m.auxiliaryLeakage_H;
    const Phasor supply = source.resistance_ohm + j * omega * source.inductance_H;
    const Phasor series =
        branch ? branch->resistance_ohm + 1.0 / (j * omega * branch->capacitance_F) : Phasor(0);

    // The forward field turns from the auxiliary winding, whose current leads, to the main one.
    Eigen::Matrix2cd z;
    z << supply + main + gap, supply - turning, supply + turning,
        supply + series + auxiliary + n * n * gap;
    Eigen::Vector2cd volts(source.rms_V, source.rms_V);
    if (!branch) {
        z.row(1) << 0.0, 1.0;
        volts(1) = 0;
    }
    const Eigen::Vector2cd current = z.partialPivLu().solve(volts);

    SteadyState steady;
    steady.main_A = current(0);
    steady.auxiliary_A = current(1);
    steady.line_A = current(0) + current(1);
    steady.terminal_V = source.rms_V - supply * steady.line_A;
    steady.auxiliary_V = (auxiliary + n * n * gap) * current(1) + turning * current(0);
    const double squares_A2 = std::norm(current(0)) + n * n * std::norm(current(1));
    const double product_A2 = 2 * n * (current(1) * std::conj(current(0))).imag();
    steady.torque_Nm = (squares_A2 * (forward.rotor_ohm - backward.rotor_ohm) +
                        product_A2 * (forward.rotor_ohm + backward.rotor_ohm)) /
                       m.synchronousSpeed_rad_s(source.frequency_Hz);
    return steady;
}

RevolvingFields revolvingFields(const Machine& m, double rms_V, double frequency_Hz,
                                double slip_ratio, double rotationalLoss_W)
{
    const double omega = 2 * pi * frequency_Hz;
    const Phasor j(0, 1);
    const Phasor magnetizing = j * omega * m.mainMagnetizing_H;
    const Phasor leakage = j * omega * m.rotorMainLeakage_H;
    const Phasor forward =
        inverseSum(m.rotorMainResistance_ohm / slip_ratio + leakage, magnetizing);
    const Phasor backward =
        inverseSum(m.rotorMainResistance_ohm / (2 - slip_ratio) + leakage, magnetizing);
    const Phasor input =
        m.mainResistance_ohm + j * omega * m.mainLeakage_H + 0.5 * forward + 0.5 * backward;

    RevolvingFields f;
    f.input_A = rms_V / input;
    const double squared_A2 = std::norm(f.input_A);
    const double synchronous_rad_s = m.synchronousSpeed_rad_s(frequency_Hz);
    f.powerFactor_ratio = std::cos(std::arg(f.input_A));
    f.input_W = rms_V * f.input_A.real();
    f.forwardAirGap_W = squared_A2 * 0.5 * forward.real();
    f.backwardAirGap_W = squared_A2 * 0.5 * backward.real();
    f.speed_rad_s = (1 - slip_ratio) * synchronous_rad_s;
    f.mechanical_W = (1 - slip_ratio) * (f.forwardAirGap_W - f.backwardAirGap_W);
    f.output_W = f.mechanical_W - rotationalLoss_W;
    f.airGapTorque_Nm = (f.forwardAirGap_W - f.backwardAirGap_W) / synchronous_rad_s;
    f.shaftTorque_Nm = f.output_W / f.speed_rad_s;
    f.efficiency_ratio = f.output_W / f.input_W;
    return f;
}

}  // namespace splitstart::book
