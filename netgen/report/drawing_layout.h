// Where each part of a wiring drawing stands, before any wire is drawn. Internal to the wiring
// drawing.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "circuit/circuit.h"
#include "report/drawing_text.h"
#include "report/part_faces.h"
#include "report/wire_router.h"
#include "report/wiring_drawing.h"

namespace splitstart
{

// Every terminal and every corner of a box is on a multiple of this many user units.
constexpr int gridStep = 10;

struct PlacedPart {
    const CircuitPart* part = nullptr;
    Face face;
    std::vector<HeadingLine> heading;
    int column = 0;
    int left = 0;
    int top = 0;
    int width = 0;
    int height = 0;
    std::vector<int> rows;  // y of each row of terminals

    [[nodiscard]] GridPoint dotOf(std::string_view terminal) const;
};

struct DrawingLayout {
    std::vector<PlacedPart> parts;  // in the circuit's order
    int width = 0;
    int height = 0;
};

// Parts in columns from the supply on the left to the compressor on the right, in the order and
// with the faces that make the wires short. Points to the circuit's parts. `roominess` from 0
// widens the ways between the parts.
DrawingLayout arrangeParts(const Circuit& circuit, const DrawingText& text, int roominess);

}  // namespace splitstart
