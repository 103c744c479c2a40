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

constexpr std::string_view contactSides[] = {"L", "M"};
constexpr std::string_view attitudes[] = {"unknown", "upright", "inverted", "on-its-side"};
constexpr std::string_view protectorPlaces[] = {"internal", "external"};

constexpr AttributeSpec potentialRelayAttributes[] = {
    idRow,
    descriptionRow,
    inventedRow,
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
};

constexpr AttributeSpec currentRelayAttributes[] = {
    idRow,
    descriptionRow,
    inventedRow,
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
};

constexpr AttributeSpec startCapacitorAttributes[] = {
    idRow,
    descriptionRow,
    inventedRow,
    number("microfarads-min", microfarads, 0.1, 3000, required),
    number("microfarads-max", microfarads, 0.1, 3000, required),
    number("volts", volts, 50, 1000, required),
    number("dissipation-percent", percent, 0.01, 50, otherwise("6")),
    number("duty-seconds-per-hour", secondsPerHour, 1, 3600, otherwise("60")),
    number("bleed-ohms", ohms, 100, 10000000, optional),
    number("bleed-watts", watts, 0.05, 50, optional),
};

constexpr AttributeSpec runCapacitorAttributes[] = {
    idRow,
    descriptionRow,
    inventedRow,
    number("microfarads", microfarads, 0.1, 200, optional),
    number("tolerance-percent", percent, 0, 50, optional),
    number("microfarads-min", microfarads, 0.1, 200, optional),
    number("microfarads-max", microfarads, 0.1, 200, optional),
    number("volts", volts, 50, 1000, required),
    number("dissipation-percent", percent, 0.01, 50, otherwise("0.1")),
};

constexpr AttributeSpec protectorAttributes[] = {
    idRow,
    descriptionRow,
    inventedRow,
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
constexpr ElementSpec runCapacitorElement{"run-capacitor", runCapacitorAttributes, {}};
constexpr ElementSpec protectorElement{"protector", protectorAttributes, {}};
constexpr ElementSpec condenserFanElement{"condenser-fan", condenserFanAttributes, {}};

constexpr ChildSpec partChildren[] = {
    {&potentialRelayElement, Occurs::anyNumber}, {&currentRelayElement, Occurs::anyNumber},
    {&startCapacitorElement, Occurs::anyNumber}, {&runCapacitorElement, Occurs::anyNumber},
    {&protectorElement, Occurs::anyNumber},      {&condenserFanElement, Occurs::anyNumber},
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
