// Where the verdict on the windings' heat turns: with a wire that was measured, and in the range of
// one that was not.
#include <gtest/gtest.h>

#include <cmath>
#include <string>

#include "physics/near.h"
#include "unit/rating/sound_bench.h"

namespace splitstart
{

namespace
{

// Amps squared over time that bring a copper wire from one temperature to another, step by step:
// dT / (I^2 dt) = rho(T) / (c S^2), 1.7241e-8 ohm m at 20 degC rising by 0.00393 a kelvin, 3.45e6
// J/(m3 K) (IEC 60028, IEC 60949, from memory).
double copperHeat_A2s(double area_m2, double from_degC, double to_degC)
{
    constexpr int steps = 20000;
    const double step_K = (to_degC - from_degC) / steps;
    double heat_A2s = 0;
    for (int i = 0; i < steps; ++i) {
        const double degC = from_degC + (i + 0.5) * step_K;
        heat_A2s += step_K * 3.45e6 * area_m2 * area_m2 / (1.7241e-8 * (1 + 0.00393 * (degC - 20)));
    }
    return heat_A2s;
}

// The same for a wire that heats by that rate at 25 degC while it carries one amp.
double heatOfUnmeasured_s(double rate_K_s, double from_degC, double to_degC)
{
    const double area_m2 = std::sqrt(1.7241e-8 * (1 + 0.00393 * 5) / (3.45e6 * rate_K_s));
    return copperHeat_A2s(area_m2, from_degC, to_degC);
}

// Hot windings are the nearest to their limit, where all starts heat them alike.
constexpr double hot_degC = 110;
constexpr double limit_degC = 200;
constexpr double wire_m2 = 1.5e-6;
constexpr double stalledMain_A = 70;
constexpr double stalledAuxiliary_A = 35;

Verdict runWinding(double heat_A2s, std::optional<double> main_m2)
{
    RatingBench bench = soundColdStore();
    bench.input.compressor.wire.main_m2 = main_m2;
    bench.eachStart([heat_A2s](StartMeasurement& m) { m.mainHeat_A2s = heat_A2s; });
    return bench.finding("run-winding-heat").verdict;
}

Verdict startWinding(double heat_A2s, std::optional<double> auxiliary_m2)
{
    RatingBench bench = soundColdStore();
    bench.input.compressor.wire.auxiliary_m2 = auxiliary_m2;
    bench.eachStart([heat_A2s](StartMeasurement& m) { m.auxiliaryHeat_A2s = heat_A2s; });
    return bench.finding("start-winding-heat").verdict;
}

}  // namespace

TEST(WindingHeat, OfAMeasuredWireTurnsWhereItsCopperIsAt200Degrees)
{
    const double atLimit_A2s = copperHeat_A2s(wire_m2, hot_degC, limit_degC);
    EXPECT_EQ(runWinding(0.99 * atLimit_A2s, wire_m2), Verdict::pass);
    EXPECT_EQ(runWinding(1.01 * atLimit_A2s, wire_m2), Verdict::fail);
    EXPECT_EQ(startWinding(0.99 * atLimit_A2s, wire_m2), Verdict::pass);
    EXPECT_EQ(startWinding(1.01 * atLimit_A2s, wire_m2), Verdict::fail);
}

// The law of heating knows no end, and with amps enough no number either.
TEST(WindingHeat, OfAWireThatWouldMeltFailsWithoutANumber)
{
    for (const double heat_A2s : {1.0, 1e3, 1e6}) {
        RatingBench bench = soundColdStore();
        bench.input.compressor.wire.main_m2 = 1e-8;
        bench.eachStart([heat_A2s](StartMeasurement& m) { m.mainHeat_A2s = 1e3 * heat_A2s; });
        const Finding& finding = bench.finding("run-winding-heat");
        EXPECT_EQ(finding.verdict, Verdict::fail);
        EXPECT_FALSE(finding.hasValue);
        EXPECT_EQ(finding.limit, limit_degC);
    }
}

TEST(WindingHeat, OfAnUnmeasuredWireIsUndecidedBetweenTheEndsOfItsRange)
{
    const double mainSquare = stalledMain_A * stalledMain_A;
    const double fast_A2s = mainSquare * heatOfUnmeasured_s(18, hot_degC, limit_degC);
    const double slow_A2s = mainSquare * heatOfUnmeasured_s(8, hot_degC, limit_degC);
    EXPECT_EQ(runWinding(0.99 * fast_A2s, {}), Verdict::pass);
    EXPECT_EQ(runWinding(1.01 * fast_A2s, {}), Verdict::undecided);
    EXPECT_EQ(runWinding(0.99 * slow_A2s, {}), Verdict::undecided);
    EXPECT_EQ(runWinding(1.01 * slow_A2s, {}), Verdict::fail);
    const double auxiliarySquare = stalledAuxiliary_A * stalledAuxiliary_A;
    const double fastest_A2s = auxiliarySquare * heatOfUnmeasured_s(50, hot_degC, limit_degC);
    const double slowest_A2s = auxiliarySquare * heatOfUnmeasured_s(8, hot_degC, limit_degC);
    EXPECT_EQ(startWinding(0.99 * fastest_A2s, {}), Verdict::pass);
    EXPECT_EQ(startWinding(1.01 * fastest_A2s, {}), Verdict::undecided);
    EXPECT_EQ(startWinding(0.99 * slowest_A2s, {}), Verdict::undecided);
    EXPECT_EQ(startWinding(1.01 * slowest_A2s, {}), Verdict::fail);
}

// A start part that does not suit makes a winding draw more. The range of its wire is that of the
// motor, which the part does not thicken.
TEST(WindingHeat, SizesAnUnmeasuredWireWithoutTheStartPartsThatAreJudged)
{
    const double main_A2s =
        1.01 * stalledMain_A * stalledMain_A * heatOfUnmeasured_s(8, hot_degC, limit_degC);
    const double auxiliary_A2s = 1.01 * stalledAuxiliary_A * stalledAuxiliary_A *
                                 heatOfUnmeasured_s(8, hot_degC, limit_degC);
    RatingBench bench = soundColdStore();
    bench.evidence.auxiliaryOnLine_A = stalledAuxiliary_A;
    bench.eachStart([&](StartMeasurement& m) {
        m.mainHeat_A2s = main_A2s;
        m.auxiliaryHeat_A2s = auxiliary_A2s;
    });
    bench.eachRowIn([](HeldShaftMeasurement& row) {
        row.main_A *= 2;
        row.auxiliary_A *= 2;
    });
    EXPECT_EQ(bench.finding("run-winding-heat").verdict, Verdict::fail);
    EXPECT_EQ(bench.finding("start-winding-heat").verdict, Verdict::fail);
    // A motor that draws twice as much by itself has wire of twice the cross section, which takes
    // four times the heat: more than the 18/8 and less than the 50/8 that the ends of the ranges
    // differ.
    bench.eachRowOut([](HeldShaftMeasurement& row) { row.main_A *= 2; });
    EXPECT_EQ(bench.finding("run-winding-heat").verdict, Verdict::pass);
    bench.evidence.auxiliaryOnLine_A = 2 * stalledAuxiliary_A;
    EXPECT_EQ(bench.finding("start-winding-heat").verdict, Verdict::undecided);
}

// What one winding's wire is says nothing of the other's.
TEST(WindingHeat, OfOneWindingIsNotDecidedByTheWireOfTheOther)
{
    const double between_A2s =
        1.5 * stalledMain_A * stalledMain_A * heatOfUnmeasured_s(18, hot_degC, limit_degC);
    RatingBench bench = soundColdStore();
    bench.input.compressor.wire.auxiliary_m2 = wire_m2;
    bench.eachStart([&](StartMeasurement& m) { m.mainHeat_A2s = between_A2s; });
    EXPECT_EQ(bench.finding("run-winding-heat").verdict, Verdict::undecided);
}

TEST(WindingHeat, FailsWhereOneStartSurelyIsTooHotThoughAnotherIsUnsure)
{
    const double square = stalledMain_A * stalledMain_A;
    RatingBench bench = soundColdStore();
    bench.eachStart([&](StartMeasurement& m) {
        m.mainHeat_A2s = 1.5 * square * heatOfUnmeasured_s(18, hot_degC, limit_degC);
    });
    bench.evidence.starts[2].measured.mainHeat_A2s =
        1.1 * square * heatOfUnmeasured_s(8, 25, limit_degC);
    const Finding finding = bench.finding("run-winding-heat");
    EXPECT_EQ(finding.verdict, Verdict::fail);
    EXPECT_EQ(finding.corner, cornerText(bench.evidence.starts[2].corner));
    // What the thickest wire comes to from 110 degC, 1.1 times the exponent that leads from 25 to
    // 200 degC; a thinner one's
    // temperature would be sure of nothing.
    const double sure_degC = 344.5 * std::pow(434.5 / 259.5, 1.1) - 234.5;
    EXPECT_TRUE(nearRel(finding.value, sure_degC, 0.01));
}

// Aluminium of the same cross section has 148^2 / 226^2 of copper's heat (IEC 60949, from memory):
// less than half.
TEST(WindingHeat, IsReachedSoonerInAluminium)
{
    const double heat_A2s = 0.6 * copperHeat_A2s(wire_m2, hot_degC, limit_degC);
    RatingBench bench = soundColdStore();
    bench.input.compressor.wire.main_m2 = wire_m2;
    bench.eachStart([heat_A2s](StartMeasurement& m) { m.mainHeat_A2s = heat_A2s; });
    EXPECT_EQ(bench.finding("run-winding-heat").verdict, Verdict::pass);
    bench.input.compressor.wire.material = ConductorMaterial::aluminium;
    EXPECT_EQ(bench.finding("run-winding-heat").verdict, Verdict::fail);
}

TEST(WindingHeat, OfAStartWindingWithoutCurrentIsNotAsked)
{
    RatingBench bench = soundColdStore();
    bench.eachRowIn([](HeldShaftMeasurement& row) { row.auxiliary_A = 0; });
    for (const Finding& finding : bench.findings()) {
        EXPECT_NE(finding.check->id, "start-winding-heat");
    }
}

// A stalled winding of known wire is at 200 degC at one instant; the trip must come before it.
TEST(ProtectorTripsStalled, IsDecidedByAMeasuredWire)
{
    // One corner: cold, stiff line at both ends, of which 85 % is the nearest to its limit.
    const auto findingWith = [](double wireFactor) {
        RatingBench bench = soundColdStore();
        bench.evidence.held.resize(1);
        const double trip_s = bench.finding("protector-trips-stalled").value;
        const double current_A = stalledMain_A * 0.85;
        const double heat_A2s = trip_s * current_A * current_A;
        const double area_m2 = std::sqrt(heat_A2s / copperHeat_A2s(1, 25, limit_degC));
        bench.input.compressor.wire.main_m2 = wireFactor * area_m2;
        return bench.finding("protector-trips-stalled");
    };
    EXPECT_EQ(findingWith(1.01).verdict, Verdict::pass);
    EXPECT_EQ(findingWith(0.99).verdict, Verdict::fail);
    EXPECT_NE(findingWith(0.99).corner.find("85 % line"), std::string::npos);
}

TEST(ProtectorTripsStalled, MindsAThinStartWindingThatIsKnown)
{
    RatingBench bench = soundColdStore();
    bench.input.compressor.wire.main_m2 = 10e-6;
    EXPECT_EQ(bench.finding("protector-trips-stalled").verdict, Verdict::pass);
    // 35 A in 0.2 mm2: 175 A/mm2, at 200 degC within two seconds.
    bench.input.compressor.wire.auxiliary_m2 = 0.2e-6;
    EXPECT_EQ(bench.finding("protector-trips-stalled").verdict, Verdict::fail);
    bench.input.compressor.wire.auxiliary_m2 = 10e-6;
    EXPECT_EQ(bench.finding("protector-trips-stalled").verdict, Verdict::pass);
}

// NFPA 70 (NEC) 440.52(A), from memory: a thermal protector of a motor-compressor trips at no more
// than 156 % of rated-load amps.
TEST(ProtectorUltimateTrip, IsAtMost156PercentOfTheRatedLoadAmps)
{
    RatingBench bench = soundColdStore();
    bench.evidence.held.resize(1);  // cold: its ambient is 25 degC, below that of its rating
    auto& protector = partOf<Protector>(bench.input, "inside");
    protector.ambient_degC = 25;
    protector.ultimateTrip_A = 15.6;
    bench.input.compressor.nameplate.ratedLoad_A = 10.01;
    EXPECT_EQ(bench.finding("protector-ultimate-trip").verdict, Verdict::pass);
    bench.input.compressor.nameplate.ratedLoad_A = 9.99;
    EXPECT_EQ(bench.finding("protector-ultimate-trip").verdict, Verdict::fail);
}

}  // namespace splitstart
