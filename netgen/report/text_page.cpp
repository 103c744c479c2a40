#include "report/text_page.h"

#include <fmt/color.h>
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <sstream>
#include <vector>

namespace splitstart
{

namespace
{

std::string shaded(std::string_view text, Shade shade)
{
    switch (shade) {
        case Shade::bold:
            return fmt::format(fmt::emphasis::bold, "{}", text);
        case Shade::green:
            return fmt::format(fmt::fg(fmt::terminal_color::green), "{}", text);
        case Shade::yellow:
            return fmt::format(fmt::fg(fmt::terminal_color::yellow), "{}", text);
        case Shade::red:
            return fmt::format(fmt::emphasis::bold | fmt::fg(fmt::terminal_color::red), "{}", text);
        case Shade::plain:
            break;
    }
    return std::string(text);
}

bool isNumber(std::string_view word)
{
    const std::string_view digits = "0123456789";
    return !word.empty() && digits.find(word.back()) != std::string_view::npos &&
           word.find_first_not_of("0123456789.,-+(<>") == std::string_view::npos;
}

// Whether a word continues the unit before it, as the metre of "N m".
bool isSecondHalf(std::string_view first, std::string_view word)
{
    return (first == "N" && word == "m") || (first == "kg" && word == "m2");
}

std::string_view withoutPunctuation(std::string_view word)
{
    const std::size_t last = word.find_last_not_of(".,;:)?!");
    return last == std::string_view::npos ? std::string_view() : word.substr(0, last + 1);
}

bool isUnit(std::string_view word)
{
    static constexpr std::array<std::string_view, 24> units = {
        "%",    "V",  "A",  "W",    "VA",      "Hz", "s", "ms", "h",  "min", "ohm", "kohm",
        "Mohm", "uF", "mH", "degC", "degrees", "K",  "J", "N",  "kg", "bar", "m",   "mm2"};
    return std::find(units.begin(), units.end(), withoutPunctuation(word)) != units.end();
}

// The words of a text; a number and its unit are one, with a blank in it.
std::vector<std::string> unbreakables(std::string_view text)
{
    std::istringstream words{std::string(text)};
    std::vector<std::string> pieces;
    std::string previous;
    bool afterNumber = false;
    for (std::string word; words >> word;) {
        const bool bound = (isNumber(previous) && isUnit(word)) ||
                           (afterNumber && isSecondHalf(previous, withoutPunctuation(word)));
        afterNumber = bound;
        if (bound) {
            pieces.back() += " " + word;
        } else {
            pieces.push_back(word);
        }
        previous = word;
    }
    return pieces;
}

}  // namespace

void TextPage::heading(std::string_view text)
{
    paragraph(text, 0, 0, Shade::bold);
}

void TextPage::addParagraph(std::string_view text, int indent, int hanging, Shade shade)
{
    std::string line(static_cast<std::size_t>(indent), ' ');
    std::size_t start = line.size();
    const auto flush = [&] {
        text_ += (colour_ ? shaded(line, shade) : line) + "\n";
        line.assign(static_cast<std::size_t>(indent) + static_cast<std::size_t>(hanging), ' ');
        start = line.size();
    };
    const std::size_t room =
        width_ - std::min(width_, static_cast<std::size_t>(indent + std::max(hanging, 0)));
    const auto put = [&](std::string_view word) {
        if (line.size() > start && line.size() + 1 + word.size() > width_) {
            flush();
        }
        line += (line.size() > start ? " " : "") + std::string(word);
    };
    for (const std::string& piece : unbreakables(text)) {
        if (piece.size() <= room) {
            put(piece);
            continue;
        }
        // Wider than the page: the bond goes before the width.
        std::istringstream words{piece};
        for (std::string word; words >> word;) {
            put(word);
        }
    }
    flush();
}

}  // namespace splitstart
