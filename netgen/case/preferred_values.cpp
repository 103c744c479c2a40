#include "case/preferred_values.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "case/number.h"

namespace splitstart
{

namespace
{

constexpr double micro = 1e-6;

// Lower ends in microfarads.
constexpr std::array startMinima_uF = {
    21.0,  25.0,  30.0,  36.0,  43.0,  53.0,  64.0,  72.0,  88.0,   108.0,  124.0, 130.0,
    145.0, 161.0, 189.0, 216.0, 233.0, 243.0, 270.0, 324.0, 340.0,  378.0,  400.0, 430.0,
    460.0, 540.0, 590.0, 645.0, 800.0, 815.0, 829.0, 850.0, 1000.0, 1020.0, 1280.0};
constexpr std::array startVolts_V = {110.0, 115.0, 125.0, 165.0, 220.0, 250.0, 330.0};

// How far one range is from another, as a ratio.
double distance(const Range& a, const Range& b)
{
    return std::max(std::abs(std::log(a.minimum / b.minimum)),
                    std::abs(std::log(a.maximum / b.maximum)));
}

}  // namespace

std::span<const Range> preferredStartRanges_F()
{
    static const std::vector<Range> ranges = [] {
        std::vector<Range> result;
        result.reserve(startMinima_uF.size());
        for (const double minimum_uF : startMinima_uF) {
            result.push_back({minimum_uF * micro, std::round(1.2 * minimum_uF) * micro});
        }
        return result;
    }();
    return ranges;
}

std::span<const double> preferredStartVolts_V()
{
    return startVolts_V;
}

bool isPrintedAs(const Range& label_F, const Range& printed_F)
{
    constexpr double rounding = 0.02;
    return distance(label_F, printed_F) <= rounding;
}

std::optional<Range> nearestPreferredStartRange_F(const Range& printed_F)
{
    const std::span<const Range> ranges = preferredStartRanges_F();
    const Range nearest = *std::min_element(
        ranges.begin(), ranges.end(), [&printed_F](const Range& a, const Range& b) {
            return distance(a, printed_F) < distance(b, printed_F);
        });
    return isPrintedAs(printed_F, nearest) ? std::nullopt : std::optional(nearest);
}

std::optional<double> lifeOfClass_h(char letter)
{
    switch (letter) {
        case 'A':
            return 30000;
        case 'B':
            return 10000;
        case 'C':
            return 3000;
        case 'D':
            return 1000;
        default:
            return std::nullopt;
    }
}

namespace
{

// The numbers of one decade, 100 to 999, of a series with that many.
std::vector<int> decadeOf(int count)
{
    static constexpr std::array<int, 24> e24 = {100, 110, 120, 130, 150, 160, 180, 200,
                                                220, 240, 270, 300, 330, 360, 390, 430,
                                                470, 510, 560, 620, 680, 750, 820, 910};
    std::vector<int> decade;
    for (int i = 0; i < count; ++i) {
        if (count <= 24) {
            decade.push_back(e24[static_cast<std::size_t>(i * 24 / count)]);
        } else {
            const int rounded =
                static_cast<int>(std::lround(100 * std::pow(10.0, static_cast<double>(i) / count)));
            decade.push_back(rounded == 919 ? 920 : rounded);
        }
    }
    return decade;
}

}  // namespace

std::vector<double> preferredValues(std::string_view series, double least, double most)
{
    static constexpr std::array<std::pair<std::string_view, int>, 7> counts = {
        {{"E3", 3}, {"E6", 6}, {"E12", 12}, {"E24", 24}, {"E48", 48}, {"E96", 96}, {"E192", 192}}};
    const auto* const known = std::find_if(
        counts.begin(), counts.end(), [series](const auto& row) { return row.first == series; });
    if (known == counts.end() || !(least > 0) || !std::isfinite(most) || most < least) {
        return {};
    }
    const std::vector<int> decade = decadeOf(known->second);
    std::vector<double> values;
    const int first = static_cast<int>(std::floor(std::log10(least))) - 1;
    const int last = static_cast<int>(std::ceil(std::log10(most))) + 1;
    for (int power = first; power <= last; ++power) {
        for (const int number : decade) {
            // As decimal text, so that 4.7 is the number that people write.
            const std::optional<double> value = parseNumber(std::to_string(number), power - 2);
            if (value && *value >= least && *value <= most) {
                values.push_back(*value);
            }
        }
    }
    return values;
}

}  // namespace splitstart
