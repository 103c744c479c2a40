#include "unit/report/drawn_circuits.h"

#include <random>
#include <stdexcept>
#include <utility>

#include "unit/circuit/circuit_fixture.h"

namespace splitstart
{

namespace
{

std::string nameOf(const Circuit& circuit)
{
    return circuit.type + " " + circuit.variant + ": " + circuit.description;
}

Circuit withoutParts(Circuit circuit, const std::vector<std::string>& ids)
{
    for (const std::string& id : ids) {
        circuit = withoutPart(circuit, id);
    }
    return circuit;
}

// Wires between any two terminals. The raw numbers of the generator are the same everywhere.
std::vector<Wire> randomWires(const Circuit& circuit, std::size_t count, unsigned draw)
{
    std::mt19937 generator(draw);
    const std::vector<Terminal> terminals = terminalsOf(circuit);
    std::vector<Wire> wires;
    while (wires.size() < count) {
        const Terminal& from = terminals[generator() % terminals.size()];
        const Terminal& to = terminals[generator() % terminals.size()];
        if (from != to) {
            wires.push_back({from, to});
        }
    }
    return wires;
}

// One part of every kind, wired without sense.
Circuit everyKind(std::size_t wires, unsigned draw)
{
    Circuit circuit;
    for (const CircuitPart& part : standardCircuit("cscr-potential-relay").parts) {
        circuit.parts.push_back(part);
    }
    for (const auto& [id, kind] : {std::pair{"current-relay", PartKind::currentRelay},
                                   {"ptc", PartKind::ptc},
                                   {"timed-switch", PartKind::timedSwitch},
                                   {"switch", PartKind::centrifugalSwitch},
                                   {"dual", PartKind::dualRunCapacitor}}) {
        circuit.parts.push_back({id, kind});
    }
    circuit.wires = randomWires(circuit, wires, draw);
    return circuit;
}

}  // namespace

std::vector<NamedCircuit> standardVariants()
{
    std::vector<NamedCircuit> all;
    for (const Circuit& whole : standardCircuits()) {
        const std::string name = nameOf(whole);
        all.push_back({name, whole});
        const Circuit twoLeads = withoutParts(whole, {"capacitor-fan", "fan-capacitor"});
        const Circuit noFan = withoutPart(twoLeads, "fan");
        all.push_back({name + ", fan with two leads", twoLeads});
        all.push_back({name + ", fan with capacitor", withoutPart(whole, "fan")});
        all.push_back({name + ", no fan", noFan});
        all.push_back({name + ", no contactor", withPartBridged(twoLeads, "contactor")});
        all.push_back({name + ", no protector", withPartBridged(twoLeads, "protector")});
        all.push_back({name + ", nothing optional",
                       withPartBridged(withPartBridged(noFan, "contactor"), "protector")});
        if (whole.find("run-capacitor") != nullptr) {
            try {
                all.push_back({name + ", dual capacitor",
                               withDualCapacitor(withoutPart(whole, "fan"), "run-capacitor",
                                                 "fan-capacitor", "dual")});
            } catch (const std::invalid_argument&) {
                // The two capacitors have no point in common here.
            }
        }
    }
    return all;
}

std::vector<NamedCircuit> miswired()
{
    std::vector<NamedCircuit> all;
    unsigned draw = 1;
    for (const Circuit& whole : standardCircuits()) {
        const Circuit sound = withoutParts(whole, {"capacitor-fan", "fan-capacitor"});
        const std::vector<Wire> wrong = randomWires(sound, sound.wires.size(), draw);
        Circuit some = sound;
        for (std::size_t i = draw % 3; i < some.wires.size(); i += 4) {
            some.wires[i].to = some.wires[i].from == wrong[i].to ? wrong[i].from : wrong[i].to;
        }
        std::erase_if(some.wires, [](const Wire& wire) { return wire.from == wire.to; });
        Circuit every = sound;
        every.wires = wrong;
        all.push_back({nameOf(whole) + ", some wires wrong", some});
        all.push_back({nameOf(whole) + ", all wires wrong", every});
        ++draw;
    }
    for (const std::size_t wires : {8U, 16U, 24U, 40U}) {
        all.push_back({"every kind, " + std::to_string(wires), everyKind(wires, draw++)});
    }
    Circuit bare = standardCircuit("psc");
    bare.wires.clear();
    all.push_back({"no wires", bare});
    Circuit two = standardCircuit("csir-potential-relay");
    two.parts.push_back({"second-compressor", PartKind::compressor});
    two.parts.push_back({"second-relay", PartKind::potentialRelay});
    two.wires.push_back({{"second-relay", "5"}, {"second-compressor", "C"}});
    two.wires.push_back({{"second-compressor", "C"}, {"second-relay", "5"}});
    all.push_back({"two compressors", two});
    return all;
}

std::vector<Terminal> terminalsOf(const Circuit& circuit)
{
    std::vector<Terminal> terminals;
    for (const CircuitPart& part : circuit.parts) {
        for (const std::string_view name : partKindInfo(part.kind).terminals) {
            terminals.push_back({part.id, std::string(name)});
        }
    }
    return terminals;
}

DrawingText usualText(const Circuit& circuit)
{
    DrawingText text;
    text.title = "Cheese store, compressor 2";
    text.invented = true;
    for (const CircuitPart& part : circuit.parts) {
        text.ratings[part.id] = part.kind == PartKind::supply ? "230 V, 50 Hz" : "143 uF, 330 V";
    }
    text.pins = {{"C", "1"}, {"S", "top"}, {"R", "left"}};
    return text;
}

}  // namespace splitstart
