// Rotor resistance that rises with slip (deep bars): the model's ladder against double revolving
// fields whose rotor has its impedance at the slip frequency of each field (C. G. Veinott, "Theory
// and Design of Small Induction Motors"; Fitzgerald, Kingsley, Umans, "Electric Machinery", chapter
// on single-phase motors), and against an integrated double-cage machine (second_opinion.h).
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <optional>

#include "physics/near.h"
#include "physics/quarter_horsepower.h"
#include "physics/simulated_start.h"
#include "physics/waveform.h"

namespace splitstart
{
namespace
{

constexpr double tolerance_ratio = 0.005;
// An .ac analysis has no step: only rounding and the resistances that stand for "open" and "none".
constexpr double phasorTolerance_ratio = 1e-4;

MotorCircuit heldCircuit(const book::Machine& machine,
                         const std::optional<book::CapacitorBranch>& branch)
{
    MotorCircuit circuit;
    circuit.machine = machine;
    circuit.source = {
        .rms_V = 115, .frequency_Hz = 60, .resistance_ohm = 0.4, .inductance_H = 5e-4};
    circuit.branch = branch;
    return circuit;
}

void expectRevolvingFields(MotorCircuit circuit)
{
    const double synchronous_rad_s =
        circuit.machine.synchronousSpeed_rad_s(circuit.source.frequency_Hz);
    for (const double slip : {1.9, 1.5, 1.0, 0.9, 0.7, 0.5, 0.3, 0.2, 0.1, 0.05, 0.02, -0.05}) {
        SCOPED_TRACE(slip);
        circuit.heldSpeed_rad_s = (1 - slip) * synchronous_rad_s;
        const book::SteadyState fields = book::twoRevolvingFields(
            circuit.machine, circuit.source, circuit.branch, *circuit.heldSpeed_rad_s);
        const book::SteadyState simulated = simulatedSteadyState(circuit);
        const double turn_rad = std::arg(simulated.terminal_V / fields.terminal_V);
        const book::Phasor turn = std::polar(1.0, -turn_rad);
        EXPECT_TRUE(nearRel(turn * simulated.main_A, fields.main_A, phasorTolerance_ratio));
        EXPECT_TRUE(nearRel(turn * simulated.line_A, fields.line_A, phasorTolerance_ratio));
        // None at standstill with the auxiliary winding open: judged against the source.
        EXPECT_TRUE(nearOfScale(std::abs(turn * simulated.auxiliary_V - fields.auxiliary_V), 0,
                                circuit.source.rms_V, phasorTolerance_ratio));
        if (circuit.branch) {
            EXPECT_TRUE(
                nearRel(turn * simulated.auxiliary_A, fields.auxiliary_A, phasorTolerance_ratio));
        }
        // It passes through zero: judged against 1 N m, which is about the rated torque.
        EXPECT_TRUE(nearOfScale(simulated.torque_Nm, fields.torque_Nm, 1, phasorTolerance_ratio));
    }
}

const book::CapacitorBranch startBranch{.capacitance_F = 180e-6, .resistance_ohm = 3};

TEST(DeepBar, StartWindingInAgreesWithRevolvingFieldsAtTheirOwnSlipFrequencies)
{
    expectRevolvingFields(heldCircuit(book::quarterHorsepowerWithDeepBars(), startBranch));
    expectRevolvingFields(heldCircuit(book::quarterHorsepowerWithDeepBars(3, 8), startBranch));
}

TEST(DeepBar, StartWindingInAgreesWithRevolvingFieldsWithCoreLoss)
{
    book::Machine machine = book::quarterHorsepowerWithDeepBars();
    machine.coreLoss_ohm = 500;
    expectRevolvingFields(heldCircuit(machine, startBranch));
}

TEST(DeepBar, MainWindingAloneAgreesWithRevolvingFieldsAtTheirOwnSlipFrequencies)
{
    expectRevolvingFields(heldCircuit(book::quarterHorsepowerWithDeepBars(), std::nullopt));
}

TEST(DeepBar, TransientSettlesAtTheTorqueAndCurrentsOfRevolvingFields)
{
    MotorCircuit circuit = heldCircuit(book::quarterHorsepowerWithDeepBars(), startBranch);
    for (const double slip : {1.0, 0.5, 0.08}) {
        SCOPED_TRACE(slip);
        circuit.heldSpeed_rad_s = (1 - slip) * circuit.machine.synchronousSpeed_rad_s(60);
        const book::SteadyState fields = book::twoRevolvingFields(
            circuit.machine, circuit.source, circuit.branch, *circuit.heldSpeed_rad_s);
        constexpr double end_s = 0.6;
        const Waveforms waveforms =
            runTransient(deckOf(circuit, transientCard(end_s)),
                         {"torque", probe::main_A, probe::auxiliary_A}, end_s);
        const MeanOverLastPeriod mean(waveforms.time_s, 1 / circuit.source.frequency_Hz);
        EXPECT_TRUE(nearRel(mean.of(waveforms.real[0]), fields.torque_Nm, tolerance_ratio));
        EXPECT_TRUE(
            nearRel(mean.rootSquare(waveforms.real[1]), std::abs(fields.main_A), tolerance_ratio));
        EXPECT_TRUE(nearRel(mean.rootSquare(waveforms.real[2]), std::abs(fields.auxiliary_A),
                            tolerance_ratio));
    }
}

// Fitzgerald, Kingsley, Umans, chapter on polyphase induction machines, deep-bar and double-cage
// rotors: where the cage has little resistance, more of it at standstill gives more torque for less
// current.
TEST(DeepBar, StartsALowResistanceRotorWithMoreTorqueForLessCurrent)
{
    book::Machine plain = book::quarterHorsepowerWithRoundRotor();
    plain.rotorMainResistance_ohm = 1;
    plain.rotorAuxiliaryResistance_ohm = plain.turns_ratio * plain.turns_ratio;
    book::Machine deep = plain;
    deep.deepBar = book::DeepBar{.resistance_ohm = 2, .inductance_H = 0.01};
    const auto standstill = [](const book::Machine& machine) {
        MotorCircuit circuit = heldCircuit(machine, startBranch);
        circuit.heldSpeed_rad_s = 0;
        return simulatedSteadyState(circuit);
    };
    EXPECT_GT(standstill(deep).torque_Nm, 1.5 * standstill(plain).torque_Nm);
    EXPECT_LT(std::abs(standstill(deep).line_A), 0.9 * std::abs(standstill(plain).line_A));
}

TEST(DeepBar, StartAgreesWithTheIntegratedDoubleCage)
{
    const book::Machine machine = book::quarterHorsepowerWithDeepBars();
    const book::StartConditions conditions = book::quarterHorsepowerStart();
    expectSameStart(simulateStart(circuitOf(machine, conditions), conditions.end_s),
                    book::integrateStart(machine, conditions), conditions.startSwitch.speed_rad_s);
}

class LoadedDeepBarStart : public testing::TestWithParam<int>
{
};

// The capacitor stays in, so that the contact's arc, which the integrator does not have, is not in
// the comparison.
TEST_P(LoadedDeepBarStart, AgreesWithTheIntegratedDoubleCage)
{
    book::Machine machine = book::quarterHorsepowerWithDeepBars(1, 15);
    machine.coreLoss_ohm = 500;
    machine.friction_Nms = 3e-4;
    book::StartConditions conditions = book::quarterHorsepowerStart();
    conditions.startSwitch.opening = book::Opening::never;
    conditions.source.resistance_ohm = 0.5;
    conditions.source.inductance_H = 5e-4;
    conditions.source.phase_rad = GetParam() * std::numbers::pi / 180;
    conditions.load = [](double speed_rad_s, double) { return 0.3 * std::tanh(speed_rad_s); };
    MotorCircuit circuit = circuitOf(machine, conditions);
    circuit.loadCards = "bload load 0 v = 0.3*tanh(v(speed))\n";
    expectSameStart(simulateStart(circuit, conditions.end_s),
                    book::integrateStart(machine, conditions), conditions.startSwitch.speed_rad_s);
}

INSTANTIATE_TEST_SUITE_P(SwitchedOnAtDegrees, LoadedDeepBarStart, testing::Range(0, 180, 45),
                         testing::PrintToStringParamName());

}  // namespace
}  // namespace splitstart
