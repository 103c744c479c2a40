// What capacitors have to stand, by Ohm's law and its like, and at which line.
#include <gtest/gtest.h>

#include <utility>

#include "physics/near.h"
#include "rating/check_readers.h"
#include "unit/rating/sound_bench.h"

namespace splitstart
{

// A supply below 85 % or above 110 % of the rated volts is itself the lowest or the highest line.
TEST(LineOfACheck, GoesAsFarAsTheSupplyThatWasFound)
{
    struct Row {
        double supply_V, lowest_ratio, highest_ratio;
    };
    for (const Row& row : {Row{230, 0.85, 1.10}, Row{184, 0.80, 1.10}, Row{276, 0.85, 1.20},
                           Row{200, 0.85, 1.10}, Row{250, 0.85, 1.10}}) {
        Case input = coldStoreCase();
        input.compressor.nameplate.voltage_V = 230;
        input.supply.voltage_V = row.supply_V;
        EXPECT_NEAR(lowestLine_ratio(input), row.lowest_ratio, 1e-12) << row.supply_V;
        EXPECT_NEAR(highestLine_ratio(input), row.highest_ratio, 1e-12) << row.supply_V;
    }
}

// At 60 Hz a microfarad takes an ampere for each 2652.6 V (1e6 / (2 pi 60), any text on circuits).
// 300 V at the rated line are 330 V at 110 %; 37.6 to 42.4 uF, of which the most take most; the
// label's 440 V would drive 440 * 40 / 2652.6 A through the middle of the range, and 1.3 times that
// is allowed. At 50 Hz all are five sixths.
TEST(RunCapacitorAmps, AreThoseOfItsMicrofaradsAndVolts)
{
    for (const auto& [line_Hz, share] : {std::pair(60.0, 1.0), std::pair(50.0, 5.0 / 6)}) {
        RatingBench bench = soundColdStore();
        bench.input.supply.frequency_Hz = line_Hz;
        bench.eachRowOut([](HeldShaftMeasurement& row) { row.runCapacitor_V = 300; });
        const Finding finding = bench.finding("run-capacitor-amps");
        EXPECT_TRUE(nearRel(finding.value, share * 330 * 42.4 / 2652.6, 1e-4));
        EXPECT_TRUE(nearRel(finding.limit, share * 1.3 * 440 * 40 / 2652.6, 1e-4));
    }
}

// A charge halves in 0.6931 R C (any text on circuits): 15 kilohm across the 156 uF that there may
// be take it from 400 V to 200, 100 and 50 V in three times 1.6219 s. 50 V and less need no time.
TEST(BleedResistorTime, IsThreeHalvingsFromFourHundredVoltsToFifty)
{
    RatingBench bench = soundColdStore();
    bench.eachStart([](StartMeasurement& m) { m.startCapacitorPeak_V = 400; });
    EXPECT_TRUE(nearRel(bench.finding("bleed-resistor-time").value, 3 * 1.6219, 1e-4));
    bench.eachStart([](StartMeasurement& m) { m.startCapacitorPeak_V = 49; });
    EXPECT_EQ(bench.finding("bleed-resistor-time").value, 0);
    // 37 times as many ohms: 180 s.
    bench.eachStart([](StartMeasurement& m) { m.startCapacitorPeak_V = 400; });
    partOf<StartCapacitor>(bench.input, "start").bleed_ohm = 37 * 15e3;
    EXPECT_EQ(bench.finding("bleed-resistor-time").verdict, Verdict::fail);
}

}  // namespace splitstart
