// ac_capacitor, overload_protector, supply, fan_motor and closed_switch in stock ngspice, against
// closed forms. Sources: circuit theory; heating of a body with one time constant.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <cmath>
#include <complex>
#include <numbers>

#include "physics/near.h"
#include "spice/stock_ngspice.h"

namespace splitstart
{
namespace
{

using Phasor = std::complex<double>;
constexpr double line_Hz = 60;
constexpr double omega_rad_s = 2 * std::numbers::pi * line_Hz;

TEST(CapacitorModel, CurrentAndLossAreThoseOfCapacitanceAndSeriesResistance)
{
    const auto p = stock::alternating(
        "vline line 0 dc 0 ac 100\nxcap line 0 ac_capacitor farads=40e-6 series_ohms=2\n",
        {"i(vline)"}, line_Hz);
    const Phasor current = -p[0];
    EXPECT_TRUE(nearRel(current, 100.0 / Phasor(2, -1 / (omega_rad_s * 40e-6)), 1e-6));
    EXPECT_TRUE(nearRel(100 * current.real() / 2, std::norm(current) / 2 * 2, 1e-6));
}

TEST(CapacitorModel, BleedsDownExponentiallyFromItsInitialCharge)
{
    constexpr double farads = 88e-6;
    constexpr double bleed_ohm = 15e3;
    constexpr double series_ohm = 50;  // so large that leaving it out would show
    const stock::Waveforms w = stock::transient(
        fmt::format("xcap a 0 ac_capacitor farads={} series_ohms={} bleed_ohms={} initial_v=320\n",
                    farads, series_ohm, bleed_ohm),
        {"v(xcap.plate)", "v(a)"}, {.end_s = 3, .step_s = 5e-3});
    const double tau_s = farads * (bleed_ohm + series_ohm);
    for (const double t : {0.5, 1.0, 3.0}) {
        EXPECT_TRUE(nearRel(w.at(0, t), 320 * std::exp(-t / tau_s), 2e-4));
        EXPECT_TRUE(nearRel(w.at(1, t) / w.at(0, t), bleed_ohm / (bleed_ohm + series_ohm), 1e-5));
    }
}

TEST(CapacitorModel, WithoutBleedResistorKeepsItsCharge)
{
    const stock::Waveforms w =
        stock::transient("xcap a 0 ac_capacitor farads=50e-6 initial_v=-150\n", {"v(a)"},
                         {.end_s = 10, .step_s = 0.1});
    EXPECT_TRUE(nearRel(w.at(0, 10), -150, 1e-5));
}

struct Protector {
    double ultimate_A = 20;
    double trip_degC = 120;
    double reset_degC = 70;
    double ratingAmbient_degC = 60;
    double ambient_degC = 25;
    double tau_s = 5;
    int override_ = 0;

    // From `in` to 0, with 1 kohm beside it for a current source to have a way when it is open.
    [[nodiscard]] std::string card() const
    {
        return fmt::format(
            "xprotector in 0 disc closed overload_protector ultimate_trip_a={} trip_degc={}"
            " reset_degc={} rating_ambient_degc={} ambient_degc={} time_constant_s={}"
            " contact_override={}\nrbeside in 0 1000\n",
            ultimate_A, trip_degC, reset_degC, ratingAmbient_degC, ambient_degC, tau_s, override_);
    }
    [[nodiscard]] double finalRise_K(double current_A) const
    {
        const double ratio = current_A / ultimate_A;
        return ratio * ratio * (trip_degC - ratingAmbient_degC);
    }
    [[nodiscard]] double tripTime_s(double current_A) const
    {
        return -tau_s * std::log(1 - (trip_degC - ambient_degC) / finalRise_K(current_A));
    }
};

TEST(ProtectorModel, TripsAfterTheTimeOfItsHeatingCurve)
{
    const Protector protector;
    for (const double current_A : {30.0, 40.0, 80.0}) {
        SCOPED_TRACE(current_A);
        const double expected_s = protector.tripTime_s(current_A);
        const stock::Waveforms w = stock::transient(
            protector.card() +
                fmt::format("iload 0 in sin(0 {} {})\n", current_A * std::numbers::sqrt2, line_Hz),
            {"v(closed)", "v(disc)"}, {.end_s = 1.2 * expected_s, .step_s = 2e-4});
        // The disc's temperature has a ripple at twice the line frequency of this height.
        const double ripple_K =
            protector.finalRise_K(current_A) / protector.tau_s / (2 * omega_rad_s);
        const double slope_K_s =
            (protector.finalRise_K(current_A) - (protector.trip_degC - protector.ambient_degC)) /
            protector.tau_s;
        EXPECT_TRUE(nearOfScale(w.crossing_s(0, 0.5), expected_s,
                                ripple_K / slope_K_s + 0.002 * expected_s, 1));
    }
}

TEST(ProtectorModel, NeverTripsJustBelowItsUltimateTripCurrentButDoesJustAbove)
{
    Protector protector;
    protector.ambient_degC = protector.ratingAmbient_degC;
    const auto run = [&](double current_A) {
        return stock::transient(protector.card() + fmt::format("iload 0 in dc {}\n", current_A),
                                {"v(closed)", "v(disc)"},
                                {.end_s = 12 * protector.tau_s, .step_s = 0.02});
    };
    const stock::Waveforms below = run(0.995 * protector.ultimate_A);
    EXPECT_TRUE(below.crossings_s(0, 0.5).empty());
    EXPECT_TRUE(nearRel(
        below.at(1, 12 * protector.tau_s),
        protector.ambient_degC + protector.finalRise_K(0.995 * protector.ultimate_A), 1e-4));
    const stock::Waveforms above = run(1.005 * protector.ultimate_A);
    EXPECT_TRUE(nearRel(above.crossing_s(0, 0.5),
                        protector.tripTime_s(1.005 * protector.ultimate_A), 0.01));
}

TEST(ProtectorModel, ResetsAfterTheTimeOfItsCoolingCurve)
{
    const Protector protector;
    constexpr double off_s = 1.5;
    const stock::Waveforms w = stock::transient(
        protector.card() + fmt::format("iload 0 in pwl(0 60 {} 60 {} 0)\n", off_s, off_s + 1e-4),
        {"v(closed)", "v(disc)"}, {.end_s = 10, .step_s = 1e-3});
    const std::vector<double> changes = w.crossings_s(0, 0.5);
    ASSERT_EQ(changes.size(), 2U);
    EXPECT_TRUE(nearRel(changes[0], protector.tripTime_s(60), 1e-3));
    const double hottest_K = protector.finalRise_K(60) * (1 - std::exp(-off_s / protector.tau_s));
    EXPECT_TRUE(nearRel(
        changes[1] - off_s,
        protector.tau_s * std::log(hottest_K / (protector.reset_degC - protector.ambient_degC)),
        1e-3));
}

TEST(ProtectorModel, TripsAndResetsInTurnsOnALiveLine)
{
    // 60 A from 240 V.
    const Protector protector;
    const stock::Waveforms w = stock::transient(
        protector.card() + fmt::format("vline line 0 sin(0 {} {})\nrline line in 3.99\n",
                                       240 * std::numbers::sqrt2, line_Hz),
        {"v(closed)", "i(v.xprotector.vdisc)"}, {.end_s = 20, .step_s = 2e-4});
    const std::vector<double> changes = w.crossings_s(0, 0.5);
    ASSERT_GE(changes.size(), 6U);
    const double down_K = protector.reset_degC - protector.ambient_degC;
    const double up_K = protector.trip_degC - protector.ambient_degC;
    const double cooling_s = protector.tau_s * std::log(up_K / down_K);
    const double heating_s = protector.tau_s * std::log((protector.finalRise_K(60) - down_K) /
                                                        (protector.finalRise_K(60) - up_K));
    for (std::size_t i = 1; i + 1 < changes.size(); i += 2) {
        // The arc goes on heating for up to half a period, here up to 1 K.
        EXPECT_TRUE(nearRel(changes[i] - changes[i - 1], cooling_s, 0.05));
        EXPECT_TRUE(nearRel(changes[i + 1] - changes[i], heating_s, 0.05));
        EXPECT_LT(w.highestMagnitude(1, changes[i - 1] + 0.02, changes[i] - 1e-3), 1e-3);
    }
}

TEST(ProtectorModel, BreaksLockedRotorCurrentAtLineVoltage)
{
    // Hot enough to trip within some cycles; then only what open_ohms lets through may be left.
    for (const double line_V : {115.0, 230.0}) {
        for (const double current_A : {20.0, 80.0, 165.0}) {
            for (const double powerFactor : {0.3, 0.8}) {
                const double impedance_ohm = line_V / current_A;
                const double reactance_ohm =
                    impedance_ohm * std::sqrt(1 - powerFactor * powerFactor);
                const stock::Waveforms w = stock::transient(
                    fmt::format("vline line 0 sin(0 {} 60)\nrload line mid {}\nlload mid in {} "
                                "ic=0\nxprotector in 0 disc closed overload_protector "
                                "ultimate_trip_a={} trip_degc=120 reset_degc=60 "
                                "rating_ambient_degc=25 ambient_degc=25 time_constant_s=2\n",
                                line_V * std::numbers::sqrt2, impedance_ohm * powerFactor,
                                reactance_ohm / omega_rad_s, current_A / 4),
                    {"i(vline)", "v(disc)", "v(closed)"}, {.end_s = 0.6, .step_s = 2e-4});
                EXPECT_LT(w.at(2, 0.5), 0.5) << line_V << " V " << current_A << " A";
                EXPECT_LT(w.rms(0, 0.5, 0.6), 2 * line_V / 1e6)
                    << line_V << " V " << current_A << " A, power factor " << powerFactor;
                EXPECT_LT(w.highestMagnitude(1, 0, 0.6), 130);
            }
        }
    }
}

TEST(ProtectorModel, OverrideHoldsTheContactInEveryAnalysis)
{
    for (const int position : {1, -1}) {
        SCOPED_TRACE(position);
        Protector protector;
        protector.override_ = position;
        // Ten times the ultimate trip current, or a kilovolt for the open contact to stand.
        const double peak_A = position > 0 ? 200 : 1;
        const std::string circuit =
            protector.card() + fmt::format("iload 0 in dc 0.01 ac 0.01 sin(0 {} 60)\n", peak_A);
        const double share = position > 0 ? 1000 / 1000.01 : 1000 / 1.001e6;
        const std::string disc_A = "i(v.xprotector.vdisc)";
        const auto still = stock::operatingPoint(circuit, {disc_A, "v(closed)"});
        EXPECT_TRUE(nearRel(still[0], 0.01 * share, 1e-3));
        EXPECT_TRUE(nearOfScale(still[1], position > 0 ? 1 : 0, 1, 1e-5));
        EXPECT_TRUE(
            nearRel(stock::alternating(circuit, {disc_A}, line_Hz)[0].real(), 0.01 * share, 1e-3));
        const stock::Waveforms w =
            stock::transient(circuit, {disc_A, "v(closed)"}, {.end_s = 2, .step_s = 5e-4});
        EXPECT_TRUE(nearRel(w.highestMagnitude(0, 1, 2), peak_A * share, 0.1));
        EXPECT_TRUE(nearOfScale(w.mean(1, 1, 2), position > 0 ? 1 : 0, 1, 1e-5));
    }
}

TEST(SupplyModel, IsASineOfItsRmsValueFrequencyAndPhase)
{
    for (const double phase_deg : {0.0, 60.0, -45.0, 90.0}) {
        SCOPED_TRACE(phase_deg);
        const std::string circuit = fmt::format(
            "xsupply line 0 supply rms_v=230 line_hz=50 switch_on_deg={}\nrload line 0 1e6\n",
            phase_deg);
        const stock::Waveforms w =
            stock::transient(circuit, {"v(line)"}, {.end_s = 0.1, .step_s = 5e-5});
        EXPECT_TRUE(nearRel(w.rms(0, 0.02, 0.1), 230, 1e-4));
        const double phase_rad = phase_deg * std::numbers::pi / 180;
        for (const double t : {0.001, 0.0123, 0.07}) {
            EXPECT_TRUE(nearOfScale(
                w.at(0, t),
                230 * std::numbers::sqrt2 * std::sin(100 * std::numbers::pi * t + phase_rad), 230,
                1e-3));
        }
        EXPECT_TRUE(nearRel(stock::alternating(circuit, {"v(line)"}, 50)[0],
                            std::polar(230 * std::numbers::sqrt2, phase_rad), 1e-5));
    }
}

TEST(SupplyModel, DropsVoltsOverItsSourceImpedance)
{
    const std::string circuit =
        "xsupply line 0 supply rms_v=230 source_ohms=0.4 source_h=0.8e-3\n"
        "xload line 0 fan_motor ohms=4 henries=5e-3\n";
    const Phasor load(4, omega_rad_s * 5e-3);
    const Phasor all = load + Phasor(0.4, omega_rad_s * 0.8e-3);
    EXPECT_TRUE(nearRel(stock::alternating(circuit, {"v(line)"}, line_Hz)[0],
                        230 * std::numbers::sqrt2 * load / all, 1e-6));
    const stock::Waveforms w = stock::transient(circuit, {"v(line)", "i(v.xsupply.vline)"},
                                                {.end_s = 0.2, .step_s = 5e-5});
    EXPECT_TRUE(nearRel(w.rms(0, 0.1, 0.2), 230 * std::abs(load / all), 1e-3));
    EXPECT_TRUE(nearRel(w.rms(1, 0.1, 0.2), 230 / std::abs(all), 1e-3));
}

TEST(FanMotorModel, TakesTheCurrentOfItsImpedance)
{
    const auto p =
        stock::alternating("vline line 0 dc 0 ac 100\nxfan line 0 fan_motor ohms=30 henries=0.1\n",
                           {"i(vline)"}, line_Hz);
    EXPECT_TRUE(nearRel(-p[0], 100.0 / Phasor(30, omega_rad_s * 0.1), 1e-6));
}

TEST(ClosedSwitchModel, IsAResistance)
{
    const auto v = stock::operatingPoint(
        "vdc in 0 dc 10\nxswitch in out closed_switch ohms=1\nrout out 0 4\n", {"v(out)"});
    EXPECT_TRUE(nearRel(v[0], 8, 1e-9));
}

}  // namespace
}  // namespace splitstart
