#include "study/sweep.h"

#include <fmt/format.h>

#include <algorithm>
#include <deque>
#include <map>
#include <memory>
#include <utility>

#include "case/input_error.h"
#include "case/number.h"
#include "circuit/case_circuit.h"
#include "spice/measurement.h"
#include "study/held_shaft.h"
#include "study/start_runs.h"

namespace splitstart
{

namespace
{

constexpr std::string_view problemColumn = "problem";

// "supply.volts=700, start.parts=late"
std::string text(std::span<const FieldChange> changes)
{
    std::string result;
    for (const FieldChange& change : changes) {
        result +=
            fmt::format("{}{}={}", result.empty() ? "" : ", ", change.field.written, change.value);
    }
    return result;
}

// The unit of a field in the words of the column.
std::string unitOf(const FieldName& field)
{
    return field.isNumber() ? std::string(field.spec->unit.word) : "";
}

// Whether one of the changes says what lies between the mains and the compressor.
bool setsSource(std::span<const FieldChange> changes)
{
    return std::any_of(changes.begin(), changes.end(), [](const FieldChange& change) {
        return change.field.element->name == "conductor" ||
               change.field.attribute.starts_with("source-");
    });
}

struct HeldColumn {
    std::string_view name;
    std::string_view unit;
    std::string_view meaning;
    double HeldShaftMeasurement::*field;
};

// What a stalled shaft shows at once, in the steady state.
constexpr HeldColumn standstillColumns[] = {
    {"standstill_torque_nm", "N m", "mean torque at standstill, start circuit in",
     &HeldShaftMeasurement::torque_Nm},
    {"standstill_line_a", "A", "line amps at standstill, start circuit in",
     &HeldShaftMeasurement::line_A},
    {"standstill_start_winding_v", "V", "volts S-C at standstill, start circuit in",
     &HeldShaftMeasurement::startWinding_V},
    {"standstill_angle_deg", "deg", "start winding current ahead of run winding current",
     &HeldShaftMeasurement::currentAngle_deg},
};

}  // namespace

// Cases that share a motor: those in which the fields that tell it are the same.
struct Sweep::Group {
    std::vector<FieldChange> motorChanges;
    std::vector<std::size_t> cases;
};

// A row on its way: its models, and what of it is known.
struct Sweep::Pending {
    SweepRow row;
    Case input;
    StartJob start;
    SimulationModel held;
    StartEffort effort;
    std::size_t open = 0;  // simulations that it waits for
    bool triedFiner = false;
};

Sweep::Sweep(const CaseSource& source, SweepPlan plan, const SweepOptions& options,
             SimulatorPool& pool, const StudyProgress& progress)
    : source_(source), plan_(std::move(plan)), options_(options), pool_(pool)
{
    for (std::size_t i = 0; i < plan_.size(); ++i) {
        const std::vector<FieldChange> changes = plan_.changesOf(i);
        try {
            const Case input = completeCase(source_.read(changes));
            workingPointOf(changes);
            if (!input.circuit) {
                refuseInput({input.file, 0}, "case/circuit", "nothing",
                            "a circuit, since a sweep simulates starts");
            }
            caseCircuit(input);
        } catch (const InputError& error) {
            std::vector<InputProblem> problems = error.problems();
            for (InputProblem& problem : problems) {
                const std::string where = text(changes);
                problem.hint += where.empty() ? std::string()
                                              : fmt::format("{}With {}.",
                                                            problem.hint.empty() ? "" : " ", where);
            }
            throw InputError(std::move(problems));
        }
        if (progress) {
            progress(i + 1, plan_.size());
        }
    }
}

std::vector<SweepColumn> Sweep::columns() const
{
    std::vector<SweepColumn> columns = {{"case", "", "number of the case"}};
    for (const VariedField& varied : plan_.fields()) {
        columns.push_back({varied.field.written, unitOf(varied.field),
                           "as set; see the table of the case file's elements"});
    }
    columns.push_back({"motor", "", "0: the most probable one; else the number of a possible one"});
    for (const HeldColumn& column : standstillColumns) {
        columns.push_back(
            {std::string(column.name), std::string(column.unit), std::string(column.meaning)});
    }
    for (const StartQuantity& quantity : startQuantities()) {
        columns.push_back({std::string(quantity.name), std::string(quantity.unit),
                           std::string(quantity.meaning)});
    }
    columns.push_back({std::string(problemColumn), "", "why a row has no numbers"});
    return columns;
}

std::vector<Sweep::Group> Sweep::groups() const
{
    std::vector<Group> groups;
    std::map<std::string, std::size_t> known;
    for (std::size_t i = 0; i < plan_.size(); ++i) {
        std::vector<FieldChange> changes = plan_.changesOf(i);
        std::erase_if(changes,
                      [](const FieldChange& change) { return !change.field.tellsTheMotor; });
        const auto [at, isNew] = known.try_emplace(text(changes), groups.size());
        if (isNew) {
            groups.push_back({std::move(changes), {}});
        }
        groups[at->second].cases.push_back(i);
    }
    return groups;
}

Sweep::Pending Sweep::prepared(std::size_t number, const Case& rated, const MotorStudy& motor,
                               std::span<const MotorSample> others) const
{
    const std::size_t index = number / (1 + options_.machines);
    const std::size_t machine = number % (1 + options_.machines);
    const std::vector<FieldChange> changes = plan_.changesOf(index);
    Pending pending;
    pending.row.number = number;
    pending.row.cells.emplace_back(static_cast<double>(index + 1));
    for (const FieldChange& change : changes) {
        const std::optional<double> value =
            change.field.isNumber() ? parseNumber(change.value) : std::nullopt;
        pending.row.cells.push_back(value ? SweepValue(*value) : SweepValue(change.value));
    }
    pending.row.cells.emplace_back(static_cast<double>(machine));

    pending.input = completeCase(source_.read(changes));
    // The motor was rated for what the file says, whatever the supply gives now.
    pending.input.compressor.nameplate.voltage_V = ratedVoltage_V(rated);
    const EquivalentCircuit& circuit =
        machine == 0 ? motor.motor.circuit : others[machine - 1].circuit;
    double torque_Nm =
        machine == 0 ? motor.motor.ratedTorque_Nm.value : others[machine - 1].ratedTorque_Nm;
    if (!setsSource(changes)) {
        const SourceImpedance& source = machine == 0 ? motor.source : others[machine - 1].source;
        pending.input.supply.source_ohm = source.resistance_ohm;
        pending.input.supply.source_H = source.inductance_H;
    }
    const std::optional<double>& load_Nm = pending.input.compressor.load.torque_Nm;
    if (load_Nm && load_Nm != rated.compressor.load.torque_Nm) {
        torque_Nm = *load_Nm;
    }
    const WorkingPoint point = workingPointOf(changes);
    Corner corner;
    corner.line_ratio =
        point.line_ratio.value_or(pending.input.supply.voltage_V / ratedVoltage_V(pending.input));
    corner.winding_degC = point.winding_degC;
    corner.release = point.parts;
    corner.capacitors = point.capacitors;
    corner.restartAfter_s = point.restartAfter_s;
    corner.pressures = pending.input.compressor.load.pressures;
    const Circuit parts = caseCircuit(pending.input);
    pending.start = {corner, point.restartAfter_s.has_value(),
                     simulationModel(pending.input, parts, circuit, torque_Nm, corner)};
    pending.held =
        simulationModel(pending.input, parts, circuit, 0, corner, {StartContact::heldClosed, 0.0});
    return pending;
}

bool Sweep::runGroup(const Group& group, const std::function<bool(std::size_t)>& isWanted,
                     const std::function<void(SweepRow)>& take,
                     const std::function<bool()>& keepGoing)
{
    const std::size_t motorsEach = 1 + options_.machines;
    std::vector<std::size_t> numbers;
    for (const std::size_t index : group.cases) {
        for (std::size_t machine = 0; machine < motorsEach; ++machine) {
            if (isWanted(index * motorsEach + machine)) {
                numbers.push_back(index * motorsEach + machine);
            }
        }
    }
    if (numbers.empty()) {
        return true;
    }
    const Case rated = completeCase(source_.read(group.motorChanges));
    MotorStudy motor = motorStudy(rated, caseCircuit(rated), pool_, options_.seed);
    std::vector<MotorSample> others;
    if (motor.posterior && options_.machines > 0) {
        others = motor.posterior->draw(options_.machines);
    }
    motor.posterior.reset();
    others.resize(options_.machines,
                  {motor.motor.circuit, motor.motor.ratedTorque_Nm.value, motor.source, {}});

    // Each row asks for two simulations. What runs is a handful, so that memory does not grow.
    enum class Kind { held, start };
    struct Asked {
        std::shared_ptr<Pending> row;
        Kind kind = Kind::start;
    };
    std::deque<Asked> toAsk;
    std::map<std::size_t, Asked> running;
    std::size_t handedOut = 0;
    std::size_t next = 0;
    const auto finish = [&](Pending& pending) {
        if (--pending.open == 0) {
            take(std::move(pending.row));
        }
    };
    // The cells have their places from the beginning.
    const std::size_t heldAt = 2 + plan_.fields().size();
    const std::size_t startAt = heldAt + std::size(standstillColumns);
    const std::size_t problemAt = startAt + startQuantities().size();
    SimulationSource stream;
    stream.keepGoing = keepGoing;
    stream.next = [&]() -> std::optional<SimulationRequest> {
        if (toAsk.empty()) {
            if (next == numbers.size()) {
                return std::nullopt;
            }
            auto pending =
                std::make_shared<Pending>(prepared(numbers[next++], rated, motor, others));
            pending->row.cells.resize(problemAt + 1);
            pending->open = 2;
            toAsk.push_back({pending, Kind::held});
            toAsk.push_back({pending, Kind::start});
        }
        const Asked asked = std::move(toAsk.front());
        toAsk.pop_front();
        running.emplace(handedOut++, asked);
        return asked.kind == Kind::held
                   ? heldShaftRequest(asked.row->held, {0.0})
                   : startRequest(asked.row->input, asked.row->start, asked.row->effort);
    };
    stream.take = [&](std::size_t index, SimulationOutcome outcome) {
        const auto at = running.find(index);
        const Asked asked = std::move(at->second);
        running.erase(at);
        Pending& pending = *asked.row;
        std::vector<SweepValue>& cells = pending.row.cells;
        if (const auto* error = std::get_if<SimulationError>(&outcome)) {
            if (asked.kind == Kind::start && error->fault() == SimulationFault::aborted &&
                !std::exchange(pending.triedFiner, true)) {
                pending.effort = finer(pending.effort);
                toAsk.push_front(asked);
                return;
            }
            cells[problemAt] = fmt::format("{}: {}", faultName(error->fault()), error->what());
        } else if (asked.kind == Kind::held) {
            const HeldShaftMeasurement measured =
                measureHeldShaft(pending.held, std::get<Waveforms>(outcome), 0);
            for (std::size_t i = 0; i < std::size(standstillColumns); ++i) {
                cells[heldAt + i] = measured.*(standstillColumns[i].field);
            }
        } else {
            const StartMeasurement measured =
                measureStart(pending.start.model, std::get<Waveforms>(outcome));
            std::size_t cell = startAt;
            for (const StartQuantity& quantity : startQuantities()) {
                if (const std::optional<double>& value = measured.*(quantity.field)) {
                    cells[cell] = *value;
                }
                ++cell;
            }
        }
        finish(pending);
    };
    return pool_.runStream(stream);
}

bool Sweep::run(const std::function<bool(std::size_t)>& isWanted,
                const std::function<void(SweepRow)>& take, const std::function<bool()>& keepGoing)
{
    for (const Group& group : groups()) {
        if (!runGroup(group, isWanted, take, keepGoing)) {
            return false;
        }
    }
    return true;
}

}  // namespace splitstart
