// Simulated starts of a case.
#pragma once

#include <optional>
#include <span>
#include <variant>
#include <vector>

#include "case/case.h"
#include "circuit/simulation_model.h"
#include "spice/measurement.h"
#include "spice/netlist.h"
#include "spice/simulation.h"
#include "study/case_study.h"

namespace splitstart
{

struct StartJob {
    Corner corner;
    bool restart = false;  // again after a short off time
    SimulationModel model;
    double extra_s = 0;  // beyond the time that the case's start device asks for
};

using StartOutcome = std::variant<StartMeasurement, SimulationError>;

// How closely starts are simulated.
struct StartEffort {
    // With the reactances made up for it (trapezoidRatio), times are within 0.02 %, running values
    // within 0.1 % of those with 50 us in 19 of 20 of 608 starts of the examples.
    double largestStep_s = 3e-4;
    // A start is over, and its running values can be read, when the motor has been up to speed for
    // this long; seven cycles of the line at the least.
    double settledFor_s = 0.30;
    double settledForShare = 0;  // and for this share of the time that it took to get there
    // One that does not get there ends then: long enough for the slowest that may still pass (3 s).
    // A slow start device adds its own time to this and to `settledFor_s`.
    double end_s = 3.0;
    // Processor time for one start; past it the run is given up.
    double timeLimit_s = 60;
};

// What is asked of the simulator for that start. `input` tells how long it may take with its start
// device.
SimulationRequest startRequest(const Case& input, const StartJob& job, const StartEffort& effort);

// The same with half the step, for a start that broke off.
StartEffort finer(StartEffort effort);

// Runs all and measures each; outcomes in the order of the jobs. `input` tells how long a start may
// take with its start device. One that breaks off is run once more with half the step, since a
// break-off hangs on where the steps happen to fall; the second failure counts.
std::vector<StartOutcome> runStarts(const Case& input, std::span<const StartJob> jobs,
                                    SimulatorPool& pool, const StartEffort& effort = {},
                                    const StudyProgress& progress = {});

// What the case's start device adds to the time that a start is watched.
double startDeviceTime_s(const Case& input);

// When the case's protector opens in that start (made with its trip time in the middle of its
// range), for a protector at both ends of it: a time constant is in proportion to it. Infinity:
// never. Empty where no protector was in the circuit.
std::optional<Range> protectorOpens_s(const Case& input, const StartMeasurement& measured);

}  // namespace splitstart
