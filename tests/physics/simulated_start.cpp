#include "physics/simulated_start.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "physics/near.h"

namespace splitstart
{

namespace
{

double peakDifference(const SimulatedStart& start, std::size_t a, std::size_t b)
{
    double peak = 0;
    for (std::size_t i = 0; i < start.of(a).size(); ++i) {
        peak = std::max(peak, std::abs(start.of(a)[i] - start.of(b)[i]));
    }
    return peak;
}

}  // namespace

double SimulatedStart::peak(std::size_t vector) const
{
    double peak = 0;
    for (const double value : of(vector)) {
        peak = std::max(peak, std::abs(value));
    }
    return peak;
}

double SimulatedStart::at(std::size_t vector, double time_s) const
{
    const std::vector<double>& t = waveforms.time_s;
    const auto next = std::lower_bound(t.begin() + 1, t.end() - 1, time_s) - t.begin();
    const auto i = static_cast<std::size_t>(next);
    const double share = (time_s - t[i - 1]) / (t[i] - t[i - 1]);
    return of(vector)[i - 1] + share * (of(vector)[i] - of(vector)[i - 1]);
}

double SimulatedStart::timeOfSpeed_s(double speed_rad_s) const
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

double SimulatedStart::timeOfOpening_s() const
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

MotorCircuit circuitOf(const book::Machine& machine, const book::StartConditions& conditions)
{
    MotorCircuit circuit;
    circuit.machine = machine;
    circuit.source = conditions.source;
    circuit.branch = conditions.branch;
    if (conditions.startSwitch.opening != book::Opening::never) {
        circuit.startSwitch_rad_s = conditions.startSwitch.speed_rad_s;
    }
    return circuit;
}

SimulatedStart simulateStart(const MotorCircuit& circuit, double end_s, double step_s)
{
    return {runTransient(deckOf(circuit, transientCard(end_s, step_s)),
                         {"speed", probe::main_A, probe::auxiliary_A, "xcapacitor.plate",
                          circuit.startSwitch_rad_s ? "switched" : "aux", "line"},
                         end_s)};
}

void expectSameStart(const SimulatedStart& simulated, const book::Start& book,
                     double switchSpeed_rad_s)
{
    using book::Sample;
    EXPECT_TRUE(nearRel(simulated.timeOfSpeed_s(switchSpeed_rad_s), book.speedReached_s.value(),
                        startTolerance_ratio));
    if (book.opened_s) {
        EXPECT_TRUE(nearRel(simulated.timeOfOpening_s(), *book.opened_s, startTolerance_ratio));
    }
    EXPECT_TRUE(nearRel(peakDifference(simulated, SimulatedStart::plate, SimulatedStart::switched),
                        book.peak(&Sample::capacitor_V), startTolerance_ratio));
    EXPECT_TRUE(nearRel(peakDifference(simulated, SimulatedStart::line, SimulatedStart::switched),
                        book.peak(&Sample::branch_V), startTolerance_ratio));
    EXPECT_TRUE(nearRel(simulated.peak(SimulatedStart::main), book.peak(&Sample::main_A),
                        startTolerance_ratio));
    EXPECT_TRUE(nearRel(simulated.peak(SimulatedStart::auxiliary), book.peak(&Sample::auxiliary_A),
                        startTolerance_ratio));
    EXPECT_TRUE(nearRel(simulated.of(SimulatedStart::speed).back(), book.last().speed_rad_s,
                        startTolerance_ratio));
}

}  // namespace splitstart
