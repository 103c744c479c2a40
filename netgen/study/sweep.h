// Many starts of one case, each with other values in some of its fields.
#pragma once

#include <functional>
#include <memory>
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
    // Judges each row as well, at every corner of line, temperature and tolerance, as `check` does
    // with its best estimate. Takes some twenty starts instead of one.
    bool checks = false;
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

class RowTable;

// What is to be computed of a sweep, and what becomes of it.
struct SweepTask {
    std::function<bool(std::size_t)> isWanted;  // rows, by their numbers
    std::function<void(SweepRow)> take;         // each as soon as it is known, in no order
    std::function<bool()> keepGoing;            // asked several times a second; may be empty
};

class Sweep
{
public:
    // `source` and `pool` must outlive it.
    Sweep(const CaseSource& source, SweepPlan plan, const SweepOptions& options,
          SimulatorPool& pool);
    ~Sweep();
    Sweep(const Sweep&) = delete;
    Sweep& operator=(const Sweep&) = delete;

    // Case number, one column for each field, the motor's number, then what was simulated; the last
    // one says what went wrong, where something did.
    [[nodiscard]] const std::vector<SweepColumn>& columns() const;
    [[nodiscard]] std::size_t rows() const { return plan_.size() * (1 + options_.machines); }
    [[nodiscard]] const SweepPlan& plan() const { return plan_; }

    // Reads the case of every row that is wanted (all of a case are, or none), so that a value that
    // is out of range, or does not go with another, is found before anything is simulated. Throws
    // InputError, whose line names the fields. `progress`: cases read, all.
    void readAll(const std::function<bool(std::size_t)>& isWanted,
                 const StudyProgress& progress = {}) const;

    // Computes the wanted rows. False if it did not keep going. The cells are the same whatever the
    // number of workers. Throws SimulationError if a motor cannot be determined; a start that the
    // simulator cannot finish is a row that says so.
    [[nodiscard]] bool run(const SweepTask& task) const;

private:
    struct Group;
    class GroupRun;
    [[nodiscard]] std::vector<Group> groups() const;
    [[nodiscard]] Case ratedCase(const Group& group) const;

    const CaseSource& source_;
    SweepPlan plan_;
    SweepOptions options_;
    SimulatorPool& pool_;
    std::unique_ptr<RowTable> table_;
};

}  // namespace splitstart
