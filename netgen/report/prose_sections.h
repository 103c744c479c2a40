// The parts of which texts and pages are made, each said once. Internal to report/.
#pragma once

#include <array>
#include <string>
#include <vector>

#include "report/prose.h"
#include "study/case_study.h"
#include "study/found_start.h"
#include "study/next_measurement.h"
#include "study/wiring_study.h"

namespace splitstart
{

// The usual cautions before anything is touched or powered.
void writeCautions(Prose& page);

// Which pin is which, as the readings or the diagram say.
void writePins(Prose& page, const Identification& identification);

// Windings and insulation, and whether that is safe to energise.
void writeHealth(Prose& page, const HealthReport& health);

// The answer of a check in a sentence or two.
void writeVerdict(Prose& page, const CheckStudy& study);

// That the pins are live with the thermostat open, where they are.
void writeLiveWhenOff(Prose& page, const CheckStudy& study);

// A heading and what fails, is undecided or passes; nothing where nothing does.
// What the columns of the starts mean.
constexpr std::string_view startsLegend =
    "To speed: until 90 % of synchronous speed. % speed: of synchronous; above 100 % for a moment "
    "is "
    "a light start that overshoots. Parts: the end of their tolerances; crest: switched on at the "
    "crest of the line's volts; most uF: capacitors at their upper end; again: restarted hot. Pin "
    "C: "
    "amps in running.";
void writeFindings(Prose& page, const CheckStudy& study, Verdict verdict);

// A heading and one entry for each; at least one is given.
void writeNextMeasurements(Prose& page, const std::vector<NextMeasurement>& next);

// A simulated start in words: line, windings, parts, to speed, start circuit leaves, pin C.
using StartCells = std::array<std::string, 6>;
StartCells startCells(const CheckStudy& study, const StartRun& run);

// How the circuit is wired and proved: the wires as found where they are known, parts, steps,
// proof, supply.
void writeWiring(Prose& page, const Case& input, const WiringStudy& study,
                 const FoundStartAnswer& found);

}  // namespace splitstart
