// One start as curves over time: what an oscilloscope at the control box would show.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "circuit/simulation_model.h"
#include "spice/simulation.h"

namespace splitstart
{

// One curve. Names end with their unit: "start_winding_v".
struct TraceSignal {
    std::string_view name;
    std::string_view unit;  // "" for a contact, which is 1 made and 0 open
    std::string_view meaning;
    std::vector<double> values = {};
};

struct StartTrace {
    std::vector<double> time_s;
    std::vector<TraceSignal> signals;  // those that this circuit has, each as long as time_s

    // The signal of that name, or null.
    [[nodiscard]] const TraceSignal* find(std::string_view name) const;
};

// `waveforms` of a run that was asked for startVectors(model). Instantaneous values. Amps count
// from the line into the motor, so that those of both windings add up to those of pin C.
StartTrace startTrace(const SimulationModel& model, const Waveforms& waveforms);

// The same with volts and amps as rms over the line's cycle that ends there, as a meter that is
// quick enough would show them; the torque as its mean. Begins after the first cycle.
StartTrace cycleTrace(const StartTrace& trace, double frequency_Hz);

}  // namespace splitstart
