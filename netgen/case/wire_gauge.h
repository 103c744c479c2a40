// American wire gauge.
#pragma once

#include <string_view>

namespace splitstart
{

// Cross section of a solid conductor of that gauge: "14", "1/0" to "4/0". ASTM B258: the diameter
// is 0.005 in * 92^((36 - n) / 39), n = 0 for 1/0, -1 for 2/0 and so on (formula from memory).
// Throws std::invalid_argument for any other text.
double awgArea_m2(std::string_view gauge);

}  // namespace splitstart
