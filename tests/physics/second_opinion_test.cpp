// The second opinion judged on its own, before it judges anything else.
#include "physics/second_opinion.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>
#include <stdexcept>

#include "physics/near.h"
#include "physics/quarter_horsepower.h"

namespace splitstart::book
{
namespace
{

// Figures of a separate Runge-Kutta program (relative tolerance 1e-7) for this machine, voltage a
// sine from zero, no load; not published. The parameters, the capacitor branch and the switching
// speed are those of Krause, Wasynczuk, Sudhoff, "Analysis of Electric Machinery and Drive
// Systems", example on the capacitor-start motor (from memory).
TEST(SecondOpinion, AgreesWithASeparateRungeKuttaProgramToItsDigits)
{
    const Start start = integrateStart(quarterHorsepower(), quarterHorsepowerStart());
    EXPECT_TRUE(agreesWithPrint(start.speedReached_s.value(), 0.4643, 1e-4));
    EXPECT_TRUE(nearRel(start.peak(&Sample::capacitor_V), 129.85, 1e-4));
    EXPECT_TRUE(agreesWithPrint(start.peak(&Sample::main_A), 21.73, 1e-2));
    EXPECT_TRUE(agreesWithPrint(start.peak(&Sample::auxiliary_A), 8.82, 1e-2));
}

TEST(SecondOpinion, DoesNotDependOnTheIntegratorsTolerance)
{
    StartConditions conditions = quarterHorsepowerStart();
    const Start fine = integrateStart(quarterHorsepower(), conditions);
    conditions.tolerance_ratio = 1e-7;
    const Start coarse = integrateStart(quarterHorsepower(), conditions);
    EXPECT_TRUE(nearRel(coarse.opened_s.value(), fine.opened_s.value(), 1e-6));
    EXPECT_TRUE(nearRel(coarse.last().speed_rad_s, fine.last().speed_rad_s, 1e-5));
    EXPECT_TRUE(nearRel(coarse.peak(&Sample::main_A), fine.peak(&Sample::main_A), 1e-5));
}

TEST(SecondOpinion, OpensAtTheSpeedOrAtTheNextZeroOfTheAuxiliaryCurrent)
{
    StartConditions conditions = quarterHorsepowerStart();
    const Start atZero = integrateStart(quarterHorsepower(), conditions);
    conditions.startSwitch.opening = Opening::atOnce;
    const Start atOnce = integrateStart(quarterHorsepower(), conditions);
    const double halfCycle_s = 0.5 / conditions.source.frequency_Hz;

    EXPECT_TRUE(nearRel(atOnce.speedReached_s.value(), atZero.speedReached_s.value(), 1e-7));
    EXPECT_EQ(atOnce.opened_s.value(), atOnce.speedReached_s.value());
    EXPECT_GT(atZero.opened_s.value(), atZero.speedReached_s.value());
    EXPECT_LE(atZero.opened_s.value(), atZero.speedReached_s.value() + halfCycle_s);
    const auto next = std::find_if(
        atZero.samples.begin(), atZero.samples.end(),
        [&](const Sample& sample) { return sample.time_s >= atZero.opened_s.value(); });
    ASSERT_NE(next, atZero.samples.end());
    // The last sample before has nearly no current left, all after it have none.
    EXPECT_TRUE(
        nearOfScale(std::prev(next)->auxiliary_A, 0, atZero.peak(&Sample::auxiliary_A), 0.01));
    EXPECT_TRUE(std::all_of(next, atZero.samples.end(),
                            [](const Sample& sample) { return sample.auxiliary_A == 0; }));
}

TEST(SecondOpinion, StartSwitchThatNeverOpensLeavesTheAuxiliaryCurrentOn)
{
    StartConditions conditions = quarterHorsepowerStart();
    conditions.startSwitch.opening = Opening::never;
    const Start start = integrateStart(quarterHorsepower(), conditions);
    EXPECT_FALSE(start.opened_s.has_value());
    EXPECT_GT(start.peak(&Sample::capacitor_V),
              1.2 * integrateStart(quarterHorsepower(), quarterHorsepowerStart())
                        .peak(&Sample::capacitor_V));
}

TEST(SecondOpinion, KeepsItsOwnEnergyWithAndWithoutCoreLossAndSourceImpedance)
{
    const auto misfit_ratio = [](const Machine& machine, const StartConditions& conditions) {
        const Energies e = integrateStart(machine, conditions).energies;
        return (e.supplied_J - e.lost_J - e.shaft_J - e.stored_J) / e.supplied_J;
    };
    Machine machine = quarterHorsepower();
    StartConditions conditions = quarterHorsepowerStart();
    EXPECT_TRUE(nearOfScale(misfit_ratio(machine, conditions), 0, 1, 1e-6));

    conditions.source.resistance_ohm = 0.5;
    conditions.source.inductance_H = 5e-4;
    conditions.load = [](double, double) { return 0.5; };
    EXPECT_TRUE(nearOfScale(misfit_ratio(machine, conditions), 0, 1, 1e-6));
    machine.coreLoss_ohm = 500;
    machine.friction_Nms = 3e-4;
    EXPECT_TRUE(nearOfScale(misfit_ratio(machine, conditions), 0, 1, 1e-6));
}

TEST(SecondOpinion, KeepsItsOwnEnergyWithTwoCagesAndASaturatingCore)
{
    Machine machine = quarterHorsepowerWithDeepBars();
    machine.coreLoss_ohm = 500;
    machine.saturation = soonSaturated;
    StartConditions conditions = quarterHorsepowerStart();
    conditions.load = [](double, double) { return 0.5; };
    const Energies e = integrateStart(machine, conditions).energies;
    EXPECT_TRUE(nearRel(e.lost_J + e.shaft_J + e.stored_J, e.supplied_J, 1e-6));
}

TEST(SecondOpinion, RefusesWhatItCannotIntegrate)
{
    Machine machine = quarterHorsepower();
    machine.saturation = soonSaturated;
    EXPECT_THROW(integrateStart(machine, quarterHorsepowerStart()), std::invalid_argument);
    machine = quarterHorsepowerWithDeepBars();
    machine.rotorAuxiliaryResistance_ohm *= 1.001;
    EXPECT_THROW(integrateStart(machine, quarterHorsepowerStart()), std::invalid_argument);
    EXPECT_THROW(steadyState(machine, Source{}, std::nullopt, 0), std::invalid_argument);
}

// A shaft too heavy to move, so that the integrator settles into the steady state at that speed.
TEST(SecondOpinion, IntegratorSettlesIntoThePhasorSolution)
{
    Machine machine = quarterHorsepower();
    machine.coreLoss_ohm = 500;
    machine.inertia_kgm2 = 1e9;
    StartConditions conditions = quarterHorsepowerStart();
    conditions.startSwitch.opening = Opening::never;
    conditions.source.resistance_ohm = 0.5;
    conditions.source.inductance_H = 1e-3;
    conditions.initialSpeed_rad_s = 120;
    conditions.tolerance_ratio = 1e-10;
    const Start start = integrateStart(machine, conditions);
    const SteadyState steady = steadyState(machine, conditions.source, conditions.branch, 120);

    const double period_s = 1 / conditions.source.frequency_Hz;
    const auto lastPeriod = std::find_if(
        start.samples.begin(), start.samples.end(),
        [&](const Sample& sample) { return sample.time_s > conditions.end_s - period_s; });
    const auto count = static_cast<double>(std::distance(lastPeriod, start.samples.end()));
    double main_A2 = 0;
    double auxiliary_A2 = 0;
    double branch_V2 = 0;
    double torque_Nm = 0;
    for (auto sample = lastPeriod; sample != start.samples.end(); ++sample) {
        main_A2 += sample->main_A * sample->main_A / count;
        auxiliary_A2 += sample->auxiliary_A * sample->auxiliary_A / count;
        branch_V2 += sample->branch_V * sample->branch_V / count;
        torque_Nm += sample->torque_Nm / count;
    }
    EXPECT_TRUE(nearRel(std::sqrt(main_A2), std::abs(steady.main_A), 1e-3));
    EXPECT_TRUE(nearRel(std::sqrt(auxiliary_A2), std::abs(steady.auxiliary_A), 1e-3));
    EXPECT_TRUE(nearRel(std::sqrt(branch_V2), std::abs(steady.branch_V), 1e-3));
    EXPECT_TRUE(nearRel(torque_Nm, steady.torque_Nm, 1e-3));
}

// Two textbooks, two methods: cross field (Krause) with the auxiliary winding open, and double
// revolving fields (Fitzgerald, Kingsley, Umans), for a rotor that is the same in both axes.
TEST(SecondOpinion, CrossFieldAndRevolvingFieldsAreOneMachine)
{
    const Machine machine = quarterHorsepowerWithRoundRotor();
    const Source source;
    const double synchronous_rad_s = machine.synchronousSpeed_rad_s(source.frequency_Hz);
    for (const double slip : {0.02, 0.05, 0.3, 0.7, 1.0, 1.5}) {
        const RevolvingFields fields =
            revolvingFields(machine, source.rms_V, source.frequency_Hz, slip, 0);
        const SteadyState steady =
            steadyState(machine, source, std::nullopt, (1 - slip) * synchronous_rad_s);
        EXPECT_TRUE(nearRel(steady.main_A, fields.input_A, 1e-9)) << "slip " << slip;
        EXPECT_TRUE(nearOfScale(steady.torque_Nm, fields.airGapTorque_Nm, 1, 1e-9))
            << "slip " << slip;
    }
}

// Veinott's two windings in double revolving fields and Krause's cross field: one machine, too.
TEST(SecondOpinion, CrossFieldAndRevolvingFieldsOfTwoWindingsAreOneMachine)
{
    Machine machine = quarterHorsepowerWithRoundRotor();
    machine.coreLoss_ohm = 400;
    const Source source{
        .rms_V = 115, .frequency_Hz = 60, .resistance_ohm = 0.4, .inductance_H = 5e-4};
    for (const std::optional<CapacitorBranch>& branch :
         {std::optional(CapacitorBranch{.capacitance_F = 100e-6, .resistance_ohm = 2}),
          std::optional<CapacitorBranch>()}) {
        for (const double speed_rad_s : {-100.0, 0.0, 60.0, 150.0, 185.0, 195.0}) {
            SCOPED_TRACE(speed_rad_s);
            const SteadyState crossField = steadyState(machine, source, branch, speed_rad_s);
            const SteadyState fields = twoRevolvingFields(machine, source, branch, speed_rad_s);
            EXPECT_TRUE(nearRel(fields.line_A, crossField.line_A, 1e-9));
            EXPECT_TRUE(nearRel(fields.terminal_V, crossField.terminal_V, 1e-9));
            EXPECT_TRUE(nearOfScale(std::abs(fields.auxiliary_V - crossField.auxiliary_V), 0,
                                    source.rms_V, 1e-9));
            EXPECT_TRUE(nearOfScale(fields.torque_Nm, crossField.torque_Nm, 1, 1e-9));
        }
    }
}

// The double cage in the time domain, the ladder at the slip frequency of each field.
TEST(SecondOpinion, IntegratedDoubleCageSettlesIntoTheRevolvingFieldsOfTheLadder)
{
    Machine machine = quarterHorsepowerWithDeepBars();
    machine.inertia_kgm2 = 1e9;
    StartConditions conditions = quarterHorsepowerStart();
    conditions.startSwitch.opening = Opening::never;
    conditions.tolerance_ratio = 1e-10;
    conditions.sampling_s = 1.0 / 60 / 800;
    for (const double speed_rad_s : {0.0, 120.0, 175.0}) {
        SCOPED_TRACE(speed_rad_s);
        conditions.initialSpeed_rad_s = speed_rad_s;
        const SteadyState fields =
            twoRevolvingFields(machine, conditions.source, conditions.branch, speed_rad_s);
        const Start start = integrateStart(machine, conditions);
        const double period_s = 1 / conditions.source.frequency_Hz;
        double count = 0;
        double main_A2 = 0;
        double torque_Nm = 0;
        for (const Sample& sample : start.samples) {
            if (sample.time_s > conditions.end_s - period_s + 0.5 * conditions.sampling_s) {
                ++count;
                main_A2 += sample.main_A * sample.main_A;
                torque_Nm += sample.torque_Nm;
            }
        }
        EXPECT_TRUE(nearRel(std::sqrt(main_A2 / count), std::abs(fields.main_A), 1e-3));
        EXPECT_TRUE(nearRel(torque_Nm / count, fields.torque_Nm, 1e-3));
    }
}

// Any text on single-phase motors: two equal and opposite fields at standstill, and a torque that
// is an odd function of the speed.
TEST(SecondOpinion, MainWindingAloneMakesNoTorqueAtStandstillAndTurnsWhereItIsPushed)
{
    const Machine machine = quarterHorsepower();
    const auto torque_Nm = [&](double speed_rad_s) {
        return steadyState(machine, Source{}, std::nullopt, speed_rad_s).torque_Nm;
    };
    EXPECT_TRUE(nearOfScale(torque_Nm(0), 0, 1, 1e-12));
    EXPECT_GT(torque_Nm(50), 0.05);
    EXPECT_TRUE(nearRel(torque_Nm(-50), -torque_Nm(50), 1e-9));
}

TEST(Comparison, FailsWhenItShould)
{
    EXPECT_TRUE(nearRel(1.004, 1, 0.005));
    EXPECT_FALSE(nearRel(1.006, 1, 0.005));
    EXPECT_FALSE(nearRel(std::nan(""), 1, 0.005));
    EXPECT_FALSE(nearRel(1, std::nan(""), 0.005));
    EXPECT_FALSE(nearRel(0, 0, 0.005));  // nothing to be relative to
    EXPECT_FALSE(nearRel(std::complex<double>(1, 0.006), std::complex<double>(1, 0), 0.005));
    EXPECT_FALSE(nearOfScale(0.02, 0, 1, 0.01));
    EXPECT_TRUE(agreesWithPrint(3.594, 3.59, 0.01));
    EXPECT_FALSE(agreesWithPrint(3.596, 3.59, 0.01));
}

}  // namespace
}  // namespace splitstart::book
