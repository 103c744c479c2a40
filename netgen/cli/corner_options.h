// Options that say at which corner a start is simulated.
#pragma once

#include "circuit/simulation_model.h"
#include "cli/command.h"
#include "cli/number_option.h"

namespace splitstart
{

// How long a start that is asked for by its length may be.
constexpr NumberRange<double> startLength_s{0.2, 60};

// --line-percent, --switch-on-degrees, --windings, --parts, --capacitors, --restart-after-seconds.
void addCornerOptions(CommandLine& line);

// What was asked for. Throws UsageError.
Corner cornerFrom(const boost::program_options::variables_map& values, const Case& input);

}  // namespace splitstart
