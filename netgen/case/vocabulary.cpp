#include "case/vocabulary.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "case/number.h"
#include "case/reader.h"
#include "case/text.h"
#include "case/vocabulary_rows.h"

namespace splitstart
{

namespace
{

using namespace vocabulary;

constexpr std::array quantityTable = {
    MeasuredQuantitySpec{MeasuredQuantity::startCommonVoltsRunning, "start-common-volts-running",
                         volts, 1, 1500},
    MeasuredQuantitySpec{MeasuredQuantity::startCommonVoltsStalled, "start-common-volts-stalled",
                         volts, 1, 1500},
    MeasuredQuantitySpec{MeasuredQuantity::lineAmpsRunning, "line-amps-running", amps, 0.01, 500},
    MeasuredQuantitySpec{MeasuredQuantity::lineAmpsStalled, "line-amps-stalled", amps, 0.01, 500},
    MeasuredQuantitySpec{MeasuredQuantity::startLeadAmpsRunning, "start-lead-amps-running", amps,
                         0.01, 500},
    MeasuredQuantitySpec{MeasuredQuantity::startLeadAmpsStalled, "start-lead-amps-stalled", amps,
                         0.01, 500},
    MeasuredQuantitySpec{MeasuredQuantity::lineWattsRunning, "line-watts-running", watts, 1, 50000},
    MeasuredQuantitySpec{MeasuredQuantity::lineWattsStalled, "line-watts-stalled", watts, 1, 50000},
    MeasuredQuantitySpec{MeasuredQuantity::supplyVoltsStalled, "supply-volts-stalled", volts, 10,
                         600},
    MeasuredQuantitySpec{MeasuredQuantity::secondsToStart, "seconds-to-start", seconds, 0.01, 60},
    MeasuredQuantitySpec{MeasuredQuantity::turnsRatio, "turns-ratio", plain, 0.2, 5},
    MeasuredQuantitySpec{MeasuredQuantity::runCapacitorVoltsRunning, "run-capacitor-volts-running",
                         volts, 1, 1500},
    MeasuredQuantitySpec{MeasuredQuantity::powerFactorRunning, "power-factor-running", plain, 0.05,
                         1},
    MeasuredQuantitySpec{MeasuredQuantity::powerFactorStalled, "power-factor-stalled", plain, 0.05,
                         1},
    MeasuredQuantitySpec{MeasuredQuantity::runWindingAmpsStalled, "run-winding-amps-stalled", amps,
                         0.01, 500},
    MeasuredQuantitySpec{MeasuredQuantity::runWindingWattsStalled, "run-winding-watts-stalled",
                         watts, 1, 50000},
};

template <class Table>
constexpr auto namesOf(const Table& table)
{
    std::array<std::string_view, std::tuple_size_v<Table>> names;
    std::transform(table.begin(), table.end(), names.begin(),
                   [](const auto& row) { return row.name; });
    return names;
}

constexpr std::array quantityNames = namesOf(quantityTable);

constexpr std::string_view loadKinds[] = {"none", "steady", "reciprocating"};
constexpr std::string_view pressureWords[] = {"equalised", "unequalised"};
// NEMA MG 1, locked-rotor indicating code letters: A to V without I, O and Q.
constexpr std::string_view codeLetters[] = {"A", "B", "C", "D", "E", "F", "G", "H", "J", "K",
                                            "L", "M", "N", "P", "R", "S", "T", "U", "V"};
constexpr std::string_view lockedRotorWords[] = {"compressor", "run-winding"};
constexpr std::string_view supplyKinds[] = {"utility", "generator", "inverter"};
constexpr std::string_view materials[] = {"copper", "aluminium"};
constexpr std::string_view refrigerants[] = {"unknown", "not-flammable", "flammable"};
constexpr std::string_view startDevices[] = {"potential-relay", "current-relay", "ptc",
                                             "timed-switch", "centrifugal-switch"};
// ASTM B258 gauges from lamp cord to service conductors.
constexpr std::string_view wireGauges[] = {"18", "16", "14", "12",  "10",  "8",   "6",  "4",
                                           "3",  "2",  "1",  "1/0", "2/0", "3/0", "4/0"};
constexpr std::string_view startCapacitors[] = {"start-capacitor"};
constexpr std::string_view runCapacitors[] = {"run-capacitor", "dual-run-capacitor"};
constexpr std::string_view fanCapacitors[] = {"run-capacitor"};
constexpr std::string_view protectors[] = {"protector"};
constexpr std::string_view fans[] = {"condenser-fan", "capacitor-fan"};
constexpr std::string_view contactors[] = {"contactor"};

constexpr AttributeSpec supplyAttributes[] = {
    number("volts", volts, 50, 600, required),
    number("hertz", hertz, 40, 70, required),
    number("source-ohms", ohms, 0, 20, otherwise("0")),
    number("source-millihenries", millihenries, 0, 50, otherwise("0")),
    number("switch-on-degrees", degrees, 0, 360, otherwise("0")),
    oneOf("kind", supplyKinds, otherwise("utility")),
    number("limit-amps", amps, 0.5, 1000, optional),
};

constexpr AttributeSpec conductorAttributes[] = {
    number("metres", metres, 0.1, 2000, optional),
    number("feet", feet, 0.3, 6500, optional),
    number("square-millimetres", squareMillimetres, 0.2, 200, optional),
    oneOf("awg", wireGauges, optional),
    oneOf("material", materials, otherwise("copper")),
    number("temperature-c", degreesCelsius, -40, 120, otherwise("40")),
};

constexpr AttributeSpec readingAttributes[] = {
    special("between", ValueKind::pinPair, required),
    number("ohms", ohms, 0, 1e8, required, ValueKind::ohmsOrOpen),
};

constexpr AttributeSpec readingsAttributes[] = {
    number("winding-temperature-c", degreesCelsius, -40, 180, otherwise("25")),
    number("lead-ohms", ohms, 0, 2, otherwise("0")),
    number("accuracy-percent", percent, 0, 20, otherwise("1")),
    number("resolution-ohms", ohms, 0, 1, otherwise("0.01")),
};

constexpr AttributeSpec pinsAttributes[] = {
    special("common", ValueKind::pinLabel, required),
    special("start", ValueKind::pinLabel, required),
    special("run", ValueKind::pinLabel, required),
};

constexpr AttributeSpec insulationAttributes[] = {
    number("megohms", megohms, 0, 1e6, required, ValueKind::ohmsOrAbove),
    number("test-volts", volts, 0, 5000, otherwise("0")),
};

constexpr AttributeSpec nameplateAttributes[] = {
    number("volts", volts, 50, 600, optional),
    number("hertz", hertz, 40, 70, optional),
    number("locked-rotor-amps", amps, 0.5, 500, optional),
    number("rated-load-amps", amps, 0.05, 200, optional),
    number("output-watts", watts, 5, 15000, optional),
    number("horsepower", horsepower, 0.005, 20, optional),
    oneOf("code-letter", codeLetters, optional),
    number("rated-load-watts", watts, 1, 50000, optional),
    number("accuracy-percent", percent, 0.5, 30, otherwise("10")),
    oneOf("locked-rotor-of", lockedRotorWords, otherwise("compressor")),
};

constexpr AttributeSpec measuredAttributes[] = {
    oneOf("quantity", quantityNames, required),
    number("value", unitOfQuantity, 0.01, 50000, required),
    number("accuracy-percent", percent, 0, 50, otherwise("2")),
    number("winding-temperature-c", degreesCelsius, -40, 200, optional),
};

constexpr AttributeSpec twoFeedTestAttributes[] = {
    number("run-fed-volts", volts, 1, 1500, required),
    number("start-open-volts", volts, 1, 1500, required),
    number("start-fed-volts", volts, 1, 1500, required),
    number("run-open-volts", volts, 1, 1500, required),
    number("accuracy-percent", percent, 0, 20, otherwise("1")),
};

constexpr AttributeSpec loadAttributes[] = {
    oneOf("kind", loadKinds, otherwise("reciprocating")),
    oneOf("pressures", pressureWords, otherwise("equalised")),
    number("start-angle-degrees", degrees, 0, 360, otherwise("0")),
    number("torque-newton-metres", newtonMetres, 0.001, 200, optional),
    number("suction-bar", bar, 0.01, 160, optional),
    number("discharge-bar", bar, 0.01, 160, optional),
    number("equalised-bar", bar, 0.01, 160, optional),
};

constexpr AttributeSpec equivalentCircuitAttributes[] = {
    number("hertz", hertz, 40, 70, required),
    number("main-ohms", ohms, 0.01, 1000, required),
    number("main-leakage-reactance-ohms", ohms, 0.001, 1000, required),
    number("main-magnetizing-reactance-ohms", ohms, 0.1, 20000, required),
    number("rotor-main-ohms", ohms, 0.01, 1000, required),
    number("rotor-main-leakage-reactance-ohms", ohms, 0.001, 1000, required),
    number("auxiliary-ohms", ohms, 0.01, 1000, required),
    number("auxiliary-leakage-reactance-ohms", ohms, 0.001, 1000, required),
    number("auxiliary-magnetizing-reactance-ohms", ohms, 0.1, 20000, required),
    number("rotor-auxiliary-ohms", ohms, 0.01, 1000, required),
    number("rotor-auxiliary-leakage-reactance-ohms", ohms, 0.001, 1000, required),
    number("turns-ratio", plain, 0.2, 5, required),
    number("poles", plain, 2, 12, required, ValueKind::evenNumber),
    number("inertia-kg-m2", kilogramSquareMetres, 0.000001, 10, required),
    number("core-loss-watts", watts, 0, 5000, required),
    number("friction-watts", watts, 0, 5000, required),
    number("resistance-temperature-c", degreesCelsius, -40, 180, otherwise("25")),
    number("rotor-bar-ohms", ohms, 0, 1000, otherwise("0")),
    number("rotor-bar-corner-hertz", hertz, 0.1, 1000, otherwise("30")),
    number("saturation-slope-ratio", plain, 0, 50, otherwise("0")),
    number("saturation-knee-volts", volts, 10, 2000, optional),
};

constexpr AttributeSpec compressorAttributes[] = {
    number("poles", plain, 2, 12, otherwise("2"), ValueKind::evenNumber),
};

constexpr AttributeSpec windingWireAttributes[] = {
    number("main-square-millimetres", squareMillimetres, 0.01, 20, optional),
    number("auxiliary-square-millimetres", squareMillimetres, 0.01, 20, optional),
    oneOf("material", materials, otherwise("copper")),
};

// The words for type and variant are those of the circuit files.
std::span<const AttributeSpec> circuitAttributes()
{
    static const AttributeSpec rows[] = {
        oneOf("type", circuitTypeNames(), required),
        oneOf("variant", circuitVariantNames(), otherwise(standardVariant)),
        reference("start-device", startDevices),
        reference("start-capacitor", startCapacitors),
        reference("run-capacitor", runCapacitors),
        reference("protector", protectors),
        reference("fan", fans),
        reference("fan-capacitor", fanCapacitors),
        reference("contactor", contactors),
        number("ambient-c", degreesCelsius, -40, 90, optional),
        number("starts-per-hour", startsPerHour, 0.01, 200, optional),
        number("off-seconds", seconds, 0, 86400, optional),
        oneOf("refrigerant", refrigerants, otherwise("unknown")),
    };
    return rows;
}

constexpr AttributeSpec partsInCaseAttributes[] = {
    special("file", ValueKind::relativePath, optional),
};

constexpr AttributeSpec foundWireAttributes[] = {
    special("from", ValueKind::wireEnd, required),
    special("to", ValueKind::wireEnd, required),
};

constexpr AttributeSpec caseAttributes[] = {
    special("name", ValueKind::text, required),
    special("invented", ValueKind::yesNo, otherwise("no")),
};

constexpr std::string_view toleranceEnds[] = {"early", "middle", "late"};
constexpr std::string_view capacitorEnds[] = {"upper-end", "middle", "lower-end"};

constexpr AttributeSpec workingPointAttributes[] = {
    number("line-percent", percent, 50, 130, optional),
    number("winding-temperature-c", degreesCelsius, -40, 200, otherwise("25")),
    oneOf("parts", toleranceEnds, otherwise("middle")),
    oneOf("capacitors", capacitorEnds, optional),
    number("restart-after-seconds", seconds, 0, 86400, optional),
};

constexpr ElementSpec conductorElement{"conductor", conductorAttributes, {}};
constexpr ChildSpec supplyChildren[] = {{&conductorElement, Occurs::anyNumber}};
constexpr ElementSpec supplyElement{"supply", supplyAttributes, supplyChildren};
constexpr ElementSpec readingElement{"reading", readingAttributes, {}};
constexpr ChildSpec readingsChildren[] = {{&readingElement, Occurs::atLeastOnce}};
constexpr ElementSpec readingsElement{"readings", readingsAttributes, readingsChildren};
constexpr ElementSpec pinsElement{"pins", pinsAttributes, {}};
constexpr ElementSpec insulationElement{"insulation", insulationAttributes, {}};
constexpr ElementSpec nameplateElement{"nameplate", nameplateAttributes, {}};
constexpr ElementSpec measuredElement{"measured", measuredAttributes, {}};
constexpr ElementSpec twoFeedTestElement{"two-feed-test", twoFeedTestAttributes, {}};
constexpr ElementSpec loadElement{"load", loadAttributes, {}};
constexpr ElementSpec windingWireElement{"winding-wire", windingWireAttributes, {}};
constexpr ElementSpec equivalentCircuitElement{
    "equivalent-circuit", equivalentCircuitAttributes, {}};
constexpr ChildSpec compressorChildren[] = {
    {&readingsElement},
    {&pinsElement},
    {&insulationElement},
    {&nameplateElement},
    {&measuredElement, Occurs::anyNumber},
    {&twoFeedTestElement},
    {&windingWireElement},
    {&loadElement},
    {&equivalentCircuitElement},
};
constexpr ElementSpec compressorElement{"compressor", compressorAttributes, compressorChildren};
constexpr ElementSpec foundWireElement{"wire", foundWireAttributes, {}};
constexpr ChildSpec asFoundChildren[] = {{&foundWireElement, Occurs::atLeastOnce}};
constexpr ElementSpec asFoundElement{"as-found", {}, asFoundChildren};

}  // namespace

const ElementSpec& caseElement()
{
    static const ElementSpec circuitElement{"circuit", circuitAttributes(), {}};
    static const ElementSpec partsInCase{"parts", partsInCaseAttributes, partElements()};
    static const ChildSpec children[] = {
        {&supplyElement},  {&compressorElement, Occurs::exactlyOnce},
        {&circuitElement}, {&partsInCase},
        {&asFoundElement},
    };
    static const ElementSpec root{"case", caseAttributes, children};
    return root;
}

const ElementSpec& workingPointElement()
{
    static constexpr ElementSpec element{"start", workingPointAttributes, {}};
    return element;
}

std::span<const MeasuredQuantitySpec> measuredQuantities()
{
    return quantityTable;
}

std::string_view measuredQuantityName(MeasuredQuantity quantity)
{
    const auto row =
        std::find_if(quantityTable.begin(), quantityTable.end(),
                     [quantity](const auto& spec) { return spec.quantity == quantity; });
    return row == quantityTable.end() ? std::string_view("unknown") : row->name;
}

std::string numberText(const Unit& unit, double minimum, double maximum)
{
    return fmt::format("a number{}{} from {} to {}", unit.word.empty() ? "" : " of ", unit.word,
                       plainNumber(minimum), plainNumber(maximum));
}

std::string allowedText(const AttributeSpec& attribute)
{
    std::string numeric = numberText(attribute.unit, attribute.minimum, attribute.maximum);
    switch (attribute.kind) {
        case ValueKind::number:
            return numeric;
        case ValueKind::evenNumber:
            return fmt::format("an even number from {} to {}", plainNumber(attribute.minimum),
                               plainNumber(attribute.maximum));
        case ValueKind::wholeNumber:
            return fmt::format("a whole number from {} to {}", plainNumber(attribute.minimum),
                               plainNumber(attribute.maximum));
        case ValueKind::ohmsOrOpen:
            return numeric + ", or \"OL\" (also \"open\") where the meter shows no connection";
        case ValueKind::ohmsOrAbove:
            return numeric +
                   ", or \">500\" for a meter whose range ends at 500, or \"OL\" (also \"open\") "
                   "where that end is not known";
        case ValueKind::yesNo:
            return "\"yes\" or \"no\"";
        case ValueKind::choice:
            return "one of " + joined(attribute.words);
        case ValueKind::text:
            return "1 to 200 characters, not all blank, without control characters";
        case ValueKind::id:
            return "1 to 41 letters, digits, points, underscores or hyphens, the first a letter or "
                   "digit";
        case ValueKind::reference:
            return fmt::format("the id of a {} in the parts list",
                               fmt::join(attribute.words, " or "));
        case ValueKind::pinPair:
            return "two labels with a blank between, each 1 to 12 characters as written on the "
                   "pin, "
                   "or \"shell\"";
        case ValueKind::pinLabel:
            return "a label of 1 to 12 characters without blanks, as written on the pin, not "
                   "\"shell\"";
        case ValueKind::wireEnd:
            return "a part of the circuit, a point and one of its terminals, such as relay.2";
        case ValueKind::relativePath:
            return "the name of a parts file, starting from this file's folder";
    }
    return {};
}

std::string unitColumn(const AttributeSpec& attribute)
{
    switch (attribute.kind) {
        case ValueKind::number:
        case ValueKind::evenNumber:
        case ValueKind::wholeNumber:
        case ValueKind::ohmsOrOpen:
        case ValueKind::ohmsOrAbove:
            return attribute.unit.word.empty() ? "number" : std::string(attribute.unit.word);
        case ValueKind::yesNo:
        case ValueKind::choice:
            return "word";
        case ValueKind::text:
            return "text";
        case ValueKind::id:
        case ValueKind::reference:
            return "id";
        case ValueKind::pinPair:
            return "labels";
        case ValueKind::pinLabel:
            return "label";
        case ValueKind::wireEnd:
            return "wire end";
        case ValueKind::relativePath:
            return "file";
    }
    return {};
}

std::string rangeColumn(const AttributeSpec& attribute)
{
    std::string numeric =
        fmt::format("{} to {}", plainNumber(attribute.minimum), plainNumber(attribute.maximum));
    switch (attribute.kind) {
        case ValueKind::number:
            return numeric;
        case ValueKind::evenNumber:
            return numeric + ", even";
        case ValueKind::wholeNumber:
            return numeric + ", whole";
        case ValueKind::ohmsOrOpen:
            return numeric + ", `OL`, `open`";
        case ValueKind::ohmsOrAbove:
            return numeric + ", `>500`, `OL`, `open`";
        case ValueKind::yesNo:
            return "yes, no";
        case ValueKind::choice:
            return joined(attribute.words);
        case ValueKind::text:
            return "1 to 200 characters";
        case ValueKind::id:
            return "1 to 41 characters";
        case ValueKind::reference:
            return fmt::format("a {}", fmt::join(attribute.words, " or "));
        case ValueKind::pinPair:
            return "two labels";
        case ValueKind::pinLabel:
            return "one label";
        case ValueKind::wireEnd:
            return "`part.terminal`";
        case ValueKind::relativePath:
            return "relative, 1 to 200 characters";
    }
    return {};
}

std::string defaultColumn(const AttributeSpec& attribute)
{
    if (attribute.required) {
        return "required";
    }
    return attribute.defaultText.empty() ? "none" : std::string(attribute.defaultText);
}

}  // namespace splitstart
