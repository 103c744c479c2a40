#include "case/case_rules.h"

#include <fmt/format.h>

#include <algorithm>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "case/reader.h"
#include "case/text.h"
#include "case/vocabulary.h"

namespace splitstart
{

namespace
{

void checkQuantitiesDiffer(const Element& compressor)
{
    std::vector<std::pair<std::string, int>> seen;
    for (const Element& child : compressor.children()) {
        if (child.name() != "measured" || !child.good("quantity")) {
            continue;
        }
        const std::string quantity = child.text("quantity");
        const auto first = std::find_if(seen.begin(), seen.end(), [&quantity](const auto& entry) {
            return entry.first == quantity;
        });
        if (first == seen.end()) {
            seen.emplace_back(quantity, child.place().line);
        } else {
            child.reject("quantity", "each quantity once",
                         fmt::format("It is also in line {}; give the mean.", first->second));
        }
    }
}

// The two-feed test says the turns ratio too, and which of the two is right nobody can tell.
void checkOneSourceOfTurnsRatio(const Element& compressor)
{
    const Element* const test = compressor.child("two-feed-test");
    if (test == nullptr) {
        return;
    }
    const std::vector<Element>& all = compressor.children();
    const auto measured = std::find_if(all.begin(), all.end(), [](const Element& child) {
        return child.name() == "measured" && child.good("quantity") &&
               child.text("quantity") == "turns-ratio";
    });
    if (measured != all.end()) {
        measured->reject("quantity", "either a measured turns-ratio or a <two-feed-test>, not both",
                         fmt::format("The test is in line {}.", test->place().line));
    }
}

std::vector<std::string_view> idsOfKinds(const PartsList& parts,
                                         std::span<const std::string_view> kinds)
{
    std::vector<std::string_view> ids;
    for (const CatalogPart& part : parts.parts) {
        if (std::find(kinds.begin(), kinds.end(), partElementName(part.data)) != kinds.end()) {
            ids.emplace_back(part.id);
        }
    }
    return ids;
}

void resolve(const Element& circuit, const PartsList& parts, const AttributeSpec& place,
             std::string& id)
{
    if (!circuit.good(place.name)) {
        return;
    }
    const CatalogPart* const part = parts.find(id);
    const std::vector<std::string_view> fitting = idsOfKinds(parts, place.words);
    if (part == nullptr) {
        const std::string_view meant = nearest(id, fitting);
        circuit.reject(place.name, allowedText(place),
                       meant.empty() ? std::string() : fmt::format("Did you mean \"{}\"?", meant));
        return;
    }
    const std::string_view kind = partElementName(part->data);
    if (std::find(place.words.begin(), place.words.end(), kind) == place.words.end()) {
        circuit.reject(place.name, allowedText(place),
                       fmt::format("\"{}\" is a {}.", part->id, kind));
        return;
    }
    id = part->id;
}

}  // namespace

void checkNameplate(const Element& nameplate)
{
    nameplate.requireBelow("rated-load-amps", "locked-rotor-amps");
    if (nameplate.given("horsepower") && nameplate.given("output-watts")) {
        nameplate.reject("horsepower", "either output-watts or horsepower, not both");
    }
}

void checkMeasured(const Element& measured)
{
    if (!measured.good("quantity") || !measured.good("value")) {
        return;
    }
    const MeasuredQuantitySpec& spec = measuredQuantities()[measured.choice("quantity")];
    const double value = measured.number("value");
    if (value < spec.minimum || value > spec.maximum) {
        measured.reject("value", fmt::format("for {} {}", spec.name,
                                             numberText(spec.unit, spec.minimum, spec.maximum)));
    }
}

void checkLoad(const Element& load)
{
    load.requireBelow("suction-bar", "equalised-bar");
    load.requireBelow("equalised-bar", "discharge-bar");
    if (!load.given("equalised-bar")) {
        load.requireBelow("suction-bar", "discharge-bar");
    }
    if (!load.good("kind") || load.text("kind") != "none") {
        return;
    }
    for (const std::string_view name : {"pressures", "start-angle-degrees", "torque-newton-metres",
                                        "suction-bar", "discharge-bar", "equalised-bar"}) {
        if (load.given(name)) {
            load.reject(name, "nothing, because kind=\"none\" is a shaft without load");
        }
    }
}

void checkCompressor(const Element& compressor)
{
    const Element* const bench = compressor.child("equivalent-circuit");
    if (bench == nullptr && compressor.child("readings") == nullptr && !compressor.hasUnknown()) {
        compressor.report("there are no <readings> and no <equivalent-circuit>",
                          "one of them, or both");
    }
    if (bench != nullptr && compressor.good("poles") && bench->good("poles") &&
        compressor.number("poles") != bench->number("poles")) {
        bench->reject("poles", fmt::format("the same as compressor/poles, which is \"{}\"",
                                           compressor.text("poles")));
    }
    checkQuantitiesDiffer(compressor);
    checkOneSourceOfTurnsRatio(compressor);
}

void checkCircuit(const Element& circuit, bool supplyGiven)
{
    if (!supplyGiven) {
        circuit.report("there is a <circuit> but no <supply>", "a supply with volts and hertz");
    }
}

void checkConductor(const Element& conductor)
{
    const auto requireOne = [&conductor](std::string_view one, std::string_view other) {
        if (conductor.given(one) && conductor.given(other)) {
            conductor.reject(other, fmt::format("either {} or {}, not both", one, other));
        } else if (!conductor.given(one) && !conductor.given(other) && !conductor.hasUnknown()) {
            conductor.report(fmt::format("neither {} nor {} is given", one, other), "one of them");
        }
    };
    requireOne("metres", "feet");
    requireOne("square-millimetres", "awg");
}

void resolveReferences(const Element& circuit, const PartsList& parts, CircuitChoice& choice)
{
    const std::pair<std::string_view, std::string*> places[] = {
        {"start-device", &choice.startDevice},
        {"start-capacitor", &choice.startCapacitor},
        {"run-capacitor", &choice.runCapacitor},
        {"protector", &choice.protector},
        {"fan", &choice.fan},
        {"fan-capacitor", &choice.fanCapacitor},
        {"contactor", &choice.contactor},
    };
    for (const auto& [name, id] : places) {
        resolve(circuit, parts, circuit.specOf(name), *id);
    }
}

}  // namespace splitstart
