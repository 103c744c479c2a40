// Which cases a sweep computes.
#include "study/sweep_plan.h"

#include <gtest/gtest.h>

#include <cmath>
#include <map>
#include <set>

#include "case/input_error.h"

namespace splitstart
{

namespace
{

using Words = std::vector<std::string>;

Words valuesOf(const std::string& text)
{
    return variedField(text).values;
}

std::string refusal(const std::string& text)
{
    try {
        variedField(text);
        return {};
    } catch (const InputError& error) {
        return error.what();
    }
}

}  // namespace

TEST(SweepPlan, StepsHoldBothEndsAndNoRoundingError)
{
    EXPECT_EQ(valuesOf("supply.volts=207:253:23"), (Words{"207", "230", "253"}));
    EXPECT_EQ(valuesOf("supply.volts=100:110:4"), (Words{"100", "104", "108"}));
    const Words tenths = valuesOf("load.torque-newton-metres=0.1:1.2:0.1");
    ASSERT_EQ(tenths.size(), 12U);
    EXPECT_EQ(tenths[2], "0.3");
    EXPECT_EQ(tenths.back(), "1.2");
    EXPECT_EQ(valuesOf("start.winding-temperature-c=-20:20:20"), (Words{"-20", "0", "20"}));
}

TEST(SweepPlan, TakesListsWordsAndMixtures)
{
    EXPECT_EQ(valuesOf("load.pressures=equalised,unequalised"),
              (Words{"equalised", "unequalised"}));
    EXPECT_EQ(valuesOf("supply.volts=208,220:240:10"), (Words{"208", "220", "230", "240"}));
}

// IEC 60063 (from memory): E6 has 1.0 1.5 2.2 3.3 4.7 6.8.
TEST(SweepPlan, TakesPreferredValues)
{
    EXPECT_EQ(valuesOf("run-capacitor.microfarads=E6:4.7:33"),
              (Words{"4.7", "6.8", "10", "15", "22", "33"}));
    EXPECT_EQ(valuesOf(" run-capacitor.microfarads = e3:10:50 "), (Words{"10", "22", "47"}));
    EXPECT_EQ(valuesOf("start-capacitor.microfarads=printed:80:150"),
              (Words{"88-106", "108-130", "124-149"}));
}

TEST(SweepPlan, RefusesWhatMakesNoValues)
{
    for (const char* text :
         {"supply.volts", "supply.volts=", "supply.volts=230,", "supply.volts=230,230",
          "supply.volts=110,110.0", "supply.volts=250:230:5", "supply.volts=230:250:0",
          "supply.volts=230:250:-5", "supply.volts=1:2:3:4", "supply.volts=a:b:c",
          "load.pressures=1:2:1", "run-capacitor.microfarads=E7:1:10",
          "run-capacitor.microfarads=E6:3.4:4", "run-capacitor.microfarads=printed",
          "supply.volts=230:240,250", "supply.volts=50:600:0.0001",
          "start-capacitor.microfarads=printed:1:2"}) {
        EXPECT_NE(refusal(text), "") << text;
    }
}

TEST(SweepPlan, IsEveryCombinationTheLastFieldFastest)
{
    const SweepPlan plan(
        {variedField("supply.volts=207,230"), variedField("start-capacitor.microfarads=88:98:5")},
        std::nullopt);
    ASSERT_EQ(plan.size(), 6U);
    std::vector<std::pair<std::string, std::string>> all;
    for (std::size_t i = 0; i < plan.size(); ++i) {
        const std::vector<FieldChange> changes = plan.changesOf(i);
        all.emplace_back(changes.at(0).value, changes.at(1).value);
    }
    EXPECT_EQ(all.front(), std::pair(std::string("207"), std::string("88")));
    EXPECT_EQ(all.at(1), std::pair(std::string("207"), std::string("93")));
    EXPECT_EQ(all.back(), std::pair(std::string("230"), std::string("98")));
    EXPECT_EQ((std::set(all.begin(), all.end()).size()), 6U);
    EXPECT_EQ(SweepPlan({}, std::nullopt).size(), 1U);
}

TEST(SweepPlan, RefusesTooManyOneFieldTwiceAndASpanWithoutASample)
{
    const auto make = [](const Words& texts) {
        std::vector<VariedField> fields;
        for (const std::string& text : texts) {
            fields.push_back(variedField(text));
        }
        return SweepPlan(std::move(fields), std::nullopt);
    };
    const auto said = [&make](const Words& texts) {
        try {
            make(texts);
            return std::string();
        } catch (const InputError& error) {
            return std::string(error.what());
        }
    };
    EXPECT_EQ(said({"supply.volts=230", "supply.volts=240"}),
              "--vary: supply.volts: given twice; allowed: each field once.");
    EXPECT_EQ(said({"supply.volts=230", "start.line-percent=85"}),
              "--vary: start.line-percent: given beside supply.volts; allowed: only one of them, "
              "since one would undo the other.");
    EXPECT_THROW(make({"supply.volts=50:600:0.1", "start.winding-temperature-c=0:100:0.01"}),
                 InputError);
    EXPECT_THROW(make({"supply.volts=230:240"}), InputError);
    EXPECT_THROW(
        make({"start-capacitor.microfarads=100", "start-capacitor/start-130.microfarads=1"}),
        InputError);
    EXPECT_THROW(make({"ptc.cold-ohms=10", "ptc.cold-ohms-max=12"}), InputError);
    EXPECT_NO_THROW(make({"ptc.cold-ohms-min=10", "ptc.cold-ohms-max=12"}));
    EXPECT_NO_THROW(make({"start-capacitor/a.microfarads=1", "start-capacitor/b.microfarads=1"}));
    EXPECT_NO_THROW(make({"supply.volts=50:600:1", "start.winding-temperature-c=0:100:1"}));
}

// McKay, Beckman, Conover (1979): each of N equal strata of each field holds exactly one value.
TEST(SweepPlan, ALatinHypercubeHasOneValueInEachStratum)
{
    constexpr std::size_t cases = 200;
    const auto plan = [](std::uint64_t seed) {
        return SweepPlan(
            {variedField("supply.volts=200:240"), variedField("start-capacitor.microfarads=80:200"),
             variedField("load.pressures=equalised,unequalised")},
            LatinHypercube{cases, seed});
    };
    const SweepPlan sampled = plan(7);
    ASSERT_EQ(sampled.size(), cases);
    std::set<long> volts;
    std::set<long> microfarads;
    std::map<std::string, std::size_t> pressures;
    double product = 0;
    for (std::size_t i = 0; i < cases; ++i) {
        const std::vector<FieldChange> changes = sampled.changesOf(i);
        const double x = (std::stod(changes[0].value) - 200) / 40;
        const double y = (std::stod(changes[1].value) - 80) / 120;
        volts.insert(static_cast<long>(x * cases));
        microfarads.insert(static_cast<long>(y * cases));
        ++pressures[changes[2].value];
        product += (x - 0.5) * (y - 0.5);
    }
    // Six digits of text can put one on the border into its neighbour.
    EXPECT_GE(volts.size(), cases - 1);
    EXPECT_GE(microfarads.size(), cases - 1);
    EXPECT_EQ(pressures["equalised"], cases / 2);
    // Independent columns: the correlation of 200 pairs has a deviation of 0.07.
    EXPECT_LT(std::abs(product / cases * 12), 0.25);

    EXPECT_EQ(plan(7).changesOf(3)[0].value, sampled.changesOf(3)[0].value);
    EXPECT_NE(plan(8).changesOf(3)[0].value, sampled.changesOf(3)[0].value);
}

}  // namespace splitstart
