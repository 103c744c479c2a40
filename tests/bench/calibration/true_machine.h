// Compressors whose truth is known: a motor, a supply, parts, and what is printed on them.
#pragma once

#include <cstdint>
#include <map>
#include <string>
#include <vector>

#include "calibration/random_draw.h"
#include "case/case.h"
#include "circuit/circuit.h"
#include "motor/estimate.h"
#include "spice/simulation.h"

namespace splitstart::calibration
{

enum class Family { csirPotential, csirCurrent, cscrPotential, rsirCurrent, rsirPtc, pscPtc };

// "CSIR with potential relay"
const char* familyName(Family family);
bool hasStartCapacitor(Family family);
bool hasRunCapacitor(Family family);

// A motor in proportions; the ohms follow from the rated volt-amps.
struct MotorDraw {
    Family family = Family::csirPotential;
    double rated_V = 0;
    double line_Hz = 0;
    int poles = 2;
    double rated_VA = 0;
    double leakage_ratio = 0;           // X1/R1
    double rotorLeakage_ratio = 0;      // X2/X1
    double magnetizing_ratio = 0;       // Xm/X1
    double rotorResistance_ratio = 0;   // R2/R1 at low slip
    double rise_ratio = 0;              // of R2 at line frequency
    double turns_ratio = 0;             // a
    double auxiliaryLeakage_ratio = 0;  // Xa/(a^2 X1)
    double auxiliary_ratio = 0;         // Ra/(a^2 R1)
    double coreLoss_ratio = 0;          // of the volt-amps
    double friction_ratio = 0;
    double ratedSlip_ratio = 0;
    double inertia_s = 0;       // energy at synchronous speed / rated output
    double runCapacitor_k = 0;  // volt-amps that the run capacitor carries, in proportion
};

// What a machine is at its rated point and stalled, with the maker's parts at stiff terminals.
struct RatedPoint {
    double torque_Nm = 0;  // at the shaft
    double load_A = 0;
    double load_W = 0;
    double output_W = 0;
    double efficiency_ratio = 0;
    double breakdown_ratio = 0;  // highest torque in running / rated torque
    double lockedRotor_A = 0;
};

struct TrueMachine {
    MotorDraw draw;
    EquivalentCircuit motor;
    RatedPoint rated;
    Circuit circuit;                      // of the parts in hand
    Case proper;                          // the maker's parts, each in the middle of its range
    Case label;                           // the parts in hand as printed, no readings yet
    Case real;                            // the same with each part as it is, and the true supply
    std::map<std::string, int> rejected;  // draws that are no machines, by reason
};

// The machine of that index: the same whatever else is drawn. Throws SimulationError.
TrueMachine drawMachine(std::uint64_t seed, std::size_t index, SimulatorPool& pool);

}  // namespace splitstart::calibration
