// Timed and centrifugal start switches.
#include <array>

#include "rating/check_readers.h"
#include "rating/check_tables.h"

namespace splitstart
{

namespace
{

constexpr auto timer = startDevice<TimedSwitch>;
constexpr auto onShaft = startDevice<CentrifugalSwitch>;

bool hasSwitch(const CheckContext& context)
{
    return timer(context) != nullptr || onShaft(context) != nullptr;
}

bool hasTimer(const CheckContext& context)
{
    return timer(context) != nullptr;
}

bool hasCentrifugal(const CheckContext& context)
{
    return onShaft(context) != nullptr;
}

std::optional<double> contactRating_A(const CheckContext& context)
{
    return timer(context) != nullptr ? timer(context)->contact_A : onShaft(context)->contact_A;
}

double percentOfSynchronous(const CheckContext& context, double speed_rad_s)
{
    return 100 * speed_rad_s / synchronousSpeed_rad_s(context);
}

// With the start circuit in, the motor settles at a speed under its load; the switch must open
// below.
CheckReading readReached(const CheckContext& context)
{
    return settledSpeeds(context, StartContact::heldClosed, context.evidence.ratedTorque_Nm,
                         percentOfSynchronous(context, onShaft(context)->opens_rad_s.maximum));
}

CheckReading readStaysOpen(const CheckContext& context)
{
    return settledSpeeds(context, StartContact::heldOpen, context.evidence.ratedTorque_Nm,
                         percentOfSynchronous(context, onShaft(context)->closes_rad_s.maximum));
}

}  // namespace

std::span<const Check> startSwitchChecks()
{
    static const std::array<Check, 11> checks = {{
        {"start-switch-opens", "start-switch", "Does the start switch open in every start?",
         "its contact opens at least once in every run", "", Basis::physics, "simulated starts",
         "find what keeps the motor below the switch's speed, or fit another switch", hasSwitch,
         [](const CheckContext& context) {
             return overStarts(context, &StartMeasurement::startContactOpenings, 1, Bound::atLeast);
         },
         false, Presumes::comesUpToSpeed},
        {"start-switch-opens-not-early", "start-switch",
         "Does the start switch wait until the motor is fast enough?",
         "speed at the opening is at least 60 % of synchronous in every run", "%",
         Basis::commonPractice,
         "common practice, no source: start circuits leave at about 75 % speed, 60 % at the least",
         "fit a switch that opens later; let the pressures equalise", hasSwitch,
         [](const CheckContext& context) {
             return openingSpeeds(context, earliestOpening_ratio, Bound::atLeast);
         },
         false, Presumes::contactOpens},
        {"start-switch-opens-not-late", "start-switch",
         "Does the switch on the shaft open before the motor is at full speed?",
         "speed at the opening is at most 95 % of synchronous in every run", "%",
         Basis::commonPractice,
         "common practice, no source: start circuits leave at about 75 % speed",
         "fit a switch that opens at a lower speed", hasCentrifugal,
         [](const CheckContext& context) {
             return openingSpeeds(context, latestOpening_ratio, Bound::atMost);
         },
         false, Presumes::contactOpens},
        {"start-switch-seconds", "start-switch", "Is the start circuit in for a short time only?",
         "the time after which the switch opens is at most 3 s", "s", Basis::commonPractice,
         "common practice, no source: a start takes well under a second, rarely more than 3 s",
         "fit a switch that opens sooner", hasTimer,
         [](const CheckContext& context) {
             return CheckReading{
                 {{"as the label says", timer(context)->opensAfter_s.maximum, 3.0, false}}, ""};
         },
         true},
        {"start-switch-chatter", "start-switch", "Does the start switch open once?",
         "its contact opens no more than once in every run", "", Basis::physics, "simulated starts",
         "fit a switch with a wider gap between opening and closing", hasSwitch,
         [](const CheckContext& context) {
             return overStarts(context, &StartMeasurement::startContactOpenings, 1, Bound::atMost);
         }},
        {"start-switch-reached", "start-switch",
         "Does the motor reach the speed at which the switch opens?",
         "speed at rated torque with the start circuit in, at the lowest line, is above the "
         "highest "
         "opening speed",
         "%", Basis::physics, "steady torque at held speeds",
         "fit a switch that opens at a lower speed; have the supply put right", hasCentrifugal,
         readReached},
        {"start-switch-stays-open", "start-switch", "Does the switch stay open under full load?",
         "speed at rated torque with the start circuit out, at the lowest line, is above the "
         "highest closing speed",
         "%", Basis::physics, "steady torque at held speeds",
         "fit a switch that closes at a lower speed", hasCentrifugal, readStaysOpen},
        {"start-switch-contact-amps", "start-switch", "Can the contact carry the start current?",
         "highest cycle rms through the contact is at most its rating", "A", Basis::physics,
         "simulated starts", "fit a switch with a stronger contact", hasSwitch,
         [](const CheckContext& context) {
             return contactAmps(context, contactRating_A(context));
         }},
        {"start-switch-contact-volts", "start-switch",
         "Can the open contact stand the volts across it?",
         "highest cycle rms across the open contact is at most its rating", "V", Basis::physics,
         "simulated starts; start winding volts rise with speed", "fit a switch for more volts",
         hasTimer,
         [](const CheckContext& context) {
             const std::optional<double> rating_V = timer(context)->contact_V;
             return rating_V ? overStarts(context, &StartMeasurement::startContactOpen_V, *rating_V,
                                          Bound::atMost, 1, neverOpened)
                             : CheckReading{{}, "the contact's volts are not given"};
         },
         false, Presumes::contactOpens},
        {"start-switch-rearms", "start-switch", "Is the switch ready again for the next start?",
         "shortest off time is at least the time in which it re-arms", "s", Basis::physics,
         "the switch counts from the moment at which volts come back after that time",
         "a longer off-delay", hasTimer,
         [](const CheckContext& context) {
             const std::optional<double> off_s = context.input.circuit->shortestOff_s;
             return off_s ? CheckReading{{{"as given", *off_s, timer(context)->rearm_s, true}}, ""}
                          : CheckReading{{},
                                         "how long it stays off between two starts is not given "
                                         "(off-seconds)"};
         },
         true},
        {"start-switch-rearms-after-trip", "start-switch",
         "Is the switch ready again after the overload protector has opened?",
         "the volts from which it counts go when the protector opens (1 they go, 0 they stay)", "",
         Basis::physics,
         "the wires: behind a protector inside the shell, pin C keeps its volts, so each reset "
         "would "
         "be a stall without start circuit",
         "a start switch that gets its volts elsewhere, or a relay", hasTimer,
         [](const CheckContext& context) {
             const auto* protector =
                 chosenPart<Protector>(context.input, &CircuitChoice::protector);
             const CircuitPart* part = context.circuit.find(PartKind::timedSwitch);
             const CircuitPart* compressor = context.circuit.find(PartKind::compressor);
             const Nets nets(context.circuit);
             const bool onPinC = nets.of({part->id, "N"}) == nets.of({compressor->id, "C"});
             const bool stays =
                 protector != nullptr && onPinC && protector->location == ProtectorPlace::internal;
             return CheckReading{{{"as wired", stays ? 0.0 : 1.0, 0.5, true}}, ""};
         },
         true},
    }};
    return checks;
}

}  // namespace splitstart
