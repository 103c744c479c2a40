#include "report/html_page.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <sstream>
#include <stdexcept>

#include "case/embedded_files.h"
#include "report/drawing_text.h"

namespace splitstart
{

namespace
{

// The only scripts that may run are the page's own; nothing may be loaded from anywhere.
constexpr std::string_view policy =
    "default-src 'none'; script-src 'nonce-of-this-page'; style-src 'unsafe-inline'; img-src "
    "data:; "
    "base-uri 'none'; form-action 'none'";

std::string cleaned(std::string_view text)
{
    // A netlist or a list keeps its lines.
    std::string clean;
    for (std::size_t from = 0; from <= text.size();) {
        const std::size_t end = std::min(text.find('\n', from), text.size());
        const std::string_view line = text.substr(from, end - from);
        clean += drawnText(line, line.size());
        if (end < text.size()) {
            clean += '\n';
        }
        from = end + 1;
    }
    return clean;
}

std::string_view embedded(std::string_view fileName)
{
    for (const EmbeddedFile& file : embeddedFiles()) {
        if (file.name == fileName) {
            return file.text;
        }
    }
    throw std::out_of_range(fmt::format("no embedded file {}", fileName));
}

// Elements that HTML knows no end tag of.
bool isVoid(std::string_view name)
{
    constexpr std::array<std::string_view, 6> names = {"br", "col", "hr", "img", "input", "meta"};
    return std::find(names.begin(), names.end(), name) != names.end();
}

// XML may write <td/>, which HTML takes for a beginning alone; an empty text makes it <td></td>.
void openEmptyElements(pugi::xml_node node)
{
    const std::string_view name = node.name();
    if (name == "svg" || name == "math") {
        return;
    }
    if (node.type() == pugi::node_element && !node.first_child() && !isVoid(name)) {
        node.append_child(pugi::node_pcdata).set_value("");
    }
    for (pugi::xml_node child : node.children()) {
        openEmptyElements(child);
    }
}

std::string serialised(const pugi::xml_node& node)
{
    std::ostringstream stream;
    node.print(stream, "", pugi::format_raw, pugi::encoding_utf8);
    return stream.str();
}

std::string percentEncoded(std::string_view text)
{
    constexpr std::string_view plain = "-_.~!*'()/:@,;+$?=";
    std::string encoded;
    for (const char character : text) {
        const bool isPlain = std::isalnum(static_cast<unsigned char>(character)) != 0 ||
                             plain.find(character) != std::string_view::npos;
        encoded += isPlain ? std::string(1, character)
                           : fmt::format("%{:02X}", static_cast<unsigned char>(character));
    }
    return encoded;
}

std::string escapedText(std::string_view text)
{
    pugi::xml_document document;
    document.append_child(pugi::node_pcdata).set_value(cleaned(text).c_str());
    std::ostringstream stream;
    document.save(stream, "", pugi::format_raw | pugi::format_no_declaration, pugi::encoding_utf8);
    return stream.str();
}

}  // namespace

pugi::xml_node addElement(pugi::xml_node parent, const char* name, std::string_view text,
                          const char* classes)
{
    pugi::xml_node node = parent.append_child(name);
    if (classes != nullptr) {
        node.append_attribute("class") = classes;
    }
    if (!text.empty()) {
        addWords(node, text);
    }
    return node;
}

void addWords(pugi::xml_node parent, std::string_view text)
{
    parent.append_child(pugi::node_pcdata).set_value(cleaned(text).c_str());
}

pugi::xml_node addTable(pugi::xml_node parent, std::string_view caption,
                        const std::vector<std::string>& header,
                        const std::vector<std::vector<std::string>>& rows)
{
    // A table wider than a phone is moved sideways in its own box, by keyboard too.
    pugi::xml_node box = addElement(parent, "div", {}, "wide");
    box.append_attribute("tabindex") = "0";
    box.append_attribute("role") = "region";
    box.append_attribute("aria-label") = cleaned(caption).c_str();
    pugi::xml_node table = box.append_child("table");
    addElement(table, "caption", caption);
    pugi::xml_node head = table.append_child("thead").append_child("tr");
    for (const std::string& cell : header) {
        addElement(head, "th", cell).append_attribute("scope") = "col";
    }
    pugi::xml_node body = table.append_child("tbody");
    for (const std::vector<std::string>& cells : rows) {
        pugi::xml_node row = body.append_child("tr");
        for (std::size_t i = 0; i < header.size(); ++i) {
            const std::string cell = i < cells.size() ? cells[i] : std::string();
            if (i == 0) {
                addElement(row, "th", cell).append_attribute("scope") = "row";
            } else {
                addElement(row, "td", cell);
            }
        }
    }
    return table;
}

void addNetlist(pugi::xml_node parent, std::string_view netlist, std::string_view fileName)
{
    pugi::xml_node link = addElement(addElement(parent, "p", {}, "screen-only"), "a",
                                     fmt::format("Save this netlist as {}", fileName));
    link.append_attribute("download") = cleaned(fileName).c_str();
    link.append_attribute("href") =
        ("data:text/plain;charset=utf-8," + percentEncoded(netlist)).c_str();
    pugi::xml_node text = addElement(parent, "pre", netlist, "netlist");
    text.append_attribute("tabindex") = "0";
    text.append_attribute("role") = "region";
    text.append_attribute("aria-label") = cleaned(fmt::format("netlist {}", fileName)).c_str();
}

HtmlPage::HtmlPage(std::string_view title, bool invented)
    : title_(fmt::format("{}{}", title, invented ? " (invented demo data)" : ""))
{
    pugi::xml_node body = body_.append_child("body");
    pugi::xml_node header = body.append_child("header");
    addElement(header, "h1", title);
    if (invented) {
        addElement(header, "p", "INVENTED demo data: no such machine exists.", "invented");
    }
    main_ = body.append_child("main");
    top_ = addElement(main_, "div", {}, "top");
    pugi::xml_node nav = main_.append_child("nav");
    nav.append_attribute("aria-label") = "Contents";
    contents_ = nav.append_child("ul");
}

pugi::xml_node HtmlPage::addSection(const char* id, std::string_view heading)
{
    pugi::xml_node link = addElement(contents_.append_child("li"), "a", heading);
    link.append_attribute("href") = fmt::format("#{}", id).c_str();
    pugi::xml_node section = main_.append_child("section");
    section.append_attribute("id") = id;
    addElement(section, "h2", heading);
    return section;
}

void HtmlPage::addData(const char* id, const Json& json)
{
    // Inside a script element nothing is unescaped, and "</script>" would end it.
    std::string text;
    for (const char character :
         json.dump(-1, ' ', false, nlohmann::json::error_handler_t::replace)) {
        text += character == '<'   ? "\\u003c"
                : character == '>' ? "\\u003e"
                : character == '&' ? "\\u0026"
                                   : std::string(1, character);
    }
    data_ += fmt::format("<script type=\"application/json\" id=\"{}\">{}</script>\n", id, text);
}

void HtmlPage::addScript(std::string_view fileName)
{
    scripts_ += fmt::format("<script nonce=\"of-this-page\">\n{}\n</script>\n", embedded(fileName));
}

void HtmlPage::addStyle(std::string_view fileName)
{
    styles_ += fmt::format("<style>\n{}\n</style>\n", embedded(fileName));
}

std::string HtmlPage::document() const
{
    pugi::xml_document body;
    body.append_copy(body_.first_child());
    openEmptyElements(body.first_child());
    std::string inside = serialised(body.first_child());
    constexpr std::string_view end = "</body>";
    inside.resize(inside.rfind(end));
    return fmt::format(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
        "<meta http-equiv=\"Content-Security-Policy\" content=\"{}\">\n"
        "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
        "<link rel=\"icon\" href=\"data:,\">\n"
        "<title>{}</title>\n<style>\n{}\n</style>\n{}</head>\n{}\n{}{}</body>\n</html>\n",
        policy, escapedText(title_), embedded("page.css"), styles_, inside, data_, scripts_);
}

}  // namespace splitstart
