// The wiring of a circuit as a drawing.
#pragma once

#include <map>
#include <string>

#include "circuit/circuit.h"

namespace splitstart
{

// What is written beside the drawing's parts.
struct DrawingText {
    std::string title;                           // case name; may be empty
    bool invented = false;                       // "invented demo data" is shown
    std::map<std::string, std::string> ratings;  // by part id: "143 uF, 330 V"
    // The compressor's pins by the person's own names: "C" -> "A". May be empty.
    std::map<std::string, std::string> pins;
};

// The circuit as an SVG document that needs nothing else: its parts with their terminals, and every
// wire of the list, whatever the list says, so that a circuit wired wrongly is drawn as it is. The
// same circuit and text always give the same document. Lengths are user units; the smallest letters
// have 14 of them, at a width of about 900.
//
// For whoever reads the document: a part's box is a rect with data-part, a terminal's dot a circle
// with data-terminal="relay.2", a wire a path with data-from and data-to, whose ends are the two
// terminals' dots. Wires of one point share a line where they can, and a dot marks where they part.
//
// Control characters in a text are left out, and a long text is cut. Throws std::out_of_range if a
// wire ends at a terminal that no part has, std::invalid_argument if two parts have one id,
// std::runtime_error if the wires find no room on a page of any size tried.
std::string wiringDrawing(const Circuit& circuit, const DrawingText& text);

}  // namespace splitstart
