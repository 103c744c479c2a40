// The estimation against motors whose truth is known, on a bench that solves the textbook's
// equations (tests/physics/steady_state.cpp) and shares nothing with models/.
#include "motor/estimate.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <stdexcept>
#include <string>
#include <vector>

#include "physics/near.h"
#include "unit/motor/random_motors.h"

namespace splitstart
{

namespace
{

const std::string turnsRatioName = "turns ratio, start to run winding";

const MotorParameter& parameterOf(const MotorEstimate& estimate, const std::string& name)
{
    for (const MotorParameter& parameter : estimate.motor.parameters) {
        if (parameter.name == name) {
            return parameter;
        }
    }
    throw std::out_of_range(name);
}

HeldShaftResponse respond(const RandomMotor& motor, const EquivalentCircuit& circuit, double slip,
                          double winding_degC, bool startCircuitIn)
{
    const HeldShaftTrial trial{circuit, motor.input.line_V, 1 - slip, winding_degC, startCircuitIn};
    return motor.bench({&trial, 1}).front();
}

// The residual of that figure. Throws std::out_of_range if nothing was made of it.
const FitResidual& residualOf(const MotorEstimate& estimate, double wanted)
{
    for (const FitResidual& residual : estimate.residuals) {
        if (residual.wanted == wanted) {
            return residual;
        }
    }
    throw std::out_of_range("no such residual");
}

MotorEstimate estimated(const RandomMotor& motor)
{
    return estimateMotor(motor.input, motor.bench);
}

RandomMotor oneMotor(bool hasRunCapacitor = false)
{
    std::mt19937 random(60);
    return randomMotor(random, hasRunCapacitor);
}

// How often the stated interval holds the truth, by parameter.
std::map<std::string, double> coverage(bool hasRunCapacitor, int motors)
{
    std::mt19937 random(hasRunCapacitor ? 61 : 62);
    // A plate is a rounded rating of a series: within 10 % in 95 of 100 cases.
    std::normal_distribution<double> plateError(0, 0.10 / 1.96);
    std::map<std::string, double> share;
    for (int i = 0; i < motors; ++i) {
        RandomMotor motor = randomMotor(random, hasRunCapacitor);
        *motor.input.nameplate.lockedRotor_A *= std::exp(plateError(random));
        *motor.input.nameplate.ratedLoad_A *= std::exp(plateError(random));
        const MotorEstimate estimate = estimated(motor);
        for (const auto& [name, truth] : motor.truth()) {
            const Quantity& value = parameterOf(estimate, name).value;
            const bool held = std::abs(truth / value.value - 1) <= value.accuracy_ratio;
            share[name] += held ? 1.0 / motors : 0.0;
        }
    }
    return share;
}

Measurement measurementOf(MeasuredQuantity quantity, double value, double accuracy_ratio)
{
    return {quantity, value, accuracy_ratio, {}};
}

}  // namespace

TEST(EstimateMotor, ReproducesTheNameplateWithinTwoPercent)
{
    std::mt19937 random(63);
    for (int i = 0; i < 200; ++i) {
        const RandomMotor motor = randomMotor(random, i % 2 == 0);
        const MotorEstimate estimate = estimated(motor);
        const EquivalentCircuit& circuit = estimate.motor.circuit;
        EXPECT_TRUE(
            nearRel(respond(motor, circuit, 1, 25, true).compressor_A, motor.lockedRotor_A, 0.02));
        const double slip = parameterOf(estimate, "slip at rated load").value.value;
        EXPECT_TRUE(nearRel(respond(motor, circuit, slip, 75, false).compressor_A,
                            motor.ratedLoad_A, 0.02));
    }
}

TEST(EstimateMotor, SaysWhatItReproduces)
{
    const RandomMotor motor = oneMotor();
    const MotorEstimate estimate = estimated(motor);
    ASSERT_GE(estimate.residuals.size(), 2U);
    EXPECT_EQ(estimate.residuals[0].name, "locked-rotor amps");
    EXPECT_EQ(estimate.residuals[0].wanted, motor.lockedRotor_A);
    EXPECT_EQ(estimate.residuals[0].unit, "A");
    EXPECT_TRUE(nearRel(estimate.residuals[0].reproduced,
                        respond(motor, estimate.motor.circuit, 1, 25, true).compressor_A, 1e-9));
    EXPECT_EQ(estimate.residuals[1].name, "rated-load amps");
}

TEST(EstimateMotor, KeepsTheMeasuredResistancesWithinTheirAccuracy)
{
    const RandomMotor motor = oneMotor();
    const EquivalentCircuit circuit = estimated(motor).motor.circuit;
    EXPECT_TRUE(nearRel(circuit.main_ohm, motor.circuit.main_ohm,
                        motor.input.main_ohm.accuracy_ratio + 1e-4));
    EXPECT_EQ(circuit.auxiliary_ohm, motor.circuit.auxiliary_ohm);
    EXPECT_EQ(circuit.resistanceTemperature_degC, 25);
    EXPECT_EQ(circuit.poles, 2);
    EXPECT_EQ(circuit.frequency_Hz, 60);
}

// The intervals are of about 95 %. Measured here, over 400 motors with and 400 without a run
// capacitor: 97 to 99 % for core loss and slip, 93 to 97 % for turns ratio and rotor resistance, 91
// to 96 % for the rated torque, but only 82 to 91 % for the reactances, since the covariance is
// that of the problem straightened at the best fit, and the locked-rotor amps bend.
TEST(EstimateMotor, CoversTheTruthWithItsStatedAccuracy)
{
    for (const bool hasRunCapacitor : {false, true}) {
        for (const auto& [name, share] : coverage(hasRunCapacitor, 400)) {
            RecordProperty(name + (hasRunCapacitor ? ", run capacitor" : ""),
                           std::to_string(share));
            const bool bends = name.find("reactance") != std::string::npos;
            EXPECT_GE(share, bends ? 0.78 : 0.90) << name;
        }
    }
}

// An interval that held everything would say nothing.
TEST(EstimateMotor, StatesNoAccuracyThatSaysNothing)
{
    std::mt19937 random(64);
    double turnsRatio = 0;
    double rotor = 0;
    for (int i = 0; i < 50; ++i) {
        const MotorEstimate estimate = estimated(randomMotor(random, false));
        turnsRatio += parameterOf(estimate, turnsRatioName).value.accuracy_ratio / 50;
        rotor +=
            parameterOf(estimate, "rotor resistance at 25 degC, run axis").value.accuracy_ratio /
            50;
    }
    EXPECT_GT(turnsRatio, 0.05);
    EXPECT_LT(turnsRatio, 0.30);
    EXPECT_LT(rotor, 1.0);
}

TEST(EstimateMotor, IsNarrowedByVoltsAcrossStartAndCommon)
{
    for (const bool hasRunCapacitor : {false, true}) {
        RandomMotor motor = oneMotor(hasRunCapacitor);
        const double before = parameterOf(estimated(motor), turnsRatioName).value.accuracy_ratio;
        const double volts_V =
            respond(motor, motor.circuit, motor.ratedSlip, 75, false).startWinding_V;
        motor.input.measurements = {
            measurementOf(MeasuredQuantity::startCommonVoltsRunning, volts_V, 0.02)};
        const MotorEstimate estimate = estimated(motor);
        EXPECT_LT(parameterOf(estimate, turnsRatioName).value.accuracy_ratio, 0.75 * before);
        EXPECT_TRUE(nearRel(residualOf(estimate, volts_V).reproduced, volts_V, 0.02));
        EXPECT_EQ(residualOf(estimate, volts_V).unit, "V");
    }
}

TEST(EstimateMotor, TakesAMeasuredTurnsRatioAsItIs)
{
    RandomMotor motor = oneMotor();
    const MotorParameter before = parameterOf(estimated(motor), turnsRatioName);
    EXPECT_EQ(before.value.origin, Origin::estimated);
    motor.input.measurements = {
        measurementOf(MeasuredQuantity::turnsRatio, motor.circuit.turnsRatio, 0.02)};
    const MotorParameter after = parameterOf(estimated(motor), turnsRatioName);
    EXPECT_TRUE(nearRel(after.value.value, motor.circuit.turnsRatio, 0.02));
    EXPECT_LT(after.value.accuracy_ratio, 0.025);
    EXPECT_LT(after.value.accuracy_ratio, before.value.accuracy_ratio);
    EXPECT_EQ(after.value.origin, Origin::measured);
}

TEST(EstimateMotor, ReproducesEachKindOfFurtherMeasurement)
{
    RandomMotor motor = oneMotor(true);
    const HeldShaftResponse stalled = respond(motor, motor.circuit, 1, 25, true);
    const HeldShaftResponse running = respond(motor, motor.circuit, motor.ratedSlip, 75, false);
    using Q = MeasuredQuantity;
    const std::vector<std::pair<Q, double>> all = {
        {Q::startCommonVoltsRunning, running.startWinding_V},
        {Q::startCommonVoltsStalled, stalled.startWinding_V},
        {Q::lineAmpsRunning, running.compressor_A},
        {Q::lineAmpsStalled, stalled.compressor_A},
        {Q::startLeadAmpsRunning, running.auxiliary_A},
        {Q::startLeadAmpsStalled, stalled.auxiliary_A},
        {Q::lineWattsRunning, running.compressor_W},
    };
    for (const auto& [quantity, value] : all) {
        motor.input.measurements = {measurementOf(quantity, value, 0.02)};
        const MotorEstimate estimate = estimated(motor);
        // The plate's figures are there once more, with the plate's accuracy.
        const auto found =
            std::find_if(estimate.residuals.begin(), estimate.residuals.end(),
                         [value = value](const FitResidual& each) {
                             return each.wanted == value && each.accuracy_ratio == 0.02;
                         });
        ASSERT_NE(found, estimate.residuals.end());
        EXPECT_TRUE(nearRel(found->reproduced, value, 0.02)) << found->name;
    }
}

TEST(EstimateMotor, SaysWhichMeasurementsItDoesNotUse)
{
    RandomMotor motor = oneMotor();
    const MotorEstimate before = estimated(motor);
    motor.input.measurements = {
        measurementOf(MeasuredQuantity::secondsToStart, 0.4, 0.1),
        // The start winding carries no current then: the logarithm of nothing must not get in.
        measurementOf(MeasuredQuantity::startLeadAmpsRunning, 2, 0.1)};
    const MotorEstimate after = estimated(motor);
    EXPECT_EQ(after.notes.size(), before.notes.size() + 2);
    EXPECT_EQ(after.residuals.size(), before.residuals.size());
    EXPECT_TRUE(std::isfinite(after.motor.circuit.mainLeakage_ohm));
    EXPECT_EQ(after.motor.circuit.turnsRatio, before.motor.circuit.turnsRatio);
}

TEST(EstimateMotor, AsksForAmps)
{
    RandomMotor motor = oneMotor();
    motor.input.nameplate.lockedRotor_A.reset();
    EXPECT_NO_THROW(estimated(motor));
    motor.input.nameplate.ratedLoad_A.reset();
    EXPECT_THROW(estimated(motor), std::invalid_argument);
    motor.input.nameplate.lockedRotor_A = motor.lockedRotor_A;
    EXPECT_NO_THROW(estimated(motor));
}

TEST(EstimateMotor, IsLessSureWithoutLockedRotorAmpsAndSaysSo)
{
    RandomMotor motor = oneMotor();
    const MotorEstimate both = estimated(motor);
    motor.input.nameplate.lockedRotor_A.reset();
    const MotorEstimate one = estimated(motor);
    const std::string leakage = "run winding leakage reactance";
    EXPECT_GT(parameterOf(one, leakage).value.accuracy_ratio,
              parameterOf(both, leakage).value.accuracy_ratio);
    EXPECT_NE(one.notes, both.notes);
}

TEST(EstimateMotor, PassesOnWhatTheBenchThrows)
{
    const RandomMotor motor = oneMotor();
    const HeldShaftBench broken =
        [](std::span<const HeldShaftTrial>) -> std::vector<HeldShaftResponse> {
        throw std::runtime_error("no simulator");
    };
    EXPECT_THROW(estimateMotor(motor.input, broken), std::runtime_error);
}

TEST(EstimateMotor, GivesEveryParameterANameAUnitAndAProvenance)
{
    const MotorEstimate estimate = estimated(oneMotor());
    std::set<std::string> names;
    for (const MotorParameter& parameter : estimate.motor.parameters) {
        EXPECT_TRUE(names.insert(parameter.name).second) << parameter.name;
        EXPECT_FALSE(parameter.basis.empty()) << parameter.name;
        EXPECT_TRUE(std::isfinite(parameter.value.value)) << parameter.name;
        EXPECT_GE(parameter.value.accuracy_ratio, 0) << parameter.name;
        EXPECT_NE(std::string(originName(parameter.value.origin)), "unknown");
        const bool bare = parameter.name.find("ratio") != std::string::npos ||
                          parameter.name.find("slip") != std::string::npos ||
                          parameter.name == "poles";
        EXPECT_EQ(parameter.unit.empty(), bare) << parameter.name;
        const bool ohms = parameter.name.find("resistance") != std::string::npos ||
                          parameter.name.find("reactance") != std::string::npos;
        EXPECT_EQ(parameter.unit == "ohm", ohms) << parameter.name;
    }
    for (const auto& [name, truth] : oneMotor().truth()) {
        EXPECT_TRUE(names.contains(name)) << name;
    }
    EXPECT_EQ(parameterOf(estimate, "poles").value.origin, Origin::assumed);
    EXPECT_EQ(parameterOf(estimate, "run winding resistance at 25 degC").value.origin,
              Origin::measured);
}

TEST(EstimateMotor, TakesTheLoadFromWhereItIsKnownBest)
{
    RandomMotor motor = oneMotor();
    EXPECT_EQ(estimated(motor).motor.ratedTorque_Nm.origin, Origin::estimated);
    motor.input.nameplate.output_W = 900;
    const MotorEstimate plate = estimated(motor);
    EXPECT_EQ(plate.motor.ratedTorque_Nm.origin, Origin::nameplate);
    const double slip = parameterOf(plate, "slip at rated load").value.value;
    const double speed_rad_s = (1 - slip) * 2 * std::numbers::pi * 60;
    EXPECT_TRUE(nearRel(plate.motor.ratedTorque_Nm.value * speed_rad_s, 900, 1e-9));
    motor.input.loadTorque_Nm = 3.5;
    const MotorEstimate given = estimated(motor);
    EXPECT_EQ(given.motor.ratedTorque_Nm.origin, Origin::given);
    EXPECT_EQ(given.motor.ratedTorque_Nm.value, 3.5);
    EXPECT_EQ(given.motor.ratedTorque_Nm.accuracy_ratio, 0);
}

TEST(EstimateMotor, IsTheSameEveryTime)
{
    const MotorEstimate first = estimated(oneMotor());
    const MotorEstimate second = estimated(oneMotor());
    for (std::size_t i = 0; i < first.motor.parameters.size(); ++i) {
        EXPECT_EQ(first.motor.parameters[i].value.value, second.motor.parameters[i].value.value);
    }
}

TEST(MotorAlternatives, LieOnEitherSideOfTheEstimateAndFitTheSamePlate)
{
    RandomMotor motor = oneMotor();
    motor.input.wantsAlternatives = true;
    const MotorEstimate estimate = estimated(motor);
    std::set<std::string> names;
    bool lower = false;
    bool higher = false;
    bool heavier = false;
    bool lighter = false;
    int offPlate = 0;
    for (const Motor::Alternative& other : estimate.motor.alternatives) {
        EXPECT_TRUE(names.insert(other.name).second) << other.name;
        lower = lower || other.circuit.turnsRatio < 0.97 * estimate.motor.circuit.turnsRatio;
        higher = higher || other.circuit.turnsRatio > 1.03 * estimate.motor.circuit.turnsRatio;
        heavier = heavier || other.circuit.inertia_kgm2 > 1.5 * estimate.motor.circuit.inertia_kgm2;
        lighter = lighter || other.circuit.inertia_kgm2 < 0.7 * estimate.motor.circuit.inertia_kgm2;
        // All fit the plate but those that ask what if the plate itself is a tenth off.
        const double asked = other.name.ends_with("a tenth lower")    ? 0.9
                             : other.name.ends_with("a tenth higher") ? 1.1
                                                                      : 1.0;
        offPlate += asked == 1.0 ? 0 : 1;
        EXPECT_TRUE(nearRel(respond(motor, other.circuit, 1, 25, true).compressor_A,
                            asked * motor.lockedRotor_A, 0.05))
            << other.name;
    }
    EXPECT_EQ(offPlate, 2);
    EXPECT_TRUE(lower && higher && heavier && lighter);
    motor.input.wantsAlternatives = false;
    EXPECT_TRUE(estimated(motor).motor.alternatives.empty());
}

}  // namespace splitstart
