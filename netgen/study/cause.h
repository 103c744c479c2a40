// What can be wrong with a start circuit, one thing at a time.
#pragma once

#include <functional>
#include <map>
#include <set>
#include <string>
#include <vector>

#include "case/case.h"
#include "case/symptom.h"
#include "circuit/circuit.h"
#include "circuit/simulation_model.h"

namespace splitstart
{

// A machine with its start circuit, ready to be simulated.
struct MachineSetup {
    Case input;
    Circuit circuit;  // with the wires as they lie
    EquivalentCircuit motor;
    double ratedTorque_Nm = 0;
    Corner corner;
    RunSetting setting;
    // The pins on which the wires meant for C and S lie (WireMistake).
    std::string commonLeadOn = "C";
    std::string startLeadOn = "S";
    bool grounded = false;               // a winding touches the shell
    bool lowSupply = false;              // less than nine tenths of what it should be
    std::set<std::string> openParts;     // ids of parts that conduct nowhere
    std::set<std::string> shortedParts;  // of those bridged inside, beside wires in `circuit`
};

enum class CauseKind {
    nothing,  // all as it should be
    wiring,
    startDevice,
    startCapacitor,
    runCapacitor,
    load,
    supply,
    motor,
    protector,
    feed,  // thermostat, contactor
    fan,
};

struct Cause {
    CauseKind kind = CauseKind::nothing;
    std::string what;  // "the start capacitor is open", without a full stop
    std::string cure;  // how to make sure of it with the supply locked out, and what to do
    std::vector<std::string> alsoBy = {};  // other slips that make the same wiring
    double weight = 0;                     // its share of all causes before anything was observed
    std::function<void(MachineSetup&)> put = {};  // into a sound setup
    // Of slips of wiring: the same text, the same connections (connectionText()).
    std::string connections = {};
};

// Nothing wrong; every single mistake of wiring (wire_mistakes.h), of wires listed as found only
// that one is loose or broken, which nobody sees; every fault of every part in the circuit. Weights
// sum to 1. How often which part fails is assumed, no source: start devices and wiring most, then
// capacitors, the pump's load, supply, and the rest; alike within each of them.
std::vector<Cause> possibleCauses(const Case& input, const Circuit& circuit);

// Faults of the parts alone. Internal to study/.
std::vector<Cause> partFaults(const Case& input, const Circuit& circuit);

}  // namespace splitstart
