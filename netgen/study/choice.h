// Choosing start parts from a stock: every combination that fits the circuit, held against every
// check, the best first.
#pragma once

#include <functional>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "rating/check.h"
#include "study/case_study.h"
#include "study/ranking.h"
#include "study/rating_band.h"
#include "study/stock.h"

namespace splitstart
{

struct ChoiceOptions {
    std::set<StockPlace> kept;
    std::size_t sureTop = 1;  // how many of the best are judged over possible machines, 1 to 20
    bool ratings = false;     // work out what to ask for even where something fits
    CheckOptions check;       // how the best are judged
};

// How far a combination was looked at. What fails is not looked at any further.
enum class Depth { labels, heldShaft, fewStarts, starts };

struct Candidate {
    Combination combination;
    Depth depth = Depth::labels;
    std::vector<Finding> findings;  // best estimate of the motor, parts at both ends
    std::string notSimulated;       // why ngspice could not follow its starts; mostly empty
    Rank rank;
};

// A combination judged over possible machines, as `check` does.
struct SureChoice {
    std::size_t candidate = 0;  // place in Choice::candidates
    CheckStudy study;
    Outcome outcome = Outcome::fail;  // the checks of Choice::everywhere left out
};

// Why a part of the stock is in no combination that passes.
struct Rejection {
    std::string part;
    std::size_t candidate = 0;  // the combination in which it does best
    Finding finding;  // what it fails there, or what is undecided; check null: notSimulated
};

struct Choice {
    MotorStudy motor;
    StockOffer offer;
    std::vector<Candidate> candidates;  // best first
    // Fail or are undecided whatever is fitted, and judge what is not chosen: the supply, the
    // protector, the load. As the best combination has them.
    std::vector<Finding> everywhere;
    std::vector<SureChoice> sure;  // in the order in which they were tried
    std::optional<std::size_t>
        recommended;         // place in `sure`: the first that passes, else the best
    bool motorKnown = true;  // false: the figures given do not fit one motor, so nothing was tried
    std::vector<Rejection> rejections;
    std::vector<std::string> notes;  // what had to be assumed
    std::vector<RatingBands> bands;  // what to ask for; empty where nobody asked
    Case input;  // with the merged parts list, as the combinations are made from
};

// `phase` in a few words; called with (done, all) of it.
using ChoiceProgress =
    std::function<void(const std::string& phase, std::size_t done, std::size_t all)>;

// Tries all. `input` completed; `stock` what is on the shelf. Throws InputError where the two lists
// are at odds, there is no such circuit, or the case does not hold enough for a motor;
// SimulationError.
Choice chooseParts(const Case& input, const PartsList& stock, SimulatorPool& pool,
                   const ChoiceOptions& options = {}, const ChoiceProgress& progress = {});

// Whether the recommended combination passes every check, those of `everywhere` among them.
bool isFit(const Choice& choice);

// The lines to paste into the case: its <circuit> with these parts, and the pair if it is one.
std::vector<std::string> caseLines(const Combination& combination);

}  // namespace splitstart
