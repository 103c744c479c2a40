// A wire as somebody found it, from a file or from an option.
#pragma once

#include <string_view>

#include "case/case.h"

namespace splitstart
{

// "part.terminal": at most 60 printable characters without blanks, one point with something on
// either side of it. Which parts and terminals there are depends on the circuit.
bool isWireEnd(std::string_view text);

// "relay.2=compressor.S" as on a command line; the place of the wire is "--wire
// relay.2=compressor.S", line 0. Throws std::invalid_argument with one line, the text quoted
// safely, unless it is two wire ends with one equals sign between.
FoundWire parseFoundWire(std::string_view text);

}  // namespace splitstart
