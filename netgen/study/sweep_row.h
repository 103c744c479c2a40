// One row of a sweep: what is simulated for it, and how that becomes cells. Internal to study/.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "circuit/circuit.h"
#include "rating/check.h"
#include "spice/measurement.h"
#include "study/case_study.h"
#include "study/start_runs.h"
#include "study/sweep.h"

namespace splitstart
{

// The motor of a row: the most probable one of its group, or another that is possible.
struct RowMotor {
    std::size_t number = 0;
    EquivalentCircuit circuit;
    double ratedTorque_Nm = 0;
    SourceImpedance source;
};

// What is simulated for a row.
struct RowSetup {
    Case input;  // with the source impedance and the rated volts of its motor
    Circuit circuit;
    double torque_Nm = 0;  // mean, at the pressures of the row
    StartJob start;
    // At standstill with the start circuit in. Empty where a linear circuit of sines does not show
    // what happens: a supply of limited amps, iron that saturates, a PTC that is still warm.
    std::optional<SimulationModel> standstill;
};

// `rated`: the case as the motor was determined from, with its supply. Throws InputError.
RowSetup rowSetup(const CaseSource& source, std::span<const FieldChange> changes, const Case& rated,
                  const RowMotor& motor);

// The load of the row's case: where a pressure varies, those that the case does not give stay as
// they were assumed for `rated`. Throws InputError where nobody said how much torque it takes, or
// the pressures are not in order.
CompressorLoad rowLoad(const Case& rated, const Case& input, std::span<const FieldChange> changes);

// The columns of a sweep, and where each kind of them begins.
class RowTable
{
public:
    RowTable(const SweepPlan& plan, bool checks);

    [[nodiscard]] const std::vector<SweepColumn>& columns() const { return columns_; }

    [[nodiscard]] SweepRow emptyRow(std::size_t number, std::size_t caseIndex,
                                    std::span<const FieldChange> changes, std::size_t motor) const;
    void put(SweepRow& row, const HeldShaftMeasurement& measured) const;
    void put(SweepRow& row, const StartMeasurement& measured) const;
    void put(SweepRow& row, std::span<const Finding> findings) const;
    // Why numbers are missing, one clause for each cause.
    void put(SweepRow& row, std::span<const std::string> problems) const;

private:
    std::vector<SweepColumn> columns_;
    std::size_t heldAt_ = 0;
    std::size_t startAt_ = 0;
    std::size_t checksAt_ = 0;
};

}  // namespace splitstart
