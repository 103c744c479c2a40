// The invented examples whose start circuit a timed or a centrifugal switch takes out: the one
// knows seconds and no speed, the other speed and no seconds.
#include <gtest/gtest.h>

#include <algorithm>

#include "system/check_run.h"

namespace splitstart
{

namespace
{

using Json = nlohmann::json;

// An arc carries the current on to its next zero, half a cycle at the most (60 Hz).
constexpr double halfCycle_s = 0.5 / 60;

void expectLeavesAtItsSeconds(const CheckRun& run, const std::string& timer)
{
    for (const Json& start : run.starts()) {
        const double label_s = stockNumber(timer, isEarly(start) ? "seconds-min" : "seconds-max");
        EXPECT_GE(quantity(start, "start_contact_opened_s"), label_s - 1e-3) << cornerOf(start);
        EXPECT_LE(quantity(start, "start_contact_opened_s"), label_s + halfCycle_s)
            << cornerOf(start);
        EXPECT_EQ(quantity(start, "start_contact_openings"), 1) << cornerOf(start);
        EXPECT_EQ(quantity(start, "start_contact_at_end"), 0) << cornerOf(start);
    }
}

TEST(SwitchCircuits, TimedResistanceStart)
{
    const CheckRun& run = checkExample("circuits/rsir-timed-switch.xml");
    expectFit(run);
    expectLeavesAtItsSeconds(run, "timer-fridge");
}

TEST(SwitchCircuits, TimedCapacitorStartWhoseCapacitorStandsIt)
{
    const std::string name = "circuits/csir-timed-switch.xml";
    const CheckRun& run = checkExample(name);
    expectFit(run);
    expectLeavesAtItsSeconds(run, "timer-cooler");
    double worst_V = 0;
    for (const Json& start : run.starts()) {
        // It is still in at full speed, where it sees far more than the line.
        EXPECT_GT(quantity(start, "start_contact_opened_s"), quantity(start, "time_to_speed_s"));
        worst_V = std::max(worst_V, quantity(start, "start_capacitor_worst_v"));
        const double fan_A = stockNumber("fan-shop", "amps") * lineRatio(start);
        const double more_A =
            quantity(start, "line_running_a") - quantity(start, "compressor_running_a");
        EXPECT_GT(more_A, 0.8 * fan_A) << cornerOf(start);
        EXPECT_LT(more_A, 1.01 * fan_A) << cornerOf(start);
    }
    EXPECT_GT(worst_V, stockNumber("start-161", "volts")) << "what an ordinary one is rated for";
    EXPECT_LT(worst_V, stockNumber("start-161-high", "volts"));
}

// A fixed time is too long where the motor is quick: the start capacitor is in at full speed at
// high line. The motor has nothing to do with it.
void expectOnlyTheCapacitorToSuffer(const std::string& name, const std::string& capacitor)
{
    const CheckRun& run = checkExample(name);
    EXPECT_EQ(run.status, 1);
    expectComesUpEverywhere(run);
    expectLeavesAtItsSeconds(run, "timer-room");
    EXPECT_EQ(run.verdictOf("motor-starts"), "pass");
    EXPECT_EQ(run.verdictOf("start-capacitor-volts"), "fail");
    EXPECT_EQ(run.withVerdict("undecided"), std::set<std::string>{});
    for (const std::string& id : run.withVerdict("fail")) {
        EXPECT_TRUE(id == "start-capacitor-volts" || id == "bleed-resistor-watts" ||
                    id == "start-switch-contact-volts")
            << id << " does not come from the capacitor's volts";
    }
    const double rated_V = stockNumber(capacitor, "volts");
    EXPECT_GT(run.finding("start-capacitor-volts")["value"].get<double>(), rated_V);
    for (const Json& start : run.starts()) {
        if (lineRatio(start) > 1.05) {
            EXPECT_GT(quantity(start, "start_capacitor_worst_v"), rated_V) << cornerOf(start);
            EXPECT_GT(quantity(start, "start_contact_opened_s"),
                      1.2 * quantity(start, "time_to_speed_s"))
                << cornerOf(start);
        }
        EXPECT_GT(quantity(start, "run_capacitor_running_v"), openCircuitVolts(name, start));
    }
}

TEST(SwitchCircuits, TimedStartWithRunCapacitorOutstaysItsCapacitor)
{
    expectOnlyTheCapacitorToSuffer("circuits/cscr-timed-switch.xml", "start-130");
}

TEST(SwitchCircuits, TimedTwoWireAssistOutstaysItsCapacitor)
{
    expectOnlyTheCapacitorToSuffer("circuits/psc-two-wire-timed-assist.xml", "start-43");
}

// The switch knows nothing but the shaft: the same speed at any volts and any temperature.
void expectLeavesAtItsSpeed(const std::string& name)
{
    const CheckRun& run = checkExample(name);
    expectFit(run);
    const double synchronous_rpm = 120 * exampleNumber(name, "//supply/@hertz") /
                                   exampleNumber(name, "/case/compressor/@poles");
    for (const Json& start : run.starts()) {
        const double label_rpm =
            stockNumber("shaft-switch", isEarly(start) ? "opens-rpm-min" : "opens-rpm-max");
        EXPECT_NEAR(quantity(start, "speed_at_opening_ratio") * synchronous_rpm / label_rpm, 1,
                    0.005)
            << cornerOf(start);
        EXPECT_EQ(quantity(start, "start_contact_made_s"), 0) << "made at rest";
        EXPECT_LT(quantity(start, "start_contact_opened_s"), quantity(start, "time_to_speed_s"));
    }
    expectLeavesOnce(run, 0.60, 0.80);
}

TEST(SwitchCircuits, CentrifugalCapacitorStart)
{
    expectLeavesAtItsSpeed("circuits/csir-centrifugal-switch.xml");
}

TEST(SwitchCircuits, CentrifugalResistanceStart)
{
    expectLeavesAtItsSpeed("circuits/rsir-centrifugal-switch.xml");
}

}  // namespace

}  // namespace splitstart
