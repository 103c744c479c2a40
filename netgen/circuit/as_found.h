// The circuit as somebody found it wired.
#pragma once

#include "case/case.h"
#include "circuit/circuit.h"

namespace splitstart
{

// The parts of `wanted` with the wires that were found, in their order; the case of letters does
// not matter, names are spelt as the circuit spells them. Throws InputError with every wire that
// cannot be, each with its line: a part that the circuit does not have, a terminal that the part
// does not have, a wire from a terminal to itself, a wire listed twice (either way round).
Circuit asFoundCircuit(const Circuit& wanted, const FoundWiring& found);

}  // namespace splitstart
