#include "rating/decision.h"

#include <fmt/format.h>

#include <algorithm>
#include <boost/math/distributions/beta.hpp>
#include <boost/math/distributions/normal.hpp>
#include <cmath>

#include "rating/rank_statistics.h"

namespace splitstart
{

namespace
{

constexpr double sureEnough = 0.95;

struct Shares {
    std::size_t holds = 0;
    std::size_t fails = 0;
    std::size_t all = 0;
};

Shares sharesOf(const std::vector<SampleReading>& readings)
{
    Shares shares;
    for (const SampleReading& reading : readings) {
        shares.holds += reading.holds() ? 1 : 0;
        shares.fails += reading.fails() ? 1 : 0;
    }
    shares.all = readings.size();
    return shares;
}

// Probability that the true share is below that one.
double probabilityBelow(double share_ratio, std::size_t found, std::size_t all)
{
    const boost::math::beta_distribution<double> posterior(static_cast<double>(found) + 1,
                                                           static_cast<double>(all - found) + 1);
    return boost::math::cdf(posterior, share_ratio);
}

}  // namespace

const Comparison* worstOf(const CheckReading& reading)
{
    const auto found = std::min_element(
        reading.comparisons.begin(), reading.comparisons.end(),
        [](const Comparison& a, const Comparison& b) { return a.margin() < b.margin(); });
    return found == reading.comparisons.end() ? nullptr : &*found;
}

SampleReading sampleReading(const Check& check, const CheckContext& machine)
{
    const CheckReading reading = check.read(machine);
    const Comparison* worst = worstOf(reading);
    if (worst == nullptr || !reading.undecidedBecause.empty()) {
        return {};
    }
    return {true, *worst};
}

bool isSettled(const std::vector<SampleReading>& readings, const DecisionRule& rule)
{
    if (readings.size() >= rule.samples) {
        return true;
    }
    constexpr std::size_t fewest = 20;
    const Shares shares = sharesOf(readings);
    if (shares.all < fewest) {
        return false;
    }
    const double holdsLess = probabilityBelow(rule.share_ratio, shares.holds, shares.all);
    const double failsLess = probabilityBelow(rule.share_ratio, shares.fails, shares.all);
    return 1 - holdsLess > sureEnough || 1 - failsLess > sureEnough ||
           (holdsLess > sureEnough && failsLess > sureEnough);
}

Verdict verdictOf(const std::vector<SampleReading>& readings, const DecisionRule& rule)
{
    const Shares shares = sharesOf(readings);
    const double needed = rule.share_ratio * static_cast<double>(shares.all);
    return static_cast<double>(shares.holds) >= needed   ? Verdict::pass
           : static_cast<double>(shares.fails) >= needed ? Verdict::fail
                                                         : Verdict::undecided;
}

void decide(Finding& finding, const std::vector<SampleReading>& readings, const DecisionRule& rule)
{
    const Shares shares = sharesOf(readings);
    finding.verdict = verdictOf(readings, rule);
    finding.samples = shares.all;
    finding.holds = shares.holds;
    finding.fails = shares.fails;
    if (shares.holds + shares.fails == 0) {
        finding.hasValue = false;
        return;  // what keeps it open is not the motor: the reason stands
    }
    finding.because.clear();
    if (finding.verdict == Verdict::undecided) {
        finding.because = fmt::format(
            "it holds in {} and fails in {} of {} machines that the readings and the labels allow",
            shares.holds, shares.fails, shares.all);
    }
    std::vector<const SampleReading*> sorted;
    for (const SampleReading& reading : readings) {
        if (reading.clear) {
            sorted.push_back(&reading);
        }
    }
    std::stable_sort(sorted.begin(), sorted.end(),
                     [](const SampleReading* a, const SampleReading* b) {
                         return a->worst.margin() < b->worst.margin();
                     });
    constexpr double twentieth = 0.05;
    const double place = finding.verdict == Verdict::pass   ? twentieth
                         : finding.verdict == Verdict::fail ? 1 - twentieth
                                                            : 0.5;
    const Comparison& shown =
        sorted[static_cast<std::size_t>(place * static_cast<double>(sorted.size() - 1))]->worst;
    finding.hasLimit = true;
    finding.hasValue = !shown.beyond;
    finding.corner = shown.corner;
    finding.value = shown.value;
    finding.limit = shown.limit;
    finding.margin = shown.margin();
}

std::vector<std::string> inputsThatMatter(const std::vector<SampleReading>& readings,
                                          const std::vector<SampleInput>& inputs)
{
    // Of many inputs one follows the margins by chance: among twenty machines an input has to
    // explain half of them before that is less likely than one in twenty for all inputs together
    // (Bonferroni's inequality; a rank correlation of what is independent has a deviation of
    // 1/sqrt(n - 1); any text on rank statistics).
    constexpr double byChance = 0.05;
    constexpr double leastShare = 0.1;
    constexpr std::size_t most = 3;
    std::vector<double> margins;
    std::vector<std::size_t> clear;
    for (std::size_t i = 0; i < readings.size(); ++i) {
        if (readings[i].clear) {
            clear.push_back(i);
            margins.push_back(readings[i].worst.margin());
        }
    }
    if (clear.size() < 2 || inputs.empty()) {
        return {};
    }
    const double deviations = boost::math::quantile(boost::math::complement(
        boost::math::normal(), byChance / 2 / static_cast<double>(inputs.size())));
    const double least =
        std::max(leastShare, deviations * deviations / static_cast<double>(clear.size() - 1));
    const std::vector<double> marginRanks = ranksOf(margins);
    std::vector<std::pair<double, std::string>> explained;
    for (const SampleInput& input : inputs) {
        std::vector<double> values;
        values.reserve(clear.size());
        for (const std::size_t i : clear) {
            values.push_back(input.values[i]);
        }
        const double r = correlation(ranksOf(values), marginRanks);
        if (r * r >= least) {
            explained.emplace_back(r * r, input.name);
        }
    }
    std::stable_sort(explained.begin(), explained.end(),
                     [](const auto& a, const auto& b) { return a.first > b.first; });
    std::vector<std::string> names;
    for (std::size_t i = 0; i < std::min(most, explained.size()); ++i) {
        names.push_back(explained[i].second);
    }
    return names;
}

}  // namespace splitstart
