#include "report/text_page.h"

#include <fmt/color.h>
#include <fmt/format.h>

#include <sstream>

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

}  // namespace

void TextPage::heading(std::string_view text)
{
    paragraph(text, 0, 0, Shade::bold);
}

void TextPage::paragraph(std::string_view text, int indent, int hanging, Shade shade)
{
    std::istringstream words{std::string(text)};
    std::string line(static_cast<std::size_t>(indent), ' ');
    std::size_t start = line.size();
    const auto flush = [&] {
        text_ += (colour_ ? shaded(line, shade) : line) + "\n";
        line.assign(static_cast<std::size_t>(indent) + static_cast<std::size_t>(hanging), ' ');
        start = line.size();
    };
    for (std::string word; words >> word;) {
        if (line.size() > start && line.size() + 1 + word.size() > width_) {
            flush();
        }
        line += (line.size() > start ? " " : "") + word;
    }
    flush();
}

}  // namespace splitstart
