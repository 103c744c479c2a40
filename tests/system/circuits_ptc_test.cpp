// The invented examples that start through a PTC: its own heat takes the start current away, never
// quite, and it has to cool before it can start the motor again.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "system/check_run.h"
#include "system/program.h"

namespace splitstart
{

namespace
{

using Json = nlohmann::json;

constexpr double reference_degC = 120;  // the default of a PTC whose label says nothing

void expectPtcStart(const CheckRun& run, double least_degC)
{
    expectFit(run);
    expectLeavesOnce(run, 0.60, 1.02);
    for (const Json& start : run.starts()) {
        EXPECT_LT(quantity(start, "ptc_at_start_degc"), reference_degC);
        EXPECT_GT(quantity(start, "ptc_hottest_degc"), reference_degC);
        EXPECT_GT(quantity(start, "ptc_hottest_degc"), least_degC);
        EXPECT_EQ(quantity(start, "start_contact_made_s"), 0);
        // Common practice, no source: 0.3 to 1 s, 3 s at the most.
        EXPECT_LT(quantity(start, "start_contact_opened_s"), 3) << cornerOf(start);
    }
    ASSERT_FALSE(run.restarts().empty());
    for (const Json& start : run.restarts()) {
        // Cooled, but warmer than the air, and the motor comes up through it.
        EXPECT_LT(quantity(start, "ptc_at_start_degc"), reference_degC);
        EXPECT_GT(quantity(start, "ptc_at_start_degc"), 25);
        EXPECT_GT(quantity(start, "speed_at_end_ratio"), 0.9);
        EXPECT_EQ(quantity(start, "start_contact_openings"), 1);
    }
}

// A hot pill passes watts over volts: a small share of what it let through cold.
void expectStartCurrentNearlyGone(const CheckRun& run, const std::string& name, bool beside)
{
    for (const Json& start : run.starts()) {
        // Beside a run capacitor it has that one's volts. Between R and S alone, at least the
        // difference of the two windings' volts, less what the supply has lost.
        const double least_V = beside ? quantity(start, "run_capacitor_running_v")
                                      : 0.97 * openCircuitVolts(name, start) -
                                            quantity(start, "start_winding_running_v");
        const double hot_A = quantity(start, "ptc_running_w") / least_V;
        EXPECT_LT(hot_A, 0.1 * quantity(start, "contact_current_a")) << cornerOf(start);
        if (!beside) {
            EXPECT_NEAR(quantity(start, "compressor_running_a"), quantity(start, "main_running_a"),
                        1.02 * hot_A)
                << cornerOf(start);
        }
    }
}

void expectRunCapacitorAboveLine(const CheckRun& run, const std::string& name)
{
    for (const Json& start : run.starts()) {
        EXPECT_GT(quantity(start, "run_capacitor_running_v"), 1.15 * openCircuitVolts(name, start))
            << cornerOf(start);
    }
}

TEST(PtcCircuits, ResistanceStart)
{
    const std::string name = "circuits/rsir-ptc.xml";
    const CheckRun& run = checkExample(name);
    expectPtcStart(run, 140);
    expectStartCurrentNearlyGone(run, name, false);
}

TEST(PtcCircuits, ResistanceStartWithRunCapacitor)
{
    const std::string name = "circuits/rscr-ptc.xml";
    const CheckRun& run = checkExample(name);
    expectPtcStart(run, 140);
    expectStartCurrentNearlyGone(run, name, true);
    expectRunCapacitorAboveLine(run, name);
}

TEST(PtcCircuits, AcrossTheRunCapacitor)
{
    const std::string name = "circuits/psc-ptc.xml";
    const CheckRun& run = checkExample(name);
    expectPtcStart(run, 140);
    expectStartCurrentNearlyGone(run, name, true);
    expectRunCapacitorAboveLine(run, name);
}

TEST(PtcCircuits, WithAStartCapacitorAcrossTheRunCapacitor)
{
    const std::string name = "circuits/psc-ptc-start-capacitor.xml";
    const CheckRun& run = checkExample(name);
    expectPtcStart(run, 140);
    expectStartCurrentNearlyGone(run, name, true);
    expectRunCapacitorAboveLine(run, name);
}

// The deck runs on for as long as one likes: the pill settles where it gives off what its label
// says, and what is left of the start current is those watts over the volts across it.
TEST(PtcCircuits, SettlesAtItsLabelsWatts)
{
    const ScratchFolder folder;
    const std::string deck = (folder.path() / "long.cir").string();
    const Outcome written =
        splitstartRun({"netlist", example("circuits/rsir-ptc.xml"), "--seconds", "25", "-o", deck});
    ASSERT_EQ(written.status, 0) << written.err;
    std::string text = fileText(deck);
    const std::string end = "\nquit 0\n";
    ASSERT_NE(text.find(end), std::string::npos);
    text.replace(text.find(end), end.size(),
                 "\nlet pill_v = v(pin_r)-v(pin_s)\nlet pill_w = pill_v*i(v.xptc.vptc)\n"
                 "meas tran settled_w avg pill_w from=24.5 to=25\n"
                 "meas tran settled_v rms pill_v from=24.5 to=25\n"
                 "meas tran settled_a rms auxiliary_a from=24.5 to=25\n"
                 "meas tran cold_a rms auxiliary_a from=0.0166666 to=0.0333333\n" +
                     end);
    std::map<std::string, double> stock = stockQuantities(folder.write("long.cir", text));
    const double label_W = stockNumber("ptc-fridge", "running-watts");
    EXPECT_NEAR(stock["settled_w"] / label_W, 1, 0.10);
    EXPECT_NEAR(stock["settled_a"] / (stock["settled_w"] / stock["settled_v"]), 1, 0.02);
    EXPECT_LT(stock["settled_a"], 0.02 * stock["cold_a"]);
    EXPECT_GT(stock["speed_at_end_ratio"], 0.9);
}

}  // namespace

}  // namespace splitstart
