// What a stalled compressor draws from the line, by the pins that its wires have landed on:
// simulated as found wired, against circuit theory (as_found.h).
#include <gtest/gtest.h>

#include <cmath>
#include <complex>
#include <vector>

#include "physics/as_found.h"
#include "physics/near.h"

namespace splitstart
{

namespace
{

constexpr double line_V = 230;

// Line amps of a stalled compressor by where its wires have landed, lowest group first. Such groups
// are used as a rule of thumb, with a start capacitor, in shares of the locked-rotor amps of the
// right wiring: 0.3 to 0.4, 0.5 to 0.6, about 1, more than 1.3 (common practice, no source).
enum class Group { inSeries, startWindingOnLine, runWindingOnLine, bothStraightOnLine };

struct Landing {
    const char* what;
    Rewiring rewiring;
    Complex motor_ohm;
    Group group;
};

void withoutStartWire(Circuit& circuit)
{
    const Terminal start{"compressor", "S"};
    std::erase_if(circuit.wires,
                  [&](const Wire& wire) { return wire.from == start || wire.to == start; });
}

// `ahead_ohm`: what stands between the line and the start winding of the right wiring.
std::vector<Landing> landings(const StalledMotor& motor, Complex ahead_ohm)
{
    const Complex main = motor.main_ohm;
    const Complex auxiliary = motor.auxiliary_ohm;
    return {
        {"C and S exchanged", landedOnPins({"S", "C", "R"}), auxiliary + parallel(main, ahead_ohm),
         Group::inSeries},
        {"C on R, S on C, R on S", landedOnPins({"R", "C", "S"}),
         main + parallel(auxiliary, ahead_ohm), Group::inSeries},
        {"C on S, S on R, R on C", landedOnPins({"S", "R", "C"}), auxiliary,
         Group::startWindingOnLine},
        {"S and R exchanged", landedOnPins({"C", "R", "S"}), parallel(auxiliary, main + ahead_ohm),
         Group::startWindingOnLine},
        {"C and R exchanged", landedOnPins({"R", "S", "C"}), main, Group::runWindingOnLine},
        {"S without its wire", withoutStartWire, main, Group::runWindingOnLine},
        {"S on the line", leading("compressor.S", "compressor.R"), parallel(main, auxiliary),
         Group::bothStraightOnLine},
    };
}

// Groups apart by a twentieth at the least, each landing as computed. The starts, in their order.
std::vector<FoundStart> expectGroups(const Case& input, const std::vector<Landing>& all,
                                     Complex right_ohm, double volts)
{
    std::vector<FoundStart> starts;
    for (const Landing& landing : all) {
        SCOPED_TRACE(landing.what);
        for (const Landing& other : all) {
            if (other.group > landing.group) {
                EXPECT_LT(1.05 / std::abs(landing.motor_ohm), 1 / std::abs(other.motor_ohm))
                    << other.what;
            }
        }
        const FoundStart& start = starts.emplace_back(startAsFound(input, landing.rewiring));
        const double found_A = *start.asFound.measured.lineRunning_A;
        const double right_A = *start.asItShouldBe.measured.lineRunning_A;
        EXPECT_TRUE(nearRel(right_A, volts / std::abs(feed_ohm + right_ohm), steady_ratio));
        EXPECT_TRUE(nearRel(found_A, volts / std::abs(feed_ohm + landing.motor_ohm), steady_ratio));
    }
    return starts;
}

}  // namespace

TEST(FoundLanding, StalledAmpsTellTheLandingWithStartAndRunCapacitor)
{
    const Case input = shaftHeld(
        stiffCase("capacitor start, capacitor run, with potential relay", coldStoreMotor()));
    const StalledMotor motor(*input.compressor.equivalentCircuit);
    const Complex ahead =
        parallel(startContact_ohm + impedanceOf(partIn<StartCapacitor>(input, "start")),
                 impedanceOf(partIn<RunCapacitor>(input, "run")));
    const Complex main = motor.main_ohm;
    const Complex auxiliary = motor.auxiliary_ohm;
    const std::vector<FoundStart> starts =
        expectGroups(input, landings(motor, ahead), parallel(main, auxiliary + ahead), line_V);
    // The coil's share of the line's volts while the contact is made. It has the whole line where
    // the loop of both capacitors carries nothing or ends on no winding; opened, the contact makes
    // no difference to the amps there.
    const std::vector<Complex> coilShare = {
        auxiliary / (auxiliary + parallel(main, ahead)),
        main / (main + parallel(auxiliary, ahead)),
        1,
        main / (main + ahead),
        1,
        1,
        1,
    };
    const double pickUp_V = partIn<PotentialRelay>(input, "potential").pickUp_V.middle();
    ASSERT_EQ(starts.size(), coilShare.size());
    for (std::size_t i = 0; i < starts.size(); ++i) {
        EXPECT_EQ(*starts[i].asFound.measured.startContactAtEnd,
                  line_V * std::abs(coilShare[i]) > pickUp_V ? 0 : 1)
            << i;
    }
}

TEST(FoundLanding, StalledAmpsTellTheLandingWithAStartCapacitor)
{
    const Case input = shaftHeld(stiffCase(
        "capacitor start, induction run, with centrifugal switch (open motor)", coldStoreMotor()));
    const StalledMotor motor(*input.compressor.equivalentCircuit);
    const Complex ahead = startContact_ohm + impedanceOf(partIn<StartCapacitor>(input, "start"));
    expectGroups(input, landings(motor, ahead),
                 parallel(motor.main_ohm, motor.auxiliary_ohm + ahead), line_V);
}

// With a closed switch in place of a capacitor both windings are straight on the line when all is
// right, and one that does not have the line is shorted by the switch, where it carries nothing.
// The shares of the other two circuits do not hold: it is 0.65 with the run winding on the line and
// 0.36 with the start winding.
TEST(FoundLanding, StalledAmpsTellTheLandingInAResistanceStart)
{
    constexpr double shop_V = 115;
    Case input =
        shaftHeld(stiffCase("resistance start, induction run, with centrifugal switch (open motor)",
                            bottleCoolerMotor()));
    input.supply.voltage_V = shop_V;
    input.compressor.nameplate.voltage_V = shop_V;
    const StalledMotor motor(*input.compressor.equivalentCircuit);
    std::vector<Landing> all = landings(motor, startContact_ohm);
    for (Landing& landing : all) {
        const double ohm = std::abs(landing.motor_ohm);
        const auto isNear = [&](Complex other) { return nearRel(ohm, std::abs(other), 0.005); };
        landing.group = isNear(motor.auxiliary_ohm) ? Group::startWindingOnLine
                        : isNear(motor.main_ohm)    ? Group::runWindingOnLine
                                                    : Group::bothStraightOnLine;
    }
    const std::vector<FoundStart> starts = expectGroups(
        input, all, parallel(motor.main_ohm, motor.auxiliary_ohm + startContact_ohm), shop_V);
    // S and R exchanged is the same circuit, but for the winding that has the contact's 20 mohm.
    constexpr std::size_t exchanged = 3;
    EXPECT_TRUE(nearRel(*starts[exchanged].asFound.measured.lineRunning_A,
                        *starts[exchanged].asItShouldBe.measured.lineRunning_A, 1e-3));
}

}  // namespace splitstart
