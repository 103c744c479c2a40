// Two start capacitors as one: against impedances and voltage dividers of any text on circuits.
#include "case/capacitor_pair.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <complex>
#include <numbers>

#include "unit/case/case_fixture.h"

namespace splitstart
{
namespace
{

constexpr double omega_rad_s = 2 * std::numbers::pi * 60;
const CapacitorPair inParallel{"a", "b", PairConnection::parallel};
const CapacitorPair inSeries{"a", "b", PairConnection::series};

StartCapacitor capacitorOf(double minimum_uF, double maximum_uF, double rated_V)
{
    StartCapacitor part;
    part.capacitance_F = {minimum_uF * 1e-6, maximum_uF * 1e-6};
    part.rated_V = rated_V;
    part.bleed_ohm = 15e3;
    part.bleed_W = 2;
    return part;
}

// Series resistance tan(delta)/(omega C): the definition of the dissipation factor.
std::complex<double> impedance(double farads, double dissipation)
{
    const double reactance_ohm = 1 / (omega_rad_s * farads);
    return {dissipation * reactance_ohm, -reactance_ohm};
}

TEST(CapacitorPair, InParallelHasTheAdmittanceOfBoth)
{
    StartCapacitor a = capacitorOf(100, 100, 330);
    StartCapacitor b = capacitorOf(50, 50, 250);
    a.dissipationFactor = 0.04;
    b.dissipationFactor = 0.10;
    const StartCapacitor pair = pairedCapacitor(a, b, inParallel);
    EXPECT_NEAR(pair.capacitance_F.minimum, 150e-6, 1e-18);
    EXPECT_NEAR(pair.capacitance_F.maximum, 150e-6, 1e-18);
    EXPECT_EQ(pair.rated_V, 250);  // each sees all the volts
    const std::complex<double> both =
        1.0 / (1.0 / impedance(100e-6, 0.04) + 1.0 / impedance(50e-6, 0.10));
    const std::complex<double> one = impedance(150e-6, pair.dissipationFactor);
    // The loss exactly to the first order of the dissipation factors; the square of 0.1 is left.
    EXPECT_LT(std::abs(one - both) / std::abs(both), 0.01);
    EXPECT_NEAR(one.real() / both.real(), 1, 0.02);
    ASSERT_TRUE(pair.pair.has_value());
    EXPECT_EQ(pair.pair->connection, PairConnection::parallel);
}

TEST(CapacitorPair, InSeriesHasTheImpedanceOfBoth)
{
    StartCapacitor a = capacitorOf(120, 120, 165);
    StartCapacitor b = a;
    a.dissipationFactor = 0.04;
    b.dissipationFactor = 0.08;
    const StartCapacitor pair = pairedCapacitor(a, b, inSeries);
    EXPECT_DOUBLE_EQ(pair.capacitance_F.minimum, 60e-6);
    const std::complex<double> both = impedance(120e-6, 0.04) + impedance(120e-6, 0.08);
    const std::complex<double> one = impedance(60e-6, pair.dissipationFactor);
    EXPECT_NEAR(one.real(), both.real(), 1e-9);
    EXPECT_NEAR(one.imag(), both.imag(), 1e-9);
}

// Of two in series the volts divide as the reciprocal capacitances: with one at each end of the
// printed range, the smaller one must just stand its rated volts.
TEST(CapacitorPair, InSeriesStandsTheVoltsAtWhichTheSmallerOneIsAtItsLimit)
{
    const StartCapacitor each = capacitorOf(108, 130, 165);
    const StartCapacitor pair = pairedCapacitor(each, each, inSeries);
    double highest_V = 0;
    for (const double first_uF : {108.0, 120.0, 130.0}) {
        for (const double second_uF : {108.0, 120.0, 130.0}) {
            highest_V = std::max(highest_V, pair.rated_V * second_uF / (first_uF + second_uF));
        }
    }
    EXPECT_NEAR(highest_V, 165, 1e-9);
    EXPECT_LT(pair.rated_V, 2 * 165);
    EXPECT_DOUBLE_EQ(pair.capacitance_F.minimum, 54e-6);
    EXPECT_DOUBLE_EQ(pair.capacitance_F.maximum, 65e-6);
}

// At the volts at which the pair's resistor takes its rated watts, neither of the two takes more
// than its own, and one takes just that.
TEST(CapacitorPair, BleedResistorsTakeTheWattsThatEachSees)
{
    StartCapacitor a = capacitorOf(64, 77, 330);
    StartCapacitor b = capacitorOf(64, 77, 330);
    b.bleed_ohm = 10e3;
    b.bleed_W = 5;
    const StartCapacitor parallel = pairedCapacitor(a, b, inParallel);
    EXPECT_NEAR(*parallel.bleed_ohm, 6e3, 1e-6);
    double squared_V2 = *parallel.bleed_W * *parallel.bleed_ohm;
    EXPECT_NEAR(std::max(squared_V2 / 15e3 / 2, squared_V2 / 10e3 / 5), 1, 1e-9);

    b = a;
    const StartCapacitor series = pairedCapacitor(a, b, inSeries);
    EXPECT_NEAR(*series.bleed_ohm, 30e3, 1e-6);
    squared_V2 = *series.bleed_W * *series.bleed_ohm;
    const double share = 77.0 / (64 + 77);
    EXPECT_NEAR(squared_V2 * share * share / 15e3 / 2, 1, 1e-9);
    // Each discharges through its own resistor, and so does the pair: the same time constant.
    EXPECT_NEAR(*series.bleed_ohm * series.capacitance_F.maximum, 15e3 * 77e-6, 1e-12);
}

TEST(CapacitorPair, WithOneResistorIsDischargedInParallelAndNotInSeries)
{
    const StartCapacitor a = capacitorOf(64, 77, 330);
    StartCapacitor bare = a;
    bare.bleed_ohm.reset();
    bare.bleed_W.reset();
    EXPECT_EQ(pairedCapacitor(a, bare, inParallel).bleed_ohm, 15e3);
    EXPECT_EQ(pairedCapacitor(a, bare, inParallel).bleed_W, 2);
    EXPECT_EQ(pairedCapacitor(a, bare, inSeries).bleed_ohm, std::nullopt);
    StartCapacitor unrated = a;
    unrated.bleed_W.reset();
    EXPECT_EQ(pairedCapacitor(a, unrated, inParallel).bleed_W, std::nullopt);
}

TEST(CapacitorPair, HasTheShorterDutyAndTheLowerCutOff)
{
    StartCapacitor a = capacitorOf(64, 77, 330);
    StartCapacitor b = capacitorOf(64, 77, 250);
    a.dutySecondsPerHour = 30;
    b.longestOn_s = 3;
    a.cutOff_V = 400;
    const StartCapacitor pair = pairedCapacitor(a, b, inParallel);
    EXPECT_EQ(pair.dutySecondsPerHour, 30);
    EXPECT_EQ(pair.longestOn_s, 3);
    // The other's label gives its rated volts alone, and they count for it.
    EXPECT_EQ(pair.cutOff_V, 250);
    b.cutOff_V = 300;
    EXPECT_EQ(pairedCapacitor(a, b, inParallel).cutOff_V, 300);
}

TEST(CapacitorPair, InSeriesMustBeAlike)
{
    const StartCapacitor a = capacitorOf(64, 77, 330);
    EXPECT_EQ(whyNotInSeries(a, a), "");
    EXPECT_NE(whyNotInSeries(a, capacitorOf(72, 86, 330)), "");
    EXPECT_NE(whyNotInSeries(a, capacitorOf(64, 77, 250)), "");
    StartCapacitor other = a;
    other.bleed_ohm = 18e3;
    EXPECT_NE(whyNotInSeries(a, other), "");
}

constexpr const char* twoOfThem =
    "<parts><start-capacitor-pair id=\"p\" first=\"S-1\" second=\"s-2\" connection=\"parallel\"/>"
    "<start-capacitor id=\"s-1\" microfarads-min=\"64\" microfarads-max=\"77\" volts=\"330\" "
    "highest-ambient-c=\"65\"/>"
    "<start-capacitor id=\"s-2\" microfarads-min=\"43\" microfarads-max=\"52\" volts=\"250\"/>"
    "</parts>";

TEST(CapacitorPairInAFile, IsReadWhereverItStandsInTheList)
{
    const PartsList list = readPartsText(twoOfThem, "stock.xml");
    const auto& pair = std::get<StartCapacitor>(list.find("p")->data);
    EXPECT_NEAR(pair.capacitance_F.minimum, 107e-6, 1e-15);
    EXPECT_EQ(pair.rated_V, 250);
    EXPECT_EQ(pair.pair->first, "s-1");  // spelt as in the list
    EXPECT_EQ(list.find("p")->highestAmbient_degC, 65);
}

TEST(CapacitorPairInAFile, TakesPartsOfTheNamedFileToo)
{
    const Case input = readCaseText(
        testing::caseWith(
            "<supply volts=\"230\" hertz=\"60\"/>", "",
            "<circuit type=\"CSIR\" start-device=\"relay-b\" start-capacitor=\"P\"/>"
            "<parts file=\"dairy-stock.xml\"><start-capacitor-pair id=\"p\" "
            "first=\"start-120\" second=\"start-120\" connection=\"series\"/></parts>"),
        "dairy.xml", (testing::caseTestFolder() / "good").string());
    EXPECT_EQ(input.circuit->startCapacitor, "p");
    EXPECT_DOUBLE_EQ(std::get<StartCapacitor>(input.parts.find("p")->data).capacitance_F.minimum,
                     60e-6);
}

}  // namespace
}  // namespace splitstart
