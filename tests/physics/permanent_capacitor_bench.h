// Machines and measurements that the checks of the permanent-split-capacitor circuit share.
#pragma once

#include <optional>

#include "physics/deck.h"
#include "physics/symmetrical_components.h"

namespace splitstart
{

// Invented, of the size of a one-horsepower hermetic compressor on 230 V, 60 Hz: two poles, rotor
// alike in both axes; the windings' own resistance and leakage are not in the turns ratio's square.
book::Machine inventedHermetic();
constexpr double hermetic_V = 230;
book::CapacitorBranch inventedRunCapacitor();  // 30 uF

// Auxiliary winding and rotor circuits exactly turns_ratio^2 times the main ones: the two windings
// differ in their turns alone.
book::Machine withAuxiliaryLikeMain(book::Machine machine, double turns_ratio);

// What one pair of rotating fields meets at the main winding's terminals, that winding included.
book::Phasor forwardImpedance_ohm(const book::Machine& machine, double frequency_Hz,
                                  double slip_ratio);

double speedAt(const MotorCircuit& circuit, double slip_ratio);  // [rad/s]

// A held shaft in the time domain after everything has died away: rms and mean over the last
// period, amplitude of the torque's component at twice the supply's frequency.
struct SettledRun {
    double main_A = 0;
    double auxiliary_A = 0;
    double line_A = 0;
    double branch_V = 0;
    double auxiliary_V = 0;
    double torque_Nm = 0;
    double swing_Nm = 0;
};
SettledRun settledTransient(const MotorCircuit& circuit, double step_s = largestStep_s);

}  // namespace splitstart
