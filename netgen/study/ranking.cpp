#include "study/ranking.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <tuple>
#include <utility>

namespace splitstart
{

namespace
{

constexpr double room_degC = 25;
constexpr double all_percent = 100;
// Beyond that it is worse than anything that could be told apart.
constexpr double bounds_percent = 1e6;

// Steps of 10 %: an estimated motor's torque is not known more closely, and a part more to fit is
// not worth less.
long torqueStep(double torque_Nm)
{
    constexpr double step = 1.1;
    constexpr double least_Nm = 1e-4;
    return torque_Nm > least_Nm ? std::lround(std::log(torque_Nm / least_Nm) / std::log(step)) : 0;
}

}  // namespace

double relativeMargin(const Finding& finding)
{
    constexpr double infinity = std::numeric_limits<double>::infinity();
    if (!finding.hasValue) {
        return -infinity;
    }
    const Check& check = *finding.check;
    if (check.unit.empty() || finding.limit == 0) {
        return finding.margin >= 0 ? infinity : -1;
    }
    double scale = std::abs(finding.limit);
    // A margin of its own sign tells which way the limit lies.
    const bool atLeast = (finding.value >= finding.limit) == (finding.margin >= 0);
    if (check.unit == "%" && atLeast && finding.limit < all_percent) {
        scale = all_percent - finding.limit;
    } else if (check.unit == "degC" && finding.limit > room_degC) {
        scale = finding.limit - room_degC;
    }
    return finding.margin / scale;
}

Outcome outcomeOf(const std::vector<Finding>& findings, const std::set<const Check*>& leftOut)
{
    Outcome outcome = Outcome::pass;
    for (const Finding& finding : findings) {
        if (leftOut.contains(finding.check)) {
            continue;
        }
        const Outcome one = finding.verdict == Verdict::pass        ? Outcome::pass
                            : finding.verdict == Verdict::undecided ? Outcome::undecided
                                                                    : Outcome::fail;
        outcome = std::max(outcome, one);
    }
    return outcome;
}

Rank rankOf(const std::vector<Finding>& findings, const std::set<const Check*>& leftOut,
            double startingTorque_Nm, std::size_t pieces, std::string name)
{
    Rank rank;
    rank.outcome = outcomeOf(findings, leftOut);
    for (const Finding& finding : findings) {
        if (!leftOut.contains(finding.check) && finding.hasLimit &&
            finding.verdict != Verdict::undecided) {
            const double percent =
                std::clamp(all_percent * relativeMargin(finding), -bounds_percent, bounds_percent);
            rank.margins_percent.push_back(static_cast<int>(std::floor(percent)));
        }
    }
    std::sort(rank.margins_percent.begin(), rank.margins_percent.end());
    rank.startingTorque_Nm = startingTorque_Nm;
    rank.pieces = pieces;
    rank.name = std::move(name);
    return rank;
}

bool isBetter(const Rank& a, const Rank& b)
{
    const auto worst = [](const Rank& rank) {
        return rank.margins_percent.empty() ? std::numeric_limits<int>::max()
                                            : rank.margins_percent.front();
    };
    const auto first = [&worst](const Rank& rank) {
        return std::tuple(rank.outcome, -static_cast<long>(worst(rank)),
                          -torqueStep(rank.startingTorque_Nm), rank.pieces);
    };
    if (first(a) != first(b)) {
        return first(a) < first(b);
    }
    if (a.margins_percent != b.margins_percent) {
        return a.margins_percent > b.margins_percent;
    }
    return a.name < b.name;
}

std::string_view outcomeName(Outcome outcome)
{
    return outcome == Outcome::pass ? "pass" : outcome == Outcome::undecided ? "undecided" : "fail";
}

}  // namespace splitstart
