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

// Mechanical synchronous speed, 2 pi f / pole pairs.
double synchronousSpeed_rad_s(double frequency_Hz, int poles);

}  // namespace splitstart
