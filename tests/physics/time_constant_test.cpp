// Two exponentials that decide about safety: the charge of a capacitor and the heat of a protector.
//
// Discharge of a capacitor through a resistor: t = R C ln(V0/V), any text on circuits.
// Trip time of a thermal relay of one time constant: t = tau ln((I^2 - Ip^2) / (I^2 - Iu^2)) from
// the steady state of the current Ip, cold Ip = 0, which is -tau ln(1 - (Iu/I)^2); IEC 60255-149
// (before it IEC 60255-8), from memory.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <string>
#include <vector>

#include "physics/deck.h"
#include "physics/near.h"

namespace splitstart
{
namespace
{

// First time at which it passes that level, straight lines between the points.
double crossing_s(const Waveforms& w, std::size_t vector, double level, double from_s = 0)
{
    const std::vector<double>& values = w.real.at(vector);
    for (std::size_t i = 1; i < values.size(); ++i) {
        if (w.time_s[i] > from_s && (values[i - 1] < level) != (values[i] < level)) {
            return std::lerp(w.time_s[i - 1], w.time_s[i],
                             (level - values[i - 1]) / (values[i] - values[i - 1]));
        }
    }
    return std::nan("");
}

TEST(TimeConstants, CapacitorIsSafeAfterTheTimeOfItsBleedResistor)
{
    struct Capacitor {
        double farads;
        double bleed_ohm;
        double charged_V;
        double safe_V;
    };
    // A start capacitor, the same charged to twice the line's crest, a run capacitor.
    for (const Capacitor& c : {Capacitor{145e-6, 15e3, 466.7, 50}, Capacitor{145e-6, 15e3, 650, 50},
                               Capacitor{35e-6, 220e3, 520, 34}}) {
        const double tau_s = c.farads * c.bleed_ohm;
        const double end_s = 4 * tau_s;
        const Waveforms w = runTransient(
            modelText({"ac_capacitor"}) +
                fmt::format("xcap a 0 ac_capacitor farads={} series_ohms=0.5 bleed_ohms={} "
                            "initial_v={}\n",
                            c.farads, c.bleed_ohm, c.charged_V) +
                transientCard(end_s, tau_s / 200),
            {"a"}, end_s);
        EXPECT_TRUE(
            nearRel(crossing_s(w, 0, c.safe_V), tau_s * std::log(c.charged_V / c.safe_V), 1e-3));
        EXPECT_TRUE(nearRel(crossing_s(w, 0, c.charged_V / std::numbers::e), tau_s, 1e-3));
    }
}

constexpr double ultimate_A = 12;
constexpr double tau_s = 3;
constexpr double line_Hz = 60;

// Trip time after a current has been switched from one rms value to another; the ambient is that of
// the rating.
double tripTime_s(double before_A, double then_A, double end_s)
{
    constexpr double switched_s = 12 * tau_s;  // steady to 6e-6
    const double from_s = before_A > 0 ? switched_s : 0;
    const double omega_rad_s = 2 * std::numbers::pi * line_Hz;
    const std::string deck =
        modelText({"contact", "overload_protector"}) +
        fmt::format("bload 0 lead i={}*sin({}*time)*(time > {} ? {} : {})\n", std::numbers::sqrt2,
                    omega_rad_s, from_s, then_A, before_A) +
        // An open protector's current has to go somewhere.
        "rpast lead 0 1e4\n" +
        fmt::format(
            "xprotector lead 0 disc closed overload_protector ultimate_trip_a={} "
            "trip_degc=120 reset_degc=60 rating_ambient_degc=40 ambient_degc=40 "
            "time_constant_s={}\n",
            ultimate_A, tau_s) +
        transientCard(from_s + end_s, 5e-4);
    const Waveforms w = runTransient(deck, {"closed"}, from_s + end_s);
    return crossing_s(w, 0, 0.5, from_s) - from_s;
}

TEST(TimeConstants, ColdProtectorTripsAfterTheTimeOfTheColdCurve)
{
    for (const double multiple : {1.1, 1.5, 2.0, 4.0}) {
        const double expected_s = -tau_s * std::log(1 - 1 / (multiple * multiple));
        // It may be a quarter of a period early or late, as the heat of a sine comes.
        const double quarterPeriod_s = 0.25 / line_Hz;
        EXPECT_NEAR(tripTime_s(0, multiple * ultimate_A, 2 * expected_s), expected_s,
                    1e-3 * expected_s + quarterPeriod_s)
            << multiple;
    }
}

TEST(TimeConstants, WarmProtectorTripsAfterTheTimeOfTheHotCurve)
{
    for (const double preload : {0.5, 0.9}) {
        for (const double multiple : {1.5, 4.0}) {
            const double square = multiple * multiple;
            const double expected_s = tau_s * std::log((square - preload * preload) / (square - 1));
            EXPECT_NEAR(tripTime_s(preload * ultimate_A, multiple * ultimate_A, 2 * expected_s),
                        expected_s, 1e-3 * expected_s + 0.25 / line_Hz)
                << preload << " and then " << multiple;
        }
    }
}

}  // namespace
}  // namespace splitstart
