// Numbers as people write them in a case file, read exactly and independent of the locale.
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace splitstart
{

// The whole text as a decimal number times a power of ten, rounded once: "120" with -6 is the
// double nearest to 120e-6, which 120 * 1e-6 is not. Empty when the text is not a plain decimal
// number (blanks, a plus sign, "0x10", "nan", a unit), is longer than 64 characters, or when the
// result is not finite or so small that it loses digits (subnormal). Minus zero becomes zero.
std::optional<double> parseNumber(std::string_view text, int powerOfTen = 0);

// What to do about a text that parseNumber() refuses, as a sentence; empty when nothing better can
// be said than what is allowed.
std::string_view numberHint(std::string_view text);

// Shortest text that reads back as the same number, never with an exponent.
std::string plainNumber(double value);

}  // namespace splitstart
