// Options that say at which corner a start is simulated.
#pragma once

#include "circuit/simulation_model.h"
#include "cli/command.h"

namespace splitstart
{

// --line-percent, --switch-on-degrees, --windings, --parts, --capacitors, --restart-after-seconds.
void addCornerOptions(CommandLine& line);

// What was asked for. Throws UsageError.
Corner cornerFrom(const boost::program_options::variables_map& values, const Case& input);

}  // namespace splitstart
