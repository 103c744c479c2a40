#include "report/part_text.h"

#include <fmt/format.h>

#include <algorithm>

#include "motor/identification_text.h"
#include "report/number_text.h"

namespace splitstart
{

namespace
{

std::string rangeText(const Range& range, double scale, const char* unit)
{
    const int digits = digitsToTell(range.minimum * scale, range.maximum * scale);
    const std::string low = shortNumber(range.minimum * scale, digits);
    const std::string high = shortNumber(range.maximum * scale, digits);
    return low == high ? fmt::format("{} {}", low, unit)
                       : fmt::format("{} to {} {}", low, high, unit);
}

constexpr double micro = 1e6;

void append(std::string& text, const char* what, const std::optional<double>& value,
            const char* unit)
{
    if (value) {
        text += fmt::format(", {} {}", what, withUnit(*value, unit));
    }
}

struct Describe {
    std::string operator()(const PotentialRelay& relay) const
    {
        std::string text = fmt::format(
            "picks up at {}, drops out at {}, coil {}", rangeText(relay.pickUp_V, 1, "V"),
            rangeText(relay.dropOut_V, 1, "V"), ohmsInWords(relay.coil_ohm));
        append(text, "continuous", relay.coilContinuous_V, "V");
        append(text, "contact", relay.contact_A, "A");
        return text;
    }
    std::string operator()(const CurrentRelay& relay) const
    {
        std::string text =
            fmt::format("pulls in at {}, drops out at {}", rangeText(relay.pullIn_A, 1, "A"),
                        rangeText(relay.dropOut_A, 1, "A"));
        append(text, "contact", relay.contact_A, "A");
        return text;
    }
    std::string operator()(const Ptc& ptc) const
    {
        std::string text = fmt::format("{} cold", rangeText(ptc.cold_ohm, 1, "ohm"));
        append(text, "highest", ptc.rated_V, "V");
        append(text, "inrush", ptc.inrush_A, "A");
        return text;
    }
    std::string operator()(const TimedSwitch& timed) const
    {
        std::string text = fmt::format("opens after {}", rangeText(timed.opensAfter_s, 1, "s"));
        append(text, "contact", timed.contact_A, "A");
        return text;
    }
    std::string operator()(const CentrifugalSwitch& shaft) const
    {
        constexpr double perMinute = 60 / (2 * 3.14159265358979);
        return fmt::format("opens at {}", rangeText(shaft.opens_rad_s, perMinute, "rev/min"));
    }
    std::string operator()(const StartCapacitor& capacitor) const
    {
        std::string text = fmt::format("{}, {}", rangeText(capacitor.capacitance_F, micro, "uF"),
                                       withUnit(capacitor.rated_V, "V"));
        if (capacitor.pair) {
            // Ahead of all figures, so that the label in a drawing says it too.
            text = fmt::format(
                "two in {}, {}",
                capacitor.pair->connection == PairConnection::parallel ? "parallel" : "series",
                text);
        }
        if (capacitor.bleed_ohm) {
            text += ", bleed resistor " + ohmsInWords(*capacitor.bleed_ohm);
        } else {
            text += ", no bleed resistor";
        }
        return text;
    }
    std::string operator()(const RunCapacitor& capacitor) const
    {
        return fmt::format("{}, {}", rangeText(capacitor.capacitance_F, micro, "uF"),
                           withUnit(capacitor.rated_V, "V"));
    }
    std::string operator()(const DualRunCapacitor& capacitor) const
    {
        return fmt::format("HERM {}, FAN {}, {}", rangeText(capacitor.compressor_F, micro, "uF"),
                           rangeText(capacitor.fan_F, micro, "uF"),
                           withUnit(capacitor.rated_V, "V"));
    }
    std::string operator()(const Protector& protector) const
    {
        return fmt::format(
            "{}, ultimate trip {}, opens at {}, closes at {}",
            protector.location == ProtectorPlace::internal ? "inside the shell" : "external",
            withUnit(protector.ultimateTrip_A, "A"), withUnit(protector.trip_degC, "degC"),
            withUnit(protector.reset_degC, "degC"));
    }
    std::string operator()(const CondenserFan& fan) const
    {
        return fmt::format("{}, {}", withUnit(fan.voltage_V, "V"), withUnit(fan.current_A, "A"));
    }
    std::string operator()(const CapacitorFan& fan) const
    {
        return fmt::format("{}, {}, runs with {}", withUnit(fan.voltage_V, "V"),
                           withUnit(fan.current_A, "A"), withUnit(fan.capacitor_F * micro, "uF"));
    }
    std::string operator()(const Contactor& contactor) const
    {
        std::string text = contactor.poles == 1 ? "one pole" : "two poles";
        append(text, "full load", contactor.fullLoad_A, "A");
        append(text, "locked rotor", contactor.lockedRotor_A, "A");
        return text;
    }
};

}  // namespace

std::string ratingText(const PartData& data)
{
    return std::visit(Describe(), data);
}

std::string labelText(const PartData& data)
{
    // The first figure tells one part from another; where it is short, there is room for one more.
    constexpr std::size_t roomForMore = 16;
    const std::string whole = ratingText(data);
    const std::size_t first = whole.find(", ");
    return whole.substr(0, first < roomForMore ? whole.find(", ", first + 2) : first);
}

std::string partWords(const std::string& id)
{
    std::string words = id;
    std::replace(words.begin(), words.end(), '-', ' ');
    return words;
}

std::string terminalWords(const Terminal& terminal, const std::map<std::string, std::string>& pins)
{
    const std::string words = fmt::format("{} {}", partWords(terminal.part), terminal.name);
    const auto pin = terminal.part == "compressor" ? pins.find(terminal.name) : pins.end();
    return pin == pins.end() || pin->second == terminal.name
               ? words
               : fmt::format("{} (pin {})", words, pin->second);
}

}  // namespace splitstart
