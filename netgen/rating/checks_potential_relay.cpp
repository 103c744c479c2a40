#include <array>
#include <optional>

#include "rating/check_readers.h"
#include "rating/check_tables.h"

namespace splitstart
{

namespace
{

constexpr auto relay = startDevice<PotentialRelay>;
constexpr auto hasRelay = hasStartDevice<PotentialRelay>;

// Calibration volts as a limit: a warm coil needs more.
Limit calibration(const CheckContext& context, double cold_V)
{
    const PotentialRelay part = *relay(context);
    const double line_Hz = context.input.supply.frequency_Hz;
    return Limit([part, cold_V, line_Hz](double winding_degC) {
        return cold_V * coilTemperatureFactor(part, winding_degC, line_Hz);
    });
}

std::optional<double> coilVolts(const HeldShaftMeasurement& held)
{
    return held.coil_V;
}

CheckReading readStandstill(const CheckContext& context)
{
    return overHeld(context, StartContact::heldClosed, HeldPoint::standstill,
                    {highestLine_ratio(context.input)},
                    calibration(context, relay(context)->pickUp_V.minimum), Bound::atMost,
                    coilVolts);
}

CheckReading readPickUpReached(const CheckContext& context)
{
    return overHeld(context, StartContact::heldClosed, HeldPoint::latestOpening,
                    {lowestLine_ratio(context.input)},
                    calibration(context, relay(context)->pickUp_V.maximum), Bound::atLeast,
                    coilVolts);
}

CheckReading readHoldsRunning(const CheckContext& context)
{
    return overHeld(
        context, StartContact::heldOpen, HeldPoint::fullLoad, {lowestLine_ratio(context.input)},
        calibration(context, relay(context)->dropOut_V.maximum), Bound::atLeast, coilVolts);
}

CheckReading readCoilVolts(const CheckContext& context)
{
    const std::optional<double> rating_V = relay(context)->coilContinuous_V;
    return rating_V
               ? overHeld(context, StartContact::heldOpen, HeldPoint::lightLoad,
                          {highestLine_ratio(context.input)}, *rating_V, Bound::atMost, coilVolts)
               : CheckReading{{}, "the coil's continuous volts are not given"};
}

}  // namespace

std::span<const Check> potentialRelayChecks()
{
    static const std::array<Check, 10> checks = {{
        {"relay-closed-at-standstill", "relay",
         "Does the relay's contact stay closed while the motor stands?",
         "coil volts at standstill, at 110 % line, stay below the lowest pick-up", "V",
         Basis::physics, "held-shaft analysis at zero speed with the start circuit in",
         "fit a relay of higher pick-up volts", hasRelay, readStandstill},
        {"relay-opens", "relay", "Does the relay open in every start?",
         "the contact opens at least once in every run", "", Basis::physics, "simulated starts",
         "fit a relay of lower pick-up volts", hasRelay,
         [](const CheckContext& context) {
             return overStarts(context, &StartMeasurement::startContactOpenings, 1, Bound::atLeast);
         },
         false, Presumes::comesUpToSpeed},
        {"relay-pick-up-reached", "relay",
         "Do the coil's volts reach the relay's pick-up even at the lowest line?",
         "coil volts at 95 % speed with the start circuit in, at 85 % line, exceed the highest "
         "pick-up on the label, which a hot coil raises",
         "V", Basis::physics, "held-shaft analysis; start winding volts rise with speed",
         "fit a relay of lower pick-up volts", hasRelay, readPickUpReached},
        {"relay-opens-not-early", "relay", "Does the relay wait until the motor is fast enough?",
         "speed at the opening is at least 60 % of synchronous in every run", "%",
         Basis::commonPractice,
         "common practice, no source: start circuits leave at about 75 % speed, 60 % at the least",
         "fit a relay of higher pick-up volts", hasRelay,
         [](const CheckContext& context) {
             return openingSpeeds(context, earliestOpening_ratio, Bound::atLeast);
         },
         false, Presumes::contactOpens},
        {"relay-opens-not-late", "relay", "Does the relay open before the motor is at full speed?",
         "speed at the opening is at most 95 % of synchronous in every run", "%",
         Basis::commonPractice,
         "common practice, no source: start circuits leave at about 75 % speed; near full speed "
         "the "
         "capacitor's volts climb steeply",
         "fit a relay of lower pick-up volts", hasRelay,
         [](const CheckContext& context) {
             return openingSpeeds(context, latestOpening_ratio, Bound::atMost);
         },
         false, Presumes::contactOpens},
        {"relay-holds-after-opening", "relay",
         "Does the relay hold when its coil's volts fall as the start capacitor leaves?",
         "lowest cycle of coil volts in ten cycles after the opening exceeds the highest drop-out",
         "V", Basis::physics,
         "simulated starts; start winding volts fall at once when the contact opens",
         "fit a relay of lower drop-out volts", hasRelay,
         [](const CheckContext& context) {
             return overStarts(context, &StartMeasurement::coilAfterOpening_V,
                               calibration(context, relay(context)->dropOut_V.maximum),
                               Bound::atLeast, 1, neverOpened);
         },
         false, Presumes::contactOpens},
        {"relay-chatter", "relay", "Does the relay open once, without chatter?",
         "the contact opens no more than once in every run", "", Basis::physics, "simulated starts",
         "fit a relay of lower drop-out volts; check that it is mounted as marked", hasRelay,
         [](const CheckContext& context) {
             return overStarts(context, &StartMeasurement::startContactOpenings, 1, Bound::atMost);
         }},
        {"relay-holds-running", "relay", "Does the relay hold in running at the lowest line?",
         "coil volts running at full load and 85 % line exceed the highest drop-out", "V",
         Basis::physics, "held-shaft analysis at rated torque with the start circuit out",
         "fit a relay of lower drop-out volts", hasRelay, readHoldsRunning, false,
         Presumes::carriesLoad},
        {"relay-coil-volts", "relay", "Can the relay's coil stand the running volts for ever?",
         "coil volts running at light load and 110 % line are at most the coil's continuous volts",
         "V", Basis::physics, "held-shaft analysis at a tenth of rated torque",
         "fit a relay whose coil is rated for more continuous volts", hasRelay, readCoilVolts,
         false, Presumes::carriesLoad},
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
