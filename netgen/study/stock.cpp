#include "study/stock.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "case/capacitor_pair.h"
#include "case/input_error.h"
#include "case/reader.h"
#include "case/text.h"
#include "circuit/case_circuit.h"

namespace splitstart
{

namespace
{

struct PlaceRow {
    StockPlace place;
    std::string_view name;
    std::string CircuitChoice::*id;
};
constexpr PlaceRow placeRows[] = {
    {StockPlace::startDevice, "start-device", &CircuitChoice::startDevice},
    {StockPlace::startCapacitor, "start-capacitor", &CircuitChoice::startCapacitor},
    {StockPlace::runCapacitor, "run-capacitor", &CircuitChoice::runCapacitor},
};

const PlaceRow& rowOf(StockPlace place)
{
    return *std::find_if(std::begin(placeRows), std::end(placeRows),
                         [place](const PlaceRow& row) { return row.place == place; });
}

// Ids that no file can hold, for parts of which only the kind counts.
constexpr const char* anyDevice = "?device";
constexpr const char* anyStart = "?start";
constexpr const char* anyRun = "?run";
constexpr const char* anyDual = "?dual";

PartData deviceOfKind(PartKind kind)
{
    switch (kind) {
        case PartKind::currentRelay:
            return CurrentRelay();
        case PartKind::ptc:
            return Ptc();
        case PartKind::timedSwitch:
            return TimedSwitch();
        case PartKind::centrifugalSwitch:
            return CentrifugalSwitch();
        default:
            return PotentialRelay();
    }
}

// A place may be filled in several ways; a kept one only as the case has it.
struct Filling {
    std::optional<PartKind> kind;  // of a start device
    bool dual = false;
    std::string id;  // empty: nothing
};

std::vector<Filling> deviceFillings(const Case& input, const std::set<StockPlace>& kept)
{
    if (kept.contains(StockPlace::startDevice)) {
        const std::string& id = input.circuit->startDevice;
        const CatalogPart* const part = input.parts.find(id);
        return {{part != nullptr ? startDeviceKind(part->data) : std::nullopt, false, id}};
    }
    std::vector<Filling> fillings = {{}};
    for (const PartKind kind : startDeviceKinds()) {
        fillings.push_back({kind, false, anyDevice});
    }
    return fillings;
}

std::vector<Filling> startFillings(const Case& input, const std::set<StockPlace>& kept)
{
    if (kept.contains(StockPlace::startCapacitor)) {
        return {{{}, false, input.circuit->startCapacitor}};
    }
    return {{}, {{}, false, anyStart}};
}

std::vector<Filling> runFillings(const Case& input, const std::set<StockPlace>& kept)
{
    if (kept.contains(StockPlace::runCapacitor)) {
        const bool dual =
            chosenPart<DualRunCapacitor>(input, &CircuitChoice::runCapacitor) != nullptr;
        return {{{}, dual, input.circuit->runCapacitor}};
    }
    return {{}, {{}, false, anyRun}, {{}, true, anyDual}};
}

// Of all that did not fit, what says most: not that there is no such circuit, since most of what is
// tried is none.
bool saysMore(const InputError& error)
{
    constexpr std::array shapeFields = {"circuit/type", "circuit/variant", "circuit/start-device",
                                        "circuit/start-capacitor", "circuit/run-capacitor"};
    return std::none_of(shapeFields.begin(), shapeFields.end(), [&error](const char* field) {
        return error.problems().front().field == field;
    });
}

const char* kindWords(const PartData& data)
{
    const std::optional<PartKind> kind = startDeviceKind(data);
    if (kind) {
        return partKindInfo(*kind).words.data();
    }
    return std::holds_alternative<StartCapacitor>(data)     ? "start capacitor"
           : std::holds_alternative<DualRunCapacitor>(data) ? "dual run capacitor"
                                                            : "run capacitor";
}

bool hasPlace(const CircuitShape& shape, StockPlace place)
{
    return place == StockPlace::startDevice      ? shape.startDevice.has_value()
           : place == StockPlace::startCapacitor ? shape.startCapacitor
                                                 : shape.runCapacitor;
}

bool fitsShape(const PartData& data, const CircuitShape& shape)
{
    if (const std::optional<PartKind> kind = startDeviceKind(data)) {
        return shape.startDevice == kind;
    }
    return std::holds_alternative<StartCapacitor>(data) ? shape.startCapacitor
           : std::holds_alternative<RunCapacitor>(data)
               ? shape.runCapacitor && !shape.dual
               : std::holds_alternative<DualRunCapacitor>(data) && shape.dual;
}

CatalogPart pairOf(const CatalogPart& first, const CatalogPart& second, PairConnection connection)
{
    const CapacitorPair pair{first.id, second.id, connection};
    CatalogPart part;
    part.id = fmt::format("{}-and-{}{}", first.id, second.id,
                          connection == PairConnection::series ? "-in-series" : "");
    part.invented = first.invented || second.invented;
    part.data = pairedCapacitor(std::get<StartCapacitor>(first.data),
                                std::get<StartCapacitor>(second.data), pair);
    part.place = first.place;
    part.highestAmbient_degC = lowerOf(first.highestAmbient_degC, second.highestAmbient_degC);
    return part;
}

// What may stand as start capacitor: one alone, or two.
struct StartChoice {
    std::string id;
    std::optional<CatalogPart> pair;
    std::size_t pieces = 1;
};

std::vector<StartChoice> startChoices(const std::vector<const CatalogPart*>& singles)
{
    std::vector<StartChoice> choices;
    choices.reserve(singles.size());
    for (const CatalogPart* each : singles) {
        choices.push_back({each->id, {}, 1});
    }
    const auto add = [&choices](const CatalogPart& first, const CatalogPart& second,
                                PairConnection connection) {
        CatalogPart pair = pairOf(first, second, connection);
        choices.push_back({pair.id, std::move(pair), 2});
    };
    for (std::size_t i = 0; i < singles.size(); ++i) {
        for (std::size_t j = i; j < singles.size(); ++j) {
            if (i == j && singles[i]->inStock < 2) {
                continue;
            }
            const auto& first = std::get<StartCapacitor>(singles[i]->data);
            const auto& second = std::get<StartCapacitor>(singles[j]->data);
            add(*singles[i], *singles[j], PairConnection::parallel);
            if (first.bleed_ohm && second.bleed_ohm && whyNotInSeries(first, second).empty()) {
                add(*singles[i], *singles[j], PairConnection::series);
            }
        }
    }
    return choices;
}

// An id as long as a case file may hold; two long ids make a shorter one that is still their own.
void shortenPairIds(std::vector<StartChoice>& choices, const PartsList& taken)
{
    constexpr std::size_t longest = 41;
    std::size_t number = 0;
    for (StartChoice& choice : choices) {
        if (choice.pair && (choice.id.size() > longest || taken.find(choice.id) != nullptr)) {
            do {
                choice.id = fmt::format("start-pair-{}", ++number);
            } while (taken.find(choice.id) != nullptr);
            choice.pair->id = choice.id;
        }
    }
}

std::vector<const CatalogPart*> onShelf(const PartsList& stock, StockPlace place)
{
    std::vector<const CatalogPart*> parts;
    for (const CatalogPart& part : stock.parts) {
        const auto* const start = std::get_if<StartCapacitor>(&part.data);
        const bool isPair = start != nullptr && start->pair;
        if (part.inStock > 0 && !isPair && stockPlaceOf(part.data) == place) {
            parts.push_back(&part);
        }
    }
    return parts;
}

// The ids that may stand in a place of the shape: the case's own where it is kept, nothing where
// there is no such place.
std::vector<std::string> idsFor(const Case& input, const PartsList& stock,
                                const std::set<StockPlace>& kept, const CircuitShape& shape,
                                StockPlace place)
{
    if (!hasPlace(shape, place)) {
        return {std::string()};
    }
    if (kept.contains(place)) {
        return {(*input.circuit).*stockPlaceId(place)};
    }
    std::vector<std::string> ids;
    for (const CatalogPart* part : onShelf(stock, place)) {
        if (fitsShape(part->data, shape)) {
            ids.push_back(part->id);
        }
    }
    return ids;
}

}  // namespace

std::string_view stockPlaceName(StockPlace place)
{
    return rowOf(place).name;
}

const std::string CircuitChoice::*stockPlaceId(StockPlace place)
{
    return rowOf(place).id;
}

std::optional<StockPlace> stockPlaceOf(const PartData& data)
{
    if (startDeviceKind(data)) {
        return StockPlace::startDevice;
    }
    if (std::holds_alternative<StartCapacitor>(data)) {
        return StockPlace::startCapacitor;
    }
    if (std::holds_alternative<RunCapacitor>(data) ||
        std::holds_alternative<DualRunCapacitor>(data)) {
        return StockPlace::runCapacitor;
    }
    return std::nullopt;
}

std::optional<StockPlace> stockPlaceOfCheck(std::string_view checkPart)
{
    return checkPart == "start-capacitor" ? std::optional(StockPlace::startCapacitor)
           : checkPart == "run-capacitor" ? std::optional(StockPlace::runCapacitor)
           : checkPart == "relay" || checkPart == "ptc" || checkPart == "start-switch" ||
                   checkPart == "start-device"
               ? std::optional(StockPlace::startDevice)
               : std::nullopt;
}

PartsList mergedParts(const PartsList& ofCase, const PartsList& stock)
{
    PartsList merged = ofCase;
    std::vector<InputProblem> problems;
    for (const CatalogPart& part : stock.parts) {
        const CatalogPart* const own = ofCase.find(part.id);
        if (own == nullptr) {
            merged.parts.push_back(part);
        } else if (own->data != part.data || own->highestAmbient_degC != part.highestAmbient_degC) {
            problems.push_back({part.place,
                                fmt::format("{}/id", partElementName(part.data)),
                                part.id,
                                "the same data as the part of that id that the case has, or "
                                "another id",
                                fmt::format("That is in {}:{}.", own->place.file, own->place.line),
                                {}});
        }
    }
    if (!problems.empty()) {
        throw InputError(std::move(problems));
    }
    return merged;
}

std::vector<CircuitShape> circuitShapes(const Case& input, const std::set<StockPlace>& kept)
{
    std::vector<CircuitShape> shapes;
    std::optional<InputError> why;
    for (const Filling& device : deviceFillings(input, kept)) {
        for (const Filling& start : startFillings(input, kept)) {
            for (const Filling& run : runFillings(input, kept)) {
                Case trial = input;
                if (device.id == anyDevice) {
                    trial.parts.parts.push_back(
                        {anyDevice, {}, false, deviceOfKind(*device.kind), {}});
                }
                trial.parts.parts.push_back({anyStart, {}, false, StartCapacitor(), {}});
                trial.parts.parts.push_back({anyRun, {}, false, RunCapacitor(), {}});
                trial.parts.parts.push_back({anyDual, {}, false, DualRunCapacitor(), {}});
                trial.circuit->startDevice = device.id;
                trial.circuit->startCapacitor = start.id;
                trial.circuit->runCapacitor = run.id;
                if (run.dual) {
                    trial.circuit->fanCapacitor.clear();
                }
                try {
                    shapes.push_back({device.kind, !start.id.empty(), !run.id.empty(), run.dual,
                                      caseCircuit(trial)});
                } catch (const InputError& error) {
                    if (!why || (saysMore(error) && !saysMore(*why))) {
                        why = error;
                    }
                }
            }
        }
    }
    if (shapes.empty()) {
        throw InputError(*why);
    }
    return shapes;
}

StockOffer stockOffer(const Case& input, const PartsList& stock, const std::set<StockPlace>& kept)
{
    StockOffer offer;
    offer.shapes = circuitShapes(input, kept);
    std::vector<StartChoice> starts = startChoices(onShelf(stock, StockPlace::startCapacitor));
    shortenPairIds(starts, input.parts);
    for (std::size_t s = 0; s < offer.shapes.size(); ++s) {
        const CircuitShape& shape = offer.shapes[s];
        const std::vector<std::string> devices =
            idsFor(input, stock, kept, shape, StockPlace::startDevice);
        const std::vector<std::string> runs =
            idsFor(input, stock, kept, shape, StockPlace::runCapacitor);
        std::vector<StartChoice> here = starts;
        if (kept.contains(StockPlace::startCapacitor) || !shape.startCapacitor) {
            const std::string& own = input.circuit->startCapacitor;
            here = {{shape.startCapacitor ? own : std::string(), {}, 0}};
        }
        const std::pair<StockPlace, bool> found[] = {{StockPlace::startDevice, !devices.empty()},
                                                     {StockPlace::startCapacitor, !here.empty()},
                                                     {StockPlace::runCapacitor, !runs.empty()}};
        for (const auto& [place, any] : found) {
            if (!any) {
                offer.empty.insert(place);
            }
        }
        for (const std::string& device : devices) {
            for (const StartChoice& start : here) {
                for (const std::string& run : runs) {
                    Combination each{*input.circuit, start.pair, s, start.pieces};
                    each.choice.startDevice = device;
                    each.choice.startCapacitor = start.id;
                    each.choice.runCapacitor = run;
                    if (shape.dual) {
                        each.choice.fanCapacitor.clear();
                    }
                    const auto taken = [&](StockPlace place, const std::string& id) {
                        return !kept.contains(place) && !id.empty() ? 1U : 0U;
                    };
                    each.pieces += taken(StockPlace::startDevice, device) +
                                   taken(StockPlace::runCapacitor, run);
                    offer.combinations.push_back(std::move(each));
                }
            }
        }
    }
    for (const CatalogPart& part : stock.parts) {
        const std::optional<StockPlace> place = stockPlaceOf(part.data);
        const auto* const start = std::get_if<StartCapacitor>(&part.data);
        if (!place || kept.contains(*place) || (start != nullptr && start->pair)) {
            continue;
        }
        const bool fits =
            std::any_of(offer.shapes.begin(), offer.shapes.end(),
                        [&part](const CircuitShape& each) { return fitsShape(part.data, each); });
        if (part.inStock == 0) {
            offer.unused.push_back({part.id, "none is on the shelf (in-stock 0)"});
        } else if (!fits) {
            offer.unused.push_back(
                {part.id, fmt::format("this circuit has no place for a {}", kindWords(part.data))});
        } else {
            offer.onShelf.push_back(part);
        }
    }
    return offer;
}

Case caseOf(const Case& input, const Combination& combination)
{
    Case result = input;
    result.circuit = combination.choice;
    if (combination.pair) {
        result.parts.parts.push_back(*combination.pair);
    }
    return result;
}

std::string combinationName(const Combination& combination)
{
    std::vector<std::string> names;
    for (const PlaceRow& row : placeRows) {
        const std::string& id = combination.choice.*(row.id);
        const bool isPair = combination.pair && id == combination.pair->id;
        if (!id.empty()) {
            names.push_back(
                isPair
                    ? fmt::format("({})",
                                  pairWords(*std::get<StartCapacitor>(combination.pair->data).pair))
                    : id);
        }
    }
    return names.empty() ? "nothing to fit" : fmt::format("{}", fmt::join(names, " + "));
}

std::vector<std::string> partsOf(const Combination& combination)
{
    std::vector<std::string> ids;
    for (const PlaceRow& row : placeRows) {
        const std::string& id = combination.choice.*(row.id);
        if (combination.pair && id == combination.pair->id) {
            const CapacitorPair& pair = *std::get<StartCapacitor>(combination.pair->data).pair;
            ids.push_back(pair.first);
            if (!equalIgnoringCase(pair.first, pair.second)) {
                ids.push_back(pair.second);
            }
        } else if (!id.empty()) {
            ids.push_back(id);
        }
    }
    return ids;
}

namespace
{

double farads(const PartData& data)
{
    if (const auto* start = std::get_if<StartCapacitor>(&data)) {
        return start->capacitance_F.middle();
    }
    if (const auto* run = std::get_if<RunCapacitor>(&data)) {
        return run->capacitance_F.middle();
    }
    const auto* dual = std::get_if<DualRunCapacitor>(&data);
    return dual != nullptr ? dual->compressor_F.middle() : 1;
}

// Of those on the shelf that fit there, the one nearest to their geometric mean.
const CatalogPart* standIn(const StockOffer& offer, const CircuitShape& shape, StockPlace place)
{
    std::vector<const CatalogPart*> fitting;
    double sum = 0;
    for (const CatalogPart& part : offer.onShelf) {
        if (stockPlaceOf(part.data) == place && fitsShape(part.data, shape)) {
            fitting.push_back(&part);
            sum += std::log(farads(part.data));
        }
    }
    if (fitting.empty()) {
        return nullptr;
    }
    const double mean = sum / static_cast<double>(fitting.size());
    return *std::min_element(fitting.begin(), fitting.end(),
                             [mean](const CatalogPart* a, const CatalogPart* b) {
                                 return std::abs(std::log(farads(a->data)) - mean) <
                                        std::abs(std::log(farads(b->data)) - mean);
                             });
}

// Whether a measurement shows what the capacitors do.
bool hangsOnCapacitors(MeasuredQuantity quantity)
{
    switch (quantity) {
        case MeasuredQuantity::turnsRatio:
        case MeasuredQuantity::runWindingAmpsStalled:
        case MeasuredQuantity::runWindingWattsStalled:
            return false;
        default:
            return true;
    }
}

void requireNothingMeasuredWith(const Case& input, StockPlace place)
{
    if (input.compressor.equivalentCircuit) {
        return;
    }
    for (const Measurement& each : input.compressor.measurements) {
        if (hangsOnCapacitors(each.quantity)) {
            throw InputError(
                {{each.place,
                  "measured/quantity",
                  {},
                  fmt::format("measurements whose capacitors <circuit> names; name the {}",
                              stockPlaceName(place)),
                  "It is chosen anew all the same.",
                  fmt::format("it was taken with a {} that the case does not name",
                              stockPlaceName(place))}});
        }
    }
}

// How many of the case's named parts that shape has places for, less those that it has none for.
int agreement(const Case& input, const CircuitShape& shape)
{
    int result = 0;
    for (const PlaceRow& row : placeRows) {
        const CatalogPart* const part = input.parts.find((*input.circuit).*(row.id));
        if (part != nullptr) {
            result += fitsShape(part->data, shape) ? 1 : -1;
        }
    }
    return result;
}

}  // namespace

Case motorCase(const Case& input, const StockOffer& offer, std::vector<std::string>& notes)
{
    const CircuitShape* nearest = nullptr;
    for (const CircuitShape& shape : offer.shapes) {
        const bool filled =
            std::all_of(std::begin(placeRows), std::end(placeRows), [&](const PlaceRow& row) {
                return !hasPlace(shape, row.place) || !((*input.circuit).*(row.id)).empty() ||
                       standIn(offer, shape, row.place) != nullptr;
            });
        if (filled &&
            (nearest == nullptr || agreement(input, shape) > agreement(input, *nearest))) {
            nearest = &shape;
        }
    }
    if (nearest == nullptr) {
        const StockPlace place = *offer.empty.begin();
        refuseMissing(input.circuit->place, fmt::format("circuit/{}", stockPlaceName(place)),
                      "the id of the part that the compressor had, since the stock holds none that "
                      "the motor could be estimated with");
    }
    Case result = input;
    for (const PlaceRow& row : placeRows) {
        std::string& id = (*result.circuit).*(row.id);
        const bool wanted = hasPlace(*nearest, row.place);
        const CatalogPart* const named = input.parts.find(id);
        if (!wanted || (named != nullptr && fitsShape(named->data, *nearest))) {
            id = wanted ? id : std::string();
            continue;
        }
        id = standIn(offer, *nearest, row.place)->id;
        if (row.place == StockPlace::startDevice) {
            continue;  // its contact is held where a motor is estimated
        }
        requireNothingMeasuredWith(input, row.place);
        if (!input.compressor.equivalentCircuit) {
            notes.push_back(fmt::format(
                "the motor was estimated as if the nameplate's amps were taken with {} (assumed): "
                "the case does not name its {}",
                id, stockPlaceName(row.place)));
        }
    }
    if (nearest->dual) {
        result.circuit->fanCapacitor.clear();
    }
    return result;
}

}  // namespace splitstart
