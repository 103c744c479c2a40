#include <array>
#include <optional>

#include "rating/check_readers.h"
#include "rating/check_tables.h"

namespace splitstart
{

namespace
{

constexpr auto relay = startDevice<CurrentRelay>;
constexpr auto hasRelay = hasStartDevice<CurrentRelay>;

// Amps through the coil L-M, whatever the wires put behind it: the run winding; the start winding
// too where the contact leaves from M; a run capacitor that stands behind it.
std::optional<double> coilAmps(const HeldShaftMeasurement& held)
{
    return held.coil_A;
}

CheckReading readPullIn(const CheckContext& context)
{
    // Before the contact makes, the run winding alone draws current.
    return overHeld(context, StartContact::heldOpen, HeldPoint::standstill,
                    {lowestLine_ratio(context.input)}, relay(context)->pullIn_A.maximum,
                    Bound::atLeast, coilAmps);
}

// While the start circuit is still in, the coil's amps must fall below the lowest drop-out: at the
// latest speed at which it may be in, and where the motor would settle under its load if it stayed
// in, which at a low line and hot can be lower.
CheckReading readLetsGo(const CheckContext& context)
{
    const auto at = [&context](HeldPoint point) {
        return overHeld(context, StartContact::heldClosed, point,
                        {lowestLine_ratio(context.input), highestLine_ratio(context.input)},
                        relay(context)->dropOut_A.minimum, Bound::atMost, coilAmps);
    };
    CheckReading reading = at(HeldPoint::latestOpening);
    const CheckReading settled = at(HeldPoint::fullLoad);
    reading.comparisons.insert(reading.comparisons.end(), settled.comparisons.begin(),
                               settled.comparisons.end());
    // Where it does not settle with the start circuit in, nothing else asks whether it lets go.
    reading.undecidedBecause =
        settled.undecidedBecause.empty() ? settled.doesNotArise : settled.undecidedBecause;
    return reading;
}

CheckReading readFullLoadAmps(const CheckContext& context, double limit_A)
{
    return overHeld(context, StartContact::heldOpen, HeldPoint::fullLoad,
                    {lowestLine_ratio(context.input), highestLine_ratio(context.input)}, limit_A,
                    Bound::atMost, coilAmps);
}

CheckReading readCoilAmps(const CheckContext& context)
{
    const std::optional<double> rating_A = relay(context)->coilContinuous_A;
    return rating_A ? readFullLoadAmps(context, *rating_A)
                    : CheckReading{{}, "the coil's continuous amps are not given"};
}

CheckReading readAttitude(const CheckContext& context)
{
    if (relay(context)->attitude == RelayAttitude::unknown) {
        return {{}, "how the relay is mounted is not given; it must stand upright as marked"};
    }
    const bool upright = relay(context)->attitude == RelayAttitude::upright;
    return {{{"as mounted", upright ? 1.0 : 0.0, 0.5, true}}, ""};
}

}  // namespace

std::span<const Check> currentRelayChecks()
{
    static const std::array<Check, 10> checks = {{
        {"relay-pulls-in", "relay", "Does the relay make its contact at the lowest line?",
         "coil amps at standstill, at 85 % line, exceed the highest pull-in", "A", Basis::physics,
         "held-shaft analysis at zero speed before the contact has made",
         "fit a relay of lower pull-in amps; put a low supply right first", hasRelay, readPullIn},
        {"relay-makes", "relay", "Does the contact make and let go in every start?",
         "the contact opens at least once in every run", "", Basis::physics, "simulated starts",
         "fit a relay whose pull-in and drop-out suit this motor's amps", hasRelay,
         [](const CheckContext& context) {
             return overStarts(context, &StartMeasurement::startContactOpenings, 1, Bound::atLeast);
         }},
        {"relay-lets-go", "relay", "Does the relay let go at speed?",
         "coil amps with the start circuit in (run winding, and whatever else is wired behind the "
         "coil), at 95 % speed and where the motor settles under its load, at the "
         "lowest and highest line, are below the lowest drop-out",
         "A", Basis::physics, "held-shaft analysis", "fit a relay of higher drop-out amps",
         hasRelay, readLetsGo},
        {"relay-opens-not-early", "relay", "Does the relay wait until the motor is fast enough?",
         "speed at the opening is at least 60 % of synchronous in every run", "%",
         Basis::commonPractice,
         "common practice, no source: start circuits leave at about 75 % speed, 60 % at the least",
         "fit a relay of lower drop-out amps", hasRelay,
         [](const CheckContext& context) {
             return openingSpeeds(context, earliestOpening_ratio, Bound::atLeast);
         },
         false, Presumes::contactOpens},
        {"relay-stays-open-after-opening", "relay",
         "Does the relay stay open when run winding amps rise as the start circuit leaves?",
         "highest cycle of coil amps in ten cycles after the opening is below the lowest "
         "pull-in",
         "A", Basis::physics, "simulated starts; run winding amps rise as the start circuit leaves",
         "fit a relay of higher pull-in amps", hasRelay,
         [](const CheckContext& context) {
             return overStarts(context, &StartMeasurement::coilAfterOpening_A,
                               relay(context)->pullIn_A.minimum, Bound::atMost, 1, neverOpened);
         },
         false, Presumes::contactOpens},
        {"relay-chatter", "relay", "Does the relay let go once, without chatter?",
         "the contact opens no more than once in every run", "", Basis::physics, "simulated starts",
         "fit a relay with a wider gap between pull-in and drop-out", hasRelay,
         [](const CheckContext& context) {
             return overStarts(context, &StartMeasurement::startContactOpenings, 1, Bound::atMost);
         }},
        {"relay-stays-open-running", "relay", "Does the relay stay open in running?",
         "coil amps at full load, at 85 and 110 % line, are below the lowest pull-in", "A",
         Basis::physics, "held-shaft analysis at rated torque with the start circuit out",
         "fit a relay of higher pull-in amps", hasRelay,
         [](const CheckContext& context) {
             return readFullLoadAmps(context, relay(context)->pullIn_A.minimum);
         },
         false, Presumes::carriesLoad},
        {"relay-coil-amps", "relay", "Can the relay's coil carry the running amps for ever?",
         "coil amps at full load, at 85 and 110 % line, are at most the coil's continuous "
         "amps",
         "A", Basis::physics, "held-shaft analysis at rated torque",
         "fit a relay whose coil is rated for more amps", hasRelay, readCoilAmps, false,
         Presumes::carriesLoad},
        {"relay-attitude", "relay", "Is the relay mounted upright?",
         "its armature falls open by gravity (1 upright, 0 not)", "", Basis::commonPractice,
         "common practice, no source: upside down the contact stays made", "mount it as marked",
         hasRelay, readAttitude, true},
        {"relay-contact-amps", "relay", "Can the contact carry the start current?",
         "highest cycle rms through the contact is at most its rating", "A", Basis::physics,
         "simulated starts", "fit a relay with a stronger contact", hasRelay,
         [](const CheckContext& context) {
             return contactAmps(context, relay(context)->contact_A);
         }},
    }};
    return checks;
}

}  // namespace splitstart
