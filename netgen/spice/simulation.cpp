#include "spice/simulation.h"

#include <utility>

namespace splitstart
{

const char* faultName(SimulationFault fault)
{
    switch (fault) {
        case SimulationFault::libraryMissing:
            return "library missing";
        case SimulationFault::deckRefused:
            return "deck refused";
        case SimulationFault::undefinedParameter:
            return "undefined parameter";
        case SimulationFault::controlledExit:
            return "controlled exit";
        case SimulationFault::notRun:
            return "not run";
        case SimulationFault::missingVector:
            return "missing vector";
        case SimulationFault::noConvergence:
            return "no convergence";
        case SimulationFault::aborted:
            return "aborted";
        case SimulationFault::notFinite:
            return "not finite";
        case SimulationFault::timeLimit:
            return "time limit";
        case SimulationFault::crashed:
            return "crashed";
    }
    return "unknown fault";
}

SimulationError::SimulationError(SimulationFault fault, const std::string& message, std::string log)
    : std::runtime_error(message), fault_(fault), log_(std::move(log))
{
}

}  // namespace splitstart
