// What flows while the thermostat is open: nothing, or, where the run capacitor stays on the line,
// a heating current through the start winding. Permanent split capacitors with and without it.
#include <gtest/gtest.h>

#include <array>

#include "system/check_run.h"

namespace splitstart
{

namespace
{

using Json = nlohmann::json;

double largestRunCapacitor_uF(const std::string& id)
{
    return stockNumber(id, "microfarads") * (1 + stockNumber(id, "tolerance-percent") / 100);
}

// A permanent split capacitor has nothing that leaves; its capacitor sees more than the line.
void expectPermanentCapacitor(const CheckRun& run, const std::string& name)
{
    for (const Json& start : run.starts()) {
        EXPECT_FALSE(hasQuantity(start, "start_contact_openings")) << cornerOf(start);
        EXPECT_FALSE(hasQuantity(start, "start_capacitor_worst_v")) << cornerOf(start);
        EXPECT_GT(quantity(start, "run_capacitor_running_v"), 1.15 * openCircuitVolts(name, start))
            << cornerOf(start);
    }
}

TEST(OffTime, PermanentCapacitorWithFanTakesNothing)
{
    const std::string name = "circuits/psc.xml";
    const CheckRun& run = checkExample(name);
    expectFit(run);
    expectPermanentCapacitor(run, name);
    EXPECT_TRUE(run.json["measurements"]["off_time"].is_null());
    EXPECT_EQ(run.verdictOf("crankcase-heat-watts"), "none");
    const double fan_A = stockNumber("fan-5", "amps");
    for (const Json& start : run.starts()) {
        const double more_A =
            quantity(start, "line_running_a") - quantity(start, "compressor_running_a");
        EXPECT_GT(more_A, 0.7 * fan_A) << cornerOf(start);
        EXPECT_LT(more_A, 1.3 * fan_A) << cornerOf(start);
    }
}

// One loop: source, capacitor, start winding at rest.
TEST(OffTime, PermanentCapacitorHeatsThroughTheStartWinding)
{
    const std::string name = "circuits/psc-crankcase-heat.xml";
    const CheckRun& run = checkExample(name);
    expectFit(run);
    expectPermanentCapacitor(run, name);
    const Json& off = run.json["measurements"]["off_time"];
    ASSERT_TRUE(off.is_object());
    const double line_V = exampleNumber(name, "//supply/@volts");
    const Impedance winding = windingsAtRest(name, 25).auxiliary_ohm;
    const Impedance loop = winding + sourceImpedance(name) +
                           capacitorImpedance(largestRunCapacitor_uF("run-40"),
                                              exampleNumber(name, "//supply/@hertz"));
    const double loop_A = line_V / std::abs(loop);
    EXPECT_NEAR(off["auxiliary_a"].get<double>() / loop_A, 1, 0.01);
    // The heat is that of the winding and its rotor; a capacitor's own loss is small.
    EXPECT_NEAR(off["line_w"].get<double>() / (loop_A * loop_A * winding.real()), 1, 0.04);
    // The open switch takes the run winding off the line.
    EXPECT_LT(off["main_a"].get<double>(), 0.01);
    EXPECT_EQ(run.verdictOf("crankcase-heat-watts"), "pass");
}

// At rest the relay's contact is made, so the start capacitor and the run winding lie beside the
// start winding.
TEST(OffTime, CapacitorStartAndRunHeatsBothWindings)
{
    const std::string name = "circuits/cscr-crankcase-heat.xml";
    const Json& off = checkExample(name).json["measurements"]["off_time"];
    ASSERT_TRUE(off.is_object());
    const double hertz = exampleNumber(name, "//supply/@hertz");
    const WindingsAtRest windings = windingsAtRest(name, 25);
    // An electrolytic's loss is felt here: 6 % of its reactance where its label does not say.
    const Impedance startCapacitor =
        capacitorImpedance(stockNumber("start-130", "microfarads-max"), hertz) * Impedance(1, 0.06);
    const Impedance beside = windings.main_ohm + startCapacitor;
    const Impedance both = inParallel(windings.auxiliary_ohm, beside);
    const Impedance line_A = exampleNumber(name, "//supply/@volts") /
                             (both + sourceImpedance(name) +
                              capacitorImpedance(largestRunCapacitor_uF("run-40"), hertz));
    const Impedance start_V = line_A * both;
    EXPECT_NEAR(off["auxiliary_a"].get<double>() / std::abs(start_V / windings.auxiliary_ohm), 1,
                0.02);
    EXPECT_NEAR(off["main_a"].get<double>() / std::abs(start_V / beside), 1, 0.03);
}

}  // namespace

}  // namespace splitstart
