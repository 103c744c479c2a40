#include "case/parts_reader.h"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <map>
#include <optional>
#include <string>
#include <utility>

#include "case/capacitor_pair.h"
#include "case/preferred_values.h"
#include "case/reader.h"
#include "case/text.h"

namespace splitstart
{

namespace
{

Range readRange(const Element& element, std::string_view minimum, std::string_view maximum)
{
    element.requireNotAbove(minimum, maximum);
    return {element.number(minimum), element.number(maximum)};
}

ContactEnclosure readEnclosure(const Element& element)
{
    static constexpr ContactEnclosure enclosures[] = {
        ContactEnclosure::unknown, ContactEnclosure::open, ContactEnclosure::sealed};
    return enclosures[element.choice("contacts")];
}

PartData readPotentialRelay(const Element& element)
{
    element.requireBelow("drop-out-volts-max", "pick-up-volts-min");
    PotentialRelay relay;
    relay.pickUp_V = readRange(element, "pick-up-volts-min", "pick-up-volts-max");
    relay.dropOut_V = readRange(element, "drop-out-volts-min", "drop-out-volts-max");
    relay.coil_ohm = element.number("coil-ohms");
    relay.coil_H = element.number("coil-henries");
    relay.coilContinuous_V = element.numberIfGiven("coil-continuous-volts");
    relay.contact_A = element.numberIfGiven("contact-amps");
    relay.operate_s = element.number("operate-milliseconds");
    relay.release_s = element.number("release-milliseconds");
    relay.enclosure = readEnclosure(element);
    relay.life_operations = element.numberIfGiven("life-operations");
    return relay;
}

PartData readCurrentRelay(const Element& element)
{
    static constexpr RelayAttitude attitudes[] = {RelayAttitude::unknown, RelayAttitude::upright,
                                                  RelayAttitude::inverted,
                                                  RelayAttitude::onItsSide};
    element.requireBelow("drop-out-amps-max", "pull-in-amps-min");
    CurrentRelay relay;
    relay.pullIn_A = readRange(element, "pull-in-amps-min", "pull-in-amps-max");
    relay.dropOut_A = readRange(element, "drop-out-amps-min", "drop-out-amps-max");
    relay.coil_ohm = element.number("coil-ohms");
    relay.coilContinuous_A = element.numberIfGiven("coil-continuous-amps");
    relay.contact_A = element.numberIfGiven("contact-amps");
    relay.operate_s = element.number("operate-milliseconds");
    relay.release_s = element.number("release-milliseconds");
    relay.contactFromM = element.text("contact-from") == "M";
    relay.attitude = attitudes[element.choice("mounted")];
    relay.enclosure = readEnclosure(element);
    relay.life_operations = element.numberIfGiven("life-operations");
    return relay;
}

PartData readPtc(const Element& element)
{
    Ptc ptc;
    ptc.cold_ohm = readRange(element, "cold-ohms-min", "cold-ohms-max");
    ptc.hot_ohm = element.number("hot-ohms");
    ptc.hotGiven = element.given("hot-ohms");
    // Hot is at least ten times cold, or it would never cut the start winding off.
    if (element.good("cold-ohms-max") && element.good("hot-ohms") &&
        ptc.hot_ohm < 10 * ptc.cold_ohm.maximum) {
        element.reject("hot-ohms", "at least ten times cold-ohms-max");
    }
    ptc.reference_degC = element.number("reference-c");
    ptc.referenceGiven = element.given("reference-c");
    ptc.switchCurrent_A = element.number("switch-amps");
    ptc.switchTime_s = readRange(element, "switch-seconds-min", "switch-seconds-max");
    ptc.running_W = element.number("running-watts");
    ptc.runningGiven = element.given("running-watts");
    ptc.rated_V = element.numberIfGiven("volts");
    ptc.inrush_A = element.numberIfGiven("inrush-amps");
    ptc.recovery_s = element.numberIfGiven("recovery-seconds");
    return ptc;
}

PartData readTimedSwitch(const Element& element)
{
    TimedSwitch timer;
    timer.opensAfter_s = readRange(element, "seconds-min", "seconds-max");
    timer.rearm_s = element.number("rearm-seconds");
    timer.contact_A = element.numberIfGiven("contact-amps");
    timer.contact_V = element.numberIfGiven("contact-volts");
    timer.enclosure = readEnclosure(element);
    timer.life_operations = element.numberIfGiven("life-operations");
    return timer;
}

PartData readCentrifugalSwitch(const Element& element)
{
    element.requireBelow("closes-rpm-max", "opens-rpm-min");
    CentrifugalSwitch onShaft;
    onShaft.opens_rad_s = readRange(element, "opens-rpm-min", "opens-rpm-max");
    onShaft.closes_rad_s = readRange(element, "closes-rpm-min", "closes-rpm-max");
    onShaft.contact_A = element.numberIfGiven("contact-amps");
    onShaft.enclosure = readEnclosure(element);
    onShaft.life_operations = element.numberIfGiven("life-operations");
    return onShaft;
}

PartData readStartCapacitor(const Element& element)
{
    StartCapacitor capacitor;
    capacitor.capacitance_F = readRange(element, "microfarads-min", "microfarads-max");
    capacitor.rated_V = element.number("volts");
    capacitor.dissipationFactor = element.number("dissipation-percent");
    capacitor.dissipationGiven = element.given("dissipation-percent");
    capacitor.dutySecondsPerHour = element.number("duty-seconds-per-hour");
    capacitor.dutyGiven = element.given("duty-seconds-per-hour");
    capacitor.bleed_ohm = element.numberIfGiven("bleed-ohms");
    capacitor.bleed_W = element.numberIfGiven("bleed-watts");
    capacitor.longestOn_s = element.numberIfGiven("longest-on-seconds");
    element.requireNotAbove("volts", "cut-off-volts");
    capacitor.cutOff_V = element.numberIfGiven("cut-off-volts");
    if (element.given("bleed-watts") && !element.given("bleed-ohms")) {
        element.reject("bleed-watts", "a rating only together with bleed-ohms");
    }
    return capacitor;
}

// Which two; what they are together is known once all parts are (resolvePairs).
PartData readStartCapacitorPair(const Element& element)
{
    static constexpr PairConnection connections[] = {PairConnection::parallel,
                                                     PairConnection::series};
    StartCapacitor capacitor;
    capacitor.pair = CapacitorPair{element.text("first"), element.text("second"),
                                   connections[element.choice("connection")]};
    return capacitor;
}

// Capacitance with a tolerance, or both its ends.
Range readRunCapacitance(const Element& element)
{
    const bool nominal = element.given("microfarads") || element.given("tolerance-percent");
    const bool ends = element.given("microfarads-min") || element.given("microfarads-max");
    const std::string forms =
        "microfarads with tolerance-percent, or microfarads-min with microfarads-max";
    if (nominal == ends) {
        element.report(ends ? "the capacitance is given in two ways" : "the capacitance is missing",
                       forms);
        return {};
    }
    const std::string_view first = nominal ? "microfarads" : "microfarads-min";
    const std::string_view second = nominal ? "tolerance-percent" : "microfarads-max";
    if (!element.given(first) || !element.given(second)) {
        const std::string_view absent = element.given(first) ? second : first;
        element.report(fmt::format("{} is missing", absent), forms);
        return {};
    }
    if (ends) {
        return readRange(element, first, second);
    }
    const double middle = element.number(first);
    const double tolerance_ratio = element.number(second);
    return {middle * (1 - tolerance_ratio), middle * (1 + tolerance_ratio)};
}

// Hours of life at rated volts, in figures or by the class of operation.
std::optional<double> readLife_h(const Element& element)
{
    if (element.given("operation-class") && element.given("life-hours")) {
        element.reject("operation-class", "either life-hours or operation-class, not both");
    }
    return element.good("operation-class") ? lifeOfClass_h(element.text("operation-class").front())
                                           : element.numberIfGiven("life-hours");
}

PartData readRunCapacitor(const Element& element)
{
    RunCapacitor capacitor;
    capacitor.capacitance_F = readRunCapacitance(element);
    capacitor.rated_V = element.number("volts");
    capacitor.dissipationFactor = element.number("dissipation-percent");
    capacitor.dissipationGiven = element.given("dissipation-percent");
    capacitor.life_h = readLife_h(element);
    return capacitor;
}

PartData readDualRunCapacitor(const Element& element)
{
    const double tolerance_ratio = element.number("tolerance-percent");
    const auto section = [&](std::string_view name) {
        const double middle_F = element.number(name);
        return Range{middle_F * (1 - tolerance_ratio), middle_F * (1 + tolerance_ratio)};
    };
    element.requireBelow("fan-microfarads", "microfarads");
    DualRunCapacitor dual;
    dual.compressor_F = section("microfarads");
    dual.fan_F = section("fan-microfarads");
    dual.rated_V = element.number("volts");
    dual.dissipationFactor = element.number("dissipation-percent");
    dual.dissipationGiven = element.given("dissipation-percent");
    dual.life_h = readLife_h(element);
    return dual;
}

PartData readProtector(const Element& element)
{
    static constexpr ProtectorPlace places[] = {ProtectorPlace::internal, ProtectorPlace::external};
    element.requireBelow("ultimate-trip-amps", "trip-amps");
    element.requireBelow("reset-c", "trip-c");
    // A disc that resets only below the air around it would never reset.
    element.requireBelow("rating-ambient-c", "reset-c");
    Protector protector;
    protector.location = places[element.choice("place")];
    protector.ultimateTrip_A = element.number("ultimate-trip-amps");
    protector.tripCurrent_A = element.number("trip-amps");
    protector.tripTime_s = readRange(element, "trip-seconds-min", "trip-seconds-max");
    protector.trip_degC = element.number("trip-c");
    protector.reset_degC = element.number("reset-c");
    protector.ambient_degC = element.number("rating-ambient-c");
    protector.closed_ohm = element.number("closed-ohms");
    return protector;
}

PartData readCondenserFan(const Element& element)
{
    CondenserFan fan;
    fan.voltage_V = element.number("volts");
    fan.current_A = element.number("amps");
    fan.powerFactor = element.number("power-factor");
    return fan;
}

PartData readCapacitorFan(const Element& element)
{
    CapacitorFan fan;
    fan.voltage_V = element.number("volts");
    fan.current_A = element.number("amps");
    fan.capacitor_F = element.number("microfarads");
    fan.poles = static_cast<int>(element.number("poles"));
    fan.polesGiven = element.given("poles");
    return fan;
}

PartData readContactor(const Element& element)
{
    Contactor contactor;
    contactor.poles = element.good("poles") && element.text("poles") == "2" ? 2 : 1;
    contactor.fullLoad_A = element.numberIfGiven("full-load-amps");
    contactor.lockedRotor_A = element.numberIfGiven("locked-rotor-amps");
    contactor.pole_ohm = element.number("pole-ohms");
    contactor.poleGiven = element.given("pole-ohms");
    return contactor;
}

struct PartReader {
    std::string_view element;
    PartData (*read)(const Element&);
};

// In the order of PartData's alternatives.
constexpr PartReader partReaders[] = {
    {"potential-relay", readPotentialRelay},
    {"current-relay", readCurrentRelay},
    {"start-capacitor", readStartCapacitor},
    {"run-capacitor", readRunCapacitor},
    {"protector", readProtector},
    {"condenser-fan", readCondenserFan},
    {"ptc", readPtc},
    {"timed-switch", readTimedSwitch},
    {"centrifugal-switch", readCentrifugalSwitch},
    {"dual-run-capacitor", readDualRunCapacitor},
    {"capacitor-fan", readCapacitorFan},
    {"contactor", readContactor},
};
static_assert(std::size(partReaders) == std::variant_size_v<PartData>);

// An element of another name whose data is one of these kinds.
constexpr PartReader pairReader{"start-capacitor-pair", readStartCapacitorPair};

// Puts the part that a pair names into its data, or says why it is none that can stand there.
const StartCapacitor* memberOf(PartsList& parts, const CatalogPart& pair, const char* attribute,
                               std::string& id, ProblemList& problems)
{
    const CatalogPart* const part = parts.find(id);
    const auto* const capacitor =
        part != nullptr ? std::get_if<StartCapacitor>(&part->data) : nullptr;
    if (capacitor == nullptr || capacitor->pair) {
        std::string hint;
        if (part != nullptr) {
            hint = fmt::format(
                "\"{}\" is a {}.", part->id,
                capacitor != nullptr ? pairReader.element : partElementName(part->data));
        }
        problems.add({pair.place,
                      fmt::format("{}/{}", pairReader.element, attribute),
                      id,
                      "the id of a start-capacitor in the parts list",
                      hint,
                      {}});
        return nullptr;
    }
    id = part->id;
    return capacitor;
}

}  // namespace

std::string_view partElementName(const PartData& data)
{
    return partReaders[data.index()].element;
}

void readParts(const Element& list, bool listInvented, PartsList& parts)
{
    for (const Element& element : list.children()) {
        const bool isPair = element.name() == pairReader.element;
        const auto* const reader =
            isPair ? &pairReader
                   : std::find_if(std::begin(partReaders), std::end(partReaders),
                                  [&element](const PartReader& row) {
                                      return row.element == element.name();
                                  });
        CatalogPart part;
        part.id = element.text("id");
        part.description = element.text("description");
        part.invented = element.given("invented") ? element.yes("invented") : listInvented;
        part.place = element.place();
        if (!isPair) {
            part.highestAmbient_degC = element.numberIfGiven("highest-ambient-c");
            part.inStock = static_cast<int>(element.number("in-stock"));
        }
        part.data = reader->read(element);
        parts.parts.push_back(std::move(part));
    }
}

void checkIds(const PartsList& parts, ProblemList& problems)
{
    std::map<std::string, SourcePlace> places;
    for (const CatalogPart& part : parts.parts) {
        const auto [first, isNew] = places.try_emplace(lowered(part.id), part.place);
        if (!isNew && !part.id.empty()) {
            problems.add(
                {part.place,
                 fmt::format("{}/id", partElementName(part.data)),
                 part.id,
                 "an id that no other part has",
                 fmt::format("It is also in {}:{}.", first->second.file, first->second.line),
                 {}});
        }
    }
}

void resolvePairs(PartsList& parts, ProblemList& problems)
{
    for (CatalogPart& part : parts.parts) {
        auto* const capacitor = std::get_if<StartCapacitor>(&part.data);
        if (capacitor == nullptr || !capacitor->pair) {
            continue;
        }
        CapacitorPair pair = *capacitor->pair;
        const StartCapacitor* const first = memberOf(parts, part, "first", pair.first, problems);
        const StartCapacitor* const second = memberOf(parts, part, "second", pair.second, problems);
        if (first == nullptr || second == nullptr) {
            continue;
        }
        const std::string why = pair.connection == PairConnection::series
                                    ? whyNotInSeries(*first, *second)
                                    : std::string();
        if (!why.empty()) {
            problems.add({part.place,
                          fmt::format("{}/connection", pairReader.element),
                          "series",
                          "two capacitors that are alike",
                          fmt::format("{}.", why),
                          {}});
            continue;
        }
        part.highestAmbient_degC = lowerOf(parts.find(pair.first)->highestAmbient_degC,
                                           parts.find(pair.second)->highestAmbient_degC);
        *capacitor = pairedCapacitor(*first, *second, pair);
    }
}

bool rootIs(const XmlText& xml, std::string_view wanted, std::string_view otherKind,
            std::string_view hint, ProblemList& problems)
{
    if (xml.root().empty()) {
        return false;
    }
    const std::string_view found = xml.root().name();
    if (found == wanted) {
        return true;
    }
    problems.add({xml.placeOf(xml.root()),
                  {},
                  {},
                  fmt::format("<{}>", wanted),
                  found == otherKind ? std::string(hint) : std::string(),
                  fmt::format("the file's first element is <{}>", shortText(found))});
    return false;
}

PartsList readPartsXml(const XmlText& xml, ProblemList& problems)
{
    PartsList parts;
    if (!rootIs(xml, "parts", "case", "This is a case file; a parts file is wanted here.",
                problems)) {
        return parts;
    }
    const Element root(xml, xml.root(), partsFileElement(), problems);
    parts.name = root.text("name");
    parts.invented = root.yes("invented");
    readParts(root, parts.invented, parts);
    return parts;
}

PartsList readPartsText(std::string_view text, const std::string& name)
{
    ProblemList problems;
    const XmlText xml(std::string(text), name, problems);
    PartsList parts = readPartsXml(xml, problems);
    if (problems.count() == 0) {
        resolvePairs(parts, problems);
    }
    checkIds(parts, problems);
    problems.throwIfAny();
    return parts;
}

PartsList readPartsFile(const std::string& path)
{
    return readPartsText(readPlainFileOrThrow(path), path);
}

}  // namespace splitstart
