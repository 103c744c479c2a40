// What happens in the instant at which a start circuit leaves or comes back, against phasor algebra
// and against energy. Rules for a steady state miss all of it: the start winding's volts fall, the
// main current rises, and a capacitor that kept its charge empties itself into the contact.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "physics/deck.h"
#include "physics/near.h"
#include "physics/quarter_horsepower.h"
#include "physics/second_opinion.h"
#include "physics/waveform.h"

namespace splitstart
{

namespace
{

using book::SteadyState;

constexpr double line_Hz = 60;
constexpr double period_s = 1 / line_Hz;
constexpr double open_ohm = 1e9;
constexpr double end_s = 1.0;

// The motor of the physics tests, its shaft held, before and after the start circuit has left.
struct InAndOut {
    MotorCircuit circuit;
    SteadyState in;
    SteadyState out;
};

InAndOut heldAt(double speed_ratio)
{
    InAndOut held;
    held.circuit.machine = book::quarterHorsepower();
    const book::StartConditions conditions = book::quarterHorsepowerStart();
    held.circuit.source = conditions.source;
    held.circuit.heldSpeed_rad_s =
        speed_ratio * held.circuit.machine.synchronousSpeed_rad_s(line_Hz);
    held.in = book::steadyState(held.circuit.machine, conditions.source, conditions.branch,
                                *held.circuit.heldSpeed_rad_s);
    held.out = book::steadyState(held.circuit.machine, conditions.source, std::nullopt,
                                 *held.circuit.heldSpeed_rad_s);
    return held;
}

// The invented bottle cooler of examples/: its main current rises more at the opening.
constexpr book::CapacitorBranch bottleCoolerBranch{.capacitance_F = 160e-6, .resistance_ohm = 1};

InAndOut bottleCoolerHeldAt(double speed_ratio)
{
    constexpr double omega_rad_s = 2 * std::numbers::pi * line_Hz;
    InAndOut held;
    held.circuit.machine = {.mainResistance_ohm = 1.58,
                            .mainLeakage_H = 1.7 / omega_rad_s,
                            .mainMagnetizing_H = 48 / omega_rad_s,
                            .rotorMainResistance_ohm = 1.8,
                            .rotorMainLeakage_H = 1.7 / omega_rad_s,
                            .auxiliaryResistance_ohm = 6.4,
                            .auxiliaryLeakage_H = 2.4 / omega_rad_s,
                            .auxiliaryMagnetizing_H = 63.48 / omega_rad_s,
                            .rotorAuxiliaryResistance_ohm = 2.3805,
                            .rotorAuxiliaryLeakage_H = 2.2482 / omega_rad_s,
                            .turns_ratio = 1.15,
                            .polePairs = 1,
                            .inertia_kgm2 = 0.0009};
    held.circuit.source = {.rms_V = 115, .frequency_Hz = line_Hz, .resistance_ohm = 0.15};
    held.circuit.heldSpeed_rad_s =
        speed_ratio * held.circuit.machine.synchronousSpeed_rad_s(line_Hz);
    held.in = book::steadyState(held.circuit.machine, held.circuit.source, bottleCoolerBranch,
                                *held.circuit.heldSpeed_rad_s);
    held.out = book::steadyState(held.circuit.machine, held.circuit.source, std::nullopt,
                                 *held.circuit.heldSpeed_rad_s);
    return held;
}

std::string startCapacitorCard(const char* a, const char* b, const book::CapacitorBranch& branch)
{
    return fmt::format("xstart {} {} ac_capacitor farads={} series_ohms={} bleed_ohms=1e12\n", a, b,
                       branch.capacitance_F, branch.resistance_ohm);
}

// The circuit of deckOf() has the winding open; a relay and the start capacitor are added to it.
std::string potentialRelayCards(double pickUp_V, double dropOut_V)
{
    return modelText({"potential_relay"}) +
           startCapacitorCard("line", "behind", book::quarterHorsepowerStart().branch) +
           fmt::format(
               "xrelay behind aux 0 coil_volts closed potential_relay pick_up_v={} "
               "drop_out_v={} coil_ohms=1e6 coil_h=0 operate_s=0.05 release_s=0.01 "
               "open_ohms={}\n",
               pickUp_V, dropOut_V, open_ohm);
}

// From rest, where every current relay makes, to the held speed within a third of the run.
std::string currentRelayDeck(InAndOut held, double pullIn_A, double dropOut_A)
{
    // The main winding's lead goes through the coil: the motor stands behind it.
    const std::string before = "xmotor 0 aux line speed";
    const double speed_rad_s = *held.circuit.heldSpeed_rad_s;
    held.circuit.heldSpeed_rad_s.reset();
    std::string deck = deckOf(
        held.circuit, modelText({"current_relay"}) +
                          startCapacitorCard("line", "behind", bottleCoolerBranch) +
                          fmt::format("xrelay line run behind aux coil_amps "
                                      "closed current_relay pull_in_a={} "
                                      "drop_out_a={} coil_ohms=1e-4 "
                                      "open_ohms={}\n",
                                      pullIn_A, dropOut_A, open_ohm) +
                          fmt::format("vheld speed 0 pwl(0 0 0.15 0 0.3 {})\n", speed_rad_s) +
                          transientCard(end_s));
    const std::size_t at = deck.find(before);
    EXPECT_NE(at, std::string::npos);
    return deck.replace(at, before.size(), "xmotor 0 aux run speed");
}

int openings(const std::vector<double>& closed)
{
    int count = 0;
    for (std::size_t i = 1; i < closed.size(); ++i) {
        count += closed[i - 1] > 0.5 && closed[i] <= 0.5 ? 1 : 0;
    }
    return count;
}

// Rms over the period that ends at that time.
double rmsBefore(const std::vector<double>& time_s, const std::vector<double>& values, double at_s)
{
    std::vector<double> time;
    std::vector<double> part;
    for (std::size_t i = 0; i < time_s.size() && time_s[i] <= at_s; ++i) {
        time.push_back(time_s[i]);
        part.push_back(values[i]);
    }
    return MeanOverLastPeriod(time, period_s).rootSquare(part);
}

double firstFall(const std::vector<double>& time_s, const std::vector<double>& closed)
{
    for (std::size_t i = 1; i < closed.size(); ++i) {
        if (closed[i - 1] > 0.5 && closed[i] <= 0.5) {
            return time_s[i];
        }
    }
    return std::nan("");
}

class OpeningAtSpeed : public testing::TestWithParam<double>
{
};

// [Krause]: with the auxiliary winding open, only the rotor's cross field is left in it.
TEST_P(OpeningAtSpeed, StartWindingVoltsFallAsPhasorsSay)
{
    const InAndOut held = heldAt(GetParam());
    const double in_V = std::abs(held.in.auxiliary_V);
    const double out_V = std::abs(held.out.auxiliary_V);
    ASSERT_LT(out_V, 0.85 * in_V);
    // Slow enough to pick up that the volts before it are steady, held in by half of what is left.
    const Waveforms run = runTransient(
        deckOf(held.circuit, potentialRelayCards(0.97 * in_V, 0.5 * out_V) + transientCard(end_s)),
        {"aux", "closed"}, end_s);
    const std::vector<double>& volts = run.real[0];
    const std::vector<double>& closed = run.real[1];
    ASSERT_EQ(openings(closed), 1);
    const double opened_s = firstFall(run.time_s, closed);
    ASSERT_GT(opened_s, 0.1);
    const double before_V = rmsBefore(run.time_s, volts, opened_s);
    const double after_V = rmsBefore(run.time_s, volts, run.time_s.back());
    EXPECT_TRUE(nearRel(before_V, in_V, 0.01));
    EXPECT_TRUE(nearRel(after_V, out_V, 0.01));
    EXPECT_TRUE(nearRel(after_V / before_V, out_V / in_V, 0.015));
    // It falls at once, not with the speed: three cycles on, most of it is done.
    const double soon_V = rmsBefore(run.time_s, volts, opened_s + 3 * period_s);
    EXPECT_LT(soon_V, 0.5 * (in_V + out_V));
}

// The threshold of chatter is the volts that are left, not those at which it opened.
TEST_P(OpeningAtSpeed, RelayChattersIfItsDropOutLiesAboveWhatIsLeft)
{
    const InAndOut held = heldAt(GetParam());
    const double in_V = std::abs(held.in.auxiliary_V);
    const double out_V = std::abs(held.out.auxiliary_V);
    for (const bool chatters : {false, true}) {
        const double dropOut_V = (chatters ? 1.08 : 0.75) * out_V;
        ASSERT_LT(dropOut_V, 0.95 * in_V);
        const Waveforms run =
            runTransient(deckOf(held.circuit,
                                potentialRelayCards(0.97 * in_V, dropOut_V) + transientCard(end_s)),
                         {"closed"}, end_s);
        if (chatters) {
            EXPECT_GE(openings(run.real[0]), 2);
        } else {
            EXPECT_EQ(openings(run.real[0]), 1);
        }
    }
}

INSTANTIATE_TEST_SUITE_P(OfSynchronous, OpeningAtSpeed, testing::Values(0.70, 0.80, 0.90));

class RisingAtSpeed : public testing::TestWithParam<double>
{
};

TEST_P(RisingAtSpeed, MainCurrentRisesAsPhasorsSay)
{
    const InAndOut held = bottleCoolerHeldAt(GetParam());
    ASSERT_GT(std::abs(held.out.main_A), 1.04 * std::abs(held.in.main_A));
    const double opens_s = 0.5 * end_s;
    const Waveforms run = runTransient(
        deckOf(held.circuit, startCapacitorCard("line", "behind", bottleCoolerBranch) +
                                 fmt::format("vdrive drive 0 pulse(1 0 {} 1e-6 1e-6 9 10)\n"
                                             "xcontact behind aux drive contact on_ohms=1e-3 "
                                             "off_ohms={}\n",
                                             opens_s, open_ohm) +
                                 transientCard(end_s)),
        {probe::main_A}, end_s);
    const double before_A = rmsBefore(run.time_s, run.real[0], opens_s);
    const double after_A = rmsBefore(run.time_s, run.real[0], run.time_s.back());
    EXPECT_TRUE(nearRel(before_A, std::abs(held.in.main_A), 0.005));
    EXPECT_TRUE(nearRel(after_A, std::abs(held.out.main_A), 0.005));
    EXPECT_TRUE(nearRel(after_A / before_A, std::abs(held.out.main_A / held.in.main_A), 0.01));
}

// A current relay that has let go meets the main current of the main winding alone. If its pull-in
// lies below that and its drop-out above the current with the start circuit in, it never comes to
// rest.
TEST_P(RisingAtSpeed, MainCurrentAfterTheOpeningDecidesWhetherTheRelayMakesAgain)
{
    const InAndOut held = bottleCoolerHeldAt(GetParam());
    const double in_A = std::abs(held.in.main_A);
    const double out_A = std::abs(held.out.main_A);
    for (const bool makesAgain : {false, true}) {
        const double pullIn_A = makesAgain ? in_A + 0.7 * (out_A - in_A) : 1.08 * out_A;
        const double dropOut_A = in_A + 0.3 * (out_A - in_A);
        const Waveforms run =
            runTransient(currentRelayDeck(held, pullIn_A, dropOut_A), {"closed"}, end_s);
        // In the first half second it comes up.
        const auto half = std::lower_bound(run.time_s.begin(), run.time_s.end(), 0.5 * end_s) -
                          run.time_s.begin();
        const std::vector<double> late(run.real[0].begin() + half, run.real[0].end());
        if (makesAgain) {
            EXPECT_GE(openings(late), 2);
        } else {
            EXPECT_GE(openings(run.real[0]), 1) << "the current at rest makes it";
            EXPECT_LT(*std::max_element(late.begin(), late.end()), 0.5) << "it stays open";
        }
    }
}

INSTANTIATE_TEST_SUITE_P(OfSynchronous, RisingAtSpeed, testing::Values(0.55, 0.65, 0.75));

// A charged capacitor and a contact that closes across what it is wired to: all that is lost goes
// into the contact and the capacitors' own resistances.
struct Reclosing {
    double heat_J = 0;
    double contactHeat_J = 0;
};

Reclosing reclose(double start_F, double start_V, std::optional<double> run_F)
{
    // Told to close at 1 ms. Without a run capacitor it closes onto a wire.
    constexpr double series_ohm = 0.05;
    constexpr double run_ohm = 0.03;
    const std::string other =
        run_F ? fmt::format("xrun other 0 ac_capacitor farads={} series_ohms={} bleed_ohms=1e12\n",
                            *run_F, run_ohm)
              : fmt::format("rother other 0 {}\n", run_ohm);
    const double last_s = 3e-3;
    const std::string deck =
        modelText({"ac_capacitor", "contact"}) +
        fmt::format(
            "xstart start 0 ac_capacitor farads={} series_ohms={} bleed_ohms=1e12 "
            "initial_v={}\n",
            start_F, series_ohm, start_V) +
        "vdrive drive 0 pulse(0 1 1e-3 1e-6 1e-6 1 2)\n"
        "xcontact start other drive contact on_ohms=0.02 off_ohms=1e9\n" +
        other + transientCard(last_s, 5e-7);
    const Waveforms run =
        runTransient(deck, {"start", "other", "v.xcontact.vcontact#branch"}, last_s);
    std::vector<double> all_W;
    std::vector<double> contact_W;
    for (std::size_t i = 0; i < run.time_s.size(); ++i) {
        const double amps = run.real[2][i];
        contact_W.push_back((run.real[0][i] - run.real[1][i]) * amps);
        all_W.push_back(contact_W.back() + amps * amps * (series_ohm + run_ohm));
    }
    return {integral(run.time_s, all_W), integral(run.time_s, contact_W)};
}

// Any text on circuits: half the farads times the volts squared.
TEST(Reclosing, ContactAndResistancesTakeHalfTheFaradsTimesTheVoltsSquared)
{
    for (const double volts : {100.0, 330.0}) {
        const double energy_J = 0.5 * 160e-6 * volts * volts;
        const Reclosing closed = reclose(160e-6, volts, std::nullopt);
        EXPECT_TRUE(nearRel(closed.heat_J, energy_J, 0.01)) << volts;
        // Shared by ohms: 0.02 of 0.10. Closing passes through higher ones, so no less than that.
        EXPECT_GT(closed.contactHeat_J, 0.2 * energy_J * 0.99);
        EXPECT_LT(closed.contactHeat_J, 0.5 * energy_J);
    }
}

// Two capacitors that meet keep their charge and lose half of the series farads times the
// difference squared, whatever the resistances: the well-known two-capacitor problem. The start
// capacitor's half C V^2 is therefore the most that its contact can see.
TEST(Reclosing, OntoAnEmptyRunCapacitorLessIsLost)
{
    const double start_F = 140e-6;
    const double run_F = 40e-6;
    const double volts = 330;
    const double lost_J = 0.5 * start_F * run_F / (start_F + run_F) * volts * volts;
    const Reclosing closed = reclose(start_F, volts, run_F);
    EXPECT_TRUE(nearRel(closed.heat_J, lost_J, 0.01));
    EXPECT_LT(closed.heat_J, 0.5 * start_F * volts * volts);
}

}  // namespace

}  // namespace splitstart
