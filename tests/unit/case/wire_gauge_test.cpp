// American wire gauge against the diameters that tables of ASTM B258 print (from memory).
#include "case/wire_gauge.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <stdexcept>

#include "physics/near.h"

namespace splitstart
{
namespace
{

double diameter_mm(const char* gauge)
{
    return 1e3 * std::sqrt(4 / std::numbers::pi * awgArea_m2(gauge));
}

TEST(WireGauge, HasTheDiametersOfTheStandard)
{
    EXPECT_TRUE(agreesWithPrint(diameter_mm("18"), 1.024, 0.001));
    EXPECT_TRUE(agreesWithPrint(diameter_mm("14"), 1.628, 0.001));
    EXPECT_TRUE(agreesWithPrint(diameter_mm("12"), 2.053, 0.001));
    EXPECT_TRUE(agreesWithPrint(diameter_mm("10"), 2.588, 0.001));
    EXPECT_TRUE(agreesWithPrint(diameter_mm("6"), 4.115, 0.001));
    EXPECT_TRUE(agreesWithPrint(diameter_mm("1"), 7.348, 0.001));
    EXPECT_TRUE(agreesWithPrint(diameter_mm("1/0"), 8.251, 0.001));
    EXPECT_TRUE(agreesWithPrint(diameter_mm("4/0"), 11.684, 0.001));
}

// The two gauges that the standard sets: 4/0 is 0.46 in, 36 is 0.005 in, and between two
// neighbours there is always the same ratio.
TEST(WireGauge, IsAGeometricSeriesBetweenItsTwoFixedSizes)
{
    EXPECT_TRUE(nearRel(diameter_mm("36"), 0.127, 1e-12));
    EXPECT_TRUE(nearRel(diameter_mm("4/0"), 11.684, 1e-12));
    const double ratio = std::pow(0.46 / 0.005, 1.0 / 39);
    const char* const series[] = {"4/0", "3/0", "2/0", "1/0", "1", "2", "3", "4"};
    for (std::size_t i = 0; i + 1 < std::size(series); ++i) {
        EXPECT_TRUE(nearRel(diameter_mm(series[i]) / diameter_mm(series[i + 1]), ratio, 1e-12))
            << series[i];
    }
}

TEST(WireGauge, RefusesWhatIsNoGauge)
{
    for (const char* text :
         {"", "0", "-1", "41", "5/0", "0/0", "/0", "14 ", " 14", "14.5", "1/1", "AWG14", "14/0"}) {
        EXPECT_THROW(static_cast<void>(awgArea_m2(text)), std::invalid_argument) << text;
    }
}

}  // namespace
}  // namespace splitstart
