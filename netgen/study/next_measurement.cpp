#include "study/next_measurement.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <boost/math/distributions/normal.hpp>
#include <cmath>
#include <numeric>

#include "case/reader.h"
#include "rating/rank_statistics.h"
#include "study/part_draw.h"

namespace splitstart
{

namespace
{

constexpr const char* liveRunning =
    "Live parts: fit clamp or probes with the supply locked out, put the terminal cover back, then "
    "switch on; never reach in while it runs.";
constexpr const char* stalledBriefly =
    "A stalled motor heats by 10 to 50 K a second: two seconds at the most, then five minutes of "
    "rest; terminal cover on, nobody within reach.";
constexpr const char* startLeadOff =
    "Lock out, discharge every capacitor through a resistor, prove it dead; only then take the "
    "lead "
    "off pin S and insulate it. The free pin S is live while power is on. Terminal cover back on; "
    "two seconds at the most, then five minutes of rest; nobody within reach.";
constexpr const char* freePinLive =
    "The free pin is live, often well above the line, and a rotor that stops is a stalled motor: "
    "connect and clip everything on with the supply locked out, capacitors out and discharged, "
    "terminal cover on; a few seconds each.";
constexpr const char* lockedOut =
    "Lock out the supply, discharge every capacitor through a resistor and check that it is dead "
    "before a lead comes off.";

// What a person can still measure on the motor.
struct MotorCandidate {
    MeasuredQuantity quantity;
    const char* what;
    const char* instrument;
    const char* how;
    const char* caution;
    double accuracy_ratio;  // of such an instrument, 95 % (common practice, no source)
};

constexpr std::array motorCandidates = {
    MotorCandidate{MeasuredQuantity::startCommonVoltsRunning, "volts between S and C while it runs",
                   "AC voltmeter for 600 V, clip-on probes",
                   "start it with start parts that suit it, wired and proved by ohms, never by a "
                   "wire held or a "
                   "contact bridged by hand; read once it runs steadily",
                   liveRunning, 0.02},
    MotorCandidate{
        MeasuredQuantity::secondsToStart, "seconds from switch-on until it runs",
        "clamp meter and a phone that films it",
        "count the frames until the start current falls; use the start parts of this case",
        "Cut the supply after three seconds if it has not started; five minutes between "
        "attempts.",
        0.10},
    MotorCandidate{MeasuredQuantity::lineAmpsRunning, "amps of the common lead while it runs",
                   "clamp meter", "clamp the lead to pin C alone", liveRunning, 0.03},
    MotorCandidate{MeasuredQuantity::lineWattsRunning, "watts of the compressor while it runs",
                   "power meter or clamp meter with watts", "without the condenser fan",
                   liveRunning, 0.03},
    MotorCandidate{MeasuredQuantity::startLeadAmpsRunning, "amps of the start lead while it runs",
                   "clamp meter", "clamp the lead to pin S alone", liveRunning, 0.03},
    MotorCandidate{
        MeasuredQuantity::runCapacitorVoltsRunning, "volts across the run capacitor while it runs",
        "AC voltmeter for 600 V, clip-on probes",
        "it stays charged afterwards: discharge it through a resistor", liveRunning, 0.02},
    MotorCandidate{MeasuredQuantity::runWindingAmpsStalled,
                   "amps of the run winding alone on the line, at rest",
                   "clamp meter that holds the highest reading",
                   "lead off pin S and insulated, two seconds on the line; it hums and does not "
                   "turn",
                   startLeadOff, 0.03},
    MotorCandidate{MeasuredQuantity::runWindingWattsStalled,
                   "watts of the run winding alone on the line, at rest",
                   "power meter that holds its reading",
                   "lead off pin S and insulated, two seconds on the line; it hums and does not "
                   "turn; read amps and watts in the same attempt",
                   startLeadOff, 0.04},
    MotorCandidate{MeasuredQuantity::lineAmpsStalled, "amps of the common lead while it is stalled",
                   "clamp meter that holds the highest reading",
                   "only if it does not start: the amps of one short attempt", stalledBriefly,
                   0.03},
    MotorCandidate{MeasuredQuantity::lineWattsStalled, "watts while it is stalled",
                   "power meter that holds its reading",
                   "only if it does not start: the watts of one short attempt", stalledBriefly,
                   0.04},
    MotorCandidate{MeasuredQuantity::startCommonVoltsStalled, "volts between S and C while stalled",
                   "AC voltmeter for 600 V, clip-on probes",
                   "only if it does not start: the volts of one short attempt", stalledBriefly,
                   0.03},
    MotorCandidate{MeasuredQuantity::supplyVoltsStalled,
                   "volts at the compressor while it tries to start",
                   "AC voltmeter that holds the lowest reading",
                   "beside the volts without load, in the same minute", stalledBriefly, 0.01},
    MotorCandidate{MeasuredQuantity::turnsRatio, "turns ratio by feeding each winding in turn",
                   "variable AC supply and two voltmeters, on the bench",
                   "with the rotor turning, feed R-C and read S-C, then feed S-C and read R-C; the "
                   "four volts go into <two-feed-test>",
                   freePinLive, 0.03},
};

// What can be measured on a part, by the name of its tolerance.
struct PartCandidate {
    const char* tolerance;
    const char* instrument;
    double accuracy_ratio;
};

constexpr std::array partCandidates = {
    PartCandidate{"microfarads of the start capacitor", "capacitance meter", 0.02},
    PartCandidate{"microfarads of the run capacitor", "capacitance meter", 0.02},
    PartCandidate{"microfarads of the fan capacitor", "capacitance meter", 0.02},
    PartCandidate{"pick-up volts of the relay", "variable AC supply and a voltmeter", 0.02},
    PartCandidate{"drop-out volts of the relay", "variable AC supply and a voltmeter", 0.02},
    PartCandidate{"pull-in amps of the relay", "variable AC supply of high current, clamp meter",
                  0.03},
    PartCandidate{"drop-out amps of the relay", "variable AC supply of high current, clamp meter",
                  0.03},
    PartCandidate{"cold ohms of the PTC", "ohmmeter, with the PTC at room temperature", 0.02},
    PartCandidate{"seconds of the start switch", "stopwatch and a lamp on the bench", 0.03},
};

// One undecided finding: its margins over the machines, and the share that fails.
struct OpenFinding {
    std::vector<std::size_t> machines;
    std::vector<double> scores;  // of the margins
    double failing = 0;
};

// A rank correlation of so many is within a tenth of that of all, and each more has to be run.
constexpr std::size_t enoughMachines = 100;

std::vector<OpenFinding> openFindings(const CheckStudy& study)
{
    std::vector<OpenFinding> open;
    for (std::size_t i = 0; i < study.findings.size(); ++i) {
        const Finding& finding = study.findings[i];
        if (finding.verdict != Verdict::undecided || finding.holds + finding.fails == 0) {
            continue;
        }
        OpenFinding each;
        std::vector<double> margins;
        for (std::size_t m = 0; m < std::min(study.readings[i].size(), enoughMachines); ++m) {
            if (study.readings[i][m].clear) {
                each.machines.push_back(m);
                margins.push_back(study.readings[i][m].worst.margin());
            }
        }
        each.scores = normalScores(margins);
        each.failing = (static_cast<double>(finding.fails) + 0.5) /
                       (static_cast<double>(finding.holds + finding.fails) + 1);
        open.push_back(std::move(each));
    }
    return open;
}

// Probability that the finding is settled by a reading that correlates so with its margin.
double settling(double r, double failing, double share_ratio)
{
    const boost::math::normal normal;
    constexpr double next_to_nothing = 0.05;
    r = std::min(std::abs(r), 0.999);
    if (r < next_to_nothing) {
        return 0;
    }
    const double threshold = boost::math::quantile(normal, failing);
    const double reach = boost::math::quantile(normal, share_ratio) * std::sqrt(1 - r * r);
    return boost::math::cdf(normal, (-threshold - reach) / r) +
           boost::math::cdf(normal, (threshold - reach) / r);
}

// `values` of the candidate over the machines, in logarithms where they are readings; `error` is
// the standard deviation that a reading of it would have.
void rate(NextMeasurement& candidate, const std::vector<OpenFinding>& open,
          const std::vector<double>& values, double error, double share_ratio)
{
    for (const OpenFinding& finding : open) {
        std::vector<double> here;
        for (const std::size_t machine : finding.machines) {
            if (machine < values.size()) {
                here.push_back(values[machine]);
            }
        }
        if (here.size() != finding.scores.size()) {
            continue;
        }
        const auto count = static_cast<double>(here.size());
        const double mean = std::accumulate(here.begin(), here.end(), 0.0) / count;
        double variance = 0;
        for (const double value : here) {
            variance += (value - mean) * (value - mean) / count;
        }
        if (!(variance > 0)) {
            continue;
        }
        const double r = correlation(normalScores(here), finding.scores) *
                         std::sqrt(variance / (variance + error * error));
        candidate.settles += settling(r, finding.failing, share_ratio);
        candidate.explains += r * r / static_cast<double>(open.size());
    }
}

std::vector<double> logarithms(std::vector<double> values)
{
    for (double& value : values) {
        value = std::log(std::max(value, 1e-12));
    }
    return values;
}

constexpr double ninetyFivePercent = 1.96;

// Findings that cannot be judged before anything is known of the supply.
std::size_t waitingForTheSupply(const CheckStudy& study)
{
    return static_cast<std::size_t>(
        std::count_if(study.findings.begin(), study.findings.end(), [](const Finding& finding) {
            return finding.verdict == Verdict::undecided && finding.holds + finding.fails == 0 &&
                   finding.check->id.starts_with("supply-volts");
        }));
}

void addMotorCandidates(std::vector<NextMeasurement>& result, const Case& input,
                        const CheckStudy& study, const std::vector<OpenFinding>& open,
                        double share_ratio)
{
    if (!study.motor.posterior) {
        return;
    }
    std::vector<MotorSample> motors;
    for (const PossibleMachine& machine : study.machines) {
        if (motors.size() < enoughMachines) {
            motors.push_back(machine.motor);
        }
    }
    std::vector<MotorCandidate> candidates;
    std::vector<MeasuredQuantity> quantities;
    for (const MotorCandidate& candidate : motorCandidates) {
        const bool known =
            std::any_of(
                input.compressor.measurements.begin(), input.compressor.measurements.end(),
                [&](const Measurement& each) { return each.quantity == candidate.quantity; }) ||
            (candidate.quantity == MeasuredQuantity::turnsRatio && input.compressor.twoFeedTest);
        if (!known) {
            candidates.push_back(candidate);
            quantities.push_back(candidate.quantity);
        }
    }
    const auto predictions = study.motor.posterior->predict(quantities, motors);
    for (std::size_t i = 0; i < candidates.size(); ++i) {
        if (predictions[i].values.empty()) {
            continue;
        }
        const MotorCandidate& candidate = candidates[i];
        NextMeasurement next{
            candidate.what, candidate.instrument, candidate.how, candidate.caution, "", 0, 0};
        next.field = candidate.quantity == MeasuredQuantity::turnsRatio
                         ? std::string("compressor/two-feed-test")
                         : fmt::format("compressor/measured quantity=\"{}\"",
                                       measuredQuantityName(candidate.quantity));
        rate(
            next, open, logarithms(predictions[i].values),
            std::hypot(candidate.accuracy_ratio, predictions[i].accuracy_ratio) / ninetyFivePercent,
            share_ratio);
        if (candidate.quantity == MeasuredQuantity::supplyVoltsStalled) {
            next.settles += static_cast<double>(waitingForTheSupply(study));
        }
        result.push_back(next);
    }
}

void addPartCandidates(std::vector<NextMeasurement>& result, const Case& input,
                       const CheckStudy& study, const std::vector<OpenFinding>& open,
                       double share_ratio)
{
    const std::vector<PartTolerance> tolerances = partTolerances(input);
    for (std::size_t i = 0; i < tolerances.size(); ++i) {
        const auto known = std::find_if(
            partCandidates.begin(), partCandidates.end(),
            [&](const PartCandidate& each) { return tolerances[i].name == each.tolerance; });
        if (known == partCandidates.end()) {
            continue;
        }
        std::vector<double> values;
        for (const PossibleMachine& machine : study.machines) {
            values.push_back(std::lerp(tolerances[i].range.minimum, tolerances[i].range.maximum,
                                       machine.inputs[study.motorInputs + i]));
        }
        NextMeasurement next{tolerances[i].name,
                             known->instrument,
                             "on the part itself, out of the circuit",
                             lockedOut,
                             "the part's range in the parts list: both ends the measured value",
                             0,
                             0};
        rate(next, open, logarithms(values), known->accuracy_ratio / ninetyFivePercent,
             share_ratio);
        result.push_back(next);
    }
    if (study.inputNames.size() > study.motorInputs + tolerances.size()) {
        std::vector<double> values;
        for (const PossibleMachine& machine : study.machines) {
            values.push_back(machine.inputs.back());
        }
        NextMeasurement next{"whether the pressures are equal at the start",
                             "gauges on both sides",
                             "after the off time that the control gives",
                             "Wear goggles and gloves at the service valves; refrigerant work is "
                             "for licensed persons in many places.",
                             "compressor/load pressures=\"equalised\" or \"unequalised\"",
                             0,
                             0};
        rate(next, open, values, 0, share_ratio);
        result.push_back(next);
    }
}

}  // namespace

std::vector<NextMeasurement> nextMeasurements(const Case& input, const CheckStudy& study,
                                              const DecisionRule& rule)
{
    // Nearly all of them need the supply on.
    if (study.motor.health.safe.answer == EnergiseAnswer::no) {
        return {};
    }
    const std::vector<OpenFinding> open = openFindings(study);
    if (open.empty() && waitingForTheSupply(study) == 0) {
        return {};
    }
    std::vector<NextMeasurement> result;
    addMotorCandidates(result, input, study, open, rule.share_ratio);
    addPartCandidates(result, input, study, open, rule.share_ratio);
    // What explains next to nothing is no help.
    constexpr double least = 0.03;
    std::erase_if(result, [](const NextMeasurement& each) {
        return each.settles < least && each.explains < least;
    });
    std::stable_sort(result.begin(), result.end(),
                     [](const NextMeasurement& a, const NextMeasurement& b) {
                         return a.settles + 0.1 * a.explains > b.settles + 0.1 * b.explains;
                     });
    return result;
}

}  // namespace splitstart
