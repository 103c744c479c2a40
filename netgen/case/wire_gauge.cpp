#include "case/wire_gauge.h"

#include <charconv>
#include <cmath>
#include <numbers>
#include <stdexcept>
#include <string>

namespace splitstart
{

double awgArea_m2(std::string_view gauge)
{
    constexpr double inch_m = 0.0254;
    const bool aughts = gauge.ends_with("/0");
    const std::string_view digits = aughts ? gauge.substr(0, gauge.size() - 2) : gauge;
    int number = 0;
    const auto [end, error] = std::from_chars(digits.data(), digits.data() + digits.size(), number);
    const bool whole = error == std::errc{} && end == digits.data() + digits.size();
    if (!whole || number < 1 || number > (aughts ? 4 : 40)) {
        throw std::invalid_argument("no wire gauge: " + std::string(gauge));
    }
    const int n = aughts ? 1 - number : number;
    const double diameter_m = 0.005 * inch_m * std::pow(92.0, (36 - n) / 39.0);
    return std::numbers::pi / 4 * diameter_m * diameter_m;
}

}  // namespace splitstart
