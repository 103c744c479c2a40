#include "spice/waveform_math.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

namespace splitstart
{

namespace
{

std::size_t firstAtOrAfter(const Signal& signal, double time_s)
{
    return static_cast<std::size_t>(
        std::lower_bound(signal.time_s.begin(), signal.time_s.end(), time_s) -
        signal.time_s.begin());
}

double powerOf(double value, int power)
{
    return power == 2 ? value * value : value;
}

// Integrals of value^2 from the first sample to each sample.
std::vector<double> runningSquares(const Signal& signal)
{
    std::vector<double> sums(signal.time_s.size(), 0.0);
    for (std::size_t i = 1; i < sums.size(); ++i) {
        sums[i] = sums[i - 1] + 0.5 * (signal.time_s[i] - signal.time_s[i - 1]) *
                                    (powerOf(signal.value[i], 2) + powerOf(signal.value[i - 1], 2));
    }
    return sums;
}

// Calls use(rms) for every window inside [from_s, to_s] that ends at a sample or at to_s.
template <typename Use>
void eachWindow(const Signal& signal, double from_s, double to_s, double window_s, Use use)
{
    const std::vector<double> sums = runningSquares(signal);
    const Signal summed{signal.time_s, sums};
    const auto windowTo = [&](double end_s) {
        const double square =
            (valueAt(summed, end_s) - valueAt(summed, end_s - window_s)) / window_s;
        use(std::sqrt(std::max(square, 0.0)));
    };
    for (std::size_t i = firstAtOrAfter(signal, from_s + window_s);
         i < signal.time_s.size() && signal.time_s[i] < to_s; ++i) {
        windowTo(signal.time_s[i]);
    }
    if (from_s + window_s <= to_s) {
        windowTo(to_s);
    }
}

}  // namespace

double valueAt(const Signal& signal, double time_s)
{
    const std::size_t after = firstAtOrAfter(signal, time_s);
    if (after == 0) {
        return signal.value.front();
    }
    if (after == signal.time_s.size()) {
        return signal.value.back();
    }
    const double before_s = signal.time_s[after - 1];
    const double share = (time_s - before_s) / (signal.time_s[after] - before_s);
    return std::lerp(signal.value[after - 1], signal.value[after], share);
}

double integral(const Signal& signal, double from_s, double to_s, int power)
{
    double sum = 0;
    double previous_s = from_s;
    double previous = powerOf(valueAt(signal, from_s), power);
    for (std::size_t i = firstAtOrAfter(signal, from_s);
         i < signal.time_s.size() && signal.time_s[i] < to_s; ++i) {
        const double value = powerOf(signal.value[i], power);
        sum += 0.5 * (signal.time_s[i] - previous_s) * (value + previous);
        previous_s = signal.time_s[i];
        previous = value;
    }
    return sum + 0.5 * (to_s - previous_s) * (powerOf(valueAt(signal, to_s), power) + previous);
}

double mean(const Signal& signal, double from_s, double to_s)
{
    return integral(signal, from_s, to_s) / (to_s - from_s);
}

double rms(const Signal& signal, double from_s, double to_s)
{
    return std::sqrt(integral(signal, from_s, to_s, 2) / (to_s - from_s));
}

double largestWindowRms(const Signal& signal, double from_s, double to_s, double window_s)
{
    double largest = 0;
    eachWindow(signal, from_s, to_s, window_s,
               [&largest](double value) { largest = std::max(largest, value); });
    return largest;
}

double smallestWindowRms(const Signal& signal, double from_s, double to_s, double window_s)
{
    double smallest = std::numeric_limits<double>::infinity();
    eachWindow(signal, from_s, to_s, window_s,
               [&smallest](double value) { smallest = std::min(smallest, value); });
    return smallest;
}

std::vector<double> windowRms(const Signal& signal, double window_s)
{
    const std::vector<double> sums = runningSquares(signal);
    const Signal summed{signal.time_s, sums};
    std::vector<double> values(sums.size(), 0.0);
    for (std::size_t i = 1; i < values.size(); ++i) {
        const double to_s = signal.time_s[i];
        const double from_s = std::max(to_s - window_s, signal.time_s.front());
        values[i] = std::sqrt(std::max(sums[i] - valueAt(summed, from_s), 0.0) / (to_s - from_s));
    }
    return values;
}

double largestMagnitude(const Signal& signal, double from_s, double to_s)
{
    double largest = 0;
    for (std::size_t i = firstAtOrAfter(signal, from_s);
         i < signal.time_s.size() && signal.time_s[i] <= to_s; ++i) {
        largest = std::max(largest, std::abs(signal.value[i]));
    }
    return largest;
}

namespace
{

// True if the signal crosses level in that direction between sample i - 1 and sample i.
bool crossesBefore(const Signal& signal, std::size_t i, double level, bool rising)
{
    const double before = signal.value[i - 1] - level;
    const double after = signal.value[i] - level;
    return rising ? (before < 0 && after >= 0) : (before > 0 && after <= 0);
}

}  // namespace

std::optional<double> crossing(const Signal& signal, double level, bool rising, double from_s)
{
    for (std::size_t i = std::max<std::size_t>(firstAtOrAfter(signal, from_s), 1);
         i < signal.time_s.size(); ++i) {
        if (crossesBefore(signal, i, level, rising)) {
            const double before = signal.value[i - 1] - level;
            const double share = before / (signal.value[i - 1] - signal.value[i]);
            const double time_s = std::lerp(signal.time_s[i - 1], signal.time_s[i], share);
            if (time_s >= from_s) {
                return time_s;
            }
        }
    }
    return std::nullopt;
}

int crossingCount(const Signal& signal, double level, bool rising)
{
    int count = 0;
    for (std::size_t i = 1; i < signal.time_s.size(); ++i) {
        count += crossesBefore(signal, i, level, rising) ? 1 : 0;
    }
    return count;
}

}  // namespace splitstart
