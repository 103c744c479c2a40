#include "motor/identify.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <tuple>
#include <utility>

#include "case/input_error.h"
#include "case/reading_rules.h"
#include "motor/identification_text.h"
#include "motor/pin_posterior.h"

namespace splitstart
{

namespace
{

constexpr double deviationsFor95 = 1.96;
constexpr double deviationsFor99 = 2.58;

double givenLead_ohm(const Readings& readings)
{
    return readings.leadGiven ? readings.lead_ohm : 0;
}

PairReading pairReading(const WindingReading& reading, const Readings& readings,
                        const IdentifyAssumptions& assumptions)
{
    const LeadPrior lead = leadPrior(readings, assumptions);
    const auto& [first, second] = std::minmax(reading.pinA, reading.pinB);
    PairReading pair;
    pair.pinA = first;
    pair.pinB = second;
    pair.shown_ohm = reading.resistance_ohm;
    pair.corrected_ohm = pair.shown_ohm - givenLead_ohm(readings) - lead.mean_ohm;
    pair.deviation_ohm =
        std::hypot(readingDeviation_ohm(pair.shown_ohm, readings, assumptions), lead.deviation_ohm);
    return pair;
}

// Of three sorted pairs, the one that does not touch each pin.
std::array<const PairReading*, 3> oppositePairs(const std::vector<PairReading>& pairs)
{
    return {&pairs[2], &pairs[1], &pairs[0]};
}

void classifyOpen(Identification& result, const std::array<std::string, 3>& pins,
                  std::ptrdiff_t openPairs)
{
    if (openPairs == 3) {
        result.pattern = ReadingPattern::allOpen;
        result.answer = "All three pairs of pins read open: the pins cannot be named.";
    } else if (openPairs == 1) {
        result.pattern = ReadingPattern::oneReadingOpen;
        result.answer =
            "One pair reads open although the way round through the third pin conducts. That "
            "cannot "
            "be: one of the readings is wrong.";
    } else {
        result.pattern = ReadingPattern::onePinOpen;
        const auto opposite = oppositePairs(result.pairs);
        for (std::size_t i = 0; i < pins.size(); ++i) {
            if (!std::isinf(opposite[i]->shown_ohm)) {
                result.open = {pins[i], opposite[i]->corrected_ohm};
            }
        }
        result.answer = fmt::format(
            "Pin {} is open to both others, which read {} between them: the pins cannot "
            "be named by ohms.",
            result.open.pin, ohmsInWords(result.open.others_ohm));
    }
}

// True when the lowest reading is no winding; the pattern says why.
bool classifyLow(Identification& result, const PairReading& lowest, const Readings& readings,
                 const IdentifyAssumptions& assumptions)
{
    // Leads cannot read less than nothing, so the reading itself bounds the winding as well.
    const double atMost_ohm = std::min(
        lowest.corrected_ohm + 1.64 * lowest.deviation_ohm,
        lowest.shown_ohm + 1.64 * readingDeviation_ohm(lowest.shown_ohm, readings, assumptions));
    if (lowest.shown_ohm <= 0.5 * readings.resolution_ohm) {
        result.pattern = ReadingPattern::zeroReading;
        result.answer =
            fmt::format("{} reads nothing at all: the pins cannot be named.", result.lowestPair);
    } else if (readings.leadGiven &&
               (lowest.corrected_ohm < -3 * lowest.deviation_ohm ||
                (readings.lead_ohm > assumptions.highestLead_ohm && lowest.corrected_ohm <= 0))) {
        result.pattern = ReadingPattern::belowLead;
        result.answer = fmt::format(
            "{} reads {}, less than the meter leads alone ({}): the pins cannot "
            "be named.",
            result.lowestPair, ohmsInWords(lowest.shown_ohm), ohmsInWords(readings.lead_ohm));
    } else if (atMost_ohm < assumptions.shortedWinding_ohm) {
        result.pattern = ReadingPattern::shorted;
        result.answer =
            fmt::format("{} reads {}, less than any winding has: the pins cannot be named.",
                        result.lowestPair, ohmsInWords(lowest.shown_ohm));
    } else {
        return false;
    }
    return true;
}

// A quantity from its expected value and standard deviation.
Quantity measured(double value, double deviation)
{
    return {value, Origin::measured, deviationsFor95 * deviation / value};
}

Quantity at25(const Quantity& quantity, const Readings& readings,
              const IdentifyAssumptions& assumptions)
{
    const double uncertain_K = readings.windingTemperatureGiven ? assumptions.givenTemperature_K
                                                                : assumptions.assumedTemperature_K;
    const double temperatureAccuracy_ratio =
        uncertain_K / (inferredZero_degC(assumptions.metal) + readings.windingTemperature_degC);
    return {
        resistanceAt_ohm(quantity.value, readings.windingTemperature_degC, 25, assumptions.metal),
        readings.windingTemperatureGiven ? Origin::measured : Origin::estimated,
        std::hypot(quantity.accuracy_ratio, temperatureAccuracy_ratio)};
}

void fillMisfit(Identification& result, const Naming& best, const LeadPrior& lead,
                const Readings& readings, const IdentifyAssumptions& assumptions)
{
    const double variance = best.misfitDeviation_ohm * best.misfitDeviation_ohm;
    const double leadVariance = lead.deviation_ohm * lead.deviation_ohm;
    // The sum rule's miss is shared out by variance; the leads' share is one lead resistance.
    const double lead_ohm =
        givenLead_ohm(readings) + lead.mean_ohm + leadVariance / variance * best.misfit_ohm;
    const double leadDeviation_ohm = lead.deviation_ohm * std::sqrt(1 - leadVariance / variance);
    result.lead_ohm = {lead_ohm, readings.leadGiven ? Origin::given : Origin::estimated,
                       deviationsFor95 * leadDeviation_ohm / std::max(std::abs(lead_ohm), 1e-3)};
    Misfit& misfit = result.misfit;
    misfit.expected_ohm = lead.mean_ohm + 2 * assumptions.commonPath_ohm;
    misfit.shown_ohm = best.misfit_ohm + misfit.expected_ohm;
    misfit.explained_ohm = deviationsFor99 * best.misfitDeviation_ohm;
    misfit.withinMeter = std::abs(best.misfit_ohm) <= misfit.explained_ohm;
    misfit.explanation = explainMisfit(result, best, readings);
}

void fillNaming(Identification& result, const PinPosterior& posterior,
                const std::array<std::string, 3>& pins, const Readings& readings,
                const IdentifyAssumptions& assumptions)
{
    const auto label = [&pins](int pin) { return pins[static_cast<std::size_t>(pin)]; };
    for (const Naming& naming : posterior.namings) {
        result.assignments.push_back(
            {label(naming.pin[0]), label(naming.pin[1]), label(naming.pin[2]), naming.probability});
    }
    const Naming& best = posterior.namings.front();
    const PinAssignment& named = result.assignments.front();
    result.threeEqualProbability = posterior.threeEqualProbability;
    result.pins = {{"C", named.common}, {"S", named.start}, {"R", named.run}};
    for (const PinAssignment& assignment : result.assignments) {
        if (assignment.common == named.common) {
            result.commonProbability += assignment.probability;
        }
    }
    result.confidence = confidenceOf(named.probability);
    result.commonConfidence = confidenceOf(result.commonProbability);
    result.run_ohm = measured(best.run_ohm, best.runDeviation_ohm);
    result.start_ohm = measured(best.start_ohm, best.startDeviation_ohm);
    result.runAt25_ohm = at25(result.run_ohm, readings, assumptions);
    result.startAt25_ohm = at25(result.start_ohm, readings, assumptions);
    if (result.diagram) {
        describeDiagram(result);
    } else {
        describeNaming(result);
    }
}

// Holds the readings against the diagram and, unless they contradict it, puts its naming first.
// False if they do.
bool takeDiagram(Identification& result, PinPosterior& posterior,
                 const std::array<std::string, 3>& pins, const IdentifyAssumptions& assumptions)
{
    const KnownPins& diagram = *result.diagram;
    const auto indexOf = [&pins](const std::string& label) {
        return static_cast<int>(std::find(pins.begin(), pins.end(), label) - pins.begin());
    };
    const auto label = [&pins](int pin) { return pins[static_cast<std::size_t>(pin)]; };
    const std::array<int, 3> pin{indexOf(diagram.common), indexOf(diagram.start),
                                 indexOf(diagram.run)};
    const Naming best = posterior.namings.front();
    result.byReadings =
        PinAssignment{label(best.pin[0]), label(best.pin[1]), label(best.pin[2]), best.probability};
    for (const Naming& naming : posterior.namings) {
        if (naming.pin[0] == pin[0]) {
            result.diagramCommonProbability += naming.probability;
        }
    }
    applyDiagram(posterior, pin, assumptions.wrongDiagramShare_ratio);
    if (result.diagramCommonProbability >= assumptions.contradictedBelow_ratio) {
        return true;
    }
    result.pattern = ReadingPattern::contradictsDiagram;
    result.answer = describeContradiction(result);
    return false;
}

void nameThePins(Identification& result, const std::array<std::string, 3>& pins,
                 const Readings& readings, const IdentifyAssumptions& assumptions)
{
    const LeadPrior lead = leadPrior(readings, assumptions);
    ThreeReadings three;
    three.lead_ohm = lead.mean_ohm;
    three.leadDeviation_ohm = lead.deviation_ohm;
    const auto opposite = oppositePairs(result.pairs);
    for (std::size_t i = 0; i < pins.size(); ++i) {
        three.opposite_ohm[i] = opposite[i]->shown_ohm - givenLead_ohm(readings);
        three.deviation_ohm[i] =
            readingDeviation_ohm(opposite[i]->shown_ohm, readings, assumptions);
    }
    PinPosterior posterior = pinPosterior(three, assumptions);
    result.threeEqualProbability = posterior.threeEqualProbability;
    if (posterior.threeEqualFits && posterior.threeEqualProbability >= 0.5) {
        result.pattern = ReadingPattern::threeEqual;
        result.answer = fmt::format(
            "Three equal windings ({}): a three-phase or inverter-driven compressor. It has no "
            "common, "
            "start and run pins; never connect it to single-phase mains.",
            percentInWords(posterior.threeEqualProbability));
        return;
    }
    if (!posterior.sumRuleFits) {
        fillMisfit(result, posterior.namings.front(), lead, readings, assumptions);
        result.pattern = ReadingPattern::sumRuleViolated;
        result.answer =
            "The pins cannot be named: in a two-winding motor the highest reading is the sum of "
            "the "
            "other two, give or take the meter, and here no reading is.";
        return;
    }
    if (result.diagram && !takeDiagram(result, posterior, pins, assumptions)) {
        return;
    }
    fillMisfit(result, posterior.namings.front(), lead, readings, assumptions);
    fillNaming(result, posterior, pins, readings, assumptions);
}

void requireThreePins(const Readings& readings, const std::optional<KnownPins>& diagram)
{
    const SourcePlace place =
        readings.readings.empty() ? SourcePlace{} : readings.readings.front().place;
    std::vector<InputProblem> problems = readingProblems(readings.readings, place);
    if (problems.empty() && diagram) {
        for (PinsObjection& objection : pinsObjections(*diagram, readings.readings)) {
            problems.push_back({diagram->place,
                                "pins/" + std::string(objection.attribute),
                                std::move(objection.found),
                                std::move(objection.allowed),
                                std::move(objection.hint),
                                {}});
        }
    }
    if (!problems.empty()) {
        throw InputError(problems);
    }
}

}  // namespace

bool isShell(const std::string& label)
{
    return label == "shell";
}

bool contradictsDiagram(const Identification& identification)
{
    return identification.diagram &&
           (identification.pattern == ReadingPattern::contradictsDiagram ||
            identification.pattern == ReadingPattern::sumRuleViolated ||
            identification.pattern == ReadingPattern::threeEqual);
}

Identification identify(const Readings& readings, const IdentifyAssumptions& assumptions,
                        const std::optional<KnownPins>& diagram)
{
    requireThreePins(readings, diagram);
    Identification result;
    result.diagram = diagram;
    result.temperature_degC = readings.windingTemperature_degC;
    result.assumptions = describeAssumptions(assumptions, readings, diagram.has_value());
    for (const WindingReading& reading : readings.readings) {
        if (isShell(reading.pinB)) {
            result.shell.push_back({reading.pinA, reading.resistance_ohm});
        } else {
            result.pairs.push_back(pairReading(reading, readings, assumptions));
        }
    }
    std::sort(result.pairs.begin(), result.pairs.end(),
              [](const PairReading& a, const PairReading& b) {
                  return std::tie(a.pinA, a.pinB) < std::tie(b.pinA, b.pinB);
              });
    // Sorted pairs of the pins p < q < r are pq, pr, qr.
    const std::array<std::string, 3> pins{result.pairs[0].pinA, result.pairs[0].pinB,
                                          result.pairs[1].pinB};
    const auto lowest = std::min_element(
        result.pairs.begin(), result.pairs.end(),
        [](const PairReading& a, const PairReading& b) { return a.shown_ohm < b.shown_ohm; });
    result.lowestPair = lowest->pinA + "-" + lowest->pinB;

    const auto openPairs =
        std::count_if(result.pairs.begin(), result.pairs.end(),
                      [](const PairReading& pair) { return std::isinf(pair.shown_ohm); });
    if (openPairs > 0) {
        classifyOpen(result, pins, openPairs);
    } else if (!classifyLow(result, *lowest, readings, assumptions)) {
        nameThePins(result, pins, readings, assumptions);
    }
    if (diagram && result.pins.empty() && !contradictsDiagram(result)) {
        result.pins = {{"C", diagram->common}, {"S", diagram->start}, {"R", diagram->run}};
        result.confidence = confidenceOf(1 - assumptions.wrongDiagramShare_ratio);
        result.commonConfidence = result.confidence;
        result.answer += describeUncheckedDiagram(*diagram);
    }
    return result;
}

}  // namespace splitstart
