// Integrals of waveforms at the unequal steps of a simulation, straight lines between the points.
#pragma once

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <vector>

namespace splitstart
{

inline double integral(const std::vector<double>& time_s, const std::vector<double>& values)
{
    double sum = 0;
    for (std::size_t i = 1; i < time_s.size(); ++i) {
        sum += 0.5 * (values[i] + values[i - 1]) * (time_s[i] - time_s[i - 1]);
    }
    return sum;
}

class MeanOverLastPeriod
{
public:
    MeanOverLastPeriod(const std::vector<double>& time_s, double period_s)
        : time_s_(time_s), begin_s_(time_s.back() - period_s), period_s_(period_s)
    {
    }

    [[nodiscard]] double of(const std::vector<double>& values) const
    {
        const auto first = static_cast<std::size_t>(
            std::upper_bound(time_s_.begin(), time_s_.end(), begin_s_) - time_s_.begin());
        const double share =
            (begin_s_ - time_s_[first - 1]) / (time_s_[first] - time_s_[first - 1]);
        std::vector<double> time{begin_s_};
        std::vector<double> part{std::lerp(values[first - 1], values[first], share)};
        time.insert(time.end(), time_s_.begin() + static_cast<std::ptrdiff_t>(first),
                    time_s_.end());
        part.insert(part.end(), values.begin() + static_cast<std::ptrdiff_t>(first), values.end());
        return integral(time, part) / period_s_;
    }

    [[nodiscard]] double rootSquare(std::vector<double> values) const
    {
        for (double& value : values) {
            value *= value;
        }
        return std::sqrt(of(values));
    }

private:
    const std::vector<double>& time_s_;
    double begin_s_;
    double period_s_;
};

}  // namespace splitstart
