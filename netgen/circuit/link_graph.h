// Nets as points, and what the parts have between their terminals as links. Internal to circuit/.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "circuit/circuit.h"

namespace splitstart
{

struct Link {
    const CircuitPart* part = nullptr;
    TerminalPair ends;
    std::size_t a = 0;  // nets
    std::size_t b = 0;
    bool closedAtRest = false;

    [[nodiscard]] Terminal first() const { return {part->id, std::string(ends.first)}; }
    [[nodiscard]] Terminal second() const { return {part->id, std::string(ends.second)}; }
};

class LinkGraph
{
public:
    // `circuit` must outlive it. Throws std::out_of_range as Nets.
    explicit LinkGraph(const Circuit& circuit);

    [[nodiscard]] const Nets& nets() const { return nets_; }
    [[nodiscard]] const std::vector<Link>& links() const { return links_; }
    [[nodiscard]] const Link* supply() const { return supply_ ? &links_[*supply_] : nullptr; }

    // Whether both ends of the link are one net.
    [[nodiscard]] static bool isBridged(const Link& link) { return link.a == link.b; }

    // Whether there is a closed path through the link and the supply that passes no net twice: only
    // then can the supply drive a current through it.
    [[nodiscard]] bool isFed(const Link& link) const;

    // Whether it is fed, or is in a closed path with a winding of a motor that is fed by its other
    // winding: a turning rotor induces volts in both.
    [[nodiscard]] bool carriesCurrent(const Link& link) const;

    // For each net: whether wires and links lead from it to the supply.
    [[nodiscard]] std::vector<bool> onSupply() const;

    // The links of contacts and coils closed at rest that lead from L1 to L2, the fewest, in order
    // and each with the net on L1's side first; empty if there is no such way.
    [[nodiscard]] std::vector<Link> closedWay() const;

private:
    [[nodiscard]] bool shareAPath(const Link& one, const Link& other) const;
    [[nodiscard]] std::vector<bool> reached(std::size_t from, std::size_t without) const;

    Nets nets_;
    std::vector<Link> links_;
    std::optional<std::size_t> supply_;
};

}  // namespace splitstart
