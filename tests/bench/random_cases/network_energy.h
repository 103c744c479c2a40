// Conservation of energy over a whole start of any case's circuit: what the source's own voltage
// supplied is what was lost, what the shafts took and what is stored at the end.
#pragma once

#include "circuit/simulation_model.h"
#include "spice/simulation.h"

namespace splitstart::bench
{

struct NetworkBalance {
    double supplied_J = 0;
    double lost_J = 0;
    double shaft_J = 0;
    double stored_J = 0;
    [[nodiscard]] double error_ratio() const
    {
        return (lost_J + shaft_J + stored_J) / supplied_J - 1;
    }
};

// One second of that model with fine steps. Every power is worked out from volts, amps, fluxes and
// parameters, for each subcircuit apart; a contact, a PTC and a protector take volts times amps.
// Throws SimulationError; std::logic_error for a subcircuit that is not known here.
NetworkBalance networkBalance(const SimulationModel& model, SimulatorPool& pool);

}  // namespace splitstart::bench
