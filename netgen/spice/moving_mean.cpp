#include "spice/moving_mean.h"

namespace splitstart
{

void MovingMean::add(double time_s, double value)
{
    double integral = 0;
    if (!points_.empty()) {
        const Point& before = points_.back();
        integral = before.integral + 0.5 * (before.value + value) * (time_s - before.time_s);
    }
    points_.push_back({time_s, value, integral});
    const double begin_s = time_s - window_s_;
    while (points_.size() > 1 && points_[1].time_s <= begin_s) {
        points_.pop_front();
    }
    const Point& first = points_.front();
    if (points_.size() == 1) {
        mean_ = value;
        middle_s_ = time_s;
        return;
    }
    if (first.time_s >= begin_s) {
        mean_ = (integral - first.integral) / (time_s - first.time_s);
        middle_s_ = 0.5 * (first.time_s + time_s);
        return;
    }
    // The window begins between the first two points.
    const Point& second = points_[1];
    const double share = (begin_s - first.time_s) / (second.time_s - first.time_s);
    const double atBegin = first.value + share * (second.value - first.value);
    const double untilBegin =
        first.integral + 0.5 * (first.value + atBegin) * (begin_s - first.time_s);
    mean_ = (integral - untilBegin) / window_s_;
    middle_s_ = time_s - 0.5 * window_s_;
}

}  // namespace splitstart
