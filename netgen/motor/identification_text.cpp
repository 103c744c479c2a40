#include "motor/identification_text.h"

#include <fmt/format.h>

#include <algorithm>
#include <cassert>
#include <cmath>
#include <map>

#include "case/text.h"

namespace splitstart
{

namespace
{

// Copper near room temperature: 1 / (234.5 + 25) per K.
constexpr double copperPerKelvin = 0.00385;

// Below this the other naming is not worth a tired reader's time.
constexpr double worthSaying = 0.001;

// For PinAssignment and KnownPins.
template <typename Pins>
std::string nameThePins(const Pins& pins)
{
    return fmt::format("C (common) is pin {}, S (start) is pin {}, R (run) is pin {}", pins.common,
                       pins.start, pins.run);
}

const PairReading& pairOf(const Identification& identification, const std::string& a,
                          const std::string& b)
{
    const auto found = std::find_if(identification.pairs.begin(), identification.pairs.end(),
                                    [&a, &b](const PairReading& pair) {
                                        return (pair.pinA == a && pair.pinB == b) ||
                                               (pair.pinA == b && pair.pinB == a);
                                    });
    assert(found != identification.pairs.end());  // identify() has compared the labels
    return *found;
}

// What the readings say about a diagram that they do not contradict.
std::string agreementInWords(const Identification& identification)
{
    const PinAssignment& readings = *identification.byReadings;
    const KnownPins& diagram = *identification.diagram;
    const std::string share = percentInWords(identification.diagramCommonProbability);
    if (readings.common != diagram.common) {
        return fmt::format(
            " By ohms alone {} would be common; the error of meter and leads leaves room for {} "
            "({}).",
            readings.common, diagram.common, share);
    }
    if (readings.start == diagram.start) {
        return " The readings agree.";
    }
    const std::string agreed =
        fmt::format(" The readings agree that {} is common ({}).", diagram.common, share);
    const std::string start = ohmsInWords(identification.start_ohm.value);
    const std::string run = ohmsInWords(identification.run_ohm.value);
    if (identification.confidence < Confidence::certain) {
        return agreed + fmt::format(
                            " But the start winding would read {} and the run winding {}: hardly "
                            "any compressor is wound so, while S and R exchanged would be usual.",
                            start, run);
    }
    return agreed +
           fmt::format(
               " The start winding reads {}, lower than the run winding with {}: unusual, but some "
               "rotary and capacitor-run compressors are wound so. Ohms alone would exchange S and "
               "R, so make sure of the diagram: S and R exchanged burns the start winding.",
               start, run);
}

double highestReading_ohm(const Identification& identification)
{
    double highest = 0;
    for (const PairReading& pair : identification.pairs) {
        highest = std::max(highest, pair.corrected_ohm);
    }
    return highest;
}

// What may stand behind a sum that is `extra_ohm` higher than leads and meter explain, and what
// each cause does to the sum.
std::string causesOfMisfit(double extra_ohm, double highest_ohm)
{
    const double size_ohm = std::abs(extra_ohm);
    // More than a hot compressor can cool down by while it is read is no cause of anything.
    constexpr double mostDrift_K = 60;
    const double drift_K = size_ohm / highest_ohm / copperPerKelvin;
    const std::string drift =
        drift_K > mostDrift_K
            ? std::string("a reading taken between other pins, or in another range of the meter.")
            : fmt::format("windings that warmed or cooled by about {:.0f} K between the readings.",
                          drift_K);
    if (extra_ohm > 0) {
        return fmt::format(
            "Possible causes: {:.2f} ohm of meter leads or dirty probes in every reading (adds "
            "once to "
            "the sum); {:.2f} ohm in the path to C, such as an internal protector or a burnt C pin "
            "(adds to C-R and to C-S but not to S-R, so twice to the sum); {}",
            size_ohm, size_ohm / 2, drift);
    }
    return fmt::format(
        "Possible causes: {:.2f} ohm of bad contact in the S-R reading alone; more subtracted for "
        "the "
        "meter leads than they have; {}",
        size_ohm, drift);
}

}  // namespace

std::string ohmsInWords(double resistance_ohm)
{
    if (std::isinf(resistance_ohm)) {
        return "open";
    }
    const double size = std::abs(resistance_ohm);
    if (size >= 0.9995e6) {
        return fmt::format("{:.3g} Mohm", resistance_ohm / 1e6);
    }
    if (size >= 999.5) {
        return fmt::format("{:.3g} kohm", resistance_ohm / 1e3);
    }
    return size < 1 ? fmt::format("{:.2f} ohm", resistance_ohm)
                    : fmt::format("{:.3g} ohm", resistance_ohm);
}

Confidence confidenceOf(double probability)
{
    if (probability >= 0.99) {
        return Confidence::certain;
    }
    if (probability >= 0.90) {
        return Confidence::likely;
    }
    return probability > 0 ? Confidence::guess : Confidence::none;
}

const char* confidenceInWords(Confidence confidence)
{
    switch (confidence) {
        case Confidence::certain:
            return "certain";
        case Confidence::likely:
            return "likely";
        case Confidence::guess:
            return "a guess: do not wire by this";
        case Confidence::none:
            break;
    }
    return "not known";
}

std::string percentInWords(double probability)
{
    if (probability > 0.999) {
        return "over 99.9 %";
    }
    if (probability >= 0.985) {
        // Rounded down: 99.96 must not become a round hundred.
        return fmt::format("{:.1f} %", std::floor(1000 * probability) / 10);
    }
    return probability < 0.01 ? "under 1 %" : fmt::format("{:.0f} %", 100 * probability);
}

std::string explainMisfit(const Identification& identification, const Naming& best,
                          const Readings& readings)
{
    const Misfit& misfit = identification.misfit;
    // Nothing that the meter could show.
    if (misfit.withinMeter && std::abs(misfit.shown_ohm) < 0.5 * readings.resolution_ohm) {
        return "C-R plus C-S equals S-R, as it should.";
    }
    const std::string sum = fmt::format("C-R plus C-S should equal S-R; the sum is {} {} than S-R.",
                                        ohmsInWords(std::abs(misfit.shown_ohm)),
                                        misfit.shown_ohm < 0 ? "less" : "more");
    if (misfit.withinMeter) {
        if (readings.leadGiven || misfit.shown_ohm <= 0) {
            return sum + " The error of the meter and its probes explains that.";
        }
        return sum +
               fmt::format(
                   " Meter leads explain that: each reading holds the leads once, so the sum is "
                   "too high by one lead resistance, and none was subtracted. About {} of leads "
                   "and contacts is taken off here; to know it, short the leads together and "
                   "read them.",
                   ohmsInWords(std::max(0.0, identification.lead_ohm.value)));
    }
    return sum +
           fmt::format(" Leads, contacts and meter explain {} to {}. ",
                       ohmsInWords(misfit.expected_ohm - misfit.explained_ohm),
                       ohmsInWords(misfit.expected_ohm + misfit.explained_ohm)) +
           causesOfMisfit(best.misfit_ohm, highestReading_ohm(identification)) +
           " Scrape the pins bright, zero the meter with its leads shorted together, let the shell "
           "settle, read again.";
}

bool marksDiffer(const Identification& identification)
{
    std::map<std::string, std::string> marked;
    for (const auto& [role, label] : identification.pins) {
        marked[lowered(label)] = role;
    }
    const bool areMarks = marked.contains("c") && marked.contains("s") && marked.contains("r");
    return areMarks && (marked["c"] != "C" || marked["s"] != "S" || marked["r"] != "R");
}

void describeNaming(Identification& identification)
{
    const PinAssignment& best = identification.assignments[0];
    const PinAssignment& second = identification.assignments[1];
    const std::string share = percentInWords(best.probability);
    // However clean the readings: which of the two is start is a habit of motor makers, no law.
    const std::string sure =
        identification.confidence == Confidence::certain
            ? fmt::format(
                  "very likely by the ohms and the usual ratio of the windings ({}); not "
                  "proved",
                  share)
            : fmt::format("{} ({})", confidenceInWords(identification.confidence), share);
    identification.answer =
        marksDiffer(identification)
            ? fmt::format(
                  "The marks on the pins and the readings disagree: do not wire. By the "
                  "readings {}, {}; the marks say otherwise.",
                  nameThePins(best), sure)
            : fmt::format("{}: {}.", nameThePins(best), sure);
    if (identification.commonConfidence > identification.confidence) {
        identification.answer += fmt::format(
            " That {} is common is {} ({}); which of the others is start rests on the "
            "usual ratio of the windings alone.",
            best.common, confidenceInWords(identification.commonConfidence),
            percentInWords(identification.commonProbability));
    }
    if (identification.threeEqualProbability > std::max(worthSaying, second.probability)) {
        identification.runnerUp = fmt::format(
            "Otherwise ({}): a three-phase or inverter-driven compressor with three equal "
            "windings. Never connect that to single-phase mains.",
            percentInWords(identification.threeEqualProbability));
        identification.decidedBy =
            "What decides: phase and volts on the nameplate, and the readings once more with the "
            "meter zeroed on its shorted leads or with a four-wire milliohm meter.";
        return;
    }
    if (second.probability < worthSaying) {
        return;
    }
    identification.runnerUp =
        fmt::format("Otherwise ({}): {}.", percentInWords(second.probability), nameThePins(second));
    if (second.common == best.common) {
        identification.decidedBy =
            "What decides between start and run: the diagram on the nameplate or inside the "
            "terminal cover (give its pins with the readings); the wire from the run capacitor's "
            "far end, the one not on the line, goes to S. "
            "Ohms alone do not prove it: capacitor-run motors have nearly equal windings, and some "
            "rotary "
            "compressors have the lower resistance on start. S and R exchanged burns the start "
            "winding.";
    } else {
        identification.decidedBy =
            "What decides: the readings once more with the meter zeroed on its shorted leads, on "
            "bright pins, or with a four-wire milliohm meter; or the diagram on the nameplate "
            "(give its pins with the readings).";
    }
}

void describeDiagram(Identification& identification)
{
    const bool usable = identification.confidence >= Confidence::likely;
    identification.answer = fmt::format(
        "{}: {}.{}", nameThePins(*identification.diagram),
        usable ? fmt::format("{}, by the diagram on the nameplate or inside the cover",
                             confidenceInWords(identification.confidence))
               : "so says the diagram, but the readings speak against it; do not wire by this",
        agreementInWords(identification));
    if (identification.confidence == Confidence::certain) {
        return;
    }
    identification.runnerUp = fmt::format("By the readings alone ({}): {}.",
                                          percentInWords(identification.byReadings->probability),
                                          nameThePins(*identification.byReadings));
    identification.decidedBy =
        "What decides: the diagram and the labels on the pins once more, diagram and compressor "
        "held the same way up; the readings once more with the meter zeroed on its shorted leads; "
        "the wire from the run capacitor's far end, the one not on the line, goes to S.";
}

std::string describeContradiction(const Identification& identification)
{
    const KnownPins& diagram = *identification.diagram;
    const double run_ohm = pairOf(identification, diagram.common, diagram.run).shown_ohm;
    const double start_ohm = pairOf(identification, diagram.common, diagram.start).shown_ohm;
    const std::optional<PinAssignment>& readings = identification.byReadings;
    return fmt::format(
        "The readings contradict the diagram: it calls {0} common, so {1}-{2} must read about the "
        "sum of {0}-{1} ({3}) and {0}-{2} ({4}), but it reads {5}.{6}",
        diagram.common, diagram.start, diagram.run, ohmsInWords(start_ohm), ohmsInWords(run_ohm),
        ohmsInWords(pairOf(identification, diagram.start, diagram.run).shown_ohm),
        readings ? fmt::format(" By ohms {} is common.", readings->common) : std::string());
}

std::string describeUncheckedDiagram(const KnownPins& diagram)
{
    return fmt::format(" By the diagram, which these readings do not check, {}.",
                       nameThePins(diagram));
}

std::vector<std::string> describeAssumptions(const IdentifyAssumptions& assumptions,
                                             const Readings& readings, bool diagramGiven)
{
    std::vector<std::string> lines;
    if (diagramGiven) {
        lines.push_back(
            fmt::format("The diagram that names the pins is taken for right but in {:.2g} % of "
                        "cases (assumed).",
                        100 * assumptions.wrongDiagramShare_ratio));
    }
    std::string ratio = "Start / run resistance (assumed; common practice, no source):";
    for (const RatioPrior& part : assumptions.startToRun) {
        ratio += fmt::format(" {:.0f} % of motors near {:.2g}, between {:.2g} and {:.2g} mostly;",
                             100 * part.weight_ratio, part.median_ratio,
                             part.median_ratio * std::exp(-2 * part.logDeviation),
                             part.median_ratio * std::exp(2 * part.logDeviation));
    }
    ratio.back() = '.';
    lines.push_back(ratio);
    if (readings.leadGiven) {
        lines.push_back(fmt::format(
            "Meter leads: {:.2f} ohm as given, subtracted from each reading.", readings.lead_ohm));
    } else {
        lines.push_back(fmt::format(
            "Meter leads and contacts: not given; {:.2f} ohm, give or take {:.2f}, assumed in each "
            "reading.",
            assumptions.unknownLead_ohm, 2 * assumptions.unknownLeadDeviation_ohm));
    }
    if (!readings.accuracyGiven || !readings.resolutionGiven) {
        lines.push_back(fmt::format("Meter: {:.1f} % of reading and a last digit of {:g} ohm{}.",
                                    100 * readings.accuracy_ratio, readings.resolution_ohm,
                                    readings.accuracyGiven     ? ", the digit assumed"
                                    : readings.resolutionGiven ? ", the percentage assumed"
                                                               : ", both assumed"));
    }
    lines.push_back(fmt::format(
        "Winding temperature: {:.0f} degC {}, give or take {:.0f} K; {} windings assumed.",
        readings.windingTemperature_degC, readings.windingTemperatureGiven ? "as given" : "assumed",
        readings.windingTemperatureGiven ? assumptions.givenTemperature_K
                                         : assumptions.assumedTemperature_K,
        assumptions.metal == WindingMetal::copper ? "copper" : "aluminium"));
    return lines;
}

}  // namespace splitstart
