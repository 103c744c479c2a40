// A whole start in embedded ngspice, at the largest step that the project uses, against the
// independent integrator. Machine and circuit: Krause, Wasynczuk, Sudhoff, "Analysis of Electric
// Machinery and Drive Systems", 2nd edition, chapter on unsymmetrical two-phase machines, example
// of the capacitor-start motor (parameters from memory).
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "physics/deck.h"
#include "physics/near.h"
#include "physics/quarter_horsepower.h"

namespace splitstart
{
namespace
{

constexpr double tolerance_ratio = 0.005;

struct SimulatedStart {
    Waveforms waveforms;

    [[nodiscard]] const std::vector<double>& of(std::size_t vector) const
    {
        return waveforms.real.at(vector);
    }
    [[nodiscard]] double peak(std::size_t vector) const
    {
        double peak = 0;
        for (const double value : of(vector)) {
            peak = std::max(peak, std::abs(value));
        }
        return peak;
    }
    // Between the points, straight lines.
    [[nodiscard]] double at(std::size_t vector, double time_s) const
    {
        const std::vector<double>& t = waveforms.time_s;
        const auto next = std::lower_bound(t.begin() + 1, t.end() - 1, time_s) - t.begin();
        const auto i = static_cast<std::size_t>(next);
        const double share = (time_s - t[i - 1]) / (t[i] - t[i - 1]);
        return of(vector)[i - 1] + share * (of(vector)[i] - of(vector)[i - 1]);
    }
    // First time at which the speed is reached.
    [[nodiscard]] double timeOfSpeed_s(double speed_rad_s) const
    {
        const std::vector<double>& w = of(speed);
        for (std::size_t i = 1; i < w.size(); ++i) {
            if (w[i] >= speed_rad_s) {
                const double share = (speed_rad_s - w[i - 1]) / (w[i] - w[i - 1]);
                return std::lerp(waveforms.time_s[i - 1], waveforms.time_s[i], share);
            }
        }
        return std::nan("");
    }
    // Last time at which the auxiliary winding carries more than a leakage current.
    [[nodiscard]] double timeOfOpening_s() const
    {
        constexpr double leakage_A = 1e-3;
        const std::vector<double>& i = of(auxiliary);
        for (std::size_t k = i.size(); k-- > 0;) {
            if (std::abs(i[k]) > leakage_A) {
                return waveforms.time_s[k];
            }
        }
        return std::nan("");
    }

    enum : std::size_t { speed, main, auxiliary, plate, switched, line };
};

SimulatedStart simulateStart(const MotorCircuit& circuit, double end_s)
{
    return {runTransient(
        deckOf(circuit, transientCard(end_s)),
        {"speed", probe::main_A, probe::auxiliary_A, "xcapacitor.plate", "switched", "line"},
        end_s)};
}

double peakDifference(const SimulatedStart& start, std::size_t a, std::size_t b)
{
    double peak = 0;
    for (std::size_t i = 0; i < start.of(a).size(); ++i) {
        peak = std::max(peak, std::abs(start.of(a)[i] - start.of(b)[i]));
    }
    return peak;
}

MotorCircuit circuitOf(const book::Machine& machine, const book::StartConditions& conditions)
{
    MotorCircuit circuit;
    circuit.machine = machine;
    circuit.source = conditions.source;
    circuit.branch = conditions.branch;
    circuit.startSwitch_rad_s = conditions.startSwitch.speed_rad_s;
    return circuit;
}

void expectSameStart(const SimulatedStart& simulated, const book::Start& book,
                     double switchSpeed_rad_s)
{
    using book::Sample;
    EXPECT_TRUE(nearRel(simulated.timeOfSpeed_s(switchSpeed_rad_s), book.speedReached_s.value(),
                        tolerance_ratio));
    EXPECT_TRUE(nearRel(simulated.timeOfOpening_s(), book.opened_s.value(), tolerance_ratio));
    EXPECT_TRUE(nearRel(peakDifference(simulated, SimulatedStart::plate, SimulatedStart::switched),
                        book.peak(&Sample::capacitor_V), tolerance_ratio));
    EXPECT_TRUE(nearRel(peakDifference(simulated, SimulatedStart::line, SimulatedStart::switched),
                        book.peak(&Sample::branch_V), tolerance_ratio));
    EXPECT_TRUE(
        nearRel(simulated.peak(SimulatedStart::main), book.peak(&Sample::main_A), tolerance_ratio));
    EXPECT_TRUE(nearRel(simulated.peak(SimulatedStart::auxiliary), book.peak(&Sample::auxiliary_A),
                        tolerance_ratio));
    EXPECT_TRUE(nearRel(simulated.of(SimulatedStart::speed).back(), book.last().speed_rad_s,
                        tolerance_ratio));
}

TEST(QuarterHorsepowerStart, AgreesWithTheIntegratorWithinHalfAPercent)
{
    const book::Machine machine = book::quarterHorsepower();
    const book::StartConditions conditions = book::quarterHorsepowerStart();
    const book::Start book = book::integrateStart(machine, conditions);
    const SimulatedStart simulated =
        simulateStart(circuitOf(machine, conditions), conditions.end_s);
    expectSameStart(simulated, book, conditions.startSwitch.speed_rad_s);
}

// Point by point, while both are still at nearly the same shaft angle.
TEST(QuarterHorsepowerStart, FirstTenCyclesFollowTheIntegratorsWaveforms)
{
    const book::Machine machine = book::quarterHorsepower();
    book::StartConditions conditions = book::quarterHorsepowerStart();
    conditions.end_s = 10 / conditions.source.frequency_Hz;
    const book::Start book = book::integrateStart(machine, conditions);
    const SimulatedStart simulated =
        simulateStart(circuitOf(machine, conditions), conditions.end_s);
    const double main_A = book.peak(&book::Sample::main_A);
    const double auxiliary_A = book.peak(&book::Sample::auxiliary_A);
    for (std::size_t i = 0; i < book.samples.size(); i += 37) {
        const book::Sample& sample = book.samples[i];
        ASSERT_TRUE(nearOfScale(simulated.at(SimulatedStart::main, sample.time_s), sample.main_A,
                                main_A, tolerance_ratio))
            << "at " << sample.time_s << " s";
        ASSERT_TRUE(nearOfScale(simulated.at(SimulatedStart::auxiliary, sample.time_s),
                                sample.auxiliary_A, auxiliary_A, tolerance_ratio))
            << "at " << sample.time_s << " s";
    }
}

// No published figures for this one: the integrator alone. Every phase of the voltage at switch-on
// makes the contact open at another point of the cycle.
class LoadedStart : public testing::TestWithParam<int>
{
};

TEST_P(LoadedStart, WithCoreLossFrictionAndSourceImpedanceAgreesWithTheIntegrator)
{
    book::Machine machine = book::quarterHorsepower();
    machine.coreLoss_ohm = 500;
    machine.friction_Nms = 3e-4;
    book::StartConditions conditions = book::quarterHorsepowerStart();
    conditions.source.resistance_ohm = 0.5;
    conditions.source.inductance_H = 5e-4;
    conditions.source.phase_rad = GetParam() * std::numbers::pi / 180;
    conditions.load = [](double speed_rad_s, double) { return 0.5 * std::tanh(speed_rad_s); };
    MotorCircuit circuit = circuitOf(machine, conditions);
    circuit.loadCards = "bload load 0 v = 0.5*tanh(v(speed))\n";

    const book::Start book = book::integrateStart(machine, conditions);
    expectSameStart(simulateStart(circuit, conditions.end_s), book,
                    conditions.startSwitch.speed_rad_s);
}

INSTANTIATE_TEST_SUITE_P(SwitchedOnAtDegrees, LoadedStart, testing::Range(0, 180, 10),
                         testing::PrintToStringParamName());

// Any text on single-phase motors: two equal and opposite fields at standstill.
TEST(QuarterHorsepowerStart, MainWindingAloneDoesNotStart)
{
    MotorCircuit circuit;
    circuit.machine = book::quarterHorsepower();
    const Waveforms waveforms = runTransient(deckOf(circuit, transientCard(0.5)), {"speed"}, 0.5);
    for (const double speed_rad_s : waveforms.real.at(0)) {
        ASSERT_TRUE(nearOfScale(speed_rad_s, 0, circuit.machine.synchronousSpeed_rad_s(60), 1e-4));
    }
}

}  // namespace
}  // namespace splitstart
