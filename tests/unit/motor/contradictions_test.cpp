// Figures that exclude one another are named, and no others.
#include <gtest/gtest.h>

#include <algorithm>
#include <string>
#include <vector>

#include "unit/motor/estimates.h"

namespace splitstart
{

namespace
{

using Q = MeasuredQuantity;
using K = StartKind;

// A motor with sound measurements of those kinds.
RandomMotor measured(K kind, unsigned seed, const std::vector<Q>& quantities)
{
    RandomMotor motor = oneMotor(kind, seed);
    for (const Q quantity : quantities) {
        motor.input.measurements.push_back(measurementOf(quantity, motor.shown(quantity), 0.02));
    }
    return motor;
}

double& valueOf(RandomMotor& motor, Q quantity)
{
    const auto found =
        std::find_if(motor.input.measurements.begin(), motor.input.measurements.end(),
                     [quantity](const Measurement& each) { return each.quantity == quantity; });
    return found->value;
}

void expectOnlyThePair(const RandomMotor& motor, const std::string& first,
                       const std::string& second)
{
    const std::vector<std::string> found = estimated(motor).contradictions;
    ASSERT_EQ(found.size(), 1U) << testing::PrintToString(found);
    EXPECT_NE(found[0].find(first), std::string::npos) << found[0];
    EXPECT_NE(found[0].find(second), std::string::npos) << found[0];
    EXPECT_NE(found[0].find("cannot both be right"), std::string::npos) << found[0];
}

}  // namespace

// No load takes more watts than volts times amps (power factor above 1).
TEST(Contradictions, NameLockedRotorAmpsAndStalledWattsThatNoPowerFactorAllows)
{
    // Without a capacitor, since nothing says with which the plate was rated.
    RandomMotor motor = measured(K::resistance, 85, {Q::startCommonVoltsRunning});
    motor.input.nameplate.accuracy_ratio = 0.02;
    motor.input.measurements.push_back(
        measurementOf(Q::lineWattsStalled, 1.15 * 230 * motor.lockedRotor_A, 0.02));
    expectOnlyThePair(motor, "locked-rotor amps", "watts stalled");
}

// Running, the volts across the start winding are those of the field times the turns ratio, within
// the drop of the run winding ([FKU], double revolving fields): less than 1.1 times line volts
// times the ratio.
TEST(Contradictions, NameStartVoltsAndATurnsRatioThatCannotMakeThem)
{
    RandomMotor motor = measured(K::capacitor, 82, {Q::turnsRatio, Q::startCommonVoltsRunning});
    valueOf(motor, Q::startCommonVoltsRunning) *= 1.3;
    expectOnlyThePair(motor, "turns ratio", "S-C volts running");
}

TEST(Contradictions, NameStartVoltsAndATwoFeedTestThatDisagree)
{
    RandomMotor motor = measured(K::capacitor, 83, {Q::startCommonVoltsRunning});
    motor.input.twoFeedTest = motor.twoFeedTest();
    EXPECT_TRUE(estimated(motor).contradictions.empty());
    // Both halves of the test say fewer turns than such volts take.
    motor.input.twoFeedTest->startOpen_V /= 1.3;
    motor.input.twoFeedTest->runOpen_V *= 1.3;
    const std::vector<std::string> found = estimated(motor).contradictions;
    ASSERT_FALSE(found.empty());
    for (const std::string& each : found) {
        EXPECT_NE(each.find("S-C volts running"), std::string::npos) << each;
        EXPECT_NE(each.find("two-feed test"), std::string::npos) << each;
    }
}

// The square root of the product of the two volt ratios of a two-feed test is the coupling of the
// windings through the field, which no motor has above 1.
TEST(Contradictions, NameTheHalvesOfATwoFeedTestThatMakeMoreVoltsThanTheyGet)
{
    RandomMotor motor = measured(K::capacitor, 89, {});
    motor.input.twoFeedTest = motor.twoFeedTest();
    motor.input.twoFeedTest->startOpen_V *= 1.14;
    motor.input.twoFeedTest->runOpen_V *= 1.14;
    const std::vector<std::string> found = estimated(motor).contradictions;
    ASSERT_EQ(found.size(), 1U) << testing::PrintToString(found);
    EXPECT_NE(found[0].find("with the run winding fed"), std::string::npos) << found[0];
    EXPECT_NE(found[0].find("with the start winding fed"), std::string::npos) << found[0];
}

// Ohm's law, alternating current: the same volts drive amps by one impedance.
TEST(Contradictions, NameTheSameAmpsReadTwice)
{
    RandomMotor motor =
        measured(K::resistance, 85, {Q::lineAmpsStalled, Q::startCommonVoltsRunning});
    motor.input.nameplate.accuracy_ratio = 0.03;
    valueOf(motor, Q::lineAmpsStalled) *= 1.35;
    expectOnlyThePair(motor, "locked-rotor amps", "line amps stalled");
}

TEST(Contradictions, NameAFigureThatNoMotorWithSuchWindingsHas)
{
    RandomMotor motor = oneMotor(K::capacitor, 86);
    *motor.input.nameplate.lockedRotor_A *= 30;
    const std::vector<std::string> found = estimated(motor).contradictions;
    ASSERT_FALSE(found.empty());
    EXPECT_NE(found[0].find("locked-rotor amps"), std::string::npos);
    EXPECT_NE(found[0].find("winding resistances"), std::string::npos);
}

// Amps, watts and power factor of the stalled motor: any two of them make a motor, and the third is
// their quotient (watts = volts times amps times power factor).
TEST(Contradictions, NameTheOddOneOfThree)
{
    RandomMotor motor = measured(K::resistance, 87,
                                 {Q::lineAmpsStalled, Q::lineWattsStalled, Q::powerFactorStalled,
                                  Q::runWindingAmpsStalled, Q::runWindingWattsStalled});
    motor.input.nameplate.lockedRotor_A.reset();
    for (Measurement& each : motor.input.measurements) {
        each.accuracy_ratio = 0.01;
    }
    EXPECT_TRUE(estimated(motor).contradictions.empty());
    valueOf(motor, Q::powerFactorStalled) *= 0.86;
    const std::vector<std::string> found = estimated(motor).contradictions;
    ASSERT_FALSE(found.empty());
    for (const std::string& each : found) {
        EXPECT_NE(each.find("power factor stalled"), std::string::npos) << each;
    }
}

// Sound figures, off by no more than they say: one case in a thousand is beyond the limit of each
// of the two rules (chi-squared of all, largest of them).
TEST(Contradictions, AreNotSeenInSoundMotors)
{
    std::mt19937 random(88);
    constexpr int motors = 3000;
    int alarms = 0;
    for (int i = 0; i < motors; ++i) {
        const std::vector<K> kinds = {K::resistance, K::capacitor, K::capacitorAndRunCapacitor};
        RandomMotor motor = randomMotor(random, kinds[i % 3]);
        misstatePlate(motor, random);
        constexpr double accuracy_ratio = 0.02;
        std::normal_distribution<double> error(0, std::hypot(accuracy_ratio, 0.02) / 1.96);
        for (const Q quantity : {Q::startCommonVoltsRunning, Q::lineAmpsRunning,
                                 Q::lineWattsStalled, Q::supplyVoltsStalled}) {
            if (i % 2 == 0) {
                motor.input.measurements.push_back(measurementOf(
                    quantity, motor.shown(quantity) * std::exp(error(random)), accuracy_ratio));
            }
        }
        const std::vector<std::string> found = estimated(motor).contradictions;
        alarms += found.empty() ? 0 : 1;
    }
    RecordProperty("false alarms of 3000", alarms);
    // 1 to 2 in 1000 by the two limits; 7 are reached, since one solution of two is looked at in
    // some capacitor starts (estimate_coverage_test.cpp).
    EXPECT_LE(alarms, 30);
}

}  // namespace splitstart
