#include "circuit/link_graph.h"

#include <algorithm>
#include <utility>

namespace splitstart
{

namespace
{

constexpr std::size_t none = static_cast<std::size_t>(-1);

}  // namespace

LinkGraph::LinkGraph(const Circuit& circuit) : nets_(circuit)
{
    for (const CircuitPart& part : circuit.parts) {
        const PartKindInfo& info = partKindInfo(part.kind);
        for (const TerminalPair& ends : info.inside) {
            Link link{&part, ends};
            link.a = nets_.of(link.first());
            link.b = nets_.of(link.second());
            link.closedAtRest = std::find(info.closedAtRest.begin(), info.closedAtRest.end(),
                                          ends) != info.closedAtRest.end();
            if (part.kind == PartKind::supply && !supply_) {
                supply_ = links_.size();
            }
            links_.push_back(link);
        }
    }
}

std::vector<bool> LinkGraph::reached(std::size_t from, std::size_t without) const
{
    std::vector<bool> seen(nets_.all().size(), false);
    seen[from] = true;
    for (bool more = true; more;) {
        more = false;
        for (const Link& link : links_) {
            if (link.a != without && link.b != without && seen[link.a] != seen[link.b]) {
                seen[link.a] = seen[link.b] = more = true;
            }
        }
    }
    return seen;
}

bool LinkGraph::shareAPath(const Link& one, const Link& other) const
{
    if (isBridged(one) || isBridged(other)) {
        return false;
    }
    // Two links are on one closed path unless a single net, taken out, leaves no way between them.
    const auto endBeside = [](const Link& each, std::size_t out) {
        return each.a == out ? each.b : each.a;
    };
    for (std::size_t out = 0; out < nets_.all().size(); ++out) {
        if (!reached(endBeside(one, out), out)[endBeside(other, out)]) {
            return false;
        }
    }
    return true;
}

bool LinkGraph::isFed(const Link& link) const
{
    return supply() != nullptr && shareAPath(*supply(), link);
}

bool LinkGraph::carriesCurrent(const Link& link) const
{
    if (isFed(link)) {
        return true;
    }
    const auto isSame = [&link](const Link& each) {
        return each.part == link.part && each.ends == link.ends;
    };
    for (const Link& winding : links_) {
        const PartKind kind = winding.part->kind;
        const bool ofMotor = kind == PartKind::compressor || kind == PartKind::capacitorFan;
        if (!ofMotor || isSame(winding) || !shareAPath(winding, link)) {
            continue;
        }
        if (std::any_of(links_.begin(), links_.end(), [&](const Link& each) {
                return each.part == winding.part && isFed(each);
            })) {
            return true;
        }
    }
    return false;
}

std::vector<bool> LinkGraph::onSupply() const
{
    return supply() != nullptr ? reached(supply()->a, none)
                               : std::vector<bool>(nets_.all().size(), false);
}

std::vector<Link> LinkGraph::closedWay() const
{
    if (supply() == nullptr || isBridged(*supply())) {
        return {};
    }
    // Breadth first: by which link each net was reached.
    std::vector<std::optional<Link>> by(nets_.all().size());
    std::vector<std::size_t> open = {supply()->a};
    for (std::size_t next = 0; next < open.size(); ++next) {
        for (Link link : links_) {
            if (link.b == open[next]) {
                std::swap(link.a, link.b);
                std::swap(link.ends.first, link.ends.second);
            }
            if (link.closedAtRest && link.a == open[next] && link.b != supply()->a && !by[link.b]) {
                by[link.b] = link;
                open.push_back(link.b);
            }
        }
    }
    std::vector<Link> way;
    for (std::size_t net = supply()->b; by[net]; net = by[net]->a) {
        way.push_back(*by[net]);
    }
    std::reverse(way.begin(), way.end());
    return way;
}

}  // namespace splitstart
