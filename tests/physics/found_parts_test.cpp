// Start parts with their wires on the wrong terminals, simulated as they are wired, against circuit
// theory (as_found.h). Each expectation is computed here from the impedances of windings and parts.
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <string_view>
#include <utility>

#include "circuit/part_physics.h"
#include "physics/as_found.h"
#include "physics/near.h"

namespace splitstart
{

namespace
{

constexpr double line_V = 230;
constexpr double cycle_s = 1 / line_Hz;

// Seconds of a current that take copper from 25 to 150 degC with no heat leaving it. Volumetric
// heat 3.45e6 J/(m3 K), resistivity 1.7241e-8 ohm m at 20 degC and rising as 234.5 degC + T: the
// constants behind IEC 60949 (from memory).
double adiabatic_s(double current_A, double area_m2)
{
    return 3.45e6 * (234.5 + 20) / 1.7241e-8 * area_m2 * area_m2 / (current_A * current_A) *
           std::log((234.5 + 150) / (234.5 + 25));
}

constexpr const char* cscr = "capacitor start, capacitor run, with potential relay";

// The capacitors of a CSCR circuit: both side by side while the relay's contact is made.
struct Capacitors {
    Complex start;
    Complex run;
    Complex both;

    explicit Capacitors(const Case& input)
    {
        start = impedanceOf(partIn<StartCapacitor>(input, "start"));
        run = impedanceOf(partIn<RunCapacitor>(input, "run"));
        both = parallel(startContact_ohm + start, run);
    }
};

// Motor at standstill on the line, its start winding behind an impedance.
struct Standstill {
    Complex main_A;
    Complex auxiliary_A;
    double line_A = 0;
    double torque_Nm = 0;

    Standstill(const StalledMotor& motor, Complex ahead_ohm)
    {
        const Complex auxiliary_ohm = motor.auxiliary_ohm + ahead_ohm;
        const Complex motor_ohm = parallel(motor.main_ohm, auxiliary_ohm);
        const Complex terminal_V = line_V * motor_ohm / (feed_ohm + motor_ohm);
        main_A = terminal_V / motor.main_ohm;
        auxiliary_A = terminal_V / auxiliary_ohm;
        line_A = std::abs(main_A + auxiliary_A);
        torque_Nm = motor.torque_Nm(main_A, auxiliary_A);
    }
};

// A capacitor start motor with a fan of two leads, large enough to be seen beside it.
Case withFan(std::string_view description)
{
    Service service;
    service.fan = "fan";
    Case input = stiffCase(description, coldStoreMotor(), service);
    partOf<CondenserFan>(input, "fan").current_A = 4;
    return input;
}

// Line amps with the run winding behind one impedance and the start winding behind another.
double lineAmps(Complex main_ohm, Complex auxiliary_ohm)
{
    return line_V / std::abs(feed_ohm + parallel(main_ohm, auxiliary_ohm));
}

}  // namespace

// Terminal 5 of the potential relay on R in place of C: the coil sees the volts of the capacitors,
// which are highest at rest.
TEST(FoundParts, CoilAcrossTheCapacitorsOpensTheContactWhileTheMotorStands)
{
    Case input = shaftHeld(stiffCase(cscr, coldStoreMotor()));
    constexpr double main_m2 = 1.6e-6;
    input.compressor.wire = {main_m2, 0.8e-6};
    const auto& relay = partIn<PotentialRelay>(input, "potential");
    const StalledMotor motor(*input.compressor.equivalentCircuit);
    const Capacitors capacitors(input);
    const Complex coil = coilImpedance(relay);
    const Standstill right(motor, capacitors.both);
    const Standstill made(motor, parallel(capacitors.both, coil));
    const Standstill open(motor, parallel(capacitors.run, coil));
    const auto coil_V = [&](const Standstill& still, Complex across) {
        return std::abs(still.auxiliary_A * parallel(across, coil));
    };
    const double pulling_V = coil_V(made, capacitors.both);
    ASSERT_GT(pulling_V, relay.pickUp_V.middle());
    ASSERT_GT(coil_V(open, capacitors.run), relay.dropOut_V.middle());
    ASSERT_LT(std::abs(right.auxiliary_A * motor.auxiliary_ohm), relay.pickUp_V.middle());

    const FoundStart start = startAsFound(input, leading("relay.5", "compressor.R"));
    const StartMeasurement& found = start.asFound.measured;
    // The armature follows with its lag; the volts themselves are there after a cycle.
    const double lag_s = -relay.operate_s * std::log(1 - relay.pickUp_V.middle() / pulling_V);
    EXPECT_LT(*found.startContactOpened_s, lag_s + cycle_s);
    EXPECT_EQ(*found.startContactOpenings, 1);
    EXPECT_EQ(*found.startContactAtEnd, 0);
    EXPECT_TRUE(nearRel(*found.coilRunning_V, coil_V(open, capacitors.run), steady_ratio));
    EXPECT_TRUE(nearRel(*found.lineRunning_A, open.line_A, steady_ratio));
    EXPECT_TRUE(nearRel(*found.torqueRunning_Nm, open.torque_Nm, steady_ratio));
    const StartMeasurement& wanted = start.asItShouldBe.measured;
    EXPECT_FALSE(wanted.startContactOpened_s.has_value());
    EXPECT_TRUE(nearRel(*wanted.lineRunning_A, right.line_A, steady_ratio));
    EXPECT_TRUE(nearRel(*wanted.torqueRunning_Nm, right.torque_Nm, steady_ratio));
    // The run winding carries its locked-rotor amps; the start winding behind the run capacitor
    // lasts for minutes. Heat goes with the square of the amps; IEC 60949 rounds its constant up to
    // 226, which makes 0.3 % of the time.
    EXPECT_TRUE(nearRel(start.asFound.main->thin_s, adiabatic_s(std::abs(open.main_A), main_m2),
                        2 * steady_ratio + 0.003));
    EXPECT_FALSE(start.asFound.auxiliary.has_value());
}

// Between the torque at rest with the run capacitor alone and that with both lies a load that only
// the right wiring starts.
TEST(FoundParts, CoilAcrossTheCapacitorsKeepsALoadFromStarting)
{
    Case input = stiffCase(cscr, coldStoreMotor());
    const StalledMotor motor(*input.compressor.equivalentCircuit);
    const Capacitors capacitors(input);
    const double both_Nm = Standstill(motor, capacitors.both).torque_Nm;
    const double alone_Nm = Standstill(motor, capacitors.run).torque_Nm;
    ASSERT_GT(both_Nm, 4 * alone_Nm);
    CompressorLoad& load = input.compressor.load;
    load.kind = LoadKind::steady;
    load.pressures = Pressures::unequalised;
    load.torque_Nm = std::sqrt(both_Nm * alone_Nm);
    const FoundStart start = startAsFound(input, leading("relay.5", "compressor.R"));
    EXPECT_TRUE(start.asItShouldBe.starts());
    EXPECT_FALSE(start.asFound.starts());
    const StartMeasurement& found = start.asFound.measured;
    EXPECT_LT(*found.startContactOpened_s, 3 * cycle_s);
    EXPECT_LT(*found.speedAtOpening_ratio, 0.1);
    EXPECT_GT(*start.asItShouldBe.measured.speedAtOpening_ratio, 0.5);
    // A smooth load that is too heavy creeps below 3 rad/s (models/steady_load.lib); two poles.
    EXPECT_LT(std::abs(*found.speedAtEnd_ratio), 3 / line_rad_s);
}

// The start capacitor on the relay's 2 and the start winding on 1: until the contact opens, both
// are on one point and nothing differs. Then the coil hangs on the line, through the start
// capacitor.
TEST(FoundParts, RelayOneAndTwoExchangedLeaveTheCoilOnTheLine)
{
    const Case input = stiffCase(cscr, coldStoreMotor());
    const auto& relay = partIn<PotentialRelay>(input, "potential");
    const auto& capacitor = partIn<StartCapacitor>(input, "start");
    ASSERT_FALSE(capacitor.bleed_ohm.has_value());
    const FoundStart start =
        startAsFound(input, landed({{"relay.1", "relay.2"}, {"relay.2", "relay.1"}}));
    const StartMeasurement& found = start.asFound.measured;
    const StartMeasurement& wanted = start.asItShouldBe.measured;
    EXPECT_TRUE(start.asFound.starts());
    EXPECT_TRUE(nearRel(*found.startContactOpened_s, *wanted.startContactOpened_s, 1e-3));
    EXPECT_TRUE(nearRel(*found.timeToSpeed_s, *wanted.timeToSpeed_s, 1e-3));
    EXPECT_EQ(*found.startContactOpenings, 1);
    EXPECT_EQ(*found.startContactAtEnd, 0);

    const Complex coil = coilImpedance(relay);
    const double fromLine_V = line_V * std::abs(coil / (coil + Capacitors(input).start));
    ASSERT_GT(fromLine_V, relay.dropOut_V.middle());
    // The opening at a zero of the capacitor's current left it charged; that charge has no other
    // way than through the coil (and the open contact's leakage), for a second or so.
    constexpr double openContact_ohm = 1e6;  // netgen/circuit/model_builder.h
    const double discharge_s =
        parallel(relay.coil_ohm, openContact_ohm).real() * capacitor.capacitance_F.middle();
    const auto left_V = [&](double time_s) {
        const double since_s = time_s - (*found.startContactOpened_s + 0.5 * cycle_s);
        return *found.startCapacitorLeft_V * std::exp(-since_s / discharge_s);
    };
    const double from_s = *found.end_s - cyclesAtEnd * cycle_s;
    // Mean of an exponential's square over the window. What the line itself leaves on the capacitor
    // is read with its charge, up to 0.15 % of it.
    const double direct_V2 = (std::pow(left_V(from_s), 2) - std::pow(left_V(*found.end_s), 2)) *
                             discharge_s / (2 * cyclesAtEnd * cycle_s);
    EXPECT_TRUE(nearRel(*found.coilRunning_V, std::sqrt(fromLine_V * fromLine_V + direct_V2),
                        2 * steady_ratio));
}

// HERM and FAN of a dual run capacitor exchanged: the start winding gets the fan's few microfarads.
TEST(FoundParts, SectionsOfADualCapacitorExchangedStarveTheStartWinding)
{
    Service service;
    service.fan = "fan-with-capacitor";
    service.dual = true;
    Case input = shaftHeld(stiffCase("permanent split capacitor", coldStoreMotor(), service));
    const StalledMotor motor(*input.compressor.equivalentCircuit);
    // Switched on where the run winding's current, most of the line's, has its zero.
    input.supply.switchOn_deg = std::arg(motor.main_ohm) * 180 / std::numbers::pi;
    const auto& dual = partIn<DualRunCapacitor>(input, "dual");
    const Complex herm = capacitorImpedance(dual.compressor_F, dual.dissipationFactor);
    const Complex fanSection = capacitorImpedance(dual.fan_F, dual.dissipationFactor);
    const Standstill right(motor, herm);
    const Standstill exchanged(motor, fanSection);
    const FoundStart start =
        startAsFound(input, landed({{"dual-capacitor.HERM", "dual-capacitor.FAN"},
                                    {"dual-capacitor.FAN", "dual-capacitor.HERM"}}));
    const StalledMotor fan(
        fanMachine(partIn<CapacitorFan>(input, "fan-with-capacitor"), line_Hz).circuit);
    const auto check = [&](const WiredStart& run, const Standstill& still, Complex fanCapacitor) {
        const StartMeasurement& measured = run.measured;
        EXPECT_TRUE(nearRel(*measured.startWindingRunning_V / std::abs(motor.auxiliary_ohm),
                            std::abs(still.auxiliary_A), steady_ratio));
        EXPECT_TRUE(nearRel(*measured.torqueRunning_Nm, still.torque_Nm, steady_ratio));
        // In the second cycle the fan's rotor has hardly moved.
        const Standstill fanStill(fan, fanCapacitor);
        const double line_A =
            std::abs(still.main_A + still.auxiliary_A + fanStill.main_A + fanStill.auxiliary_A);
        EXPECT_TRUE(nearRel(*measured.lineStalled_A, line_A, steady_ratio));
    };
    check(start.asItShouldBe, right, fanSection);
    check(start.asFound, exchanged, herm);
    EXPECT_TRUE(nearRel(
        *start.asFound.measured.torqueRunning_Nm / *start.asItShouldBe.measured.torqueRunning_Nm,
        exchanged.torque_Nm / right.torque_Nm, steady_ratio));
}

// One lead of the fan on the relay's 1, the other on the line: across the start capacitor. It has
// the capacitor's volts while the contact is made, and none afterwards.
TEST(FoundParts, FanAcrossTheStartCapacitorStopsWithTheStart)
{
    const Case input = withFan("capacitor start, induction run, with potential relay");
    const StalledMotor motor(*input.compressor.equivalentCircuit);
    const Complex fan = impedanceOf(partIn<CondenserFan>(input, "fan"));
    const Complex capacitor = impedanceOf(partIn<StartCapacitor>(input, "start"));
    const Complex beside = parallel(capacitor, fan);
    const Complex auxiliary = motor.auxiliary_ohm + startContact_ohm;
    const Rewiring rewiring = leading("fan.B", "relay.1");

    const Case held = shaftHeld(input);
    const FoundStart stalled = startAsFound(held, rewiring);
    const double line_A = lineAmps(motor.main_ohm, auxiliary + beside);
    EXPECT_TRUE(nearRel(*stalled.asFound.measured.lineRunning_A, line_A, steady_ratio));
    EXPECT_GT(std::abs(lineAmps(motor.main_ohm, auxiliary + capacitor) / line_A - 1),
              5 * steady_ratio);
    EXPECT_TRUE(nearRel(*stalled.asItShouldBe.measured.lineRunning_A,
                        lineAmps(parallel(motor.main_ohm, fan), auxiliary + capacitor),
                        steady_ratio));
    const std::pair between{"thermostat.2", "relay.1"};
    const VoltsAsFound across = voltsAsFound(held, rewiring, between, 20 * cycle_s);
    EXPECT_TRUE(nearRel(across.rms_V(14 * cycle_s, 20 * cycle_s),
                        line_V * std::abs(beside / (auxiliary + beside)), steady_ratio));

    const FoundStart start = startAsFound(input, rewiring);
    const StartMeasurement& found = start.asFound.measured;
    EXPECT_TRUE(start.asFound.starts());
    EXPECT_EQ(*found.startContactOpenings, 1);
    EXPECT_EQ(*found.startContactAtEnd, 0);
    const double end_s = *found.end_s;
    EXPECT_LT(voltsAsFound(input, rewiring, between, end_s).rms_V(end_s - 6 * cycle_s, end_s),
              1e-3 * line_V);
    // The line feeds the run winding alone then; rightly wired, the fan beside it.
    EXPECT_TRUE(nearRel(*found.lineRunning_A, *found.mainRunning_A, 1e-3));
    const StartMeasurement& wanted = start.asItShouldBe.measured;
    EXPECT_GT(*wanted.lineRunning_A, *wanted.mainRunning_A + 0.5 * line_V / std::abs(fan));
    EXPECT_LT(*wanted.lineRunning_A, *wanted.mainRunning_A + line_V / std::abs(fan));
}

// The fan's line lead on the far side of a current relay's contact. The line feeds it while the
// contact is made; afterwards the turning rotor does, out of the start winding.
TEST(FoundParts, FanBehindTheStartContactThenHangsOnTheStartWinding)
{
    Case input = withFan("capacitor start, induction run, with current relay");
    const StalledMotor motor(*input.compressor.equivalentCircuit);
    auto& relay = partOf<CurrentRelay>(input, "current");
    const double stalled_A = line_V / std::abs(motor.main_ohm);
    relay.pullIn_A = {0.65 * stalled_A, 0.7 * stalled_A};
    relay.dropOut_A = {0.45 * stalled_A, 0.5 * stalled_A};
    const Complex fan = impedanceOf(partIn<CondenserFan>(input, "fan"));
    const Complex capacitor = impedanceOf(partIn<StartCapacitor>(input, "start"));
    const Complex auxiliary = capacitor + motor.auxiliary_ohm;
    const Complex main = relay.coil_ohm + motor.main_ohm;
    const Rewiring rewiring = leading("fan.A", "relay.S");

    const FoundStart stalled = startAsFound(shaftHeld(input), rewiring);
    const double line_A = lineAmps(main, startContact_ohm + parallel(auxiliary, fan));
    EXPECT_TRUE(nearRel(*stalled.asFound.measured.lineRunning_A, line_A, steady_ratio));
    EXPECT_GT(std::abs(lineAmps(main, startContact_ohm + auxiliary) / line_A - 1),
              5 * steady_ratio);

    const FoundStart start = startAsFound(input, rewiring);
    const StartMeasurement& found = start.asFound.measured;
    EXPECT_TRUE(start.asFound.starts());
    EXPECT_EQ(*found.startContactAtEnd, 0);
    EXPECT_TRUE(nearRel(*found.lineRunning_A, *found.mainRunning_A, 1e-3));
    const double end_s = *found.end_s;
    const VoltsAsFound onFan = voltsAsFound(input, rewiring, {"relay.S", "fan.B"}, end_s);
    EXPECT_TRUE(nearRel(onFan.rms_V(end_s - 6 * cycle_s, end_s),
                        *found.startWindingRunning_V * std::abs(fan / (fan + capacitor)),
                        steady_ratio));
}

}  // namespace splitstart
