// What stands between the supply and the compressor, and beside it: wire, contactor, fan, and what
// flows in the off time.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "case/wire_gauge.h"
#include "rating/check_readers.h"
#include "rating/check_tables.h"

namespace splitstart
{

namespace
{

constexpr double percent = 100;

// Within 10 % of the label, both ends included however their numbers are rounded.
constexpr double rounding_ratio = 1e-9;
constexpr double leastOfLabel_ratio = 0.9 * (1 - rounding_ratio);
constexpr double mostOfLabel_ratio = 1.1 * (1 + rounding_ratio);

std::optional<double> lineAmps(const HeldShaftMeasurement& held)
{
    return held.line_A;
}

// NFPA 70 (NEC) table 310.16, copper (from memory): the 60 degC column up to 1 AWG, as 110.14(C)
// asks where terminals are not marked otherwise, then the 75 degC column.
struct Ampacity {
    std::string_view gauge;
    double current_A;
};
constexpr Ampacity ampacities[] = {
    {"14", 15}, {"12", 20}, {"10", 30},   {"8", 40},    {"6", 55},    {"4", 70},    {"3", 85},
    {"2", 95},  {"1", 110}, {"1/0", 150}, {"2/0", 175}, {"3/0", 200}, {"4/0", 230},
};

double fanAmps(const CheckContext& context)
{
    if (const auto* fan = chosenPart<CondenserFan>(context.input, &CircuitChoice::fan)) {
        return fan->current_A;
    }
    const auto* fan = chosenPart<CapacitorFan>(context.input, &CircuitChoice::fan);
    return fan != nullptr ? fan->current_A : 0;
}

// That of the thickest listed gauge which is no thicker than the conductor.
std::optional<double> ampacity_A(double area_m2)
{
    constexpr double printed_ratio = 1.001;  // tables round their areas
    std::optional<double> found;
    for (const Ampacity& row : ampacities) {
        if (awgArea_m2(row.gauge) <= printed_ratio * area_m2) {
            found = row.current_A;
        }
    }
    return found;
}

CheckReading readAmpacity(const CheckContext& context)
{
    const std::optional<double> rated_A = context.input.compressor.nameplate.ratedLoad_A;
    if (!rated_A) {
        return {{}, "the nameplate's rated-load amps are not given"};
    }
    CheckReading reading;
    const auto& runs = context.input.supply.conductors;
    for (std::size_t i = 0; i < runs.size(); ++i) {
        const std::optional<double> limit_A = runs[i].material == ConductorMaterial::copper
                                                  ? ampacity_A(runs[i].area_m2)
                                                  : std::nullopt;
        if (!limit_A) {
            reading.undecidedBecause = fmt::format(
                "conductor {}: only copper of 14 AWG (2.08 mm2) and more is in the table used here",
                i + 1);
            continue;
        }
        reading.comparisons.push_back(
            {fmt::format("conductor {}, 125 % of rated-load amps, and the fan's", i + 1),
             1.25 * *rated_A + fanAmps(context), *limit_A, false});
    }
    return reading;
}

const Contactor* contactor(const CheckContext& context)
{
    return chosenPart<Contactor>(context.input, &CircuitChoice::contactor);
}

bool hasContactor(const CheckContext& context)
{
    return contactor(context) != nullptr;
}

// The plate may know of more amps than the simulated motor draws. It does not stand alone: without
// anything simulated there is nothing to compare.
void addPlate(CheckReading& reading, const char* corner, const std::optional<double>& plate_A,
              double beside_A, double rating_A)
{
    if (plate_A && !reading.comparisons.empty()) {
        reading.comparisons.push_back({corner, *plate_A + beside_A, rating_A, false});
    }
}

const CapacitorFan* capacitorFan(const CheckContext& context)
{
    return chosenPart<CapacitorFan>(context.input, &CircuitChoice::fan);
}

bool hasCapacitorFan(const CheckContext& context)
{
    return capacitorFan(context) != nullptr && fanSection(context).has_value();
}

// Balanced two-phase: capacitor volts are those of both windings at right angles.
double fanCapacitorVolts(const CheckContext& context)
{
    const CapacitorFan& fan = *capacitorFan(context);
    const double n = fanMachine(fan, context.input.supply.frequency_Hz).circuit.turnsRatio;
    return highestLine_ratio(context.input) * ratedVoltage_V(context.input) * std::hypot(1.0, n);
}

// What heats a motor that nothing cools, against what it loses in running, when the gas cools it.
CheckReading readOffTime(const CheckContext& context)
{
    constexpr double uncooledShare_ratio = 0.5;
    const HeldShaftMeasurement& off = *context.evidence.offTime;
    const double line = highestLine_ratio(context.input);
    CheckReading reading;
    for (const HeldShaftTable& table : context.evidence.held) {
        const std::optional<double> speed =
            speedAtTorque(table.startCircuitOut, context.evidence.ratedTorque_Nm, 1);
        if (!speed) {
            reading.doesNotArise =
                fmt::format("the motor does not carry this load at {}", heldCornerText(table, 1));
            continue;
        }
        const HeldShaftMeasurement running = heldAt(table.startCircuitOut, *speed, 1);
        const double losses_W =
            running.line_W - running.torque_Nm * *speed * synchronousSpeed_rad_s(context);
        reading.comparisons.push_back(
            {fmt::format("off, {:.0f} % line, {:.3g} A; limit from running, {}", line * percent,
                         off.auxiliary_A * line, heldCornerText(table, 1)),
             off.line_W * line * line, uncooledShare_ratio * losses_W, false});
    }
    if (saturates(context)) {
        reading.undecidedBecause = unsaturated;
    }
    return reading;
}

// An electrolytic capacitor stands on the line for good; its heat there must be no more than the
// mean of its duty.
CheckReading readStartCapacitorOffTime(const CheckContext& context)
{
    const auto& capacitor =
        *chosenPart<StartCapacitor>(context.input, &CircuitChoice::startCapacitor);
    const double line = highestLine_ratio(context.input);
    return {{{fmt::format("off, {:.0f} % line", line * percent),
              *context.evidence.offTime->startCapacitor_V * line,
              capacitor.rated_V * std::sqrt(capacitor.dutySecondsPerHour / 3600), false}},
            ""};
}

}  // namespace

std::span<const Check> feedChecks()
{
    static const std::array<Check, 10> checks = {{
        {"supply-limit", "supply", "Can the generator or inverter deliver the starting amps?",
         "line amps at standstill, at 100 % line, are at most the limit of the supply", "A",
         Basis::physics, "held-shaft analysis; beyond its limit the supply's volts collapse",
         "a larger generator or inverter; a larger start capacitor does not lower these amps",
         [](const CheckContext& context) {
             return context.input.supply.limit_A.has_value() ||
                    context.input.supply.kind != SupplyKind::utility;
         },
         [](const CheckContext& context) {
             if (!context.input.supply.limit_A) {
                 return CheckReading{
                     {}, "the most amps of the generator or inverter are not given (limit-amps)"};
             }
             return overHeld(context, StartContact::heldClosed, HeldPoint::standstill, {1.0},
                             *context.input.supply.limit_A, Bound::atMost, lineAmps);
         }},
        {"supply-volts-running", "supply", "Do the volts at the compressor hold in running?",
         "volts C-R at full load and 100 % line are at least 95 % of rated volts", "V",
         Basis::standard,
         "NFPA 70 (NEC) 210.19 informational note: feeder and branch together lose no more than 5 "
         "% (from memory)",
         "shorten or thicken the feed, find the bad joint", sourceKnown,
         [](const CheckContext& context) {
             return overHeld(context, StartContact::heldOpen, HeldPoint::fullLoad, {1.0},
                             0.95 * ratedVoltage_V(context.input), Bound::atLeast,
                             [](const HeldShaftMeasurement& held) { return held.runWinding_V; });
         },
         false, Presumes::carriesLoad},
        {"conductor-amps", "supply", "Is the wire thick enough for the running amps?",
         "125 % of rated-load amps, and the fan's, are at most the conductor's ampacity", "A",
         Basis::standard,
         "NFPA 70 (NEC) 440.32, 110.14(C) and table 310.16, copper (from memory); flexible cords "
         "have "
         "a table of their own; local codes come first",
         "run thicker wire",
         [](const CheckContext& context) { return !context.input.supply.conductors.empty(); },
         readAmpacity, true},
        {"contactor-full-load-amps", "contactor", "Can the contactor carry the running amps?",
         "line amps at full load, at 85 and 110 % line, and the nameplate's, are at most its "
         "full-load "
         "rating",
         "A", Basis::physics, "held-shaft analysis at rated torque",
         "fit a contactor for more amps", hasContactor,
         [](const CheckContext& context) {
             const std::optional<double> rating_A = contactor(context)->fullLoad_A;
             if (!rating_A) {
                 return CheckReading{{}, "the contactor's full-load amps are not given"};
             }
             CheckReading reading =
                 overHeld(context, StartContact::heldOpen, HeldPoint::fullLoad,
                          {lowestLine_ratio(context.input), highestLine_ratio(context.input)},
                          *rating_A, Bound::atMost, lineAmps);
             addPlate(reading, "nameplate's rated-load amps, and the fan's",
                      context.input.compressor.nameplate.ratedLoad_A, fanAmps(context), *rating_A);
             return reading;
         },
         false, Presumes::carriesLoad},
        {"contactor-locked-rotor-amps", "contactor", "Can the contactor break the stalled amps?",
         "line amps at standstill, at 110 % line, and the nameplate's, are at most its "
         "locked-rotor "
         "rating",
         "A", Basis::physics, "held-shaft analysis at zero speed", "fit a contactor for more amps",
         hasContactor,
         [](const CheckContext& context) {
             const std::optional<double> rating_A = contactor(context)->lockedRotor_A;
             if (!rating_A) {
                 return CheckReading{{}, "the contactor's locked-rotor amps are not given"};
             }
             CheckReading reading =
                 overHeld(context, StartContact::heldClosed, HeldPoint::standstill,
                          {highestLine_ratio(context.input)}, *rating_A, Bound::atMost, lineAmps);
             addPlate(reading, "nameplate's locked-rotor amps",
                      context.input.compressor.nameplate.lockedRotor_A, 0, *rating_A);
             return reading;
         }},
        {"fan-capacitor-least", "fan-capacitor", "Is the fan's capacitor large enough?",
         "its fewest microfarads are at least 90 % of what the fan's label asks", "uF",
         Basis::commonPractice, "common practice, no source: within 10 % of the label",
         "fit the capacitor that the fan's label asks; see that FAN and HERM are not exchanged",
         hasCapacitorFan,
         [](const CheckContext& context) {
             return CheckReading{
                 {{"as fitted", fanSection(context)->capacitance_F.minimum * 1e6,
                   leastOfLabel_ratio * capacitorFan(context)->capacitor_F * 1e6, true}},
                 ""};
         },
         true},
        {"fan-capacitor-most", "fan-capacitor", "Is the fan's capacitor small enough?",
         "its most microfarads are at most 110 % of what the fan's label asks", "uF",
         Basis::commonPractice, "common practice, no source: within 10 % of the label",
         "fit the capacitor that the fan's label asks; see that FAN and HERM are not exchanged",
         hasCapacitorFan,
         [](const CheckContext& context) {
             return CheckReading{
                 {{"as fitted", fanSection(context)->capacitance_F.maximum * 1e6,
                   mostOfLabel_ratio * capacitorFan(context)->capacitor_F * 1e6, false}},
                 ""};
         },
         true},
        {"fan-capacitor-volts", "fan-capacitor",
         "Is the voltage rating of the fan's capacitor high enough?",
         "volts across it in running at 110 % line are at most its rated volts", "V",
         Basis::physics,
         "fan motor balanced at its rated point (assumed), by its label's amps and microfarads; "
         "IEC "
         "60252-1 rates run capacitors in continuous rms volts (from memory)",
         "fit a capacitor of the same microfarads and a higher voltage rating", hasCapacitorFan,
         [](const CheckContext& context) {
             return CheckReading{{{"running, 110 % line", fanCapacitorVolts(context),
                                   fanSection(context)->rated_V, false}},
                                 ""};
         },
         true},
        {"crankcase-heat-watts", "run-capacitor",
         "Does the motor stay cool enough while the crankcase heat flows?",
         "watts taken in the off time, at 110 % line, are at most half of what the motor loses in "
         "running at full load",
         "W", Basis::commonPractice,
         "common practice, no source: a few tens of watts; the limit is assumed, since nothing "
         "cools "
         "the motor then",
         "a smaller capacitor for the crankcase heat; a heater band",
         [](const CheckContext& context) { return context.evidence.offTime.has_value(); },
         readOffTime, false, Presumes::carriesLoad},
        {"start-capacitor-off-time", "start-capacitor",
         "Is the start capacitor left alone in the off time?",
         "volts that stand across it through the closed start contact while it is off, at 110 % "
         "line, heat it no more than its duty does on average",
         "V", Basis::physics,
         "held-shaft analysis with the switch open; heat goes with the square of the volts",
         "open the start capacitor's lead too in the off time, or heat the crankcase otherwise",
         [](const CheckContext& context) {
             return context.evidence.offTime && context.evidence.offTime->startCapacitor_V;
         },
         readStartCapacitorOffTime},
    }};
    return checks;
}

}  // namespace splitstart
