// Held-shaft analyses of the circuit of a case: one .ac run for each speed.
#pragma once

#include <initializer_list>
#include <optional>
#include <span>
#include <vector>

#include "case/case.h"
#include "circuit/circuit.h"
#include "motor/estimate.h"
#include "rating/check.h"
#include "spice/simulation.h"

namespace splitstart
{

// One deck of a model with a held shaft, to be run at each of those speeds.
SimulationRequest heldShaftRequest(const SimulationModel& model, std::vector<double> speeds_rad_s);

// Without the fan, whichever kind it is. A fan's capacitor stays: nothing flows in one whose other
// end hangs free, and the section of a dual one cannot be taken out.
Circuit withoutFan(const Circuit& circuit);

// Supply and compressor alone: both lines straight to pins R and C, pin S free.
Circuit runWindingAlone(const Circuit& circuit);

// The bench that the estimation works with. The pool must outlive it.
HeldShaftBench heldShaftBench(const Case& input, const Circuit& circuit, SimulatorPool& pool);

// A machine in a circuit: its parts and supply, and its motor.
struct HeldMachine {
    const Case* input = nullptr;
    const EquivalentCircuit* motor = nullptr;
};

// Tables over speed at rated volts, cold and hot, parts at those ends of their tolerances, of each
// machine in that circuit; all at once keeps the workers busy. Throws SimulationError.
std::vector<std::vector<HeldShaftTable>> heldShaftTables(std::span<const HeldMachine> machines,
                                                         const Circuit& circuit,
                                                         SimulatorPool& pool,
                                                         std::initializer_list<Release> releases);
std::vector<HeldShaftTable> heldShaftTables(const Case& input, const Circuit& circuit,
                                            const EquivalentCircuit& motor, SimulatorPool& pool,
                                            std::initializer_list<Release> releases);

// What flows while thermostat or contactor is open, at rated volts with cold windings; empty where
// no winding carries a milliamp. Of each machine in that circuit. Throws SimulationError.
std::vector<std::optional<HeldShaftMeasurement>> offTimes(std::span<const HeldMachine> machines,
                                                          const Circuit& circuit,
                                                          SimulatorPool& pool);
std::optional<HeldShaftMeasurement> offTime(const Case& input, const Circuit& circuit,
                                            const EquivalentCircuit& motor, SimulatorPool& pool);

}  // namespace splitstart
