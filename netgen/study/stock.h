// What a stock of parts offers for a case: every combination of start device, start capacitors and
// run capacitor that its circuit has places for.
#pragma once

#include <cstddef>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "case/case.h"
#include "circuit/circuit.h"

namespace splitstart
{

// The places that are filled from the stock, in the order in which people name them.
enum class StockPlace { startDevice, startCapacitor, runCapacitor };
constexpr StockPlace stockPlaces[] = {StockPlace::startDevice, StockPlace::startCapacitor,
                                      StockPlace::runCapacitor};

// Its attribute in a case, "start-device"; the case's id for it.
std::string_view stockPlaceName(StockPlace place);
const std::string CircuitChoice::*stockPlaceId(StockPlace place);

// The place that a part of that kind can take; empty for what is not chosen (protector, fan, ...).
std::optional<StockPlace> stockPlaceOf(const PartData& data);

// The place that a check of that part of the circuit (Check::part) judges; empty where it judges
// what is not chosen, and for the start device as a whole.
std::optional<StockPlace> stockPlaceOfCheck(std::string_view checkPart);

// Both lists in one. A part of one id in both is the same part. Throws InputError where its data
// are not the same.
PartsList mergedParts(const PartsList& ofCase, const PartsList& stock);

// One way of filling the circuit: a standard circuit of the case's type and variant.
struct CircuitShape {
    std::optional<PartKind> startDevice;
    bool startCapacitor = false;
    bool runCapacitor = false;
    bool dual = false;  // a dual run capacitor
    Circuit circuit;
};

// Every shape that caseCircuit() takes for the case's type and variant, its fan, contactor and
// protector, whatever the case names in the places to be filled. A kept place stays as the case has
// it. Throws InputError if there is none.
std::vector<CircuitShape> circuitShapes(const Case& input, const std::set<StockPlace>& kept);

// One combination. `choice` names the parts; a pair that is in no list yet is `pair`.
struct Combination {
    CircuitChoice choice;
    std::optional<CatalogPart> pair;
    std::size_t shape = 0;
    std::size_t pieces = 0;  // how many parts are taken from the shelf
};

// A part that stands in no combination, and why.
struct UnusedPart {
    std::string id;
    std::string why;
};

struct StockOffer {
    std::vector<CircuitShape> shapes;
    std::vector<Combination> combinations;
    std::vector<UnusedPart> unused;
    // Places that a shape has and the stock holds nothing for.
    std::set<StockPlace> empty;
    std::vector<CatalogPart> onShelf;  // those that can take a place and are there
};

// `input` with the merged parts list. Two start capacitors are taken in parallel, and in series
// where they are alike and each has its bleed resistor; two of one id only where there are two.
StockOffer stockOffer(const Case& input, const PartsList& stock, const std::set<StockPlace>& kept);

// The case with the parts of that combination in its circuit.
Case caseOf(const Case& input, const Combination& combination);

// "relay-a + start-130 + run-40", without kept places nothing else than what distinguishes it.
std::string combinationName(const Combination& combination);

// The ids of the parts that it takes, those of a pair singly.
std::vector<std::string> partsOf(const Combination& combination);

// The case to estimate the motor with: what it names, and where a place to be filled is empty, a
// part of the stock (or of either list) that stands in for it, told in `notes`. Throws InputError
// if a capacitor stands in for one that measurements were taken with, or nothing can.
Case motorCase(const Case& input, const StockOffer& offer, std::vector<std::string>& notes);

}  // namespace splitstart
