// A third opinion on the running motor: two-phase symmetrical components. The unequal windings are
// referred to the main winding's turns, their currents split into one pair that turns forward and
// one that turns backward, and each pair sees the cage at its own slip, s and 2 - s. Complex
// arithmetic and one pair of linear equations; shares no algebra with the cross-field equations of
// steady_state.cpp, nor with models/.
//
// Sources, from memory
//   [FKU]      Fitzgerald, Kingsley, Umans, "Electric Machinery", 6th edition, chapter on
//              single- and two-phase motors: unbalanced operation of two-phase machines.
//   [Veinott]  Veinott, "Theory and Design of Small Induction Motors", chapters on the capacitor
//              motor: the same theory for windings of unequal turns.
#pragma once

#include "physics/second_opinion.h"

namespace splitstart::book
{

// All phasors rms, the source's own voltage is the reference.
struct SequenceSolution {
    Phasor forward_A;     // in the main winding's turns; auxiliary ahead of main by 90 degrees
    Phasor backward_A;    // in the main winding's turns; auxiliary behind main by 90 degrees
    Phasor forward_ohm;   // cage, magnetizing branch and core loss as the forward pair sees them
    Phasor backward_ohm;  // the same, backward pair
    Phasor main_A;
    Phasor auxiliary_A;
    Phasor line_A;
    Phasor branch_V;       // at the capacitor's terminals
    Phasor auxiliary_V;    // across the auxiliary winding: start to common
    double torque_Nm = 0;  // mean, electromagnetic
    // Amplitude of the torque's swing at twice the supply's frequency. Without core loss only.
    double swing_Nm = 0;
};

// Slip above 0 and below 2. Throws std::invalid_argument unless the cage and the magnetizing
// branches are alike in both axes (auxiliary axis = turns ratio squared times the main one): only
// then do the two pairs not mix in the rotor, and the theory is exact.
SequenceSolution symmetricalComponents(const Machine& machine, const Source& source,
                                       const CapacitorBranch& branch, double slip_ratio);

// Both windings fed by sources of their own, without impedance, of one frequency and given phasors.
SequenceSolution symmetricalComponents(const Machine& machine, double frequency_Hz, Phasor main_V,
                                       Phasor auxiliary_V, double slip_ratio);

}  // namespace splitstart::book
