// What is wrong with a list of wires before anything is simulated: graphs alone, no volts and amps.
#pragma once

#include <set>
#include <string>
#include <vector>

#include "circuit/circuit.h"

namespace splitstart
{

enum class WiringFaultKind {
    deadShort,                  // line to line through wires alone
    shortThroughClosedContact,  // through contacts, protector or coil that are closed at rest
    shortedPart,                // both ends of a winding, capacitor, coil or contact are joined
    deadCompressor,             // no current can flow in any of its windings
    deadWinding,                // the supply can drive none through one of its windings
    isolatedPart,               // no way from the supply to it
    deadPart,                   // on the supply, but in no closed path
    floatingTerminal,           // no wire reaches it, or none that comes from another part
    looseWireEnd,               // a wire that ends on a tie post where no other is
};

struct WiringFault {
    WiringFaultKind kind = WiringFaultKind::deadShort;
    // The terminals in question; of a short through contacts, both ends of each contact in the
    // order from L1 to L2.
    std::vector<Terminal> terminals;
    std::string finding;  // what it is, without a full stop: "no wire reaches relay.5 of the ..."
    std::string meaning;  // one or two sentences: what would happen with power on, what to do
};

// The worst first. Empty for every sound circuit. Beside a short nothing is said about what no
// current reaches. Throws std::out_of_range if a wire ends on a terminal that is not there.
std::vector<WiringFault> wiringFaults(const Circuit& circuit);

// The circuit without those parts; what the wires on them joined stays joined, by wires of another
// route.
Circuit withPartsDead(const Circuit& circuit, const std::set<std::string>& ids);

// A circuit without what a simulator stumbles over.
struct SimulableCircuit {
    Circuit circuit;
    std::vector<std::string> leftOut;  // ids of parts that are not in it: no current can flow there
    // Wires to the supply added to what has no way to it and could not be left out (the compressor,
    // or one half of a part): a single wire carries no current, but gives it a potential.
    std::vector<Wire> tiedDown;
};

// The same connections between the parts that remain; the wires' routes are kept if all remain.
// Supply and compressor always do. Throws std::invalid_argument if there is no supply. A dead short
// is not healed: ask wiringFaults() first. `keepDeadEnds`: parts that lead from the supply to
// nowhere stay, so that their far ends have the volts that a meter would find there.
SimulableCircuit simulable(const Circuit& circuit, bool keepDeadEnds = false);

}  // namespace splitstart
