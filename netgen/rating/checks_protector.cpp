#include <fmt/format.h>

#include <array>
#include <cmath>
#include <limits>

#include "rating/check_readers.h"
#include "rating/check_tables.h"

namespace splitstart
{

namespace
{

const Protector* protector(const CheckContext& context)
{
    return chosenPart<Protector>(context.input, &CircuitChoice::protector);
}

bool hasProtector(const CheckContext& context)
{
    return protector(context) != nullptr;
}

// Time in which a first-order protector trips at a current, from its ambient; infinite below the
// ultimate trip current at that ambient, zero where the ambient itself trips it.
double tripTime_s(const Protector& part, double current_A, double winding_degC, double rated_s)
{
    const double ambient_degC = protectorAmbient_degC(part, winding_degC);
    const double rise_K = (part.trip_degC - part.ambient_degC) * current_A * current_A /
                          (part.ultimateTrip_A * part.ultimateTrip_A);
    const double needed_K = std::max(part.trip_degC - ambient_degC, 0.0);
    if (rise_K <= needed_K) {
        return std::numeric_limits<double>::infinity();
    }
    return -protectorTimeConstant_s(part, rated_s) * std::log1p(-needed_K / rise_K);
}

// Copper carrying J amps per square millimetre heats by 0.005 J^2 kelvin a second with no heat
// leaving it (density 8960 kg/m3, 385 J/(kg K), 1.72e-8 ohm m at 20 degC, hotter copper more).
// Locked compressor windings carry 40 to 60 A/mm2 (assumed, no source): 8 to 18 K/s.
constexpr double slowestHeating_K_s = 8;
constexpr double fastestHeating_K_s = 18;
constexpr double shortTimeLimit_degC = 200;

CheckReading readFitted(const CheckContext& context)
{
    const bool fitted = hasProtector(context);
    CheckReading reading{{{"as named", fitted ? 1.0 : 0.0, 0.5, true}}, ""};
    if (!fitted) {
        reading.undecidedBecause =
            "no overload protector is named, so whether a stalled motor is switched off is not "
            "known";
    }
    return reading;
}

CheckReading readTripsWhenStalled(const CheckContext& context)
{
    const Protector& part = *protector(context);
    CheckReading reading;
    bool perhapsTooLate = false;
    bool surelyTooLate = false;
    for (const HeldShaftTable& table : context.evidence.held) {
        for (const double line :
             {lowestLine_ratio(context.input), highestLine_ratio(context.input)}) {
            const double stalled_A = table.startCircuitIn.front().compressor_A * line;
            const double time_s =
                tripTime_s(part, stalled_A, table.winding_degC, part.tripTime_s.maximum);
            // Currents scale with the line, heating with its square; the range holds at 100 %.
            const double room_K = (shortTimeLimit_degC - table.winding_degC) / (line * line);
            const double surely_s = room_K / fastestHeating_K_s;
            const double perhaps_s = room_K / slowestHeating_K_s;
            perhapsTooLate = perhapsTooLate || time_s > surely_s;
            surelyTooLate = surelyTooLate || time_s > perhaps_s;
            reading.comparisons.push_back({heldCornerText(table, line) + ", stalled", time_s,
                                           time_s > perhaps_s ? perhaps_s : surely_s, false,
                                           !std::isfinite(time_s)});
        }
    }
    if (perhapsTooLate && !surelyTooLate) {
        reading.undecidedBecause =
            "how fast these windings heat is not known (8 to 18 K/s assumed)";
    }
    return reading;
}

CheckReading readHoldsStart(const CheckContext& context)
{
    const double trip_degC = protector(context)->trip_degC;
    CheckReading reading =
        overStarts(context, &StartMeasurement::protectorHottest_degC, trip_degC, Bound::atMost);
    // One that opened has been at its trip temperature, whatever the hottest sample shows.
    for (const StartRun& run : context.evidence.starts) {
        if (run.measured.protectorTripped.value_or(0) > 0.5) {
            reading.comparisons.push_back({cornerText(run.corner),
                                           std::nextafter(trip_degC, 2 * trip_degC), trip_degC,
                                           false});
        }
    }
    return reading;
}

CheckReading readCarriesRunning(const CheckContext& context)
{
    const Protector& part = *protector(context);
    CheckReading reading;
    for (const HeldShaftTable& table : context.evidence.held) {
        const double share = (part.trip_degC - protectorAmbient_degC(part, table.winding_degC)) /
                             (part.trip_degC - part.ambient_degC);
        const double ultimate_A = part.ultimateTrip_A * std::sqrt(std::max(share, 0.0));
        for (const double line :
             {lowestLine_ratio(context.input), 1.0, highestLine_ratio(context.input)}) {
            const std::optional<double> speed =
                speedAtTorque(table.startCircuitOut, context.evidence.ratedTorque_Nm, line);
            if (!speed) {
                reading.undecidedBecause = fmt::format("the motor does not carry this load at {}",
                                                       heldCornerText(table, line));
                continue;
            }
            reading.comparisons.push_back({heldCornerText(table, line) + ", full load",
                                           heldAt(table.startCircuitOut, *speed, line).compressor_A,
                                           ultimate_A, false});
        }
    }
    return reading;
}

}  // namespace

std::span<const Check> protectorChecks()
{
    static const std::array<Check, 4> checks = {{
        {"protector-fitted", "protector", "Is there an overload protector?",
         "one is named, inside the shell or outside (1 named, 0 not)", "", Basis::commonPractice,
         "common practice, no source: without one nothing switches off a stalled motor",
         "find out whether the compressor has one inside (\"thermally protected\" on the plate); "
         "else fit the one that belongs to it",
         [](const CheckContext& /*context*/) { return true; }, readFitted, true},
        {"protector-holds-start", "protector", "Does the overload protector let a good start pass?",
         "its disc stays below its trip temperature in every run", "degC", Basis::physics,
         "simulated starts with the protector's first-order heating",
         "fit the protector that belongs to this compressor; look for what makes the start slow",
         hasProtector, readHoldsStart},
        {"protector-trips-stalled", "protector",
         "Does the protector trip in time when the rotor is stuck?",
         "trip time at standstill, at 85 and 110 % line, is at most the time in which the windings "
         "reach 200 degC, heating by 8 to 18 K/s",
         "s", Basis::physics,
         "adiabatic heating of copper; 40 to 60 A/mm2 at standstill and the 200 degC limit are "
         "assumed, no source",
         "fit the protector that belongs to this compressor", hasProtector, readTripsWhenStalled},
        {"protector-carries-running", "protector",
         "Does the protector carry the running current without tripping?",
         "amps through pin C at full load, at 85 to 110 % line, are at most what trips it in the "
         "long run at that temperature",
         "A", Basis::physics, "first-order heating: ultimate trip current scaled to the ambient",
         "fit the protector that belongs to this compressor", hasProtector, readCarriesRunning},
    }};
    return checks;
}

}  // namespace splitstart
