#include <fmt/format.h>

#include <array>

#include "rating/check_readers.h"
#include "rating/check_tables.h"

namespace splitstart
{

namespace
{

constexpr auto ptc = startDevice<Ptc>;
constexpr auto hasPtc = hasStartDevice<Ptc>;
constexpr double longestStart_s = 3.0;

CheckReading rated(const CheckContext& context, std::optional<double> StartMeasurement::*field,
                   const std::optional<double>& rating, const char* missing)
{
    return rating ? overStarts(context, field, *rating, Bound::atMost)
                  : CheckReading{{}, fmt::format("the PTC's {} are not given", missing)};
}

CheckReading readSwitchTime(const CheckContext& context)
{
    CheckReading reading =
        overStarts(context, &StartMeasurement::startContactOpened_s, longestStart_s, Bound::atMost);
    for (const StartRun& run : context.evidence.starts) {
        if (!run.measured.startContactOpened_s) {
            reading.comparisons.push_back(
                {cornerText(run.corner) + ", it never gets hot", 0, longestStart_s, false, true});
        }
    }
    return reading;
}

// The PTC as warm as the shortest off time leaves it. Above its reference temperature it lets
// little start current through: a motor that starts all the same does so on luck.
CheckReading readRecovers(const CheckContext& context)
{
    const double limit_degC = ptc(context)->reference_degC;
    CheckReading reading;
    for (const StartRun& run : context.evidence.restarts) {
        const bool starts = run.measured.speedAtEnd_ratio.value_or(0) >= upToSpeed_ratio;
        const double start_degC = run.measured.ptcAtStart_degC.value_or(limit_degC);
        reading.comparisons.push_back(
            {cornerText(run.corner) + (starts ? "" : ", it does not come up to speed"), start_degC,
             limit_degC, false, !starts});
    }
    if (!context.input.circuit->shortestOff_s) {
        reading.undecidedBecause =
            "how long it stays off between two starts is not given (off-seconds); three minutes "
            "were "
            "tried";
    }
    return reading;
}

}  // namespace

std::span<const Check> ptcChecks()
{
    static const std::array<Check, 7> checks = {{
        {"ptc-gets-hot", "ptc", "Does the PTC cut the start current off in time?",
         "it reaches its reference temperature within 3 s in every start", "s",
         Basis::commonPractice,
         "common practice, no source: 0.3 to 1 s, 3 s at the most; simulated heat of the pill",
         "fit a PTC of fewer cold ohms or less heat capacity; put a low supply right first", hasPtc,
         readSwitchTime},
        {"ptc-opens-not-early", "ptc", "Does the PTC wait until the motor is fast enough?",
         "speed when it reaches its reference temperature is at least 60 % of synchronous", "%",
         Basis::commonPractice,
         "common practice, no source: start circuits leave at about 75 % speed, 60 % at the least",
         "fit a PTC that takes longer to get hot; let the pressures equalise", hasPtc,
         [](const CheckContext& context) {
             return openingSpeeds(context, earliestOpening_ratio, Bound::atLeast);
         },
         false, Presumes::contactOpens},
        {"ptc-volts", "ptc", "Can the PTC stand the volts?",
         "highest cycle rms across it is at most its rated volts", "V", Basis::physics,
         "simulated starts; start winding volts rise with speed", "fit a PTC of a higher voltage",
         hasPtc,
         [](const CheckContext& context) {
             return rated(context, &StartMeasurement::ptcWorst_V, ptc(context)->rated_V, "volts");
         }},
        {"ptc-inrush-amps", "ptc", "Can the PTC stand the current of the first cycles?",
         "highest cycle rms through it is at most its inrush rating", "A", Basis::physics,
         "simulated starts", "fit a PTC for more inrush amps", hasPtc,
         [](const CheckContext& context) {
             return rated(context, &StartMeasurement::contactCurrentMade_A, ptc(context)->inrush_A,
                          "inrush amps");
         }},
        {"ptc-stays-hot", "ptc", "Does the PTC stay hot, so that the start winding stays off?",
         "at the end of every start it is above its reference temperature (0 hot, 1 not)", "",
         Basis::physics, "simulated heat of the pill",
         "fit a PTC that belongs to this motor's volts", hasPtc,
         [](const CheckContext& context) {
             return overStarts(context, &StartMeasurement::startContactAtEnd, 0.5, Bound::atMost);
         }},
        {"ptc-recovers", "ptc", "Has the PTC cooled enough for the next start?",
         "after the shortest off time the PTC is below its reference temperature, and the motor "
         "reaches 90 % of synchronous speed",
         "degC", Basis::physics,
         "exponential cooling, then a simulated start; without off-seconds three minutes are tried",
         "a longer off-delay; or another start device", hasPtc, readRecovers},
        {"ptc-recovery-label", "ptc", "Is the off time as long as the PTC's label asks?",
         "shortest off time is at least the recovery time on the label", "s", Basis::physics,
         "the label", "a longer off-delay",
         [](const CheckContext& context) {
             return hasPtc(context) && ptc(context)->recovery_s.has_value();
         },
         [](const CheckContext& context) {
             const std::optional<double> off_s = context.input.circuit->shortestOff_s;
             return off_s
                        ? CheckReading{{{"as given", *off_s, *ptc(context)->recovery_s, true}}, ""}
                        : CheckReading{{},
                                       "how long it stays off between two starts is not given "
                                       "(off-seconds)"};
         },
         true},
    }};
    return checks;
}

}  // namespace splitstart
