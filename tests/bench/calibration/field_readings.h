// What a person in the field reads of a machine whose truth is known.
#pragma once

#include <cstdint>
#include <optional>

#include "calibration/true_machine.h"

namespace splitstart::calibration
{

struct FieldReadings {
    Case input;                                   // what the tool gets
    std::optional<double> secondsToStart_s = {};  // true, with the supply as found; empty: it stays
    std::optional<double> runningSlip_ratio = {};  // while the running readings were taken
};

// Level 0: resistances and plate. Level 1: S-C volts running and seconds to start too. Level 2:
// line amps, watts and the sag of the supply too. Of a machine that does not come up to speed
// there are no running readings. Throws SimulationError.
FieldReadings readInTheField(const TrueMachine& machine, int level, std::uint64_t seed,
                             std::size_t index, SimulatorPool& pool);

}  // namespace splitstart::calibration
