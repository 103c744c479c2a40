// Fields that make no difference.
#include "study/sweep_effect.h"

#include <gtest/gtest.h>

namespace splitstart
{

namespace
{

SweepPlan planOf(const std::vector<std::string>& texts, std::optional<LatinHypercube> sample = {})
{
    std::vector<VariedField> fields;
    fields.reserve(texts.size());
    for (const std::string& text : texts) {
        fields.push_back(variedField(text));
    }
    return {std::move(fields), sample};
}

// Rows whose result is what `resultOf` makes of the values.
std::vector<std::string> idleFields(const SweepPlan& plan, std::size_t motors,
                                    double (*resultOf)(const std::vector<FieldChange>&),
                                    std::size_t left = 0)
{
    SweepEffect effect(plan, motors);
    for (std::size_t row = 0; row + left < plan.size() * motors; ++row) {
        const std::vector<FieldChange> changes = plan.changesOf(row / motors);
        SweepRow cells;
        cells.number = row;
        cells.cells.resize(2 + changes.size());
        cells.cells.emplace_back(resultOf(changes) + 0.001 * static_cast<double>(row % motors));
        effect.add(cells);
    }
    return effect.fieldsWithoutEffect();
}

double byFirst(const std::vector<FieldChange>& changes)
{
    return std::stod(changes[0].value);
}

// Only where the first is 207 does the second count.
double sometimesBySecond(const std::vector<FieldChange>& changes)
{
    return changes[0].value == "207" ? std::stod(changes[1].value) : 1;
}

double never(const std::vector<FieldChange>& /*changes*/)
{
    return 1;
}

using Names = std::vector<std::string>;

}  // namespace

TEST(SweepEffect, NamesTheFieldsThatChangeNothing)
{
    const SweepPlan plan = planOf({"supply.volts=207,230,253", "start-capacitor.volts=165,330"});
    for (const std::size_t motors : {1U, 3U}) {
        EXPECT_EQ(idleFields(plan, motors, byFirst), Names{"start-capacitor.volts"});
        EXPECT_EQ(idleFields(plan, motors, sometimesBySecond), Names{});
        EXPECT_EQ(idleFields(plan, motors, never),
                  (Names{"supply.volts", "start-capacitor.volts"}));
    }
}

TEST(SweepEffect, SaysNothingOfOneValueOfASampleOrBeforeTheEnd)
{
    EXPECT_EQ(idleFields(planOf({"supply.volts=207", "start-capacitor.volts=165,330"}), 1, never),
              Names{"start-capacitor.volts"});
    EXPECT_EQ(idleFields(planOf({"supply.volts=200:210"}, LatinHypercube{10, 1}), 1, never),
              Names{});
    EXPECT_EQ(idleFields(planOf({"supply.volts=207,230,253"}), 1, never, 1), Names{});
}

}  // namespace splitstart
