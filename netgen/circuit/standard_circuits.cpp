#include <fmt/format.h>

#include <algorithm>
#include <pugixml.hpp>
#include <stdexcept>

#include "case/embedded_files.h"
#include "case/text.h"
#include "case/vocabulary.h"
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
        throw std::invalid_argument(fmt::format("{}: wire end \"{}\": write it as part.terminal",
                                                fileName, shortText(text)));
    }
    const CircuitPart* part = circuit.find(text.substr(0, dot));
    if (part == nullptr) {
        throw std::invalid_argument(fmt::format("{}: wire end \"{}\": the circuit has no such part",
                                                fileName, shortText(text)));
    }
    const auto& terminals = partKindInfo(part->kind).terminals;
    if (std::find(terminals.begin(), terminals.end(), text.substr(dot + 1)) == terminals.end()) {
        throw std::invalid_argument(
            fmt::format("{}: wire end \"{}\": a {} has the terminals {}", fileName, shortText(text),
                        partKindInfo(part->kind).words, fmt::join(terminals, ", ")));
    }
    return {part->id, std::string(text.substr(dot + 1))};
}

// Small letters, digits and hyphens, a letter first: names of instances and nodes are made of it,
// and SPICE takes capitals and small letters for the same.
bool isId(std::string_view id)
{
    const auto isLetter = [](char c) { return c >= 'a' && c <= 'z'; };
    return !id.empty() && isLetter(id.front()) && std::all_of(id.begin(), id.end(), [&](char c) {
        return isLetter(c) || (c >= '0' && c <= '9') || c == '-';
    });
}

CircuitPart parsePart(const pugi::xml_node& node, std::string_view fileName)
{
    const std::string_view id = node.attribute("id").value();
    if (!isId(id)) {
        throw std::invalid_argument(fmt::format(
            "{}: part \"{}\": an id is small letters, digits and hyphens, a letter first", fileName,
            shortText(id)));
    }
    const auto kind = partKindByName(node.attribute("kind").value());
    if (!kind) {
        throw std::invalid_argument(fmt::format("{}: part \"{}\": unknown kind \"{}\"", fileName,
                                                id, shortText(node.attribute("kind").value())));
    }
    return {std::string(id), *kind, std::string_view(node.attribute("optional").value()) == "yes"};
}

const EmbeddedFile* embeddedFile(std::string_view name)
{
    for (const EmbeddedFile& file : embeddedFiles()) {
        if (file.name == name) {
            return &file;
        }
    }
    return nullptr;
}

pugi::xml_document parsed(std::string_view xml, const char* rootName, std::string_view fileName)
{
    pugi::xml_document document;
    const pugi::xml_parse_result result = document.load_buffer(xml.data(), xml.size());
    if (!result || !document.child(rootName)) {
        throw std::invalid_argument(
            fmt::format("{}: not a {} file: {}", fileName, rootName,
                        result ? fmt::format("no <{}>", rootName) : result.description()));
    }
    return document;
}

// Appends the parts and wires below `root`, those of the fragments that it uses first.
void append(Circuit& circuit, const pugi::xml_node& root, std::string_view fileName)
{
    for (const pugi::xml_node& use : root.children("use")) {
        const std::string_view name = use.attribute("fragment").value();
        const EmbeddedFile* file = embeddedFile(name);
        if (file == nullptr || std::string_view(root.name()) == "fragment") {
            throw std::invalid_argument(fmt::format(
                "{}: no fragment \"{}\" that could be used here", fileName, shortText(name)));
        }
        const pugi::xml_document fragment = parsed(file->text, "fragment", name);
        append(circuit, fragment.child("fragment"), name);
    }
    for (const pugi::xml_node& node : root.children("part")) {
        CircuitPart part = parsePart(node, fileName);
        if (circuit.find(part.id) != nullptr) {
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
}

}  // namespace

Circuit parseCircuit(std::string_view xml, std::string_view fileName)
{
    const pugi::xml_document document = parsed(xml, "circuit", fileName);
    const pugi::xml_node root = document.child("circuit");
    Circuit circuit;
    circuit.type = root.attribute("type").value();
    circuit.variant = root.attribute("variant").as_string(std::string(standardVariant).c_str());
    circuit.description = root.attribute("description").value();
    append(circuit, root, fileName);
    return circuit;
}

std::span<const Circuit> standardCircuits()
{
    static const std::vector<Circuit> circuits = [] {
        std::vector<Circuit> result;
        for (const EmbeddedFile& file : embeddedFiles()) {
            // A fragment is no circuit of its own, and a lesson's case only names one.
            if (file.name.ends_with(".xml") && file.text.find("<circuit") != std::string::npos &&
                file.text.find("<case") == std::string::npos) {
                result.push_back(parseCircuit(file.text, file.name));
            }
        }
        return result;
    }();
    return circuits;
}

}  // namespace splitstart
