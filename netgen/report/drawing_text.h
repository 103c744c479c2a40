// The texts of a wiring drawing: cleaned, cut and broken into lines. Internal to the wiring
// drawing.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "circuit/circuit.h"
#include "report/wiring_drawing.h"

namespace splitstart
{

constexpr int fontSize = 14;
constexpr int lineHeight = 17;
// How wide a letter is taken to be, over its height.
constexpr double letterWidth_ratio = 0.6;

struct HeadingLine {
    std::string text;
    bool isBold = false;
};

// Without control characters and bytes that are not UTF-8, and cut to that many characters.
std::string drawnText(std::string_view text, std::size_t longest);

// Broken at blanks, but not between a number and its unit, into lines of at most that many
// characters; longer words are broken too.
std::vector<std::string> brokenIntoLines(std::string_view text, std::size_t longest);

// What is written at the top of a part's box: its kind, its id if the kind does not tell it, its
// rating.
std::vector<HeadingLine> headingOf(const CircuitPart& part, const DrawingText& text,
                                   std::size_t lettersInLine);

// About, in user units.
double widthOf(const std::vector<HeadingLine>& heading);

}  // namespace splitstart
