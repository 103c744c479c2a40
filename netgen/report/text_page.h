// A page of text for a terminal or a file: headings, wrapped paragraphs, colour where wanted.
#pragma once

#include <string>
#include <string_view>

#include "report/prose.h"

namespace splitstart
{

class TextPage : public Prose
{
public:
    explicit TextPage(bool colour, int width = 78)
        : colour_(colour), width_(static_cast<std::size_t>(width))
    {
    }

    void heading(std::string_view text) override;
    void blank() override { text_ += "\n"; }
    void line(std::string_view text) override { text_ += std::string(text) + "\n"; }
    [[nodiscard]] const std::string& text() const { return text_; }

protected:
    // Wrapped at the page's width, but not between a number and its unit.
    void addParagraph(std::string_view text, int indent, int hanging, Shade shade) override;

private:
    bool colour_;
    std::size_t width_;
    std::string text_;
};

}  // namespace splitstart
