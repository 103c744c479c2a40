#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <string>

#include "case/preferred_values.h"
#include "circuit/case_circuit.h"
#include "spice/measurement.h"
#include "study/best_evidence.h"
#include "study/case_study.h"
#include "study/corners.h"
#include "study/sample_study.h"

namespace splitstart
{

namespace
{

// What a label says that labels do not say: it may have been misread.
std::vector<std::string> labelNotes(const Case& input)
{
    const auto* start = chosenPart<StartCapacitor>(input, &CircuitChoice::startCapacitor);
    if (start == nullptr) {
        return {};
    }
    std::vector<const StartCapacitor*> printed = {start};
    if (start->pair) {
        // What two are together is printed nowhere.
        printed.clear();
        for (const std::string& id : {start->pair->first, start->pair->second}) {
            const CatalogPart* const part = input.parts.find(id);
            printed.push_back(part == nullptr ? nullptr : std::get_if<StartCapacitor>(&part->data));
        }
    }
    std::vector<std::string> notes;
    for (const StartCapacitor* each : printed) {
        const std::optional<Range> nearest =
            each != nullptr ? nearestPreferredStartRange_F(each->capacitance_F) : std::nullopt;
        if (!nearest) {
            continue;
        }
        constexpr double micro = 1e6;
        notes.push_back(
            fmt::format("start capacitor: {:.4g} to {:.4g} uF is not a range that such capacitors "
                        "are printed with (nearest {:.4g} to {:.4g}); read the label again",
                        each->capacitance_F.minimum * micro, each->capacitance_F.maximum * micro,
                        nearest->minimum * micro, nearest->maximum * micro));
    }
    return notes;
}

bool hasCapacitorAndContact(const Case& input)
{
    return !input.circuit->startDevice.empty() &&
           (!input.circuit->startCapacitor.empty() || !input.circuit->runCapacitor.empty());
}

}  // namespace

double hotWinding_degC(const Case& input)
{
    constexpr double afterHardRun_degC = 110;
    constexpr double belowTrip_K = 20;
    const CatalogPart* part = input.circuit ? input.parts.find(input.circuit->protector) : nullptr;
    const auto* protector = part != nullptr ? std::get_if<Protector>(&part->data) : nullptr;
    if (protector == nullptr || protector->location == ProtectorPlace::external) {
        return afterHardRun_degC;
    }
    return std::min(afterHardRun_degC, protector->trip_degC - belowTrip_K);
}

std::vector<Corner> checkCorners(const Case& input)
{
    std::vector<double> lines = {0.85, 0.90, 1.00, 1.10};
    const double asFound_ratio = input.supply.voltage_V / ratedVoltage_V(input);
    if (std::abs(asFound_ratio - 1) > 0.01) {
        lines.push_back(asFound_ratio);
    }
    const double highest = *std::max_element(lines.begin(), lines.end());
    std::vector<Corner> corners;
    for (const double line : lines) {
        for (const double winding_degC : {coldWinding_degC, hotWinding_degC(input)}) {
            for (const Release release : {Release::early, Release::late}) {
                corners.push_back({line, winding_degC, release, input.compressor.load.pressures});
            }
        }
    }
    // A capacitor switched on at the crest begins with the hardest first cycle.
    for (const double winding_degC : {coldWinding_degC, hotWinding_degC(input)}) {
        for (const Release release : {Release::early, Release::late}) {
            corners.push_back(
                {highest, winding_degC, release, input.compressor.load.pressures, 90});
        }
    }
    // The most amps through a start contact: the largest capacitors, for as long as may be.
    if (hasCapacitorAndContact(input)) {
        for (const double winding_degC : {coldWinding_degC, hotWinding_degC(input)}) {
            Corner corner{highest, winding_degC, Release::late, input.compressor.load.pressures};
            corner.capacitors = Release::early;
            corners.push_back(corner);
        }
    }
    return corners;
}

std::vector<Corner> restartCorners(const Case& input)
{
    // What an off-delay of the trade keeps it off for (common practice, no source: 2 to 5 minutes).
    constexpr double usualOff_s = 180;
    if (chosenPart<Ptc>(input, &CircuitChoice::startDevice) == nullptr) {
        return {};
    }
    std::vector<Corner> corners;
    for (const double line : {0.85, 1.0}) {
        for (const Release release : {Release::early, Release::late}) {
            Corner corner{line, hotWinding_degC(input), release, input.compressor.load.pressures};
            corner.restartAfter_s = input.circuit->shortestOff_s.value_or(usualOff_s);
            corners.push_back(corner);
        }
    }
    return corners;
}

CheckStudy checkStudy(const Case& input, SimulatorPool& pool, const CheckOptions& options,
                      const StudyProgress& progress)
{
    CheckStudy study;
    study.circuit = caseCircuit(input);
    study.motor = motorStudy(input, study.circuit, pool, options.seed);
    for (const std::string& note : labelNotes(input)) {
        study.motor.notes.push_back(note);
    }
    if (input.asFound) {
        study.motor.notes.emplace_back(
            "judged is the circuit as it should be, not the wires as found: `splitstart wiring` "
            "compares the two");
    }
    const Case best = withSource(input, study.motor);
    study.evidence = bestEvidence(best, study.circuit, study.motor, pool, progress);
    study.findings = judge(best, study.circuit, study.evidence);
    decideBySamples(best, study, options, pool, progress);
    return study;
}

}  // namespace splitstart
