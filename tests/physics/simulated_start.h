// A whole start in embedded ngspice and the same start of the independent integrator, side by side.
#pragma once

#include <cstddef>
#include <vector>

#include "physics/deck.h"
#include "physics/second_opinion.h"

namespace splitstart
{

constexpr double startTolerance_ratio = 0.005;

struct SimulatedStart {
    Waveforms waveforms;

    [[nodiscard]] const std::vector<double>& of(std::size_t vector) const
    {
        return waveforms.real.at(vector);
    }
    [[nodiscard]] double peak(std::size_t vector) const;
    // Between the points, straight lines.
    [[nodiscard]] double at(std::size_t vector, double time_s) const;
    // First time at which the speed is reached.
    [[nodiscard]] double timeOfSpeed_s(double speed_rad_s) const;
    // Last time at which the auxiliary winding carries more than a leakage current.
    [[nodiscard]] double timeOfOpening_s() const;

    // `switched` is the capacitor's other end: before the start switch, if there is one.
    enum : std::size_t { speed, main, auxiliary, plate, switched, line };
};

MotorCircuit circuitOf(const book::Machine& machine, const book::StartConditions& conditions);

SimulatedStart simulateStart(const MotorCircuit& circuit, double end_s,
                             double step_s = largestStep_s);

// Switching times (only that of the speed if the switch never opens), peaks and the last speed
// within startTolerance_ratio.
void expectSameStart(const SimulatedStart& simulated, const book::Start& book,
                     double switchSpeed_rad_s);

}  // namespace splitstart
