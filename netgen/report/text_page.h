// A page of text for a terminal or a file: headings, wrapped paragraphs, colour where wanted.
#pragma once

#include <string>
#include <string_view>

namespace splitstart
{

enum class Shade { plain, bold, green, yellow, red };

class TextPage
{
public:
    explicit TextPage(bool colour, int width = 78)
        : colour_(colour), width_(static_cast<std::size_t>(width))
    {
    }

    void heading(std::string_view text);
    // A paragraph wrapped at the page's width, but not between a number and its unit; later lines
    // are indented like the first plus `hanging`.
    void paragraph(std::string_view text, int indent = 0, int hanging = 0,
                   Shade shade = Shade::plain);
    void blank() { text_ += "\n"; }
    // A line as it stands, for tables.
    void line(std::string_view text) { text_ += std::string(text) + "\n"; }
    [[nodiscard]] const std::string& text() const { return text_; }

private:
    bool colour_;
    std::size_t width_;
    std::string text_;
};

}  // namespace splitstart
