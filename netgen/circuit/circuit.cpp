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
    using Pairs = std::vector<TerminalPair>;
    static const Pairs ab = {{"A", "B"}};
    static const Pairs contact = {{"1", "2"}};
    static const Pairs poles = {{"L1", "T1"}, {"L2", "T2"}};
    static const Pairs windings = {{"C", "R"}, {"C", "S"}};
    static const std::array<PartKindInfo, 16> kinds = {{
        {.kind = PartKind::supply,
         .name = "supply",
         .words = "supply",
         .terminals = {"L1", "L2"},
         .inside = {{"L1", "L2"}},
         .alike = {{{"L1", "L2"}}}},
        {.kind = PartKind::compressor,
         .name = "compressor",
         .words = "compressor",
         .terminals = {"C", "S", "R"},
         .inside = windings},
        {.kind = PartKind::thermostat,
         .name = "thermostat",
         .words = "thermostat contact",
         .terminals = {"1", "2"},
         .inside = contact,
         .closedAtRest = contact,
         .bridges = contact,
         .alike = {contact}},
        // Contact and coil share 2, so that 1 and 2 are not alike.
        {.kind = PartKind::potentialRelay,
         .name = "potential-relay",
         .words = "potential relay",
         .terminals = {"1", "2", "5", "4", "6"},
         .tiePosts = {"4", "6"},
         .inside = {{"1", "2"}, {"2", "5"}},
         .closedAtRest = contact},
        // The few turns of its coil are as good as a wire, so that it makes no difference here
        // whether the contact begins at L or behind the coil at M; the part says which.
        {.kind = PartKind::currentRelay,
         .name = "current-relay",
         .words = "current relay",
         .terminals = {"L", "M", "S"},
         .inside = {{"L", "M"}, {"L", "S"}},
         .closedAtRest = {{"L", "M"}}},
        {.kind = PartKind::startCapacitor,
         .name = "start-capacitor",
         .words = "start capacitor",
         .terminals = {"A", "B"},
         .inside = ab,
         .alike = {ab}},
        {.kind = PartKind::runCapacitor,
         .name = "run-capacitor",
         .words = "run capacitor",
         .terminals = {"A", "B"},
         .inside = ab,
         .alike = {ab}},
        {.kind = PartKind::protector,
         .name = "protector",
         .words = "overload protector",
         .terminals = {"1", "3"},
         .inside = {{"1", "3"}},
         .closedAtRest = {{"1", "3"}},
         .bridges = {{"1", "3"}},
         .alike = {{{"1", "3"}}}},
        {.kind = PartKind::condenserFan,
         .name = "condenser-fan",
         .words = "condenser fan",
         .terminals = {"A", "B"},
         .inside = ab,
         .alike = {ab}},
        {.kind = PartKind::ptc,
         .name = "ptc",
         .words = "PTC",
         .terminals = {"A", "B"},
         .inside = ab,
         .alike = {ab}},
        // The contact has no direction; whether the electronics at L and N have, nobody says.
        {.kind = PartKind::timedSwitch,
         .name = "timed-switch",
         .words = "timed start switch",
         .terminals = {"1", "2", "L", "N"},
         .inside = {{"1", "2"}, {"L", "N"}},
         .closedAtRest = contact,
         .alike = {contact}},
        {.kind = PartKind::centrifugalSwitch,
         .name = "centrifugal-switch",
         .words = "centrifugal switch",
         .terminals = {"1", "2"},
         .inside = contact,
         .closedAtRest = contact,
         .alike = {contact}},
        {.kind = PartKind::dualRunCapacitor,
         .name = "dual-run-capacitor",
         .words = "dual run capacitor",
         .terminals = {"C", "HERM", "FAN"},
         .inside = {{"C", "HERM"}, {"C", "FAN"}}},
        {.kind = PartKind::fanCapacitor,
         .name = "fan-capacitor",
         .words = "fan capacitor",
         .terminals = {"A", "B"},
         .inside = ab,
         .alike = {ab}},
        {.kind = PartKind::capacitorFan,
         .name = "capacitor-fan",
         .words = "condenser fan with a run capacitor",
         .terminals = {"C", "S", "R"},
         .inside = windings},
        // Each pole end for end, and the poles with each other.
        {.kind = PartKind::contactor,
         .name = "contactor",
         .words = "contactor",
         .terminals = {"L1", "T1", "L2", "T2"},
         .inside = poles,
         .closedAtRest = poles,
         .bridges = poles,
         .alike = {{{"L1", "T1"}}, {{"L2", "T2"}}, {{"L1", "L2"}, {"T1", "T2"}}},
         // Crankcase heat keeps C on the line itself, so that only a fan would be on T2.
         .mayStayFree = {"T2"}},
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
    // Two posts have become one: of the wires to it one joins nothing any more.
    const Terminal common = terminal(dual, "C");
    for (std::size_t i = 0; i < result.wires.size(); ++i) {
        const Wire wire = result.wires[i];
        Circuit without = result;
        without.wires.erase(without.wires.begin() + static_cast<std::ptrdiff_t>(i));
        const Nets left(without);
        if ((wire.from == common || wire.to == common) && left.of(wire.from) == left.of(wire.to)) {
            return without;
        }
    }
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

}  // namespace splitstart
