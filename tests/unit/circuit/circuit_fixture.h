// Circuits written down in a few lines, and their nets as texts, for the tests of this folder.
#pragma once

#include <algorithm>
#include <set>
#include <stdexcept>
#include <string>
#include <string_view>

#include "case/embedded_files.h"
#include "circuit/circuit.h"

namespace splitstart
{

inline Terminal terminalOf(std::string_view text)
{
    const std::size_t dot = text.find('.');
    return {std::string(text.substr(0, dot)), std::string(text.substr(dot + 1))};
}

// All terminals connected with that one, itself included, as "relay.2".
inline std::set<std::string> netOf(const Circuit& circuit, std::string_view terminal)
{
    const Nets nets(circuit);
    std::set<std::string> texts;
    for (const Terminal& each : nets.all().at(nets.of(terminalOf(terminal)))) {
        texts.insert(terminalText(each));
    }
    return texts;
}

inline bool connected(const Circuit& circuit, std::string_view a, std::string_view b)
{
    return netOf(circuit, a).contains(std::string(b));
}

// The circuit of netgen/circuit/standard/NAME.xml; throws std::out_of_range if there is none.
inline Circuit standardCircuit(const std::string& name)
{
    for (const EmbeddedFile& file : embeddedFiles()) {
        if (file.name == name + ".xml") {
            return parseCircuit(file.text, file.name);
        }
    }
    throw std::out_of_range(name);
}

inline Circuit withoutWire(Circuit circuit, std::size_t index)
{
    circuit.wires.erase(circuit.wires.begin() + static_cast<std::ptrdiff_t>(index));
    return circuit;
}

// Without the wire between those two; throws std::out_of_range if there is none.
inline Circuit withoutWire(const Circuit& circuit, std::string_view from, std::string_view to)
{
    for (std::size_t i = 0; i < circuit.wires.size(); ++i) {
        if (circuit.wires[i].from == terminalOf(from) && circuit.wires[i].to == terminalOf(to)) {
            return withoutWire(circuit, i);
        }
    }
    throw std::out_of_range("no such wire");
}

inline Circuit withWire(Circuit circuit, std::string_view from, std::string_view to)
{
    circuit.wires.push_back({terminalOf(from), terminalOf(to)});
    return circuit;
}

}  // namespace splitstart
