// Many starts of one case, each with other values in some of its fields.
#pragma once

#include <functional>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "case/reader.h"
#include "spice/simulation.h"
#include "study/case_study.h"
#include "study/sweep_plan.h"

namespace splitstart
{

struct SweepOptions {
    // Besides the most probable motor, so many others that the readings and the plate leave
    // possible, each a row of its own for every case; 0 to 1000. A motor that the case gives in
    // full has no others.
    std::size_t machines = 0;
    std::uint64_t seed = 1;  // of those motors
};

// A cell of a row: nothing, a number, or a word.
using SweepValue = std::variant<std::monostate, double, std::string>;

struct SweepColumn {
    std::string name;  // "time_to_speed_s", or the field as it was written
    std::string unit;  // "" for a ratio, a count, a word
    std::string meaning;
};

// One case with one motor. The cells in the order of the columns.
struct SweepRow {
    std::size_t number = 0;  // 0 is the first; the same whatever part of the sweep is computed
    std::vector<SweepValue> cells;
};

class Sweep
{
public:
    // Reads every case of the plan, so that a value that is out of range, or does not go with
    // another, is found before anything is simulated. Throws InputError, whose line names the
    // fields. `source` and `pool` must outlive it. `progress`: cases read, all.
    Sweep(const CaseSource& source, SweepPlan plan, const SweepOptions& options,
          SimulatorPool& pool, const StudyProgress& progress = {});

    // Case number, one column for each field, the motor's number, then what was simulated; the last
    // one says what went wrong, where something did.
    [[nodiscard]] std::vector<SweepColumn> columns() const;
    [[nodiscard]] std::size_t rows() const { return plan_.size() * (1 + options_.machines); }
    [[nodiscard]] const SweepPlan& plan() const { return plan_; }

    // Computes the rows for which `isWanted`, and hands each out as soon as it is known, in no
    // particular order. False if `keepGoing` said so. Whatever the number of workers, the cells
    // are the same. Throws SimulationError if a motor cannot be determined, InputError if a case
    // does not hold enough for one; a start that the simulator cannot finish is a row that says so.
    bool run(const std::function<bool(std::size_t)>& isWanted,
             const std::function<void(SweepRow)>& take, const std::function<bool()>& keepGoing);

private:
    struct Group;
    struct Pending;
    bool runGroup(const Group& group, const std::function<bool(std::size_t)>& isWanted,
                  const std::function<void(SweepRow)>& take,
                  const std::function<bool()>& keepGoing);
    [[nodiscard]] std::vector<Group> groups() const;
    [[nodiscard]] Pending prepared(std::size_t number, const Case& rated, const MotorStudy& motor,
                                   std::span<const MotorSample> others) const;

    const CaseSource& source_;
    SweepPlan plan_;
    SweepOptions options_;
    SimulatorPool& pool_;
};

}  // namespace splitstart
