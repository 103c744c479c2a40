// Wire, generator, contactor, fan capacitor and crankcase heat: where each verdict turns.
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <stdexcept>
#include <string>
#include <string_view>
#include <utility>

#include "physics/near.h"
#include "unit/rating/sound_bench.h"

namespace splitstart
{

namespace
{

constexpr double squareMillimetre_m2 = 1e-6;

Finding conductorFinding(double area_mm2, double ratedLoad_A,
                         ConductorMaterial material = ConductorMaterial::copper)
{
    RatingBench bench = soundMilkTank();
    bench.input.supply.conductors = {
        {20, area_mm2 * squareMillimetre_m2, material, 40, {bench.input.file, 4}}};
    bench.input.compressor.nameplate.ratedLoad_A = ratedLoad_A;
    bench.input.circuit->fan.clear();
    return bench.finding("conductor-amps");
}

}  // namespace

// NFPA 70 (NEC), table 310.16, copper, and the areas of chapter 9, table 8 (rows from memory): up
// to 1 AWG the column of 60 degC, since 110.14(C) takes terminals of such circuits for no better
// unless they are marked, beyond it that of 75 degC. 440.32 asks for 125 % of the rated-load amps.
TEST(ConductorAmps, AreThoseOfTheElectricalCodesTable)
{
    struct Row {
        const char* gauge;
        double area_mm2;
        double ampacity_A;
    };
    constexpr Row rows[] = {
        {"14", 2.08, 15},    {"12", 3.31, 20},    {"10", 5.261, 30},   {"8", 8.367, 40},
        {"6", 13.30, 55},    {"4", 21.15, 70},    {"3", 26.67, 85},    {"2", 33.62, 95},
        {"1", 42.41, 110},   {"1/0", 53.49, 150}, {"2/0", 67.43, 175}, {"3/0", 85.01, 200},
        {"4/0", 107.2, 230},
    };
    for (const Row& row : rows) {
        const Finding most = conductorFinding(row.area_mm2, row.ampacity_A / 1.25);
        EXPECT_EQ(most.verdict, Verdict::pass) << row.gauge;
        EXPECT_EQ(most.limit, row.ampacity_A) << row.gauge;
        EXPECT_EQ(conductorFinding(row.area_mm2, 1.001 * row.ampacity_A / 1.25).verdict,
                  Verdict::fail)
            << row.gauge;
    }
}

// A metric cross section carries at least what the next thinner gauge does.
TEST(ConductorAmps, OfASizeBetweenTwoGaugesAreThoseOfTheThinnerOne)
{
    EXPECT_EQ(conductorFinding(2.5, 10).limit, 15);
    EXPECT_EQ(conductorFinding(4, 10).limit, 20);
    EXPECT_EQ(conductorFinding(6, 10).limit, 30);
    EXPECT_EQ(conductorFinding(10, 10).limit, 40);
    EXPECT_EQ(conductorFinding(16, 10).limit, 55);
}

TEST(ConductorAmps, AreUndecidedOutsideTheTable)
{
    EXPECT_EQ(conductorFinding(1.5, 1).verdict, Verdict::undecided);
    EXPECT_EQ(conductorFinding(16, 1, ConductorMaterial::aluminium).verdict, Verdict::undecided);
    RatingBench bench = soundMilkTank();
    bench.input.compressor.nameplate.ratedLoad_A.reset();
    EXPECT_EQ(bench.finding("conductor-amps").verdict, Verdict::undecided);
}

TEST(ConductorAmps, AreJudgedByTheThinnestRun)
{
    RatingBench bench = soundMilkTank();
    ConductorRun thin = bench.input.supply.conductors.front();
    thin.area_m2 = 2.08 * squareMillimetre_m2;
    bench.input.supply.conductors.push_back(thin);
    bench.input.compressor.nameplate.ratedLoad_A = 13;  // 16.25 A against 15, and against 30
    const Finding finding = bench.finding("conductor-amps");
    EXPECT_EQ(finding.verdict, Verdict::fail);
    EXPECT_TRUE(finding.corner.starts_with("conductor 2")) << finding.corner;
}

// NFPA 70 (NEC) 440.32 to 440.33 (from memory): beside the 125 % of the compressor the wire carries
// the other motors' full amps, of a fan with a capacitor or without.
TEST(ConductorAmps, AreThoseOfTheFanToo)
{
    for (const auto& [fan, fan_A] : {std::pair("fan-with-capacitor", 0.9), {"fan", 0.6}}) {
        RatingBench bench = soundMilkTank();  // 10 AWG
        bench.input.circuit->fan = fan;
        bench.input.compressor.nameplate.ratedLoad_A = (29.99 - fan_A) / 1.25;
        EXPECT_EQ(bench.finding("conductor-amps").verdict, Verdict::pass) << fan;
        bench.input.compressor.nameplate.ratedLoad_A = (30.01 - fan_A) / 1.25;
        EXPECT_EQ(bench.finding("conductor-amps").verdict, Verdict::fail) << fan;
        bench.input.circuit->fan.clear();
        EXPECT_EQ(bench.finding("conductor-amps").verdict, Verdict::pass) << fan;
    }
}

// A motor for 60 Hz, known by its equivalent circuit alone, on 50 Hz: its reactances fall by a
// sixth and the amps rise, whether a plate says so or not.
TEST(SupplyFrequency, IsThatOfTheEquivalentCircuitWhereNoPlateIsGiven)
{
    constexpr const char* both = "supply-volts-and-frequency";
    RatingBench bench = soundColdStore();
    bench.input.compressor.nameplate.frequency_Hz.reset();
    EXPECT_THROW(static_cast<void>(bench.finding("supply-frequency")), std::out_of_range);
    EXPECT_THROW(static_cast<void>(bench.finding(both)), std::out_of_range);
    bench.input.compressor.equivalentCircuit = coldStoreMotor();  // 60 Hz
    EXPECT_EQ(bench.finding("supply-frequency").verdict, Verdict::pass);
    EXPECT_EQ(bench.finding(both).verdict, Verdict::pass);
    bench.input.supply.frequency_Hz = 50;
    EXPECT_EQ(bench.finding("supply-frequency").verdict, Verdict::fail);
    EXPECT_EQ(bench.finding(both).verdict, Verdict::fail);
    EXPECT_TRUE(nearRel(bench.finding(both).value, 100.0 / 6, 1e-9));
    // The plate comes first.
    bench.input.compressor.nameplate.frequency_Hz = 50;
    EXPECT_EQ(bench.finding("supply-frequency").verdict, Verdict::pass);
}

// NEMA MG 1 12.44 (from memory): sum of the variations at most 10 %, hertz at most 5 %.
TEST(SupplyVoltsAndFrequency, AreWithinTenPercentTogether)
{
    const auto bench = [](double volts_ratio, double hertz_ratio) {
        RatingBench changed = soundColdStore();
        changed.input.supply.voltage_V *= volts_ratio;
        changed.input.supply.frequency_Hz *= hertz_ratio;
        return changed;
    };
    constexpr const char* both = "supply-volts-and-frequency";
    EXPECT_EQ(bench(0.951, 1.049).finding(both).verdict, Verdict::pass);
    EXPECT_EQ(bench(1.054, 0.955).finding(both).verdict, Verdict::pass);
    for (const auto& [volts, hertz] : {std::pair(0.93, 1.04), {1.07, 0.96}, {0.93, 0.96}}) {
        const RatingBench changed = bench(volts, hertz);
        EXPECT_EQ(changed.finding("supply-volts").verdict, Verdict::pass);
        EXPECT_EQ(changed.finding("supply-frequency").verdict, Verdict::pass);
        EXPECT_EQ(changed.finding(both).verdict, Verdict::fail);
        EXPECT_TRUE(nearRel(changed.finding(both).value, 11, 1e-9));  // 7 and 4
    }
}

// A supply with a limit is not linear, so that held-shaft analyses do not show how far its volts
// fall; the starts do, those at 100 % line and more: higher volts draw more amps.
TEST(SupplyVoltsStarting, OfALimitedSupplyAreThoseOfTheStarts)
{
    RatingBench bench = soundMilkTank();
    bench.eachRowIn([](HeldShaftMeasurement& row) { row.runWinding_V *= 0.5; });
    EXPECT_EQ(bench.finding("supply-volts-starting").verdict, Verdict::pass);
    for (StartRun& run : bench.evidence.starts) {
        if (run.corner.line_ratio < 1) {
            run.measured.terminalStalled_V = 100;  // a low line is no fault of the feed
        }
    }
    EXPECT_EQ(bench.finding("supply-volts-starting").verdict, Verdict::pass);
    for (const double line_ratio : {1.0, 1.1}) {
        RatingBench collapsed = bench;
        for (StartRun& run : collapsed.evidence.starts) {
            if (run.corner.line_ratio == line_ratio) {
                run.measured.terminalStalled_V = 0.899 * 230;
            }
        }
        EXPECT_EQ(collapsed.finding("supply-volts-starting").verdict, Verdict::fail) << line_ratio;
    }
}

TEST(SupplyLimit, IsHeldAgainstTheStalledAmpsAtFullLine)
{
    RatingBench bench = soundMilkTank();  // 85 A
    bench.input.supply.limit_A = 85.1;
    EXPECT_EQ(bench.finding("supply-limit").verdict, Verdict::pass);
    bench.input.supply.limit_A = 84.9;
    EXPECT_EQ(bench.finding("supply-limit").verdict, Verdict::fail);
}

// Whatever makes its own volts gives way somewhere; a socket of the utility's has its fuse.
TEST(SupplyLimit, OfAGeneratorOrInverterHasToBeKnown)
{
    for (const SupplyKind kind : {SupplyKind::generator, SupplyKind::inverter}) {
        RatingBench bench = soundColdStore();
        bench.input.supply.kind = kind;
        const Finding finding = bench.finding("supply-limit");
        EXPECT_EQ(finding.verdict, Verdict::undecided);
        EXPECT_NE(finding.because.find("limit-amps"), std::string::npos) << finding.because;
        bench.input.supply.limit_A = 85.1;
        EXPECT_EQ(bench.finding("supply-limit").verdict, Verdict::pass);
    }
    EXPECT_THROW(static_cast<void>(soundColdStore().finding("supply-limit")), std::out_of_range);
}

TEST(SupplyVoltsRunning, AreAskedOnlyWhereTheFeedIsKnown)
{
    RatingBench bench = soundColdStore();
    bench.input.supply.sourceImpedanceGiven = false;
    for (const Finding& finding : bench.findings()) {
        EXPECT_NE(finding.check->id, "supply-volts-running");
    }
    bench.input.supply.conductors = {
        {20, 5.26e-6, ConductorMaterial::copper, 40, {bench.input.file, 4}}};
    bench.eachRowOut([](HeldShaftMeasurement& row) { row.runWinding_V = 0.951 * 230; });
    EXPECT_EQ(bench.finding("supply-volts-running").verdict, Verdict::pass);
    bench.eachRowOut([](HeldShaftMeasurement& row) { row.runWinding_V = 0.949 * 230; });
    EXPECT_EQ(bench.finding("supply-volts-running").verdict, Verdict::fail);
}

TEST(Contactor, IsJudgedAtTheLinesThatDrawTheMost)
{
    RatingBench bench = soundCurdRoom();
    bench.input.compressor.nameplate.ratedLoad_A.reset();
    bench.eachRowIn([](HeldShaftMeasurement& row) { row.line_A = 100; });
    auto& contactor = partOf<Contactor>(bench.input, "two-pole");
    contactor.lockedRotor_A = 110.1;  // 110 % line
    EXPECT_EQ(bench.finding("contactor-locked-rotor-amps").verdict, Verdict::pass);
    contactor.lockedRotor_A = 109.9;
    EXPECT_EQ(bench.finding("contactor-locked-rotor-amps").verdict, Verdict::fail);
    bench.eachRowOut([](HeldShaftMeasurement& row) { row.line_A = 10; });
    contactor.fullLoad_A = 11.01;
    EXPECT_EQ(bench.finding("contactor-full-load-amps").verdict, Verdict::pass);
    contactor.fullLoad_A = 10.99;
    EXPECT_EQ(bench.finding("contactor-full-load-amps").verdict, Verdict::fail);
}

// The plate may ask for more than the simulated motor draws; its locked-rotor amps are the
// compressor's alone, and rated-load amps have the fan's beside them.
TEST(Contactor, IsJudgedByTheNameplateToo)
{
    RatingBench bench = soundCurdRoom();
    auto& contactor = partOf<Contactor>(bench.input, "two-pole");
    bench.input.compressor.nameplate.ratedLoad_A = 20;
    contactor.fullLoad_A = 20.91;  // the fan's label: 0.9 A
    EXPECT_EQ(bench.finding("contactor-full-load-amps").verdict, Verdict::pass);
    contactor.fullLoad_A = 20.89;
    EXPECT_EQ(bench.finding("contactor-full-load-amps").verdict, Verdict::fail);
    bench.input.compressor.nameplate.lockedRotor_A = 120;
    contactor.lockedRotor_A = 120;
    EXPECT_EQ(bench.finding("contactor-locked-rotor-amps").verdict, Verdict::pass);
    contactor.lockedRotor_A = 119;
    EXPECT_EQ(bench.finding("contactor-locked-rotor-amps").verdict, Verdict::fail);
}

// In a balanced two-phase motor the capacitor's volt-amperes are those of the whole motor at the
// line: with the main current I a lag phi behind V, and n = tan(phi), the line takes
//   P = 2 V I cos(phi), Q = 2 V I sin(phi) - V I / sin(phi), P^2 + Q^2 = (V I / sin(phi))^2,
// and V I / sin(phi) is what the capacitor takes. So Vc^2 w C = V I(line).
TEST(FanCapacitorVolts, MakeItsVoltAmperesThoseOfTheMotor)
{
    for (const double current_A : {0.7, 0.9, 1.4}) {
        RatingBench bench = soundMilkTank();
        auto& fan = partOf<CapacitorFan>(bench.input, "fan-with-capacitor");
        fan.current_A = current_A;
        const double volts_V =
            std::sqrt(230 * current_A / (2 * std::numbers::pi * 60 * fan.capacitor_F));
        const double highest_V = 1.1 * volts_V;
        auto& capacitor = partOf<RunCapacitor>(bench.input, "fan-run");
        capacitor.rated_V = 1.001 * highest_V;
        EXPECT_EQ(bench.finding("fan-capacitor-volts").verdict, Verdict::pass);
        EXPECT_TRUE(nearRel(bench.finding("fan-capacitor-volts").value, highest_V, 1e-6));
        capacitor.rated_V = 0.999 * highest_V;
        EXPECT_EQ(bench.finding("fan-capacitor-volts").verdict, Verdict::fail);
    }
}

// The commonest of all: the microfarads that the label asks, give or take the 10 % that such
// capacitors are sold with. Both ends count as within 10 %, whatever the rounding of the numbers.
TEST(FanCapacitorMicrofarads, OfTheLabelAndATenthMoreOrLessSuit)
{
    constexpr double micro = 1e-6;
    RatingBench bench = soundMilkTank();
    auto& asked_F = partOf<CapacitorFan>(bench.input, "fan-with-capacitor").capacitor_F;
    auto& fitted_F = partOf<RunCapacitor>(bench.input, "fan-run").capacitance_F;
    const auto verdicts = [&bench] {
        return std::pair(bench.finding("fan-capacitor-least").verdict,
                         bench.finding("fan-capacitor-most").verdict);
    };
    constexpr std::pair suits(Verdict::pass, Verdict::pass);
    for (int tenths_uF = 10; tenths_uF <= 800; tenths_uF += 5) {
        asked_F = tenths_uF / 10.0 * micro;
        // As read with a tolerance, and as read with both ends in decimals.
        fitted_F = {asked_F * (1 - 0.1), asked_F * (1 + 0.1)};
        EXPECT_EQ(verdicts(), suits) << tenths_uF;
        fitted_F = {tenths_uF * 9 / 100.0 * micro, tenths_uF * 11 / 100.0 * micro};
        EXPECT_EQ(verdicts(), suits) << tenths_uF;
        fitted_F = {0.899 * asked_F, 1.101 * asked_F};
        EXPECT_EQ(verdicts(), std::pair(Verdict::fail, Verdict::fail)) << tenths_uF;
    }
}

// Sections exchanged: the compressor's on the fan.
TEST(FanCapacitorMicrofarads, OfADualCapacitorAreThoseOfItsFanSection)
{
    RatingBench bench = soundCurdRoom();
    auto& dual = partOf<DualRunCapacitor>(bench.input, "dual");
    EXPECT_EQ(bench.finding("fan-capacitor-most").verdict, Verdict::pass);
    std::swap(dual.compressor_F, dual.fan_F);
    EXPECT_EQ(bench.finding("fan-capacitor-most").verdict, Verdict::fail);
}

// Half of what is lost in running, the case's own rule (no source). Off-time watts go with the
// square of the line. Two poles on 60 Hz at 90 % speed and 5 N m deliver 5 * 0.9 * 376.99 W.
TEST(CrankcaseHeat, MayBringHalfOfTheLossesOfRunningAndNoMore)
{
    RatingBench bench = soundRipeningRoom();
    bench.eachRowOut([](HeldShaftMeasurement& row) {
        row.torque_Nm = 50 * (1 - row.speed_ratio);  // full load, 5 N m, at 90 %
        row.line_W = 5 * 0.9 * 2 * std::numbers::pi * 60 + 300;
    });
    bench.evidence.offTime->line_W = 149.9 / 1.21;
    EXPECT_EQ(bench.finding("crankcase-heat-watts").verdict, Verdict::pass);
    bench.evidence.offTime->line_W = 150.1 / 1.21;
    const Finding finding = bench.finding("crankcase-heat-watts");
    EXPECT_EQ(finding.verdict, Verdict::fail);
    EXPECT_TRUE(nearRel(finding.value, 150.1, 1e-9));
    EXPECT_TRUE(nearRel(finding.limit, 150, 1e-6));
    // Amps alone do not decide it: those of a lead without resistance heat nothing.
    bench.evidence.offTime->line_W = 1;
    bench.evidence.offTime->auxiliary_A = 50;
    EXPECT_EQ(bench.finding("crankcase-heat-watts").verdict, Verdict::pass);
    // Four poles turn half as fast and deliver half: more of the watts is heat.
    bench.evidence.offTime->line_W = 150.1 / 1.21;
    bench.input.compressor.poles = 4;
    EXPECT_EQ(bench.finding("crankcase-heat-watts").verdict, Verdict::pass);
}

// Rated volts for 60 s an hour: a sixtieth of that heat on average. It goes with the square of the
// volts, so 330 V / sqrt(60) may stand for good, at 110 % line.
TEST(StartCapacitorOffTime, AllowsTheMeanHeatOfItsDuty)
{
    RatingBench bench = soundCreamCellar();
    partOf<StartCapacitor>(bench.input, "start").dutySecondsPerHour = 60;
    const double highest_V = 330 / std::sqrt(60.0) / 1.1;
    bench.evidence.offTime->startCapacitor_V = 0.999 * highest_V;
    EXPECT_EQ(bench.finding("start-capacitor-off-time").verdict, Verdict::pass);
    bench.evidence.offTime->startCapacitor_V = 1.001 * highest_V;
    EXPECT_EQ(bench.finding("start-capacitor-off-time").verdict, Verdict::fail);
    partOf<StartCapacitor>(bench.input, "start").dutySecondsPerHour = 240;  // twice the volts
    bench.evidence.offTime->startCapacitor_V = 1.999 * highest_V;
    EXPECT_EQ(bench.finding("start-capacitor-off-time").verdict, Verdict::pass);
    bench.evidence.offTime.reset();
    EXPECT_THROW(static_cast<void>(bench.finding("start-capacitor-off-time")), std::out_of_range);
}

}  // namespace splitstart
