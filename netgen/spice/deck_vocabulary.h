// Which cards, elements and options a deck of this program may hold; see deck_check.h.
#pragma once

#include <cstddef>
#include <set>
#include <string_view>

namespace splitstart
{

// All but .end.
const std::set<std::string_view>& deckCards();

// Cards without expressions.
bool holdsNamesAndNumbersOnly(std::string_view card);

const std::set<std::string_view>& numericalOptions();

// Fewest fields of an element, its name included; 0: no element of this program. ngspice takes a
// missing node for one with an empty name, and runs on.
std::size_t fewestFields(char letter);

bool isRandomFunction(std::string_view word);

}  // namespace splitstart
