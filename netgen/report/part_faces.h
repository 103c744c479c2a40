// How a kind of part may be drawn: on which side each terminal is, in which row, and what is shown
// inside. Internal to the wiring drawing.
#pragma once

#include <string_view>
#include <vector>

#include "circuit/circuit.h"

namespace splitstart
{

enum class Side { left, right };

struct TerminalSpot {
    std::string_view name;
    Side side = Side::left;
    int row = 0;  // from the top
};

// All terminals of a part, no two of them in one row of one side.
using Face = std::vector<TerminalSpot>;

// Every way in which the kind may be drawn, the usual one first.
const std::vector<Face>& facesOf(PartKind kind);

const TerminalSpot& spotOf(const Face& face, std::string_view terminal);

enum class Symbol { coil, closedContact, openContact, capacitor, ptc, motor, timer, source };

// A symbol between two terminals.
struct Inside {
    Symbol symbol = Symbol::coil;
    std::string_view from;
    std::string_view to;
};

// What is between the terminals of a kind. Empty for the compressor, whose windings are drawn
// apart.
const std::vector<Inside>& insideOf(PartKind kind);

}  // namespace splitstart
