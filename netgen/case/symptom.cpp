#include "case/symptom.h"

#include <fmt/format.h>

#include <algorithm>
#include <limits>
#include <stdexcept>

#include "case/number.h"
#include "case/text.h"

namespace splitstart
{

namespace
{

constexpr std::string_view openWord = "open";
constexpr double micro = 1e-6;

SymptomInfo number(SymptomKind kind, std::string_view name, std::string_view meaning,
                   std::string_view unit, double least, double most)
{
    SymptomInfo info;
    info.kind = kind;
    info.name = name;
    info.meaning = meaning;
    info.unit = unit;
    info.least = least;
    info.most = most;
    info.powered = true;
    return info;
}

SymptomInfo cold(SymptomInfo info)
{
    info.powered = false;
    return info;
}

SymptomInfo ohms(SymptomKind kind, std::string_view name, std::string_view meaning, double most)
{
    SymptomInfo info = cold(number(kind, name, meaning, "ohm", 0, most));
    info.mayBeOpen = true;
    return info;
}

SymptomInfo microfarads(SymptomKind kind, std::string_view name, std::string_view meaning)
{
    SymptomInfo info = cold(number(kind, name, meaning, "uF", 0, 5000));
    info.unitInSi = micro;
    return info;
}

SymptomInfo word(SymptomKind kind, std::string_view name, std::string_view meaning,
                 std::vector<std::string_view> words)
{
    SymptomInfo info;
    info.kind = kind;
    info.name = name;
    info.meaning = meaning;
    info.words = std::move(words);
    info.powered = true;
    return info;
}

std::vector<SymptomInfo> makeKinds()
{
    using Kind = SymptomKind;
    return {
        word(Kind::motor, "motor",
             "what the compressor does: it starts; it turns but does not come up to speed; it hums "
             "and stands still; it is silent; the breaker or fuse opens at once",
             {motorWord::starts, motorWord::slow, motorWord::hums, motorWord::silent,
              motorWord::breaker}),
        word(Kind::startDevice, "start-device",
             "what relay, PTC or start switch does in the first seconds: it opens once; it stays "
             "made; it chatters; it never makes",
             {startDeviceWord::opens, startDeviceWord::stays, startDeviceWord::chatters,
              startDeviceWord::never}),
        word(Kind::fan, "fan", "whether the condenser fan runs while the compressor should",
             {fanWord::runs, fanWord::still}),
        cold(word(Kind::gauges, "gauges",
                  "suction and discharge pressure before the attempt: equal or apart",
                  {gaugesWord::equal, gaugesWord::apart})),
        number(Kind::supplyVoltsIdle, "supply-volts-idle",
               "volts of the supply while nothing is switched on", "V", 0, 700),
        number(Kind::lineAmpsStalled, "line-amps-stalled",
               "amps in the wire of C (all wires on C together) while it tries to start", "A", 0,
               1000),
        number(Kind::lineAmpsRunning, "line-amps-running", "amps in the wire of C once it runs",
               "A", 0, 500),
        number(Kind::startLeadAmpsStalled, "start-lead-amps-stalled",
               "amps in the wire of S (all wires on S together) while it tries to start", "A", 0,
               500),
        number(Kind::startLeadAmpsRunning, "start-lead-amps-running",
               "amps in the wire of S once it runs", "A", 0, 500),
        number(Kind::startCommonVoltsStalled, "start-common-volts-stalled",
               "volts between the wires of S and C, at their far ends, while it tries to start",
               "V", 0, 1500),
        number(Kind::startCommonVoltsRunning, "start-common-volts-running",
               "volts between the wires of S and C, at their far ends, once it runs", "V", 0, 1500),
        number(Kind::supplyVoltsStalled, "supply-volts-stalled",
               "volts between the lines at the start circuit while it tries to start", "V", 0, 700),
        number(Kind::secondsToStart, "seconds-to-start", "seconds from switch-on until it runs",
               "s", 0.02, 60),
        number(Kind::secondsToTrip, "seconds-to-trip",
               "seconds from switch-on until the overload protector opens", "s", 0.1, 3600),
        ohms(Kind::runCommonOhms, "run-common-ohms",
             "ohms between the far ends of the wires of R and C, supply off", 1e6),
        ohms(Kind::startCommonOhms, "start-common-ohms",
             "ohms between the far ends of the wires of S and C, supply off", 1e6),
        microfarads(Kind::startCapacitorMicrofarads, "start-capacitor-microfarads",
                    "microfarads of the start capacitor, discharged, its wires off"),
        microfarads(Kind::runCapacitorMicrofarads, "run-capacitor-microfarads",
                    "microfarads of the run capacitor, discharged, its wires off"),
        ohms(Kind::contactOhms, "contact-ohms",
             "ohms of the start device's contact, or of the PTC, as it rests, its wires off", 1e6),
        ohms(Kind::coilOhms, "coil-ohms", "ohms of the relay's coil, its wires off", 1e6),
        ohms(Kind::bleedOhms, "bleed-ohms",
             "ohms of the start capacitor's bleed resistor, its wires off", 1e7),
    };
}

[[noreturn]] void refuse(std::string_view found, std::string_view allowed)
{
    throw std::invalid_argument(
        fmt::format("--symptom: found \"{}\"; allowed: {}", shortText(found), allowed));
}

std::string valuesText(const SymptomInfo& info)
{
    if (!info.words.empty()) {
        return joined(info.words);
    }
    return fmt::format("a number of {} from {} to {}{}", info.unit, plainNumber(info.least),
                       plainNumber(info.most), info.mayBeOpen ? ", or open" : "");
}

}  // namespace

std::span<const SymptomInfo> symptomKinds()
{
    static const std::vector<SymptomInfo> kinds = makeKinds();
    return kinds;
}

const SymptomInfo& symptomInfo(SymptomKind kind)
{
    return symptomKinds()[static_cast<std::size_t>(kind)];
}

Symptom parseSymptom(std::string_view text)
{
    const std::size_t equals = text.find('=');
    const std::string_view name = text.substr(0, equals);
    std::vector<std::string_view> names;
    for (const SymptomInfo& info : symptomKinds()) {
        names.push_back(info.name);
    }
    const auto known = std::find_if(
        symptomKinds().begin(), symptomKinds().end(),
        [name](const SymptomInfo& info) { return equalIgnoringCase(info.name, name); });
    if (known == symptomKinds().end()) {
        const std::string_view meant = nearest(name, names);
        refuse(text, fmt::format("NAME=VALUE with a name of {}{}", joined(names),
                                 meant.empty() ? "" : fmt::format("; did you mean {}?", meant)));
    }
    if (equals == std::string_view::npos) {
        refuse(text, fmt::format("{}= and then {}", known->name, valuesText(*known)));
    }
    const std::string_view given = text.substr(equals + 1);
    Symptom symptom;
    symptom.kind = known->kind;
    if (!known->words.empty()) {
        const auto word =
            std::find_if(known->words.begin(), known->words.end(),
                         [given](std::string_view each) { return equalIgnoringCase(each, given); });
        if (word == known->words.end()) {
            refuse(text, fmt::format("{}= and then one of {}", known->name, valuesText(*known)));
        }
        symptom.word = *word;
        return symptom;
    }
    if (known->mayBeOpen && equalIgnoringCase(given, openWord)) {
        symptom.value = std::numeric_limits<double>::infinity();
        return symptom;
    }
    const std::optional<double> value = parseNumber(given);
    if (!value || *value < known->least || *value > known->most) {
        refuse(text, fmt::format("{}= and then {}", known->name, valuesText(*known)));
    }
    symptom.value = *value * known->unitInSi;
    return symptom;
}

}  // namespace splitstart
