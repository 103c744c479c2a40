#include "circuit/wire_mistakes.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <map>
#include <numeric>
#include <optional>
#include <set>
#include <tuple>

namespace splitstart
{

namespace
{

using Names = std::array<const char*, 3>;

// What becomes of each terminal when some of a part change places.
using Exchange = std::map<Terminal, Terminal>;

Terminal exchanged(const Terminal& terminal, const Exchange& exchange)
{
    const auto found = exchange.find(terminal);
    return found == exchange.end() ? terminal : found->second;
}

Circuit withExchange(Circuit circuit, const Exchange& exchange)
{
    for (Wire& wire : circuit.wires) {
        wire.from = exchanged(wire.from, exchange);
        wire.to = exchanged(wire.to, exchange);
    }
    return circuit;
}

bool isTiePost(const CircuitPart& part, std::string_view name)
{
    const auto& posts = partKindInfo(part.kind).tiePosts;
    return std::find(posts.begin(), posts.end(), name) != posts.end();
}

// Two terminals of a part.
Exchange exchangeOf(const Terminal& a, const Terminal& b)
{
    return {{a, b}, {b, a}};
}

// Whether nothing but the contactor lies on the supply: only then do its poles have no order.
bool isAloneOnSupply(const Circuit& circuit, const std::string& contactor)
{
    const std::string& supply = circuit.find(PartKind::supply)->id;
    const Nets nets(circuit);
    return std::all_of(nets.all().begin(), nets.all().end(), [&](const std::vector<Terminal>& net) {
        const bool onSupply = std::any_of(
            net.begin(), net.end(), [&](const Terminal& each) { return each.part == supply; });
        return !onSupply || std::all_of(net.begin(), net.end(), [&](const Terminal& each) {
            return each.part == supply || each.part == contactor;
        });
    });
}

// Nets of terminals by number; numbers and nets in rising order.
using NumberedNets = std::vector<std::vector<std::size_t>>;

// Which terminal stands in for which, by number.
using Roles = std::vector<std::size_t>;

NumberedNets withRoles(NumberedNets nets, const Roles& roles)
{
    for (std::vector<std::size_t>& net : nets) {
        for (std::size_t& terminal : net) {
            terminal = roles[terminal];
        }
        std::sort(net.begin(), net.end());
    }
    std::sort(nets.begin(), nets.end());
    return nets;
}

// The roles after `second` and then `first`.
Roles combined(const Roles& first, const Roles& second)
{
    Roles roles(first.size());
    for (std::size_t i = 0; i < roles.size(); ++i) {
        roles[i] = first[second[i]];
    }
    return roles;
}

// Rows of terminals that are alike, each by itself, and those of supply and contactor beside each
// other one, since the two often make a difference together only.
std::vector<Roles> rolesThatMakeNoDifference(const Circuit& circuit,
                                             const std::vector<Terminal>& terminals)
{
    const auto numberOf = [&terminals](const std::string& part, std::string_view name) {
        return static_cast<std::size_t>(std::lower_bound(terminals.begin(), terminals.end(),
                                                         Terminal{part, std::string(name)}) -
                                        terminals.begin());
    };
    std::vector<Roles> singles;
    std::vector<bool> isFeed;
    for (const CircuitPart& part : circuit.parts) {
        for (const std::vector<TerminalPair>& row : partKindInfo(part.kind).alike) {
            const bool poles = part.kind == PartKind::contactor && row.size() > 1;
            if (poles && !isAloneOnSupply(circuit, part.id)) {
                continue;
            }
            Roles roles(terminals.size());
            std::iota(roles.begin(), roles.end(), 0U);
            for (const auto& [a, b] : row) {
                std::swap(roles[numberOf(part.id, a)], roles[numberOf(part.id, b)]);
            }
            singles.push_back(std::move(roles));
            isFeed.push_back(part.kind == PartKind::contactor || part.kind == PartKind::supply);
        }
    }
    std::vector<Roles> all = singles;
    for (std::size_t i = 0; i < singles.size(); ++i) {
        for (std::size_t j = 0; j < singles.size(); ++j) {
            const bool oncePerPair = isFeed[j] ? i < j : i != j;
            if (isFeed[i] && oncePerPair) {
                all.push_back(combined(singles[i], singles[j]));
            }
        }
    }
    return all;
}

struct WireEnd {
    std::size_t wire = 0;
    bool isFrom = false;
};

class MistakeMaker
{
public:
    explicit MistakeMaker(const Circuit& circuit) : circuit_(circuit)
    {
        numberOf_.emplace(std::tuple(connectionText(circuit), "C", "S"), circuitItself);
        for (const CircuitPart& part : circuit.parts) {
            for (const std::string_view name : partKindInfo(part.kind).terminals) {
                if (!isTiePost(part, name)) {
                    terminals_.push_back({part.id, std::string(name)});
                }
            }
        }
        for (std::size_t i = 0; i < circuit.wires.size(); ++i) {
            ends_.push_back({i, true});
            ends_.push_back({i, false});
        }
    }

    std::vector<WireMistake> all()
    {
        exchangePins();
        exchangeTerminals();
        leaveOut();
        moveEnds();
        exchangeEnds();
        addWires();
        return std::move(mistakes_);
    }

private:
    static constexpr std::size_t circuitItself = static_cast<std::size_t>(-1);

    // `gone`: the wire of the circuit that is missing; the others have kept their order.
    void take(WireMistakeKind kind, Circuit circuit, const std::string& way,
              std::optional<std::size_t> gone = {})
    {
        const std::string common = leadOn("C", circuit, gone);
        const std::string start = leadOn("S", circuit, gone);
        const std::string connections = connectionText(circuit);
        const auto known = numberOf_.find({connections, "C", "S"});
        if (known != numberOf_.end() && known->second == circuitItself) {
            return;
        }
        const auto [place, isNew] =
            numberOf_.emplace(std::tuple(connections, common, start), mistakes_.size());
        if (isNew) {
            mistakes_.push_back({std::move(circuit), {{kind, way}}, common, start});
        } else {
            mistakes_[place->second].ways.push_back({kind, way});
        }
    }

    // The pin on which the wires meant for that one are, those that are on a pin, if nothing else
    // is.
    [[nodiscard]] std::string leadOn(const char* meant, const Circuit& circuit,
                                     std::optional<std::size_t> gone) const
    {
        const std::string& id = circuit_.find(PartKind::compressor)->id;
        const auto wiresOn = [&id](const Circuit& each, const std::string& pin) {
            std::set<std::size_t> wires;
            for (std::size_t i = 0; i < each.wires.size(); ++i) {
                if (each.wires[i].from == Terminal{id, pin} ||
                    each.wires[i].to == Terminal{id, pin}) {
                    wires.insert(i);
                }
            }
            return wires;
        };
        std::set<std::size_t> lead;
        for (const std::size_t i : wiresOn(circuit_, meant)) {
            if (!gone || i != *gone) {
                lead.insert(gone && i > *gone ? i - 1 : i);
            }
        }
        if (lead.empty()) {
            return std::string(leadOff);
        }
        std::string found;
        for (const char* pin : {"C", "S", "R"}) {
            const std::set<std::size_t> there = wiresOn(circuit, pin);
            const auto isLead = [&lead](std::size_t wire) { return lead.count(wire) > 0; };
            if (std::none_of(there.begin(), there.end(), isLead)) {
                continue;
            }
            if (!found.empty() || !std::all_of(there.begin(), there.end(), isLead)) {
                return "";
            }
            found = pin;
        }
        return found;
    }

    [[nodiscard]] const Terminal& at(const WireEnd& end) const
    {
        const Wire& wire = circuit_.wires[end.wire];
        return end.isFrom ? wire.from : wire.to;
    }
    [[nodiscard]] const Terminal& otherEnd(const WireEnd& end) const
    {
        return at({end.wire, !end.isFrom});
    }

    void exchangePins()
    {
        const std::string& id = circuit_.find(PartKind::compressor)->id;
        struct Landing {
            Names pins;  // of the wires meant for C, S, R
            const char* way;
        };
        static constexpr std::array<Landing, 5> landings = {{
            {{"C", "R", "S"}, "the wires of S and R are exchanged at the compressor"},
            {{"R", "S", "C"}, "the wires of C and R are exchanged at the compressor"},
            {{"S", "C", "R"}, "the wires of C and S are exchanged at the compressor"},
            {{"S", "R", "C"},
             "the compressor's wires are one pin on: C's on S, S's on R, R's on C"},
            {{"R", "C", "S"},
             "the compressor's wires are one pin on: C's on R, R's on S, S's on C"},
        }};
        static constexpr Names meant = {"C", "S", "R"};
        for (const Landing& landing : landings) {
            Exchange exchange;
            for (std::size_t i = 0; i < meant.size(); ++i) {
                exchange[{id, meant[i]}] = {id, landing.pins[i]};
            }
            take(WireMistakeKind::exchangedPins, withExchange(circuit_, exchange), landing.way);
        }
    }

    void exchangeTerminals()
    {
        const std::string& compressor = circuit_.find(PartKind::compressor)->id;
        for (const Terminal& a : terminals_) {
            for (const Terminal& b : terminals_) {
                if (a.part == b.part && a < b && a.part != compressor) {
                    take(WireMistakeKind::exchangedTerminals,
                         withExchange(circuit_, exchangeOf(a, b)),
                         fmt::format("what belongs on {} and on {} is exchanged", terminalText(a),
                                     terminalText(b)));
                }
            }
        }
    }

    void leaveOut()
    {
        for (std::size_t i = 0; i < circuit_.wires.size(); ++i) {
            Circuit without = circuit_;
            without.wires.erase(without.wires.begin() + static_cast<std::ptrdiff_t>(i));
            const Wire& wire = circuit_.wires[i];
            take(WireMistakeKind::missingWire, std::move(without),
                 fmt::format("the wire between {} and {} is missing, loose or broken",
                             terminalText(wire.from), terminalText(wire.to)),
                 i);
        }
    }

    void moveEnds()
    {
        for (const WireEnd& end : ends_) {
            for (const Terminal& to : terminals_) {
                if (to == at(end) || to == otherEnd(end)) {
                    continue;
                }
                Circuit moved = circuit_;
                Wire& wire = moved.wires[end.wire];
                (end.isFrom ? wire.from : wire.to) = to;
                take(WireMistakeKind::movedEnd, std::move(moved),
                     fmt::format("the wire from {} is on {} in place of {}",
                                 terminalText(otherEnd(end)), terminalText(to),
                                 terminalText(at(end))));
            }
        }
    }

    void exchangeEnds()
    {
        for (std::size_t i = 0; i < ends_.size(); ++i) {
            for (std::size_t j = i + 1; j < ends_.size(); ++j) {
                const WireEnd& one = ends_[i];
                const WireEnd& other = ends_[j];
                // A wire cannot come to lie between a terminal and itself.
                if (one.wire == other.wire || at(one) == at(other) || otherEnd(one) == at(other) ||
                    otherEnd(other) == at(one)) {
                    continue;
                }
                Circuit crossed = circuit_;
                Wire& first = crossed.wires[one.wire];
                Wire& second = crossed.wires[other.wire];
                std::swap(one.isFrom ? first.from : first.to,
                          other.isFrom ? second.from : second.to);
                take(WireMistakeKind::exchangedEnds, std::move(crossed),
                     fmt::format("the wire ends on {} (from {}) and on {} (from {}) are exchanged",
                                 terminalText(at(one)), terminalText(otherEnd(one)),
                                 terminalText(at(other)), terminalText(otherEnd(other))));
            }
        }
    }

    void addWires()
    {
        for (std::size_t i = 0; i < terminals_.size(); ++i) {
            for (std::size_t j = i + 1; j < terminals_.size(); ++j) {
                Circuit more = circuit_;
                more.wires.push_back({terminals_[i], terminals_[j]});
                take(WireMistakeKind::extraWire, std::move(more),
                     fmt::format("{} and {} touch or have a wire too many between them",
                                 terminalText(terminals_[i]), terminalText(terminals_[j])));
            }
        }
    }

    const Circuit& circuit_;
    std::vector<Terminal> terminals_;
    std::vector<WireEnd> ends_;
    // By connectionText() and the pins of the wires meant for C and S.
    std::map<std::tuple<std::string, std::string, std::string>, std::size_t> numberOf_;
    std::vector<WireMistake> mistakes_;
};

}  // namespace

std::string connectionText(const Circuit& circuit)
{
    const Nets nets(circuit);
    std::vector<Terminal> terminals;
    for (const std::vector<Terminal>& net : nets.all()) {
        terminals.insert(terminals.end(), net.begin(), net.end());
    }
    std::sort(terminals.begin(), terminals.end());
    // Tie posts join wires and are nothing else; terminals alone in a net say nothing.
    std::map<std::size_t, std::vector<std::size_t>> byNet;
    for (std::size_t i = 0; i < terminals.size(); ++i) {
        if (!isTiePost(*circuit.find(terminals[i].part), terminals[i].name)) {
            byNet[nets.of(terminals[i])].push_back(i);
        }
    }
    NumberedNets numbered;
    for (auto& [net, numbers] : byNet) {
        if (numbers.size() > 1) {
            numbered.push_back(std::move(numbers));
        }
    }
    // The least of what exchanges of terminals lead to, one after the other.
    std::sort(numbered.begin(), numbered.end());
    NumberedNets least = numbered;
    const std::vector<Roles> choices = rolesThatMakeNoDifference(circuit, terminals);
    for (bool better = true; better;) {
        better = false;
        for (const Roles& choice : choices) {
            NumberedNets tried = withRoles(least, choice);
            if (tried < least) {
                least = std::move(tried);
                better = true;
            }
        }
    }
    std::string text;
    for (const std::vector<std::size_t>& net : least) {
        for (const std::size_t terminal : net) {
            text += terminalText(terminals[terminal]) + ' ';
        }
        text += '\n';
    }
    return text;
}

std::vector<WireMistake> wireMistakes(const Circuit& circuit)
{
    return MistakeMaker(circuit).all();
}

}  // namespace splitstart
