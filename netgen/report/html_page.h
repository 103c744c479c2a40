// A page of HTML that needs nothing but itself: no file, no network.
#pragma once

#include <pugixml.hpp>
#include <string>
#include <string_view>
#include <vector>

#include "report/json.h"

namespace splitstart
{

// Adds an element with that text; control characters and bytes that are not UTF-8 are left out of
// it. `classes`: of the style sheet in report/page/page.css.
pugi::xml_node addElement(pugi::xml_node parent, const char* name, std::string_view text = {},
                          const char* classes = nullptr);

// Adds text behind what the element holds already, cleaned likewise.
void addWords(pugi::xml_node parent, std::string_view text);

// Adds a table with a caption and a header row; cells are text. In a row shorter than the header
// the last cells are left empty.
pugi::xml_node addTable(pugi::xml_node parent, std::string_view caption,
                        const std::vector<std::string>& header,
                        const std::vector<std::vector<std::string>>& rows);

// Adds a netlist as text that can be scrolled by keyboard, with a link that saves it as that file.
void addNetlist(pugi::xml_node parent, std::string_view netlist, std::string_view fileName);

class HtmlPage
{
public:
    // `title` as the page's first heading; below it says that the data is invented where it is.
    HtmlPage(std::string_view title, bool invented);

    // A new section with that heading, named in the list of contents. `id`: letters, digits, -.
    pugi::xml_node addSection(const char* id, std::string_view heading);

    // Where what stands before the list of contents goes: the verdict.
    [[nodiscard]] pugi::xml_node top() const { return top_; }

    // Data for the page's scripts, read by them from the element of that id.
    void addData(const char* id, const Json& json);

    // A script of the embedded files ("lesson.js"), run after the page is there. In that order.
    // Throws std::out_of_range if there is none of that name.
    void addScript(std::string_view fileName);

    // The same for a style sheet; page.css is there already.
    void addStyle(std::string_view fileName);

    // The whole page. No element of it can load anything from elsewhere, and no script runs in it
    // but those added.
    [[nodiscard]] std::string document() const;

private:
    pugi::xml_document body_;
    pugi::xml_node top_;
    pugi::xml_node contents_;
    pugi::xml_node main_;
    std::string title_;
    std::string data_;
    std::string styles_;
    std::string scripts_;
};

}  // namespace splitstart
