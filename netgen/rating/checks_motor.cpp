#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "motor/run_up.h"
#include "rating/check_readers.h"
#include "rating/check_tables.h"

namespace splitstart
{

namespace
{

bool always(const CheckContext& /*context*/)
{
    return true;
}

constexpr double percent = 100;
constexpr double reached_percent = upToSpeed_ratio * percent;
constexpr double longestStart_s = 3.0;  // common practice, no source

// The nameplate's hertz, else those for which the equivalent circuit was given.
std::optional<double> ratedFrequency_Hz(const CheckContext& context)
{
    const Compressor& compressor = context.input.compressor;
    if (compressor.nameplate.frequency_Hz) {
        return compressor.nameplate.frequency_Hz;
    }
    return compressor.equivalentCircuit ? std::optional(compressor.equivalentCircuit->frequency_Hz)
                                        : std::nullopt;
}

// By the steady torques at held speeds, with the start circuit in or out, whichever is more, and
// without any load. Below half of that no long start comes (tests/physics/run_up_test.cpp): what is
// too slow even so needs no simulated start.
void addFastestRunUps(CheckReading& reading, const CheckContext& context)
{
    constexpr double surely_ratio = 0.5;
    if (!context.evidence.inertia_kgm2 || saturates(context)) {
        return;
    }
    const double line_ratio = lowestLine_ratio(context.input);
    for (const HeldShaftTable& held : context.evidence.held) {
        std::vector<TorqueAtSpeed> table;
        for (std::size_t i = 0; i < held.startCircuitIn.size(); ++i) {
            const double torque_Nm =
                std::max(held.startCircuitIn[i].torque_Nm, held.startCircuitOut[i].torque_Nm);
            table.push_back(
                {held.startCircuitIn[i].speed_ratio, torque_Nm * line_ratio * line_ratio});
        }
        const double least_s =
            surely_ratio * fastestRunUp_s(table, *context.evidence.inertia_kgm2,
                                          synchronousSpeed_rad_s(context), upToSpeed_ratio);
        if (least_s > longestStart_s) {
            reading.comparisons.push_back({heldCornerText(held, line_ratio) + ", at the least",
                                           least_s, longestStart_s, false});
        }
    }
}

// Figures that no one motor can have together: which of them is wrong is not for a computation to
// say, so this is undecided, never a failure.
CheckReading readFitsEvidence(const CheckContext& context)
{
    CheckReading reading;
    std::vector<std::string> misfits;
    for (const FitResidual& residual : context.evidence.fit) {
        const double off_percent = std::abs(residual.reproduced / residual.wanted - 1) * percent;
        const double limit_percent = residual.accuracy_ratio * percent;
        reading.comparisons.push_back({residual.name, off_percent, limit_percent, false});
        if (off_percent > limit_percent) {
            misfits.push_back(fmt::format(
                "{}: {:.3g} {} wanted, {:.3g} {} by the motor that fits best", residual.name,
                residual.wanted, residual.unit, residual.reproduced, residual.unit));
        }
    }
    if (!context.evidence.contradictions.empty()) {
        reading.undecidedBecause =
            fmt::format("{}", fmt::join(context.evidence.contradictions, "; "));
    } else if (!misfits.empty()) {
        reading.undecidedBecause = fmt::format(
            "no one motor has all the figures that are given: {}", fmt::join(misfits, "; "));
    }
    return reading;
}

// Once the pressures have built up and the start circuit has left.
CheckReading readCarriesLoad(const CheckContext& context)
{
    const bool free = context.input.compressor.load.kind == LoadKind::none;
    return settledSpeeds(context, StartContact::heldOpen,
                         free ? 0 : context.evidence.ratedTorque_Nm, reached_percent);
}

}  // namespace

std::span<const Check> motorChecks()
{
    static const std::array<Check, 6> checks = {{
        {"motor-fits-evidence", "compressor", "Do the readings and the nameplate fit one motor?",
         "what the motor gives differs from each figure, and from all together, by no more than "
         "one sound case in a thousand does at the stated accuracy",
         "%", Basis::physics,
         "least-squares fit and the chi-squared law, or the equivalent circuit that was given",
         "measure again, and read the nameplate again: one of these figures belongs to something "
         "else",
         [](const CheckContext& context) { return !context.evidence.fit.empty(); },
         readFitsEvidence, true},
        {"motor-starts", "compressor", "Does the motor come up to speed?",
         "speed at the end of the run, at every line voltage from 85 to 110 %, cold and hot, is at "
         "least 90 % of synchronous speed",
         "%", Basis::physics, "simulated start against the load of the case",
         "look at the supply first, then at the start parts; let the pressures equalise", always,
         [](const CheckContext& context) {
             return overStarts(context, &StartMeasurement::speedAtEnd_ratio, reached_percent,
                               Bound::atLeast, percent);
         }},
        {"motor-carries-load", "compressor", "Does the motor carry its load once it runs?",
         "speed at rated torque with the start circuit out, at the lowest line, is at least 90 % "
         "of "
         "synchronous speed (0: it stalls)",
         "%", Basis::physics, "steady torque at held speeds",
         "have the supply put right; the run capacitor or the compressor does not suit the load",
         always, readCarriesLoad},
        {"motor-direction", "compressor", "Does it turn the right way?",
         "torque at standstill with the start circuit in is forward, and at least 1 % of rated "
         "torque",
         "N m", Basis::physics,
         "start winding current leads run winding current, windings wired C-S and C-R",
         "check which pin is S and which is R, and the start capacitor's wiring", always,
         [](const CheckContext& context) {
             // Without start winding current there is no direction: the torque is zero, give or
             // take the rounding.
             const double least_Nm = std::max(0.01 * context.evidence.ratedTorque_Nm, 1e-3);
             return overHeld(context, StartContact::heldClosed, HeldPoint::standstill, {1.0},
                             least_Nm, Bound::atLeast,
                             [](const HeldShaftMeasurement& held) { return held.torque_Nm; });
         }},
        {"motor-time-to-speed", "compressor", "Does the start take too long?",
         "time to 90 % of synchronous speed is at most 3 s", "s", Basis::commonPractice,
         "common practice, no source: a start takes well under a second, rarely more than 3 s",
         "look at low voltage while starting, weak start parts, or pressures not equalised", always,
         [](const CheckContext& context) {
             CheckReading reading = overStarts(context, &StartMeasurement::timeToSpeed_s,
                                               longestStart_s, Bound::atMost);
             for (const StartRun& run : context.evidence.starts) {
                 if (!run.measured.timeToSpeed_s) {
                     reading.comparisons.push_back(
                         {cornerText(run.corner) + ", it does not get there", 0, longestStart_s,
                          false, true});
                 }
             }
             addFastestRunUps(reading, context);
             return reading;
         }},
        {"motor-pull-up-torque", "compressor",
         "Is there torque to spare on the way up at the lowest line?",
         "least torque from standstill to 75 % speed with the start circuit in, at 85 % line, is "
         "at least the mean load torque met on the way",
         "N m", Basis::physics,
         "steady torque at held speeds; a start may still pass by the inertia of the rotor",
         "stronger start parts (a larger start capacitor where there is one), or equalise the "
         "pressures",
         always,
         [](const CheckContext& context) {
             // Equalised, the load at this point of the run-up is friction and a first rise of
             // pressure: a third of the rated torque (assumed).
             constexpr double equalisedShare_ratio = 0.33;
             constexpr double runUpEnd_ratio = 0.75;
             const bool equalised = context.input.compressor.load.pressures == Pressures::equalised;
             const double load_Nm =
                 context.input.compressor.load.kind == LoadKind::none
                     ? 0
                     : context.evidence.ratedTorque_Nm * (equalised ? equalisedShare_ratio : 1.0);
             CheckReading reading;
             for (const HeldShaftTable& table : context.evidence.held) {
                 double least_Nm = std::numeric_limits<double>::infinity();
                 for (const HeldShaftMeasurement& point : table.startCircuitIn) {
                     if (point.speed_ratio <= runUpEnd_ratio) {
                         least_Nm = std::min(least_Nm, point.torque_Nm);
                     }
                 }
                 reading.comparisons.push_back(
                     {heldCornerText(table, lowestLine_ratio(context.input)),
                      least_Nm * lowestLine_ratio(context.input) * lowestLine_ratio(context.input),
                      load_Nm, true});
             }
             if (saturates(context)) {
                 reading.undecidedBecause = unsaturated;
             }
             return reading;
         }},
    }};
    return checks;
}

std::span<const Check> supplyChecks()
{
    static const std::array<Check, 4> checks = {{
        {"supply-volts", "supply", "Do the supply's volts suit the nameplate?",
         "open-circuit volts within 10 % of the nameplate's", "V", Basis::standard,
         "NEMA MG 1, variation from rated voltage: 10 % (clause from memory: 12.44)",
         "have the supply put right before any part is changed",
         [](const CheckContext& context) {
             return context.input.compressor.nameplate.voltage_V.has_value();
         },
         [](const CheckContext& context) {
             const double rated_V = *context.input.compressor.nameplate.voltage_V;
             const double volts_V = context.input.supply.voltage_V;
             return CheckReading{{{"as given", volts_V, 0.9 * rated_V, true},
                                  {"as given", volts_V, 1.1 * rated_V, false}},
                                 ""};
         },
         true},
        {"supply-frequency", "supply", "Does the supply's frequency suit the nameplate?",
         "hertz within 5 % of the nameplate's, or of the equivalent circuit's where no plate is "
         "given",
         "Hz", Basis::standard,
         "NEMA MG 1, variation from rated frequency: 5 % (clause from memory: 12.44)",
         "do not run this compressor on this supply",
         [](const CheckContext& context) { return ratedFrequency_Hz(context).has_value(); },
         [](const CheckContext& context) {
             const double rated_Hz = *ratedFrequency_Hz(context);
             const double hertz_Hz = context.input.supply.frequency_Hz;
             return CheckReading{{{"as given", hertz_Hz, 0.95 * rated_Hz, true},
                                  {"as given", hertz_Hz, 1.05 * rated_Hz, false}},
                                 ""};
         },
         true},
        {"supply-volts-and-frequency", "supply",
         "Do volts and frequency together suit the nameplate?",
         "percent off in volts and percent off in hertz, added, are at most 10", "%",
         Basis::standard,
         "NEMA MG 1, combined variation of voltage and frequency: 10 % (clause from memory: 12.44)",
         "do not run this compressor on this supply",
         [](const CheckContext& context) {
             return context.input.compressor.nameplate.voltage_V.has_value() &&
                    ratedFrequency_Hz(context).has_value();
         },
         [](const CheckContext& context) {
             const Nameplate& plate = context.input.compressor.nameplate;
             const Supply& supply = context.input.supply;
             const double off_percent =
                 percent * (std::abs(supply.voltage_V / *plate.voltage_V - 1) +
                            std::abs(supply.frequency_Hz / *ratedFrequency_Hz(context) - 1));
             return CheckReading{{{"as given", off_percent, 10, false}}, ""};
         },
         true},
        {"supply-volts-starting", "supply",
         "Do the volts at the compressor hold while it tries to start?",
         "volts C-R at standstill, at 100 % line, are at least 90 % of rated volts", "V",
         Basis::commonPractice,
         "common practice, no source: service manuals ask for 90 % while starting",
         "shorten or thicken the feed, find the bad joint; a larger capacitor does not cure it",
         always,
         [](const CheckContext& context) {
             if (context.input.supply.limit_A) {
                 // A limited supply is not linear: what a start shows counts. More volts draw more
                 // amps, so that one above 100 % line may collapse where one at 100 % does not.
                 CheckReading reading;
                 for (const StartRun& run : context.evidence.starts) {
                     if (run.measured.terminalStalled_V && run.corner.line_ratio > 0.99) {
                         reading.comparisons.push_back({cornerText(run.corner),
                                                        *run.measured.terminalStalled_V,
                                                        0.9 * ratedVoltage_V(context.input), true});
                     }
                 }
                 return reading;
             }
             if (!sourceKnown(context)) {
                 return CheckReading{
                     {},
                     "the supply's source impedance is not given; measure the volts at the "
                     "compressor with and without the rotor trying to start"};
             }
             return overHeld(context, StartContact::heldClosed, HeldPoint::standstill, {1.0},
                             0.9 * ratedVoltage_V(context.input), Bound::atLeast,
                             [](const HeldShaftMeasurement& held) { return held.runWinding_V; });
         }},
    }};
    return checks;
}

}  // namespace splitstart
