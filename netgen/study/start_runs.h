// Simulated starts of a case.
#pragma once

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
};

using StartOutcome = std::variant<StartMeasurement, SimulationError>;

// How closely starts are simulated.
struct StartEffort {
    double largestStep_s = Analysis().largestStep_s;
    // A start is over, and its running values can be read, when the motor has been up to speed for
    // this long; nine cycles of the line at the least.
    double settledFor_s = 0.30;
    double settledForShare = 0;  // and for this share of the time that it took to get there
    // One that does not get there ends then: long enough for the slowest that may still pass (3 s).
    // A slow start device adds its own time to this and to `settledFor_s`.
    double end_s = 3.0;
};

// Runs all and measures each; outcomes in the order of the jobs. `input` tells how long a start may
// take with its start device. One that breaks off is run once more with half the step, since a
// break-off hangs on where the steps happen to fall; the second failure counts.
std::vector<StartOutcome> runStarts(const Case& input, std::span<const StartJob> jobs,
                                    SimulatorPool& pool, const StartEffort& effort = {},
                                    const StudyProgress& progress = {});

}  // namespace splitstart
