#include "case/vocabulary.h"
#include "case/vocabulary_rows.h"

namespace splitstart
{

namespace
{

using namespace vocabulary;

// What every part begins with.
constexpr AttributeSpec idRow = special("id", ValueKind::id, required);
constexpr AttributeSpec descriptionRow = special("description", ValueKind::text, optional);
constexpr AttributeSpec inventedRow = special("invented", ValueKind::yesNo, optional);

// Of relays, capacitors and the like: what their class allows around them.
constexpr AttributeSpec highestAmbientRow =
    number("highest-ambient-c", degreesCelsius, -20, 150, optional);
// How many are on the shelf.
constexpr AttributeSpec inStockRow =
    number("in-stock", plain, 0, 999, otherwise("1"), ValueKind::wholeNumber);
constexpr AttributeSpec lifeOperationsRow = number("life-operations", plain, 1, 1e9, optional);

constexpr std::string_view enclosures[] = {"unknown", "open", "sealed"};
constexpr AttributeSpec contactsRow = oneOf("contacts", enclosures, otherwise("unknown"));
constexpr std::string_view contactSides[] = {"L", "M"};
constexpr std::string_view operationClasses[] = {"A", "B", "C", "D"};  // IEC 60252-1
constexpr std::string_view poleCounts[] = {"1", "2"};
constexpr std::string_view attitudes[] = {"unknown", "upright", "inverted", "on-its-side"};
constexpr std::string_view protectorPlaces[] = {"internal", "external"};

constexpr AttributeSpec potentialRelayAttributes[] = {
    idRow,
    descriptionRow,
    inventedRow,
    highestAmbientRow,
    inStockRow,
    number("pick-up-volts-min", volts, 10, 800, required),
    number("pick-up-volts-max", volts, 10, 800, required),
    number("drop-out-volts-min", volts, 1, 600, required),
    number("drop-out-volts-max", volts, 1, 600, required),
    number("coil-ohms", ohms, 100, 100000, required),
    number("coil-henries", henries, 0, 100, otherwise("0")),
    number("coil-continuous-volts", volts, 10, 1000, optional),
    number("contact-amps", amps, 0.1, 200, optional),
    number("operate-milliseconds", milliseconds, 0.1, 1000, otherwise("10")),
    number("release-milliseconds", milliseconds, 0.1, 1000, otherwise("10")),
    contactsRow,
    lifeOperationsRow,
};

constexpr AttributeSpec currentRelayAttributes[] = {
    idRow,
    descriptionRow,
    inventedRow,
    highestAmbientRow,
    inStockRow,
    number("pull-in-amps-min", amps, 0.05, 200, required),
    number("pull-in-amps-max", amps, 0.05, 200, required),
    number("drop-out-amps-min", amps, 0.01, 200, required),
    number("drop-out-amps-max", amps, 0.01, 200, required),
    number("coil-ohms", ohms, 0.001, 5, required),
    number("coil-continuous-amps", amps, 0.05, 200, optional),
    number("contact-amps", amps, 0.1, 200, optional),
    number("operate-milliseconds", milliseconds, 0.1, 1000, otherwise("10")),
    number("release-milliseconds", milliseconds, 0.1, 1000, otherwise("10")),
    oneOf("contact-from", contactSides, otherwise("L")),
    oneOf("mounted", attitudes, otherwise("unknown")),
    contactsRow,
    lifeOperationsRow,
};

constexpr AttributeSpec startCapacitorAttributes[] = {
    idRow,
    descriptionRow,
    inventedRow,
    highestAmbientRow,
    inStockRow,
    number("microfarads-min", microfarads, 0.1, 3000, required),
    number("microfarads-max", microfarads, 0.1, 3000, required),
    number("volts", volts, 50, 1000, required),
    number("dissipation-percent", percent, 0.01, 50, otherwise("6")),
    number("duty-seconds-per-hour", secondsPerHour, 1, 3600, otherwise("60")),
    number("bleed-ohms", ohms, 100, 10000000, optional),
    number("bleed-watts", watts, 0.05, 50, optional),
    number("longest-on-seconds", seconds, 0.1, 600, optional),
    number("cut-off-volts", volts, 50, 1500, optional),
};

constexpr std::string_view pairedKinds[] = {"start-capacitor"};
constexpr std::string_view pairConnections[] = {"parallel", "series"};

constexpr AttributeSpec startCapacitorPairAttributes[] = {
    idRow,
    descriptionRow,
    inventedRow,
    reference("first", pairedKinds, required),
    reference("second", pairedKinds, required),
    oneOf("connection", pairConnections, required),
};

constexpr AttributeSpec runCapacitorAttributes[] = {
    idRow,
    descriptionRow,
    inventedRow,
    highestAmbientRow,
    inStockRow,
    number("microfarads", microfarads, 0.1, 200, optional),
    number("tolerance-percent", percent, 0, 50, optional),
    number("microfarads-min", microfarads, 0.1, 200, optional),
    number("microfarads-max", microfarads, 0.1, 200, optional),
    number("volts", volts, 50, 1000, required),
    number("dissipation-percent", percent, 0.01, 50, otherwise("0.1")),
    number("life-hours", hours, 100, 200000, optional),
    oneOf("operation-class", operationClasses, optional),
};

constexpr AttributeSpec dualRunCapacitorAttributes[] = {
    idRow,
    descriptionRow,
    inventedRow,
    highestAmbientRow,
    inStockRow,
    number("microfarads", microfarads, 0.1, 200, required),
    number("fan-microfarads", microfarads, 0.1, 100, required),
    number("tolerance-percent", percent, 0, 50, required),
    number("volts", volts, 50, 1000, required),
    number("dissipation-percent", percent, 0.01, 50, otherwise("0.1")),
    number("life-hours", hours, 100, 200000, optional),
    oneOf("operation-class", operationClasses, optional),
};

constexpr AttributeSpec ptcAttributes[] = {
    idRow,
    descriptionRow,
    inventedRow,
    highestAmbientRow,
    inStockRow,
    number("cold-ohms-min", ohms, 0.5, 2000, required),
    number("cold-ohms-max", ohms, 0.5, 2000, required),
    number("switch-amps", amps, 0.05, 100, required),
    number("switch-seconds-min", seconds, 0.05, 60, required),
    number("switch-seconds-max", seconds, 0.05, 60, required),
    number("hot-ohms", ohms, 100, 1e6, otherwise("50000")),
    number("reference-c", degreesCelsius, 50, 200, otherwise("120")),
    number("running-watts", watts, 0.2, 30, otherwise("3")),
    number("volts", volts, 50, 1000, optional),
    number("inrush-amps", amps, 0.1, 200, optional),
    number("recovery-seconds", seconds, 1, 7200, optional),
};

constexpr AttributeSpec timedSwitchAttributes[] = {
    idRow,
    descriptionRow,
    inventedRow,
    highestAmbientRow,
    inStockRow,
    number("seconds-min", seconds, 0.05, 60, required),
    number("seconds-max", seconds, 0.05, 60, required),
    number("rearm-seconds", seconds, 0.02, 600, otherwise("1")),
    number("contact-amps", amps, 0.1, 200, optional),
    number("contact-volts", volts, 50, 1500, optional),
    contactsRow,
    lifeOperationsRow,
};

constexpr AttributeSpec centrifugalSwitchAttributes[] = {
    idRow,
    descriptionRow,
    inventedRow,
    highestAmbientRow,
    inStockRow,
    number("opens-rpm-min", rpm, 100, 5000, required),
    number("opens-rpm-max", rpm, 100, 5000, required),
    number("closes-rpm-min", rpm, 10, 5000, required),
    number("closes-rpm-max", rpm, 10, 5000, required),
    number("contact-amps", amps, 0.1, 200, optional),
    contactsRow,
    lifeOperationsRow,
};

constexpr AttributeSpec capacitorFanAttributes[] = {
    idRow,
    descriptionRow,
    inventedRow,
    highestAmbientRow,
    inStockRow,
    number("volts", volts, 50, 600, required),
    number("amps", amps, 0.01, 50, required),
    number("microfarads", microfarads, 0.1, 100, required),
    number("poles", plain, 2, 12, otherwise("6"), ValueKind::evenNumber),
};

constexpr AttributeSpec contactorAttributes[] = {
    idRow,
    descriptionRow,
    inventedRow,
    highestAmbientRow,
    inStockRow,
    oneOf("poles", poleCounts, required),
    number("full-load-amps", amps, 1, 500, optional),
    number("locked-rotor-amps", amps, 1, 2000, optional),
    number("pole-ohms", ohms, 0.0001, 1, otherwise("0.005")),
};

constexpr AttributeSpec protectorAttributes[] = {
    idRow,
    descriptionRow,
    inventedRow,
    highestAmbientRow,
    inStockRow,
    oneOf("place", protectorPlaces, required),
    number("ultimate-trip-amps", amps, 0.05, 200, required),
    number("trip-amps", amps, 0.05, 500, required),
    number("trip-seconds-min", seconds, 0.1, 600, required),
    number("trip-seconds-max", seconds, 0.1, 600, required),
    number("trip-c", degreesCelsius, 40, 250, required),
    number("reset-c", degreesCelsius, 20, 250, required),
    number("rating-ambient-c", degreesCelsius, -20, 100, otherwise("25")),
    number("closed-ohms", ohms, 0.0001, 1, otherwise("0.005")),
};

constexpr AttributeSpec condenserFanAttributes[] = {
    idRow,
    descriptionRow,
    inventedRow,
    highestAmbientRow,
    inStockRow,
    number("volts", volts, 50, 600, required),
    number("amps", amps, 0.01, 50, required),
    number("power-factor", plain, 0.1, 1, otherwise("0.6")),
};

constexpr AttributeSpec partsFileAttributes[] = {
    special("name", ValueKind::text, optional),
    special("invented", ValueKind::yesNo, otherwise("no")),
};

constexpr ElementSpec potentialRelayElement{"potential-relay", potentialRelayAttributes, {}};
constexpr ElementSpec currentRelayElement{"current-relay", currentRelayAttributes, {}};
constexpr ElementSpec startCapacitorElement{"start-capacitor", startCapacitorAttributes, {}};
constexpr ElementSpec startCapacitorPairElement{
    "start-capacitor-pair", startCapacitorPairAttributes, {}};
constexpr ElementSpec runCapacitorElement{"run-capacitor", runCapacitorAttributes, {}};
constexpr ElementSpec protectorElement{"protector", protectorAttributes, {}};
constexpr ElementSpec condenserFanElement{"condenser-fan", condenserFanAttributes, {}};

constexpr ElementSpec ptcElement{"ptc", ptcAttributes, {}};
constexpr ElementSpec timedSwitchElement{"timed-switch", timedSwitchAttributes, {}};
constexpr ElementSpec centrifugalSwitchElement{
    "centrifugal-switch", centrifugalSwitchAttributes, {}};
constexpr ElementSpec dualRunCapacitorElement{"dual-run-capacitor", dualRunCapacitorAttributes, {}};
constexpr ElementSpec capacitorFanElement{"capacitor-fan", capacitorFanAttributes, {}};
constexpr ElementSpec contactorElement{"contactor", contactorAttributes, {}};

constexpr ChildSpec partChildren[] = {
    {&potentialRelayElement, Occurs::anyNumber},
    {&currentRelayElement, Occurs::anyNumber},
    {&ptcElement, Occurs::anyNumber},
    {&timedSwitchElement, Occurs::anyNumber},
    {&centrifugalSwitchElement, Occurs::anyNumber},
    {&startCapacitorElement, Occurs::anyNumber},
    {&startCapacitorPairElement, Occurs::anyNumber},
    {&runCapacitorElement, Occurs::anyNumber},
    {&dualRunCapacitorElement, Occurs::anyNumber},
    {&protectorElement, Occurs::anyNumber},
    {&condenserFanElement, Occurs::anyNumber},
    {&capacitorFanElement, Occurs::anyNumber},
    {&contactorElement, Occurs::anyNumber},
};

}  // namespace

std::span<const ChildSpec> vocabulary::partElements()
{
    return partChildren;
}

const ElementSpec& partsFileElement()
{
    static const ElementSpec root{"parts", partsFileAttributes, partChildren};
    return root;
}

}  // namespace splitstart
