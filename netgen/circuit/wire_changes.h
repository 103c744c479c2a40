// Two ways of wiring the same parts, compared electrically: what differs, and the fewest changes of
// wires that turn the one into the other.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "circuit/circuit.h"

namespace splitstart
{

// Whether the same parts, by id and kind, are connected alike in both circuits, whatever the route
// of the wires. Terminals that are alike (PartKindInfo::alike) may have changed places; poles of a
// contactor only where nothing but the contactor lies on the supply, since one with a single pole
// may be meant. Tie posts count only as joins between the wires on them. Of terminals that are
// alike, twelve rows are tried; standard circuits have eleven at most.
// Throws std::out_of_range if a wire ends on a terminal that is not there.
bool sameConnections(const Circuit& a, const Circuit& b);

// Terminals that ought to be one net and are in several groups, or the other way round. Tie posts
// are not among them.
struct NetDifference {
    std::vector<std::vector<Terminal>> groups;  // two or more, none empty
};

enum class WireChange { moveEnd, add, remove };

struct WireMove {
    WireChange change = WireChange::moveEnd;
    Wire wire;           // as it lies before this move; of an added one, as it is to lie
    Terminal from = {};  // moveEnd: the end of that wire which moves
    Terminal to = {};    // moveEnd: where that end is put
};

struct WireComparison {
    std::vector<NetDifference> joined;  // joined by the wires found, and should be apart
    std::vector<NetDifference> apart;   // apart, and should be joined
    // To be made one after the other; empty where both are connected alike.
    std::vector<WireMove> moves;
    // Two of the moves, by index, that exchange two wire ends.
    std::vector<std::pair<std::size_t, std::size_t>> exchanges;
    // Right but for the supply's two lines, which have changed places: the compressor runs the
    // same, but where one of them is a neutral, contacts stand in the wrong one.
    bool linesExchanged = false;
};

// Compares what was found with what is wanted. The number of moves is the smallest that there is,
// as far as tie posts with three wires or more do not stand in between; ends are moved rather than
// wires added and removed, and they go where the wanted circuit has a wire, if that costs nothing.
// Throws std::invalid_argument unless both have the same parts, std::out_of_range as above.
WireComparison compareWiring(const Circuit& wanted, const Circuit& found);

// The circuit after these moves. Throws std::invalid_argument if one of them has no such wire.
Circuit withMoves(Circuit circuit, const std::vector<WireMove>& moves);

// One plain sentence for a move: "Take the wire that comes from relay.2 off compressor.R and put
// that end on compressor.S."
std::string moveSentence(const WireMove& move);

// For two moves that exchange two wire ends: "The wire ends on compressor.R (from relay.2) and on
// compressor.S (from thermostat.2) are exchanged: change them over."
std::string exchangeSentence(const WireMove& one, const WireMove& other);

// "Joined, but should be apart: relay.2 from compressor.C, relay.5." and "Apart, but should be
// joined: relay.5 with compressor.C, protector.3."
std::string joinedSentence(const NetDifference& difference);
std::string apartSentence(const NetDifference& difference);

}  // namespace splitstart
