// What must hold of every deck, whatever somebody wrote into the case that it was made of.
#pragma once

#include <string>

namespace splitstart::fuzz
{

// Each throws std::logic_error with what is broken and the line in which it is.

// Comment lines are plain text that no program takes for an order; a subcircuit stands for each X
// line; each name in braces is a parameter that is defined where it is used.
void requireWhole(const std::string& deck);

// Both decks are the same but for their comment lines.
void requireSameButComments(const std::string& deck, const std::string& other);

}  // namespace splitstart::fuzz
