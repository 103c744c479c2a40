#include "study/sweep_row.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <iterator>
#include <limits>
#include <utility>

#include "case/input_error.h"
#include "case/number.h"
#include "circuit/case_circuit.h"
#include "motor/compressor_load.h"
#include "study/ranking.h"

namespace splitstart
{

namespace
{

struct ColumnText {
    std::string_view name;
    std::string_view unit;
    std::string_view meaning;
};

struct HeldColumn : ColumnText {
    double HeldShaftMeasurement::*field;
};

// What a stalled shaft shows at once, in the steady state.
constexpr std::array<HeldColumn, 4> heldColumns = {{
    {{"standstill_torque_nm", "N m",
      "mean torque at standstill, start circuit in; empty where the supply is of limited amps, the "
      "iron saturates, or it is started again while warm"},
     &HeldShaftMeasurement::torque_Nm},
    {{"standstill_line_a", "A", "line amps at standstill, likewise"},
     &HeldShaftMeasurement::line_A},
    {{"standstill_start_winding_v", "V", "volts S-C at standstill, likewise"},
     &HeldShaftMeasurement::startWinding_V},
    {{"standstill_angle_deg", "deg",
      "start winding current ahead of run winding current at standstill, likewise"},
     &HeldShaftMeasurement::currentAngle_deg},
}};

constexpr std::array<ColumnText, 5> checkColumns = {{
    {"checks_passed", "", "how many checks pass with this motor, over all corners"},
    {"checks_failed", "", "ids of those that fail, the worst first"},
    {"checks_undecided", "", "ids of those that cannot be decided"},
    {"worst_margin_ratio", "", "least margin as a share of its limit; negative: beyond it"},
    {"worst_check", "", "the check of that margin"},
}};

void append(std::vector<SweepColumn>& columns, const auto& rows)
{
    for (const auto& row : rows) {
        columns.push_back({std::string(row.name), std::string(row.unit), std::string(row.meaning)});
    }
}

bool sets(std::span<const FieldChange> changes, std::string_view field)
{
    return std::any_of(changes.begin(), changes.end(), [field](const FieldChange& change) {
        return change.field.written == field;
    });
}

// Of the source, what the row sets stays, and the rest is the motor study's.
void applySource(Supply& supply, const SourceImpedance& source,
                 std::span<const FieldChange> changes)
{
    if (!sets(changes, "supply.source-ohms")) {
        supply.source_ohm = source.resistance_ohm;
    }
    if (!sets(changes, "supply.source-millihenries")) {
        supply.source_H = source.inductance_H;
    }
}

double torqueOf(const Case& rated, const Case& input, const RowMotor& motor,
                std::span<const FieldChange> changes)
{
    const CompressorLoad& load = input.compressor.load;
    if (sets(changes, "load.torque-newton-metres") && load.torque_Nm) {
        return *load.torque_Nm;
    }
    return torqueOfSamePump_Nm(rated.compressor.load, motor.ratedTorque_Nm, load);
}

// How near to its limit, what has none last.
double closeness(const Finding& finding)
{
    return finding.hasLimit ? relativeMargin(finding) : std::numeric_limits<double>::infinity();
}

std::string joinedIds(std::vector<const Finding*> findings)
{
    std::stable_sort(findings.begin(), findings.end(), [](const Finding* a, const Finding* b) {
        return closeness(*a) < closeness(*b);
    });
    std::string text;
    for (const Finding* finding : findings) {
        text += (text.empty() ? "" : " ") + std::string(finding->check->id);
    }
    return text;
}

}  // namespace

CompressorLoad rowLoad(const Case& rated, const Case& input, std::span<const FieldChange> changes)
{
    CompressorLoad load = input.compressor.load;
    const bool torqueKnown =
        load.torque_Nm || load.kind == LoadKind::none ||
        (!input.compressor.equivalentCircuit && rated.compressor.load.kind != LoadKind::none);
    if (!torqueKnown) {
        refuseMissing({input.file, 0}, "compressor/load/torque-newton-metres",
                      "the mean load torque, since nothing else tells it; or kind=\"none\" for a "
                      "free shaft");
    }
    if (!sets(changes, "load.suction-bar") && !sets(changes, "load.discharge-bar") &&
        !sets(changes, "load.equalised-bar")) {
        return load;
    }
    const LoadParameters before = loadParameters(rated.compressor.load, 1);
    load.suction_Pa = load.suction_Pa.value_or(before.suction_Pa);
    load.discharge_Pa = load.discharge_Pa.value_or(before.discharge_Pa);
    if (*load.suction_Pa >= *load.discharge_Pa) {
        constexpr double bar = 1e5;
        refuseInput({input.file, 0}, "compressor/load",
                    fmt::format("{:.3g} bar at suction and {:.3g} bar at discharge",
                                *load.suction_Pa / bar, *load.discharge_Pa / bar),
                    "less at suction than at discharge; what the case does not give is assumed");
    }
    if (before.equalised_Pa > *load.suction_Pa && before.equalised_Pa < *load.discharge_Pa) {
        load.equalised_Pa = load.equalised_Pa.value_or(before.equalised_Pa);
    }
    return load;
}

RowSetup rowSetup(const CaseSource& source, std::span<const FieldChange> changes, const Case& rated,
                  const RowMotor& motor)
{
    RowSetup setup;
    setup.input = completeCase(source.read(changes));
    // The motor was rated for what the file says, whatever the supply gives now.
    setup.input.compressor.nameplate.voltage_V = ratedVoltage_V(rated);
    applySource(setup.input.supply, motor.source, changes);
    setup.input.compressor.load = rowLoad(rated, setup.input, changes);
    setup.torque_Nm = torqueOf(rated, setup.input, motor, changes);
    setup.circuit = caseCircuit(setup.input);
    const WorkingPoint point = workingPointOf(changes);
    Corner corner;
    corner.line_ratio =
        point.line_ratio.value_or(setup.input.supply.voltage_V / ratedVoltage_V(setup.input));
    corner.winding_degC = point.winding_degC;
    corner.release = point.parts;
    corner.capacitors = point.capacitors;
    corner.restartAfter_s = point.restartAfter_s;
    corner.pressures = setup.input.compressor.load.pressures;
    setup.start = {
        corner, point.restartAfter_s.has_value(),
        simulationModel(setup.input, setup.circuit, motor.circuit, setup.torque_Nm, corner)};
    if (!setup.input.supply.limit_A && !(motor.circuit.saturationSlope_ratio > 0) &&
        !point.restartAfter_s) {
        setup.standstill = simulationModel(setup.input, setup.circuit, motor.circuit, 0, corner,
                                           {StartContact::heldClosed, 0.0});
    }
    return setup;
}

RowTable::RowTable(const SweepPlan& plan, bool checks)
{
    columns_ = {{"case", "", "number of the case"}};
    for (const VariedField& varied : plan.fields()) {
        const std::string_view unit = varied.field.spec->unit.word;
        columns_.push_back({varied.field.written,
                            varied.field.isNumber() ? std::string(unit) : std::string(),
                            "as set; the elements are in netgen/case/README.md and PARTS.md"});
    }
    columns_.push_back(
        {"motor", "", "0: the most probable one; else the number of a possible one"});
    heldAt_ = columns_.size();
    append(columns_, heldColumns);
    startAt_ = columns_.size();
    append(columns_, startQuantities());
    checksAt_ = columns_.size();
    if (checks) {
        append(columns_, checkColumns);
    }
    columns_.push_back({"problem", "", "why numbers are missing; empty: none is"});
}

SweepRow RowTable::emptyRow(std::size_t number, std::size_t caseIndex,
                            std::span<const FieldChange> changes, std::size_t motor) const
{
    SweepRow row;
    row.number = number;
    row.cells.reserve(columns_.size());
    row.cells.emplace_back(static_cast<double>(caseIndex + 1));
    for (const FieldChange& change : changes) {
        const std::optional<double> value =
            change.field.isNumber() ? parseNumber(change.value) : std::nullopt;
        row.cells.push_back(value ? SweepValue(*value) : SweepValue(change.value));
    }
    row.cells.emplace_back(static_cast<double>(motor));
    row.cells.resize(columns_.size());
    return row;
}

void RowTable::put(SweepRow& row, const HeldShaftMeasurement& measured) const
{
    for (std::size_t i = 0; i < heldColumns.size(); ++i) {
        row.cells[heldAt_ + i] = measured.*(heldColumns[i].field);
    }
}

void RowTable::put(SweepRow& row, const StartMeasurement& measured) const
{
    std::size_t cell = startAt_;
    for (const StartQuantity& quantity : startQuantities()) {
        if (const std::optional<double>& value = measured.*(quantity.field)) {
            row.cells[cell] = *value;
        }
        ++cell;
    }
}

void RowTable::put(SweepRow& row, std::span<const Finding> findings) const
{
    std::array<std::vector<const Finding*>, 3> byVerdict;
    const Finding* worst = nullptr;
    for (const Finding& finding : findings) {
        byVerdict.at(static_cast<std::size_t>(finding.verdict)).push_back(&finding);
        if (finding.hasLimit && (worst == nullptr || closeness(finding) < closeness(*worst))) {
            worst = &finding;
        }
    }
    const auto of = [&byVerdict](Verdict verdict) {
        return byVerdict.at(static_cast<std::size_t>(verdict));
    };
    row.cells[checksAt_] = static_cast<double>(of(Verdict::pass).size());
    row.cells[checksAt_ + 1] = joinedIds(of(Verdict::fail));
    row.cells[checksAt_ + 2] = joinedIds(of(Verdict::undecided));
    if (worst != nullptr) {
        // Beyond its limit by an unknown amount is no number.
        if (std::isfinite(relativeMargin(*worst))) {
            row.cells[checksAt_ + 3] = relativeMargin(*worst);
        }
        row.cells[checksAt_ + 4] = std::string(worst->check->id);
    }
}

void RowTable::put(SweepRow& row, std::span<const std::string> problems) const
{
    std::string text;
    for (const std::string& problem : problems) {
        if (!problem.empty()) {
            text += (text.empty() ? "" : "; ") + problem;
        }
    }
    if (!text.empty()) {
        row.cells.back() = std::move(text);
    }
}

}  // namespace splitstart
