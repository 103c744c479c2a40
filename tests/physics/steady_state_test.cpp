// Steady state at fixed speeds: embedded ngspice's small-signal analysis at line frequency against
// phasor solutions of the textbooks.
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "physics/deck.h"
#include "physics/near.h"
#include "physics/quarter_horsepower.h"
#include "physics/waveform.h"

namespace splitstart
{
namespace
{

using book::Phasor;

constexpr double tolerance_ratio = 0.005;

// Currents and volts with their angles, all turned so that the terminal volts are the reference.
void expectSameSteadyState(const book::SteadyState& simulated, const book::SteadyState& book)
{
    const Phasor turn = book.terminal_V / std::abs(book.terminal_V) /
                        (simulated.terminal_V / std::abs(simulated.terminal_V));
    EXPECT_TRUE(nearRel(turn * simulated.terminal_V, book.terminal_V, tolerance_ratio));
    EXPECT_TRUE(nearRel(turn * simulated.main_A, book.main_A, tolerance_ratio));
    EXPECT_TRUE(nearRel(turn * simulated.auxiliary_A, book.auxiliary_A, tolerance_ratio));
    EXPECT_TRUE(nearRel(turn * simulated.line_A, book.line_A, tolerance_ratio));
    EXPECT_TRUE(nearRel(turn * simulated.auxiliary_V, book.auxiliary_V, tolerance_ratio));
    EXPECT_TRUE(nearRel(turn * simulated.branch_V, book.branch_V, tolerance_ratio));
    EXPECT_TRUE(nearRel(turn * simulated.rotorMain_A, book.rotorMain_A, tolerance_ratio));
    EXPECT_TRUE(nearRel(turn * simulated.rotorAuxiliary_A, book.rotorAuxiliary_A, tolerance_ratio));
}

void expectSameOverSpeed(MotorCircuit circuit)
{
    const double synchronous_rad_s =
        circuit.machine.synchronousSpeed_rad_s(circuit.source.frequency_Hz);
    const double standstill_Nm =
        book::steadyState(circuit.machine, circuit.source, circuit.branch, 0).torque_Nm;
    for (const double speed_ratio :
         {0.0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.95, 0.98}) {
        SCOPED_TRACE(speed_ratio);
        circuit.heldSpeed_rad_s = speed_ratio * synchronous_rad_s;
        const book::SteadyState book = book::steadyState(circuit.machine, circuit.source,
                                                         circuit.branch, *circuit.heldSpeed_rad_s);
        const book::SteadyState simulated = simulatedSteadyState(circuit);
        expectSameSteadyState(simulated, book);
        // The torque passes through zero near synchronous speed: judged against standstill.
        EXPECT_TRUE(
            nearOfScale(simulated.torque_Nm, book.torque_Nm, standstill_Nm, tolerance_ratio));
    }
}

// Source: the phasor solution of the equations of Krause, Wasynczuk, Sudhoff (see
// second_opinion.h); machine of the same text.
TEST(PermanentCapacitor, AgreesWithThePhasorSolutionFromStandstillToNoLoad)
{
    MotorCircuit circuit;
    circuit.machine = book::quarterHorsepower();
    circuit.branch = book::CapacitorBranch{.capacitance_F = 30e-6, .resistance_ohm = 0.5};
    expectSameOverSpeed(circuit);
}

TEST(PermanentCapacitor, AgreesWithThePhasorSolutionWithCoreLossAndSourceImpedance)
{
    MotorCircuit circuit;
    circuit.machine = book::quarterHorsepower();
    circuit.machine.coreLoss_ohm = 500;
    circuit.source = {
        .rms_V = 115, .frequency_Hz = 60, .resistance_ohm = 0.4, .inductance_H = 5e-4};
    circuit.branch = book::CapacitorBranch{.capacitance_F = 180e-6, .resistance_ohm = 1};
    expectSameOverSpeed(circuit);
}

// The torque that a transient settles at, from the model's own torque output.
TEST(PermanentCapacitor, TransientSettlesAtThePhasorSolutionsTorqueAndCurrents)
{
    MotorCircuit circuit;
    circuit.machine = book::quarterHorsepower();
    circuit.branch = book::CapacitorBranch{.capacitance_F = 30e-6, .resistance_ohm = 0.5};
    circuit.heldSpeed_rad_s = 0.9 * circuit.machine.synchronousSpeed_rad_s(60);
    const book::SteadyState book = book::steadyState(circuit.machine, circuit.source,
                                                     circuit.branch, *circuit.heldSpeed_rad_s);
    constexpr double end_s = 0.5;
    const Waveforms waveforms = runTransient(deckOf(circuit, transientCard(end_s)),
                                             {"torque", probe::main_A, probe::auxiliary_A}, end_s);
    const MeanOverLastPeriod mean(waveforms.time_s, 1 / circuit.source.frequency_Hz);
    EXPECT_TRUE(nearRel(mean.of(waveforms.real[0]), book.torque_Nm, tolerance_ratio));
    EXPECT_TRUE(
        nearRel(mean.rootSquare(waveforms.real[1]), std::abs(book.main_A), tolerance_ratio));
    EXPECT_TRUE(
        nearRel(mean.rootSquare(waveforms.real[2]), std::abs(book.auxiliary_A), tolerance_ratio));
}

// Fitzgerald, Kingsley, Umans, "Electric Machinery", 6th edition, chapter on single-phase motors,
// example of the 1/4 hp, 110 V, 60 Hz, 4-pole capacitor-start motor at a slip of 0.05 with its
// starting winding open; core loss 24 W, friction and windage 13 W. Printed results from memory:
// 3.59 A, power factor 0.62, 244 W in, 147 W out, 1710 r/min, efficiency 60 %; the torque, 147 W at
// 1710 r/min, is 0.82 N m.
class SinglePhaseExample : public testing::Test
{
protected:
    static constexpr double slip_ratio = 0.05;
    static constexpr double rotationalLoss_W = 24 + 13;
    const book::Machine machine = book::quarterHorsepowerWithRoundRotor();
    const book::RevolvingFields fields =
        book::revolvingFields(machine, 110, 60, slip_ratio, rotationalLoss_W);
};

TEST_F(SinglePhaseExample, RevolvingFieldsGiveThePrintedResults)
{
    EXPECT_TRUE(agreesWithPrint(fields.powerFactor_ratio, 0.62, 0.01));
    EXPECT_TRUE(agreesWithPrint(fields.output_W, 147, 1));
    EXPECT_TRUE(agreesWithPrint(fields.shaftTorque_Nm, 0.82, 0.01));
    EXPECT_TRUE(agreesWithPrint(fields.speed_rad_s * 30 / std::numbers::pi, 1710, 1));
    EXPECT_TRUE(agreesWithPrint(100 * fields.efficiency_ratio, 60, 1));
    // The book goes on with impedances rounded to three digits by hand; unrounded, the current is
    // 3.605 A and the input 246 W. One per cent is what that rounding can make of them.
    EXPECT_TRUE(nearRel(std::abs(fields.input_A), 3.59, 0.01));
    EXPECT_TRUE(nearRel(fields.input_W, 244, 0.01));
}

TEST_F(SinglePhaseExample, SimulationOfTheMainWindingAloneAgreesWithRevolvingFields)
{
    MotorCircuit circuit;
    circuit.machine = machine;
    for (const double slip : {slip_ratio, 0.02, 0.1, 0.4, 0.8}) {
        SCOPED_TRACE(slip);
        const book::RevolvingFields expected =
            book::revolvingFields(machine, 110, 60, slip, rotationalLoss_W);
        circuit.heldSpeed_rad_s = expected.speed_rad_s;
        const book::SteadyState simulated = simulatedSteadyState(circuit);
        const Phasor turned_A = simulated.main_A / (simulated.terminal_V / 110.0);
        EXPECT_TRUE(nearRel(turned_A, expected.input_A, tolerance_ratio));
        EXPECT_TRUE(nearRel(simulated.torque_Nm, expected.airGapTorque_Nm, tolerance_ratio));
        EXPECT_TRUE(nearRel((simulated.terminal_V * std::conj(simulated.main_A)).real(),
                            expected.input_W, tolerance_ratio));
    }
}

}  // namespace
}  // namespace splitstart
