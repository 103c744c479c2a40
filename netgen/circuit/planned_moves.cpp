// One of the shortest rows of changes, chosen so that a person finds it natural: wire ends go where
// the wanted circuit has a wire, ends change over where two were exchanged, at as few parts as
// possible. How many changes there must be is found in wire_fit.cpp.
#include "circuit/wire_board.h"

#include <algorithm>
#include <numeric>
#include <optional>
#include <tuple>

namespace splitstart
{

namespace
{

using Pair = WireBoard::Pair;

constexpr std::size_t none = static_cast<std::size_t>(-1);

// Which end of a wire across two blocks stays, or neither.
enum class Stays { first, second, neither };

struct Plan {
    std::vector<WireMove> moves;
    int liking = 0;  // how natural it is; compared only among plans of the same length
};

class Planner
{
public:
    Planner(const WireBoard& board, const WireFit& fit)
        : board_(board), fit_(fit), wires_(board.found), touched_(board.found.size(), false)
    {
    }

    [[nodiscard]] std::vector<std::size_t> wiresAcross() const
    {
        std::vector<std::size_t> across;
        for (std::size_t i = 0; i < wires_.size(); ++i) {
            if (fit_.block[wires_[i].first] != fit_.block[wires_[i].second]) {
                across.push_back(i);
            }
        }
        return across;
    }

    // Of the wires across, those with an end that stays are moved into its block as far as a join
    // is missing there; all the rest of the work follows.
    Plan run(const std::vector<std::size_t>& across, const std::vector<Stays>& stays)
    {
        std::vector<std::size_t> helping;
        std::vector<std::size_t> idle;
        for (std::size_t i = 0; i < across.size(); ++i) {
            if (stays[i] == Stays::neither) {
                idle.push_back(across[i]);
                continue;
            }
            auto& [kept, moving] = wires_[across[i]];
            if (stays[i] == Stays::second) {
                std::swap(kept, moving);
            }
            leaving_.push_back(moving);
            helping.push_back(across[i]);
        }
        while (!helping.empty()) {
            if (!moveBest(helping)) {  // the others cannot help: no join is missing at their end
                idle.insert(idle.end(), helping.begin(), helping.end());
                break;
            }
        }
        for (std::optional<std::size_t> block = brokenBlock(); block; block = brokenBlock()) {
            if (!idle.empty()) {
                carryOver(idle, *block);
            } else if (!moveSpare(*block)) {
                addWire(*block);
            }
        }
        for (const std::size_t wire : idle) {
            plan_.moves.push_back({WireChange::remove, wireOf(wires_[wire]), {}, {}});
        }
        likeTidiness();
        return std::move(plan_);
    }

private:
    struct Landing {
        std::size_t wire = none;
        std::size_t kept = none;
        std::size_t at = none;
        int liking = 0;
    };

    [[nodiscard]] Wire wireOf(const Pair& wire) const
    {
        return {board_.terminals[wire.first], board_.terminals[wire.second]};
    }

    // The piece of each terminal: all that is joined inside its block. `without`: a wire left out.
    [[nodiscard]] std::vector<std::size_t> pieces(std::size_t without = none) const
    {
        std::vector<std::size_t> piece(board_.terminals.size());
        std::iota(piece.begin(), piece.end(), std::size_t{0});
        for (std::size_t i = 0; i < wires_.size(); ++i) {
            const auto& [a, b] = wires_[i];
            if (i == without || fit_.block[a] != fit_.block[b] || piece[a] == piece[b]) {
                continue;
            }
            std::replace(piece.begin(), piece.end(), std::size_t{piece[a]}, std::size_t{piece[b]});
        }
        return piece;
    }

    // The pieces of a block that hold more than tie posts.
    [[nodiscard]] std::set<std::size_t> piecesOf(std::size_t block,
                                                 const std::vector<std::size_t>& piece) const
    {
        std::set<std::size_t> result;
        for (std::size_t i = 0; i < piece.size(); ++i) {
            if (fit_.block[i] == block && !board_.isTie[i]) {
                result.insert(piece[i]);
            }
        }
        return result;
    }

    [[nodiscard]] std::optional<std::size_t> brokenBlock() const
    {
        const std::vector<std::size_t> piece = pieces();
        for (std::size_t block = 0; block < board_.netCount; ++block) {
            if (piecesOf(block, piece).size() > 1) {
                return block;
            }
        }
        return std::nullopt;
    }

    [[nodiscard]] bool isWanted(std::size_t a, std::size_t b) const
    {
        const std::size_t roleA = fit_.role[a];
        const std::size_t roleB = fit_.role[b];
        return board_.wanted.contains({std::min(roleA, roleB), std::max(roleA, roleB)});
    }

    // How natural it is to join these two, the second being where a wire end is put.
    [[nodiscard]] int liking(std::size_t kept, std::size_t at,
                             const std::vector<std::size_t>& piece) const
    {
        const bool alone = std::count(piece.begin(), piece.end(), piece[at]) == 1;
        const bool vacated = std::find(leaving_.begin(), leaving_.end(), at) != leaving_.end();
        return (isWanted(kept, at) ? 8 : 0) + (alone ? 4 : 0) + (vacated ? 2 : 0) -
               (board_.isTie[at] ? 6 : 0);
    }

    // Where to put the other end of a wire whose one end is `kept`, so that it joins two pieces.
    [[nodiscard]] Landing bestLanding(std::size_t wire, std::size_t kept, std::size_t moving,
                                      const std::vector<std::size_t>& piece) const
    {
        Landing best;
        const std::set<std::size_t> held = piecesOf(fit_.block[kept], piece);
        if (!held.contains(piece[kept])) {
            return best;  // a tie post with nothing on it: nobody gains
        }
        for (std::size_t at = 0; at < piece.size(); ++at) {
            if (piece[at] == piece[kept] || !held.contains(piece[at])) {
                continue;
            }
            const bool samePart = board_.terminals[at].part == board_.terminals[moving].part;
            const int like = liking(kept, at, piece) + (samePart ? 1 : 0);
            if (best.at == none || like > best.liking) {
                best = {wire, kept, at, like};
            }
        }
        return best;
    }

    void move(std::size_t wire, std::size_t moving, std::size_t at)
    {
        plan_.moves.push_back({WireChange::moveEnd, wireOf(wires_[wire]), board_.terminals[moving],
                               board_.terminals[at]});
        Pair& ends = wires_[wire];
        (ends.first == moving ? ends.first : ends.second) = at;
        touched_[wire] = true;
    }

    [[nodiscard]] std::size_t otherEnd(std::size_t wire, std::size_t end) const
    {
        return wires_[wire].first == end ? wires_[wire].second : wires_[wire].first;
    }

    bool moveBest(std::vector<std::size_t>& helping)
    {
        const std::vector<std::size_t> piece = pieces();
        Landing best;
        for (const std::size_t wire : helping) {
            const auto& [kept, moving] = wires_[wire];
            const Landing landing = bestLanding(wire, kept, moving, piece);
            if (landing.at != none && (best.at == none || landing.liking > best.liking)) {
                best = landing;
            }
        }
        if (best.at == none) {
            return false;
        }
        plan_.liking += best.liking;
        move(best.wire, otherEnd(best.wire, best.kept), best.at);
        std::erase(helping, best.wire);
        return true;
    }

    // The two terminals of a broken block between which a wire is most natural.
    [[nodiscard]] Pair bestJoin(std::size_t block) const
    {
        const std::vector<std::size_t> piece = pieces();
        Pair best{none, none};
        int bestLiking = 0;
        for (std::size_t a = 0; a < piece.size(); ++a) {
            if (fit_.block[a] != block || board_.isTie[a]) {
                continue;
            }
            const Landing landing = bestLanding(none, a, a, piece);
            if (landing.at != none && !board_.isTie[landing.at] &&
                (best.first == none || landing.liking > bestLiking)) {
                best = {a, landing.at};
                bestLiking = landing.liking;
            }
        }
        return best;
    }

    // A wire that is in the way, both of its ends moved to where one is missing.
    void carryOver(std::vector<std::size_t>& idle, std::size_t block)
    {
        auto [first, second] = bestJoin(block);
        const std::size_t wire = idle.back();
        idle.pop_back();
        const auto [a, b] = wires_[wire];
        if (b == first || a == second) {
            std::swap(first, second);
        }
        if (a != first) {
            move(wire, a, first);
        }
        if (b != second) {
            move(wire, b, second);
        }
    }

    // A wire of that block that joins nothing which other wires do not join already.
    bool moveSpare(std::size_t block)
    {
        const std::size_t count = piecesOf(block, pieces()).size();
        Landing best;
        for (std::size_t wire = 0; wire < wires_.size(); ++wire) {
            const auto [a, b] = wires_[wire];
            if (touched_[wire] || fit_.block[a] != block || fit_.block[b] != block) {
                continue;
            }
            const std::vector<std::size_t> piece = pieces(wire);
            if (piecesOf(block, piece).size() != count) {
                continue;
            }
            for (const auto& [kept, moving] : {Pair{a, b}, Pair{b, a}}) {
                Landing landing = bestLanding(wire, kept, moving, piece);
                // A wire that is wanted where it lies should stay.
                landing.liking -= isWanted(a, b) ? 8 : 0;
                if (landing.at != none && (best.at == none || landing.liking > best.liking)) {
                    best = landing;
                }
            }
        }
        if (best.at == none) {
            return false;
        }
        move(best.wire, otherEnd(best.wire, best.kept), best.at);
        return true;
    }

    void addWire(std::size_t block)
    {
        const Pair join = bestJoin(block);
        plan_.moves.push_back({WireChange::add, wireOf(join), {}, {}});
        wires_.push_back(join);
        touched_.push_back(true);
    }

    void likeTidiness()
    {
        std::set<std::string> parts;
        for (std::size_t i = 0; i < plan_.moves.size(); ++i) {
            const WireMove& one = plan_.moves[i];
            if (one.change != WireChange::moveEnd) {
                continue;
            }
            parts.insert(one.from.part);
            for (std::size_t j = 0; j < i; ++j) {
                const WireMove& other = plan_.moves[j];
                const bool over = one.from == other.to && one.to == other.from;
                plan_.liking += over ? 8 : 0;
            }
        }
        plan_.liking -= 2 * static_cast<int>(parts.size());
    }

    const WireBoard& board_;
    const WireFit& fit_;
    std::vector<Pair> wires_;  // as they lie by now
    std::vector<bool> touched_;
    std::vector<std::size_t> leaving_;  // terminals from which a wire end goes
    Plan plan_;
};

}  // namespace

std::vector<WireMove> plannedMoves(const WireBoard& board, const WireFit& fit)
{
    const std::vector<std::size_t> across = Planner(board, fit).wiresAcross();
    // 3^6 plans are tried one by one; beyond, one that is improved wire by wire.
    constexpr std::size_t mostTried = 6;
    constexpr Stays choices[] = {Stays::first, Stays::second, Stays::neither};
    Plan best;
    std::vector<Stays> stays(across.size(), Stays::first);
    const auto take = [&](const std::vector<Stays>& candidate) {
        Plan plan = Planner(board, fit).run(across, candidate);
        const auto added = [](const Plan& each) {
            return std::count_if(each.moves.begin(), each.moves.end(), [](const WireMove& move) {
                return move.change != WireChange::moveEnd;
            });
        };
        const auto rank = [&](const Plan& each) {
            return std::tuple(each.moves.size(), added(each), -each.liking);
        };
        if (best.moves.empty() || rank(plan) < rank(best)) {
            best = std::move(plan);
            return true;
        }
        return false;
    };
    take(stays);
    if (across.size() <= mostTried) {
        const auto tryAll = [&](const auto& self, std::size_t next) -> void {
            if (next == across.size()) {
                take(stays);
                return;
            }
            for (const Stays choice : choices) {
                stays[next] = choice;
                self(self, next + 1);
            }
        };
        tryAll(tryAll, 0);
        return best.moves;
    }
    for (bool better = true; better;) {
        better = false;
        for (std::size_t wire = 0; wire < across.size(); ++wire) {
            for (const Stays choice : choices) {
                std::vector<Stays> candidate = stays;
                candidate[wire] = choice;
                if (take(candidate)) {
                    stays = candidate;
                    better = true;
                }
            }
        }
    }
    return best.moves;
}

}  // namespace splitstart
