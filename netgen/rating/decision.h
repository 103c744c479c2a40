// A verdict from many possible machines: motors that the evidence allows, with parts from anywhere
// in their tolerances.
#pragma once

#include <cstddef>
#include <limits>
#include <string>
#include <string_view>
#include <vector>

#include "rating/check.h"

namespace splitstart
{

// How sure a verdict has to be.
struct DecisionRule {
    double share_ratio = 0.95;  // of the possible machines; 0.5 to 0.999
    std::size_t samples = 200;  // machines to look at; 20 to 10 000
};

// One check on one possible machine.
struct SampleReading {
    bool clear = false;  // false: the check cannot be judged on this machine
    Comparison worst;    // where it is clear
    bool asked = true;   // false: what the check presumes is not so in this machine at any corner
    [[nodiscard]] bool holds() const { return clear && worst.margin() >= 0; }
    [[nodiscard]] bool fails() const { return clear && worst.margin() < 0; }
};

// What that check reads of that machine: its worst comparison. Where the check presumes something
// of a start, that of the starts in which it is so; where it is so in none, that of all of them, as
// not asked.
SampleReading sampleReading(const Check& check, const CheckContext& machine);

// The worst comparison of a reading, or null if it has none.
const Comparison* worstOf(const CheckReading& reading);

// The fewest machines that a verdict is given on.
constexpr std::size_t fewestMachines = 20;

// What the verdict is counted over: the readings of the machines that the check could be asked of,
// if those are at least fewestMachines and a quarter of all, else all. A relay that is right in
// every machine that starts is right, though it is open whether this one starts: that is another
// check's to say. Where hardly any starts, that verdict would stand on few machines, and would be
// of no use.
std::vector<SampleReading> readingsThatCount(const std::vector<SampleReading>& readings);

// Whether more machines would change the verdict, given what those so far say: all have been looked
// at, or at least 20 and the share that holds (or fails) is beyond the rule's, or the shares of
// both are below it, with a probability of 95 % each: posterior of a share after n draws from a
// flat prior, the beta distribution (Bayes; any text on statistics). At a rule of 95 % that takes
// 58 machines that are all alike. How far the margins lie from the limit does not count: a motor
// that just starts has the margin of one that starts with ease, and one that just does not is far
// away from both. Not before it is known whether the check can be asked of enough machines.
bool isSettled(const std::vector<SampleReading>& readings, const DecisionRule& rule);

// The verdict by the shares: pass where the check holds in at least that share of the machines,
// fail where it fails in at least that share, else undecided. Requires at least one reading.
Verdict verdictOf(const std::vector<SampleReading>& readings, const DecisionRule& rule);

// Puts verdict, shares and the figures to show into the finding: of a pass the machine that is
// worse than all but one in twenty, of a fail the one that is better than all but one in twenty, of
// what is undecided the middle one. Where no machine can be judged the finding keeps its reason.
void decide(Finding& finding, const std::vector<SampleReading>& readings, const DecisionRule& rule);

// "that come up to speed", to stand after "machines"; empty where nothing is presumed.
std::string_view presumptionText(Presumes presumed);

// What the finding's shares are of: "60 machines that the readings and labels allow", or "47
// machines that come up to speed, of 60 that the readings and labels allow".
std::string countedMachinesText(const Finding& finding);

// What the margins hang on: for each input its name and its value in each machine that has a
// reading. Names those whose ranks explain at least a tenth of the margins' (Spearman's rank
// correlation squared) and more than chance would let any of them, most first, at most three.
struct SampleInput {
    std::string name;
    std::vector<double> values;
};
std::vector<std::string> inputsThatMatter(const std::vector<SampleReading>& readings,
                                          const std::vector<SampleInput>& inputs);

}  // namespace splitstart
