// The figures of a start: over time, around the instant at which the start circuit leaves, and over
// speed.
#pragma once

#include <optional>
#include <string_view>
#include <vector>

#include "report/figure.h"
#include "study/traced_start.h"

namespace splitstart
{

// Over time, rms of each cycle of the line: "start-volts", "start-amps"; and "start-speed": speed
// with the time that the start circuit is in as a band.
std::vector<Figure> startFigures(const TracedStart& start);

// The panels of a chart of instantaneous values: what is drawn in each, of what the start has.
struct ChartLine {
    const TraceSignal* signal = nullptr;
    Stroke stroke = Stroke::solid;
};
struct ChartPanel {
    std::string title;
    std::vector<ChartLine> lines;
};
std::vector<ChartPanel> chartPanels(const StartTrace& trace);

// "opening": instantaneous volts and amps of the start winding, some cycles before and after the
// start contact first opens; the first cycles where it does not.
std::vector<Figure> openingFigures(const TracedStart& start);

// Over speed, shaft held, rated volts: "torque-over-speed" with the load's mean torque, and
// "volts-over-speed": S-C volts with the potential relay's bands, or "amps-over-speed": run winding
// amps with the current relay's. `input`: whose relay it is.
std::vector<Figure> speedFigures(const Case& input, const Evidence& evidence);

}  // namespace splitstart
