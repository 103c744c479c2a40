// The motor as it goes into the simulation: an equivalent circuit, and for each of its numbers
// where it comes from and how sure it is.
#pragma once

#include <string>
#include <vector>

#include "case/case.h"
#include "case/quantity.h"

namespace splitstart
{

// One number of the motor as shown to people.
struct MotorParameter {
    std::string name;  // "turns ratio, start to run winding"
    Quantity value;
    std::string unit;   // "ohm", "kg m2", "" for a ratio
    std::string basis;  // where it comes from, in one clause
};

struct Motor {
    EquivalentCircuit circuit;
    Quantity ratedTorque_Nm;  // mean shaft torque at rated load; value 0: nothing known
    std::vector<MotorParameter> parameters;
};

// The motor whose equivalent circuit the case gives in full; nothing is estimated.
// Requires: compressor.equivalentCircuit.
Motor givenMotor(const Compressor& compressor);

// A sentence on a rotor whose two axes cannot be those of one cage: referred to the same turns
// (start axis over turns ratio squared) its resistances, or its leakages, differ by more than half.
// The axes stand still while the bars turn through both, so a cage has one value (any text on the
// unsymmetrical two-phase machine, such as Fitzgerald, Kingsley, Umans, "Electric Machinery");
// equations with two can run above synchronous speed. Usual cause: values that are referred to the
// run winding already. Empty where they agree.
std::string twoCagesNote(const EquivalentCircuit& circuit);

// Mechanical synchronous speed, 2 pi f / pole pairs.
double synchronousSpeed_rad_s(double frequency_Hz, int poles);

}  // namespace splitstart
