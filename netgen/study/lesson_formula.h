// The textbook's formulas that lessons set beside their runs. Nothing is simulated with them: the
// motor's equations for that stand in models/split_phase_motor.lib.
//
// Sources, from memory
//   [FKU]      Fitzgerald, Kingsley, Umans, "Electric Machinery", chapter on single- and two-phase
//              motors: two revolving fields, unbalanced two-phase machines.
//   [Veinott]  Veinott, "Theory and Design of Small Induction Motors", chapters on the split-phase
//              and the capacitor motor.
// They take the cage and the magnetising branch as alike in both axes (auxiliary axis = turns ratio
// squared times the main one).
#pragma once

#include <complex>

#include "case/case.h"

namespace splitstart
{

class TextbookMotor
{
public:
    using Phasor = std::complex<double>;

    // Fed with that frequency, windings and cage at that temperature. `rated_V`: at which the core
    // loss holds.
    TextbookMotor(const EquivalentCircuit& circuit, double frequency_Hz, double winding_degC,
                  double rated_V);

    // What a field of that slip (above 0) meets behind the stator: magnetising branch, core loss
    // and cage side by side, main winding's turns.
    [[nodiscard]] Phasor field_ohm(double slip_ratio) const;
    // Watts over the air gap for each square ampere of stator current in both axes.
    [[nodiscard]] double airGap_ohm(double slip_ratio) const;
    // The run winding's own resistance and leakage.
    [[nodiscard]] Phasor main_ohm() const { return main_ohm_; }
    [[nodiscard]] Phasor auxiliary_ohm() const { return auxiliary_ohm_; }

    // Standstill: 2 n R / w times run amps times start amps times the sine of the angle by which
    // the start amps lead [FKU].
    [[nodiscard]] double startingTorque_Nm(double main_A, double auxiliary_A,
                                           double lead_rad) const;

    // Run winding alone behind `source_ohm`: amps, torques of the two fields [FKU], volts of the
    // open start winding.
    struct SinglePhase {
        double main_A = 0;
        double forward_Nm = 0;
        double backward_Nm = 0;
        double startWinding_V = 0;
    };
    [[nodiscard]] SinglePhase singlePhase(double rms_V, Phasor source_ohm,
                                          double speed_ratio) const;

    // Amplitude of the torque at twice line frequency, from the two windings' amps: each field's
    // flux against the other one's current. Without core loss only.
    [[nodiscard]] double pulsation_Nm(Phasor main_A, Phasor auxiliary_A, double speed_ratio) const;

    // Farads in the start lead that give the most torque at standstill. With a capacitor without
    // loss the reactance of the whole start branch is then - R R_main / (X_main + |Z_main|) [FKU,
    // Veinott], R that of the start winding and its rotor; with that dissipation factor it follows
    // from the same condition, that I_main I_start sin(lead) is greatest.
    [[nodiscard]] double greatestTorque_F(double dissipationFactor) const;

    // Parts of the windings' amps that turn forward and backward, main winding's turns.
    [[nodiscard]] Phasor forward_A(Phasor main_A, Phasor auxiliary_A) const;
    [[nodiscard]] Phasor backward_A(Phasor main_A, Phasor auxiliary_A) const;

private:
    [[nodiscard]] Phasor rotor_ohm(double slip_ratio) const;

    double radian_s_;
    double synchronous_rad_s_;
    double turns_ratio_;
    Phasor main_ohm_;
    Phasor auxiliary_ohm_;
    Phasor magnetizing_ohm_;  // with core loss
    double rotorResistance_ohm_;
    double rotorLeakage_ohm_;
    double bar_ohm_;
    double barCorner_Hz_;
};

}  // namespace splitstart
