// Which changes of wires turn what was found into what is wanted. Internal to circuit/; terminals
// are numbers here, those of both circuits the same.
#pragma once

#include <cstddef>
#include <map>
#include <set>
#include <utility>
#include <vector>

#include "circuit/circuit.h"
#include "circuit/wire_changes.h"

namespace splitstart
{

struct WireBoard {
    using Pair = std::pair<std::size_t, std::size_t>;

    std::vector<Terminal> terminals;
    std::map<Terminal, std::size_t> numberOf;
    std::vector<bool> isTie;
    std::vector<Pair> found;             // the wires found
    std::set<Pair> wanted;               // the wires wanted, smaller number first
    std::vector<std::size_t> wantedNet;  // of each terminal that is no tie post
    std::size_t netCount = 0;
    // Terminals that change places together, a row each, and which of the rows are the supply's.
    std::vector<std::vector<Pair>> alike;
    std::vector<bool> alikeIsSupply;
};

// Both circuits have the same parts.
WireBoard wireBoard(const Circuit& wanted, const Circuit& found);

// The way of taking terminals that are alike for one another with which the fewest changes do.
struct WireFit {
    std::vector<std::size_t> role;   // of each terminal: the terminal of `wanted` that it is
    std::vector<std::size_t> block;  // of each terminal: the net in which it ought to be
    std::size_t changes = 0;         // fewest changes
    std::size_t notMoved = 0;        // of those: wires that are added or removed
    std::size_t exchanged = 0;       // rows of `alike` that change places
    bool linesExchanged = false;
};
WireFit bestFit(const WireBoard& board);

std::vector<WireMove> plannedMoves(const WireBoard& board, const WireFit& fit);

}  // namespace splitstart
