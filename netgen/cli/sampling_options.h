// Options of the commands that look at possible machines.
#pragma once

#include "cli/command.h"
#include "study/case_study.h"
#include "study/next_measurement.h"

namespace splitstart
{

// --samples, --seed, --sure-percent and --workers.
void addSamplingOptions(CommandLine& line);

// What was asked for. Throw UsageError.
CheckOptions checkOptionsFrom(const boost::program_options::variables_map& values);
unsigned workersFrom(const boost::program_options::variables_map& values);

// A check of the whole case with these options, and what to measure next; shows its progress.
// Throws InputError, SimulationError, UsageError.
struct SampledCheck {
    CheckStudy study;
    std::vector<NextMeasurement> next;
};
SampledCheck sampledCheck(const Case& input, const CheckOptions& options, SimulatorPool& pool);

// allPass where every check and every reading of the windings passes, else failsOrUndecided.
int exitStatusOf(const CheckStudy& study);

}  // namespace splitstart
