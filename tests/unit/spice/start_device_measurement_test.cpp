// What relays' coils, reclosing and open contacts, PTCs and windings meet in a start, on waveforms
// whose features are known in closed form.
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <string>

#include "physics/near.h"
#include "unit/dairy_service_cases.h"
#include "unit/spice/synthetic_start.h"

namespace splitstart
{

namespace
{

// Of rms values at the synthetic steps, as in start_measurement_test.cpp.
constexpr double rms_ratio = 1e-4;
constexpr double instant_s = 20e-6;

const double synchronous_rad_s = 2 * std::numbers::pi * 60;
const std::string mainAmmeter = "v.xcompressor.vmain#branch";
const std::string auxiliaryAmmeter = "v.xcompressor.vaux#branch";

testing::AssertionResult is(const std::optional<double>& value, double expected,
                            double tolerance_ratio = rms_ratio)
{
    return value ? nearRel(*value, expected, tolerance_ratio)
                 : testing::AssertionFailure() << "no value";
}

SyntheticStart startOf(const Case& input, double end_s = 1)
{
    return {modelOf(input, coldStoreMotor(), {}), end_s};
}

// A steady voltage and a sine of that rms value on it.
TimeFunction onTopOf(double steady, const TimeFunction& wave)
{
    return [steady, wave](double t) { return steady + wave(t); };
}

// A start assist of two wires: its relay's coil stands between S and R.
Case twoWireAssistCase()
{
    Case input = stockedCase();
    input.circuit = CircuitChoice{};
    input.circuit->type = "PSC";
    input.circuit->variant = "two-wire-assist";
    input.circuit->startDevice = "potential";
    input.circuit->startCapacitor = "start";
    input.circuit->runCapacitor = "run";
    return input;
}

}  // namespace

// A sine of that rms value brings its square every second.
TEST(StartHeat, IsTheSquareOfTheAmpsUntilTheMotorIsUpToSpeed)
{
    constexpr double upToSpeed_s = 27 * lineCycle_s;
    SyntheticStart start = coldStoreStart();
    start.set("speed",
              [](double t) { return synchronous_rad_s * std::min(0.9 * t / upToSpeed_s, 0.96); });
    start.set("relay_closed", toggling(true, {0.8 * upToSpeed_s}));
    start.set(mainAmmeter, then(sineOf(50, 0.7), upToSpeed_s, sineOf(400)));
    start.set(auxiliaryAmmeter, then(sineOf(20, 1.9), upToSpeed_s, sineOf(300)));
    const StartMeasurement measured = start.measured();
    // The instant itself is found to one step, in which the amps are already the later ones.
    EXPECT_TRUE(is(measured.mainHeat_A2s, 50 * 50 * upToSpeed_s, 1e-3));
    EXPECT_TRUE(is(measured.auxiliaryHeat_A2s, 20 * 20 * upToSpeed_s, 1e-3));
}

// At 90 % speed the start circuit may still be in: its amps heat the windings until the contact
// opens, however fast the motor is.
TEST(StartHeat, GoesOnUntilTheStartContactOpens)
{
    constexpr double upToSpeed_s = 12 * lineCycle_s;
    constexpr double opened_s = 36 * lineCycle_s;
    SyntheticStart start = coldStoreStart();
    start.set("speed",
              [](double t) { return synchronous_rad_s * std::min(0.9 * t / upToSpeed_s, 0.96); });
    start.set("relay_closed", toggling(true, {opened_s}));
    start.set(mainAmmeter, then(sineOf(50), upToSpeed_s, then(sineOf(30), opened_s, sineOf(400))));
    start.set(auxiliaryAmmeter,
              then(sineOf(20), upToSpeed_s, then(sineOf(25), opened_s, sineOf(300))));
    const StartMeasurement measured = start.measured();
    const double later_s = opened_s - upToSpeed_s;
    EXPECT_TRUE(is(measured.mainHeat_A2s, 50 * 50 * upToSpeed_s + 30 * 30 * later_s, 1e-3));
    EXPECT_TRUE(is(measured.auxiliaryHeat_A2s, 20 * 20 * upToSpeed_s + 25 * 25 * later_s, 1e-3));
}

TEST(StartHeat, OfAStartCircuitThatStaysInGoesOnToTheEnd)
{
    SyntheticStart start = coldStoreStart();
    start.set("speed", [](double t) { return synchronous_rad_s * std::min(9 * t, 0.96); });
    start.set("relay_closed", always(1));
    start.set(auxiliaryAmmeter, sineOf(20));
    EXPECT_TRUE(is(start.measured().auxiliaryHeat_A2s, 20 * 20));
}

// Without a start device there is no contact to wait for.
TEST(StartHeat, WithoutAStartDeviceEndsAtSpeed)
{
    constexpr double upToSpeed_s = 12 * lineCycle_s;
    SyntheticStart start = startOf(ripeningRoomCase());
    start.set("speed",
              [](double t) { return synchronous_rad_s * std::min(0.9 * t / upToSpeed_s, 0.96); });
    start.set(mainAmmeter, then(sineOf(50), upToSpeed_s, sineOf(30)));
    EXPECT_TRUE(is(start.measured().mainHeat_A2s, 50 * 50 * upToSpeed_s, 1e-3));
}

TEST(StartHeat, OfAMotorThatSticksGoesOnToTheEnd)
{
    SyntheticStart start = coldStoreStart();
    start.set("speed", always(0));
    start.set(mainAmmeter, sineOf(50));
    start.set(auxiliaryAmmeter, then(sineOf(20), 0.5, always(0)));
    const StartMeasurement measured = start.measured();
    EXPECT_TRUE(is(measured.mainHeat_A2s, 50 * 50));
    EXPECT_TRUE(is(measured.auxiliaryHeat_A2s, 20 * 20 * 0.5));
}

// A constant and a sine are orthogonal: their squares add.
TEST(StartHeat, CountsADirectCurrentWithItsFullSquare)
{
    SyntheticStart start = coldStoreStart();
    start.set(mainAmmeter, onTopOf(30, sineOf(40)));
    EXPECT_TRUE(is(start.measured().mainHeat_A2s, 30 * 30 + 40 * 40));
}

// An arc of some volts that no zero of the current puts out.
TEST(StartContact, OpenWithAnArcThatBurnsOnCountsAsMade)
{
    constexpr double opened_s = 18 * lineCycle_s;
    SyntheticStart start = startOf(curdRoomCase());
    start.set("start_switch_closed", toggling(true, {opened_s}));
    const auto ammeter = "v.xstart_switch.xcontact.vcontact#branch";
    start.set(ammeter, then(sineOf(40), opened_s, always(0)));
    EXPECT_EQ(start.measured().startContactAtEnd, 0.0);
    EXPECT_TRUE(is(start.measured().startContactOpened_s, opened_s, 1e-3));
    start.set(ammeter, sineOf(40));
    const StartMeasurement burning = start.measured();
    EXPECT_EQ(burning.startContactAtEnd, 1.0);
    EXPECT_FALSE(burning.startContactOpened_s);
    EXPECT_TRUE(is(burning.startCircuitIn_s, burning.end_s.value()));
    EXPECT_EQ(start.trace().find("start_contact")->values.back(), 1.0);
}

// The charge that the capacitor kept, with the line's crest on it.
TEST(ReclosingContact, MeetsTheCrestOfTheHalfCycleBefore)
{
    constexpr double opened_s = 18 * lineCycle_s;
    // At a zero of the sine, after its positive half: at which instant it makes is chance.
    constexpr double closed_s = 24.5 * lineCycle_s;
    SyntheticStart start = startOf(curdRoomCase());
    start.set("start_switch_closed", toggling(true, {opened_s, closed_s}));
    start.setNode("start-switch", "1", then(onTopOf(150, sineOf(100)), closed_s, always(0)));
    EXPECT_TRUE(is(start.measured().startContactReclosed_V, 150 + 100 * std::numbers::sqrt2));
}

TEST(ReclosingContact, IsMeasuredAtTheWorstOfItsClosings)
{
    SyntheticStart start = startOf(curdRoomCase());
    start.set("start_switch_closed", toggling(true, {0.30, 0.40, 0.50, 0.60, 0.70, 0.80, 0.85}));
    start.setNode("start-switch", "1",
                  then(sineOf(50), 0.45, then(always(-333), 0.65, sineOf(70))));
    EXPECT_TRUE(is(start.measured().startContactReclosed_V, 333));
}

// What was there while it was still made says nothing.
TEST(ReclosingContact, LooksNoFurtherBackThanItsOpening)
{
    SyntheticStart start = startOf(curdRoomCase());
    start.set("start_switch_closed", toggling(true, {0.300, 0.303}));
    start.setNode("start-switch", "1", then(always(500), 0.2999, always(60)));
    EXPECT_TRUE(is(start.measured().startContactReclosed_V, 60));
}

TEST(ReclosingContact, IsNoneThatOpensOnceOrMakesForTheFirstTime)
{
    SyntheticStart once = startOf(curdRoomCase());
    once.set("start_switch_closed", toggling(true, {0.3}));
    once.setNode("start-switch", "1", sineOf(300));
    EXPECT_FALSE(once.measured().startContactReclosed_V);
    SyntheticStart first = bottleCoolerStart();
    first.set("relay_closed", toggling(false, {0.012, 0.3}));
    first.setNode("relay", "L", sineOf(115));
    EXPECT_FALSE(first.measured().startContactReclosed_V);
}

// Each kind of start device has its contact between other terminals.
TEST(OpenContact, IsMeasuredAcrossItsOwnTerminals)
{
    const auto measured = [](SyntheticStart start, const char* part, const char* closedNode,
                             const char* from, const char* to) {
        start.set(closedNode, toggling(true, {0.4}));
        start.setNode(part, from, sineOf(230));
        start.setNode(part, to, sineOf(300, -std::numbers::pi / 2));
        return start.measured().startContactOpen_V;
    };
    const double across_V = std::hypot(230, 300);
    EXPECT_TRUE(is(measured(coldStoreStart(), "relay", "relay_closed", "1", "2"), across_V));
    EXPECT_TRUE(is(measured(bottleCoolerStart(), "relay", "relay_closed", "L", "S"), across_V));
    Case fromM = bottleCoolerCase();
    partOf<CurrentRelay>(fromM, "relay").contactFromM = true;
    EXPECT_TRUE(is(
        measured({modelOf(fromM, bottleCoolerMotor(), {}), 1}, "relay", "relay_closed", "M", "S"),
        across_V));
    EXPECT_TRUE(
        is(measured(startOf(curdRoomCase()), "start-switch", "start_switch_closed", "1", "2"),
           across_V));
    EXPECT_TRUE(
        is(measured(startOf(butterChurnCase()), "start-switch", "start_switch_closed", "1", "2"),
           across_V));
}

// The charge that is left counts: root of the sum of squares. The first cycle, in which the arc
// goes out, does not.
TEST(OpenContact, HasToKeepTheChargeApartTooOnceTheArcIsOut)
{
    constexpr double opened_s = 24 * lineCycle_s;
    SyntheticStart start = startOf(curdRoomCase());
    start.set("start_switch_closed", toggling(true, {opened_s}));
    start.setNode("start-switch", "1",
                  then(always(900), opened_s + 0.9 * lineCycle_s,
                       then(onTopOf(200, sineOf(150)), 0.7, sineOf(120))));
    EXPECT_TRUE(is(start.measured().startContactOpen_V, 250));
}

TEST(OpenContact, IsNoneThatIsMadeAtTheEnd)
{
    SyntheticStart start = startOf(curdRoomCase());
    start.set("start_switch_closed", toggling(true, {0.4, 0.6}));
    start.setNode("start-switch", "1", sineOf(300));
    EXPECT_FALSE(start.measured().startContactOpen_V);
    EXPECT_TRUE(start.measured().startContactReclosed_V);
}

TEST(Ptc, IsMeasuredByItsTemperatureVoltsAndWatts)
{
    SyntheticStart start = startOf(milkTankCase());
    start.set("ptc_temperature", [](double t) { return 40 + 100 * 4 * t * (1 - t) + 30 * t; });
    start.set("ptc_closed", toggling(true, {0.35}));
    start.setNode("ptc", "A", then(sineOf(230), 0.5, sineOf(260)));
    start.setNode("ptc", "B", then(sineOf(30), 0.5, sineOf(-25)));
    start.set("v.xptc.vptc#branch", then(sineOf(9, 0.4), 0.8, sineOf(0.011, 0.2)));
    const StartMeasurement measured = start.measured();
    EXPECT_TRUE(is(measured.ptcAtStart_degC, 40, 1e-5));
    // Crest of a parabola: 40 + 430 t - 400 t^2 at t = 430 / 800.
    EXPECT_TRUE(is(measured.ptcHottest_degC, 40 + 430.0 * 430.0 / 1600.0));
    EXPECT_TRUE(is(measured.ptcWorst_V, 285));
    EXPECT_TRUE(is(measured.ptcRunning_W, 285 * 0.011 * std::cos(0.2)));
    EXPECT_TRUE(is(measured.contactCurrentMade_A, 9));
    EXPECT_TRUE(nearOfScale(measured.startContactOpened_s.value(), 0.35, instant_s, 1.0));
    EXPECT_EQ(measured.startContactAtEnd, 0.0);
}

// It has no contact: nothing recloses, nothing is open.
TEST(Ptc, HasNoContactToReclose)
{
    SyntheticStart start = startOf(milkTankCase());
    start.set("ptc_closed", toggling(true, {0.3, 0.5, 0.7}));
    start.setNode("ptc", "A", sineOf(230));
    const StartMeasurement measured = start.measured();
    EXPECT_FALSE(measured.startContactReclosed_V);
    EXPECT_FALSE(measured.startContactOpen_V);
    EXPECT_FALSE(measured.coilAfterOpening_V);
    EXPECT_FALSE(measured.coilAfterOpening_A);
    const StartMeasurement other = coldStoreStart().measured();
    EXPECT_FALSE(other.ptcAtStart_degC);
    EXPECT_FALSE(other.ptcHottest_degC);
    EXPECT_FALSE(other.ptcWorst_V);
    EXPECT_FALSE(other.ptcRunning_W);
}

// Ten cycles, after which the motor has settled; the lowest cycle of a coil that has to hold.
TEST(PotentialRelayCoil, IsMeasuredWhereItIsWiredAfterTheOpening)
{
    constexpr double opened_s = 0.4;
    constexpr double later_s = opened_s + 11 * lineCycle_s;
    const auto course = [](double before, double after, double later) {
        return then(sineOf(before), opened_s, then(sineOf(after), later_s, sineOf(later)));
    };
    SyntheticStart store = coldStoreStart();
    store.set("relay_closed", toggling(true, {opened_s}));
    store.setNode("relay", "2", course(250, 140, 60));
    EXPECT_TRUE(is(store.measured().coilAfterOpening_V, 140));
    EXPECT_FALSE(store.measured().coilAfterOpening_A);

    SyntheticStart assist = startOf(twoWireAssistCase());
    assist.set("relay_closed", toggling(true, {opened_s}));
    assist.setNode("relay", "2", course(250, 140, 60));
    assist.setNode("relay", "5", sineOf(-230));  // R, on the line
    EXPECT_TRUE(is(assist.measured().coilAfterOpening_V, 370));
    EXPECT_TRUE(is(assist.measured().coilRunning_V, 290));
    EXPECT_TRUE(is(assist.measured().startWindingAfterOpening_V, 140));
}

// The highest cycle of a coil that has to stay let go, whatever else the run winding's amps are.
TEST(CurrentRelayCoil, IsMeasuredByItsOwnAmpsAfterTheOpening)
{
    constexpr double opened_s = 0.3;
    constexpr double later_s = opened_s + 11 * lineCycle_s;
    SyntheticStart start = bottleCoolerStart();
    start.set("relay_closed", toggling(false, {0.012, opened_s}));
    start.set(
        "v.xrelay.vcoil#branch",
        then(sineOf(40), opened_s, then(sineOf(13), 0.4, then(sineOf(16), later_s, sineOf(33)))));
    start.set(mainAmmeter, sineOf(11));
    EXPECT_TRUE(is(start.measured().coilAfterOpening_A, 16));
    EXPECT_TRUE(is(start.measured().mainAfterOpening_A, 11));
    EXPECT_FALSE(start.measured().coilAfterOpening_V);
}

TEST(RelayCoil, IsNotMeasuredAfterAnOpeningThatNeverWas)
{
    SyntheticStart store = coldStoreStart();
    store.set("relay_closed", always(1));
    store.setNode("relay", "2", sineOf(200));
    EXPECT_FALSE(store.measured().coilAfterOpening_V);
    SyntheticStart cooler = bottleCoolerStart();
    cooler.set("v.xrelay.vcoil#branch", sineOf(20));
    EXPECT_FALSE(cooler.measured().coilAfterOpening_A);
}

// Amps times the volts at the supply's own terminals, ahead of the cable: its loss is drawn too.
TEST(LineWatts, AreThoseOfTheSupplysOwnTerminals)
{
    SyntheticStart start = startOf(milkTankCase());
    start.set("service", sineOf(230));
    start.setNode("supply", "L1", sineOf(221));
    const TimeFunction drawn = sineOf(11, 0.6);
    start.set("v.xsupply.vline#branch", [drawn](double t) { return -drawn(t); });
    EXPECT_TRUE(is(start.measured().lineRunning_W, 230 * 11 * std::cos(0.6)));
}

// A motor without start device has no contact, and is measured all the same.
TEST(PermanentCapacitorMotor, HasNoContactToMeasure)
{
    SyntheticStart start = startOf(ripeningRoomCase());
    start.set("speed", [](double t) { return synchronous_rad_s * std::min(t / 0.5, 0.96); });
    start.set(mainAmmeter, sineOf(20));
    const StartMeasurement measured = start.measured();
    EXPECT_FALSE(measured.startContactMade_s);
    EXPECT_FALSE(measured.startContactAtEnd);
    EXPECT_FALSE(measured.startContactOpen_V);
    EXPECT_FALSE(measured.contactCurrentMade_A);
    EXPECT_TRUE(is(measured.timeToSpeed_s, 0.45));
    EXPECT_TRUE(is(measured.mainHeat_A2s, 400 * 0.45));
}

}  // namespace splitstart
