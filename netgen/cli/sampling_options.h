// Options of the commands that look at possible machines.
#pragma once

#include <cstdint>

#include "cli/command.h"
#include "study/case_study.h"
#include "study/next_measurement.h"

namespace splitstart
{

// --samples, --seed, --sure-percent and --workers.
void addSamplingOptions(CommandLine& line);

// The last three alone; `share`: what --sure-percent is the share of.
void addShareOptions(CommandLine& line, const char* share);

// Of these the last two, each alone; `same`: what the same seed gives again.
void addSeedOption(CommandLine& line, const char* same);
void addWorkersOption(CommandLine& line);

// What was asked for.
CheckOptions checkOptionsFrom(const boost::program_options::variables_map& values);
double shareFrom(const boost::program_options::variables_map& values);  // of --sure-percent
std::uint64_t seedFrom(const boost::program_options::variables_map& values);
unsigned workersFrom(const boost::program_options::variables_map& values);

// A check of the whole case with these options, and what to measure next; shows its progress.
// Throws InputError, SimulationError, UsageError.
struct SampledCheck {
    CheckStudy study;
    std::vector<NextMeasurement> next;
};
SampledCheck sampledCheck(const Case& input, const CheckOptions& options, SimulatorPool& pool);

// What the readings say of windings with which no start can be computed (open, shorted, or at
// odds); else empty.
std::optional<MotorStudy> condemnedWindings(const Case& input);

// Where there are such readings, what they say and what to do is the whole answer: delivers it and
// returns true.
bool deliveredAsCondemned(const boost::program_options::variables_map& values, const Case& input);

// allPass where every check and every reading of the windings passes, else failsOrUndecided.
int exitStatusOf(const CheckStudy& study);

}  // namespace splitstart
