#include <array>
#include <cmath>
#include <numbers>

#include "rating/check_readers.h"
#include "rating/check_tables.h"

namespace splitstart
{

namespace
{

const StartCapacitor* startCapacitor(const CheckContext& context)
{
    return chosenPart<StartCapacitor>(context.input, &CircuitChoice::startCapacitor);
}

bool hasStartCapacitor(const CheckContext& context)
{
    return startCapacitor(context) != nullptr;
}

bool hasRunCapacitor(const CheckContext& context)
{
    return runSection(context).has_value();
}

bool hasBleedResistor(const CheckContext& context)
{
    return hasStartCapacitor(context) && startCapacitor(context)->bleed_ohm.has_value();
}

// Common practice, no source: at most 20 starts an hour on an electrolytic start capacitor, which
// with its 60 s an hour gives the 3 s a start that is taught.
constexpr double startsPerHour = 20;
constexpr double touchSafe_V = 50;
// Watts over rated watts that a power resistor stands for some seconds: 2.5 times the volts, as in
// the short-time overload test of IEC 60115-1 (from memory).
constexpr double shortOverload_ratio = 6.25;

// Seconds in circuit in each start.
CheckReading readTimeIn(const CheckContext& context, double limit_s)
{
    CheckReading reading =
        overStarts(context, &StartMeasurement::startCircuitIn_s, limit_s, Bound::atMost);
    for (const StartRun& run : context.evidence.starts) {
        if (run.measured.startContactAtEnd.value_or(0) > 0.5) {
            // It never left: longer than any limit, whatever the length of the run.
            reading.comparisons.push_back(
                {cornerText(run.corner) + ", it never leaves", 0, limit_s, false, true});
        }
    }
    return reading;
}

CheckReading readDuty(const CheckContext& context)
{
    const double limit_s = startCapacitor(context)->dutySecondsPerHour /
                           context.input.circuit->startsPerHour.value_or(startsPerHour);
    return readTimeIn(context, limit_s);
}

CheckReading readBleedWatts(const CheckContext& context)
{
    const StartCapacitor& capacitor = *startCapacitor(context);
    if (!capacitor.bleed_W) {
        return {{}, "the bleed resistor's watts are not given"};
    }
    CheckReading reading;
    for (const StartRun& run : context.evidence.starts) {
        if (run.measured.startCapacitorWorst_V) {
            const double volts_V = *run.measured.startCapacitorWorst_V;
            const double watts_W = volts_V * volts_V / *capacitor.bleed_ohm;
            reading.comparisons.push_back({cornerText(run.corner) + ", mean over an hour",
                                           watts_W * capacitor.dutySecondsPerHour / 3600,
                                           *capacitor.bleed_W, false});
            reading.comparisons.push_back({cornerText(run.corner) + ", during the start", watts_W,
                                           shortOverload_ratio * *capacitor.bleed_W, false});
        }
    }
    if (reading.comparisons.empty()) {
        reading.doesNotArise = neverMade;
    }
    return reading;
}

CheckReading readBleedTime(const CheckContext& context)
{
    const StartCapacitor& capacitor = *startCapacitor(context);
    CheckReading reading;
    for (const StartRun& run : context.evidence.starts) {
        if (run.measured.startCapacitorPeak_V) {
            // The contact may open at the crest of the voltage.
            const double from_V = std::max(*run.measured.startCapacitorPeak_V, touchSafe_V);
            const double time_s = *capacitor.bleed_ohm * capacitor.capacitance_F.maximum *
                                  std::log(from_V / touchSafe_V);
            reading.comparisons.push_back({cornerText(run.corner), time_s, 60, false});
        }
    }
    return reading;
}

// The same evidence with one table alone.
Evidence withOnly(const Evidence& evidence, const HeldShaftTable& table)
{
    Evidence one;
    one.ratedTorque_Nm = evidence.ratedTorque_Nm;
    one.held = {table};
    return one;
}

// Light load at high line: the highest volts that the run capacitor sees for long.
CheckReading readRunCapacitorVolts(const CheckContext& context)
{
    return overHeld(context, StartContact::heldOpen, HeldPoint::lightLoad,
                    {highestLine_ratio(context.input)}, runSection(context)->rated_V, Bound::atMost,
                    [](const HeldShaftMeasurement& held) { return held.runCapacitor_V; });
}

// The same state against the current that the rated volts would drive.
CheckReading readRunCapacitorAmps(const CheckContext& context)
{
    constexpr double overcurrent_ratio = 1.3;
    const RunSection section = *runSection(context);
    const double perVolt_S = 2 * std::numbers::pi * context.input.supply.frequency_Hz;
    const double rated_A = section.rated_V * perVolt_S * section.capacitance_F.middle();
    CheckReading reading;
    for (const HeldShaftTable& table : context.evidence.held) {
        // Early: most microfarads, and the volts that they make.
        const double capacitance_F = atRelease(section.capacitance_F, table.release, false);
        const Evidence alone = withOnly(context.evidence, table);
        const CheckReading one = overHeld(
            {context.input, context.circuit, alone}, StartContact::heldOpen, HeldPoint::lightLoad,
            {highestLine_ratio(context.input)}, overcurrent_ratio * rated_A, Bound::atMost,
            [&](const HeldShaftMeasurement& held) {
                return held.runCapacitor_V
                           ? std::optional(*held.runCapacitor_V * perVolt_S * capacitance_F)
                           : std::nullopt;
            });
        reading.comparisons.insert(reading.comparisons.end(), one.comparisons.begin(),
                                   one.comparisons.end());
        if (!one.undecidedBecause.empty()) {
            reading.undecidedBecause = one.undecidedBecause;
        }
        if (!one.doesNotArise.empty()) {
            reading.doesNotArise = one.doesNotArise;
        }
    }
    return reading;
}

}  // namespace

std::span<const Check> capacitorChecks()
{
    static const std::array<Check, 9> checks = {{
        {"start-capacitor-volts", "start-capacitor",
         "Is the start capacitor's voltage rating high enough?",
         "highest cycle rms across it before it is switched out is at most its rated volts, or its "
         "cut-off volts where the label gives them",
         "V", Basis::standard,
         "IEC 60252-2 and EIA-463 rate start capacitors in rms volts (content from memory)",
         "fit a start capacitor of the same microfarads and a higher voltage rating",
         hasStartCapacitor,
         [](const CheckContext& context) {
             return overStarts(context, &StartMeasurement::startCapacitorWorst_V,
                               startCapacitor(context)->highest_V(), Bound::atMost, 1, neverMade);
         },
         false, Presumes::contactMakes},
        {"start-capacitor-left-in", "start-capacitor",
         "Does the start circuit leave once the motor is up to speed?",
         "the start contact is open at the end of every run (0 open, 1 still made)", "",
         Basis::physics, "a start capacitor that stays in overheats and vents within a minute",
         "fit a relay that lets go at this motor's speed and voltage", hasStartCapacitor,
         [](const CheckContext& context) {
             return overStarts(context, &StartMeasurement::startContactAtEnd, 0.5, Bound::atMost);
         },
         false, Presumes::comesUpToSpeed},
        {"start-capacitor-duty", "start-capacitor",
         "Is the start capacitor in circuit only as long as it may be?",
         "seconds in circuit for one start, at most its seconds an hour shared by the starts of an "
         "hour (20 unless the case says otherwise)",
         "s", Basis::commonPractice,
         "common practice, no source: 20 starts an hour; 60 s an hour unless the part says "
         "otherwise",
         "find what makes the start slow, or why the start circuit never leaves; fewer starts an "
         "hour",
         hasStartCapacitor, [](const CheckContext& context) { return readDuty(context); }, false,
         Presumes::startCircuitLeaves},
        {"start-capacitor-longest-on", "start-capacitor",
         "Is the start capacitor never in circuit for longer than its label allows?",
         "seconds in circuit for one start are at most the longest single time on its label", "s",
         Basis::standard, "IEC 60252-2 marks the duty cycle (from memory)",
         "look for what makes the start slow or keeps the start circuit in",
         [](const CheckContext& context) {
             return hasStartCapacitor(context) && startCapacitor(context)->longestOn_s.has_value();
         },
         [](const CheckContext& context) {
             return readTimeIn(context, *startCapacitor(context)->longestOn_s);
         },
         false, Presumes::startCircuitLeaves},
        {"bleed-resistor-fitted", "start-capacitor",
         "Is there a bleed resistor across the start capacitor?",
         "with a run capacitor in the circuit there must be one (1 fitted, 0 not)", "",
         Basis::commonPractice,
         "common practice, no source: without it the trapped charge welds the relay contact",
         "fit a bleed resistor of about 15 kohm, 2 W, across the start capacitor",
         hasStartCapacitor,
         [](const CheckContext& context) {
             const bool fitted = startCapacitor(context)->bleed_ohm.has_value();
             CheckReading reading{{{"as fitted", fitted ? 1.0 : 0.0, 0.5, true}}, ""};
             if (!fitted && !hasRunCapacitor(context)) {
                 reading.undecidedBecause =
                     "the start capacitor keeps its charge after each start: it must be discharged "
                     "by hand before it is touched";
             }
             return reading;
         },
         true},
        {"bleed-resistor-watts", "start-capacitor", "Can the bleed resistor stand the heat?",
         "mean watts over an hour at the capacitor's full duty are at most its rating, and watts "
         "during a "
         "start at most 6.25 times its rating",
         "W", Basis::standard,
         "volts squared over ohms; IEC 60115-1 short-time overload, 2.5 times the volts (from "
         "memory)",
         "fit a bleed resistor of more watts", hasBleedResistor, readBleedWatts, false,
         Presumes::contactMakes},
        {"bleed-resistor-time", "start-capacitor",
         "Is the start capacitor discharged soon enough to be touched?",
         "time from its highest crest to 50 V, R C ln(V/50), is at most 60 s", "s", Basis::standard,
         "NFPA 70 (NEC) 460.6: 50 V or less within 1 minute (from memory)",
         "fit a bleed resistor of fewer ohms; always discharge and measure before touching",
         hasBleedResistor, readBleedTime},
        {"run-capacitor-volts", "run-capacitor",
         "Is the run capacitor's voltage rating high enough?",
         "volts across it at 110 % line and light load are at most its rated volts", "V",
         Basis::standard, "IEC 60252-1 rates run capacitors in continuous rms volts (from memory)",
         "fit a run capacitor of the same microfarads and a higher voltage rating", hasRunCapacitor,
         readRunCapacitorVolts, false, Presumes::carriesLoad},
        {"run-capacitor-amps", "run-capacitor", "Can the run capacitor carry its current?",
         "amps through it at 110 % line and light load are at most 1.3 times what its rated volts "
         "drive through its microfarads",
         "A", Basis::standard,
         "IEC 60252-1 allows 1.30 times rated current (from memory, and as makers print it)",
         "fit a run capacitor of the same microfarads and a higher voltage rating", hasRunCapacitor,
         readRunCapacitorAmps, false, Presumes::carriesLoad},
    }};
    return checks;
}

}  // namespace splitstart
