#include "study/sweep.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <deque>
#include <map>
#include <memory>
#include <utility>

#include "case/input_error.h"
#include "case/text.h"
#include "circuit/case_circuit.h"
#include "spice/measurement.h"
#include "study/best_evidence.h"
#include "study/held_shaft.h"
#include "study/start_runs.h"
#include "study/sweep_row.h"

namespace splitstart
{

namespace
{

// As a sweep of ten thousands asks for: like the starts of possible machines (sample_study.cpp).
constexpr StartEffort sweepEffort = {5e-4, 0.12, 0.5};

// "supply.volts=700, start.parts=late"
std::string textOf(std::span<const FieldChange> changes)
{
    std::string result;
    for (const FieldChange& change : changes) {
        result += fmt::format("{}{}={}", result.empty() ? "" : ", ", change.field.written,
                              shortText(change.value));
    }
    return result;
}

// The same problems, each with the values that it came with.
InputError withValues(const InputError& error, std::span<const FieldChange> changes)
{
    const std::string values = textOf(changes);
    std::vector<InputProblem> problems = error.problems();
    for (InputProblem& problem : problems) {
        if (!values.empty()) {
            problem.hint += fmt::format("{}With {}.", problem.hint.empty() ? "" : " ", values);
        }
    }
    return InputError(std::move(problems));
}

// Thrown through studies that report their progress but cannot be told to stop.
struct Stopped {
};

}  // namespace

// Cases that share a motor: those in which the fields that tell it are the same.
struct Sweep::Group {
    std::vector<FieldChange> motorChanges;
    std::vector<std::size_t> cases;
};

// One group at work.
class Sweep::GroupRun
{
public:
    GroupRun(const Sweep& sweep, const Group& group, const SweepTask& task)
        : sweep_(sweep), task_(task), rated_(sweep.ratedCase(group))
    {
        const std::size_t motorsEach = 1 + sweep.options_.machines;
        for (const std::size_t index : group.cases) {
            for (std::size_t machine = 0; machine < motorsEach; ++machine) {
                if (task.isWanted(index * motorsEach + machine)) {
                    numbers_.push_back(index * motorsEach + machine);
                }
            }
        }
    }

    // False if it had to stop.
    bool run();

private:
    enum class Kind { standstill, start };

    // A row on its way.
    struct Pending {
        SweepRow row;
        RowSetup setup;
        StartEffort effort = sweepEffort;
        std::size_t open = 0;  // simulations that it waits for
        bool triedFiner = false;
        std::array<std::string, 2> problems;  // by kind
    };
    struct Asked {
        std::shared_ptr<Pending> row;
        Kind kind = Kind::start;
    };

    void determineMotors();
    bool judgeRows();
    [[nodiscard]] std::vector<Finding> judged(const Pending& pending) const;
    [[nodiscard]] std::shared_ptr<Pending> prepared(std::size_t number) const;
    std::optional<SimulationRequest> nextRequest();
    void takeOutcome(std::size_t index, SimulationOutcome outcome);
    void finish(const std::shared_ptr<Pending>& pending);
    void handOut(Pending& pending) const
    {
        sweep_.table_->put(pending.row, pending.problems);
        task_.take(std::move(pending.row));
    }

    const Sweep& sweep_;
    const SweepTask& task_;
    Case rated_;
    std::vector<std::size_t> numbers_;
    MotorStudy study_;
    std::vector<RowMotor> motors_;
    std::deque<Asked> toAsk_;
    std::map<std::size_t, Asked> running_;
    std::size_t handedOut_ = 0;
    std::size_t begun_ = 0;  // of numbers_
    std::vector<std::shared_ptr<Pending>> toJudge_;
};

void Sweep::GroupRun::determineMotors()
{
    study_ = motorStudy(rated_, caseCircuit(rated_), sweep_.pool_, sweep_.options_.seed);
    motors_.push_back({0, study_.motor.circuit, study_.motor.ratedTorque_Nm.value, study_.source});
    const std::size_t others = sweep_.options_.machines;
    if (others > 0 && study_.posterior) {
        for (const MotorSample& sample : study_.posterior->draw(others)) {
            motors_.push_back(
                {motors_.size(), sample.circuit, sample.ratedTorque_Nm, sample.source});
        }
    }
    study_.posterior.reset();
}

std::shared_ptr<Sweep::GroupRun::Pending> Sweep::GroupRun::prepared(std::size_t number) const
{
    const std::size_t index = number / (1 + sweep_.options_.machines);
    const std::size_t machine = number % (1 + sweep_.options_.machines);
    const std::vector<FieldChange> changes = sweep_.plan_.changesOf(index);
    auto pending = std::make_shared<Pending>();
    pending->row = sweep_.table_->emptyRow(number, index, changes, machine);
    pending->setup = rowSetup(sweep_.source_, changes, rated_, motors_.at(machine));
    return pending;
}

// What runs is a handful, so that memory does not grow with the sweep.
std::optional<SimulationRequest> Sweep::GroupRun::nextRequest()
{
    const bool judges = sweep_.options_.checks;
    if (toAsk_.empty()) {
        if (begun_ == numbers_.size() || (judges && !toJudge_.empty())) {
            return std::nullopt;
        }
        const std::shared_ptr<Pending> pending = prepared(numbers_[begun_++]);
        if (pending->setup.standstill) {
            toAsk_.push_back({pending, Kind::standstill});
        }
        toAsk_.push_back({pending, Kind::start});
        pending->open = toAsk_.size();
        if (judges) {
            toJudge_.push_back(pending);
        }
    }
    const Asked asked = std::move(toAsk_.front());
    toAsk_.pop_front();
    running_.emplace(handedOut_++, asked);
    const RowSetup& setup = asked.row->setup;
    return asked.kind == Kind::standstill
               ? heldShaftRequest(*setup.standstill, {0.0})
               : startRequest(setup.input, setup.start, asked.row->effort);
}

void Sweep::GroupRun::takeOutcome(std::size_t index, SimulationOutcome outcome)
{
    const auto at = running_.find(index);
    const Asked asked = std::move(at->second);
    running_.erase(at);
    Pending& pending = *asked.row;
    const RowTable& table = *sweep_.table_;
    if (const auto* error = std::get_if<SimulationError>(&outcome)) {
        if (asked.kind == Kind::start && error->fault() == SimulationFault::aborted &&
            !std::exchange(pending.triedFiner, true)) {
            pending.effort = finer(pending.effort);
            toAsk_.push_front(asked);
            return;
        }
        pending.problems.at(static_cast<std::size_t>(asked.kind)) =
            fmt::format("{}: {}", faultName(error->fault()), error->what());
    } else if (asked.kind == Kind::standstill) {
        table.put(pending.row,
                  measureHeldShaft(*pending.setup.standstill, std::get<Waveforms>(outcome)));
    } else {
        table.put(pending.row,
                  measureStart(pending.setup.start.model, std::get<Waveforms>(outcome)));
    }
    if (--pending.open == 0 && !sweep_.options_.checks) {
        handOut(pending);
    }
}

std::vector<Finding> Sweep::GroupRun::judged(const Pending& pending) const
{
    const RowMotor& motor = motors_.at(pending.row.number % (1 + sweep_.options_.machines));
    MotorStudy study = study_;
    study.motor.circuit = motor.circuit;
    study.motor.ratedTorque_Nm.value = pending.setup.torque_Nm;
    const RowSetup& setup = pending.setup;
    const std::vector<Evidence> evidence = bestEvidence(
        setup.input, setup.circuit, study, sweep_.pool_, [this](std::size_t, std::size_t) {
            if (task_.keepGoing && !task_.keepGoing()) {
                throw Stopped();
            }
        });
    return judge(setup.input, setup.circuit, evidence);
}

// The starts of one row's checks are shared out among the workers, so these rows come one by one.
bool Sweep::GroupRun::judgeRows()
{
    for (const std::shared_ptr<Pending>& pending : std::exchange(toJudge_, {})) {
        try {
            sweep_.table_->put(pending->row, judged(*pending));
        } catch (const SimulationError& error) {
            pending->problems.back() =
                fmt::format("{}: {}", faultName(error.fault()), error.what());
        } catch (const Stopped&) {
            return false;
        }
        handOut(*pending);
    }
    return true;
}

bool Sweep::GroupRun::run()
{
    if (numbers_.empty()) {
        return true;
    }
    determineMotors();
    SimulationSource stream;
    stream.next = [this] { return nextRequest(); };
    stream.take = [this](std::size_t index, SimulationOutcome outcome) {
        takeOutcome(index, std::move(outcome));
    };
    stream.keepGoing = task_.keepGoing;
    do {
        handedOut_ = 0;  // each stream counts from there
        if (!sweep_.pool_.runStream(stream) || !judgeRows()) {
            return false;
        }
    } while (begun_ < numbers_.size());
    return true;
}

Sweep::Sweep(const CaseSource& source, SweepPlan plan, const SweepOptions& options,
             SimulatorPool& pool)
    : source_(source),
      plan_(std::move(plan)),
      options_(options),
      pool_(pool),
      table_(std::make_unique<RowTable>(plan_, options.checks))
{
}

Sweep::~Sweep() = default;

const std::vector<SweepColumn>& Sweep::columns() const
{
    return table_->columns();
}

void Sweep::readAll(const std::function<bool(std::size_t)>& isWanted,
                    const StudyProgress& progress) const
{
    const std::size_t motorsEach = 1 + options_.machines;
    for (const Group& group : groups()) {
        Case rated;
        try {
            rated = ratedCase(group);
            requireMotor(rated);
        } catch (const InputError& error) {
            throw withValues(error, group.motorChanges);
        }
        for (const std::size_t index : group.cases) {
            if (!isWanted(index * motorsEach)) {
                continue;
            }
            const std::vector<FieldChange> changes = plan_.changesOf(index);
            try {
                const Case input = completeCase(source_.read(changes));
                workingPointOf(changes);
                caseCircuit(input);
                rowLoad(rated, input, changes);
            } catch (const InputError& error) {
                throw withValues(error, changes);
            }
            if (progress) {
                progress(index + 1, plan_.size());
            }
        }
    }
}

// Where the case does not say how much torque the load takes, but every row does, that of the
// first.
Case Sweep::ratedCase(const Group& group) const
{
    Case rated = completeCase(source_.read(group.motorChanges));
    if (!rated.circuit) {
        refuseMissing({rated.file, 0}, "case/circuit", "a circuit, since a sweep simulates starts");
    }
    if (rated.compressor.equivalentCircuit && !rated.compressor.load.torque_Nm) {
        rated.compressor.load.torque_Nm =
            source_.read(plan_.changesOf(group.cases.front())).compressor.load.torque_Nm;
    }
    return rated;
}

std::vector<Sweep::Group> Sweep::groups() const
{
    std::vector<Group> groups;
    std::map<std::string, std::size_t> known;
    for (std::size_t i = 0; i < plan_.size(); ++i) {
        std::vector<FieldChange> changes = plan_.changesOf(i);
        std::erase_if(changes,
                      [](const FieldChange& change) { return !change.field.tellsTheMotor; });
        std::string name;
        for (const FieldChange& change : changes) {
            name += change.value + ",";
        }
        const auto [at, isNew] = known.try_emplace(name, groups.size());
        if (isNew) {
            groups.push_back({std::move(changes), {}});
        }
        groups[at->second].cases.push_back(i);
    }
    return groups;
}

bool Sweep::run(const SweepTask& task) const
{
    for (const Group& group : groups()) {
        if (!GroupRun(*this, group, task).run()) {
            return false;
        }
    }
    return true;
}

}  // namespace splitstart
