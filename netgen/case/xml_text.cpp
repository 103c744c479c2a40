#include "case/xml_text.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <filesystem>
#include <fstream>
#include <system_error>
#include <utility>

#include "case/text.h"

namespace splitstart
{

namespace
{

constexpr std::string_view utf8Hint = "Save the file as UTF-8 text.";

std::string tooBig()
{
    return fmt::format("the file is larger than {} bytes", mostBytes);
}

// XML 1.0, production 2 "Char", below the blank.
bool isForbiddenByte(char letter)
{
    const auto code = static_cast<unsigned char>(letter);
    return code < 0x20 && letter != '\t' && letter != '\n' && letter != '\r';
}

bool isXmlCharacter(unsigned long code)
{
    return code == 0x9 || code == 0xA || code == 0xD || (code >= 0x20 && code <= 0xD7FF) ||
           (code >= 0xE000 && code <= 0xFFFD) || (code >= 0x10000 && code <= 0x10FFFF);
}

// What stands between "&" and ";".
bool isKnownEntity(std::string_view name)
{
    if (!name.starts_with('#')) {
        return name == "amp" || name == "lt" || name == "gt" || name == "quot" || name == "apos";
    }
    name.remove_prefix(1);
    int base = 10;
    if (name.starts_with('x')) {
        name.remove_prefix(1);
        base = 16;
    }
    unsigned long code = 0;
    const char* const end = name.data() + name.size();
    const auto [stop, error] = std::from_chars(name.data(), end, code, base);
    return error == std::errc() && stop == end && isXmlCharacter(code);
}

// The parser takes text that XML does not allow, and cuts values at a character 0.
std::string_view flawOf(std::string_view raw)
{
    if (raw.find('<') != std::string_view::npos) {
        return "\"<\" in an attribute must be written \"&lt;\"";
    }
    for (std::size_t at = raw.find('&'); at != std::string_view::npos; at = raw.find('&', at + 1)) {
        const std::size_t end = raw.find(';', at);
        if (end != std::string_view::npos && isKnownEntity(raw.substr(at + 1, end - at - 1))) {
            continue;
        }
        return raw.substr(at).starts_with("&#")
                   ? "\"&#\" must begin the number of a character that XML allows, and \";\" end it"
                   : "\"&\" must be written \"&amp;\"; entities of one's own are not allowed";
    }
    return {};
}

// Follows the tree without recursion, whatever its depth.
pugi::xml_node nextInTree(pugi::xml_node node, int& depth)
{
    if (!node.first_child().empty()) {
        ++depth;
        return node.first_child();
    }
    while (!node.empty() && node.next_sibling().empty()) {
        node = node.parent();
        --depth;
    }
    return node.next_sibling();
}

}  // namespace

XmlText::XmlText(std::string text, std::string name, ProblemList& problems)
    : text_(std::move(text)), name_(std::move(name))
{
    if (text_.size() > mostBytes) {
        report(problems, 0, tooBig());
        return;
    }
    for (std::size_t at = text_.find('\n'); at != std::string::npos;
         at = text_.find('\n', at + 1)) {
        lineEnds_.push_back(at);
    }
    if (encodingIsGood(problems) && parse(problems) && topIsGood(problems) &&
        sizeIsGood(problems)) {
        root_ = document_.document_element();
    }
}

SourcePlace XmlText::placeOf(const pugi::xml_node& node) const
{
    auto offset = static_cast<std::size_t>(std::max<std::ptrdiff_t>(0, node.offset_debug()));
    if (node.type() == pugi::node_pcdata) {
        offset = text_.find_first_not_of(" \t\r\n", offset);  // the words, not the line before
    }
    return {name_, lineAt(offset)};
}

std::vector<XmlAttribute> XmlText::attributesOf(const pugi::xml_node& element) const
{
    std::vector<XmlAttribute> result;
    const std::string_view text = text_;
    // The parser works in a copy of the text and does not move names, so offsets hold here too.
    auto at =
        static_cast<std::size_t>(element.offset_debug()) + std::string_view(element.name()).size();
    for (const pugi::xml_attribute& attribute : element.attributes()) {
        const std::size_t start = text.find_first_not_of(" \t\r\n", at);
        const std::size_t open = text.find_first_of("\"'", start);
        const std::size_t close = text.find(text[open], open + 1);
        result.push_back({attribute.name(), attribute.value(), lineAt(start),
                          flawOf(text.substr(open + 1, close - open - 1))});
        at = close + 1;
    }
    for (const Change& change : changes_) {
        if (change.element != element) {
            continue;
        }
        const auto known =
            std::find_if(result.begin(), result.end(), [&change](const XmlAttribute& attribute) {
                return attribute.name == change.attribute;
            });
        const int line = known != result.end() ? known->line : placeOf(element).line;
        if (known != result.end()) {
            result.erase(known);
        }
        if (change.value) {
            result.push_back({change.attribute, *change.value, line, {}});
        }
    }
    return result;
}

std::optional<std::string> XmlText::valueOf(const pugi::xml_node& element,
                                            std::string_view attribute) const
{
    for (const XmlAttribute& each : attributesOf(element)) {
        if (each.name == attribute) {
            return each.value;
        }
    }
    return std::nullopt;
}

XmlText::Change& XmlText::changeOf(const pugi::xml_node& element, std::string_view attribute)
{
    const auto known = std::find_if(changes_.begin(), changes_.end(), [&](const Change& change) {
        return change.element == element && change.attribute == attribute;
    });
    return known != changes_.end()
               ? *known
               : changes_.emplace_back(Change{element, std::string(attribute), std::nullopt});
}

void XmlText::set(const pugi::xml_node& element, std::string_view attribute, std::string value)
{
    changeOf(element, attribute).value = std::move(value);
}

void XmlText::remove(const pugi::xml_node& element, std::string_view attribute)
{
    changeOf(element, attribute).value.reset();
}

pugi::xml_node XmlText::append(pugi::xml_node parent, std::string_view name)
{
    return parent.append_child(std::string(name).c_str());
}

int XmlText::lineAt(std::size_t offset) const
{
    const auto next = std::lower_bound(lineEnds_.begin(), lineEnds_.end(), offset);
    return static_cast<int>(next - lineEnds_.begin()) + 1;
}

bool XmlText::encodingIsGood(ProblemList& problems) const
{
    const std::size_t wrong = firstInvalidUtf8(text_);
    if (wrong != std::string::npos) {
        const auto byte = static_cast<unsigned char>(text_[wrong]);
        report(problems, lineAt(wrong), fmt::format("byte 0x{:02X} is not UTF-8", byte),
               std::string(utf8Hint));
        return false;
    }
    const auto control = std::find_if(text_.begin(), text_.end(), isForbiddenByte);
    if (control != text_.end()) {
        report(problems, lineAt(static_cast<std::size_t>(control - text_.begin())),
               fmt::format("control character 0x{:02X} is not allowed in XML", *control),
               std::string(utf8Hint));
        return false;
    }
    return true;
}

bool XmlText::parse(ProblemList& problems)
{
    // Fragments, so that text outside the root is seen and not passed over.
    constexpr unsigned flags =
        pugi::parse_default | pugi::parse_declaration | pugi::parse_doctype | pugi::parse_fragment;
    const pugi::xml_parse_result result =
        document_.load_buffer(text_.data(), text_.size(), flags, pugi::encoding_utf8);
    if (result) {
        return true;
    }
    const auto offset = static_cast<std::size_t>(std::max<std::ptrdiff_t>(0, result.offset));
    report(problems, lineAt(offset), fmt::format("not well-formed XML: {}", result.description()),
           result.status == pugi::status_end_element_mismatch
               ? "Every <name> needs its </name>, or a \"/\" before its \">\"."
               : "");
    return false;
}

bool XmlText::topIsGood(ProblemList& problems) const
{
    int elements = 0;
    for (const pugi::xml_node& node : document_.children()) {
        const int line = placeOf(node).line;
        const pugi::xml_node_type type = node.type();
        if (type == pugi::node_doctype) {
            report(problems, line, "a document type declaration (<!DOCTYPE ...>) is not allowed",
                   "Leave it out.");
            return false;
        }
        if (type == pugi::node_declaration) {
            const std::string encoding = node.attribute("encoding").as_string("UTF-8");
            if (!equalIgnoringCase(encoding, "UTF-8") && !equalIgnoringCase(encoding, "US-ASCII")) {
                report(problems, line,
                       fmt::format("the encoding \"{}\" is not allowed", shortText(encoding)),
                       std::string(utf8Hint));
                return false;
            }
        } else if (type != pugi::node_element) {
            report(
                problems, line,
                fmt::format("text outside the elements: \"{}\"", shortText(trimmed(node.value()))));
            return false;
        } else if (++elements > 1) {
            report(problems, line,
                   fmt::format("a second element <{}> at the top", shortText(node.name())),
                   "A file holds one case or one parts list.");
            return false;
        }
    }
    if (elements == 0) {
        report(problems, 1, "the file holds no element");
    }
    return elements == 1;
}

bool XmlText::sizeIsGood(ProblemList& problems) const
{
    int depth = 1;
    int elements = 0;
    for (pugi::xml_node node = document_.document_element(); !node.empty();
         node = nextInTree(node, depth)) {
        if (node.type() != pugi::node_element) {
            continue;
        }
        ++elements;
        if (depth > mostDepth || elements > mostElements) {
            report(problems, placeOf(node).line,
                   depth > mostDepth
                       ? fmt::format("elements are nested more than {} deep", mostDepth)
                       : fmt::format("the file has more than {} elements", mostElements));
            return false;
        }
    }
    return true;
}

void XmlText::report(ProblemList& problems, int line, std::string problem, std::string hint) const
{
    problems.add({{name_, line}, {}, {}, {}, std::move(hint), std::move(problem)});
}

FileContent readPlainFile(const std::string& path)
{
    namespace fs = std::filesystem;
    std::error_code error;
    const fs::file_status status = fs::status(path, error);
    if (!fs::exists(status)) {
        const bool missing = status.type() == fs::file_type::not_found;
        return {{}, missing ? "no such file" : "cannot be read: " + error.message()};
    }
    if (fs::is_directory(status)) {
        return {{}, "is a folder, not a file"};
    }
    if (!fs::is_regular_file(status)) {
        return {{}, "is not a plain file"};
    }
    const std::uintmax_t size = fs::file_size(path, error);
    if (error) {
        return {{}, "cannot be read: " + error.message()};
    }
    if (size > mostBytes) {
        return {{}, tooBig()};
    }
    std::ifstream stream(path, std::ios::binary);
    if (!stream) {
        return {{}, "cannot be opened; look at its permissions"};
    }
    FileContent content;
    content.text.resize(static_cast<std::size_t>(size));
    stream.read(content.text.data(), static_cast<std::streamsize>(size));
    if (stream.gcount() != static_cast<std::streamsize>(size)) {
        content.problem = "could not be read to its end";
    }
    return content;
}

std::string readPlainFileOrThrow(const std::string& path)
{
    FileContent content = readPlainFile(path);
    if (!content.problem.empty()) {
        ProblemList problems;
        problems.add({{path, 0}, {}, {}, {}, {}, std::move(content.problem)});
        problems.throwIfAny();
    }
    return std::move(content.text);
}

}  // namespace splitstart
