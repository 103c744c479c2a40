// One start with its curves.
#pragma once

#include <optional>

#include "spice/start_trace.h"
#include "study/case_study.h"
#include "study/start_runs.h"

namespace splitstart
{

struct TracedStart {
    Corner corner;
    StartMeasurement measured;
    StartTrace trace;
    double frequency_Hz = 60;
};

// One start of the best estimate of the motor at that corner, followed as starts of a check are, or
// for that many seconds. Throws SimulationError.
TracedStart tracedStart(const Case& input, const Circuit& circuit, const MotorStudy& motor,
                        const Corner& corner, SimulatorPool& pool,
                        std::optional<double> length_s = {});

// The corner that decides: of the starts, the one at which a check fails by most, or where none
// fails, is undecided or passes by least. Empty where no check hangs on a start.
std::optional<Corner> worstCorner(const Case& input, const CheckStudy& study);

}  // namespace splitstart
