// ptc.lib, timed_switch.lib and centrifugal_switch.lib in stock and in embedded ngspice, against
// closed forms. Sources: energy balance of a body at one temperature, any text on heat transfer;
// circuit theory; what the devices do for a motor: common practice, no source.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <string>
#include <vector>

#include "physics/near.h"
#include "spice/both_ngspice.h"

namespace splitstart
{
namespace
{

constexpr double line_Hz = 60;
constexpr double omega_rad_s = 2 * std::numbers::pi * line_Hz;
constexpr double halfPeriod_s = 0.5 / line_Hz;

class PtcModel : public testing::TestWithParam<Ngspice>
{
};
class TimedSwitchModel : public testing::TestWithParam<Ngspice>
{
};
class CentrifugalSwitchModel : public testing::TestWithParam<Ngspice>
{
};
const auto both = testing::Values(Ngspice::stock, Ngspice::embedded);
INSTANTIATE_TEST_SUITE_P(Models, PtcModel, both, nameOf);
INSTANTIATE_TEST_SUITE_P(Models, TimedSwitchModel, both, nameOf);
INSTANTIATE_TEST_SUITE_P(Models, CentrifugalSwitchModel, both, nameOf);

struct Pill {
    double cold_ohm = 15;
    double hot_ohm = 5e4;
    double reference_degC = 110;
    double rise_per_K = 0.2;
    double dissipation_W_per_K = 0.02;
    double heatCapacity_J_per_K = 2;
    double ambient_degC = 30;
    double initial_degC = 30;

    // Between `a` and 0.
    [[nodiscard]] std::string card() const
    {
        return fmt::format(
            "xptc a 0 temperature closed ptc cold_ohms={} hot_ohms={} reference_degc={}"
            " rise_per_k={} dissipation_w_per_k={} heat_capacity_j_per_k={} ambient_degc={}"
            " initial_degc={}\n",
            cold_ohm, hot_ohm, reference_degC, rise_per_K, dissipation_W_per_K,
            heatCapacity_J_per_K, ambient_degC, initial_degC);
    }
    [[nodiscard]] double tau_s() const { return heatCapacity_J_per_K / dissipation_W_per_K; }
};

// A milliampere for a millisecond does not warm it, and it gives off next to nothing.
double resistance_ohm(Ngspice ngspice, Pill pill, double temperature_degC)
{
    pill.dissipation_W_per_K = 1e-6;
    pill.initial_degC = temperature_degC;
    const stock::Waveforms w = transientIn(ngspice, pill.card() + "itest 0 a dc 1e-3\n", {"v(a)"},
                                           {.end_s = 1e-3, .step_s = 1e-4});
    return w.at(0, 1e-3) / 1e-3;
}

// Reference temperature: of twice the resistance at 25 degC, as the switching temperature of
// IEC 60738-1 (from memory).
TEST_P(PtcModel, HasItsColdResistanceTwiceThatAtItsReferenceAndItsHighestWhenHot)
{
    for (const double hot_ohm : {5e3, 5e4, 1e6}) {
        for (const double rise_per_K : {0.1, 0.3}) {
            const Pill pill{.hot_ohm = hot_ohm, .rise_per_K = rise_per_K};
            EXPECT_TRUE(nearRel(resistance_ohm(GetParam(), pill, 25), 15, 1e-4));
            EXPECT_TRUE(nearRel(resistance_ohm(GetParam(), pill, 110), 30, 1e-4));
            EXPECT_TRUE(nearRel(resistance_ohm(GetParam(), pill, 300), hot_ohm, 1e-3));
        }
    }
}

TEST_P(PtcModel, RisesByItsRateOnTheSteepPartAndNeverFalls)
{
    for (const double rise_per_K : {0.1, 0.2, 0.4}) {
        const Pill pill{.hot_ohm = 1e6, .rise_per_K = rise_per_K};
        // Halfway up in the logarithm, from twice the cold resistance on.
        const double middle_degC = 110 + std::log(std::sqrt(1e6 / 30)) / rise_per_K;
        const double ratio = resistance_ohm(GetParam(), pill, middle_degC + 0.5) /
                             resistance_ohm(GetParam(), pill, middle_degC - 0.5);
        // Half of a per cent short at each end, since the step's ends are round.
        EXPECT_TRUE(nearRel(std::log(ratio), rise_per_K, 0.015));
    }
    double before_ohm = 0;
    for (const double t_degC : {-40.0, 0.0, 60.0, 90.0, 105.0, 115.0, 130.0, 160.0, 250.0}) {
        const double ohm = resistance_ohm(GetParam(), {}, t_degC);
        EXPECT_GT(ohm, before_ohm * (1 - 1e-5));
        before_ohm = ohm;
    }
}

TEST_P(PtcModel, HeatsAsItsHeatCapacitySaysBeforeItSwitches)
{
    for (const double current_A : {2.0, 5.0, 8.0}) {
        SCOPED_TRACE(current_A);
        const Pill pill{.dissipation_W_per_K = 1e-5};  // adiabatic, as far as a second goes
        const double power_W = current_A * current_A * pill.cold_ohm;
        // 70 degC: 40 K below the reference, its resistance has risen by exp(-8).
        const double expected_s = pill.heatCapacity_J_per_K * (70 - pill.initial_degC) / power_W;
        const stock::Waveforms w =
            transientIn(GetParam(),
                        pill.card() + fmt::format("iload 0 a sin(0 {} {})\n",
                                                  current_A * std::numbers::sqrt2, line_Hz),
                        {"v(temperature)"}, {.end_s = 1.1 * expected_s, .step_s = 1e-4});
        // Heat comes in pulses at twice the line frequency: energy is P (t - sin(2 w t)/(2 w)).
        const double ripple_s = 0.5 / omega_rad_s;
        EXPECT_TRUE(nearOfScale(w.crossing_s(0, 70), expected_s, ripple_s + 5e-4 * expected_s, 1));
    }
}

// Electric energy in = heat stored + heat given off, through the whole switching, where the power
// changes a thousandfold.
TEST_P(PtcModel, LosesNoEnergyWhileItSwitches)
{
    for (const double step_s : {1e-4, 2e-4}) {
        const Pill pill;
        const stock::Waveforms w = transientIn(
            GetParam(),
            pill.card() + fmt::format("vline line 0 sin(0 {} {})\nrload line a 20\n"
                                      "bpower power 0 v=v(a)*i(v.xptc.vptc)\n",
                                      230 * std::numbers::sqrt2, line_Hz),
            {"v(power)", "v(temperature)", "v(closed)"}, {.end_s = 2, .step_s = step_s});
        EXPECT_GT(w.highestMagnitude(0, 0, 0.2), 1000);
        EXPECT_LT(w.highestMagnitude(0, 1.5, 2), 20);
        const double supplied_J = 2 * w.mean(0, 0, 2);
        const double stored_J = pill.heatCapacity_J_per_K * (w.at(1, 2) - pill.initial_degC);
        const double givenOff_J =
            2 * pill.dissipation_W_per_K * (w.mean(1, 0, 2) - pill.ambient_degC);
        EXPECT_TRUE(nearRel(stored_J + givenOff_J, supplied_J, 2e-3));
    }
}

// Where the step is steep, dR/dT = rise (R - cold), and C dT/dt = V^2/R: the resistance grows
// almost at the steady rate rise V^2/C. Integrated exactly:
//   R2 - R1 + cold ln((R2 - cold)/(R1 - cold)) = rise V^2/C (t2 - t1)
TEST_P(PtcModel, GrowsInResistanceAtASteadyRateOnceItHasSwitched)
{
    for (const double line_V : {60.0, 115.0, 230.0}) {
        const Pill pill{.hot_ohm = 1e8, .dissipation_W_per_K = 1e-5};
        const stock::Waveforms w =
            transientIn(GetParam(), pill.card() + fmt::format("vline a 0 dc {}\n", line_V),
                        {"v(closed)", "i(v.xptc.vptc)"}, {.end_s = 2.5, .step_s = 5e-4});
        const double from_s = w.crossing_s(0, 0.5) + 0.2;
        const double to_s = from_s + 0.3;
        const double from_ohm = line_V / w.at(1, from_s);
        const double to_ohm = line_V / w.at(1, to_s);
        const double grown_ohm =
            to_ohm - from_ohm +
            pill.cold_ohm * std::log((to_ohm - pill.cold_ohm) / (from_ohm - pill.cold_ohm));
        const double rate_ohm_per_s = pill.rise_per_K * line_V * line_V / pill.heatCapacity_J_per_K;
        EXPECT_TRUE(nearRel(grown_ohm, rate_ohm_per_s * (to_s - from_s), 2e-3));
    }
}

TEST_P(PtcModel, HotTakesThePowerThatItGivesOff)
{
    for (const double dissipation_W_per_K : {0.01, 0.03}) {
        for (const double ambient_degC : {-10.0, 60.0}) {
            const Pill pill{.hot_ohm = 1e8,
                            .dissipation_W_per_K = dissipation_W_per_K,
                            .heatCapacity_J_per_K = 0.1,
                            .ambient_degC = ambient_degC,
                            .initial_degC = 130};
            const double end_s = 15 * pill.tau_s();
            const auto run = [&](double line_V) {
                return transientIn(
                    GetParam(),
                    pill.card() + fmt::format("vline line 0 dc {}\nrload line a 1\n", line_V),
                    {"v(a)", "i(v.xptc.vptc)", "v(temperature)"}, {.end_s = end_s, .step_s = 5e-3});
            };
            const stock::Waveforms low = run(120);
            const stock::Waveforms high = run(240);
            const double low_degC = low.at(2, end_s);
            const double high_degC = high.at(2, end_s);
            for (const stock::Waveforms& w : {low, high}) {
                const double ohm = w.at(0, end_s) / w.at(1, end_s);
                EXPECT_TRUE(nearRel(w.at(0, end_s) * w.at(0, end_s) / ohm,
                                    dissipation_W_per_K * (w.at(2, end_s) - ambient_degC), 1e-3));
                EXPECT_GT(w.at(2, end_s), pill.reference_degC);
            }
            // Twice the voltage needs four times the resistance, which is a few kelvin: the power
            // is nearly the same. Where the step is steep, R = cold exp(rise (T - reference)).
            const double more_K =
                std::log(4 * (low_degC - ambient_degC) / (high_degC - ambient_degC)) /
                pill.rise_per_K;
            EXPECT_TRUE(nearRel(high_degC - low_degC, more_K, 0.01));
        }
    }
}

TEST_P(PtcModel, HotOnAlternatingVoltageTakesThePowerThatItGivesOff)
{
    const Pill pill{.heatCapacity_J_per_K = 0.1, .initial_degC = 140};
    const stock::Waveforms w = transientIn(
        GetParam(),
        pill.card() + fmt::format("vline line 0 sin(0 {} {})\nrload line a 10\n"
                                  "bpower power 0 v=v(a)*i(v.xptc.vptc)\n",
                                  230 * std::numbers::sqrt2, line_Hz),
        {"v(power)", "v(temperature)", "v(a)", "i(v.xptc.vptc)"}, {.end_s = 40, .step_s = 2e-4});
    const double given_W = pill.dissipation_W_per_K * (w.mean(1, 39, 40) - pill.ambient_degC);
    EXPECT_TRUE(nearRel(w.mean(0, 39, 40), given_W, 2e-3));
    // Nearly a sine, since the pill's heat lasts longer than a half period.
    EXPECT_TRUE(nearRel(w.rms(2, 39, 40) * w.rms(3, 39, 40), given_W, 0.02));
}

TEST_P(PtcModel, CoolsDownWithItsTimeConstantAndIsInAgain)
{
    for (const double dissipation_W_per_K : {0.01, 0.04}) {
        const Pill pill{.dissipation_W_per_K = dissipation_W_per_K, .initial_degC = 160};
        const auto after_s = [&](double temperature_degC) {
            return pill.tau_s() *
                   std::log((160 - pill.ambient_degC) / (temperature_degC - pill.ambient_degC));
        };
        const stock::Waveforms w = transientIn(
            GetParam(), pill.card() + "rload a 0 100\n", {"v(temperature)", "v(closed)"},
            {.end_s = 1.2 * after_s(40), .step_s = pill.tau_s() / 500});
        EXPECT_TRUE(nearRel(w.crossing_s(0, 80), after_s(80), 1e-3));
        EXPECT_TRUE(nearRel(w.crossing_s(0, 40), after_s(40), 1e-3));
        // Within the 0.15 K of the header, plus a step of the run.
        const double slope_K_s = (pill.reference_degC - pill.ambient_degC) / pill.tau_s();
        EXPECT_TRUE(nearOfScale(w.crossing_s(1, 0.5), after_s(pill.reference_degC),
                                0.15 / slope_K_s + pill.tau_s() / 500, 1));
        EXPECT_TRUE(nearOfScale(w.at(1, 0.5 * after_s(pill.reference_degC)), 0, 1, 1e-5));
        EXPECT_TRUE(nearOfScale(w.at(1, 1.1 * after_s(pill.reference_degC)), 1, 1, 1e-5));
    }
}

TEST(PtcModelInOtherAnalyses, IsAResistorAtItsAmbientTemperature)
{
    for (const double ambient_degC : {25.0, 110.0}) {
        Pill pill;
        pill.ambient_degC = ambient_degC;
        const std::string circuit = pill.card() + "itest 0 a dc 1e-6 ac 1\n";
        const double expected_ohm = ambient_degC == 25 ? 15 : 30;
        EXPECT_TRUE(
            nearRel(stock::operatingPoint(circuit, {"v(a)"})[0], 1e-6 * expected_ohm, 1e-4));
        EXPECT_TRUE(
            nearRel(stock::alternating(circuit, {"v(a)"}, line_Hz)[0].real(), expected_ohm, 1e-4));
    }
}

struct Timer {
    double openAfter_s = 0.3;
    double on_V = 60;
    double rearm_s = 0.2;
    int override_ = 0;

    // Watches `line`, its contact feeds 20 ohm and 60 mH from a 120 V line of its own.
    [[nodiscard]] std::string cards() const
    {
        return fmt::format(
            "xtimer hot 0 line 0 closed timed_switch open_after_s={} on_volts={} rearm_s={}"
            " contact_override={}\n"
            "vfeed feed 0 sin(0 {} {})\nrfeed feed inner 20\nlfeed inner hot 60e-3 ic=0\n",
            openAfter_s, on_V, rearm_s, override_, 120 * std::numbers::sqrt2, line_Hz);
    }
};

// A sine from `phase_deg` on, whose rms value follows a PWL list.
std::string lineVolts(const std::string& rms_V, double phase_deg = 45,
                      double frequency_Hz = line_Hz)
{
    return fmt::format("vshape shape 0 pwl({})\nbline line 0 v={}*v(shape)*sin({}*time+{})\n",
                       rms_V, std::numbers::sqrt2, 2 * std::numbers::pi * frequency_Hz,
                       phase_deg * std::numbers::pi / 180);
}

// When the magnitude of a sine that begins at `phase_deg` first passes `on_V`: the root of the sum
// of squares of the sine less its first-order lag, and of that lag, from rest.
double appears_s(double rms_V, double on_V, double phase_deg)
{
    const double phase_rad = phase_deg * std::numbers::pi / 180;
    const double quarter_rad = std::numbers::pi / 4;
    for (double t = 0;; t += 1e-6) {
        const double angle_rad = omega_rad_s * t;
        const double volts = std::numbers::sqrt2 * rms_V * std::sin(angle_rad + phase_rad);
        const double lag = rms_V * (std::sin(angle_rad + phase_rad - quarter_rad) -
                                    std::sin(phase_rad - quarter_rad) * std::exp(-angle_rad));
        if (std::hypot(volts - lag, lag) >= on_V) {
            return t;
        }
    }
}

// The header: its times hold to half a millisecond.
constexpr double timing_s = 5e-4;
// A voltage that goes is gone when its magnitude has died down.
constexpr double falling_s = 3 / omega_rad_s;

TEST_P(TimedSwitchModel, OpensItsTimeAfterTheVoltageHasAppeared)
{
    for (const double openAfter_s : {0.05, 0.3, 1.0}) {
        for (const double phase_deg : {0.0, 45.0, 90.0, 150.0, 200.0}) {
            SCOPED_TRACE(fmt::format("{} s, {} deg", openAfter_s, phase_deg));
            const Timer timer{.openAfter_s = openAfter_s};
            const stock::Waveforms w =
                transientIn(GetParam(), timer.cards() + lineVolts("0 120", phase_deg),
                            {"v(closed)", "i(v.xtimer.xcontact.vcontact)"},
                            {.end_s = openAfter_s + 0.1, .step_s = 2e-4});
            ASSERT_EQ(w.crossings_s(0, 0.5).size(), 1U);
            const double opened_s = w.crossing_s(0, 0.5);
            EXPECT_TRUE(nearOfScale(opened_s, openAfter_s + appears_s(120, timer.on_V, phase_deg),
                                    timing_s, 1));
            EXPECT_GT(w.highestMagnitude(1, 0, openAfter_s), 5);
            EXPECT_LT(w.highestMagnitude(1, opened_s + halfPeriod_s + 2e-3, openAfter_s + 0.1),
                      1e-3);
        }
    }
}

TEST_P(TimedSwitchModel, WaitsForItsVoltage)
{
    // 20 V more each second; the magnitude follows half a time constant of its low-pass later.
    const Timer timer{.openAfter_s = 0.5};
    const stock::Waveforms w =
        transientIn(GetParam(), timer.cards() + lineVolts("0 20 5 120"),
                    {"v(closed)", "v(xtimer.live)", "v(shape)"}, {.end_s = 4, .step_s = 2e-4});
    const double live_s = w.crossing_s(1, 0.5);
    EXPECT_TRUE(nearRel(w.at(2, live_s), 60, 5e-3));
    EXPECT_TRUE(nearOfScale(w.crossing_s(0, 0.5), live_s + 0.5, timing_s, 1));
    // 50 V are none, though they come at once.
    EXPECT_TRUE(transientIn(GetParam(), timer.cards() + lineVolts("0 50"), {"v(closed)"},
                            {.end_s = 1.5, .step_s = 2e-4})
                    .crossings_s(0, 0.5)
                    .empty());
}

TEST_P(TimedSwitchModel, ClosesAgainAfterThePauseAndCountsAnew)
{
    const Timer timer;
    // Off at 0.6 s, on again at 1.2 s.
    const stock::Waveforms w = transientIn(
        GetParam(), timer.cards() + lineVolts("0 120 0.6 120 0.6001 0 1.2 0 1.2001 120"),
        {"v(closed)", "i(v.xtimer.xcontact.vcontact)"}, {.end_s = 2, .step_s = 2e-4});
    const std::vector<double> changes = w.crossings_s(0, 0.5);
    ASSERT_EQ(changes.size(), 3U);
    EXPECT_TRUE(nearOfScale(changes[0], timer.openAfter_s, timing_s, 1));
    EXPECT_GE(changes[1], 0.6 + timer.rearm_s - 1e-3);
    EXPECT_LE(changes[1], 0.6 + timer.rearm_s + falling_s);
    // The sine is wherever it is at 1.2 s.
    EXPECT_TRUE(nearOfScale(changes[2], 1.2 + timer.openAfter_s, 2e-3, 1));
    EXPECT_GT(w.highestMagnitude(1, changes[1] + 0.05, 1.2), 5);
}

TEST_P(TimedSwitchModel, DoesNotCloseInADipAndCountsOnThroughOne)
{
    const Timer timer;
    // A dip of nearly rearm_s, once it is open, and again a little later.
    const stock::Waveforms open = transientIn(
        GetParam(),
        timer.cards() + lineVolts("0 120 0.5 120 0.5001 0 0.69 0 0.6901 120 0.72 120 0.7201 0 0.91 "
                                  "0 0.9101 120"),
        {"v(closed)", "i(v.xtimer.xcontact.vcontact)"}, {.end_s = 1.4, .step_s = 2e-4});
    EXPECT_EQ(open.crossings_s(0, 0.5).size(), 1U);
    EXPECT_LT(open.highestMagnitude(1, 0.35, 1.4), 1e-3);
    // A dip while it counts.
    const stock::Waveforms counting = transientIn(
        GetParam(), timer.cards() + lineVolts("0 120 0.1 120 0.1001 0 0.2 0 0.2001 120"),
        {"v(closed)"}, {.end_s = 0.6, .step_s = 2e-4});
    ASSERT_EQ(counting.crossings_s(0, 0.5).size(), 1U);
    EXPECT_TRUE(nearOfScale(counting.crossing_s(0, 0.5), timer.openAfter_s, timing_s, 1));
}

TEST_P(TimedSwitchModel, StaysClosedWithoutVoltageAndOpenForAsLongAsItIsThere)
{
    const Timer timer{.openAfter_s = 0.02, .rearm_s = 0.02};
    const stock::Waveforms none = transientIn(GetParam(), timer.cards() + lineVolts("0 0"),
                                              {"v(closed)"}, {.end_s = 2, .step_s = 2e-4});
    EXPECT_TRUE(nearOfScale(none.mean(0, 0, 2), 1, 1, 1e-5));
    // Also at another frequency than its own, where the magnitude has a ripple.
    const stock::Waveforms there =
        transientIn(GetParam(), timer.cards() + lineVolts("0 75", 45, 50), {"v(closed)"},
                    {.end_s = 4, .step_s = 2e-4});
    EXPECT_TRUE(nearOfScale(there.mean(0, 0.05, 4), 0, 1, 1e-5));
}

struct Centrifugal {
    double opens_rad_s = 140;
    double closes_rad_s = 80;
    int override_ = 0;

    // Its contact feeds 10 ohm from 12 V.
    [[nodiscard]] std::string cards() const
    {
        return fmt::format(
            "xswitch contact 0 speed closed centrifugal_switch opens_rad_s={} closes_rad_s={}"
            " contact_override={}\nvfeed feed 0 dc 12 ac 12\nrfeed feed contact 9.98\n",
            opens_rad_s, closes_rad_s, override_);
    }
};

TEST_P(CentrifugalSwitchModel, OpensAndClosesAtItsSpeedsInBothDirections)
{
    for (const double direction : {1.0, -1.0}) {
        // 100 rad/s a second, up and down.
        const stock::Waveforms w =
            transientIn(GetParam(),
                        Centrifugal{}.cards() +
                            fmt::format("vspeed speed 0 pwl(0 0 1.8 {} 3.6 0)\n", direction * 180),
                        {"v(closed)", "v(speed)", "i(v.xswitch.xcontact.vcontact)"},
                        {.end_s = 3.6, .step_s = 1e-3});
        const std::vector<double> changes = w.crossings_s(0, 0.5);
        ASSERT_EQ(changes.size(), 2U);
        // ngspice finds the instant to 0.05 rad/s (header), and the run has its steps.
        EXPECT_TRUE(nearOfScale(w.at(1, changes[0]), direction * 140, 0.15, 1));
        EXPECT_TRUE(nearOfScale(w.at(1, changes[1]), direction * 80, 0.15, 1));
        EXPECT_TRUE(nearRel(w.at(2, changes[0] - 0.1), 1.2, 1e-3));
        EXPECT_LT(w.highestMagnitude(2, changes[0] + 2e-3, changes[1] - 2e-3), 2e-5);
        EXPECT_TRUE(nearRel(w.at(2, changes[1] + 0.1), 1.2, 1e-3));
    }
}

TEST_P(CentrifugalSwitchModel, StaysAsItWasBetweenItsTwoSpeeds)
{
    // To and fro between the two, both ways round: first from below, then from above.
    const stock::Waveforms w =
        transientIn(GetParam(),
                    Centrifugal{}.cards() +
                        "vspeed speed 0 pwl(0 0 1 139 2 -139 3 139 4 81 5 139 6 150 7 81 8 "
                        "139 9 81 10 100)\n",
                    {"v(closed)", "v(speed)"}, {.end_s = 10, .step_s = 1e-3});
    const std::vector<double> changes = w.crossings_s(0, 0.5);
    ASSERT_EQ(changes.size(), 1U);
    EXPECT_GT(changes[0], 5);
    EXPECT_LT(changes[0], 6);
}

TEST_P(CentrifugalSwitchModel, ClosesInAReversalAndOpensAgain)
{
    const stock::Waveforms w = transientIn(
        GetParam(), Centrifugal{}.cards() + "vspeed speed 0 pwl(0 180 1 180 4.6 -180)\n",
        {"v(closed)", "v(speed)"}, {.end_s = 4.6, .step_s = 1e-3});
    // At time 0 the weights are out already.
    std::vector<double> changes = w.crossings_s(0, 0.5);
    std::erase_if(changes, [](double time_s) { return time_s < 0.01; });
    ASSERT_EQ(changes.size(), 2U);
    EXPECT_TRUE(nearOfScale(w.at(1, changes[0]), 80, 0.15, 1));
    EXPECT_TRUE(nearOfScale(w.at(1, changes[1]), -140, 0.15, 1));
}

// A resistance of 9.98 ohm in series, 20 mohm closed, 1 Mohm open.
TEST(StartSwitchOverride, HoldsTheContactInEveryAnalysis)
{
    for (const int position : {1, -1}) {
        SCOPED_TRACE(position);
        const double expected_A = position > 0 ? 1.2 : 12e-6;
        const std::string feed = "vfeed feed 0 dc 12 ac 12\nrfeed feed contact 9.98\n";
        // Against what each would do by itself.
        const std::string fast = fmt::format("vspeed speed 0 dc {}\n", position > 0 ? 200 : 0);
        const std::string live = fmt::format("vline line 0 sin(0 {} 60)\n", position > 0 ? 170 : 0);
        const std::string centrifugal =
            fmt::format("x1 contact 0 speed closed centrifugal_switch contact_override={}\n",
                        position) +
            fast + feed;
        const std::string timed = fmt::format(
                                      "x1 contact 0 line 0 closed timed_switch open_after_s=0.02"
                                      " contact_override={}\n",
                                      position) +
                                  live + feed;
        for (const std::string& circuit : {centrifugal, timed}) {
            const std::string contact_A = "i(v.x1.xcontact.vcontact)";
            const auto still = stock::operatingPoint(circuit, {contact_A, "v(closed)"});
            EXPECT_TRUE(nearRel(still[0], expected_A, 1e-3));
            EXPECT_TRUE(nearOfScale(still[1], position > 0 ? 1 : 0, 1, 1e-5));
            EXPECT_TRUE(nearRel(stock::alternating(circuit, {contact_A}, line_Hz)[0].real(),
                                expected_A, 1e-3));
            const stock::Waveforms w =
                stock::transient(circuit, {contact_A, "v(closed)"}, {.end_s = 0.2, .step_s = 2e-4});
            EXPECT_TRUE(nearRel(w.mean(0, 0.1, 0.2), expected_A, 1e-3));
            EXPECT_TRUE(nearOfScale(w.mean(1, 0.1, 0.2), position > 0 ? 1 : 0, 1, 1e-5));
        }
    }
}

}  // namespace
}  // namespace splitstart
