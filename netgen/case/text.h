// Small helpers for text that came from a user: UTF-8, one-line messages, spelling suggestions.
#pragma once

#include <cstddef>
#include <span>
#include <string>
#include <string_view>

namespace splitstart
{

struct CodePoint {
    char32_t value = 0;      // U+FFFD when the bytes are not UTF-8
    std::size_t length = 1;  // bytes taken from the text; 1 when they are not UTF-8
    bool valid = false;
};

// First character of a text that is not empty. Only well-formed UTF-8 is valid: no overlong forms,
// no surrogates, nothing above U+10FFFF (The Unicode Standard, chapter 3, table 3-7).
CodePoint firstCodePoint(std::string_view text);

// Offset of the first byte that is not UTF-8; npos when all of it is.
std::size_t firstInvalidUtf8(std::string_view text);

// Number of characters; a byte that is not UTF-8 counts as one.
std::size_t characterCount(std::string_view text);

// Characters that would break a line, move the cursor or reorder what is shown: control characters,
// line separators, writing-direction marks, invisible fillers, noncharacters.
bool isControl(char32_t character);
bool hasControl(std::string_view text);

// Space, tab, and the blanks of Unicode's class Zs.
bool isBlank(char32_t character);

// The text on one line: control characters and invalid bytes as \xNN or \uNNNN.
std::string oneLine(std::string_view text);

// oneLine(), cut after `longest` characters with "..." in place of the rest.
std::string shortText(std::string_view text, std::size_t longest = 60);

// Without the blanks, tabs and line ends around it.
std::string_view trimmed(std::string_view text);

// A to Z as a to z, everything else as it is, whatever the locale.
std::string lowered(std::string_view text);

bool equalIgnoringCase(std::string_view a, std::string_view b);

// The candidate that a misspelt name most likely means; empty when none is near. Near: at most a
// third of the letters wrong (inserted, left out, exchanged or swapped), or the name is the
// beginning of one candidate only. Case is ignored.
std::string_view nearest(std::string_view name, std::span<const std::string_view> candidates);

// "a, b, c"
std::string joined(std::span<const std::string_view> words);

}  // namespace splitstart
