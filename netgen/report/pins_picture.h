// The three pins as the readings or the diagram name them.
#pragma once

#include <map>
#include <pugixml.hpp>
#include <string>

#include "motor/identify.h"

namespace splitstart
{

// Adds an <svg>: C, S and R with the person's own names of the pins, and the ohms of the windings
// where they were read. `pins`: "C" -> "A". Not a map of where the pins sit.
void addPinsPicture(pugi::xml_node parent, const std::map<std::string, std::string>& pins,
                    const std::optional<Identification>& identification);

}  // namespace splitstart
