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
    ptc,
    timedSwitch,
    centrifugalSwitch,
    dualRunCapacitor,
    fanCapacitor,
    capacitorFan,
    contactor,
};

using TerminalPair = std::pair<std::string_view, std::string_view>;

// What is known about a kind of part.
struct PartKindInfo {
    PartKind kind = PartKind::supply;
    std::string_view name;   // in circuit files: "potential-relay"
    std::string_view words;  // "potential relay"
    std::vector<std::string_view> terminals = {};
    std::vector<std::string_view> tiePosts = {};  // terminals without any connection inside
    std::vector<TerminalPair> inside = {};        // what is between terminals, one by one
    std::vector<TerminalPair> closedAtRest =
        {};                                  // of those: as good as a wire when supply comes on
    std::vector<TerminalPair> bridges = {};  // a plain wire each where the part is not fitted
    // Terminals that are alike: the pairs of one row change places together, and the part does the
    // same as before.
    std::vector<std::vector<TerminalPair>> alike = {};
    // Terminals with a connection inside that may still stay without a wire.
    std::vector<std::string_view> mayStayFree = {};
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
    std::string variant;      // "standard", or what tells circuits of the same parts apart
    std::string description;  // one sentence for people
    std::vector<CircuitPart> parts;
    std::vector<Wire> wires;

    [[nodiscard]] const CircuitPart* find(std::string_view id) const;
    [[nodiscard]] const CircuitPart* find(PartKind kind) const;
};

// Reads a circuit file (XML as in netgen/circuit/standard). <use fragment="feed.xml"/> stands for
// the parts and wires of that file, whose first element is <fragment>. Ids of parts are small
// letters, digits and hyphens, a letter first: they become names in a deck. Throws
// std::invalid_argument with one line saying which file, part or wire is wrong: an unknown kind,
// another id, a part named twice, a wire to a part or terminal that does not exist, a wire from a
// terminal to itself, a fragment that does not exist.
Circuit parseCircuit(std::string_view xml, std::string_view fileName);

// The trade's standard circuits, from the files compiled into the library.
std::span<const Circuit> standardCircuits();

// Kinds of part that switch a start circuit.
std::span<const PartKind> startDeviceKinds();

// The kind of the start device in the circuit; empty if it has none.
std::optional<PartKind> startDeviceOf(const Circuit& circuit);

// The same circuit without that part and the wires on it.
Circuit withoutPart(const Circuit& circuit, std::string_view id);

// The same circuit with that part replaced by plain connections, as its kind's bridges say. Throws
// std::invalid_argument if there is no such part or its kind has none.
Circuit withPartBridged(const Circuit& circuit, std::string_view id);

// The same circuit with the run capacitors of those two ids in one can of the id `dual`: both A on
// its C, the first's B on HERM, the second's B on FAN. Throws std::invalid_argument unless both A
// are wired together.
Circuit withDualCapacitor(const Circuit& circuit, std::string_view compressorSection,
                          std::string_view fanSection, std::string_view dual);

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
// terminals that no wire reaches (except those that may stay free), a supply whose two sides are
// joined, by wires or through contacts that are closed at rest. These are the first words of such
// findings of wiringFaults() (wiring_faults.h).
std::vector<std::string> circuitFaults(const Circuit& circuit);

}  // namespace splitstart
