// Every way in which one slip of the hand miswires a circuit.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "circuit/circuit.h"

namespace splitstart
{

enum class WireMistakeKind {
    exchangedPins,       // the wires of C, S and R on other pins than theirs
    exchangedTerminals,  // all that is on two terminals of another part, exchanged
    movedEnd,            // one end of a wire on another terminal
    exchangedEnds,       // two wire ends exchanged
    missingWire,
    extraWire,
};

// One slip, without a full stop, by terminals' names: "the wire from relay.5 is on compressor.R in
// place of compressor.C".
struct MistakeWay {
    WireMistakeKind kind = WireMistakeKind::movedEnd;
    std::string text;
};

// A wire that carries nothing, since it is missing or loose.
constexpr std::string_view leadOff = "off";

// A wiring that single mistakes lead to.
struct WireMistake {
    Circuit circuit;               // as it is wired then
    std::vector<MistakeWay> ways;  // the mistakes that lead to it, one at least
    // The pins on which the wires meant for C and S lie, and nothing else: leadOff where
    // they are missing, empty where they lie on no pin or share it with another wire, so that
    // their amps are not those of a pin.
    std::string commonLeadOn = "C";
    std::string startLeadOn = "S";
};

// A text that is the same for two circuits of the same parts only if their connections are the
// same, up to terminals that are alike (PartKindInfo::alike, as in sameConnections()).
// Two circuits that are the same may now and then have different texts. Throws std::out_of_range
// if a wire ends on a terminal that is not there.
std::string connectionText(const Circuit& circuit);

// All single mistakes that change a connection: the five other ways of landing the wires of C, S
// and R; all wires of two terminals of a part exchanged; each wire end on each other terminal; each
// two wire ends exchanged; each wire missing; one more wire between any two points. Mistakes that
// lead to the same connections are one if the wires meant for C and S are on the same pins. Tie
// posts are not among the terminals that a wire lands on by mistake. `circuit` needs a compressor.
std::vector<WireMistake> wireMistakes(const Circuit& circuit);

}  // namespace splitstart
