// One element of a case or parts file, checked against the vocabulary: what is left to do with it
// is to assign values. Internal to case/.
#pragma once

#include <cstddef>
#include <optional>
#include <pugixml.hpp>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "case/problem_list.h"
#include "case/vocabulary.h"
#include "case/xml_text.h"

namespace splitstart
{

class Element
{
public:
    // Checks attributes, children, and what is missing; problems are added to the list. The values
    // below are the default (or zero, or empty) where an attribute is missing or wrong. `problems`
    // and the vocabulary must outlive the element.
    Element(const XmlText& xml, const pugi::xml_node& node, const ElementSpec& spec,
            ProblemList& problems);

    [[nodiscard]] std::string_view name() const { return spec_->name; }
    [[nodiscard]] const SourcePlace& place() const { return place_; }
    [[nodiscard]] SourcePlace placeOf(std::string_view attribute) const;
    [[nodiscard]] const AttributeSpec& specOf(std::string_view attribute) const
    {
        return *valueOf(attribute).spec;
    }

    // Whether the attribute is there at all, and whether it also holds an allowed value.
    [[nodiscard]] bool given(std::string_view attribute) const;
    [[nodiscard]] bool good(std::string_view attribute) const;

    // An element or attribute was not understood: what is missing may be what it was meant to be.
    [[nodiscard]] bool hasUnknown() const { return hasUnknown_; }

    // In SI; infinity for "open".
    [[nodiscard]] double number(std::string_view attribute) const;
    [[nodiscard]] std::optional<double> numberIfGiven(std::string_view attribute) const;
    // The word's place in the vocabulary's list of words.
    [[nodiscard]] std::size_t choice(std::string_view attribute) const;
    [[nodiscard]] bool yes(std::string_view attribute) const;
    // As written; for `pinPair` the two labels.
    [[nodiscard]] std::string text(std::string_view attribute) const;
    [[nodiscard]] std::pair<std::string, std::string> pins(std::string_view attribute) const;
    // The value began with ">".
    [[nodiscard]] bool above(std::string_view attribute) const;

    [[nodiscard]] const std::vector<Element>& children() const { return children_; }
    [[nodiscard]] const Element* child(std::string_view name) const;

    // Adds a problem with this attribute, quoting what it holds.
    void reject(std::string_view attribute, std::string allowed, std::string hint = {}) const;
    // Adds a problem with the element as a whole, such as "missing".
    void report(std::string problem, std::string allowed, std::string hint = {}) const;
    // Rejects the first unless it is smaller than the second; nothing when either is missing.
    void requireBelow(std::string_view smaller, std::string_view larger) const;
    void requireNotAbove(std::string_view minimum, std::string_view maximum) const;

private:
    struct Value {
        const AttributeSpec* spec = nullptr;
        std::string text;
        int line = 0;
        bool given = false;
        bool good = false;
        bool suggested = false;  // a misspelt attribute probably meant this one
        bool above = false;
        double number = 0;
        std::size_t choice = 0;
    };

    [[nodiscard]] const Value& valueOf(std::string_view attribute) const;
    Value* find(std::string_view attribute);
    void readAttributes(const XmlText& xml, const pugi::xml_node& node);
    void readAttribute(const XmlAttribute& attribute);
    void reportMissing();
    void readChildren(const XmlText& xml, const pugi::xml_node& node);
    void readChild(const XmlText& xml, const pugi::xml_node& node);
    void interpret(Value& value) const;
    void interpretNumber(Value& value, std::string_view text) const;
    void interpretOhms(Value& value) const;
    void interpretWord(Value& value) const;
    void reject(const Value& value, std::string allowed, std::string hint) const;
    void requireOrder(std::string_view smaller, std::string_view larger, bool equalAllowed) const;

    const ElementSpec* spec_;
    ProblemList* problems_;
    SourcePlace place_;
    std::vector<Value> values_;  // one for each attribute of the specification, in its order
    std::vector<Element> children_;
    bool hasUnknown_ = false;
};

}  // namespace splitstart
