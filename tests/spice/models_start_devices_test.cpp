// ptc.lib, timed_switch.lib and centrifugal_switch.lib, in stock and in embedded ngspice, against
// closed forms.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <cmath>

#include "physics/near.h"
#include "spice/stock_ngspice.h"

namespace splitstart
{
namespace
{

TEST(PtcModel, HasItsColdResistanceAndTwiceThatAtItsReferenceTemperature)
{
    constexpr double cold_ohm = 15;
    // In .op the pill is at its ambient temperature where no power to speak of heats it.
    const auto resistance_ohm = [&](double temperature_degC) {
        const auto v = stock::operatingPoint(
            fmt::format("itest 0 a dc 1e-6\nxptc a 0 temperature closed ptc cold_ohms={} "
                        "hot_ohms=5e4 reference_degc=110 rise_per_k=0.2 ambient_degc={}\n",
                        cold_ohm, temperature_degC),
            {"v(a)"});
        return v[0] / 1e-6;
    };
    EXPECT_TRUE(nearRel(resistance_ohm(25), cold_ohm, 1e-4));
    EXPECT_TRUE(nearRel(resistance_ohm(110), 2 * cold_ohm, 1e-4));
    EXPECT_TRUE(nearRel(resistance_ohm(300), 5e4, 1e-4));
}

}  // namespace
}  // namespace splitstart
