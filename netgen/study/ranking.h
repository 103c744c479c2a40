// Which combination of parts is better than another.
#pragma once

#include <compare>
#include <set>
#include <string>
#include <vector>

#include "rating/check.h"

namespace splitstart
{

// How much of its limit a finding leaves, 1 for all of it; negative: beyond the limit.
//   Of a speed in percent that must not be below its limit: the margin over what lies between the
//   limit and 100 %. Of a temperature: over what lies between 25 degC and the limit. Of anything
//   else: over the limit.
//   What is counted, or is so or not so, leaves infinitely much where it passes and -1 where it
//   fails; so does a limit of nought, of which no share can be taken. Beyond the limit by an
//   unknown amount: -infinity. Requires a finding with a limit.
double relativeMargin(const Finding& finding);

// In the order of what is better.
enum class Outcome { pass, undecided, fail };

// What a combination is ranked by, most important first.
struct Rank {
    Outcome outcome = Outcome::fail;
    // Relative margins in steps of a hundredth, smallest first: an estimate is not sharper than
    // that.
    std::vector<int> margins_percent;
    double startingTorque_Nm = 0;  // at standstill, lowest line, hot windings
    std::size_t pieces = 0;        // parts to fit
    std::string name;              // so that the order is the same every time
};

// True if a is the better one: by outcome, worst margin, starting torque (in steps of 10 %), fewer
// parts, what is to spare beyond the worst margin (the second smallest, and so on), name.
bool isBetter(const Rank& a, const Rank& b);

// The rank of a combination with these findings. `leftOut`: checks that tell nothing about it,
// since they are the same, or fail, whatever is fitted.
Rank rankOf(const std::vector<Finding>& findings, const std::set<const Check*>& leftOut,
            double startingTorque_Nm, std::size_t pieces, std::string name);

// The outcome of those checks together, leaving some out.
Outcome outcomeOf(const std::vector<Finding>& findings, const std::set<const Check*>& leftOut);

// "pass", "undecided", "fail"
std::string_view outcomeName(Outcome outcome);

}  // namespace splitstart
