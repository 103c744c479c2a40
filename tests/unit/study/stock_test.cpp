// Which combinations a stock offers to a circuit.
#include "study/stock.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <set>

#include "case/input_error.h"
#include "circuit/case_circuit.h"
#include "study/choice.h"
#include "unit/dairy_cases.h"

namespace splitstart
{
namespace
{

CatalogPart startPart(const char* id, double minimum_uF, double maximum_uF, int inStock = 1)
{
    StartCapacitor part;
    part.capacitance_F = {minimum_uF * 1e-6, maximum_uF * 1e-6};
    part.rated_V = 330;
    part.bleed_ohm = 15e3;
    CatalogPart result{id, "invented", true, part, {"shelf.xml", 3}};
    result.inStock = inStock;
    return result;
}

CatalogPart partNamed(const char* id, const PartData& data)
{
    return {id, "invented", true, data, {"shelf.xml", 3}};
}

PartsList shelfOf(std::vector<CatalogPart> parts)
{
    PartsList shelf;
    shelf.parts = std::move(parts);
    return shelf;
}

std::set<std::string> namesOf(const StockOffer& offer)
{
    std::set<std::string> names;
    for (const Combination& each : offer.combinations) {
        names.insert(combinationName(each));
    }
    return names;
}

Case withShelf(Case input, const PartsList& shelf)
{
    input.parts = mergedParts(input.parts, shelf);
    return input;
}

// By the circuit files: CSCR has a potential relay, a current relay or a timed switch.
TEST(CircuitShapes, AreThoseOfTheCircuitFiles)
{
    std::set<PartKind> kinds;
    for (const CircuitShape& shape : circuitShapes(coldStoreCase(), {})) {
        EXPECT_TRUE(shape.startCapacitor && shape.runCapacitor);
        EXPECT_FALSE(shape.dual);  // the case has no fan with a capacitor
        kinds.insert(shape.startDevice.value());
    }
    EXPECT_EQ(kinds, (std::set<PartKind>{PartKind::potentialRelay, PartKind::currentRelay,
                                         PartKind::timedSwitch}));
    const std::vector<CircuitShape> kept =
        circuitShapes(coldStoreCase(), {StockPlace::startDevice});
    ASSERT_EQ(kept.size(), 1U);
    EXPECT_EQ(kept.front().startDevice, PartKind::potentialRelay);
}

TEST(CircuitShapes, TakeADualCapacitorWhereTheFanAsksForOne)
{
    Case input = stockedCase();
    input.circuit = CircuitChoice();
    input.circuit->type = "PSC";
    EXPECT_EQ(circuitShapes(input, {}).size(), 3U);  // alone, with PTC, with PTC and capacitor
    input.circuit->fan = "fan-with-capacitor";
    input.circuit->fanCapacitor = "fan-run";
    std::size_t dual = 0;
    for (const CircuitShape& shape : circuitShapes(input, {})) {
        dual += shape.dual ? 1 : 0;
    }
    EXPECT_GT(dual, 0U);
}

// What makes no circuit at all is told as caseCircuit() tells it, not as a missing circuit.
TEST(CircuitShapes, SayWhatIsWrongWithWhatIsNotChosen)
{
    Case input = coldStoreCase();
    input.circuit->protector = "relay";
    try {
        circuitShapes(input, {});
        FAIL() << "a relay is no protector";
    } catch (const InputError& error) {
        EXPECT_EQ(error.problems().front().field, "circuit/protector");
    }
}

TEST(StockOffer, PairsOnlyWhatIsThereTwice)
{
    const PartsList shelf =
        shelfOf({partNamed("relay-x", PotentialRelay()), partNamed("run-x", RunCapacitor()),
                 startPart("s-64", 64, 77, 2), startPart("s-72", 72, 86),
                 startPart("s-64b", 64, 77), startPart("s-270", 270, 324, 0)});
    const StockOffer offer = stockOffer(withShelf(coldStoreCase(), shelf), shelf, {});
    EXPECT_EQ(namesOf(offer),
              (std::set<std::string>{"relay-x + s-64 + run-x", "relay-x + s-72 + run-x",
                                     "relay-x + s-64b + run-x",
                                     "relay-x + (s-64 and s-64 in parallel) + run-x",
                                     "relay-x + (s-64 and s-64 in series) + run-x",
                                     "relay-x + (s-64 and s-72 in parallel) + run-x",
                                     "relay-x + (s-64 and s-64b in parallel) + run-x",
                                     "relay-x + (s-64 and s-64b in series) + run-x",
                                     "relay-x + (s-72 and s-64b in parallel) + run-x"}));
    for (const Combination& each : offer.combinations) {
        EXPECT_EQ(each.pieces, each.pair ? 4U : 3U);
        EXPECT_NO_THROW(caseCircuit(caseOf(withShelf(coldStoreCase(), shelf), each)));
    }
    ASSERT_EQ(offer.unused.size(), 1U);
    EXPECT_EQ(offer.unused.front().id, "s-270");
}

TEST(StockOffer, KeepsWhatIsToBeKeptAndSaysWhatHasNoPlace)
{
    const PartsList shelf = shelfOf({partNamed("relay-x", PotentialRelay()),
                                     partNamed("ptc-x", Ptc()), startPart("s-64", 64, 77)});
    const StockOffer offer = stockOffer(withShelf(coldStoreCase(), shelf), shelf,
                                        {StockPlace::runCapacitor, StockPlace::startCapacitor});
    EXPECT_EQ(namesOf(offer), std::set<std::string>{"relay-x + start + run"});
    ASSERT_EQ(offer.unused.size(), 1U);
    EXPECT_EQ(offer.unused.front().id, "ptc-x");
    EXPECT_NE(offer.unused.front().why.find("PTC"), std::string::npos);
    const StockOffer none = stockOffer(withShelf(coldStoreCase(), shelf), shelf, {});
    EXPECT_TRUE(none.combinations.empty());
    EXPECT_TRUE(none.empty.contains(StockPlace::runCapacitor));
}

TEST(MergedParts, AreTheSameOnlyWithTheSameData)
{
    const Case input = coldStoreCase();
    PartsList shelf;
    shelf.parts = {*input.parts.find("start")};
    shelf.parts.front().description = "another label";
    EXPECT_EQ(mergedParts(input.parts, shelf).parts.size(), input.parts.parts.size());
    std::get<StartCapacitor>(shelf.parts.front().data).rated_V = 250;
    EXPECT_THROW(mergedParts(input.parts, shelf), InputError);
}

TEST(MotorCase, LetsNoCapacitorStandInForOneThatWasMeasuredWith)
{
    const PartsList shelf =
        shelfOf({partNamed("relay-x", PotentialRelay()), partNamed("run-x", RunCapacitor()),
                 startPart("s-64", 64, 77)});
    Case input = withShelf(coldStoreCase(), shelf);
    input.circuit->startDevice.clear();
    input.compressor.measurements.push_back({MeasuredQuantity::lineAmpsStalled, 60, 0.02, {}});
    std::vector<std::string> notes;
    const StockOffer offer = stockOffer(input, shelf, {});
    EXPECT_EQ(motorCase(input, offer, notes).circuit->startDevice, "relay-x");
    EXPECT_TRUE(notes.empty());
    input.circuit->startCapacitor.clear();
    EXPECT_THROW(motorCase(input, offer, notes), InputError);
    input.compressor.measurements.clear();
    EXPECT_EQ(motorCase(input, offer, notes).circuit->startCapacitor, "s-64");
    EXPECT_EQ(notes.size(), 1U);
}

TEST(CaseLines, AreWhatACaseFileTakes)
{
    const PartsList shelf =
        shelfOf({partNamed("relay-x", PotentialRelay()), partNamed("run-x", RunCapacitor()),
                 startPart("s-64", 64, 77, 2)});
    const StockOffer offer = stockOffer(withShelf(coldStoreCase(), shelf), shelf, {});
    for (const Combination& each : offer.combinations) {
        const std::vector<std::string> lines = caseLines(each);
        EXPECT_EQ(lines.size(), each.pair ? 2U : 1U);
        EXPECT_EQ(lines.front(),
                  "<circuit type=\"CSCR\" start-device=\"relay-x\" start-capacitor=\"" +
                      each.choice.startCapacitor +
                      "\" run-capacitor=\"run-x\" protector=\"inside\"/>");
    }
}

}  // namespace
}  // namespace splitstart
