// The control section of a deck for stock ngspice: it runs the analysis and prints the quantities
// of spice/measurement.h under the same names; of a shaft that is held those of
// HeldShaftMeasurement.
#pragma once

#include <optional>
#include <string>

#include "circuit/simulation_model.h"

namespace splitstart
{

struct Analysis;

// The ratings that a start is held against at ngspice's prompt, rms; empty: no such part, or not
// told.
struct PartRatings {
    std::optional<double> startCapacitor_V = {};  // at the end of a start, see StartCapacitor
    std::optional<double> startCapacitorLongest_s = {};  // longest single time in circuit
    std::optional<double> runCapacitor_V = {};           // continuous
    std::optional<double> coil_V = {};                   // of a potential relay, continuous
    std::optional<double> coil_A = {};                   // of a current relay, continuous
    std::optional<double> contact_A = {};  // of the start contact, or the inrush that a PTC stands
    std::optional<double> ptc_V = {};
};

// Cards that tell the commands of scripts/ngspice the numbers of this deck (.csparam ss_NAME), and
// let them hold the shaft. Every name is there in every deck, 0 where it does not apply: ngspice
// keeps those of the deck before.
std::string promptNumbers(const SimulationModel& model, const Analysis& analysis,
                          const PartRatings& ratings);

// From ".control" to ".endc". With the variable ss_prompt set it runs nothing, and sets variables
// ss_NAME to the names of this deck's vectors for scripts/ngspice. Quantities that this circuit
// does not have are left out; one that the run does not reach (a contact that never opens) is
// reported by ngspice as failed.
std::string controlSection(const SimulationModel& model, const Analysis& analysis);

}  // namespace splitstart
