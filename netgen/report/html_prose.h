// Prose as HTML: what the texts say, in the elements of a page.
#pragma once

#include <pugixml.hpp>

#include "report/prose.h"

namespace splitstart
{

// Writes into that element. Boxes become boxes that can be ticked, verdicts words, lines a table
// that can be scrolled by keyboard.
class HtmlProse : public Prose
{
public:
    explicit HtmlProse(pugi::xml_node into) : into_(into) {}

    void heading(std::string_view text) override;
    void blank() override { lines_ = {}; }
    void line(std::string_view text) override;

protected:
    void addParagraph(std::string_view text, int indent, int hanging, Shade shade) override;

private:
    pugi::xml_node into_;
    pugi::xml_node lines_;
};

}  // namespace splitstart
