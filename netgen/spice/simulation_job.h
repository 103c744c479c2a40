// What the pool sends to a worker, and what comes back. Inside spice/ only.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "spice/simulation.h"

namespace splitstart
{

// Node of the flag source that ends a run early; only in decks that have a StopRule.
inline constexpr std::string_view stopNode = "splitstart_stop";

// A deck that was found fit for ngspice.
struct SimulationJob {
    std::string title;                 // lower case; the first of `lines`
    std::vector<std::string> lines;    // the whole deck, .end last; numbered as the caller's deck
    std::vector<std::string> vectors;  // lower case
    bool transient = true;
    double end = 0;           // last time [s] or frequency [Hz] of the analysis
    double reachAtLeast = 0;  // the run is whole when its last point is here or later
    std::optional<StopRule> stop;
    std::optional<SourceSweep> sweep;  // its source in lower case: letters, digits and _ only
};

struct Trouble {
    SimulationFault fault = SimulationFault::crashed;
    std::string message;
};

struct WorkerReply {
    std::optional<Trouble> trouble;
    std::string log;      // with trouble: the last lines ngspice wrote
    Waveforms waveforms;  // without trouble
    bool retire = false;  // the worker takes no further job
};

std::string encode(const SimulationJob& job);
std::string encode(const WorkerReply& reply);
// Throw std::out_of_range when the text is not whole.
SimulationJob decodeJob(std::string_view bytes);
WorkerReply decodeReply(std::string_view bytes);

}  // namespace splitstart
