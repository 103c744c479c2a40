// What to ask the supply house for: the ratings of start parts that would suit a motor.
#pragma once

#include <optional>
#include <set>
#include <string>
#include <vector>

#include "rating/check.h"
#include "rating/rating_need.h"
#include "study/case_study.h"
#include "study/ranking.h"
#include "study/stock.h"

namespace splitstart
{

// What a start device of one kind has to be rated for, beside one start capacitor.
struct DeviceNeed {
    std::optional<PotentialRelayNeed> potential;
    std::optional<CurrentRelayNeed> current;
    double contact_A = 0;  // at the least
};

// One printed range of start capacitors, all other parts as good as can be.
struct RatingRow {
    std::optional<Range> capacitance_F;  // empty: the circuit has no start capacitor
    std::vector<std::string> onShelf;    // parts of the stock with that print
    double seen_V = 0;                   // highest volts across it in any start
    double printed_V = 0;                // the lowest usual rating that is as high; 0: none is
    DeviceNeed device;
    bool passes = false;
    Rank rank;
    // What it fails on; check null: no rating of the start device fits, told by `why`.
    Finding failing;
    std::string why;
    Case input;  // with parts made up from the middle of the bands
    std::vector<Finding> findings;
};

// Microfarads of run capacitors that pass, all other parts as good as can be.
struct RunCapacitorNeed {
    Range nominal_F;    // lowest and highest value that passes
    double used_F = 0;  // the one that the rows are worked out with
    bool ofCase = false;
    double least_V = 0;  // rated volts, at the least
};

struct RatingBands {
    std::string circuit;  // description of the circuit
    std::optional<PartKind> device;
    std::string deviceId;  // where it is not chosen anew: a PTC, a switch, a kept part
    std::optional<RunCapacitorNeed> run;
    std::vector<RatingRow> rows;       // those that pass, by microfarads
    std::optional<std::size_t> best;   // of the rows
    std::optional<RatingRow> nearest;  // where none passes
    // The best row's made-up parts, judged over possible machines.
    std::optional<Outcome> proof;
    std::vector<Finding> proofFindings;
};

struct BandInput {
    const Case& input;  // merged parts list, motor's source in the supply
    const StockOffer& offer;
    const MotorStudy& motor;
    const std::set<StockPlace>& kept;
    // Left out since they judge nothing that is chosen and no part mends them.
    const std::set<const Check*>& leftOut;
    std::string bestStart;  // id of the start capacitor to begin with; may be empty
};

// For the case's kind of start device, or for each kind of relay that the circuit may have.
// `progress` as in StudyProgress. Throws SimulationError.
std::vector<RatingBands> ratingBands(const BandInput& from, const CheckOptions& options,
                                     SimulatorPool& pool, const StudyProgress& progress);

}  // namespace splitstart
