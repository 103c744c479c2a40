// The table of quantities, and the control section that prints them in stock ngspice.
#include <gtest/gtest.h>

#include <map>
#include <set>
#include <sstream>
#include <string>

#include "spice/control_section.h"
#include "spice/measurement.h"
#include "unit/spice/deck_fixture.h"

namespace splitstart
{

namespace
{

std::set<std::string> quantityNames()
{
    std::set<std::string> names;
    for (const StartQuantity& quantity : startQuantities()) {
        names.insert(std::string(quantity.name));
    }
    return names;
}

// Names that the control section measures or prints; the two readings of a running integral, of
// which a mean is made, left out.
std::set<std::string> printedNames(const SimulationModel& model)
{
    std::set<std::string> names;
    std::istringstream lines(controlSection(model, {}));
    for (std::string line; std::getline(lines, line);) {
        std::istringstream words(line);
        std::string word;
        words >> word;
        if (word == "meas") {
            words >> word >> word;
            if (!word.starts_with("integral_")) {
                EXPECT_TRUE(names.insert(word).second) << word;
            }
        } else if (word == "print") {
            words >> word;
            EXPECT_TRUE(names.insert(word).second) << word;
        }
    }
    return names;
}

}  // namespace

TEST(StartQuantities, HaveANameAMeaningAndAFieldOfTheirOwn)
{
    std::set<std::string_view> meanings;
    const auto quantities = startQuantities();
    for (std::size_t i = 0; i < quantities.size(); ++i) {
        EXPECT_FALSE(quantities[i].name.empty());
        EXPECT_FALSE(quantities[i].meaning.empty());
        EXPECT_TRUE(meanings.insert(quantities[i].meaning).second) << quantities[i].meaning;
        for (std::size_t j = 0; j < i; ++j) {
            EXPECT_NE(quantities[i].field, quantities[j].field)
                << quantities[i].name << " and " << quantities[j].name;
        }
    }
    EXPECT_EQ(quantityNames().size(), quantities.size());
}

TEST(StartQuantities, AreAllFieldsOfAStartMeasurement)
{
    EXPECT_EQ(startQuantities().size() * sizeof(std::optional<double>), sizeof(StartMeasurement));
}

TEST(StartQuantities, HaveTheUnitThatTheirNameEndsIn)
{
    const std::map<std::string, std::string_view> unitOfEnding = {
        {"s", "s"},    {"v", "V"},       {"a", "A"},    {"w", "W"},
        {"nm", "N m"}, {"degc", "degC"}, {"ratio", ""}, {"a2s", "A2 s"}};
    const std::set<std::string_view> counts = {"start_contact_openings", "start_contact_at_end",
                                               "protector_tripped"};
    for (const StartQuantity& quantity : startQuantities()) {
        const std::string name(quantity.name);
        const auto found = unitOfEnding.find(name.substr(name.rfind('_') + 1));
        if (counts.contains(quantity.name)) {
            EXPECT_EQ(quantity.unit, "") << name;
        } else {
            ASSERT_NE(found, unitOfEnding.end()) << name;
            EXPECT_EQ(quantity.unit, found->second) << name;
        }
    }
}

TEST(ControlSection, PrintsQuantitiesUnderTheNamesOfTheTable)
{
    const std::set<std::string> names = quantityNames();
    for (const SimulationModel& model : startModels()) {
        for (const std::string& printed : printedNames(model)) {
            EXPECT_TRUE(names.contains(printed)) << printed;
        }
    }
}

TEST(ControlSection, PrintsWhatTheCircuitHasAndNothingElse)
{
    const std::set<std::string> store =
        printedNames(modelOf(coldStoreCase(), coldStoreMotor(), {}));
    EXPECT_TRUE(store.contains("coil_running_v"));
    EXPECT_TRUE(store.contains("run_capacitor_running_v"));
    EXPECT_TRUE(store.contains("start_capacitor_peak_v"));
    const std::set<std::string> cooler =
        printedNames(modelOf(bottleCoolerCase(), bottleCoolerMotor(), {}));
    EXPECT_FALSE(cooler.contains("coil_running_v"));
    EXPECT_FALSE(cooler.contains("run_capacitor_running_v"));
    EXPECT_TRUE(cooler.contains("start_capacitor_peak_v"));
    EXPECT_TRUE(cooler.contains("start_contact_opened_s"));
}

TEST(ControlSection, StandsInTheDeckOnlyWhenItIsWanted)
{
    const SimulationModel model = modelOf(coldStoreCase(), coldStoreMotor(), {});
    const DeckLines with(writeDeck(model, {}, {"t", {}, true}));
    const DeckLines without(writeDeck(model, {}, {"t", {}, false}));
    EXPECT_EQ(with.cards.count(".control"), 1U);
    EXPECT_EQ(with.cards.count(".endc"), 1U);
    EXPECT_EQ(without.cards.count(".control"), 0U);
    EXPECT_EQ(with.all.back(), ".end");
    EXPECT_EQ(without.all.back(), ".end");
    // It is for stock ngspice; the session does not run it.
    EXPECT_NE(deckComplaint(model, {}, {"t", {}, true}), "");
}

}  // namespace splitstart
