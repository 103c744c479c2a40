// The control section of a deck for stock ngspice: it runs the analysis and prints the quantities
// of spice/measurement.h under the same names; of a shaft that is held those of
// HeldShaftMeasurement.
#pragma once

#include <string>

#include "circuit/simulation_model.h"

namespace splitstart
{

struct Analysis;

// From ".control" to ".endc". Quantities that this circuit does not have are left out; one that the
// run does not reach (a contact that never opens) is reported by ngspice as failed.
std::string controlSection(const SimulationModel& model, const Analysis& analysis);

}  // namespace splitstart
