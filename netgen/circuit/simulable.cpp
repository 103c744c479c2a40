#include <algorithm>
#include <set>
#include <stdexcept>

#include "circuit/link_graph.h"
#include "circuit/wiring_faults.h"

namespace splitstart
{

namespace
{

std::set<std::string> partsWithoutCurrent(const Circuit& circuit, bool keepDeadEnds)
{
    const LinkGraph graph(circuit);
    const std::vector<bool> onSupply = graph.onSupply();
    std::set<std::string> ids;
    for (const CircuitPart& part : circuit.parts) {
        if (part.kind != PartKind::supply && part.kind != PartKind::compressor) {
            ids.insert(part.id);
        }
    }
    for (const Link& link : graph.links()) {
        // A bridged one is nothing to the simulator, and a bridged winding may still carry what a
        // rotor induces in it.
        if (graph.carriesCurrent(link) ||
            ((keepDeadEnds || LinkGraph::isBridged(link)) && onSupply[link.a])) {
            ids.erase(link.part->id);
        }
    }
    return ids;
}

// A terminal with a connection inside that has no way to the supply.
std::optional<Terminal> adrift(const Circuit& circuit)
{
    const LinkGraph graph(circuit);
    const std::vector<bool> onSupply = graph.onSupply();
    for (const Link& link : graph.links()) {
        if (!onSupply[link.a]) {
            return link.first();
        }
    }
    return std::nullopt;
}

}  // namespace

Circuit withPartsDead(const Circuit& circuit, const std::set<std::string>& ids)
{
    Circuit result = circuit;
    std::erase_if(result.parts, [&ids](const CircuitPart& part) { return ids.contains(part.id); });
    result.wires.clear();
    const Nets nets(circuit);
    for (std::vector<Terminal> net : nets.all()) {
        std::erase_if(net, [&ids](const Terminal& each) { return ids.contains(each.part); });
        for (std::size_t i = 1; i < net.size(); ++i) {
            result.wires.push_back({net[0], net[i]});
        }
    }
    return result;
}

SimulableCircuit simulable(const Circuit& circuit, bool keepDeadEnds)
{
    const CircuitPart* const supply = circuit.find(PartKind::supply);
    if (supply == nullptr) {
        throw std::invalid_argument("a circuit without a supply cannot be simulated");
    }
    SimulableCircuit result{circuit, {}, {}};
    const std::set<std::string> idle = partsWithoutCurrent(circuit, keepDeadEnds);
    if (!idle.empty()) {
        result.leftOut.assign(idle.begin(), idle.end());
        result.circuit = withPartsDead(circuit, idle);
    }
    for (auto terminal = adrift(result.circuit); terminal; terminal = adrift(result.circuit)) {
        result.tiedDown.push_back({*terminal, {supply->id, "L2"}});
        result.circuit.wires.push_back(result.tiedDown.back());
    }
    return result;
}

}  // namespace splitstart
