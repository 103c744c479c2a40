#include "report/diagnosis_words.h"

#include <fmt/format.h>

#include <cmath>

#include "motor/identification_text.h"
#include "report/number_text.h"

namespace splitstart
{

namespace
{

constexpr const char* onePowered =
    "One attempt of three seconds at the most, terminal cover on, nobody within reach, someone at "
    "the disconnect, the shell closed and not under vacuum; five minutes of rest before the next. "
    "Clamp and probes go on with the supply "
    "locked out.";
constexpr const char* running =
    "Live parts: fit clamp or probes with the supply locked out, put the terminal cover back, then "
    "switch on; never reach in while it runs.";
constexpr const char* lockedOut =
    "Lock out the supply, discharge every capacitor through a resistor and check that it is dead "
    "before a lead comes off.";

std::string numberText(SymptomKind kind, double value)
{
    const SymptomInfo& info = symptomInfo(kind);
    if (std::isinf(value)) {
        return kind == SymptomKind::secondsToTrip ? "never" : "open";
    }
    constexpr double leastKiloohm = 999.5;
    return info.unit == "ohm" && value >= leastKiloohm ? ohmsInWords(value)
                                                       : withUnit(value / info.unitInSi, info.unit);
}

std::string rangeText(SymptomKind kind, const Range& range)
{
    std::string high = numberText(kind, range.maximum);
    if (std::isinf(range.minimum) || numberText(kind, range.minimum) == high) {
        return high;
    }
    // "900 ohm to 1.10 kohm", but "2.00 to 2.10 ohm".
    std::string low = numberText(kind, range.minimum);
    const auto unitOf = [](const std::string& text) { return text.substr(text.find(' ') + 1); };
    if (unitOf(low) == unitOf(high)) {
        low.resize(low.find(' '));
    }
    return low + " to " + high;
}

const char* howText(SymptomKind kind)
{
    switch (kind) {
        case SymptomKind::motor:
            return "Switch on for three seconds at the most and listen at the shell.";
        case SymptomKind::startDevice:
            return "In one short attempt, clamp the wire that only the start needs: amps that fall "
                   "within a second: it opens; that stay: it stays made; that jump: it chatters; "
                   "none: it never makes.";
        case SymptomKind::fan:
            return "Look whether the condenser fan turns while the compressor should.";
        case SymptomKind::gauges:
            return "Read suction and discharge pressure before the attempt.";
        case SymptomKind::supplyVoltsIdle:
            return "AC voltmeter on the two lines at the disconnect or contactor, compressor off.";
        case SymptomKind::lineAmpsStalled:
            return "Clamp meter that holds the highest reading, on all wires of C together.";
        case SymptomKind::lineAmpsRunning:
            return "Clamp meter on all wires of C together.";
        case SymptomKind::startLeadAmpsStalled:
            return "Clamp meter that holds the highest reading, on all wires of S together.";
        case SymptomKind::startLeadAmpsRunning:
            return "Clamp meter on all wires of S together.";
        case SymptomKind::startCommonVoltsStalled:
        case SymptomKind::startCommonVoltsRunning:
            return "AC voltmeter for 600 V, clip-on probes at the control-box ends of the wires of "
                   "S and C.";
        case SymptomKind::supplyVoltsStalled:
            return "AC voltmeter that holds the lowest reading, at the start circuit's two lines.";
        case SymptomKind::secondsToStart:
            return "Clamp meter and a phone that films it: count the frames until the amps fall.";
        case SymptomKind::secondsToTrip:
            return "Not to be tried: a stalled motor would have to be left on.";
        case SymptomKind::runCommonOhms:
            return "Ohmmeter between the control-box ends of the wires of R and C; thermostat off, "
                   "one lead of the fan off; what the meter's leads have is taken off.";
        case SymptomKind::startCommonOhms:
            return "Ohmmeter between the control-box ends of the wires of S and C; thermostat off, "
                   "one lead of the fan off; what the meter's leads have is taken off.";
        case SymptomKind::startCapacitorMicrofarads:
        case SymptomKind::runCapacitorMicrofarads:
            return "Capacitance meter, with its wires off and a bleed resistor lifted.";
        case SymptomKind::contactOhms:
            return "Ohmmeter across the start device's contact (or the PTC, cold), its wires off, "
                   "as it is mounted.";
        case SymptomKind::coilOhms:
            return "Ohmmeter across the relay's coil, its wires off.";
        case SymptomKind::bleedOhms:
            return "Ohmmeter across the bleed resistor, one of its ends lifted.";
    }
    return "";
}

const char* cautionText(SymptomKind kind)
{
    switch (kind) {
        case SymptomKind::lineAmpsRunning:
        case SymptomKind::startLeadAmpsRunning:
        case SymptomKind::startCommonVoltsRunning:
            return running;
        case SymptomKind::supplyVoltsIdle:
            return "Live points: prove the meter first, insulated probes, terminal cover on.";
        case SymptomKind::gauges:
            return "Eye protection; bleed the hoses as the refrigerant asks.";
        default:
            return symptomInfo(kind).powered ? onePowered : lockedOut;
    }
}

}  // namespace

std::string symptomText(const Symptom& symptom)
{
    return symptom.word.empty() ? numberText(symptom.kind, symptom.value) : symptom.word;
}

std::string predictedText(SymptomKind kind, const Prediction& prediction)
{
    const auto word = prediction.words.find(kind);
    if (word != prediction.words.end()) {
        return std::string(word->second);
    }
    const auto range = prediction.values.find(kind);
    return range == prediction.values.end() ? std::string() : rangeText(kind, range->second);
}

std::string outcomeText(SymptomKind kind, const NextObservation::Outcome& outcome)
{
    return outcome.notSeen         ? "cannot be read"
           : !outcome.word.empty() ? std::string(outcome.word)
                                   : rangeText(kind, outcome.value);
}

HowToObserve howToObserve(const NextObservation& observation)
{
    if (observation.isWires) {
        return {
            "Follow each wire from end to end and list where both ends are: as <as-found> in "
            "the case file, or with --wire to `splitstart wiring`. It compares them and says "
            "what to move.",
            lockedOut};
    }
    return {howText(observation.kind), cautionText(observation.kind)};
}

std::string_view causeKindName(CauseKind kind)
{
    switch (kind) {
        case CauseKind::nothing:
            return "nothing";
        case CauseKind::wiring:
            return "wiring";
        case CauseKind::startDevice:
            return "start device";
        case CauseKind::startCapacitor:
            return "start capacitor";
        case CauseKind::runCapacitor:
            return "run capacitor";
        case CauseKind::load:
            return "load";
        case CauseKind::supply:
            return "supply";
        case CauseKind::motor:
            return "motor";
        case CauseKind::protector:
            return "protector";
        case CauseKind::feed:
            return "feed";
        case CauseKind::fan:
            return "fan";
    }
    return "";
}

}  // namespace splitstart
