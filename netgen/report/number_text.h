// Numbers as people read them.
#pragma once

#include <fmt/format.h>

#include <cmath>
#include <string>
#include <string_view>

#include "case/quantity.h"

namespace splitstart
{

// Three significant digits without exponent: "0.752", "13.4", "261".
inline std::string shortNumber(double value)
{
    if (value == 0) {
        return "0";
    }
    const double magnitude = std::abs(value);
    const int decimals = magnitude >= 99.95
                             ? 0
                             : std::max(0, 2 - static_cast<int>(std::floor(std::log10(magnitude))));
    return fmt::format("{:.{}f}", value, std::min(decimals, 4));
}

// "13.4 V"; without a unit "0.75", "2".
inline std::string withUnit(double value, std::string_view unit)
{
    if (unit.empty()) {
        // Counts read better as whole numbers.
        const bool whole = value == std::floor(value) && std::abs(value) < 1e6;
        return whole ? fmt::format("{:.0f}", value) : shortNumber(value);
    }
    return fmt::format("{} {}", shortNumber(value), unit);
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
