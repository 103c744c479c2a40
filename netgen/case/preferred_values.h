// The values that start and run capacitors are made in.
#pragma once

#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "case/parts.h"

namespace splitstart
{

// Ranges printed on electrolytic start capacitors, in farads; the upper end is 1.2 times the lower,
// rounded to a microfarad. As several makers print them; 25-30 and 53-64 uF are from memory.
// EIA-463 and IEC 60252-2 are named beside such lists, but their own text could not be read.
std::span<const Range> preferredStartRanges_F();

// Rated volts of electrolytic start capacitors, as makers print them.
std::span<const double> preferredStartVolts_V();

// Whether a label's range is that one: each end within 2 %, since printers round differently.
bool isPrintedAs(const Range& label_F, const Range& printed_F);

// The nearest of those ranges where a label's range is none of them; empty where it is one. A range
// that lies far off is most likely misread.
std::optional<Range> nearestPreferredStartRange_F(const Range& printed_F);

// Hours of life at rated volts of a class of operation of IEC 60252-1: A 30000, B 10000, C 3000, D
// 1000 (as makers print them; the standard's own text could not be read). Empty for another letter.
std::optional<double> lifeOfClass_h(char letter);

// The preferred numbers of a series of IEC 60063, E3 to E192 ("E12"), from `least` to `most`, both
// allowed, rising; empty for another series and where least is not above 0. E3 to E24 are a table,
// E48 to E192 rounded powers of ten, but for 9.20 of E192 (from memory).
std::vector<double> preferredValues(std::string_view series, double least, double most);

}  // namespace splitstart
