// An XML text that has passed every limit, and the line of each thing in it. Internal to case/:
// what is read here goes to element.h.
#pragma once

#include <cstddef>
#include <optional>
#include <pugixml.hpp>
#include <string>
#include <string_view>
#include <vector>

#include "case/problem_list.h"
#include "case/quantity.h"

namespace splitstart
{

// Limits for one file. A case is a few kilobytes; these only stop accidents and attacks.
constexpr std::size_t mostBytes = std::size_t{4} * 1024 * 1024;
constexpr int mostDepth = 32;
constexpr int mostElements = 10000;

struct XmlAttribute {
    std::string name;
    std::string value;  // entities replaced
    int line = 0;
    std::string_view flaw;  // why the text between the quotes is not XML; empty: it is
};

class XmlText
{
public:
    // Parses the text; `name` stands for the file in messages. Adds what is wrong to `problems`;
    // there is then no root. Text outside elements and everything but UTF-8 is wrong, and so is a
    // document type declaration: without it no entity can be defined, here or elsewhere.
    XmlText(std::string text, std::string name, ProblemList& problems);

    // The only element at the top; empty when anything was wrong.
    [[nodiscard]] pugi::xml_node root() const { return root_; }
    [[nodiscard]] const std::string& name() const { return name_; }
    [[nodiscard]] SourcePlace placeOf(const pugi::xml_node& node) const;
    [[nodiscard]] std::vector<XmlAttribute> attributesOf(const pugi::xml_node& element) const;

    // What the attribute holds; empty optional: there is none.
    [[nodiscard]] std::optional<std::string> valueOf(const pugi::xml_node& element,
                                                     std::string_view attribute) const;
    // As if the text had this attribute with this value in this element, or had it not.
    void set(const pugi::xml_node& element, std::string_view attribute, std::string value);
    void remove(const pugi::xml_node& element, std::string_view attribute);
    // As if the text had one more element in this one.
    pugi::xml_node append(pugi::xml_node parent, std::string_view name);

private:
    struct Change {
        pugi::xml_node element;
        std::string attribute;
        std::optional<std::string> value;  // empty: taken out
    };
    Change& changeOf(const pugi::xml_node& element, std::string_view attribute);
    [[nodiscard]] int lineAt(std::size_t offset) const;
    bool encodingIsGood(ProblemList& problems) const;
    bool parse(ProblemList& problems);
    bool topIsGood(ProblemList& problems) const;
    bool sizeIsGood(ProblemList& problems) const;
    void report(ProblemList& problems, int line, std::string problem, std::string hint = {}) const;

    std::string text_;
    std::string name_;
    std::vector<std::size_t> lineEnds_;  // offsets of line feeds
    pugi::xml_document document_;
    std::vector<Change> changes_;
    pugi::xml_node root_;
};

// What became of reading a file.
struct FileContent {
    std::string text;
    std::string problem;  // why it could not be read, such as "no such file"; empty: it could
};

// Reads a plain file of at most mostBytes; its kind and size are looked at before it is opened.
FileContent readPlainFile(const std::string& path);

// The same, for the file that the user named: throws InputError when it cannot be read.
std::string readPlainFileOrThrow(const std::string& path);

}  // namespace splitstart
