// Options of the commands that look at possible machines.
#pragma once

#include "cli/command.h"
#include "study/case_study.h"

namespace splitstart
{

// --samples, --seed, --sure-percent and --workers.
void addSamplingOptions(CommandLine& line);

// What was asked for. Throw UsageError.
CheckOptions checkOptionsFrom(const boost::program_options::variables_map& values);
unsigned workersFrom(const boost::program_options::variables_map& values);

}  // namespace splitstart
