// Numbers as people read them.
#pragma once

#include <fmt/format.h>

#include <cmath>
#include <string>
#include <string_view>

#include "case/quantity.h"

namespace splitstart
{

// Significant digits without exponent, three unless more are asked for: "0.752", "13.4", "261".
// What rounds to nought is "0", whatever its sign.
inline std::string shortNumber(double value, int digits = 3)
{
    constexpr int usual = 3;
    constexpr int mostDecimals = 4;
    const double magnitude = std::abs(value);
    if (magnitude < 0.5 * std::pow(10.0, -(mostDecimals + digits - usual))) {
        return "0";
    }
    // 99.95 is printed as 100 already.
    const double rounded = magnitude / (1 - 0.5 * std::pow(10.0, -digits));
    const int decimals =
        std::max(0, digits - 1 - static_cast<int>(std::floor(std::log10(rounded))));
    return fmt::format("{:.{}f}", value, std::min(decimals, mostDecimals + digits - usual));
}

// "13.4 V"; without a unit "0.75", "2".
inline std::string withUnit(double value, std::string_view unit, int digits = 3)
{
    if (unit.empty()) {
        // Counts read better as whole numbers.
        const bool whole = value == std::floor(value) && std::abs(value) < 1e6;
        return whole ? fmt::format("{:.0f}", value) : shortNumber(value, digits);
    }
    return fmt::format("{} {}", shortNumber(value, digits), unit);
}

// The digits that it takes to tell two numbers apart: three, or as many more as are needed.
inline int digitsToTell(double a, double b)
{
    constexpr int most = 7;
    int digits = 3;
    while (a != b && digits < most && shortNumber(a, digits) == shortNumber(b, digits)) {
        ++digits;
    }
    return digits;
}

// "1.22 (estimated, give or take 12 %)"
inline std::string withProvenance(const Quantity& quantity, std::string_view unit)
{
    const std::string accuracy =
        quantity.accuracy_ratio > 0
            ? fmt::format(", give or take {} %", shortNumber(quantity.accuracy_ratio * 100))
            : "";
    return fmt::format("{} ({}{})", withUnit(quantity.value, unit), originName(quantity.origin),
                       accuracy);
}

}  // namespace splitstart
