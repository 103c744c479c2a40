// contact.lib, potential_relay.lib and current_relay.lib in stock ngspice, against closed forms.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "physics/near.h"
#include "spice/stock_ngspice.h"

namespace splitstart
{
namespace
{

constexpr double line_Hz = 60;
constexpr double omega_rad_s = 2 * std::numbers::pi * line_Hz;
constexpr double halfPeriod_s = 0.5 / line_Hz;
// By how much the relays' rms magnitude follows a slowly changing sine later than it changes:
// half the time constant of the low-pass that makes the quadrature.
constexpr double magnitudeLag_s = 0.5 / omega_rad_s;

// A sine between two nodes whose rms value follows a PWL list. It begins at 45 degrees, where the
// quadrature low-pass is in its steady state at once.
std::string shapedSine(const std::string& nodes, const std::string& what, const std::string& rms)
{
    return fmt::format(
        "vshape shape 0 pwl({})\nbshape {} {}=1.4142135623731*v(shape)*sin({}*time+{})\n", rms,
        nodes, what, omega_rad_s, std::numbers::pi / 4);
}

// 120 V on 20 ohm and 60 mH between the nodes `feed` and `inner`; the contact closes the circuit.
constexpr double feedPeak_V = 120 * std::numbers::sqrt2;
std::string inductiveLoad(const std::string& from, const std::string& to)
{
    return fmt::format(
        "vfeed feed {} sin(0 {} {})\nrload feed inner 20\nlload inner {} 60e-3 ic=0\n", from,
        feedPeak_V, line_Hz, to);
}

// After the current zero nothing but the leakage flows; nothing is chopped, so that the recovery of
// contact and inductance stays below twice the line's peak, and is over after 2 ms.
void expectOpenSince(const stock::Waveforms& w, double zero_s, std::size_t current,
                     std::size_t contact_V, std::size_t inductance_V, double end_s)
{
    EXPECT_LT(w.highestMagnitude(current, zero_s + 2e-3, end_s), 1.1 * feedPeak_V / 1e6);
    EXPECT_LE(w.highestMagnitude(contact_V, zero_s, end_s), 2 * feedPeak_V);
    EXPECT_LE(w.highestMagnitude(inductance_V, zero_s, end_s), 2 * feedPeak_V);
    EXPECT_LE(w.highestMagnitude(contact_V, zero_s + 2e-3, end_s), 1.005 * feedPeak_V);
}

TEST(ContactModel, ChangesWhereTheDrivePassesItsTwoValues)
{
    // ngspice finds those values to 0.05 V, here 5e-5 of the ramp's height.
    const stock::Waveforms w = stock::transient(
        "vdrive drive 0 pwl(0 0 1 1000 2 0)\n"
        "xcontact in out drive contact threshold_v=500 hysteresis_v=200\n"
        "vin in 0 sin(0 1 1000)\nrout out 0 1\n",
        {"v(xcontact.order)"}, {.end_s = 2, .step_s = 1e-4});
    const std::vector<double> changes = w.crossings_s(0, 0.5);
    ASSERT_EQ(changes.size(), 2U);
    EXPECT_TRUE(nearRel(changes[0], 0.7, 1e-4));
    EXPECT_TRUE(nearRel(changes[1], 1.7, 1e-4));
}

TEST(ContactModel, ClosesToItsResistance)
{
    const stock::Waveforms w = stock::transient(
        "vin in 0 dc 10\nrin in a 1\nvdrive drive 0 pwl(0 0 1e-3 0 1.001e-3 1)\n"
        "xcontact a 0 drive contact on_ohms=0.05\n",
        {"v(a)"}, {.end_s = 2e-3, .step_s = 1e-5});
    EXPECT_TRUE(nearRel(w.at(0, 1e-3), 10, 1e-4));
    EXPECT_TRUE(nearRel(w.at(0, 2e-3), 10 * 0.05 / 1.05, 1e-3));
    EXPECT_LT(w.at(0, 1.101e-3), 0.6);  // within 0.1 ms of the order
}

TEST(ContactModel, CarriesAnInductiveLoadToTheCurrentZeroAndChopsNothing)
{
    const double lag_s = std::atan(omega_rad_s * 60e-3 / 20) / omega_rad_s;
    for (const double told_s : {0.2, 0.203, 0.206}) {
        SCOPED_TRACE(told_s);
        const stock::Waveforms w = stock::transient(
            inductiveLoad("0", "hot") + fmt::format("xcontact hot 0 drive contact off_ohms=1e6\n"
                                                    "vdrive drive 0 pwl(0 1 {} 1 {} 0)\n",
                                                    told_s, told_s + 1e-9),
            {"i(v.xcontact.vcontact)", "v(hot)", "v(inner,hot)"}, {.end_s = 0.25, .step_s = 1e-4});
        // Current zeros at lag + k half periods; the first after the order to open.
        const double zero_s = lag_s + std::ceil((told_s - lag_s) / halfPeriod_s) * halfPeriod_s;
        // The volts that the arc takes bring the zero forward a little.
        const double opened_s = w.crossing_s(0, 0, told_s);
        EXPECT_LE(opened_s, zero_s + 1e-5);
        EXPECT_GE(opened_s, zero_s - 0.05 * halfPeriod_s);
        expectOpenSince(w, opened_s, 0, 1, 2, 0.25);
    }
}

TEST(ContactModel, MayBeDrivenByAJumpWithoutABreakpoint)
{
    // u(): nothing tells ngspice beforehand that the drive will jump.
    const stock::Waveforms w = stock::transient(
        inductiveLoad("0", "hot") +
            "xcontact hot 0 drive contact\nbdrive drive 0 v=u(0.2032-time)\n",
        {"i(v.xcontact.vcontact)", "v(hot)", "v(inner,hot)"}, {.end_s = 0.25, .step_s = 1e-4});
    const double zero_s = w.crossing_s(0, 0, 0.2033);
    EXPECT_LE(zero_s - 0.2033, halfPeriod_s);
    expectOpenSince(w, zero_s, 0, 1, 2, 0.25);
}

struct PotentialRelay {
    double pickUp_V = 290;
    double dropOut_V = 110;
    double operate_s = 0.01;
    double release_s = 0.02;
    int override_ = 0;

    // Coil across t2 and 0.
    [[nodiscard]] std::string card() const
    {
        return fmt::format(
            "xrelay t1 t2 0 coil closed potential_relay pick_up_v={} drop_out_v={} operate_s={}"
            " release_s={} contact_override={}\n",
            pickUp_V, dropOut_V, operate_s, release_s, override_);
    }
};

const std::string resistiveContact = "vfeed feed t2 sin(0 10 60)\nrload feed t1 10\n";

TEST(PotentialRelayModel, PicksUpAndDropsOutAtItsRatedVolts)
{
    const PotentialRelay relay;
    const stock::Waveforms w = stock::transient(
        shapedSine("t2 0", "v", "0 200 5 400 10 0") + resistiveContact + relay.card(),
        {"v(closed)", "v(shape)"}, {.end_s = 10, .step_s = 2e-4});
    const double opened_s = w.crossing_s(0, 0.5);
    const double closed_s = w.crossing_s(0, 0.5, opened_s + 1e-3);
    EXPECT_TRUE(nearRel(w.at(1, opened_s), relay.pickUp_V, 0.01));
    EXPECT_TRUE(nearRel(w.at(1, closed_s), relay.dropOut_V, 0.02));
    // And, the lags of 40 V/s and 80 V/s taken off, closer.
    EXPECT_TRUE(
        nearRel(w.at(1, opened_s - relay.operate_s - magnitudeLag_s), relay.pickUp_V, 2e-3));
    EXPECT_TRUE(
        nearRel(w.at(1, closed_s - relay.release_s - magnitudeLag_s), relay.dropOut_V, 2e-3));
}

TEST(PotentialRelayModel, OperatesAndReleasesWithItsTimeConstants)
{
    const PotentialRelay relay;
    // 400 V at once; then down to 40 V in a time that is nothing to the armature.
    const stock::Waveforms w = stock::transient(
        shapedSine("t2 0", "v", "0 400 0.2 400 0.2001 40") + resistiveContact + relay.card(),
        {"v(closed)", "v(coil)"}, {.end_s = 0.4, .step_s = 1e-4});
    const double opened_s = w.crossing_s(0, 0.5);
    EXPECT_TRUE(nearRel(opened_s, -relay.operate_s * std::log(1 - relay.pickUp_V / 400), 0.005));
    const double closed_s = w.crossing_s(0, 0.5, opened_s + 1e-3);
    const double lag_s = relay.release_s * std::log((400 - 40) / (relay.dropOut_V - 40));
    // How the magnitude gets over the sudden change depends on where in the period it comes: within
    // the quadrature's own time constant.
    EXPECT_TRUE(nearOfScale(closed_s - 0.2, lag_s, 1 / omega_rad_s, 1));
}

TEST(PotentialRelayModel, CoilVoltsIsTheRmsValueWithoutRipple)
{
    for (const double line : {50.0, 60.0}) {
        const stock::Waveforms w = stock::transient(
            fmt::format("vcoil t2 0 sin(0 {} {})\nxrelay t1 t2 0 coil closed potential_relay"
                        " line_hz={} pick_up_v=500\n",
                        200 * std::numbers::sqrt2, line, line) +
                resistiveContact,
            {"v(coil)"}, {.end_s = 0.2, .step_s = 1e-4});
        const auto& volts = w.values[0];
        for (std::size_t i = 0; i < volts.size(); ++i) {
            if (w.time_s[i] > 0.15) {
                ASSERT_TRUE(nearRel(volts[i], 200, 0.005)) << w.time_s[i];
            }
        }
    }
}

TEST(PotentialRelayModel, OpensAnInductiveLoadAtItsCurrentZero)
{
    const stock::Waveforms w =
        stock::transient(shapedSine("t2 0", "v", "0 0 0.2 0 0.3 400") + inductiveLoad("t2", "t1") +
                             PotentialRelay{}.card(),
                         {"v(closed)", "i(v.xrelay.xcontact.vcontact)", "v(t1,t2)", "v(inner,t1)"},
                         {.end_s = 0.4, .step_s = 1e-4});
    const double released_s = w.crossing_s(0, 0.5);
    const double zero_s = w.crossing_s(1, 0, released_s);
    EXPECT_LE(zero_s - released_s, halfPeriod_s);
    expectOpenSince(w, zero_s, 1, 2, 3, 0.4);
}

TEST(PotentialRelayModel, OverrideHoldsTheContactInEveryAnalysis)
{
    for (const int position : {1, -1}) {
        SCOPED_TRACE(position);
        PotentialRelay relay;
        relay.override_ = position;
        const std::string circuit = relay.card() +
                                    "vfeed feed t2 dc 1 ac 1 sin(1 1 60)\n"
                                    "rload feed t1 9.98\n";
        const double expected_A = position > 0 ? 0.1 : 1e-6;  // 10 ohm closed, 1 Mohm open
        const std::string contact_A = "i(v.xrelay.xcontact.vcontact)";
        const auto still =
            stock::operatingPoint(circuit + "vcoil t2 0 dc 0\n", {contact_A, "v(closed)"});
        EXPECT_TRUE(nearRel(still[0], expected_A, 1e-3));
        EXPECT_TRUE(nearOfScale(still[1], position > 0 ? 1 : 0, 1, 1e-5));
        const auto phasor = stock::alternating(circuit + "vcoil t2 0 dc 0\n", {contact_A}, line_Hz);
        EXPECT_TRUE(nearRel(phasor[0].real(), expected_A, 1e-3));
        // Against what the coil would do: no volts for the open one, plenty for the closed one.
        const stock::Waveforms w = stock::transient(
            circuit + fmt::format("vcoil t2 0 sin(0 {} 60)\n", position > 0 ? 600 : 1),
            {contact_A, "v(closed)"}, {.end_s = 0.1, .step_s = 1e-4});
        EXPECT_TRUE(nearRel(w.highestMagnitude(0, 0.05, 0.1), 2 * expected_A, 1e-3));
        EXPECT_TRUE(nearOfScale(w.mean(1, 0.05, 0.1), position > 0 ? 1 : 0, 1, 1e-5));
    }
}

// A coil fed through its own contact: opening takes its volts away, so it closes again.
TEST(PotentialRelayModel, ChattersToTheEndOfTheRun)
{
    PotentialRelay relay;
    relay.pickUp_V = 200;
    relay.dropOut_V = 100;
    constexpr double line_V = 300;
    constexpr double end_s = 2;
    const stock::Waveforms w = stock::transient(
        fmt::format("vline t1 0 sin(0 {} 60)\nrload t2 0 500\n", line_V * std::numbers::sqrt2) +
            relay.card(),
        {"v(closed)", "v(coil)"}, {.end_s = end_s, .step_s = 1e-4});
    const std::vector<double> changes = w.crossings_s(0, 0.5);
    // A cycle: rise from drop-out to pick-up towards the line, up to half a period of arc (a little
    // more rise), fall from there towards nothing.
    const double rise_s =
        relay.operate_s * std::log((line_V - relay.dropOut_V) / (line_V - relay.pickUp_V));
    const double shortest_s = rise_s + relay.release_s * std::log(relay.pickUp_V / relay.dropOut_V);
    const double longest_s = rise_s + halfPeriod_s +
                             relay.release_s * std::log(line_V / relay.dropOut_V) +
                             4 * magnitudeLag_s;
    const double cycles = 0.5 * static_cast<double>(changes.size());
    EXPECT_GE(cycles, end_s / longest_s - 1);
    EXPECT_LE(cycles, end_s / shortest_s + 1);
}

// In a start circuit: the volts fall at the opening to below a drop-out that is too high.
TEST(PotentialRelayModel, ChattersInAMotorCircuitToTheEndOfTheRun)
{
    const stock::Waveforms w = stock::transient(
        "xsupply line 0 supply rms_v=110 source_ohms=0.2 source_h=1e-4\n"
        "xmotor 0 s line speed torque load split_phase_motor initial_speed_rad_s=120\n"
        "vload load 0 dc 0\n"
        "xcap line t1 ac_capacitor farads=180e-6 series_ohms=3 bleed_ohms=15e3\n"
        "xrelay t1 s 0 coil closed potential_relay pick_up_v=140 drop_out_v=135\n",
        {"v(closed)"}, {.end_s = 1, .step_s = 1e-4});
    EXPECT_GE(w.crossings_s(0, 0.5).size(), 6U);
}

struct CurrentRelay {
    double pullIn_A = 16;
    double dropOut_A = 12;
    double operate_s = 0.01;
    double release_s = 0.02;
    int override_ = 0;

    // Coil from `coil` to 0, contact from `contact` to 0.
    [[nodiscard]] std::string card() const
    {
        return fmt::format(
            "xrelay coil 0 contact 0 amps closed current_relay pull_in_a={} drop_out_a={}"
            " coil_ohms=0.05 operate_s={} release_s={} contact_override={}\n",
            pullIn_A, dropOut_A, operate_s, release_s, override_);
    }
};

TEST(CurrentRelayModel, PullsInAndDropsOutAtItsRatedAmps)
{
    const CurrentRelay relay;
    const stock::Waveforms w = stock::transient(
        shapedSine("0 coil", "i", "0 10 5 20 10 0") + inductiveLoad("0", "contact") + relay.card(),
        {"v(closed)", "v(shape)"}, {.end_s = 10, .step_s = 2e-4});
    const double closed_s = w.crossing_s(0, 0.5);
    const double opened_s = w.crossing_s(0, 0.5, closed_s + 1e-3);
    EXPECT_TRUE(nearRel(w.at(1, closed_s), relay.pullIn_A, 0.01));
    EXPECT_TRUE(nearRel(w.at(1, opened_s), relay.dropOut_A, 0.01));
    EXPECT_TRUE(
        nearRel(w.at(1, closed_s - relay.operate_s - magnitudeLag_s), relay.pullIn_A, 2e-3));
    EXPECT_TRUE(
        nearRel(w.at(1, opened_s - relay.release_s - magnitudeLag_s), relay.dropOut_A, 2e-3));
}

TEST(CurrentRelayModel, OperatesWithItsTimeConstantAndWithoutRipple)
{
    const CurrentRelay relay;
    const stock::Waveforms w = stock::transient(
        shapedSine("0 coil", "i", "0 20") + inductiveLoad("0", "contact") + relay.card(),
        {"v(closed)", "v(amps)", "v(coil)"}, {.end_s = 0.2, .step_s = 1e-4});
    EXPECT_TRUE(
        nearRel(w.crossing_s(0, 0.5), -relay.operate_s * std::log(1 - relay.pullIn_A / 20), 0.005));
    for (std::size_t i = 0; i < w.time_s.size(); ++i) {
        if (w.time_s[i] > 0.15) {
            ASSERT_TRUE(nearRel(w.values[1][i], 20, 0.005)) << w.time_s[i];
        }
    }
    EXPECT_TRUE(nearRel(w.rms(2, 0.1, 0.2), 20 * 0.05, 0.002));  // Ohm's law for the coil
}

TEST(CurrentRelayModel, OpensAnInductiveLoadAtItsCurrentZero)
{
    const stock::Waveforms w = stock::transient(
        shapedSine("0 coil", "i", "0 20 0.2 20 0.3 0") + inductiveLoad("0", "contact") +
            CurrentRelay{}.card(),
        {"v(closed)", "i(v.xrelay.xcontact.vcontact)", "v(contact)", "v(inner,contact)"},
        {.end_s = 0.4, .step_s = 1e-4});
    const double made_s = w.crossing_s(0, 0.5);
    const double released_s = w.crossing_s(0, 0.5, made_s + 1e-3);
    EXPECT_GT(w.highestMagnitude(1, 0.1, released_s), 5);
    const double zero_s = w.crossing_s(1, 0, released_s);
    EXPECT_LE(zero_s - released_s, halfPeriod_s);
    expectOpenSince(w, zero_s, 1, 2, 3, 0.4);
}

TEST(CurrentRelayModel, OverrideHoldsTheContactInEveryAnalysis)
{
    for (const int position : {1, -1}) {
        SCOPED_TRACE(position);
        CurrentRelay relay;
        relay.override_ = position;
        const std::string circuit = relay.card() +
                                    "vfeed feed 0 dc 1 ac 1 sin(1 1 60)\n"
                                    "rload feed contact 9.98\n";
        const double expected_A = position > 0 ? 0.1 : 1e-6;
        const std::string contact_A = "i(v.xrelay.xcontact.vcontact)";
        const auto still =
            stock::operatingPoint(circuit + "icoil 0 coil dc 0\n", {contact_A, "v(closed)"});
        EXPECT_TRUE(nearRel(still[0], expected_A, 1e-3));
        EXPECT_TRUE(nearOfScale(still[1], position > 0 ? 1 : 0, 1, 1e-5));
        const auto phasor =
            stock::alternating(circuit + "icoil 0 coil dc 0\n", {contact_A}, line_Hz);
        EXPECT_TRUE(nearRel(phasor[0].real(), expected_A, 1e-3));
        const stock::Waveforms w = stock::transient(
            circuit + fmt::format("icoil 0 coil sin(0 {} 60)\n", position > 0 ? 1 : 60),
            {contact_A, "v(closed)"}, {.end_s = 0.1, .step_s = 1e-4});
        EXPECT_TRUE(nearRel(w.highestMagnitude(0, 0.05, 0.1), 2 * expected_A, 1e-3));
        EXPECT_TRUE(nearOfScale(w.mean(1, 0.05, 0.1), position > 0 ? 1 : 0, 1, 1e-5));
    }
}

// A contact that shorts its own coil: making takes its amps away, so it opens again.
TEST(CurrentRelayModel, ChattersToTheEndOfTheRun)
{
    CurrentRelay relay;
    const stock::Waveforms w =
        stock::transient(fmt::format("vline line 0 sin(0 {} 60)\nrline line coil 6\n"
                                     "rjoin coil contact 1e-3\n",
                                     120 * std::numbers::sqrt2) +
                             relay.card(),
                         {"v(closed)", "v(amps)"}, {.end_s = 2, .step_s = 1e-4});
    // 20 A into coil and contact: with the contact's 20 mohm beside the coil's 50 the coil keeps
    // about 6 A, below its drop-out.
    EXPECT_GE(w.crossings_s(0, 0.5).size(), 60U);
    EXPECT_LT(w.highestMagnitude(1, 0, 2), 20);
}

}  // namespace
}  // namespace splitstart
