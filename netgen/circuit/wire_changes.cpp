#include "circuit/wire_changes.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <stdexcept>

#include "circuit/wire_board.h"

namespace splitstart
{

namespace
{

bool sameParts(const Circuit& a, const Circuit& b)
{
    return a.parts.size() == b.parts.size() &&
           std::all_of(a.parts.begin(), a.parts.end(), [&b](const CircuitPart& part) {
               const CircuitPart* const other = b.find(part.id);
               return other != nullptr && other->kind == part.kind;
           });
}

// Terminals that are together by `outer`, where they are in several groups by `inner`.
template <typename Outer, typename Inner>
std::vector<NetDifference> differences(const WireBoard& board, const Outer& outer,
                                       const Inner& inner)
{
    std::map<std::size_t, std::map<std::size_t, std::vector<Terminal>>> groups;
    for (std::size_t i = 0; i < board.terminals.size(); ++i) {
        if (!board.isTie[i]) {
            groups[outer(i)][inner(i)].push_back(board.terminals[i]);
        }
    }
    std::vector<NetDifference> result;
    for (const auto& [net, parts] : groups) {
        if (parts.size() > 1) {
            NetDifference& difference = result.emplace_back();
            for (const auto& [key, terminals] : parts) {
                difference.groups.push_back(terminals);
            }
        }
    }
    return result;
}

bool isExchange(const WireMove& one, const WireMove& other)
{
    return one.change == WireChange::moveEnd && other.change == WireChange::moveEnd &&
           one.from == other.to && one.to == other.from;
}

std::vector<std::pair<std::size_t, std::size_t>> exchangesAmong(const std::vector<WireMove>& moves)
{
    std::vector<std::pair<std::size_t, std::size_t>> exchanges;
    std::vector<bool> taken(moves.size(), false);
    for (std::size_t i = 0; i < moves.size(); ++i) {
        for (std::size_t j = i + 1; j < moves.size() && !taken[i]; ++j) {
            if (!taken[j] && isExchange(moves[i], moves[j])) {
                exchanges.emplace_back(i, j);
                taken[i] = taken[j] = true;
            }
        }
    }
    return exchanges;
}

const Terminal& staying(const WireMove& move)
{
    return move.wire.from == move.from ? move.wire.to : move.wire.from;
}

std::string groupsText(const NetDifference& difference, std::string_view between)
{
    std::string text;
    for (const std::vector<Terminal>& group : difference.groups) {
        text += text.empty() ? std::string_view() : between;
        for (std::size_t i = 0; i < group.size(); ++i) {
            text += (i > 0 ? ", " : "") + terminalText(group[i]);
        }
    }
    return text;
}

}  // namespace

bool sameConnections(const Circuit& a, const Circuit& b)
{
    return sameParts(a, b) && bestFit(wireBoard(a, b)).changes == 0;
}

WireComparison compareWiring(const Circuit& wanted, const Circuit& found)
{
    if (!sameParts(wanted, found)) {
        throw std::invalid_argument("only circuits of the same parts can be compared");
    }
    const WireBoard board = wireBoard(wanted, found);
    const WireFit fit = bestFit(board);
    const Nets nets(found);
    const auto foundNet = [&](std::size_t i) { return nets.of(board.terminals[i]); };
    const auto wantedNet = [&](std::size_t i) { return fit.block[i]; };
    WireComparison comparison;
    comparison.joined = differences(board, foundNet, wantedNet);
    comparison.apart = differences(board, wantedNet, foundNet);
    comparison.linesExchanged = fit.linesExchanged;
    if (fit.changes > 0) {
        comparison.moves = plannedMoves(board, fit);
        comparison.exchanges = exchangesAmong(comparison.moves);
    }
    return comparison;
}

Circuit withMoves(Circuit circuit, const std::vector<WireMove>& moves)
{
    for (const WireMove& move : moves) {
        if (move.change == WireChange::add) {
            circuit.wires.push_back(move.wire);
            continue;
        }
        const auto wire =
            std::find_if(circuit.wires.begin(), circuit.wires.end(), [&move](const Wire& each) {
                return std::minmax(each.from, each.to) == std::minmax(move.wire.from, move.wire.to);
            });
        if (wire == circuit.wires.end() || (move.change == WireChange::moveEnd &&
                                            wire->from != move.from && wire->to != move.from)) {
            throw std::invalid_argument(fmt::format("there is no wire between {} and {} to change",
                                                    terminalText(move.wire.from),
                                                    terminalText(move.wire.to)));
        }
        if (move.change == WireChange::remove) {
            circuit.wires.erase(wire);
        } else {
            (wire->from == move.from ? wire->from : wire->to) = move.to;
        }
    }
    return circuit;
}

std::string moveSentence(const WireMove& move)
{
    if (move.change == WireChange::moveEnd) {
        return fmt::format("Take the wire that comes from {} off {} and put that end on {}.",
                           terminalText(staying(move)), terminalText(move.from),
                           terminalText(move.to));
    }
    const std::string ends =
        fmt::format("between {} and {}", terminalText(move.wire.from), terminalText(move.wire.to));
    return move.change == WireChange::add ? fmt::format("Add a wire {}.", ends)
                                          : fmt::format("Take out the wire {}.", ends);
}

std::string exchangeSentence(const WireMove& one, const WireMove& other)
{
    return fmt::format(
        "The wire ends on {} (from {}) and on {} (from {}) are exchanged: change them over.",
        terminalText(one.from), terminalText(staying(one)), terminalText(other.from),
        terminalText(staying(other)));
}

std::string joinedSentence(const NetDifference& difference)
{
    return fmt::format("Joined, but should be apart: {}.", groupsText(difference, " from "));
}

std::string apartSentence(const NetDifference& difference)
{
    return fmt::format("Apart, but should be joined: {}.", groupsText(difference, " with "));
}

}  // namespace splitstart
