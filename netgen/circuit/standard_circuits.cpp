#include <fmt/format.h>

#include <algorithm>
#include <pugixml.hpp>
#include <stdexcept>

#include "case/embedded_files.h"
#include "circuit/circuit.h"

namespace splitstart
{

namespace
{

// "relay.2" as a terminal of one of the circuit's parts.
Terminal parseTerminal(const Circuit& circuit, std::string_view text, std::string_view fileName)
{
    const std::size_t dot = text.find('.');
    if (dot == std::string_view::npos) {
        throw std::invalid_argument(
            fmt::format("{}: wire end \"{}\": write it as part.terminal", fileName, text));
    }
    const CircuitPart* part = circuit.find(text.substr(0, dot));
    if (part == nullptr) {
        throw std::invalid_argument(
            fmt::format("{}: wire end \"{}\": the circuit has no such part", fileName, text));
    }
    const auto& terminals = partKindInfo(part->kind).terminals;
    if (std::find(terminals.begin(), terminals.end(), text.substr(dot + 1)) == terminals.end()) {
        throw std::invalid_argument(fmt::format("{}: wire end \"{}\": a {} has the terminals {}",
                                                fileName, text, partKindInfo(part->kind).words,
                                                fmt::join(terminals, ", ")));
    }
    return {part->id, std::string(text.substr(dot + 1))};
}

CircuitPart parsePart(const pugi::xml_node& node, std::string_view fileName)
{
    const auto kind = partKindByName(node.attribute("kind").value());
    if (!kind) {
        throw std::invalid_argument(fmt::format("{}: part \"{}\": unknown kind \"{}\"", fileName,
                                                node.attribute("id").value(),
                                                node.attribute("kind").value()));
    }
    return {node.attribute("id").value(), *kind,
            std::string_view(node.attribute("optional").value()) == "yes"};
}

}  // namespace

Circuit parseCircuit(std::string_view xml, std::string_view fileName)
{
    pugi::xml_document document;
    const pugi::xml_parse_result parsed = document.load_buffer(xml.data(), xml.size());
    const pugi::xml_node root = document.child("circuit");
    if (!parsed || !root) {
        throw std::invalid_argument(fmt::format("{}: not a circuit file: {}", fileName,
                                                parsed ? "no <circuit>" : parsed.description()));
    }
    Circuit circuit;
    circuit.type = root.attribute("type").value();
    circuit.description = root.attribute("description").value();
    for (const pugi::xml_node& node : root.children("part")) {
        CircuitPart part = parsePart(node, fileName);
        if (part.id.empty() || circuit.find(part.id) != nullptr) {
            throw std::invalid_argument(
                fmt::format("{}: part \"{}\": ids must differ", fileName, part.id));
        }
        circuit.parts.push_back(std::move(part));
    }
    for (const pugi::xml_node& node : root.children("wire")) {
        const Wire wire{parseTerminal(circuit, node.attribute("from").value(), fileName),
                        parseTerminal(circuit, node.attribute("to").value(), fileName)};
        if (wire.from == wire.to) {
            throw std::invalid_argument(
                fmt::format("{}: wire from {} to itself", fileName, terminalText(wire.from)));
        }
        circuit.wires.push_back(wire);
    }
    return circuit;
}

std::span<const Circuit> standardCircuits()
{
    static const std::vector<Circuit> circuits = [] {
        std::vector<Circuit> result;
        for (const EmbeddedFile& file : embeddedFiles()) {
            if (file.name.ends_with(".xml")) {
                result.push_back(parseCircuit(file.text, file.name));
            }
        }
        return result;
    }();
    return circuits;
}

const Circuit* findStandardCircuit(std::string_view type, std::optional<PartKind> startDevice)
{
    for (const Circuit& circuit : standardCircuits()) {
        std::optional<PartKind> own;
        for (const PartKind kind : {PartKind::potentialRelay, PartKind::currentRelay}) {
            if (circuit.find(kind) != nullptr) {
                own = kind;
            }
        }
        if (circuit.type == type && own == startDevice) {
            return &circuit;
        }
    }
    return nullptr;
}

}  // namespace splitstart
