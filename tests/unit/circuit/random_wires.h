// Wires at random, for what must hold of any wiring.
#pragma once

#include <random>
#include <vector>

#include "circuit/circuit.h"

namespace splitstart
{

// The same parts with up to as many wires as there are terminals, each from any to any other.
inline Circuit randomlyWired(const Circuit& parts, std::mt19937& random)
{
    std::vector<Terminal> terminals;
    const Nets nets(parts);
    for (const std::vector<Terminal>& net : nets.all()) {
        terminals.insert(terminals.end(), net.begin(), net.end());
    }
    std::uniform_int_distribution<std::size_t> any(0, terminals.size() - 1);
    Circuit wired = parts;
    wired.wires.clear();
    for (std::size_t i = any(random); i > 0; --i) {
        const Wire wire{terminals[any(random)], terminals[any(random)]};
        if (wire.from != wire.to) {
            wired.wires.push_back(wire);
        }
    }
    return wired;
}

}  // namespace splitstart
