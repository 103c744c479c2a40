// What is known about one run, or about the run at one value of a sweep, and the judgement on it.
// ngspice's return values are 0 for nearly every failure, so a run is good only when everything
// that a good run shows is there.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "spice/simulation_job.h"

namespace splitstart
{

struct RunEvidence {
    int loadStatus = 0;
    int runStatus = 0;
    std::optional<double> sweptValue;   // the value of the sweep that this run is at
    std::optional<double> sourceReads;  // what ngspice says the source has then
    bool controlledExit = false;
    std::size_t analysesStarted = 0;
    std::string reportedTitle;                // by the analysis; "" when none started
    std::vector<std::string> missingVectors;  // wanted, but not among the analysis's vectors
    std::size_t points = 0;
    double reached = 0;           // last time [s] or frequency [Hz]
    std::string notFiniteVector;  // first vector with a value that is not finite
    double notFiniteAt = 0;       // and where
    bool stopRuleMet = false;
    bool tooManyValues = false;
    std::string loadLog;  // what ngspice wrote while it read the deck
    std::string log;      // and in all (the last part of it)
};

// What is wrong with a deck before any run of it.
std::optional<Trouble> findLoadTrouble(const SimulationJob& job, const RunEvidence& evidence);

// Empty when the run has proved itself: loaded, no controlled exit, one analysis with this job's
// own title, every vector there, every value finite, and the last point at the end; in a sweep also
// the source at its value, and one point. The message names that value.
std::optional<Trouble> findTrouble(const SimulationJob& job, const RunEvidence& evidence);

}  // namespace splitstart
