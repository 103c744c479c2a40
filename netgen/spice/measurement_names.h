// Names of the vectors that measurements read. Internal to spice/.
#pragma once

#include <fmt/format.h>

#include <set>
#include <string>
#include <string_view>

#include "circuit/simulation_model.h"

namespace splitstart
{

// Names of the vectors, from the model's own nodes and the ammeters inside models/.
struct VectorNames {
    explicit VectorNames(const SimulationModel& model) : model_(model) {}

    static std::string ammeter(const std::string& path) { return fmt::format("v.{}#branch", path); }
    std::string main = ammeter("xcompressor.vmain");
    std::string auxiliary = ammeter("xcompressor.vaux");
    std::string rotorMain = ammeter("xcompressor.vrotq");
    std::string rotorAuxiliary = ammeter("xcompressor.vrotd");
    std::string fluxMain = "xcompressor.psiq";
    std::string fluxAuxiliary = "xcompressor.psid";

    [[nodiscard]] std::string line() const
    {
        return ammeter(fmt::format("x{}.vline", model_.instance("supply").name));
    }
    [[nodiscard]] std::string startDeviceCurrent() const
    {
        return ammeter(model_.startDevice.value().ammeter);
    }

private:
    const SimulationModel& model_;
};

// Nodes of the circuit's wires, ground left out.
inline std::set<std::string> wireNodes(const SimulationModel& model)
{
    std::set<std::string> nodes;
    for (const auto& [terminal, node] : model.nodeOfTerminal) {
        if (node != "0") {
            nodes.insert(node);
        }
    }
    // A feeder's far end is no terminal of the circuit.
    nodes.insert(model.instance("supply").nodeOfPort.at("l1"));
    // Tie posts that no wire reaches are in no subcircuit, so ngspice has no such node.
    std::set<std::string> used;
    for (const SubcircuitInstance& instance : model.instances) {
        for (const auto& [port, node] : instance.nodeOfPort) {
            used.insert(node);
        }
    }
    std::erase_if(nodes, [&used](const std::string& node) { return used.count(node) == 0; });
    return nodes;
}

inline const SubcircuitInstance* instanceNamed(const SimulationModel& model, std::string_view name)
{
    for (const SubcircuitInstance& instance : model.instances) {
        if (instance.name == name) {
            return &instance;
        }
    }
    return nullptr;
}

}  // namespace splitstart
