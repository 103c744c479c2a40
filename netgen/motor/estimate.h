// Estimating the equivalent circuit from what a person can know in the field: winding resistances,
// nameplate figures, and any further measurement.
//
// The readings do not determine the motor. Unknowns start from priors (a typical value and its
// spread), and least squares moves them until the circuit reproduces what was measured; each result
// says how sure it is, and alternatives show what else the same evidence allows.
#pragma once

#include <functional>
#include <span>
#include <string>
#include <vector>

#include "case/case.h"
#include "motor/motor.h"

namespace splitstart
{

// A motor with its shaft held at a speed in the circuit of the case.
struct HeldShaftTrial {
    EquivalentCircuit circuit;
    double line_V = 0;       // open-circuit volts of the feed
    double speed_ratio = 0;  // of synchronous speed
    double winding_degC = 25;
    bool startCircuitIn = true;
    bool stiff = true;  // line_V holds at the terminals; else behind the case's supply
};

// What it draws, rms; a fan beside the compressor is not counted.
struct HeldShaftResponse {
    double compressor_A = 0;
    double auxiliary_A = 0;
    double startWinding_V = 0;  // S-C
    double compressor_W = 0;
    double torque_Nm = 0;
};

// The motor's equations stand in models/ alone, so whoever calls the estimation lends it a bench
// that runs them: responses in the order of the trials.
using HeldShaftBench =
    std::function<std::vector<HeldShaftResponse>(std::span<const HeldShaftTrial>)>;

// What the estimation starts from.
struct EstimationInput {
    Quantity main_ohm;  // at 25 degC, leads taken off
    Quantity auxiliary_ohm;
    int poles = 2;
    bool polesGiven = false;
    double line_V = 0;  // rated
    double frequency_Hz = 60;
    Nameplate nameplate;
    std::vector<Measurement> measurements;
    double measuredAt_V = 0;  // supply volts during those measurements
    bool hasRunCapacitor = false;
    std::optional<double> loadTorque_Nm;
    bool wantsAlternatives = true;  // else Motor::alternatives stays empty
};

// How a figure of the nameplate, or a measurement, compares with the estimated motor.
struct FitResidual {
    std::string name;  // "locked-rotor amps"
    std::string unit;
    double wanted = 0;
    double reproduced = 0;
    double accuracy_ratio = 0;  // within which the two should agree
};

struct MotorEstimate {
    Motor motor;
    std::vector<FitResidual> residuals;
    std::vector<std::string> notes;  // what was assumed or not used, one plain sentence each
};

// Levenberg-Marquardt least squares (Eigen) in the logarithms of the unknowns.
// Throws std::invalid_argument if there are neither locked-rotor nor rated-load amps, and whatever
// the bench throws.
MotorEstimate estimateMotor(const EstimationInput& input, const HeldShaftBench& bench);

}  // namespace splitstart
