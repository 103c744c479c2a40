// The smallest number of changes. Take the nets that ought to be as blocks of terminals. A wire
// that lies across two blocks must be changed, and one move of one end is enough to make it lie
// inside the block of its other end; there it can join two pieces of that block. So the changes are
// the wires across, and the joins that are missing beyond those which these wires can make: a
// matching of wires to blocks, since each wire can help in one of two.
#include <algorithm>
#include <numeric>
#include <optional>
#include <tuple>

#include "circuit/wire_board.h"

namespace splitstart
{

namespace
{

using Pair = WireBoard::Pair;

// A contactor may have one pole and a bar: its poles are alike only while everything is behind it.
bool polesAreAlike(const Circuit& wanted, const Nets& nets, const CircuitPart& contactor)
{
    for (const CircuitPart& part : wanted.parts) {
        if (part.kind != PartKind::supply) {
            continue;
        }
        for (const char* line : {"L1", "L2"}) {
            for (const Terminal& other : nets.all()[nets.of({part.id, line})]) {
                if (other.part != part.id && other.part != contactor.id) {
                    return false;
                }
            }
        }
    }
    return true;
}

void addAlike(WireBoard& board, const Circuit& wanted, const Nets& nets)
{
    // Standard circuits have eleven at most; each doubles the work.
    constexpr std::size_t most = 12;
    for (const CircuitPart& part : wanted.parts) {
        for (const std::vector<TerminalPair>& row : partKindInfo(part.kind).alike) {
            if (board.alike.size() == most || (part.kind == PartKind::contactor && row.size() > 1 &&
                                               !polesAreAlike(wanted, nets, part))) {
                continue;
            }
            std::vector<Pair>& pairs = board.alike.emplace_back();
            for (const auto& [a, b] : row) {
                pairs.emplace_back(board.numberOf.at({part.id, std::string(a)}),
                                   board.numberOf.at({part.id, std::string(b)}));
            }
            board.alikeIsSupply.push_back(part.kind == PartKind::supply);
        }
    }
}

// Sets of terminals, joined one by one.
class Pieces
{
public:
    explicit Pieces(std::size_t count) : leader_(count)
    {
        std::iota(leader_.begin(), leader_.end(), std::size_t{0});
    }
    std::size_t of(std::size_t index)
    {
        while (leader_[index] != index) {
            index = leader_[index] = leader_[leader_[index]];
        }
        return index;
    }
    void join(std::size_t a, std::size_t b) { leader_[of(a)] = of(b); }

private:
    std::vector<std::size_t> leader_;
};

// What one way of giving blocks to terminals costs.
class Cost
{
public:
    Cost(const WireBoard& board, const std::vector<std::size_t>& block, std::size_t blocks)
        : block_(block),
          pieces_(board.terminals.size()),
          needed_(blocks, 0),
          held_(blocks),
          hasTerminal_(board.terminals.size(), false)
    {
        for (const Pair& wire : board.found) {
            if (block[wire.first] == block[wire.second]) {
                pieces_.join(wire.first, wire.second);
            } else {
                across_.push_back(wire);
            }
        }
        for (std::size_t i = 0; i < board.terminals.size(); ++i) {
            if (!board.isTie[i] && !hasTerminal_[pieces_.of(i)]) {
                hasTerminal_[pieces_.of(i)] = true;
                ++needed_[block[i]];
            }
        }
        for (std::size_t& pieces : needed_) {
            pieces -= pieces > 0 ? 1 : 0;
            joins_ += pieces;
        }
    }

    // No change can do more than see to one wire across and one join.
    [[nodiscard]] std::size_t atLeast() const { return std::max(across_.size(), joins_); }

    // Changes, and how many of them add or remove a wire.
    std::pair<std::size_t, std::size_t> changes()
    {
        std::size_t helping = 0;
        for (std::size_t wire = 0; wire < across_.size(); ++wire) {
            std::vector<bool> asked(held_.size(), false);
            helping += place(wire, asked) ? 1 : 0;
        }
        const std::size_t missing = joins_ - helping;
        const std::size_t idle = across_.size() - helping;
        return {across_.size() + missing, std::max(missing, idle) - std::min(missing, idle)};
    }

private:
    // Kuhn's augmenting paths.
    bool place(std::size_t wire, std::vector<bool>& asked)
    {
        for (const std::size_t end : {across_[wire].first, across_[wire].second}) {
            const std::size_t block = block_[end];
            if (asked[block] || needed_[block] == 0 || !hasTerminal_[pieces_.of(end)]) {
                continue;
            }
            asked[block] = true;
            if (held_[block].size() < needed_[block]) {
                held_[block].push_back(wire);
                return true;
            }
            for (std::size_t& other : held_[block]) {
                if (place(other, asked)) {
                    other = wire;
                    return true;
                }
            }
        }
        return false;
    }

    const std::vector<std::size_t>& block_;
    Pieces pieces_;
    std::vector<Pair> across_;
    std::vector<std::size_t> needed_;             // joins that each block lacks
    std::vector<std::vector<std::size_t>> held_;  // wires across that make them
    std::vector<bool> hasTerminal_;               // of each piece: more than tie posts
    std::size_t joins_ = 0;
};

// Tie posts belong to no net by themselves: each is taken as part of that net, among those on it,
// with which the fewest changes do.
struct TiePost {
    std::size_t number = 0;
    std::vector<std::size_t> neighbours;  // terminals that it reaches through wires and tie posts
};

std::vector<TiePost> wiredTiePosts(const WireBoard& board)
{
    Pieces clusters(board.terminals.size());
    for (const Pair& wire : board.found) {
        if (board.isTie[wire.first] && board.isTie[wire.second]) {
            clusters.join(wire.first, wire.second);
        }
    }
    std::vector<TiePost> posts;
    for (std::size_t i = 0; i < board.terminals.size(); ++i) {
        if (!board.isTie[i]) {
            continue;
        }
        TiePost post{i, {}};
        for (const auto& [a, b] : board.found) {
            if (board.isTie[a] != board.isTie[b]) {
                const std::size_t tie = board.isTie[a] ? a : b;
                if (clusters.of(tie) == clusters.of(i)) {
                    post.neighbours.push_back(board.isTie[a] ? b : a);
                }
            }
        }
        if (!post.neighbours.empty()) {
            posts.push_back(std::move(post));
        }
    }
    return posts;
}

class Search
{
public:
    explicit Search(const WireBoard& board) : board_(board), posts_(wiredTiePosts(board)) {}

    WireFit run()
    {
        WireFit fit;
        const std::size_t ways = std::size_t{1} << board_.alike.size();
        for (std::size_t way = 0; way < ways; ++way) {
            fit.role.resize(board_.terminals.size());
            std::iota(fit.role.begin(), fit.role.end(), std::size_t{0});
            fit.exchanged = 0;
            fit.linesExchanged = false;
            for (std::size_t row = 0; row < board_.alike.size(); ++row) {
                if ((way >> row & 1U) == 0) {
                    continue;
                }
                ++fit.exchanged;
                fit.linesExchanged = fit.linesExchanged || board_.alikeIsSupply[row];
                for (const auto& [a, b] : board_.alike[row]) {
                    std::swap(fit.role[a], fit.role[b]);
                }
            }
            fit.block.assign(board_.terminals.size(), board_.netCount);
            for (std::size_t i = 0; i < fit.block.size(); ++i) {
                if (!board_.isTie[i]) {
                    fit.block[i] = board_.wantedNet[fit.role[i]];
                }
            }
            tryPosts(fit, 0);
            if (best_->changes == 0 && best_->exchanged == 0) {
                break;  // nothing is better
            }
        }
        return *best_;
    }

private:
    void tryPosts(WireFit& fit, std::size_t next)
    {
        if (next == posts_.size()) {
            return tryFit(fit);
        }
        std::set<std::size_t> blocks;
        for (const std::size_t neighbour : posts_[next].neighbours) {
            blocks.insert(fit.block[neighbour]);
        }
        for (const std::size_t block : blocks) {
            fit.block[posts_[next].number] = block;
            tryPosts(fit, next + 1);
        }
    }

    void tryFit(WireFit& fit)
    {
        // The last block is that of tie posts that reach no terminal.
        Cost cost(board_, fit.block, board_.netCount + 1);
        if (best_ && cost.atLeast() > best_->changes) {
            return;
        }
        std::tie(fit.changes, fit.notMoved) = cost.changes();
        if (!best_ || rank(fit) < rank(*best_)) {
            best_ = fit;
        }
    }

    static std::tuple<std::size_t, std::size_t, bool, std::size_t> rank(const WireFit& fit)
    {
        return {fit.changes, fit.notMoved, fit.linesExchanged, fit.exchanged};
    }

    const WireBoard& board_;
    std::vector<TiePost> posts_;
    std::optional<WireFit> best_;
};

}  // namespace

WireBoard wireBoard(const Circuit& wanted, const Circuit& found)
{
    WireBoard board;
    for (const CircuitPart& part : wanted.parts) {
        const PartKindInfo& info = partKindInfo(part.kind);
        for (const std::string_view name : info.terminals) {
            const Terminal terminal{part.id, std::string(name)};
            board.numberOf[terminal] = board.terminals.size();
            board.terminals.push_back(terminal);
            board.isTie.push_back(std::find(info.tiePosts.begin(), info.tiePosts.end(), name) !=
                                  info.tiePosts.end());
        }
    }
    const Nets nets(wanted);
    board.netCount = nets.all().size();
    for (const Terminal& terminal : board.terminals) {
        board.wantedNet.push_back(nets.of(terminal));
    }
    for (const Wire& wire : wanted.wires) {
        const std::size_t from = board.numberOf.at(wire.from);
        const std::size_t to = board.numberOf.at(wire.to);
        board.wanted.emplace(std::min(from, to), std::max(from, to));
    }
    for (const Wire& wire : found.wires) {
        board.found.emplace_back(board.numberOf.at(wire.from), board.numberOf.at(wire.to));
    }
    addAlike(board, wanted, nets);
    return board;
}

WireFit bestFit(const WireBoard& board)
{
    return Search(board).run();
}

}  // namespace splitstart
