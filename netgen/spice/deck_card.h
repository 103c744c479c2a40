// One card of a deck (a line with its continuation lines) taken apart.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace splitstart
{

struct DeckCard {
    std::size_t number = 0;           // of its first line in the deck, 1 = the title
    std::string text;                 // lower case, continuation lines joined
    std::vector<std::string> fields;  // see cardFields
};

// The fields of a card, at blanks and commas outside brackets and quotes; `name = value` is one
// field, "name=value".
std::vector<std::string> cardFields(std::string_view text);

// Whether ( ) and { } are closed in the order in which they are opened, and quotes at all.
bool hasBalancedBrackets(std::string_view text);

// The words that begin with a letter or `_`: [a-z_][a-z0-9_]*, as views into `text`.
std::vector<std::string_view> identifiers(std::string_view text);

}  // namespace splitstart
