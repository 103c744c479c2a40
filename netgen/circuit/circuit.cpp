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

const std::array<PartKindInfo, 9>& partKinds()
{
    static const std::array<PartKindInfo, 9> kinds = {{
        {PartKind::supply, "supply", "supply", {"L1", "L2"}, {}},
        {PartKind::compressor, "compressor", "compressor", {"C", "S", "R"}, {}},
        {PartKind::thermostat, "thermostat", "thermostat contact", {"1", "2"}, {}},
        {PartKind::potentialRelay,
         "potential-relay",
         "potential relay",
         {"1", "2", "5", "4", "6"},
         {"4", "6"}},
        {PartKind::currentRelay, "current-relay", "current relay", {"L", "M", "S"}, {}},
        {PartKind::startCapacitor, "start-capacitor", "start capacitor", {"A", "B"}, {}},
        {PartKind::runCapacitor, "run-capacitor", "run capacitor", {"A", "B"}, {}},
        {PartKind::protector, "protector", "overload protector", {"1", "3"}, {}},
        {PartKind::condenserFan, "condenser-fan", "condenser fan", {"A", "B"}, {}},
    }};
    return kinds;
}

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

Circuit withoutPart(const Circuit& circuit, std::string_view id)
{
    Circuit result = circuit;
    std::erase_if(result.parts, [id](const CircuitPart& part) { return part.id == id; });
    std::erase_if(result.wires,
                  [id](const Wire& wire) { return wire.from.part == id || wire.to.part == id; });
    return result;
}

Circuit withPartBridged(const Circuit& circuit, std::string_view id)
{
    const CircuitPart* part = circuit.find(id);
    if (part == nullptr || partKindInfo(part->kind).terminals.size() != 2) {
        throw std::invalid_argument(fmt::format("no two-terminal part `{}` to bridge", id));
    }
    // All that landed on the part now lands on one of those points.
    std::optional<Terminal> anchor;
    for (const Wire& wire : circuit.wires) {
        if (wire.from.part != id && wire.to.part == id) {
            anchor = wire.from;
        } else if (wire.from.part == id && wire.to.part != id) {
            anchor = wire.to;
        }
        if (anchor) {
            break;
        }
    }
    Circuit result = circuit;
    std::erase_if(result.parts, [id](const CircuitPart& each) { return each.id == id; });
    if (!anchor) {
        return withoutPart(circuit, id);
    }
    for (Wire& wire : result.wires) {
        if (wire.from.part == id) {
            wire.from = *anchor;
        }
        if (wire.to.part == id) {
            wire.to = *anchor;
        }
    }
    std::erase_if(result.wires, [](const Wire& wire) { return wire.from == wire.to; });
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
    static const std::map<PartKind, std::pair<const char*, const char*>> closed = {
        {PartKind::thermostat, {"1", "2"}},
        {PartKind::protector, {"1", "3"}},
        {PartKind::potentialRelay, {"1", "2"}},
        {PartKind::currentRelay, {"L", "M"}},
    };
    Circuit result = circuit;
    for (const CircuitPart& part : circuit.parts) {
        if (const auto found = closed.find(part.kind); found != closed.end()) {
            result.wires.push_back(
                {{part.id, found->second.first}, {part.id, found->second.second}});
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
            const bool isTiePost =
                std::find(info.tiePosts.begin(), info.tiePosts.end(), name) != info.tiePosts.end();
            if (!isTiePost && nets.all()[nets.of(terminal)].size() == 1) {
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
