// Versions of the program and of the ngspice that it uses.
#pragma once

#include <string>

namespace splitstart
{

// "splitstart 0.1.0, ngspice 39"; where ngspice is missing it says so.
std::string versionText();

}  // namespace splitstart
