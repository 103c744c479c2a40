// The subcircuits of models/, as compiled into the library: text, ports and parameters.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace splitstart
{

struct Subcircuit {
    std::string name;
    std::vector<std::string> ports;       // in the order of the .subckt line
    std::vector<std::string> parameters;  // likewise
    std::vector<std::string> needs;       // other subcircuits that it uses
    std::string text;                     // from .subckt to .ends, without comment lines
};

// The subcircuit of that name. Throws std::out_of_range: a name that is not in models/ is a
// programming error, not bad input.
const Subcircuit& subcircuit(std::string_view name);

// Reads one model file: the .subckt line with its continuation lines, and every subcircuit that
// the X lines inside use. Throws std::invalid_argument if there is not exactly one whole
// subcircuit, or anything but comments outside it.
Subcircuit parseSubcircuit(std::string_view fileText);

}  // namespace splitstart
