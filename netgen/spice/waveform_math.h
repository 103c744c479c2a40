// Features of sampled waveforms with unequal steps. Between samples a waveform is a straight line.
#pragma once

#include <optional>
#include <span>
#include <vector>

namespace splitstart
{

// A waveform: equally long times (rising) and values.
struct Signal {
    std::span<const double> time_s;
    std::span<const double> value;
};

// Integral of value^power over [from_s, to_s], power 1 or 2, by the trapezoidal rule, with
// interpolated ends. Requires from_s < to_s within the samples.
double integral(const Signal& signal, double from_s, double to_s, int power = 1);

double mean(const Signal& signal, double from_s, double to_s);
double rms(const Signal& signal, double from_s, double to_s);

// Largest rms over any window of that length inside [from_s, to_s]; 0 if the window does not fit.
double largestWindowRms(const Signal& signal, double from_s, double to_s, double window_s);
// Smallest likewise; infinity if the window does not fit.
double smallestWindowRms(const Signal& signal, double from_s, double to_s, double window_s);

// The rms over the window that ends at each sample; over what there is of it at the beginning, and
// 0 at the first sample.
std::vector<double> windowRms(const Signal& signal, double window_s);

double largestMagnitude(const Signal& signal, double from_s, double to_s);

// First time at or after from_s at which the signal crosses level in that direction.
std::optional<double> crossing(const Signal& signal, double level, bool rising, double from_s = 0);

// How often it crosses level in that direction.
int crossingCount(const Signal& signal, double level, bool rising);

// Value at a time, interpolated; the end values outside.
double valueAt(const Signal& signal, double time_s);

}  // namespace splitstart
