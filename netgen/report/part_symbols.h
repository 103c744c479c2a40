// One part of a wiring drawing: its box, heading, terminals, and what is inside. Internal to the
// wiring drawing.
#pragma once

#include <pugixml.hpp>
#include <set>
#include <string>

#include "report/drawing_layout.h"

namespace splitstart
{

// Adds a line of text. `anchor` is SVG's: "start", "middle" or "end" of the line is at x.
pugi::xml_node addText(pugi::xml_node parent, double x, double y, const std::string& text,
                       const char* anchor = "start");

// Adds a filled dot.
pugi::xml_node addDot(pugi::xml_node parent, const GridPoint& at);

// Adds the part to the drawing. Terminals in `wired` (as "relay.2") get a filled dot, the others an
// open one.
void addPart(pugi::xml_node parent, const PlacedPart& part, const DrawingText& text,
             const std::set<std::string>& wired);

}  // namespace splitstart
