// The permanent-split-capacitor circuit: models/split_phase_motor.lib with ac_capacitor and supply
// in embedded ngspice against two-phase symmetrical components of windings of unequal turns
// (symmetrical_components.h names the textbooks), and what those texts derive from them.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <numbers>
#include <ostream>
#include <stdexcept>
#include <string>
#include <vector>

#include "physics/near.h"
#include "physics/permanent_capacitor_bench.h"
#include "physics/quarter_horsepower.h"

namespace splitstart
{
namespace
{

using book::Phasor;
using book::SequenceSolution;

// The small-signal analysis and the theory solve the same linear circuit: only rounding, and the
// stand-ins of an ideal source (1e-6 ohm) and of no core loss (1e9 ohm), may differ.
constexpr double exact_ratio = 1e-5;
// A simulation in time with steps of 100 us.
constexpr double settled_ratio = 0.005;

const std::vector<double> speed_ratios{0,   0.1, 0.2, 0.3,  0.4,  0.5, 0.6,
                                       0.7, 0.8, 0.9, 0.95, 0.97, 0.99};

struct Installation {
    const char* name;
    MotorCircuit circuit;
};

void PrintTo(const Installation& installation, std::ostream* out)
{
    *out << installation.name;
}

Installation hermetic()
{
    Installation i{"InventedHermetic", {}};
    i.circuit.machine = inventedHermetic();
    i.circuit.source.rms_V = hermetic_V;
    i.circuit.branch = inventedRunCapacitor();
    return i;
}

Installation hermeticOnAPoorLine()
{
    Installation i = hermetic();
    i.name = "InventedHermeticWithCoreLossOnAPoorLine";
    i.circuit.machine.coreLoss_ohm = 900;
    i.circuit.source = {
        .rms_V = hermetic_V, .frequency_Hz = 50, .resistance_ohm = 0.5, .inductance_H = 4e-4};
    i.circuit.branch = book::CapacitorBranch{.capacitance_F = 35e-6, .resistance_ohm = 0.3};
    return i;
}

Installation quarterHorsepower()
{
    Installation i{"TextbooksQuarterHorsepower", {}};
    i.circuit.machine = book::quarterHorsepowerWithRoundRotor();
    i.circuit.branch = book::CapacitorBranch{.capacitance_F = 20e-6, .resistance_ohm = 0.5};
    return i;
}

class PermanentCapacitorBySymmetricalComponents : public testing::TestWithParam<Installation>
{
protected:
    MotorCircuit circuit = GetParam().circuit;

    SequenceSolution bookAt(double speed_ratio)
    {
        circuit.heldSpeed_rad_s = speedAt(circuit, 1 - speed_ratio);
        return book::symmetricalComponents(circuit.machine, circuit.source, *circuit.branch,
                                           1 - speed_ratio);
    }
};

TEST_P(PermanentCapacitorBySymmetricalComponents, SmallSignalAnalysisAgreesWithAnglesAtAllSpeeds)
{
    double greatest_Nm = 0;
    for (const double speed_ratio : speed_ratios) {
        greatest_Nm = std::max(greatest_Nm, std::abs(bookAt(speed_ratio).torque_Nm));
    }
    for (const double speed_ratio : speed_ratios) {
        SCOPED_TRACE(speed_ratio);
        const SequenceSolution book = bookAt(speed_ratio);
        const book::SteadyState simulated = simulatedSteadyState(circuit);
        EXPECT_TRUE(nearRel(simulated.main_A, book.main_A, exact_ratio));
        EXPECT_TRUE(nearRel(simulated.auxiliary_A, book.auxiliary_A, exact_ratio));
        EXPECT_TRUE(nearRel(simulated.line_A, book.line_A, exact_ratio));
        EXPECT_TRUE(nearRel(simulated.branch_V, book.branch_V, exact_ratio));
        EXPECT_TRUE(nearRel(simulated.auxiliary_V, book.auxiliary_V, exact_ratio));
        // Passes through zero near synchronous speed.
        EXPECT_TRUE(nearOfScale(simulated.torque_Nm, book.torque_Nm, greatest_Nm, exact_ratio));
    }
}

TEST_P(PermanentCapacitorBySymmetricalComponents, TransientSettlesAtTheSameFigures)
{
    for (const double speed_ratio : {0.0, 0.5, 0.95}) {
        SCOPED_TRACE(speed_ratio);
        const SequenceSolution book = bookAt(speed_ratio);
        const SettledRun settled = settledTransient(circuit);
        EXPECT_TRUE(nearRel(settled.main_A, std::abs(book.main_A), settled_ratio));
        EXPECT_TRUE(nearRel(settled.auxiliary_A, std::abs(book.auxiliary_A), settled_ratio));
        EXPECT_TRUE(nearRel(settled.line_A, std::abs(book.line_A), settled_ratio));
        EXPECT_TRUE(nearRel(settled.branch_V, std::abs(book.branch_V), settled_ratio));
        EXPECT_TRUE(nearRel(settled.auxiliary_V, std::abs(book.auxiliary_V), settled_ratio));
        EXPECT_TRUE(nearRel(settled.torque_Nm, book.torque_Nm, settled_ratio));
    }
}

std::string nameOf(const testing::TestParamInfo<Installation>& instance)
{
    return instance.param.name;
}

INSTANTIATE_TEST_SUITE_P(Machines, PermanentCapacitorBySymmetricalComponents,
                         testing::Values(hermetic(), hermeticOnAPoorLine(), quarterHorsepower()),
                         nameOf);

// The theory holds only where the rotor is alike in both axes; elsewhere it must not be used.
TEST(SymmetricalComponents, RefuseAMachineWhoseAxesDiffer)
{
    EXPECT_THROW(book::symmetricalComponents(book::quarterHorsepower(), {}, {20e-6, 0.5}, 0.05),
                 std::invalid_argument);
}

// Forward and backward pair swing the torque at twice the supply's frequency; the swing's size
// follows from their currents and impedances ([FKU] derives that it is there; its size here from
// the same theory).
TEST(TorqueSwing, TransientSwingsAtTwiceLineFrequencyByWhatBothFieldsMakeOfIt)
{
    for (const Installation& installation : {hermetic(), quarterHorsepower()}) {
        SCOPED_TRACE(installation.name);
        MotorCircuit circuit = installation.circuit;
        for (const double slip_ratio : {0.5, 0.05}) {
            SCOPED_TRACE(slip_ratio);
            circuit.heldSpeed_rad_s = speedAt(circuit, slip_ratio);
            const SequenceSolution book = book::symmetricalComponents(
                circuit.machine, circuit.source, *circuit.branch, slip_ratio);
            EXPECT_TRUE(nearRel(settledTransient(circuit).swing_Nm, book.swing_Nm, settled_ratio));
        }
    }
}

// [Veinott], from memory: windings that differ in their turns alone balance at one load with one
// capacitor. With phi the angle of the main winding's impedance Z at that slip, the turns ratio is
// tan(phi), the capacitor's reactance Z sin(phi) / cos^2(phi), its volts V / cos(phi); the
// auxiliary current leads the main one by 90 degrees and is smaller by the turns ratio, and the
// auxiliary volts are larger by it.
class BalancedLoad : public testing::Test
{
protected:
    static constexpr double slip_ratio = 0.02;
    const Phasor main_ohm = forwardImpedance_ohm(inventedHermetic(), 60, slip_ratio);
    const double phi_rad = std::arg(main_ohm);
    const double turns_ratio = std::tan(phi_rad);
    const double reactance_ohm =
        std::abs(main_ohm) * std::sin(phi_rad) / std::pow(std::cos(phi_rad), 2);

    [[nodiscard]] MotorCircuit circuitWith(double capacitor_ratio, double turns) const
    {
        MotorCircuit circuit;
        circuit.machine = withAuxiliaryLikeMain(inventedHermetic(), turns);
        circuit.source.rms_V = hermetic_V;
        circuit.branch = book::CapacitorBranch{
            .capacitance_F = capacitor_ratio / (2 * std::numbers::pi * 60 * reactance_ohm),
            .resistance_ohm = 1e-6};
        circuit.heldSpeed_rad_s = speedAt(circuit, slip_ratio);
        return circuit;
    }

    // The backward pair in the simulated currents, over the forward one.
    static double unbalance_ratio(const book::SteadyState& steady, double turns)
    {
        const Phasor turned = Phasor(0, 1) * turns * steady.auxiliary_A;
        return std::abs(steady.main_A + turned) / std::abs(steady.main_A - turned);
    }
};

TEST_F(BalancedLoad, TurnsRatioIsTheTangentAndTheBackwardFieldVanishes)
{
    const book::SteadyState steady = simulatedSteadyState(circuitWith(1, turns_ratio));
    EXPECT_LT(unbalance_ratio(steady, turns_ratio), 1e-6);
    EXPECT_TRUE(nearRel(steady.main_A, hermetic_V / main_ohm, exact_ratio));
    EXPECT_TRUE(
        nearRel(steady.auxiliary_A, Phasor(0, 1) * steady.main_A / turns_ratio, exact_ratio));
    EXPECT_TRUE(nearRel(steady.auxiliary_V, Phasor(0, turns_ratio) * hermetic_V, exact_ratio));
    EXPECT_TRUE(nearRel(std::abs(steady.branch_V), hermetic_V / std::cos(phi_rad), exact_ratio));
    // What a two-phase motor would give: two phases' air-gap power over synchronous speed.
    const double gap_ohm = main_ohm.real() - inventedHermetic().mainResistance_ohm;
    EXPECT_TRUE(nearRel(steady.torque_Nm,
                        2 * std::norm(hermetic_V / main_ohm) * gap_ohm /
                            inventedHermetic().synchronousSpeed_rad_s(60),
                        exact_ratio));
}

TEST_F(BalancedLoad, AnotherCapacitorOrTurnsRatioLeavesABackwardField)
{
    for (const double capacitor_ratio : {0.8, 0.95, 1.05, 1.2}) {
        SCOPED_TRACE(capacitor_ratio);
        EXPECT_GT(unbalance_ratio(simulatedSteadyState(circuitWith(capacitor_ratio, turns_ratio)),
                                  turns_ratio),
                  0.01);
    }
    for (const double ratio : {0.95 * turns_ratio, 1.05 * turns_ratio}) {
        SCOPED_TRACE(ratio);
        EXPECT_GT(unbalance_ratio(simulatedSteadyState(circuitWith(1, ratio)), ratio), 0.01);
    }
}

// With steps of 100 us the integrator's own phase error unbalances the motor a little; it falls by
// four with every halving of the step, as the error of the trapezoidal rule does, and nothing else
// is left.
TEST_F(BalancedLoad, TorqueNoLongerSwingsAtTwiceLineFrequency)
{
    const SettledRun coarse = settledTransient(circuitWith(1, turns_ratio), largestStep_s);
    const SettledRun fine = settledTransient(circuitWith(1, turns_ratio), largestStep_s / 2);
    const SettledRun finest = settledTransient(circuitWith(1, turns_ratio), largestStep_s / 4);
    EXPECT_GT(finest.torque_Nm, 0);
    EXPECT_LT(coarse.swing_Nm, 0.01 * finest.torque_Nm);
    EXPECT_LT(fine.swing_Nm, 0.3 * coarse.swing_Nm);
    EXPECT_LT(finest.swing_Nm, 0.3 * fine.swing_Nm);
    for (const double capacitor_ratio : {0.7, 1.3}) {
        const SettledRun off = settledTransient(circuitWith(capacitor_ratio, turns_ratio));
        EXPECT_GT(off.swing_Nm, 0.1 * off.torque_Nm);
    }
}

// Common practice, no source: at a given load one run capacitor draws the least line current, a
// smaller or a larger one more, while the auxiliary winding's current keeps rising with the
// capacitor. Here the theory gives both curves.
TEST(RunCapacitance, LineCurrentHasOneMinimumWhileAuxiliaryCurrentRises)
{
    for (const Installation& installation : {hermetic(), quarterHorsepower()}) {
        SCOPED_TRACE(installation.name);
        MotorCircuit circuit = installation.circuit;
        constexpr double slip_ratio = 0.05;
        circuit.heldSpeed_rad_s = speedAt(circuit, slip_ratio);
        std::vector<double> line_A;
        std::vector<double> auxiliary_A;
        std::vector<double> bookLine_A;
        for (double microfarads = 4; microfarads <= 80; microfarads += 2) {
            SCOPED_TRACE(microfarads);
            circuit.branch->capacitance_F = microfarads * 1e-6;
            const SequenceSolution book = book::symmetricalComponents(
                circuit.machine, circuit.source, *circuit.branch, slip_ratio);
            const book::SteadyState simulated = simulatedSteadyState(circuit);
            EXPECT_TRUE(nearRel(simulated.line_A, book.line_A, exact_ratio));
            line_A.push_back(std::abs(simulated.line_A));
            auxiliary_A.push_back(std::abs(simulated.auxiliary_A));
            bookLine_A.push_back(std::abs(book.line_A));
        }
        EXPECT_TRUE(std::is_sorted(auxiliary_A.begin(), auxiliary_A.end()));
        EXPECT_GT(auxiliary_A.back(), 2 * auxiliary_A.front());
        const auto least = std::min_element(line_A.begin(), line_A.end());
        EXPECT_NE(least, line_A.begin());
        EXPECT_NE(least, line_A.end() - 1);
        EXPECT_TRUE(std::is_sorted(line_A.begin(), least + 1, std::greater<>()));
        EXPECT_TRUE(std::is_sorted(least, line_A.end()));
        EXPECT_EQ(least - line_A.begin(),
                  std::min_element(bookLine_A.begin(), bookLine_A.end()) - bookLine_A.begin());
    }
}

}  // namespace
}  // namespace splitstart
