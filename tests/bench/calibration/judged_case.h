// One machine, what the tool says of it, and what is true: a line of the study's file.
#pragma once

#include <cstdint>
#include <nlohmann/json.hpp>

#include "spice/simulation.h"
#include "study/start_runs.h"

namespace splitstart::calibration
{

struct StudyOptions {
    std::uint64_t seed = 1;
    int level = 1;
    std::size_t samples = 200;  // 0: the estimate alone, nothing is judged
    double share_ratio = 0.95;
    // How long the true machine is up to speed before its running values are read.
    double settled_s = StartEffort().settledFor_s;
    [[nodiscard]] bool estimatesOnly() const { return samples == 0; }
};

// Never throws for what the tool throws: that is recorded as a failure of its kind.
nlohmann::json judgeCase(std::size_t index, const StudyOptions& options, SimulatorPool& pool);

}  // namespace splitstart::calibration
