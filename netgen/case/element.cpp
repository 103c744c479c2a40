#include "case/element.h"

#include <fmt/format.h>

#include <algorithm>
#include <cassert>
#include <cmath>
#include <limits>
#include <span>

#include "case/found_wire.h"
#include "case/number.h"
#include "case/reading_rules.h"
#include "case/text.h"

namespace splitstart
{

namespace
{

constexpr std::size_t longestText = 200;

std::string suggestion(std::string_view name, std::span<const std::string_view> candidates)
{
    const std::string_view meant = nearest(name, candidates);
    return meant.empty() ? std::string() : fmt::format("Did you mean \"{}\"?", meant);
}

std::vector<std::string_view> attributeNames(const ElementSpec& spec)
{
    std::vector<std::string_view> names;
    for (const AttributeSpec& attribute : spec.attributes) {
        names.push_back(attribute.name);
    }
    return names;
}

std::vector<std::string_view> childNames(const ElementSpec& spec)
{
    std::vector<std::string_view> names;
    for (const ChildSpec& child : spec.children) {
        names.push_back(child.element->name);
    }
    return names;
}

bool isOpenWord(std::string_view text)
{
    return equalIgnoringCase(text, "open") || equalIgnoringCase(text, "OL");
}

bool isReadableText(std::string_view text)
{
    bool printable = false;
    for (std::size_t offset = 0; offset < text.size();) {
        const CodePoint character = firstCodePoint(text.substr(offset));
        printable = printable || !isBlank(character.value);
        offset += character.length;
    }
    return printable && characterCount(text) <= longestText && !hasControl(text);
}

bool isId(std::string_view text)
{
    constexpr std::size_t longest = 41;
    const auto isAlphanumeric = [](char letter) {
        return (letter >= 'A' && letter <= 'Z') || (letter >= 'a' && letter <= 'z') ||
               (letter >= '0' && letter <= '9');
    };
    return !text.empty() && text.size() <= longest && isAlphanumeric(text.front()) &&
           std::all_of(text.begin(), text.end(), [&](char letter) {
               return isAlphanumeric(letter) || letter == '.' || letter == '_' || letter == '-';
           });
}

}  // namespace

Element::Element(const XmlText& xml, const pugi::xml_node& node, const ElementSpec& spec,
                 ProblemList& problems)
    : spec_(&spec), problems_(&problems), place_(xml.placeOf(node))
{
    for (const AttributeSpec& attribute : spec.attributes) {
        Value value;
        value.spec = &attribute;
        value.line = place_.line;
        value.text = attribute.defaultText;
        if (!value.text.empty()) {
            interpret(value);
            assert(value.good);
            value.good = false;
        }
        values_.push_back(std::move(value));
    }
    readAttributes(xml, node);
    reportMissing();
    readChildren(xml, node);
}

SourcePlace Element::placeOf(std::string_view attribute) const
{
    return {place_.file, valueOf(attribute).line};
}

bool Element::given(std::string_view attribute) const
{
    return valueOf(attribute).given;
}

bool Element::good(std::string_view attribute) const
{
    return valueOf(attribute).good;
}

double Element::number(std::string_view attribute) const
{
    return valueOf(attribute).number;
}

std::optional<double> Element::numberIfGiven(std::string_view attribute) const
{
    const Value& value = valueOf(attribute);
    return value.good ? std::optional<double>(value.number) : std::nullopt;
}

std::size_t Element::choice(std::string_view attribute) const
{
    return valueOf(attribute).choice;
}

bool Element::yes(std::string_view attribute) const
{
    return valueOf(attribute).text == "yes";
}

std::string Element::text(std::string_view attribute) const
{
    return valueOf(attribute).text;
}

std::pair<std::string, std::string> Element::pins(std::string_view attribute) const
{
    return splitPins(valueOf(attribute).text).value_or(std::pair<std::string, std::string>());
}

bool Element::above(std::string_view attribute) const
{
    return valueOf(attribute).above;
}

const Element* Element::child(std::string_view name) const
{
    const auto found = std::find_if(children_.begin(), children_.end(),
                                    [name](const Element& child) { return child.name() == name; });
    return found == children_.end() ? nullptr : &*found;
}

void Element::reject(std::string_view attribute, std::string allowed, std::string hint) const
{
    reject(valueOf(attribute), std::move(allowed), std::move(hint));
}

void Element::reject(const Value& value, std::string allowed, std::string hint) const
{
    problems_->add({{place_.file, value.line},
                    fmt::format("{}/{}", name(), value.spec->name),
                    value.text,
                    std::move(allowed),
                    std::move(hint),
                    {}});
}

void Element::report(std::string problem, std::string allowed, std::string hint) const
{
    problems_->add(
        {place_, std::string(name()), {}, std::move(allowed), std::move(hint), std::move(problem)});
}

void Element::requireBelow(std::string_view smaller, std::string_view larger) const
{
    requireOrder(smaller, larger, false);
}

void Element::requireNotAbove(std::string_view minimum, std::string_view maximum) const
{
    requireOrder(minimum, maximum, true);
}

void Element::requireOrder(std::string_view smaller, std::string_view larger,
                           bool equalAllowed) const
{
    if (!given(smaller) && !given(larger)) {
        return;
    }
    const Value& low = valueOf(smaller);
    const Value& high = valueOf(larger);
    const bool known = (low.good || (!low.given && !low.text.empty())) &&
                       (high.good || (!high.given && !high.text.empty()));
    if (!known || low.number < high.number || (equalAllowed && low.number == high.number)) {
        return;
    }
    // The blame goes to a value that the file holds, not to a default.
    const bool blameLow = low.given;
    const std::string_view word = blameLow ? "below" : "above";
    const Value& other = blameLow ? high : low;
    reject(blameLow ? low : high,
           fmt::format("a number {}{} {}, which is \"{}\"", word,
                       equalAllowed ? " or equal to" : "", other.spec->name, other.text),
           {});
}

const Element::Value& Element::valueOf(std::string_view attribute) const
{
    const auto found =
        std::find_if(values_.begin(), values_.end(),
                     [attribute](const Value& value) { return value.spec->name == attribute; });
    assert(found != values_.end());  // the reader asks only for names of the vocabulary
    static const Value nothing;
    return found == values_.end() ? nothing : *found;
}

Element::Value* Element::find(std::string_view attribute)
{
    const auto found =
        std::find_if(values_.begin(), values_.end(),
                     [attribute](const Value& value) { return value.spec->name == attribute; });
    return found == values_.end() ? nullptr : &*found;
}

void Element::readAttributes(const XmlText& xml, const pugi::xml_node& node)
{
    for (const XmlAttribute& attribute : xml.attributesOf(node)) {
        readAttribute(attribute);
    }
}

void Element::readAttribute(const XmlAttribute& attribute)
{
    InputProblem problem;
    problem.place = {place_.file, attribute.line};
    Value* const value = find(attribute.name);
    if (value == nullptr) {
        hasUnknown_ = true;
        if (!problems_->full()) {
            const std::vector<std::string_view> names = attributeNames(*spec_);
            problem.field = name();
            problem.problem = fmt::format("unknown attribute \"{}\"", shortText(attribute.name));
            problem.allowed = names.empty() ? "no attributes in here" : joined(names);
            problem.hint = suggestion(attribute.name, names);
            if (Value* const meant = find(nearest(attribute.name, names))) {
                meant->suggested = true;
            }
        }
        problems_->add(std::move(problem));
        return;
    }
    problem.field = fmt::format("{}/{}", name(), attribute.name);
    if (value->given) {
        problem.problem = "given twice";
        problems_->add(std::move(problem));
        return;
    }
    value->given = true;
    value->line = attribute.line;
    value->text = attribute.value;
    if (!attribute.flaw.empty()) {
        problem.problem = attribute.flaw;
        problems_->add(std::move(problem));
        return;
    }
    interpret(*value);
}

void Element::reportMissing()
{
    for (const Value& value : values_) {
        if (value.spec->required && !value.given && !value.suggested) {
            problems_->add({place_,
                            fmt::format("{}/{}", name(), value.spec->name),
                            {},
                            allowedText(*value.spec),
                            {},
                            "missing"});
        }
    }
}

void Element::readChildren(const XmlText& xml, const pugi::xml_node& node)
{
    for (const pugi::xml_node& child : node.children()) {
        if (child.type() == pugi::node_element) {
            readChild(xml, child);
        } else {
            problems_->add(
                {xml.placeOf(child),
                 std::string(name()),
                 {},
                 {},
                 "Values are written as attributes: name=\"value\".",
                 fmt::format("text between the tags: \"{}\"", shortText(trimmed(child.value())))});
        }
    }
    for (const ChildSpec& child : spec_->children) {
        const bool needed =
            child.occurs == Occurs::exactlyOnce || child.occurs == Occurs::atLeastOnce;
        if (needed && !hasUnknown_ && this->child(child.element->name) == nullptr) {
            problems_->add({place_,
                            std::string(name()),
                            {},
                            {},
                            {},
                            fmt::format("the element <{}> is missing", child.element->name)});
        }
    }
}

void Element::readChild(const XmlText& xml, const pugi::xml_node& node)
{
    const std::string_view childName = node.name();
    const auto spec = std::find_if(
        spec_->children.begin(), spec_->children.end(),
        [childName](const ChildSpec& child) { return child.element->name == childName; });
    InputProblem problem;
    problem.place = xml.placeOf(node);
    problem.field = name();
    if (spec == spec_->children.end()) {
        hasUnknown_ = true;
        const std::vector<std::string_view> names = childNames(*spec_);
        problem.problem = fmt::format("unknown element <{}>", shortText(childName));
        problem.allowed = names.empty() ? "no elements in here" : joined(names);
        problem.hint = suggestion(childName, names);
        problems_->add(std::move(problem));
        return;
    }
    const bool once = spec->occurs == Occurs::atMostOnce || spec->occurs == Occurs::exactlyOnce;
    if (const Element* const first = child(childName); once && first != nullptr) {
        problem.problem = fmt::format("a second element <{}>", childName);
        problem.allowed = "only one";
        problem.hint = fmt::format("The first is in line {}.", first->place().line);
        problems_->add(std::move(problem));
        return;
    }
    children_.emplace_back(xml, node, *spec->element, *problems_);
}

void Element::interpret(Value& value) const
{
    switch (value.spec->kind) {
        case ValueKind::number:
        case ValueKind::evenNumber:
        case ValueKind::wholeNumber:
            interpretNumber(value, value.text);
            return;
        case ValueKind::ohmsOrOpen:
        case ValueKind::ohmsOrAbove:
            interpretOhms(value);
            return;
        case ValueKind::yesNo:
        case ValueKind::choice:
            interpretWord(value);
            return;
        case ValueKind::text:
            value.good = isReadableText(value.text);
            break;
        case ValueKind::id:
        case ValueKind::reference:
            value.good = isId(value.text);
            break;
        case ValueKind::pinPair:
            value.good = splitPins(value.text).has_value();
            break;
        case ValueKind::pinLabel:
            value.good = isPinLabel(value.text);
            break;
        case ValueKind::wireEnd:
            value.good = isWireEnd(value.text);
            break;
        case ValueKind::relativePath:
            value.good = isReadableText(value.text) && !value.text.starts_with('/');
            break;
    }
    if (!value.good) {
        reject(value, allowedText(*value.spec), {});
    }
}

void Element::interpretNumber(Value& value, std::string_view text) const
{
    const AttributeSpec& spec = *value.spec;
    const std::optional<double> plain = parseNumber(text);
    const std::optional<double> scaled = parseNumber(text, spec.unit.powerOfTen);
    const bool inRange = plain && *plain >= spec.minimum && *plain <= spec.maximum;
    const double step = spec.kind == ValueKind::evenNumber    ? 2
                        : spec.kind == ValueKind::wholeNumber ? 1
                                                              : 0;
    const bool onStep = step == 0 || (plain && std::fmod(*plain, step) == 0);
    if (!scaled || !inRange || !onStep) {
        reject(value, allowedText(spec), std::string(numberHint(text)));
        return;
    }
    value.number = *scaled * spec.unit.factor;
    value.good = true;
}

void Element::interpretOhms(Value& value) const
{
    if (isOpenWord(value.text)) {
        value.number = std::numeric_limits<double>::infinity();
        value.above = value.spec->kind == ValueKind::ohmsOrAbove;
        value.good = true;
        return;
    }
    std::string_view text = value.text;
    if (value.spec->kind == ValueKind::ohmsOrAbove && text.starts_with('>')) {
        value.above = true;
        text.remove_prefix(std::min(text.find_first_not_of(' ', 1), text.size()));
    }
    interpretNumber(value, text);
}

void Element::interpretWord(Value& value) const
{
    static constexpr std::string_view yesNo[] = {"yes", "no"};
    const std::span<const std::string_view> words = value.spec->kind == ValueKind::yesNo
                                                        ? std::span<const std::string_view>(yesNo)
                                                        : value.spec->words;
    const auto word = std::find(words.begin(), words.end(), value.text);
    if (word == words.end()) {
        reject(value, allowedText(*value.spec), suggestion(value.text, words));
        return;
    }
    value.choice = static_cast<std::size_t>(word - words.begin());
    value.good = true;
}

}  // namespace splitstart
