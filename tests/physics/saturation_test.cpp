// A core that saturates: starts against the integrator of second_opinion.h, which holds the air-gap
// fluxes as states and works out the excess current from the length of their vector, and what any
// text on electrical machines says of the no-load current.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numbers>
#include <vector>

#include "physics/near.h"
#include "physics/quarter_horsepower.h"
#include "physics/simulated_start.h"
#include "physics/waveform.h"

namespace splitstart
{
namespace
{

// Loss enough to be real (24 W of core loss is about 1000 ohm here), as the integrator needs it.
book::Machine saturatingMachine()
{
    book::Machine machine = book::quarterHorsepower();
    machine.coreLoss_ohm = 1000;
    machine.saturation = book::soonSaturated;
    return machine;
}

// Peak and rms main current with the shaft turned at synchronous speed, auxiliary winding open.
struct NoLoad {
    double rms_A = 0;
    double peak_A = 0;
};

NoLoad noLoad(const book::Machine& machine, double rms_V)
{
    MotorCircuit circuit;
    circuit.machine = machine;
    circuit.source.rms_V = rms_V;
    // At the crest, where the flux has no offset that would take seconds to go.
    circuit.source.phase_rad = std::numbers::pi / 2;
    circuit.heldSpeed_rad_s = machine.synchronousSpeed_rad_s(60);
    constexpr double end_s = 0.6;
    const Waveforms waveforms =
        runTransient(deckOf(circuit, transientCard(end_s)), {probe::main_A}, end_s);
    const MeanOverLastPeriod mean(waveforms.time_s, 1.0 / 60);
    NoLoad result{.rms_A = mean.rootSquare(waveforms.real[0])};
    for (std::size_t i = 0; i < waveforms.time_s.size(); ++i) {
        if (waveforms.time_s[i] > end_s - 1.0 / 60) {
            result.peak_A = std::max(result.peak_A, std::abs(waveforms.real[0][i]));
        }
    }
    return result;
}

TEST(Saturation, NoLoadCurrentRisesMoreThanInProportionAboveTheKneeAndNotFarBelowIt)
{
    const book::Machine machine = saturatingMachine();
    book::Machine linear = machine;
    linear.saturation.reset();
    const double perVolt = noLoad(linear, 10).rms_A / 10;
    EXPECT_TRUE(nearRel(noLoad(linear, 150).rms_A, 150 * perVolt, 1e-4));

    // 30 V: a quarter of the knee's flux.
    EXPECT_TRUE(nearRel(noLoad(machine, 30).rms_A, 30 * perVolt, 2e-3));
    const double rated_A = noLoad(machine, 110).rms_A;
    const double high_A = noLoad(machine, 132).rms_A;
    EXPECT_GT(rated_A, 1.05 * 110 * perVolt);
    EXPECT_GT(high_A, 1.3 * 132 * perVolt);
    EXPECT_GT(high_A / rated_A, 1.2 * 132 / 110);
}

// Any text on transformers: a saturating core takes a peaked current from a sine. Here the field
// must pulsate for it, and so the rotor has next to no currents.
TEST(Saturation, CurrentOfAPulsatingFieldIsPeakedOnlyWithSaturation)
{
    book::Machine machine = saturatingMachine();
    machine.rotorMainResistance_ohm *= 1e5;
    machine.rotorAuxiliaryResistance_ohm *= 1e5;
    book::Machine linear = machine;
    linear.saturation.reset();
    const NoLoad sine = noLoad(linear, 132);
    const NoLoad peaked = noLoad(machine, 132);
    EXPECT_TRUE(nearRel(sine.peak_A / sine.rms_A, std::numbers::sqrt2, 2e-3));
    EXPECT_GT(peaked.peak_A / peaked.rms_A, 1.1 * std::numbers::sqrt2);
}

// The header's promise: .ac is the unsaturated machine.
TEST(Saturation, AlternatingAnalysisIsThatOfTheUnsaturatedMachine)
{
    MotorCircuit circuit;
    circuit.machine = saturatingMachine();
    circuit.branch = book::CapacitorBranch{.capacitance_F = 30e-6, .resistance_ohm = 0.5};
    book::Machine linear = circuit.machine;
    linear.saturation.reset();
    for (const double speed_rad_s : {0.0, 90.0, 180.0}) {
        circuit.heldSpeed_rad_s = speed_rad_s;
        const book::SteadyState book =
            book::steadyState(linear, circuit.source, circuit.branch, speed_rad_s);
        const book::SteadyState simulated = simulatedSteadyState(circuit);
        EXPECT_TRUE(nearRel(std::abs(simulated.main_A), std::abs(book.main_A), 1e-4));
        EXPECT_TRUE(nearRel(std::abs(simulated.auxiliary_A), std::abs(book.auxiliary_A), 1e-4));
        EXPECT_TRUE(nearOfScale(simulated.torque_Nm, book.torque_Nm, 1, 1e-4));
    }
}

// The length of the flux vector counts: two windings at right angles in space on voltages at right
// angles in time make a round field, which saturates the core alike at every instant, so that the
// vector of their currents keeps its length. With each axis on its own it would not.
class RoundField : public testing::Test
{
protected:
    RoundField()
    {
        book::Machine& m = circuit_.machine;
        m = book::quarterHorsepowerWithRoundRotor();
        m.turns_ratio = 1;
        m.auxiliaryResistance_ohm = m.mainResistance_ohm;
        m.auxiliaryLeakage_H = m.mainLeakage_H;
        m.auxiliaryMagnetizing_H = m.mainMagnetizing_H;
        m.rotorAuxiliaryResistance_ohm = m.rotorMainResistance_ohm;
        m.rotorAuxiliaryLeakage_H = m.rotorMainLeakage_H;
        circuit_.source.rms_V = 132;
        circuit_.heldSpeed_rad_s = m.synchronousSpeed_rad_s(60);
    }

    // Length of the current vector over the last period.
    [[nodiscard]] std::vector<double> currents_A() const
    {
        constexpr double end_s = 1;
        const Waveforms w =
            runTransient(deckOf(circuit_,
                                "xahead ahead 0 supply rms_v=132 line_hz=60 source_ohms=1e-6"
                                " source_h=1e-9 switch_on_deg=90\nrahead ahead aux 1e-6\n" +
                                    transientCard(end_s)),
                         {probe::main_A, probe::auxiliary_A}, end_s);
        std::vector<double> lengths;
        for (std::size_t i = 0; i < w.time_s.size(); ++i) {
            if (w.time_s[i] > end_s - 1.0 / 60) {
                lengths.push_back(std::hypot(w.real[0][i], w.real[1][i]));
            }
        }
        return lengths;
    }

    MotorCircuit circuit_;
};

TEST_F(RoundField, SaturatesTheCoreAlikeAtEveryInstant)
{
    const std::vector<double> linear_A = currents_A();
    circuit_.machine.saturation = book::soonSaturated;
    const std::vector<double> saturated_A = currents_A();
    ASSERT_GT(saturated_A.size(), 100U);
    EXPECT_GT(saturated_A.front(), 1.3 * linear_A.front());
    for (const double length_A : saturated_A) {
        ASSERT_TRUE(nearRel(length_A, saturated_A.front(), 0.005));
    }
}

// The capacitor stays in, so that the contact's arc, which the integrator does not have, is not in
// the comparison.
class SaturatingStart : public testing::TestWithParam<int>
{
};

book::StartConditions loadedConditions(int phase_deg)
{
    book::StartConditions conditions = book::quarterHorsepowerStart();
    conditions.startSwitch.opening = book::Opening::never;
    conditions.source.rms_V = 126;
    conditions.source.resistance_ohm = 0.5;
    conditions.source.inductance_H = 5e-4;
    conditions.source.phase_rad = phase_deg * std::numbers::pi / 180;
    conditions.load = [](double speed_rad_s, double) { return 0.5 * std::tanh(speed_rad_s); };
    return conditions;
}

SimulatedStart simulateLoaded(const book::Machine& machine, const book::StartConditions& conditions)
{
    MotorCircuit circuit = circuitOf(machine, conditions);
    circuit.loadCards = "bload load 0 v = 0.5*tanh(v(speed))\n";
    return simulateStart(circuit, conditions.end_s);
}

TEST_P(SaturatingStart, AgreesWithTheIntegrator)
{
    const book::StartConditions conditions = loadedConditions(GetParam());
    const book::Machine machine = saturatingMachine();
    const book::Start book = book::integrateStart(machine, conditions);
    expectSameStart(simulateLoaded(machine, conditions), book, conditions.startSwitch.speed_rad_s);
    // It does something: with a linear core the current at the end is another.
    book::Machine linear = machine;
    linear.saturation.reset();
    const book::Start unsaturated = book::integrateStart(linear, conditions);
    const auto lastPeak_A = [](const book::Start& start) {
        double peak_A = 0;
        for (const book::Sample& sample : start.samples) {
            if (sample.time_s > start.last().time_s - 1.0 / 60) {
                peak_A = std::max(peak_A, std::abs(sample.main_A));
            }
        }
        return peak_A;
    };
    EXPECT_FALSE(nearRel(lastPeak_A(book), lastPeak_A(unsaturated), 0.2));
}

TEST_P(SaturatingStart, WithDeepBarsAgreesWithTheIntegrator)
{
    const book::StartConditions conditions = loadedConditions(GetParam());
    book::Machine machine = book::quarterHorsepowerWithDeepBars();
    machine.coreLoss_ohm = 1000;
    machine.saturation = book::soonSaturated;
    expectSameStart(simulateLoaded(machine, conditions), book::integrateStart(machine, conditions),
                    conditions.startSwitch.speed_rad_s);
}

INSTANTIATE_TEST_SUITE_P(SwitchedOnAtDegrees, SaturatingStart, testing::Range(0, 180, 45),
                         testing::PrintToStringParamName());

}  // namespace
}  // namespace splitstart
