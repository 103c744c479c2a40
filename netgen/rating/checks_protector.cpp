#include <fmt/format.h>

#include <array>
#include <cmath>
#include <limits>

#include "motor/winding_heat.h"
#include "rating/check_readers.h"
#include "rating/check_tables.h"
#include "rating/winding_range.h"

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

// A stalled rotor: these amps until the start circuit leaves, the others from then on. A relay
// never lets go of a stalled motor; a timed switch and a PTC do.
struct StalledCourse {
    double in_A = 0;
    double out_A = 0;
    double leaves_s = std::numeric_limits<double>::infinity();
};

// Seconds until the start circuit leaves a stalled motor, at the end of the tolerances that makes
// them fewest or most. A PTC gets hot in the label's time at the label's amps, in inverse
// proportion to their square at others.
double stalledLeaves_s(const CheckContext& context, double auxiliary_A, bool fewest)
{
    const auto end = [fewest](const Range& range) {
        return fewest ? range.minimum : range.maximum;
    };
    if (const auto* timer = startDevice<TimedSwitch>(context)) {
        return end(timer->opensAfter_s);
    }
    const auto* ptc = startDevice<Ptc>(context);
    if (ptc != nullptr && auxiliary_A > 0) {
        return end(ptc->switchTime_s) * std::pow(ptc->switchCurrent_A / auxiliary_A, 2);
    }
    return std::numeric_limits<double>::infinity();
}

// Time in which a first-order protector trips, from its ambient; infinite if it never does, zero
// where the ambient itself trips it.
double tripTime_s(const Protector& part, const StalledCourse& course, double winding_degC,
                  double rated_s)
{
    const double ambient_degC = protectorAmbient_degC(part, winding_degC);
    const double needed_K = std::max(part.trip_degC - ambient_degC, 0.0);
    const double tau_s = protectorTimeConstant_s(part, rated_s);
    const auto finalRise_K = [&part](double current_A) {
        return (part.trip_degC - part.ambient_degC) * std::pow(current_A / part.ultimateTrip_A, 2);
    };
    // Seconds from a rise to the one that trips, heading for a final one.
    const auto seconds = [&](double from_K, double final_K) {
        return final_K <= needed_K ? std::numeric_limits<double>::infinity()
                                   : tau_s * std::log((final_K - from_K) / (final_K - needed_K));
    };
    const double first_s = seconds(0, finalRise_K(course.in_A));
    if (first_s <= course.leaves_s) {
        return first_s;
    }
    const double reached_K = finalRise_K(course.in_A) * -std::expm1(-course.leaves_s / tau_s);
    return course.leaves_s + seconds(reached_K, finalRise_K(course.out_A));
}

// Seconds until a winding has taken that integral of amps squared.
double heatTime_s(double heat_A2s, const StalledCourse& course)
{
    const double first_s = heat_A2s / (course.in_A * course.in_A);
    if (first_s <= course.leaves_s) {
        return first_s;
    }
    const double left_A2s = heat_A2s - course.in_A * course.in_A * course.leaves_s;
    return course.leaves_s + left_A2s / (course.out_A * course.out_A);
}

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

// Seconds in which a stalled winding reaches its limit: of the thinnest and of the thickest wire
// that it may have. The start winding counts where its wire is known; the range for an unknown one
// would leave every case open.
std::pair<double, double> secondsToLimit(const CheckContext& context, const HeldShaftTable& table,
                                         double line)
{
    const HeldShaftMeasurement& in = table.startCircuitIn.front();
    const HeldShaftMeasurement& out = table.startCircuitOut.front();
    const double leaves_s = stalledLeaves_s(context, in.auxiliary_A * line, false);
    const auto seconds = [&](double area_m2, ConductorMaterial material,
                             double HeldShaftMeasurement::*amps) {
        const double from_degC = std::min(table.winding_degC, shortTimeLimit_degC);
        return heatTime_s(adiabaticHeat_A2s(area_m2, material, from_degC, shortTimeLimit_degC),
                          {in.*amps * line, out.*amps * line, leaves_s});
    };
    const WindingRange main = mainWinding(context);
    std::pair<double, double> limits = {
        seconds(main.thinnest_m2, main.material, &HeldShaftMeasurement::main_A),
        seconds(main.thickest_m2, main.material, &HeldShaftMeasurement::main_A)};
    const WindingRange auxiliary = auxiliaryWinding(context);
    if (auxiliary.measured && in.auxiliary_A > 0) {
        const double start_s =
            seconds(auxiliary.thinnest_m2, auxiliary.material, &HeldShaftMeasurement::auxiliary_A);
        limits = {std::min(limits.first, start_s), std::min(limits.second, start_s)};
    }
    return limits;
}

CheckReading readTripsWhenStalled(const CheckContext& context)
{
    const Protector& part = *protector(context);
    // The same corners against the limit of the thinnest wire and of the thickest.
    CheckReading thin;
    CheckReading thick;
    bool perhapsTooLate = false;
    bool surelyTooLate = false;
    for (const HeldShaftTable& table : context.evidence.held) {
        for (const double line :
             {lowestLine_ratio(context.input), highestLine_ratio(context.input)}) {
            const HeldShaftMeasurement& in = table.startCircuitIn.front();
            const StalledCourse course = {in.compressor_A * line,
                                          table.startCircuitOut.front().compressor_A * line,
                                          stalledLeaves_s(context, in.auxiliary_A * line, true)};
            const double time_s =
                tripTime_s(part, course, table.winding_degC, part.tripTime_s.maximum);
            const auto [surely_s, perhaps_s] = secondsToLimit(context, table, line);
            perhapsTooLate = perhapsTooLate || time_s > surely_s;
            surelyTooLate = surelyTooLate || time_s > perhaps_s;
            const std::string corner = heldCornerText(table, line) + ", stalled";
            thin.comparisons.push_back({corner, time_s, surely_s, false, !std::isfinite(time_s)});
            thick.comparisons.push_back({corner, time_s, perhaps_s, false, !std::isfinite(time_s)});
        }
    }
    if (perhapsTooLate && !surelyTooLate) {
        thin.undecidedBecause =
            "how thick the windings' wire is is not known (see <winding-wire>); 8 to 18 K/s "
            "assumed";
    }
    return surelyTooLate ? thick : thin;
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

// What trips it in the long run beside windings of that temperature.
double ultimateTripAt_A(const Protector& part, double winding_degC)
{
    const double share = (part.trip_degC - protectorAmbient_degC(part, winding_degC)) /
                         (part.trip_degC - part.ambient_degC);
    return part.ultimateTrip_A * std::sqrt(std::max(share, 0.0));
}

CheckReading readUltimateTrip(const CheckContext& context)
{
    if (context.evidence.held.empty()) {
        return {};  // how hot the windings get is not known
    }
    double hottest_degC = 0;
    for (const HeldShaftTable& table : context.evidence.held) {
        hottest_degC = std::max(hottest_degC, table.winding_degC);
    }
    return {{{"hot windings", ultimateTripAt_A(*protector(context), hottest_degC),
              1.56 * *context.input.compressor.nameplate.ratedLoad_A, false}},
            ""};
}

CheckReading readCarriesRunning(const CheckContext& context)
{
    const Protector& part = *protector(context);
    CheckReading reading;
    bool failsHot = false;
    bool failsCold = false;
    double hottest_degC = 0;
    for (const HeldShaftTable& table : context.evidence.held) {
        hottest_degC = std::max(hottest_degC, table.winding_degC);
        const double ultimate_A = ultimateTripAt_A(part, table.winding_degC);
        for (const double line :
             {lowestLine_ratio(context.input), 1.0, highestLine_ratio(context.input)}) {
            const std::optional<double> speed =
                speedAtTorque(table.startCircuitOut, context.evidence.ratedTorque_Nm, line);
            if (!speed) {
                reading.doesNotArise = fmt::format("the motor does not carry this load at {}",
                                                   heldCornerText(table, line));
                continue;
            }
            const double running_A = heldAt(table.startCircuitOut, *speed, line).compressor_A;
            (isHot(table.winding_degC) ? failsHot : failsCold) |= running_A > ultimate_A;
            reading.comparisons.push_back(
                {heldCornerText(table, line) + ", full load", running_A, ultimate_A, false});
        }
    }
    if (saturates(context)) {
        reading.undecidedBecause = unsaturated;
    }
    if (reading.undecidedBecause.empty() && failsHot && !failsCold) {
        reading.undecidedBecause = fmt::format(
            "it trips only beside hot windings, and that its disc is at {:.0f} degC then is "
            "assumed",
            protectorAmbient_degC(part, hottest_degC));
    }
    return reading;
}

}  // namespace

std::span<const Check> protectorChecks()
{
    static const std::array<Check, 5> checks = {{
        {"protector-fitted", "protector", "Is there an overload protector?",
         "one is named, inside the shell or outside (1 named, 0 not)", "", Basis::commonPractice,
         "common practice, no source: without one nothing switches off a stalled motor",
         "find out whether the compressor has one inside (\"thermally protected\" on the plate); "
         "else fit the one that belongs to it",
         [](const CheckContext& /*context*/) { return true; }, readFitted, true},
        {"protector-holds-start", "protector", "Does the overload protector let a good start pass?",
         "its disc stays below its trip temperature in every run", "degC", Basis::physics,
         "simulated starts with the protector's first-order heating",
         "fit the protector that belongs to this compressor, and look for what makes the start "
         "slow; "
         "of one inside the shell, check the ratings that were entered",
         hasProtector, readHoldsStart},
        {"protector-trips-stalled", "protector",
         "Does the protector trip in time when the rotor is stuck?",
         "trip time at standstill, at 85 and 110 % line, is at most the time in which the windings "
         "reach 200 degC, by the wire's cross section, else heating by 8 to 18 K/s",
         "s", Basis::physics,
         "IEC 60949 adiabatic heating (constants from memory); 40 to 60 A/mm2 at standstill where "
         "the "
         "wire is not known and the 200 degC limit are assumed, no source",
         "fit the protector that belongs to this compressor; of one inside the shell, check the "
         "ratings that were entered: if they are right, it does not suit",
         hasProtector, readTripsWhenStalled},
        {"protector-ultimate-trip", "protector", "Does the protector trip on a lasting overload?",
         "what trips it in the long run beside hot windings is at most 156 % of the nameplate's "
         "rated-load amps",
         "A", Basis::standard,
         "NFPA 70 (NEC) 440.52(A): 156 % for a thermal protector of the motor-compressor (from "
         "memory)",
         "fit the protector that belongs to this compressor",
         [](const CheckContext& context) {
             return hasProtector(context) &&
                    context.input.compressor.nameplate.ratedLoad_A.has_value();
         },
         readUltimateTrip, true},
        {"protector-carries-running", "protector",
         "Does the protector carry the running current without tripping?",
         "amps through pin C at full load, at 85 to 110 % line, are at most what trips it in the "
         "long run at that temperature",
         "A", Basis::physics, "first-order heating: ultimate trip current scaled to the ambient",
         "fit the protector that belongs to this compressor; of one inside the shell, check the "
         "ratings that were entered: if they are right, it does not suit",
         hasProtector, readCarriesRunning, false, Presumes::carriesLoad},
    }};
    return checks;
}

}  // namespace splitstart
