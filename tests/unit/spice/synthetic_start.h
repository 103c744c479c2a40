// Waveforms made up by a test, with features that it knows, in the order that a model's
// measurements ask for.
#pragma once

#include <algorithm>
#include <cmath>
#include <functional>
#include <numbers>
#include <random>
#include <stdexcept>
#include <string>
#include <vector>

#include "spice/measurement.h"
#include "spice/start_trace.h"
#include "unit/circuit/model_fixture.h"

namespace splitstart
{

using TimeFunction = std::function<double(double)>;

constexpr double lineOmega_rad_s = 2 * std::numbers::pi * 60;
constexpr double lineCycle_s = 1.0 / 60;

// A sine of that rms value, lagging the line's own by an angle.
inline TimeFunction sineOf(double rms, double lag_rad = 0)
{
    return [rms, lag_rad](double t) {
        return rms * std::numbers::sqrt2 * std::sin(lineOmega_rad_s * t - lag_rad);
    };
}

// One function until a time, another from then on.
inline TimeFunction then(TimeFunction before, double time_s, TimeFunction after)
{
    return [before = std::move(before), after = std::move(after), time_s](double t) {
        return t < time_s ? before(t) : after(t);
    };
}

inline TimeFunction always(double value)
{
    return [value](double) { return value; };
}

// 1 at the beginning or 0, and the other at each of those times.
inline TimeFunction toggling(bool beginsMade, std::vector<double> times_s)
{
    return [beginsMade, times = std::move(times_s)](double t) {
        const auto passed =
            std::count_if(times.begin(), times.end(), [t](double time_s) { return t >= time_s; });
        return (passed % 2 == 0) == beginsMade ? 1.0 : 0.0;
    };
}

class SyntheticStart
{
public:
    // All vectors are zero until set. Steps are uneven, 20 us at most; as in ngspice with uic,
    // the first point is not at time zero.
    SyntheticStart(const SimulationModel& model, double end_s)
        : model_(model), vectors_(startVectors(model))
    {
        std::mt19937 random(50);
        std::uniform_real_distribution<double> step_s(2e-6, 20e-6);
        for (double t = 1e-7; t < end_s; t += step_s(random)) {
            waveforms_.time_s.push_back(t);
        }
        waveforms_.time_s.push_back(end_s);
        waveforms_.real.assign(vectors_.size(), std::vector<double>(waveforms_.time_s.size(), 0.0));
    }

    // Throws std::out_of_range if the measurements do not ask for that vector.
    SyntheticStart& set(const std::string& vector, const TimeFunction& value)
    {
        const auto found = std::find(vectors_.begin(), vectors_.end(), vector);
        if (found == vectors_.end()) {
            throw std::out_of_range("not asked for: " + vector);
        }
        std::vector<double>& column =
            waveforms_.real[static_cast<std::size_t>(found - vectors_.begin())];
        std::transform(waveforms_.time_s.begin(), waveforms_.time_s.end(), column.begin(), value);
        return *this;
    }

    // The node of a terminal, in volts against L2.
    SyntheticStart& setNode(const char* part, const char* terminal, const TimeFunction& value)
    {
        return set(model_.node(part, terminal), value);
    }

    [[nodiscard]] StartMeasurement measured() const { return measureStart(model_, waveforms_); }
    [[nodiscard]] StartTrace trace() const { return startTrace(model_, waveforms_); }

private:
    SimulationModel model_;
    std::vector<std::string> vectors_;
    Waveforms waveforms_;
};

inline SyntheticStart coldStoreStart(double end_s = 1)
{
    return {modelOf(coldStoreCase(), coldStoreMotor(), {}), end_s};
}

inline SyntheticStart bottleCoolerStart(double end_s = 1)
{
    return {modelOf(bottleCoolerCase(), bottleCoolerMotor(), {}), end_s};
}

}  // namespace splitstart
