// What is said to people, whatever it is shown on: headings, paragraphs, lines of a table. The
// beginnings "[ ] ", "[ok] ", "[FAIL] ", "[?] ", "! " and "- " of a paragraph are a box to tick, a
// verdict, a caution and an entry of a list.
#pragma once

#include <string_view>

namespace splitstart
{

enum class Shade { plain, bold, green, yellow, red };

class Prose
{
public:
    virtual ~Prose() = default;

    virtual void heading(std::string_view text) = 0;
    // A paragraph that begins `indent` columns to the right; later lines are indented like the
    // first plus `hanging`.
    void paragraph(std::string_view text, int indent = 0, int hanging = 0,
                   Shade shade = Shade::plain)
    {
        addParagraph(text, indent, hanging, shade);
    }
    virtual void blank() = 0;
    // A line as it stands, for tables.
    virtual void line(std::string_view text) = 0;

protected:
    Prose() = default;
    Prose(const Prose&) = default;
    Prose(Prose&&) = default;
    Prose& operator=(const Prose&) = default;
    Prose& operator=(Prose&&) = default;

    virtual void addParagraph(std::string_view text, int indent, int hanging, Shade shade) = 0;
};

}  // namespace splitstart
