#include "case/number.h"

#include <fmt/format.h>

#include <array>
#include <charconv>
#include <cmath>
#include <system_error>

#include "case/text.h"

namespace splitstart
{

namespace
{

bool isDigit(char letter)
{
    return letter >= '0' && letter <= '9';
}

// Whether from_chars would be reading a decimal number and not "inf" or "nan".
bool startsLikeNumber(std::string_view text)
{
    if (text.starts_with('-')) {
        text.remove_prefix(1);
    }
    return !text.empty() && (isDigit(text.front()) || text.front() == '.');
}

std::optional<double> wholeNumberText(std::string_view text)
{
    double value = 0;
    const char* const end = text.data() + text.size();
    const auto [stop, error] = std::from_chars(text.data(), end, value);
    if (error != std::errc() || stop != end) {
        return std::nullopt;
    }
    const int kind = std::fpclassify(value);
    if (kind == FP_ZERO) {
        return 0.0;
    }
    return kind == FP_NORMAL ? std::optional<double>(value) : std::nullopt;
}

// The text behind the longest number at its beginning; empty when it does not begin with one.
std::string_view behindNumber(std::string_view text)
{
    if (!startsLikeNumber(text)) {
        return {};
    }
    double value = 0;
    const auto result = std::from_chars(text.data(), text.data() + text.size(), value);
    return text.substr(static_cast<std::size_t>(result.ptr - text.data()));
}

bool looksLikeUnit(std::string_view rest)
{
    while (rest.starts_with(' ')) {
        rest.remove_prefix(1);
    }
    if (rest.empty() || rest.find_first_of("0123456789.,<>=") != std::string_view::npos) {
        return false;
    }
    return rest.size() <= 20 && !hasControl(rest);
}

bool hasSeparator(std::string_view text)
{
    for (std::size_t i = 1; i + 1 < text.size(); ++i) {
        const bool separator = text[i] == ',' || text[i] == ' ' || text[i] == '\'';
        if (separator && isDigit(text[i - 1]) && isDigit(text[i + 1])) {
            return true;
        }
    }
    return false;
}

}  // namespace

std::optional<double> parseNumber(std::string_view text, int powerOfTen)
{
    constexpr std::size_t longest = 64;
    if (text.size() > longest || !startsLikeNumber(text)) {
        return std::nullopt;
    }
    const std::optional<double> plain = wholeNumberText(text);
    if (!plain || *plain == 0.0 || powerOfTen == 0) {
        return plain;
    }
    // Shift the exponent in the text, so that the number is rounded once and not twice.
    const std::size_t mark = text.find_first_of("eE");
    int exponent = 0;
    if (mark != std::string_view::npos) {
        std::string_view digits = text.substr(mark + 1);
        if (digits.starts_with('+')) {
            digits.remove_prefix(1);
        }
        std::from_chars(digits.data(), digits.data() + digits.size(), exponent);
    }
    return wholeNumberText(fmt::format("{}e{}", text.substr(0, mark), exponent + powerOfTen));
}

std::string_view numberHint(std::string_view text)
{
    if (text.empty()) {
        return {};
    }
    if (isBlank(firstCodePoint(text).value) || text.ends_with(' ')) {
        return "Leave out the blanks.";
    }
    if (text.starts_with('+')) {
        return "Leave out the plus sign.";
    }
    if (hasSeparator(text)) {
        return "Write decimals with a point, and nothing between thousands.";
    }
    if (looksLikeUnit(behindNumber(text))) {
        return "Write the number alone; the unit is in the name.";
    }
    return {};
}

std::string plainNumber(double value)
{
    std::array<char, 400> buffer{};  // the longest double in fixed form has fewer characters
    const auto result = std::to_chars(buffer.data(), buffer.data() + buffer.size(), value,
                                      std::chars_format::fixed);
    return {buffer.data(), result.ptr};
}

}  // namespace splitstart
