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

std::size_t askedOf(const std::vector<SampleReading>& readings)
{
    return static_cast<std::size_t>(
        std::count_if(readings.begin(), readings.end(),
                      [](const SampleReading& reading) { return reading.asked; }));
}

Shares sharesOf(const std::vector<SampleReading>& readings)
{
    Shares shares;
    for (const SampleReading& reading : readingsThatCount(readings)) {
        shares.holds += reading.holds() ? 1 : 0;
        shares.fails += reading.fails() ? 1 : 0;
        ++shares.all;
    }
    return shares;
}

// Of so many machines.
std::size_t fewestAsked(std::size_t machines)
{
    constexpr std::size_t quarter = 4;
    return std::max(fewestMachines, machines / quarter);
}

// Whether too few machines so far could be asked, but enough will at this rate.
bool askedTooSoon(const std::vector<SampleReading>& readings, const DecisionRule& rule)
{
    const std::size_t asked = askedOf(readings);
    return asked < fewestAsked(readings.size()) && asked < readings.size() &&
           asked * rule.samples >= fewestAsked(rule.samples) * readings.size();
}

// Probability that the true share is below that one.
double probabilityBelow(double share_ratio, std::size_t found, std::size_t all)
{
    const boost::math::beta_distribution<double> posterior(static_cast<double>(found) + 1,
                                                           static_cast<double>(all - found) + 1);
    return boost::math::cdf(posterior, share_ratio);
}

bool isPresumed(Presumes presumes, const StartMeasurement& start)
{
    switch (presumes) {
        case Presumes::comesUpToSpeed: {
            // By then a start circuit is to leave (common practice, no source). Not 90 %, which a
            // start circuit that stays in may itself keep the motor from.
            constexpr double leavesAt_ratio = 0.75;
            return start.speedAtEnd_ratio.value_or(0) >= leavesAt_ratio;
        }
        case Presumes::startCircuitLeaves:
            return start.startContactAtEnd.value_or(0) < 0.5;
        default:
            return true;  // those that are read where it is so say themselves where it is not
    }
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
    const std::vector<StartRun>& starts = machine.evidence.starts;
    const auto isLeftOut = [&check](const StartRun& run) {
        return !isPresumed(check.presumes, run.measured);
    };
    const auto leftOut =
        static_cast<std::size_t>(std::count_if(starts.begin(), starts.end(), isLeftOut));
    SampleReading result;
    result.asked = starts.empty() || leftOut < starts.size();
    CheckReading reading;
    if (leftOut > 0 && result.asked) {
        Evidence others = machine.evidence;
        std::erase_if(others.starts, isLeftOut);
        reading = check.read({machine.input, machine.circuit, others});
    } else {
        reading = check.read(machine);
    }
    const Comparison* worst = worstOf(reading);
    result.asked = result.asked && (worst != nullptr || reading.doesNotArise.empty());
    result.clear = worst != nullptr && reading.undecidedBecause.empty();
    if (result.clear) {
        result.worst = *worst;
    }
    return result;
}

std::vector<SampleReading> readingsThatCount(const std::vector<SampleReading>& readings)
{
    if (askedOf(readings) < fewestAsked(readings.size())) {
        return readings;
    }
    std::vector<SampleReading> asked;
    std::copy_if(readings.begin(), readings.end(), std::back_inserter(asked),
                 [](const SampleReading& reading) { return reading.asked; });
    return asked;
}

bool isSettled(const std::vector<SampleReading>& readings, const DecisionRule& rule)
{
    if (readings.size() >= rule.samples) {
        return true;
    }
    const Shares shares = sharesOf(readings);
    if (shares.all < fewestMachines || askedTooSoon(readings, rule)) {
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
    finding.lookedAt = readings.size();
    finding.presumed = shares.all < readings.size() ? finding.check->presumes : Presumes::nothing;
    finding.holds = shares.holds;
    finding.fails = shares.fails;
    if (shares.holds + shares.fails == 0) {
        finding.hasValue = false;
        return;  // what keeps it open is not the motor: the reason stands
    }
    finding.because.clear();
    if (finding.verdict == Verdict::undecided) {
        finding.because = fmt::format("it holds in {} and fails in {} of {}", shares.holds,
                                      shares.fails, countedMachinesText(finding));
    }
    std::vector<const SampleReading*> sorted;
    const std::vector<SampleReading> counted = readingsThatCount(readings);
    for (const SampleReading& reading : counted) {
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

std::string_view presumptionText(Presumes presumed)
{
    switch (presumed) {
        case Presumes::comesUpToSpeed:
            return "that come up to speed";
        case Presumes::carriesLoad:
            return "that carry their load";
        case Presumes::contactMakes:
            return "whose start contact makes";
        case Presumes::contactOpens:
            return "whose start contact opens";
        case Presumes::startCircuitLeaves:
            return "whose start circuit leaves";
        case Presumes::nothing:
            break;
    }
    return "";
}

std::string countedMachinesText(const Finding& finding)
{
    constexpr const char* allowed = "that the readings and labels allow";
    return finding.presumed == Presumes::nothing
               ? fmt::format("{} machines {}", finding.samples, allowed)
               : fmt::format("{} machines {}, of {} {}", finding.samples,
                             presumptionText(finding.presumed), finding.lookedAt, allowed);
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
