#include "case/field_edit.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <optional>
#include <utility>
#include <vector>

#include "case/number.h"
#include "case/text.h"

namespace splitstart
{

namespace
{

struct Found {
    XmlText* xml = nullptr;
    pugi::xml_node element;
};

void report(const FieldChange& change, std::string problem, std::string allowed,
            ProblemList& problems)
{
    problems.add({{}, change.field.written, {}, std::move(allowed), {}, std::move(problem)});
}

void collect(XmlText& xml, const pugi::xml_node& node, std::string_view name,
             std::vector<Found>& found)
{
    for (const pugi::xml_node& child : node.children()) {
        if (child.name() == name) {
            found.push_back({&xml, child});
        }
        collect(xml, child, name, found);
    }
}

// Whether WHICH of the field means this element, the `number`th of its like (1: the first).
bool isMeant(const Found& found, const FieldName& field, std::size_t number)
{
    // A length or a reading is no name: a number then counts.
    const bool hasName = !field.element->attributes.empty() &&
                         field.element->attributes.front().kind != ValueKind::number;
    if (field.which == std::to_string(number)) {
        return true;
    }
    if (!hasName) {
        return false;
    }
    const std::optional<std::string> first =
        found.xml->valueOf(found.element, field.element->attributes.front().name);
    return first && equalIgnoringCase(*first, field.which);
}

// "88-108" as its two ends.
std::optional<std::pair<std::string, std::string>> endsOf(std::string_view value)
{
    const std::size_t hyphen = value.find('-', 1);
    if (hyphen == std::string_view::npos) {
        return std::nullopt;
    }
    return std::pair(std::string(value.substr(0, hyphen)), std::string(value.substr(hyphen + 1)));
}

void setRange(const Found& found, const FieldChange& change, ProblemList& problems)
{
    const std::string minimumName = change.field.attribute + "-min";
    const std::string maximumName = change.field.attribute + "-max";
    if (const auto ends = endsOf(change.value)) {
        found.xml->set(found.element, minimumName, ends->first);
        found.xml->set(found.element, maximumName, ends->second);
        return;
    }
    const auto number = [&](const std::string& attribute) {
        const std::optional<std::string> text = found.xml->valueOf(found.element, attribute);
        return text ? parseNumber(*text) : std::nullopt;
    };
    const std::optional<double> minimum = number(minimumName);
    const std::optional<double> maximum = number(maximumName);
    const std::optional<double> middle = parseNumber(change.value);
    if (!middle) {
        // The reader says what is allowed there.
        found.xml->set(found.element, minimumName, change.value);
        return;
    }
    if (!minimum || !maximum || *minimum + *maximum <= 0) {
        report(change, fmt::format("the part has no {} and {}", minimumName, maximumName),
               "two ends, such as 88-108", problems);
        return;
    }
    // Digits that nobody can print or measure are rounding error.
    const auto scaled = [&](double end) {
        return plainNumber(
            parseNumber(fmt::format("{:.12g}", *middle * 2 * end / (*minimum + *maximum)))
                .value_or(*middle));
    };
    found.xml->set(found.element, minimumName, scaled(*minimum));
    found.xml->set(found.element, maximumName, scaled(*maximum));
}

void set(const Found& found, const FieldChange& change, ProblemList& problems)
{
    const FieldName& field = change.field;
    const bool hasMiddle = field.spec->name == field.attribute;
    const bool asEnds =
        field.hasEnds && (!hasMiddle || !found.xml->valueOf(found.element, field.attribute));
    if (asEnds) {
        setRange(found, change, problems);
    } else {
        found.xml->set(found.element, field.attribute, change.value);
    }
}

// Where an element of that name may be added: in the case, or in an element that it has.
pugi::xml_node added(XmlText& xml, const ElementSpec& element)
{
    for (const ChildSpec& child : caseElement().children) {
        if (child.element == &element) {
            return child.occurs == Occurs::atMostOnce ? xml.append(xml.root(), element.name)
                                                      : pugi::xml_node();
        }
        for (const ChildSpec& inner : child.element->children) {
            pugi::xml_node parent = xml.root().child(std::string(child.element->name).c_str());
            if (inner.element == &element && inner.occurs == Occurs::atMostOnce &&
                !parent.empty()) {
                return xml.append(parent, element.name);
            }
        }
    }
    return {};
}

// The ids that the circuit names, with the attribute that names each.
std::vector<std::pair<std::string, std::string>> partsInCircuit(const XmlText& xml)
{
    std::vector<std::pair<std::string, std::string>> ids;
    const pugi::xml_node circuit = xml.root().child("circuit");
    if (!circuit.empty()) {
        for (const XmlAttribute& attribute : xml.attributesOf(circuit)) {
            ids.emplace_back(attribute.name, attribute.value);
        }
    }
    return ids;
}

// Of several parts of one kind in a circuit, the one whose place has the kind's name: the run
// capacitor, not the fan's.
std::vector<Found> inCircuit(const std::vector<Found>& parts, const XmlText& xml,
                             std::string_view kind)
{
    std::vector<Found> result;
    for (const auto& [place, id] : partsInCircuit(xml)) {
        for (const Found& part : parts) {
            if (equalIgnoringCase(part.xml->valueOf(part.element, "id").value_or(""), id)) {
                if (place == kind) {
                    return {part};
                }
                result.push_back(part);
            }
        }
    }
    return result;
}

}  // namespace

void changeCase(XmlText& xml, std::span<const FieldChange> changes, ProblemList& problems)
{
    for (const FieldChange& change : changes) {
        const FieldName& field = change.field;
        if (field.isPart || field.isWorkingPoint || xml.root().empty()) {
            continue;
        }
        std::vector<Found> found;
        collect(xml, xml.root(), field.element->name, found);
        if (!field.which.empty()) {
            std::vector<Found> meant;
            for (std::size_t i = 0; i < found.size(); ++i) {
                if (isMeant(found[i], field, i + 1)) {
                    meant.push_back(found[i]);
                }
            }
            found = std::move(meant);
        } else if (found.empty()) {
            const pugi::xml_node node = added(xml, *field.element);
            if (!node.empty()) {
                found.push_back({&xml, node});
            }
        }
        if (found.size() != 1) {
            report(change,
                   found.empty() ? "the case has no such element"
                                 : fmt::format("the case has {} such elements", found.size()),
                   fmt::format("an element that is there once, or {}/WHICH.{} with its first "
                               "attribute or its number",
                               field.element->name, field.attribute),
                   problems);
            continue;
        }
        set(found.front(), change, problems);
    }
}

void changeParts(XmlText& xml, XmlText* partsFile, std::span<const FieldChange> changes,
                 ProblemList& problems)
{
    for (const FieldChange& change : changes) {
        const FieldName& field = change.field;
        if (!field.isPart || xml.root().empty()) {
            continue;
        }
        std::vector<Found> all;
        if (partsFile != nullptr) {
            collect(*partsFile, partsFile->root(), field.element->name, all);
        }
        collect(xml, xml.root(), field.element->name, all);
        std::vector<Found> found;
        if (field.which.empty()) {
            found = inCircuit(all, xml, field.element->name);
        } else {
            for (std::size_t i = 0; i < all.size(); ++i) {
                if (isMeant(all[i], field, i + 1)) {
                    found.push_back(all[i]);
                }
            }
        }
        if (found.size() != 1) {
            report(change,
                   found.empty() ? fmt::format("the case has no such part{}",
                                               field.which.empty() ? " in its circuit" : "")
                                 : fmt::format("the case has {} such parts", found.size()),
                   fmt::format("a kind of part that its circuit has once, or {}/ID.{}",
                               field.element->name, field.attribute),
                   problems);
            continue;
        }
        set(found.front(), change, problems);
    }
}

}  // namespace splitstart
