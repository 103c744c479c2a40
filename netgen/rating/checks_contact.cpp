// What holds for every start contact, and what surrounds the parts.
#include <fmt/format.h>

#include <array>
#include <cmath>

#include "rating/check_readers.h"
#include "rating/check_tables.h"

namespace splitstart
{

namespace
{

constexpr double touchSafe_V = 50;
// A start capacitor is left alone for at least that long before its contact closes again (assumed:
// the shortest time that a compressor runs).
constexpr double shortestRun_s = 60;

const StartCapacitor* startCapacitor(const CheckContext& context)
{
    return chosenPart<StartCapacitor>(context.input, &CircuitChoice::startCapacitor);
}

std::optional<ContactEnclosure> enclosureOf(const CheckContext& context)
{
    if (const auto* part = startDevice<PotentialRelay>(context)) {
        return part->enclosure;
    }
    if (const auto* part = startDevice<CurrentRelay>(context)) {
        return part->enclosure;
    }
    if (const auto* part = startDevice<TimedSwitch>(context)) {
        return part->enclosure;
    }
    if (const auto* part = startDevice<CentrifugalSwitch>(context)) {
        return part->enclosure;
    }
    return std::nullopt;
}

// Contact and capacitor with nothing else but a run capacitor in the loop: half C V squared goes
// into the contact.
CheckReading readRecloses(const CheckContext& context)
{
    const StartCapacitor& capacitor = *startCapacitor(context);
    CheckReading reading;
    for (const StartRun& run : context.evidence.starts) {
        const StartMeasurement& m = run.measured;
        if (m.startContactReclosed_V) {
            const double joule =
                0.5 * capacitor.capacitance_F.maximum * std::pow(*m.startContactReclosed_V, 2);
            reading.comparisons.push_back({fmt::format("{}, during the start, {:.2g} J at the most",
                                                       cornerText(run.corner), joule),
                                           *m.startContactReclosed_V, touchSafe_V, false});
        }
        if (m.startCapacitorLeft_V) {
            double left_V = *m.startCapacitorPeak_V;
            if (capacitor.bleed_ohm) {
                left_V *= std::exp(-shortestRun_s /
                                   (*capacitor.bleed_ohm * capacitor.capacitance_F.maximum));
            }
            reading.comparisons.push_back({cornerText(run.corner) + ", after a run of one minute",
                                           left_V, touchSafe_V, false});
        }
    }
    if (reading.comparisons.empty()) {
        reading.doesNotArise = neverOpened;
    }
    return reading;
}

struct NamedPart {
    const char* place;
    const std::string CircuitChoice::*id;
};
constexpr NamedPart places[] = {
    {"start device", &CircuitChoice::startDevice},
    {"start capacitor", &CircuitChoice::startCapacitor},
    {"run capacitor", &CircuitChoice::runCapacitor},
    {"fan capacitor", &CircuitChoice::fanCapacitor},
    {"contactor", &CircuitChoice::contactor},
};

CheckReading readAmbient(const CheckContext& context)
{
    CheckReading reading;
    for (const NamedPart& place : places) {
        const CatalogPart* part = context.input.parts.find((*context.input.circuit).*(place.id));
        if (part != nullptr && part->highestAmbient_degC) {
            reading.comparisons.push_back({place.place, *context.input.circuit->ambient_degC,
                                           *part->highestAmbient_degC, false});
        }
    }
    return reading;
}

}  // namespace

std::span<const Check> contactChecks()
{
    static const std::array<Check, 3> checks = {{
        {"contact-recloses-discharged", "start-device",
         "Does the start contact close again onto a discharged capacitor only?",
         "volts onto which it closes again, in chatter or after a run of one minute, are at most "
         "50 V",
         "V", Basis::commonPractice,
         "common practice, no source: 50 V; half C V squared goes into the contact, and what a "
         "contact stands has no published rule",
         "fit a bleed resistor of about 15 kohm across the start capacitor; cure the chatter",
         [](const CheckContext& context) {
             return startCapacitor(context) != nullptr && enclosureOf(context).has_value();
         },
         readRecloses, false, Presumes::contactOpens},
        {"contacts-sealed", "start-device",
         "Can the start device's arcs not reach the flammable refrigerant?",
         "beside a flammable refrigerant the contact is sealed (1 sealed, 0 open)", "",
         Basis::standard,
         "IEC 60335-2-24 and -2-89 ask for no ignition source beside flammable refrigerant (from "
         "memory)",
         "fit a start device whose contacts are sealed, of the original's protection class",
         [](const CheckContext& context) {
             return enclosureOf(context).has_value() &&
                    context.input.circuit->refrigerant == Refrigerant::flammable;
         },
         [](const CheckContext& context) {
             const ContactEnclosure enclosure = *enclosureOf(context);
             if (enclosure == ContactEnclosure::unknown) {
                 return CheckReading{{}, "whether its contacts are sealed is not given"};
             }
             return CheckReading{
                 {{"as fitted", enclosure == ContactEnclosure::sealed ? 1.0 : 0.0, 0.5, true}}, ""};
         },
         true},
        {"parts-ambient", "start-device", "Is it not too hot around the parts for their class?",
         "air around the start parts is at most the highest ambient of each part", "degC",
         Basis::standard,
         "IEC 60252-1, IEC 60252-2 and IEC 60730-2-10 mark the highest ambient (from memory)",
         "move the parts to cooler air, or fit parts of a higher temperature class",
         [](const CheckContext& context) {
             return context.input.circuit && context.input.circuit->ambient_degC &&
                    !readAmbient(context).comparisons.empty();
         },
         readAmbient, true},
    }};
    return checks;
}

}  // namespace splitstart
