// What the fuzzers run, and the unit test on everything that they found.
#pragma once

#include <cstdint>
#include <span>

namespace splitstart::fuzz
{

using Bytes = std::span<const std::uint8_t>;

// Each throws std::logic_error (or whatever ought not to be thrown) when a property is broken.
// True where the input was taken, false where it was refused in good order.

// The bytes as a case file: it is read, or refused with an InputError that a terminal can show. One
// that is read makes a circuit, or is refused; what the readings say is worked out.
bool tryCase(Bytes bytes);

// As a parts file.
bool tryParts(Bytes bytes);

// The first byte chooses a standard circuit, each line after it is a wire as found there: what is
// wrong, the fewest moves, and the deck of what can be simulated.
bool tryWires(Bytes bytes);

// As choices of a valid case with a motor: every deck of it is whole, is the same but for comments
// with harmless names, and is one that the session takes.
bool tryNetlist(Bytes bytes);

}  // namespace splitstart::fuzz
