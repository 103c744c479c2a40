// Each kind of figure: that it moves the unknown that physics ties it to, the right way, and that
// the estimated motor shows it again.
#include <gtest/gtest.h>

#include <algorithm>
#include <cctype>
#include <cmath>
#include <numbers>
#include <ostream>
#include <stdexcept>
#include <string>
#include <vector>

#include "physics/near.h"
#include "unit/motor/estimates.h"

namespace splitstart
{

namespace
{

using Q = MeasuredQuantity;
using K = StartKind;

constexpr double accuracy_ratio = 0.02;
constexpr double higher_ratio = 1.04;  // two accuracies: another motor, but no contradiction

const char* const measuredSlipName = "slip during the measurements";

// The value of an unknown that is no parameter of the motor, or of one that is: the mean over what
// is possible.
double meanUnknown(const MotorEstimate& estimate, const std::string& name)
{
    const std::vector<std::string> names = estimate.posterior->unknownNames();
    const auto found = std::find(names.begin(), names.end(), name);
    if (found == names.end()) {
        throw std::out_of_range(name);
    }
    constexpr int count = 150;
    double sum = 0;
    for (const MotorSample& sample : estimate.posterior->draw(count)) {
        sum += sample.unknowns.at(static_cast<std::size_t>(found - names.begin())) / count;
    }
    return sum;
}

double valueOf(const MotorEstimate& estimate, const std::string& name)
{
    return name == measuredSlipName ? meanUnknown(estimate, name)
                                    : std::log(parameterOf(estimate, name).value);
}

// What a measurement higher than the truth does, physics being the judge.
struct Influence {
    Q quantity;
    K kind;
    std::string moves;
    int direction;  // 1: up
    std::string name;
    bool withoutPlatesTwin = false;  // the plate's figure of the same kind is not given
};

void PrintTo(const Influence& influence, std::ostream* out)
{
    *out << influence.name;
}

class MeasurementOf : public testing::TestWithParam<Influence>
{
protected:
    static RandomMotor motorFor(const Influence& influence)
    {
        RandomMotor motor = oneMotor(influence.kind, 71);
        if (influence.withoutPlatesTwin) {
            const bool running = influence.name.ends_with("running");
            (running ? motor.input.nameplate.ratedLoad_A : motor.input.nameplate.lockedRotor_A)
                .reset();
        }
        if (influence.quantity == Q::runWindingWattsStalled) {
            // A wire that is not known would take most of what is more of these watts.
            motor.input.sourceGiven = true;
            motor.input.source = motor.source;
        }
        return motor;
    }
    static MotorEstimate with(RandomMotor motor, const Influence& influence, double ratio)
    {
        const double value = influence.quantity == Q::secondsToStart
                                 ? motor.secondsToStart()
                                 : motor.shown(influence.quantity);
        motor.input.measurements = {
            measurementOf(influence.quantity, ratio * value, accuracy_ratio)};
        return estimated(motor);
    }
};

}  // namespace

TEST_P(MeasurementOf, MovesWhatItHangsOnTheRightWayAndIsReproduced)
{
    const Influence& influence = GetParam();
    const RandomMotor motor = motorFor(influence);
    const MotorEstimate truth = with(motor, influence, 1);
    const MotorEstimate higher = with(motor, influence, higher_ratio);
    EXPECT_GT(
        influence.direction * (valueOf(higher, influence.moves) - valueOf(truth, influence.moves)),
        0.002)
        << influence.moves;
    const FitResidual& residual = residualOf(truth, influence.name);
    const bool seconds = influence.quantity == Q::secondsToStart;
    EXPECT_TRUE(nearRel(residual.reproduced, residual.wanted, seconds ? 0.25 : accuracy_ratio));
    EXPECT_TRUE(truth.contradictions.empty());
}

// Physics of each row, not of this program: Fitzgerald, Kingsley, Umans, "Electric Machinery",
// chapters on single-phase motors and on no-load and blocked-rotor tests.
INSTANTIATE_TEST_SUITE_P(
    Each, MeasurementOf,
    testing::Values(
        // The turning field makes a voltage in the start winding by its turns.
        Influence{Q::startCommonVoltsRunning, K::capacitor, turnsRatioName, 1, "S-C volts running"},
        // More turns take more of the volts from the capacitor at rest.
        Influence{Q::startCommonVoltsStalled, K::capacitor, turnsRatioName, 1, "S-C volts stalled"},
        Influence{Q::lineAmpsRunning, K::capacitor, magnetizingName, -1, "line amps running", true},
        Influence{Q::lineAmpsStalled, K::capacitor, mainLeakageName, -1, "line amps stalled", true},
        Influence{Q::startLeadAmpsRunning, K::capacitorAndRunCapacitor, turnsRatioName, 1,
                  "start lead amps running"},
        // The start winding's own impedance at rest grows with its turns squared.
        Influence{Q::startLeadAmpsStalled, K::resistance, turnsRatioName, -1,
                  "start lead amps stalled"},
        // More load, more slip.
        Influence{Q::lineWattsRunning, K::capacitor, measuredSlipName, 1, "watts running"},
        // At rest all watts are heat: those of the rotor's resistance are what the windings' own
        // leave.
        Influence{Q::lineWattsStalled, K::resistance, rotorName, 1, "watts stalled"},
        Influence{Q::runCapacitorVoltsRunning, K::capacitorAndRunCapacitor, turnsRatioName, 1,
                  "run capacitor volts running"},
        Influence{Q::powerFactorRunning, K::capacitor, magnetizingName, 1, "power factor running"},
        Influence{Q::powerFactorStalled, K::resistance, rotorName, 1, "power factor stalled"},
        Influence{Q::runWindingAmpsStalled, K::capacitor, mainLeakageName, -1,
                  "run winding amps stalled"},
        Influence{Q::runWindingWattsStalled, K::capacitor, rotorName, 1,
                  "run winding watts stalled"},
        // The sag of the stalled supply is what its impedance takes.
        Influence{Q::supplyVoltsStalled, K::capacitor, sourceName, -1, "supply volts stalled"},
        Influence{Q::secondsToStart, K::capacitor, inertiaName, 1, "seconds to start"},
        Influence{Q::turnsRatio, K::capacitor, turnsRatioName, 1, "turns ratio"}),
    [](const testing::TestParamInfo<Influence>& one) {
        std::string name = one.param.name;
        std::erase_if(name, [](char each) { return std::isalnum(each) == 0; });
        return name;
    });

namespace
{

// The change of a parameter's logarithm when the plate is altered.
template <class Alter>
double changeBy(const RandomMotor& motor, const std::string& name, const Alter& alter)
{
    RandomMotor other = motor;
    alter(other.input);
    return std::log(parameterOf(estimated(other), name).value /
                    parameterOf(estimated(motor), name).value);
}

}  // namespace

TEST(PlateOfAMotor, MovesTheReactancesByItsAmps)
{
    const RandomMotor motor = oneMotor(K::capacitor, 72);
    EXPECT_LT(changeBy(motor, mainLeakageName,
                       [](EstimationInput& in) { *in.nameplate.lockedRotor_A *= 1.1; }),
              -0.01);
    EXPECT_LT(changeBy(motor, magnetizingName,
                       [](EstimationInput& in) { *in.nameplate.ratedLoad_A *= 1.1; }),
              -0.01);
}

TEST(PlateOfAMotor, MovesTheSlipByItsWatts)
{
    RandomMotor motor = oneMotor(K::resistance, 72);
    const HeldShaftResponse rated = motor.respond(motor.ratedSlip, 75, Feed::startCircuitOut);
    motor.input.nameplate.ratedLoad_W = rated.compressor_W;
    EXPECT_GT(
        changeBy(motor, slipName, [](EstimationInput& in) { *in.nameplate.ratedLoad_W *= 1.1; }),
        0.01);
    const MotorEstimate estimate = estimated(motor);
    EXPECT_TRUE(
        nearRel(residualOf(estimate, "rated-load watts").reproduced, rated.compressor_W, 0.10));
}

TEST(PlateOfAMotor, MovesTheSlipByItsOutput)
{
    constexpr int motors = 12;
    std::mt19937 random(72);
    double mean = 0;
    for (int i = 0; i < motors; ++i) {
        RandomMotor motor = randomMotor(random, K::resistance);
        const double output_W =
            motor.delivered_Nm * (1 - motor.ratedSlip) * 2 * std::numbers::pi * 60;
        motor.input.nameplate.output_W = output_W;
        const double change =
            changeBy(motor, slipName, [](EstimationInput& in) { *in.nameplate.output_W *= 1.2; });
        EXPECT_GT(change, 0);
        mean += change / motors;
        EXPECT_TRUE(
            nearRel(residualOf(estimated(motor), "rated output").reproduced, output_W, 0.30));
    }
    EXPECT_GT(mean, 0.01);
}

// The run winding alone draws less than the whole motor: the same amps of it are of a motor with
// less leakage.
TEST(PlateOfAMotor, SaysWhoseAmpsItsLockedRotorAmpsAre)
{
    RandomMotor motor = oneMotor(K::capacitor, 72);
    motor.input.nameplate.lockedRotorOfGiven = true;
    const MotorEstimate whole = estimated(motor);
    motor.input.nameplate.lockedRotorOf = LockedRotorOf::runWinding;
    const MotorEstimate alone = estimated(motor);
    EXPECT_LT(parameterOf(alone, mainLeakageName).value, parameterOf(whole, mainLeakageName).value);
    motor.input.nameplate.lockedRotor_A = motor.respond(1, 25, Feed::runWindingAlone).compressor_A;
    motor.input.nameplate.accuracy_ratio = 0.01;
    const MotorEstimate right = estimated(motor);
    const HeldShaftTrial trial{right.motor.circuit, motor.input.line_V, 0, 25,
                               Feed::runWindingAlone};
    EXPECT_TRUE(nearRel(motor.bench({&trial, 1}).front().compressor_A,
                        *motor.input.nameplate.lockedRotor_A, 0.02));
    const MotorEstimate unsaid = estimated(oneMotor(K::capacitor, 72));
    EXPECT_EQ(unsaid.notes.size(), whole.notes.size() + 1);
}

TEST(PlateOfAMotor, CountsByItsAccuracy)
{
    RandomMotor motor = oneMotor(K::resistance, 72);
    motor.input.nameplate.lockedRotorOf = LockedRotorOf::runWinding;
    motor.input.nameplate.lockedRotor_A = motor.respond(1, 25, Feed::runWindingAlone).compressor_A;
    const auto leakageAccuracy = [&motor](double plate_ratio) {
        motor.input.nameplate.accuracy_ratio = plate_ratio;
        return parameterOf(estimated(motor), mainLeakageName).accuracy_ratio;
    };
    EXPECT_LT(leakageAccuracy(0.01), 0.9 * leakageAccuracy(0.30));
    *motor.input.nameplate.lockedRotor_A *= 1.15;
    double last_ratio = 0;
    for (const double each : {0.01, 0.05, 0.10, 0.30}) {
        motor.input.nameplate.accuracy_ratio = each;
        const MotorEstimate estimate = estimated(motor);
        const FitResidual& residual = residualOf(estimate, "locked-rotor amps");
        const double miss_ratio = std::abs(std::log(residual.reproduced / residual.wanted));
        EXPECT_GT(miss_ratio, last_ratio) << each;
        last_ratio = miss_ratio;
    }
}

// Copper and aluminium have more resistance when warm (IEC 60034-1, resistance method): the same
// watts of warm windings are of a motor with less resistance at 25 degC.
TEST(MeasurementsOfAMotor, CountTheTemperatureOfTheWindings)
{
    RandomMotor motor = oneMotor(K::resistance, 73);
    const double warm_A = motor.shown(Q::runWindingAmpsStalled, 90);
    Measurement measurement = measurementOf(Q::runWindingAmpsStalled, warm_A, 0.01);
    measurement.winding_degC = 90;
    motor.input.measurements = {measurement};
    const MotorEstimate said = estimated(motor);
    motor.input.measurements.front().winding_degC.reset();
    const MotorEstimate unsaid = estimated(motor);
    // The few amps of warm windings, taken for those of cold ones, ask for more impedance.
    const auto impedance_ohm = [](const MotorEstimate& estimate) {
        const EquivalentCircuit& c = estimate.motor.circuit;
        return std::hypot(c.main_ohm + c.rotorMain_ohm, c.mainLeakage_ohm + c.rotorMainLeakage_ohm);
    };
    EXPECT_LT(impedance_ohm(said), 0.99 * impedance_ohm(unsaid));
    EXPECT_TRUE(nearRel(residualOf(said, "run winding amps stalled").reproduced, warm_A, 0.02));
}

// A sag tells a supply that is not known; one that is given says nearly what the sag would.
TEST(MeasurementsOfAMotor, TellTheSupplyByItsSag)
{
    std::mt19937 random(74);
    for (int i = 0; i < 20; ++i) {
        RandomMotor motor = randomMotor(random, K::capacitor);
        const MotorEstimate before = estimated(motor);
        EXPECT_NEAR(std::log1p(parameterOf(before, sourceName).accuracy_ratio) / 1.96, 0.75,
                    0.25 * 0.75);
        EXPECT_EQ(parameterOf(before, sourceName).origin, Origin::assumed);
        // A sag of a tenth of the volts, read to half a percent, is known to a twentieth.
        motor.input.measurements = {
            measurementOf(Q::supplyVoltsStalled, motor.shown(Q::supplyVoltsStalled), 0.005)};
        const MotorEstimate after = estimated(motor);
        EXPECT_LT(parameterOf(after, sourceName).accuracy_ratio,
                  parameterOf(before, sourceName).accuracy_ratio);
        EXPECT_LT(
            std::abs(std::log(parameterOf(after, sourceName).value / motor.source.resistance_ohm)),
            1.5 * std::log1p(parameterOf(after, sourceName).accuracy_ratio));
        motor.input.measurements.clear();
        motor.input.sourceGiven = true;
        motor.input.source = motor.source;
        const MotorEstimate given = estimated(motor);
        EXPECT_NEAR(std::log1p(parameterOf(given, sourceName).accuracy_ratio) / 1.96, 0.10,
                    0.25 * 0.10);
        EXPECT_NEAR(given.source.resistance_ohm, motor.source.resistance_ohm, 1e-9);
        EXPECT_EQ(parameterOf(given, sourceName).origin, Origin::given);
        EXPECT_LT(given.notes.size(), before.notes.size());
    }
}

TEST(MeasurementsOfAMotor, NarrowWhatTheyMeasure)
{
    std::mt19937 random(76);
    double before_ratio = 0;
    double after_ratio = 0;
    for (int i = 0; i < 60; ++i) {
        RandomMotor motor =
            randomMotor(random, i % 2 == 0 ? K::capacitor : K::capacitorAndRunCapacitor);
        before_ratio += parameterOf(estimated(motor), turnsRatioName).accuracy_ratio;
        motor.input.measurements = {measurementOf(
            Q::startCommonVoltsRunning, motor.shown(Q::startCommonVoltsRunning), accuracy_ratio)};
        after_ratio += parameterOf(estimated(motor), turnsRatioName).accuracy_ratio;
    }
    EXPECT_LT(after_ratio, 0.75 * before_ratio);
}

TEST(MeasurementsOfAMotor, TakeATurnsRatioAsItIs)
{
    RandomMotor motor = oneMotor();
    const Quantity before = parameterOf(estimated(motor), turnsRatioName);
    EXPECT_EQ(before.origin, Origin::estimated);
    motor.input.measurements = {measurementOf(Q::turnsRatio, motor.circuit.turnsRatio, 0.02)};
    const Quantity after = parameterOf(estimated(motor), turnsRatioName);
    EXPECT_TRUE(nearRel(after.value, motor.circuit.turnsRatio, 0.02));
    EXPECT_LT(after.accuracy_ratio, 0.025);
    EXPECT_LT(after.accuracy_ratio, before.accuracy_ratio);
    EXPECT_EQ(after.origin, Origin::measured);
}

// The square root of the two ratios of volts is the ratio of turns, since each open winding shows
// what its turns have of the other's field (two-winding machine, as the test of a transformer).
TEST(MeasurementsOfAMotor, TellTheTurnsRatioByFeedingEachWindingInTurn)
{
    constexpr int motors = 20;
    double mean_ratio = 0;
    std::mt19937 random(75);
    for (int i = 0; i < motors; ++i) {
        RandomMotor motor = randomMotor(random, i % 2 == 0 ? K::capacitor : K::resistance);
        const TwoFeedTest test = motor.twoFeedTest();
        motor.input.twoFeedTest = test;
        const MotorEstimate estimate = estimated(motor);
        const Quantity turns = parameterOf(estimate, turnsRatioName);
        EXPECT_EQ(turns.origin, Origin::measured);
        EXPECT_TRUE(nearRel(turns.value, motor.circuit.turnsRatio, 0.03));
        EXPECT_LT(turns.accuracy_ratio, 0.05);
        mean_ratio += turns.accuracy_ratio / motors;
        EXPECT_TRUE(nearRel(
            residualOf(estimate, "two-feed test, S-C volts with the run winding fed").reproduced,
            test.startOpen_V, 0.02));
        EXPECT_TRUE(nearRel(
            residualOf(estimate, "two-feed test, R-C volts with the start winding fed").reproduced,
            test.runOpen_V, 0.02));
        EXPECT_GT(changeBy(motor, turnsRatioName,
                           [](EstimationInput& in) { in.twoFeedTest->startOpen_V *= 1.02; }),
                  0.004);
        EXPECT_LT(changeBy(motor, turnsRatioName,
                           [](EstimationInput& in) { in.twoFeedTest->runOpen_V *= 1.02; }),
                  -0.004);
    }
    // Two readings of 1 %, each of a machine of sines that is 2 % off, give the turns ratio to 1.6
    // %; the drops over leakages and resistances, which are less well known, add to that.
    EXPECT_LT(mean_ratio, 0.03);
}

// The start winding carries no current then: the logarithm of nothing must not get in.
TEST(MeasurementsOfAMotor, AreNotUsedWhereThereIsNothingToMeasure)
{
    RandomMotor motor = oneMotor();
    const MotorEstimate before = estimated(motor);
    motor.input.measurements = {measurementOf(Q::startLeadAmpsRunning, 2, 0.1),
                                measurementOf(Q::runCapacitorVoltsRunning, 300, 0.1)};
    const MotorEstimate after = estimated(motor);
    EXPECT_EQ(after.notes.size(), before.notes.size() + 2);
    EXPECT_EQ(after.residuals.size(), before.residuals.size());
    EXPECT_EQ(after.motor.circuit, before.motor.circuit);
}

}  // namespace splitstart
