#include "physics/symmetrical_components.h"

#include <cmath>
#include <numbers>
#include <stdexcept>

namespace splitstart::book
{

namespace
{

const Phasor j(0, 1);

void requireRoundRotor(const Machine& m)
{
    const double square = m.turns_ratio * m.turns_ratio;
    const auto alike = [square](double auxiliary, double main) {
        return std::abs(auxiliary - square * main) <= 1e-9 * square * main;
    };
    if (!alike(m.auxiliaryMagnetizing_H, m.mainMagnetizing_H) ||
        !alike(m.rotorAuxiliaryResistance_ohm, m.rotorMainResistance_ohm) ||
        !alike(m.rotorAuxiliaryLeakage_H, m.rotorMainLeakage_H)) {
        throw std::invalid_argument("symmetrical components need a rotor alike in both axes");
    }
}

// What one pair of currents meets behind the stator: three branches side by side.
struct Field {
    Phasor impedance_ohm;
    double rotorShare_W = 0;  // into the rotor, per square ampere of stator current and phase

    Field(const Machine& m, double omega_rad_s, double slip_ratio)
    {
        const Phasor rotor_ohm =
            m.rotorMainResistance_ohm / slip_ratio + j * omega_rad_s * m.rotorMainLeakage_H;
        const Phasor admittance = 1.0 / rotor_ohm + 1.0 / (j * omega_rad_s * m.mainMagnetizing_H) +
                                  1.0 / m.coreLoss_ohm;  // infinite: nothing
        impedance_ohm = 1.0 / admittance;
        rotorShare_W =
            std::norm(impedance_ohm / rotor_ohm) * m.rotorMainResistance_ohm / slip_ratio;
    }
};

// Coefficients of the forward and the backward current in one winding's voltage equation.
struct Row {
    Phasor forward;
    Phasor backward;
    Phasor volts;
};

class TwoPhase
{
public:
    TwoPhase(const Machine& machine, double frequency_Hz, double slip_ratio)
        : machine_(machine),
          omega_rad_s_(2 * std::numbers::pi * frequency_Hz),
          forward_(machine, omega_rad_s_, slip_ratio),
          backward_(machine, omega_rad_s_, 2 - slip_ratio)
    {
        requireRoundRotor(machine);
    }

    [[nodiscard]] double omega_rad_s() const { return omega_rad_s_; }

    // main current = forward + backward; turns ratio times auxiliary current = j (forward -
    // backward). Volts of a winding are its own impedance times its current, and the two fields.
    [[nodiscard]] Row main(Phasor volts) const
    {
        const Phasor own_ohm =
            machine_.mainResistance_ohm + j * omega_rad_s_ * machine_.mainLeakage_H;
        return {own_ohm + forward_.impedance_ohm, own_ohm + backward_.impedance_ohm, volts};
    }

    [[nodiscard]] Row auxiliary(Phasor volts, Phasor series_ohm) const
    {
        const double n = machine_.turns_ratio;
        const Phasor own_ohm = machine_.auxiliaryResistance_ohm +
                               j * omega_rad_s_ * machine_.auxiliaryLeakage_H + series_ohm;
        return {j * (own_ohm / n + n * forward_.impedance_ohm),
                -j * (own_ohm / n + n * backward_.impedance_ohm), volts};
    }

    // The line's impedance carries both windings' currents.
    [[nodiscard]] Row behind(Phasor source_ohm, Row row) const
    {
        const double n = machine_.turns_ratio;
        row.forward += source_ohm * (1.0 + j / n);
        row.backward += source_ohm * (1.0 - j / n);
        return row;
    }

    [[nodiscard]] SequenceSolution solve(const Row& main, const Row& auxiliary) const
    {
        const Phasor determinant =
            main.forward * auxiliary.backward - main.backward * auxiliary.forward;
        const double n = machine_.turns_ratio;
        const double synchronous_rad_s = omega_rad_s_ / machine_.polePairs;
        SequenceSolution s;
        s.forward_A =
            (main.volts * auxiliary.backward - main.backward * auxiliary.volts) / determinant;
        s.backward_A =
            (main.forward * auxiliary.volts - main.volts * auxiliary.forward) / determinant;
        s.forward_ohm = forward_.impedance_ohm;
        s.backward_ohm = backward_.impedance_ohm;
        s.main_A = s.forward_A + s.backward_A;
        s.auxiliary_A = j * (s.forward_A - s.backward_A) / n;
        s.line_A = s.main_A + s.auxiliary_A;
        s.auxiliary_V =
            (machine_.auxiliaryResistance_ohm + j * omega_rad_s_ * machine_.auxiliaryLeakage_H) *
                s.auxiliary_A +
            j * n * (s.forward_ohm * s.forward_A - s.backward_ohm * s.backward_A);
        // Two phases; each field's power over the speed at which it turns.
        s.torque_Nm = 2 *
                      (std::norm(s.forward_A) * forward_.rotorShare_W -
                       std::norm(s.backward_A) * backward_.rotorShare_W) /
                      synchronous_rad_s;
        // Each pair's flux against the other pair's current: flux linkages are volts over omega,
        // and the two products swing in opposite senses.
        s.swing_Nm = 2 * std::abs(s.forward_A) * std::abs(s.backward_A) *
                     std::abs(s.forward_ohm - s.backward_ohm) / synchronous_rad_s;
        return s;
    }

private:
    const Machine& machine_;
    double omega_rad_s_;
    Field forward_;
    Field backward_;
};

}  // namespace

SequenceSolution symmetricalComponents(const Machine& machine, const Source& source,
                                       const CapacitorBranch& branch, double slip_ratio)
{
    const TwoPhase motor(machine, source.frequency_Hz, slip_ratio);
    const Phasor capacitor_ohm =
        branch.resistance_ohm + 1.0 / (j * motor.omega_rad_s() * branch.capacitance_F);
    const Phasor source_ohm = source.resistance_ohm + j * motor.omega_rad_s() * source.inductance_H;
    SequenceSolution solution =
        motor.solve(motor.behind(source_ohm, motor.main(source.rms_V)),
                    motor.behind(source_ohm, motor.auxiliary(source.rms_V, capacitor_ohm)));
    solution.branch_V = capacitor_ohm * solution.auxiliary_A;
    return solution;
}

SequenceSolution symmetricalComponents(const Machine& machine, double frequency_Hz, Phasor main_V,
                                       Phasor auxiliary_V, double slip_ratio)
{
    const TwoPhase motor(machine, frequency_Hz, slip_ratio);
    return motor.solve(motor.main(main_V), motor.auxiliary(auxiliary_V, 0));
}

}  // namespace splitstart::book
