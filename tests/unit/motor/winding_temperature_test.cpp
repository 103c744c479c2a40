#include "motor/winding_temperature.h"

#include <gtest/gtest.h>

#include "physics/near.h"

namespace splitstart
{

// International annealed copper standard: 0.00393 per K at 20 degC (IEC 60028, from memory).
// Rounded to three digits it fixes a hot winding to about 1 part in 5000.
TEST(WindingTemperature, CopperFollowsTheAnnealedCopperStandard)
{
    for (const double hot_degC : {-20.0, 0.0, 60.0, 110.0, 160.0}) {
        const double standard_ohm = 2.5 * (1 + 0.00393 * (hot_degC - 20));
        EXPECT_TRUE(nearRel(resistanceAt_ohm(2.5, 20, hot_degC), standard_ohm, 2e-4)) << hot_degC;
    }
}

// IEC 60034-1, rise by resistance: (t2 + 235) / (t1 + 235) = R2 / R1 for copper (from memory).
TEST(WindingTemperature, CopperIsWithinOneInThousandOfTheRotatingMachineFormula)
{
    const double standard_ratio = (110.0 + 235) / (20 + 235);
    EXPECT_TRUE(nearRel(resistanceAt_ohm(1, 20, 110), standard_ratio, 1e-3));
}

// IEC 60034-1: 225 for aluminium. Electrical aluminium: 0.00403 per K at 20 degC (IEC 60889); both
// from memory, and they differ by 0.3 % at 80 K of rise.
TEST(WindingTemperature, AluminiumFollowsItsOwnConstant)
{
    EXPECT_TRUE(nearRel(resistanceAt_ohm(1, 20, 100, WindingMetal::aluminium), 325.0 / 245, 1e-12));
    EXPECT_TRUE(
        nearRel(resistanceAt_ohm(1, 20, 100, WindingMetal::aluminium), 1 + 0.00403 * 80, 4e-3));
    EXPECT_GT(resistanceAt_ohm(1, 20, 100, WindingMetal::aluminium), resistanceAt_ohm(1, 20, 100));
}

TEST(WindingTemperature, GoingThereAndBackChangesNothing)
{
    const double hot_ohm = resistanceAt_ohm(0.83, 24, 110);
    EXPECT_TRUE(nearRel(resistanceAt_ohm(hot_ohm, 110, 24), 0.83, 1e-14));
}

}  // namespace splitstart
