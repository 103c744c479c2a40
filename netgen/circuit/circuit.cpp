#include "circuit/circuit.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <numeric>
#include <stdexcept>

namespace splitstart
{

namespace
{

const std::array<PartKindInfo, 16>& partKinds()
{
    static const std::array<PartKindInfo, 16> kinds = {{
        {PartKind::supply, "supply", "supply", {"L1", "L2"}, {}, {}, {}},
        {PartKind::compressor, "compressor", "compressor", {"C", "S", "R"}, {}, {}, {}},
        {PartKind::thermostat,
         "thermostat",
         "thermostat contact",
         {"1", "2"},
         {},
         {{"1", "2"}},
         {{"1", "2"}}},
        {PartKind::potentialRelay,
         "potential-relay",
         "potential relay",
         {"1", "2", "5", "4", "6"},
         {"4", "6"},
         {{"1", "2"}},
         {}},
        // The few turns of its coil are as good as a wire.
        {PartKind::currentRelay,
         "current-relay",
         "current relay",
         {"L", "M", "S"},
         {},
         {{"L", "M"}},
         {}},
        {PartKind::startCapacitor, "start-capacitor", "start capacitor", {"A", "B"}, {}, {}, {}},
        {PartKind::runCapacitor, "run-capacitor", "run capacitor", {"A", "B"}, {}, {}, {}},
        {PartKind::protector,
         "protector",
         "overload protector",
         {"1", "3"},
         {},
         {{"1", "3"}},
         {{"1", "3"}}},
        {PartKind::condenserFan, "condenser-fan", "condenser fan", {"A", "B"}, {}, {}, {}},
        {PartKind::ptc, "ptc", "PTC", {"A", "B"}, {}, {}, {}},
        {PartKind::timedSwitch,
         "timed-switch",
         "timed start switch",
         {"1", "2", "L", "N"},
         {},
         {{"1", "2"}},
         {}},
        {PartKind::centrifugalSwitch,
         "centrifugal-switch",
         "centrifugal switch",
         {"1", "2"},
         {},
         {{"1", "2"}},
         {}},
        {PartKind::dualRunCapacitor,
         "dual-run-capacitor",
         "dual run capacitor",
         {"C", "HERM", "FAN"},
         {},
         {},
         {}},
        {PartKind::fanCapacitor, "fan-capacitor", "fan capacitor", {"A", "B"}, {}, {}, {}},
        {PartKind::capacitorFan,
         "capacitor-fan",
         "condenser fan with a run capacitor",
         {"C", "S", "R"},
         {},
         {},
         {}},
        {PartKind::contactor,
         "contactor",
         "contactor",
         {"L1", "T1", "L2", "T2"},
         {},
         {{"L1", "T1"}, {"L2", "T2"}},
         {{"L1", "T1"}, {"L2", "T2"}},
         // Crankcase heat keeps C on the line itself, so that only a fan would be on T2.
         {"T2"}},
    }};
    return kinds;
}

constexpr std::array startDevices = {PartKind::potentialRelay, PartKind::currentRelay,
                                     PartKind::ptc, PartKind::timedSwitch,
                                     PartKind::centrifugalSwitch};

}  // namespace

const PartKindInfo& partKindInfo(PartKind kind)
{
    return *std::find_if(partKinds().begin(), partKinds().end(),
                         [kind](const PartKindInfo& info) { return info.kind == kind; });
}

std::optional<PartKind> partKindByName(std::string_view name)
{
    for (const PartKindInfo& info : partKinds()) {
        if (info.name == name) {
            return info.kind;
        }
    }
    return std::nullopt;
}

std::string terminalText(const Terminal& terminal)
{
    return terminal.part + "." + terminal.name;
}

const CircuitPart* Circuit::find(std::string_view id) const
{
    const auto found = std::find_if(parts.begin(), parts.end(),
                                    [id](const CircuitPart& part) { return part.id == id; });
    return found == parts.end() ? nullptr : &*found;
}

const CircuitPart* Circuit::find(PartKind kind) const
{
    const auto found = std::find_if(parts.begin(), parts.end(),
                                    [kind](const CircuitPart& part) { return part.kind == kind; });
    return found == parts.end() ? nullptr : &*found;
}

std::span<const PartKind> startDeviceKinds()
{
    return startDevices;
}

std::optional<PartKind> startDeviceOf(const Circuit& circuit)
{
    for (const PartKind kind : startDevices) {
        if (circuit.find(kind) != nullptr) {
            return kind;
        }
    }
    return std::nullopt;
}

Circuit withoutPart(const Circuit& circuit, std::string_view id)
{
    Circuit result = circuit;
    std::erase_if(result.parts, [id](const CircuitPart& part) { return part.id == id; });
    std::erase_if(result.wires,
                  [id](const Wire& wire) { return wire.from.part == id || wire.to.part == id; });
    return result;
}

namespace
{

// A terminal of another part that a wire joins with one of those two of this part.
std::optional<Terminal> anchorOf(const Circuit& circuit, const Terminal& a, const Terminal& b)
{
    const auto isEnd = [&](const Terminal& end) { return end == a || end == b; };
    for (const Wire& wire : circuit.wires) {
        if (isEnd(wire.from) && wire.to.part != a.part) {
            return wire.to;
        }
        if (isEnd(wire.to) && wire.from.part != a.part) {
            return wire.from;
        }
    }
    return std::nullopt;
}

// Lands every wire end that `isMoved` on `there` instead.
template <typename Predicate>
void reland(std::vector<Wire>& wires, const Predicate& isMoved, const Terminal& there)
{
    for (Wire& wire : wires) {
        for (Terminal* end : {&wire.from, &wire.to}) {
            if (isMoved(*end)) {
                *end = there;
            }
        }
    }
    std::erase_if(wires, [](const Wire& wire) { return wire.from == wire.to; });
}

}  // namespace

Circuit withPartBridged(const Circuit& circuit, std::string_view id)
{
    const CircuitPart* part = circuit.find(id);
    if (part == nullptr || partKindInfo(part->kind).bridges.empty()) {
        throw std::invalid_argument(fmt::format("no part `{}` that can be bridged", id));
    }
    Circuit result = circuit;
    for (const auto& [first, second] : partKindInfo(part->kind).bridges) {
        const Terminal a{part->id, std::string(first)};
        const Terminal b{part->id, std::string(second)};
        // All that landed on the part now lands on one of those points.
        if (const std::optional<Terminal> anchor = anchorOf(result, a, b)) {
            reland(
                result.wires, [&](const Terminal& end) { return end == a || end == b; }, *anchor);
        }
    }
    return withoutPart(result, id);
}

Circuit withDualCapacitor(const Circuit& circuit, std::string_view compressorSection,
                          std::string_view fanSection, std::string_view dual)
{
    const Nets nets(circuit);
    const auto terminal = [](std::string_view part, const char* name) {
        return Terminal{std::string(part), name};
    };
    if (nets.of(terminal(compressorSection, "A")) != nets.of(terminal(fanSection, "A"))) {
        throw std::invalid_argument(
            fmt::format("{}.A and {}.A are not on one point", compressorSection, fanSection));
    }
    Circuit result = circuit;
    const auto move = [&](const Terminal& from, const char* to) {
        reland(
            result.wires, [&](const Terminal& end) { return end == from; }, terminal(dual, to));
    };
    move(terminal(compressorSection, "A"), "C");
    move(terminal(fanSection, "A"), "C");
    move(terminal(compressorSection, "B"), "HERM");
    move(terminal(fanSection, "B"), "FAN");
    std::erase_if(result.parts, [&](const CircuitPart& part) {
        return part.id == compressorSection || part.id == fanSection;
    });
    result.parts.push_back({std::string(dual), PartKind::dualRunCapacitor, false});
    return result;
}

Nets::Nets(const Circuit& circuit)
{
    std::vector<Terminal> terminals;
    for (const CircuitPart& part : circuit.parts) {
        for (const std::string_view name : partKindInfo(part.kind).terminals) {
            netOf_[{part.id, std::string(name)}] = terminals.size();
            terminals.push_back({part.id, std::string(name)});
        }
    }
    std::vector<std::size_t> leader(terminals.size());
    std::iota(leader.begin(), leader.end(), std::size_t{0});
    const auto leaderOf = [&leader](std::size_t index) {
        while (leader[index] != index) {
            index = leader[index] = leader[leader[index]];
        }
        return index;
    };
    for (const Wire& wire : circuit.wires) {
        const std::size_t from = leaderOf(netOf_.at(wire.from));
        const std::size_t to = leaderOf(netOf_.at(wire.to));
        leader[std::max(from, to)] = std::min(from, to);
    }
    std::map<std::size_t, std::size_t> netOfLeader;
    for (std::size_t index = 0; index < terminals.size(); ++index) {
        const auto [net, isNew] = netOfLeader.try_emplace(leaderOf(index), nets_.size());
        if (isNew) {
            nets_.emplace_back();
        }
        nets_[net->second].push_back(terminals[index]);
        netOf_[terminals[index]] = net->second;
    }
}

namespace
{

// The same circuit with a wire across everything that is as good as one when the supply comes on:
// closed contacts, and the few turns of a current relay's coil.
Circuit withContactsAsWires(const Circuit& circuit)
{
    Circuit result = circuit;
    for (const CircuitPart& part : circuit.parts) {
        for (const auto& [from, to] : partKindInfo(part.kind).closedAtRest) {
            result.wires.push_back({{part.id, std::string(from)}, {part.id, std::string(to)}});
        }
    }
    return result;
}

}  // namespace

std::vector<std::string> circuitFaults(const Circuit& circuit)
{
    std::vector<std::string> faults;
    const Nets nets(circuit);
    for (const CircuitPart& part : circuit.parts) {
        const PartKindInfo& info = partKindInfo(part.kind);
        for (const std::string_view name : info.terminals) {
            const Terminal terminal{part.id, std::string(name)};
            const auto isAmong = [name = name](const std::vector<std::string_view>& names) {
                return std::find(names.begin(), names.end(), name) != names.end();
            };
            const bool mayBeFree = isAmong(info.tiePosts) || isAmong(info.mayStayFree);
            if (!mayBeFree && nets.all()[nets.of(terminal)].size() == 1) {
                faults.push_back(fmt::format("no wire reaches {} of the {}", terminalText(terminal),
                                             info.words));
            }
        }
    }
    const Nets throughContacts(withContactsAsWires(circuit));
    for (const CircuitPart& part : circuit.parts) {
        if (part.kind != PartKind::supply) {
            continue;
        }
        const Terminal l1{part.id, "L1"};
        const Terminal l2{part.id, "L2"};
        if (nets.of(l1) == nets.of(l2)) {
            faults.emplace_back("the wires join L1 and L2 of the supply: a dead short");
        } else if (throughContacts.of(l1) == throughContacts.of(l2)) {
            faults.emplace_back(
                "the wires join L1 and L2 of the supply through closed contacts: a dead short");
        }
    }
    return faults;
}

}  // namespace splitstart
