#include "case/field_change.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <functional>
#include <utility>

#include "case/element.h"
#include "case/input_error.h"
#include "case/number.h"
#include "case/text.h"
#include "case/xml_text.h"

namespace splitstart
{

namespace
{

constexpr std::string_view lowerEnd = "-min";
constexpr std::string_view upperEnd = "-max";

// An element that a case or parts file may have, and what it stands in.
struct Place {
    const ElementSpec* element = nullptr;
    bool isPart = false;
    bool tellsTheMotor = false;
};

// Every element of a case, once, without the case itself and the wires as found.
const std::vector<Place>& places()
{
    static const std::vector<Place> all = [] {
        std::vector<Place> result;
        const std::function<void(const ElementSpec&, bool, bool)> visit =
            [&](const ElementSpec& parent, bool inParts, bool inCompressor) {
                for (const ChildSpec& child : parent.children) {
                    const std::string_view name = child.element->name;
                    if (name == "as-found") {
                        continue;
                    }
                    const bool compressor = inCompressor || name == "compressor";
                    result.push_back({child.element, inParts,
                                      compressor && name != "load" && name != "insulation"});
                    visit(*child.element, name == "parts", compressor);
                }
            };
        visit(caseElement(), false, false);
        result.push_back({&workingPointElement(), false, false});
        return result;
    }();
    return all;
}

const AttributeSpec* attributeOf(const ElementSpec& element, std::string_view name)
{
    const auto found =
        std::find_if(element.attributes.begin(), element.attributes.end(),
                     [name](const AttributeSpec& attribute) { return attribute.name == name; });
    return found == element.attributes.end() ? nullptr : &*found;
}

bool isChangeable(const AttributeSpec& attribute)
{
    switch (attribute.kind) {
        case ValueKind::text:
        case ValueKind::id:
        case ValueKind::pinPair:
        case ValueKind::pinLabel:
        case ValueKind::wireEnd:
        case ValueKind::relativePath:
            return false;
        default:
            return attribute.name != "quantity" && attribute.name != "invented";
    }
}

// Fields of that element as they may be written, ranges by their common name as well.
std::vector<std::string> changeableNames(const ElementSpec& element)
{
    std::vector<std::string> names;
    for (const AttributeSpec& attribute : element.attributes) {
        if (!isChangeable(attribute)) {
            continue;
        }
        const std::string_view name = attribute.name;
        if (name.ends_with(lowerEnd)) {
            std::string common(name.substr(0, name.size() - lowerEnd.size()));
            if (attributeOf(element, common) == nullptr) {
                names.push_back(std::move(common));
            }
        }
        names.emplace_back(name);
    }
    return names;
}

std::string suggestion(std::string_view name, const std::vector<std::string>& known)
{
    const std::vector<std::string_view> views(known.begin(), known.end());
    const std::string_view meant = nearest(name, views);
    return meant.empty() ? std::string() : fmt::format("Did you mean \"{}\"?", meant);
}

}  // namespace

bool FieldName::isNumber() const
{
    return spec->kind == ValueKind::number || spec->kind == ValueKind::evenNumber ||
           spec->kind == ValueKind::wholeNumber || spec->kind == ValueKind::ohmsOrOpen ||
           spec->kind == ValueKind::ohmsOrAbove;
}

FieldName fieldNamed(std::string_view text)
{
    FieldName field;
    field.written = text;
    const std::size_t point = text.rfind('.');
    const std::string_view owner = text.substr(0, point);
    const std::size_t slash = owner.find('/');
    if (point == std::string_view::npos || owner.empty() || point + 1 == text.size()) {
        refuseInput({"--vary", 0}, {}, std::string(text),
                    "ELEMENT.ATTRIBUTE as in the case file, such as supply.volts or "
                    "start-capacitor.microfarads");
    }
    const std::string_view elementName = owner.substr(0, slash);
    field.which = slash == std::string_view::npos ? "" : owner.substr(slash + 1);
    field.attribute = text.substr(point + 1);

    const auto place = std::find_if(places().begin(), places().end(), [&](const Place& each) {
        return each.element->name == elementName;
    });
    if (place == places().end()) {
        std::vector<std::string> names;
        for (const Place& each : places()) {
            names.emplace_back(each.element->name);
        }
        throw InputError({{{"--vary", 0},
                           {},
                           std::string(text),
                           "an element of a case or parts file before the point, or \"start\"",
                           suggestion(elementName, names),
                           {}}});
    }
    field.element = place->element;
    field.isPart = place->isPart;
    field.tellsTheMotor = place->tellsTheMotor;
    field.isWorkingPoint = place->element == &workingPointElement();
    field.hasEnds =
        attributeOf(*field.element, field.attribute + std::string(lowerEnd)) != nullptr &&
        attributeOf(*field.element, field.attribute + std::string(upperEnd)) != nullptr;
    field.spec = attributeOf(*field.element, field.attribute);
    if (field.spec == nullptr && field.hasEnds) {
        field.spec = attributeOf(*field.element, field.attribute + std::string(lowerEnd));
    }
    if (field.spec == nullptr || !isChangeable(*field.spec)) {
        const std::vector<std::string> names = changeableNames(*field.element);
        throw InputError({{{"--vary", 0},
                           {},
                           std::string(text),
                           names.empty() ? fmt::format("nothing in <{}>", field.element->name)
                                         : fmt::format("of <{}>: {}", field.element->name,
                                                       fmt::join(names, ", ")),
                           suggestion(field.attribute, names),
                           {}}});
    }
    return field;
}

WorkingPoint workingPointOf(std::span<const FieldChange> changes)
{
    ProblemList problems;
    XmlText xml("<start/>", "", problems);
    for (const FieldChange& change : changes) {
        if (change.field.isWorkingPoint) {
            xml.set(xml.root(), change.field.attribute, change.value);
        }
    }
    const Element element(xml, xml.root(), workingPointElement(), problems);
    try {
        problems.throwIfAny();
    } catch (const InputError& error) {
        std::vector<InputProblem> found = error.problems();
        for (InputProblem& problem : found) {
            problem.place = {"--vary", 0};  // it stands in no file
            std::replace(problem.field.begin(), problem.field.end(), '/', '.');  // as typed
        }
        throw InputError(std::move(found));
    }
    static constexpr std::array<Release, 3> ends = {Release::early, Release::middle, Release::late};
    WorkingPoint point;
    point.line_ratio = element.numberIfGiven("line-percent");
    point.winding_degC = element.number("winding-temperature-c");
    point.parts = ends[element.choice("parts")];
    if (element.given("capacitors")) {
        point.capacitors = ends[element.choice("capacitors")];
    }
    point.restartAfter_s = element.numberIfGiven("restart-after-seconds");
    return point;
}

}  // namespace splitstart
