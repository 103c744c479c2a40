#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <set>
#include <stdexcept>
#include <string>

#include "physics/near.h"
#include "spice/measurement.h"
#include "unit/spice/deck_fixture.h"
#include "unit/spice/synthetic_start.h"

namespace splitstart
{

namespace
{

// Of rms values at the synthetic steps; a step of a square signal is found to one step.
constexpr double rms_ratio = 1e-4;
constexpr double instant_s = 20e-6;

const double synchronous_rad_s = 2 * std::numbers::pi * 60;  // of the cold store's two poles

testing::AssertionResult at(const std::optional<double>& time_s, double expected_s)
{
    return time_s ? nearOfScale(*time_s, expected_s, instant_s, 1.0)
                  : testing::AssertionFailure() << "no such instant";
}

testing::AssertionResult is(const std::optional<double>& value, double expected,
                            double tolerance_ratio = rms_ratio)
{
    return value ? nearRel(*value, expected, tolerance_ratio)
                 : testing::AssertionFailure() << "no value";
}

const std::string mainAmmeter = "v.xcompressor.vmain#branch";
const std::string auxiliaryAmmeter = "v.xcompressor.vaux#branch";
const std::string lineAmmeter = "v.xsupply.vline#branch";
const std::string contactAmmeter = "v.xrelay.xcontact.vcontact#branch";

}  // namespace

TEST(StartVectors, AreNodesAndAmmetersOfTheDeck)
{
    for (const SimulationModel& model : startModels()) {
        const DeckLines deck(writeDeck(model, {}, {"t", {}, false}));
        std::set<std::string> nodes;
        std::set<std::string> instances;
        for (const DeckInstance& instance : deck.instances) {
            nodes.insert(instance.nodes.begin(), instance.nodes.end());
            instances.insert(instance.name);
        }
        std::set<std::string> seen;
        for (const std::string& vector : startVectors(model)) {
            EXPECT_TRUE(seen.insert(vector).second) << vector << " twice";
            if (vector.find('#') == std::string::npos) {
                EXPECT_TRUE(nodes.contains(vector)) << vector;
            } else {
                const std::string instance = vector.substr(2, vector.find('.', 2) - 2);
                EXPECT_TRUE(instances.contains(instance)) << vector;
            }
        }
        EXPECT_FALSE(seen.contains("0"));
    }
}

TEST(StartMeasurement, TimesTheRunUpAtNineTenthsOfSynchronousSpeed)
{
    SyntheticStart start = coldStoreStart();
    start.set("speed", [](double t) { return synchronous_rad_s * std::min(t / 0.5, 0.96); });
    const StartMeasurement measured = start.measured();
    EXPECT_TRUE(at(measured.timeToSpeed_s, 0.45));
    EXPECT_TRUE(is(measured.speedAtEnd_ratio, 0.96));
    EXPECT_TRUE(is(measured.end_s, 1, 1e-12));
}

TEST(StartMeasurement, HasNoTimeToSpeedForAMotorThatSticks)
{
    SyntheticStart start = coldStoreStart();
    start.set("speed", [](double t) { return synchronous_rad_s * std::min(t, 0.89); });
    EXPECT_FALSE(start.measured().timeToSpeed_s);
}

TEST(StartMeasurement, TakesRunningValuesOverTheLastSixCycles)
{
    const double from_s = 1 - 6 * lineCycle_s;
    SyntheticStart start = coldStoreStart();
    start.set(mainAmmeter, then(sineOf(70), from_s, sineOf(9, 1.0)));
    start.set(auxiliaryAmmeter, then(sineOf(40), from_s, sineOf(4, 1.0 - std::numbers::pi / 2)));
    start.set("torque", then(always(20), from_s,
                             [](double t) { return 5 + 3 * std::cos(2 * lineOmega_rad_s * t); }));
    const StartMeasurement measured = start.measured();
    EXPECT_TRUE(is(measured.mainRunning_A, 9));
    // Two currents at right angles add as the sides of a right-angled triangle.
    EXPECT_TRUE(is(measured.compressorRunning_A, std::sqrt(81.0 + 16.0)));
    EXPECT_TRUE(is(measured.torqueRunning_Nm, 5));
    EXPECT_TRUE(is(measured.mainPeak_A, 70 * std::numbers::sqrt2));
    EXPECT_TRUE(is(measured.auxiliaryPeak_A, 40 * std::numbers::sqrt2));
}

// What the line draws is volts times amps times the cosine of the angle between them. The supply's
// ammeter counts current into the source.
TEST(StartMeasurement, TakesTheWattsThatTheLineDelivers)
{
    SyntheticStart start = coldStoreStart();
    start.setNode("supply", "L1", sineOf(228));
    const TimeFunction drawn = sineOf(11, 0.6);
    start.set(lineAmmeter, [drawn](double t) { return -drawn(t); });
    const StartMeasurement measured = start.measured();
    EXPECT_TRUE(is(measured.lineRunning_W, 228 * 11 * std::cos(0.6)));
    EXPECT_TRUE(is(measured.lineRunning_A, 11));
}

// The first cycle holds the offset of switching on, the third may already be faster.
TEST(StartMeasurement, TakesStalledValuesOverTheSecondCycle)
{
    const auto cycles = [](double first, double second, double later) {
        return then(sineOf(first), lineCycle_s,
                    then(sineOf(second), 2 * lineCycle_s, sineOf(later)));
    };
    SyntheticStart start = bottleCoolerStart();
    start.set(lineAmmeter, cycles(90, 60, 30));
    start.setNode("compressor", "R", cycles(115, 100, 110));
    start.setNode("compressor", "C", cycles(0, 2, 9));  // the protector's drop, in phase
    const StartMeasurement measured = start.measured();
    EXPECT_TRUE(is(measured.lineStalled_A, 60));
    EXPECT_TRUE(is(measured.terminalStalled_V, 98));
    EXPECT_TRUE(is(measured.linePeak_A, 90 * std::numbers::sqrt2));
}

TEST(StartMeasurement, FindsTheOpeningAndTheSpeedAtIt)
{
    SyntheticStart start = coldStoreStart();
    start.set("speed", [](double t) { return synchronous_rad_s * std::min(2 * t, 0.97); });
    start.set("relay_closed", toggling(true, {0.4}));
    const StartMeasurement measured = start.measured();
    EXPECT_TRUE(at(measured.startContactOpened_s, 0.4));
    EXPECT_TRUE(is(measured.speedAtOpening_ratio, 0.8, 1e-4));
    EXPECT_EQ(measured.startContactMade_s, 0.0);
    EXPECT_EQ(measured.startContactOpenings, 1.0);
    EXPECT_EQ(measured.startContactAtEnd, 0.0);
    EXPECT_TRUE(at(measured.startCircuitIn_s, 0.4));
}

TEST(StartMeasurement, FindsWhenACurrentRelayMakes)
{
    SyntheticStart start = bottleCoolerStart();
    start.set("relay_closed", toggling(false, {0.012, 0.3}));
    const StartMeasurement measured = start.measured();
    EXPECT_TRUE(at(measured.startContactMade_s, 0.012));
    EXPECT_TRUE(at(measured.startContactOpened_s, 0.3));
    EXPECT_TRUE(nearOfScale(measured.startCircuitIn_s.value(), 0.288, 2 * instant_s, 1.0));
}

TEST(StartMeasurement, CountsTheOpeningsOfAContactThatChatters)
{
    SyntheticStart start = coldStoreStart();
    start.set("relay_closed", toggling(true, {0.30, 0.31, 0.33, 0.36, 0.40}));
    const StartMeasurement measured = start.measured();
    EXPECT_EQ(measured.startContactOpenings, 3.0);
    EXPECT_TRUE(at(measured.startContactOpened_s, 0.30));  // the first
    EXPECT_EQ(measured.startContactAtEnd, 0.0);
    EXPECT_TRUE(
        nearOfScale(measured.startCircuitIn_s.value(), 0.30 + 0.02 + 0.04, 6 * instant_s, 1.0));
}

TEST(StartMeasurement, HasNoOpeningWhenTheContactStaysMade)
{
    SyntheticStart start = coldStoreStart();
    start.set("relay_closed", always(1));
    start.setNode("start-capacitor", "B", sineOf(200));
    const StartMeasurement measured = start.measured();
    EXPECT_FALSE(measured.startContactOpened_s);
    EXPECT_FALSE(measured.speedAtOpening_ratio);
    EXPECT_FALSE(measured.startCapacitorLeft_V);
    EXPECT_FALSE(measured.startWindingAfterOpening_V);
    EXPECT_FALSE(measured.mainAfterOpening_A);
    EXPECT_EQ(measured.startContactOpenings, 0.0);
    EXPECT_EQ(measured.startContactAtEnd, 1.0);
    EXPECT_TRUE(is(measured.startCircuitIn_s, 1, 1e-4));
    EXPECT_TRUE(is(measured.startCapacitorWorst_V, 200));  // of the whole run
}

TEST(StartMeasurement, HasNoMakingWhenACurrentRelayNeverPullsIn)
{
    const StartMeasurement measured = bottleCoolerStart().measured();
    EXPECT_FALSE(measured.startContactMade_s);
    EXPECT_EQ(measured.startContactOpenings, 0.0);
    EXPECT_EQ(measured.startCircuitIn_s, 0.0);
}

// Volts rise with speed until the contact opens, at a crest; then the charge stays.
TEST(StartMeasurement, TakesTheStartCapacitorsWorstCycleBeforeTheOpening)
{
    constexpr double opened_s = 24 * lineCycle_s;
    SyntheticStart start = coldStoreStart();
    start.set("relay_closed", toggling(true, {opened_s}));
    start.setNode("start-capacitor", "A", sineOf(230));
    const TimeFunction line = sineOf(230);
    const TimeFunction across =
        then(then(sineOf(150), opened_s - 2 * lineCycle_s, sineOf(190)), opened_s, always(260));
    start.setNode("start-capacitor", "B", [=](double t) { return line(t) - across(t); });
    const StartMeasurement measured = start.measured();
    // The jump at the opening is a slope over one step, half of which is in the last window.
    EXPECT_TRUE(is(measured.startCapacitorWorst_V, 190, instant_s / lineCycle_s));
    EXPECT_TRUE(is(measured.startCapacitorLeft_V, 260));
    EXPECT_TRUE(is(measured.startCapacitorPeak_V, 190 * std::numbers::sqrt2));
}

// The armature lets go, the arc lasts up to the next zero: what is left is read half a cycle later.
TEST(StartMeasurement, ReadsTheChargeThatIsLeftAfterTheArc)
{
    constexpr double opened_s = 0.4;
    SyntheticStart start = coldStoreStart();
    start.set("relay_closed", toggling(true, {opened_s}));
    start.setNode("start-capacitor", "B",
                  then(sineOf(200), opened_s + 0.4 * lineCycle_s, always(-123)));
    EXPECT_TRUE(is(start.measured().startCapacitorLeft_V, 123));
}

TEST(StartMeasurement, HasNoWorstCycleWhenTheContactOpensWithinTheFirst)
{
    SyntheticStart start = coldStoreStart();
    start.set("relay_closed", toggling(true, {0.7 * lineCycle_s}));
    start.setNode("start-capacitor", "B", sineOf(200));
    const StartMeasurement measured = start.measured();
    EXPECT_FALSE(measured.startCapacitorWorst_V);
    EXPECT_TRUE(is(measured.startCapacitorPeak_V, 200 * std::numbers::sqrt2));
}

TEST(StartMeasurement, TakesTheContactsLargestCycle)
{
    SyntheticStart start = coldStoreStart();
    start.set(contactAmmeter,
              then(sineOf(30), 0.2, then(sineOf(45), 0.2 + 3 * lineCycle_s, always(0))));
    EXPECT_TRUE(is(start.measured().contactCurrentMade_A, 45));
}

// S-C volts fall when the start capacitor leaves, and recover with speed; main amps do the reverse.
TEST(StartMeasurement, TakesTheTenCyclesAfterTheOpening)
{
    constexpr double opened_s = 0.4;
    constexpr double later_s = opened_s + 11 * lineCycle_s;
    const auto course = [](double before, double after, double later) {
        return then(sineOf(before), opened_s, then(sineOf(after), later_s, sineOf(later)));
    };
    SyntheticStart start = bottleCoolerStart();
    start.set("relay_closed", toggling(false, {0.01, opened_s}));
    start.setNode("compressor", "S", course(180, 120, 60));
    start.set(mainAmmeter, course(18, 21, 50));
    const StartMeasurement measured = start.measured();
    EXPECT_TRUE(is(measured.startWindingAfterOpening_V, 120));
    EXPECT_TRUE(is(measured.mainAfterOpening_A, 21));
    EXPECT_TRUE(is(measured.startWindingRunning_V, 60));
}

TEST(StartMeasurement, TakesRunCapacitorAndCoilVoltsAcrossTheirOwnTerminals)
{
    SyntheticStart start = coldStoreStart();
    start.setNode("run-capacitor", "A", sineOf(230));
    start.setNode("run-capacitor", "B", sineOf(300, -std::numbers::pi / 2));  // S, 90 deg ahead
    const StartMeasurement measured = start.measured();
    EXPECT_TRUE(is(measured.runCapacitorRunning_V, std::hypot(230, 300)));
    EXPECT_TRUE(is(measured.coilRunning_V, 300));  // S against C on L2
}

TEST(StartMeasurement, SeesAProtectorThatTripsAndResets)
{
    SyntheticStart start = coldStoreStart();
    start.set("protector_closed", toggling(true, {0.5, 0.7}));
    start.set("protector_disc", [](double t) { return 25 + 100 * t * (1.4 - t); });
    const StartMeasurement measured = start.measured();
    EXPECT_EQ(measured.protectorTripped, 1.0);
    EXPECT_TRUE(is(measured.protectorHottest_degC, 74));
}

TEST(StartMeasurement, SeesAProtectorThatHolds)
{
    SyntheticStart start = coldStoreStart();
    start.set("protector_closed", always(1));
    EXPECT_EQ(start.measured().protectorTripped, 0.0);
}

namespace
{

// Newton's law of cooling (any text on heat transfer) by steps of a millisecond (Heun): the cold
// store's disc goes from one temperature towards another, 29.57 s behind. That lag is the one with
// which 70 A trip it in 6 s, the middle of its label, where 30 A trip it in the end: 6 s /
// ln(1 / (1 - (30/70)^2)) = 6 s / 0.20294.
double discReachesTrip_s(double from_degC, double toward_degC)
{
    constexpr double lag_s = 29.565;
    constexpr double trip_degC = 150;
    constexpr double step_s = 1e-3;
    double time_s = 0;
    for (double degC = from_degC; degC < trip_degC && time_s < 1000; time_s += step_s) {
        const double slope_K_s = (toward_degC - degC) / lag_s;
        degC += step_s * (toward_degC - (degC + 0.5 * step_s * slope_K_s)) / lag_s;
    }
    return time_s;
}

// A second with those amps in its last six cycles, the disc at that temperature at the end.
StartMeasurement stalledBehindProtector(double winding_degC, double late_A, double disc_degC)
{
    SyntheticStart start(modelOf(coldStoreCase(), coldStoreMotor(), {1, winding_degC}), 1);
    start.set("protector_closed", always(1));
    start.set("protector_disc", [=](double t) { return disc_degC - 20 * (1 - t); });
    start.set("v.xprotector.vdisc#branch",
              then(sineOf(10), 1 - 6 * lineCycle_s, sineOf(late_A, 0.4)));
    return start.measured();
}

}  // namespace

// The disc's heat goes with the square of the amps: 30 A keep it 150 - 65 = 85 K above what is
// round it, 60 A four times as much, 24 A 0.64 times.
TEST(StartMeasurement, TellsWhenTheProtectorWouldOpenAfterTheEndOfTheRun)
{
    EXPECT_TRUE(is(stalledBehindProtector(25, 60, 45).protectorOpens_s,
                   1 + discReachesTrip_s(45, 25 + 340), 1e-3));
    EXPECT_TRUE(is(stalledBehindProtector(25, 60, 90).protectorOpens_s,
                   1 + discReachesTrip_s(90, 25 + 340), 1e-3));
    // Among windings of 110 degC fewer amps do.
    EXPECT_TRUE(is(stalledBehindProtector(110, 24, 112).protectorOpens_s,
                   1 + discReachesTrip_s(112, 110 + 54.4), 1e-3));
    EXPECT_FALSE(stalledBehindProtector(25, 24, 45).protectorOpens_s);
    // Beside windings of 25 degC it carries 30 A times the root of 125 K / 85 K: 36.38 A.
    EXPECT_FALSE(stalledBehindProtector(25, 36.3, 45).protectorOpens_s);
    EXPECT_TRUE(stalledBehindProtector(25, 36.5, 45).protectorOpens_s);
}

TEST(StartMeasurement, TakesTheOpeningOfTheProtectorThatItSaw)
{
    SyntheticStart start = coldStoreStart();
    start.set("protector_closed", toggling(true, {0.5, 0.7}));
    start.set("v.xprotector.vdisc#branch", sineOf(60));
    EXPECT_TRUE(at(start.measured().protectorOpens_s, 0.5));
}

TEST(StartMeasurement, LeavesEmptyWhatTheCircuitDoesNotHave)
{
    const StartMeasurement cooler = bottleCoolerStart().measured();
    EXPECT_FALSE(cooler.runCapacitorRunning_V);
    EXPECT_FALSE(cooler.coilRunning_V);
    Case unprotected = coldStoreCase();
    unprotected.circuit->protector.clear();
    const SyntheticStart start(modelOf(unprotected, coldStoreMotor(), {}), 1);
    EXPECT_FALSE(start.measured().protectorTripped);
    EXPECT_FALSE(start.measured().protectorHottest_degC);
}

TEST(StartMeasurement, MeasuresTheWindingsBehindAnInternalProtector)
{
    SyntheticStart start = coldStoreStart();
    start.setNode("compressor", "S", sineOf(300));
    start.set("star", sineOf(10));  // what the protector drops, in phase
    EXPECT_TRUE(is(start.measured().startWindingRunning_V, 290));
}

TEST(StartMeasurement, RefusesARunThatIsTooShortToBeMeasured)
{
    EXPECT_THROW(static_cast<void>(coldStoreStart(7 * lineCycle_s).measured()),
                 std::invalid_argument);
    EXPECT_NO_THROW(static_cast<void>(coldStoreStart(8.1 * lineCycle_s).measured()));
}

}  // namespace splitstart
