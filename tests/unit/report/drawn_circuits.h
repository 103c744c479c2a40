// Circuits to draw, sound and miswired, for tests of the wiring drawing.
#pragma once

#include <string>
#include <vector>

#include "circuit/circuit.h"
#include "report/wiring_drawing.h"

namespace splitstart
{

struct NamedCircuit {
    std::string name;
    Circuit circuit;
};

// The standard circuits whole, and without what a case may leave out.
std::vector<NamedCircuit> standardVariants();

// As found by people who make mistakes: a few wire ends on wrong terminals, or all of them; every
// kind of part in one circuit; parts without wires.
std::vector<NamedCircuit> miswired();

std::vector<Terminal> terminalsOf(const Circuit& circuit);

// As much text as a case is likely to bring.
DrawingText usualText(const Circuit& circuit);

}  // namespace splitstart
