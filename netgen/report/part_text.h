// Parts and terminals as people read them.
#pragma once

#include <map>
#include <string>

#include "case/case.h"
#include "circuit/circuit.h"

namespace splitstart
{

// What the label says, in one line: "88 to 108 uF, 330 V, bleed resistor 15 kohm".
std::string ratingText(const PartData& data);

// The same in a few words, for the part's place in a drawing: "130 to 156 uF, 330 V".
std::string labelText(const PartData& data);

// "start capacitor" for the id "start-capacitor".
std::string partWords(const std::string& id);

// "relay 2"; of the compressor, where its pins C, S, R have names of their own in `pins`,
// "compressor S (pin B)".
std::string terminalWords(const Terminal& terminal, const std::map<std::string, std::string>& pins);

}  // namespace splitstart
