#include "report/html_prose.h"

#include <array>
#include <string>
#include <string_view>

#include "report/html_page.h"

namespace splitstart
{

namespace
{

struct Mark {
    std::string_view inText;
    const char* classes;
    const char* inPage;
};

constexpr std::array<Mark, 5> marks = {{{"[ok] ", "word-pass", "Passes: "},
                                        {"[FAIL] ", "word-fail", "Fails: "},
                                        {"[?] ", "word-undecided", "Undecided: "},
                                        {"! ", "word-caution", "! "},
                                        {"- ", "word-entry", "\u2013 "}}};

const char* classOf(Shade shade)
{
    switch (shade) {
        case Shade::red:
            return "word-fail";
        case Shade::yellow:
            return "word-undecided";
        case Shade::green:
            return "word-pass";
        case Shade::bold:
            return "word-bold";
        case Shade::plain:
            break;
    }
    return nullptr;
}

const char* classOfIndent(int indent)
{
    constexpr int deep = 5;
    return indent >= deep ? "step-2" : indent > 2 ? "step-1" : nullptr;
}

}  // namespace

void HtmlProse::heading(std::string_view text)
{
    lines_ = {};
    addElement(into_, "h3", text);
}

void HtmlProse::line(std::string_view text)
{
    if (!lines_) {
        lines_ = addElement(into_, "pre", {}, "lines");
        lines_.append_attribute("tabindex") = "0";
        lines_.append_attribute("role") = "region";
        lines_.append_attribute("aria-label") = "table";
    }
    addWords(lines_, std::string(text) + "\n");
}

void HtmlProse::addParagraph(std::string_view text, int indent, int /*hanging*/, Shade shade)
{
    lines_ = {};
    constexpr std::string_view box = "[ ] ";
    if (text.starts_with(box)) {
        pugi::xml_node label = addElement(into_, "label", {}, "tick");
        label.append_child("input").append_attribute("type") = "checkbox";
        addElement(label, "span", text.substr(box.size()));
        return;
    }
    pugi::xml_node paragraph = addElement(into_, "p", {}, classOfIndent(indent));
    for (const Mark& mark : marks) {
        if (text.starts_with(mark.inText)) {
            addElement(paragraph, "strong", mark.inPage, mark.classes);
            addWords(paragraph, text.substr(mark.inText.size()));
            return;
        }
    }
    if (const char* const classes = classOf(shade)) {
        addElement(paragraph, "strong", text, classes);
    } else {
        addWords(paragraph, text);
    }
}

}  // namespace splitstart
