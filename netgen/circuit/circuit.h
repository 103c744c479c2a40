// A circuit is parts and wires between named terminals. Netlist, drawing, wiring steps and checks
// all read this list, so that they cannot disagree.
#pragma once

#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace splitstart
{

enum class PartKind {
    supply,
    compressor,
    thermostat,
    potentialRelay,
    currentRelay,
    startCapacitor,
    runCapacitor,
    protector,
    condenserFan,
};

// What is known about a kind of part: its name in circuit files ("potential-relay"), in plain
// words ("potential relay"), its terminals, and those of them that are tie posts without any
// connection inside.
struct PartKindInfo {
    PartKind kind = PartKind::supply;
    std::string_view name;
    std::string_view words;
    std::vector<std::string_view> terminals;
    std::vector<std::string_view> tiePosts;
};

const PartKindInfo& partKindInfo(PartKind kind);

// The kind of that name in circuit files, or nothing.
std::optional<PartKind> partKindByName(std::string_view name);

struct Terminal {
    std::string part;  // id of a part in the circuit
    std::string name;  // one of the kind's terminals

    friend auto operator<=>(const Terminal&, const Terminal&) = default;
};

// "relay.2"
std::string terminalText(const Terminal& terminal);

struct CircuitPart {
    std::string id;
    PartKind kind = PartKind::supply;
    bool optional = false;  // may be left out with its wires
};

struct Wire {
    Terminal from;
    Terminal to;
};

struct Circuit {
    std::string type;         // "CSIR", "CSCR", ...
    std::string description;  // one sentence for people
    std::vector<CircuitPart> parts;
    std::vector<Wire> wires;

    [[nodiscard]] const CircuitPart* find(std::string_view id) const;
    [[nodiscard]] const CircuitPart* find(PartKind kind) const;
};

// Reads a circuit file (XML as in netgen/circuit/standard). Ids of parts are small letters, digits
// and hyphens, a letter first: they become names in a deck. Throws std::invalid_argument with one
// line saying which file, part or wire is wrong: an unknown kind, another id, a part named twice, a
// wire to a part or terminal that does not exist, a wire from a terminal to itself.
Circuit parseCircuit(std::string_view xml, std::string_view fileName);

// The trade's standard circuits, from the files compiled into the library.
std::span<const Circuit> standardCircuits();

// The standard circuit of that type whose start device is of that kind (empty: it has none).
// Null if there is none.
const Circuit* findStandardCircuit(std::string_view type, std::optional<PartKind> startDevice);

// The same circuit without that part and the wires on it.
Circuit withoutPart(const Circuit& circuit, std::string_view id);

// The same circuit with that two-terminal part replaced by a plain connection.
Circuit withPartBridged(const Circuit& circuit, std::string_view id);

// Terminals that the wires connect with each other. Every terminal of every part is in exactly one
// net; an unwired terminal is alone in its net.
class Nets
{
public:
    explicit Nets(const Circuit& circuit);

    // Index of the net of that terminal. Throws std::out_of_range if there is no such terminal.
    [[nodiscard]] std::size_t of(const Terminal& terminal) const { return netOf_.at(terminal); }
    [[nodiscard]] const std::vector<std::vector<Terminal>>& all() const { return nets_; }

private:
    std::map<Terminal, std::size_t> netOf_;
    std::vector<std::vector<Terminal>> nets_;
};

// What stops a circuit from being simulated as it stands, in plain words; empty if nothing does:
// terminals that no wire reaches (tie posts excepted), a supply whose two sides are joined, by
// wires or through contacts that are closed at rest.
std::vector<std::string> circuitFaults(const Circuit& circuit);

}  // namespace splitstart
