// What an ohmmeter reads between two points of a circuit at rest: no supply, capacitors discharged,
// contacts as they lie.
#pragma once

#include <vector>

#include "case/case.h"
#include "circuit/circuit.h"

namespace splitstart
{

// Ohms of the two windings as they are now.
struct WindingOhms {
    double run_ohm = 0;    // C-R, above 0
    double start_ohm = 0;  // C-S, above 0
};

// A way for direct current inside a part.
struct OhmBranch {
    Terminal a;
    Terminal b;
    double ohm = 0;
};

// Windings, contacts closed at rest, relay coils, bleed resistors and cold PTCs of the circuit.
// Capacitors block direct current. Ohms of fans and of the electronics in a timed switch are not
// known: they count as open.
std::vector<OhmBranch> branchesAtRest(const Case& input, const Circuit& circuit,
                                      const WindingOhms& windings);

// Ohms between the two terminals through wires and branches; infinity where nothing conducts, 0
// where wires alone do. By Kirchhoff's laws (nodal analysis, any textbook). Throws
// std::out_of_range if the circuit has no such terminal.
double ohmsBetween(const Circuit& circuit, const std::vector<OhmBranch>& branches,
                   const Terminal& a, const Terminal& b);

}  // namespace splitstart
