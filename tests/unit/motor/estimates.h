// What the tests of the estimation share.
#pragma once

#include <cmath>
#include <stdexcept>
#include <string>

#include "unit/motor/random_motors.h"

namespace splitstart
{

inline const std::string turnsRatioName = "turns ratio, start to run winding";
inline const std::string mainLeakageName = "run winding leakage reactance";
inline const std::string rotorName = "rotor resistance at 25 degC, run axis";
inline const std::string magnetizingName = "run axis magnetising reactance";
inline const std::string sourceName = "source resistance of the supply";
inline const std::string inertiaName = "inertia of rotor and crank";
inline const std::string slipName = "slip at rated load";

// Throws std::out_of_range if there is none of that name.
inline const Quantity& parameterOf(const MotorEstimate& estimate, const std::string& name)
{
    for (const MotorParameter& parameter : estimate.motor.parameters) {
        if (parameter.name == name) {
            return parameter.value;
        }
    }
    throw std::out_of_range(name);
}

// The residual of that figure. Throws std::out_of_range if nothing was made of it.
inline const FitResidual& residualOf(const MotorEstimate& estimate, const std::string& name)
{
    for (const FitResidual& residual : estimate.residuals) {
        if (residual.name == name) {
            return residual;
        }
    }
    throw std::out_of_range(name);
}

inline MotorEstimate estimated(const RandomMotor& motor)
{
    return estimateMotor(motor.input, motor.bench);
}

inline RandomMotor oneMotor(StartKind kind = StartKind::capacitor, unsigned seed = 60)
{
    std::mt19937 random(seed);
    return randomMotor(random, kind);
}

inline Measurement measurementOf(MeasuredQuantity quantity, double value, double accuracy_ratio)
{
    return {quantity, value, accuracy_ratio, {}};
}

}  // namespace splitstart
