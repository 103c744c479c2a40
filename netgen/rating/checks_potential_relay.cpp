#include <array>
#include <optional>

#include "rating/check_tables.h"

namespace splitstart
{

namespace
{

const PotentialRelay* relay(const CheckContext& context)
{
    return chosenPart<PotentialRelay>(context.input, &CircuitChoice::startDevice);
}

bool hasRelay(const CheckContext& context)
{
    return relay(context) != nullptr;
}

// The speed at which the start circuit must have left at the latest, and may leave at the
// earliest.
constexpr double latestSpeed_percent = 95;
constexpr double earliestSpeed_percent = 60;

CheckReading readStandstill(const CheckContext& context)
{
    CheckReading reading;
    for (const HeldShaftTable& table : context.evidence.held) {
        reading.comparisons.push_back(
            {heldCornerText(table, highestLine_ratio),
             table.startCircuitIn.front().startWinding_V * highestLine_ratio,
             relay(context)->pickUp_V.minimum, false});
    }
    return reading;
}

CheckReading readPickUpReached(const CheckContext& context)
{
    CheckReading reading;
    for (const HeldShaftTable& table : context.evidence.held) {
        const HeldShaftMeasurement point =
            heldAt(table.startCircuitIn, latestSpeed_percent / 100, lowestLine_ratio);
        reading.comparisons.push_back({heldCornerText(table, lowestLine_ratio),
                                       point.startWinding_V, relay(context)->pickUp_V.maximum,
                                       true});
    }
    return reading;
}

CheckReading readHoldsRunning(const CheckContext& context)
{
    CheckReading reading;
    for (const HeldShaftTable& table : context.evidence.held) {
        const double speed =
            speedAtTorque(table.startCircuitOut, context.evidence.ratedTorque_Nm, lowestLine_ratio);
        const HeldShaftMeasurement point = heldAt(table.startCircuitOut, speed, lowestLine_ratio);
        reading.comparisons.push_back({heldCornerText(table, lowestLine_ratio) + ", full load",
                                       point.startWinding_V, relay(context)->dropOut_V.maximum,
                                       true});
    }
    return reading;
}

CheckReading readCoilVolts(const CheckContext& context)
{
    const std::optional<double> rating_V = relay(context)->coilContinuous_V;
    if (!rating_V) {
        return {{}, "the coil's continuous volts are not given"};
    }
    constexpr double lightLoad_ratio = 0.1;  // of rated torque (assumed)
    CheckReading reading;
    for (const HeldShaftTable& table : context.evidence.held) {
        const double speed =
            speedAtTorque(table.startCircuitOut, lightLoad_ratio * context.evidence.ratedTorque_Nm,
                          highestLine_ratio);
        const HeldShaftMeasurement point = heldAt(table.startCircuitOut, speed, highestLine_ratio);
        reading.comparisons.push_back({heldCornerText(table, highestLine_ratio) + ", light load",
                                       point.startWinding_V, *rating_V, false});
    }
    return reading;
}

CheckReading readContactAmps(const CheckContext& context)
{
    const std::optional<double> rating_A = relay(context)->contact_A;
    if (!rating_A) {
        return {{}, "the contact's amps are not given"};
    }
    return overStarts(context, &StartMeasurement::contactCurrentMade_A, *rating_A, false, 1,
                      everyStart);
}

CheckReading readSpeed(const CheckContext& context, double limit_percent, bool valueAtLeast)
{
    CheckReading reading = overStarts(context, &StartMeasurement::speedAtOpening_ratio,
                                      limit_percent, valueAtLeast, 100, everyStart);
    if (reading.comparisons.empty()) {
        reading.undecidedBecause = "the contact never opened in any run";
    }
    return reading;
}

}  // namespace

std::span<const Check> potentialRelayChecks()
{
    static const std::array<Check, 10> checks = {{
        {"relay-closed-at-standstill", "relay",
         "Does the relay's contact stay closed while the motor stands?",
         "S-C volts at standstill, at 110 % line, stay below the lowest pick-up", "V",
         Basis::physics, "held-shaft analysis at zero speed with the start circuit in",
         "fit a relay of higher pick-up volts", hasRelay, readStandstill},
        {"relay-opens", "relay", "Does the relay open in every start?",
         "the contact opens at least once in every run", "", Basis::physics, "simulated starts",
         "fit a relay of lower pick-up volts", hasRelay,
         [](const CheckContext& context) {
             return overStarts(context, &StartMeasurement::startContactOpenings, 1, true, 1,
                               everyStart);
         }},
        {"relay-pick-up-reached", "relay",
         "Do S-C volts reach the relay's pick-up even at the lowest line?",
         "S-C volts at 95 % speed with the start circuit in, at 85 % line, exceed the highest "
         "pick-up",
         "V", Basis::physics, "held-shaft analysis; S-C volts rise with speed",
         "fit a relay of lower pick-up volts", hasRelay, readPickUpReached},
        {"relay-opens-not-early", "relay", "Does the relay wait until the motor is fast enough?",
         "speed at the opening is at least 60 % of synchronous in every run", "%",
         Basis::commonPractice,
         "common practice, no source: start circuits leave at about 75 % speed, 60 % at the least",
         "fit a relay of higher pick-up volts", hasRelay,
         [](const CheckContext& context) {
             return readSpeed(context, earliestSpeed_percent, true);
         }},
        {"relay-opens-not-late", "relay", "Does the relay open before the motor is at full speed?",
         "speed at the opening is at most 95 % of synchronous in every run", "%",
         Basis::commonPractice,
         "common practice, no source: start circuits leave at about 75 % speed; near full speed "
         "the "
         "capacitor's volts climb steeply",
         "fit a relay of lower pick-up volts", hasRelay,
         [](const CheckContext& context) {
             return readSpeed(context, latestSpeed_percent, false);
         }},
        {"relay-holds-after-opening", "relay",
         "Does the relay hold when S-C volts fall as the start capacitor leaves?",
         "lowest cycle of S-C volts in ten cycles after the opening exceeds the highest drop-out",
         "V", Basis::physics, "simulated starts; S-C volts fall at once when the contact opens",
         "fit a relay of lower drop-out volts", hasRelay,
         [](const CheckContext& context) {
             CheckReading reading =
                 overStarts(context, &StartMeasurement::startWindingAfterOpening_V,
                            relay(context)->dropOut_V.maximum, true, 1, everyStart);
             if (reading.comparisons.empty()) {
                 reading.undecidedBecause = "the contact never opened in any run";
             }
             return reading;
         }},
        {"relay-chatter", "relay", "Does the relay open once, without chatter?",
         "the contact opens no more than once in every run", "", Basis::physics, "simulated starts",
         "fit a relay of lower drop-out volts; check that it is mounted as marked", hasRelay,
         [](const CheckContext& context) {
             return overStarts(context, &StartMeasurement::startContactOpenings, 1, false, 1,
                               everyStart);
         }},
        {"relay-holds-running", "relay", "Does the relay hold in running at the lowest line?",
         "S-C volts running at full load and 85 % line exceed the highest drop-out", "V",
         Basis::physics, "held-shaft analysis at rated torque with the start circuit out",
         "fit a relay of lower drop-out volts", hasRelay, readHoldsRunning},
        {"relay-coil-volts", "relay", "Can the relay's coil stand the running volts for ever?",
         "S-C volts running at light load and 110 % line are at most the coil's continuous volts",
         "V", Basis::physics, "held-shaft analysis at a tenth of rated torque",
         "fit a relay whose coil is rated for more continuous volts", hasRelay, readCoilVolts},
        {"relay-contact-amps", "relay", "Can the contact carry the start current?",
         "highest cycle rms through the contact is at most its rating", "A", Basis::physics,
         "simulated starts", "fit a relay with a stronger contact", hasRelay, readContactAmps},
    }};
    return checks;
}

}  // namespace splitstart
