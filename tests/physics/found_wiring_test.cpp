// A compressor with its three wires on the wrong pins, simulated as it is wired, against circuit
// theory (as_found.h).
#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <complex>

#include "physics/as_found.h"
#include "physics/near.h"

namespace splitstart
{

namespace
{

constexpr double line_V = 230;

Case capacitorMotor()
{
    return stiffCase("permanent split capacitor", coldStoreMotor());
}

FoundStart startWith(const Case& input, const std::array<const char*, 3>& pins)
{
    return startAsFound(input, landedOnPins(pins));
}

}  // namespace

TEST(FoundWiring, DrawsTheAmpsThatItsWindingsMakeAtStandstill)
{
    const Case input = capacitorMotor();
    const StalledMotor motor(*input.compressor.equivalentCircuit);
    const Complex main = motor.main_ohm;
    const Complex auxiliary = motor.auxiliary_ohm;
    const Complex capacitor = impedanceOf(partIn<RunCapacitor>(input, "run"));
    struct Landing {
        std::array<const char*, 3> pins;  // of the wires meant for C, S, R
        Complex impedance;                // between the lines
        // One winding on the line, the other only in a loop: one pulsating field, two equal
        // revolving ones, no torque at rest.
        bool standsStill = false;
    };
    const std::array<Landing, 5> landings = {{
        // S and R: the start winding straight on the line, the run winding behind the capacitor.
        {{"C", "R", "S"}, parallel(auxiliary, main + capacitor)},
        // C and R: the line on the run winding; capacitor and start winding only close a loop.
        {{"R", "S", "C"}, main, true},
        // C and S: both in series, the capacitor across the run winding.
        {{"S", "C", "R"}, auxiliary + parallel(main, capacitor)},
        // Rotated: the line on the start winding; the run winding looped by the capacitor.
        {{"S", "R", "C"}, auxiliary, true},
        // Rotated the other way: in series, the capacitor across the start winding.
        {{"R", "C", "S"}, main + parallel(auxiliary, capacitor)},
    }};
    for (const Landing& landing : landings) {
        const FoundStart start = startWith(input, landing.pins);
        SCOPED_TRACE(testing::Message() << landing.pins[0] << landing.pins[1] << landing.pins[2]);
        // In its second cycle the current still has some of the switching transient.
        EXPECT_TRUE(nearRel(*start.asFound.measured.lineStalled_A,
                            line_V / std::abs(landing.impedance), 0.08));
        if (landing.standsStill) {
            EXPECT_FALSE(start.asFound.starts());
            EXPECT_LT(std::abs(*start.asFound.measured.speedAtEnd_ratio), 0.02);
        }
    }
}

// With S and R exchanged the other winding lags: the field turns the other way round.
TEST(FoundWiring, TurnsBackwardsWithStartAndRunExchanged)
{
    Case input = capacitorMotor();
    input.compressor.load.torque_Nm = 0.3;
    partOf<RunCapacitor>(input, "run").capacitance_F = {95e-6, 105e-6};
    const FoundStart start = startWith(input, {"C", "R", "S"});
    EXPECT_TRUE(start.asItShouldBe.starts());
    EXPECT_FALSE(start.asFound.starts());
    EXPECT_TRUE(start.asFound.turnsBackwards()) << *start.asFound.measured.speedAtEnd_ratio;
    // A winding made for a start carries the line for as long as the power is on.
    ASSERT_TRUE(start.asFound.auxiliary.has_value());
    EXPECT_LT(start.asFound.auxiliary->thin_s, start.asFound.auxiliary->thick_s);
}

}  // namespace splitstart
