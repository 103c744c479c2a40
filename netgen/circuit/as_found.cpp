#include "circuit/as_found.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <optional>
#include <utility>

#include "case/problem_list.h"
#include "case/text.h"

namespace splitstart
{

namespace
{

std::string suggestion(std::string_view name, std::span<const std::string_view> candidates)
{
    const std::string_view meant = nearest(name, candidates);
    return meant.empty() ? std::string() : fmt::format("Did you mean \"{}\"?", meant);
}

// A wire of an option is no element of a file, and its place names it whole.
std::string fieldOf(const FoundWire& wire, const char* field)
{
    return wire.place.line > 0 ? field : std::string();
}

class WireEnds
{
public:
    WireEnds(const Circuit& circuit, ProblemList& problems) : circuit_(circuit), problems_(problems)
    {
        for (const CircuitPart& part : circuit.parts) {
            ids_.emplace_back(part.id);
        }
    }

    // The terminal meant, or nothing and a problem in the list.
    std::optional<Terminal> terminal(std::string_view text, const std::string& field,
                                     const SourcePlace& place)
    {
        const std::size_t dot = std::min(text.find('.'), text.size());
        const std::string_view id = text.substr(0, dot);
        const auto part =
            std::find_if(circuit_.parts.begin(), circuit_.parts.end(),
                         [id](const CircuitPart& each) { return equalIgnoringCase(each.id, id); });
        if (part == circuit_.parts.end()) {
            problems_.add(
                {place,
                 field,
                 std::string(text),
                 fmt::format("a terminal of one of the parts of this circuit: {}", joined(ids_)),
                 suggestion(id, ids_),
                 {}});
            return std::nullopt;
        }
        const PartKindInfo& info = partKindInfo(part->kind);
        const std::string_view name = text.substr(std::min(dot + 1, text.size()));
        const auto known =
            std::find_if(info.terminals.begin(), info.terminals.end(),
                         [name](std::string_view each) { return equalIgnoringCase(each, name); });
        if (known == info.terminals.end()) {
            problems_.add({place,
                           field,
                           std::string(text),
                           fmt::format("{} and a terminal of the {}: {}", part->id, info.words,
                                       joined(info.terminals)),
                           {},
                           {}});
            return std::nullopt;
        }
        return Terminal{part->id, std::string(*known)};
    }

private:
    const Circuit& circuit_;
    ProblemList& problems_;
    std::vector<std::string_view> ids_;
};

}  // namespace

Circuit asFoundCircuit(const Circuit& wanted, const FoundWiring& found)
{
    Circuit result = wanted;
    result.wires.clear();
    ProblemList problems;
    WireEnds ends(wanted, problems);
    std::map<std::pair<Terminal, Terminal>, int> lineOf;
    for (const FoundWire& wire : found.wires) {
        const auto from = ends.terminal(wire.from, fieldOf(wire, "wire/from"), wire.place);
        const auto to = ends.terminal(wire.to, fieldOf(wire, "wire/to"), wire.place);
        if (!from || !to) {
            continue;
        }
        if (*from == *to) {
            problems.add({wire.place,
                          fieldOf(wire, "wire"),
                          {},
                          "two different terminals",
                          {},
                          fmt::format("from {} to itself", terminalText(*from))});
            continue;
        }
        const auto [first, isNew] = lineOf.try_emplace(std::minmax(*from, *to), wire.place.line);
        if (!isNew) {
            problems.add({wire.place,
                          fieldOf(wire, "wire"),
                          {},
                          "each wire once, either way round",
                          first->second > 0 ? fmt::format("The first is in line {}.", first->second)
                                            : std::string(),
                          fmt::format("a second wire between {} and {}", terminalText(*from),
                                      terminalText(*to))});
            continue;
        }
        result.wires.push_back({*from, *to});
    }
    problems.throwIfAny();
    return result;
}

}  // namespace splitstart
