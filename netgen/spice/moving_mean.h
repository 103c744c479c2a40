// Mean of a signal over a time that moves with it.
#pragma once

#include <deque>

namespace splitstart
{

// Points come one by one, with rising time; the signal is straight between them.
class MovingMean
{
public:
    // Over the last so many seconds; 0: the last point alone.
    explicit MovingMean(double window_s) : window_s_(window_s) {}

    void add(double time_s, double value);
    // Over the window, or over what there is so far where that is shorter. Requires a point.
    [[nodiscard]] double mean() const { return mean_; }
    // What it is the mean of, in the middle: half of what it is taken over before the last point.
    [[nodiscard]] double middle_s() const { return middle_s_; }

private:
    struct Point {
        double time_s;
        double value;
        double integral;  // of the signal from the first point on
    };
    double window_s_;
    std::deque<Point> points_;  // the first one may lie before the window
    double mean_ = 0;
    double middle_s_ = 0;
};

}  // namespace splitstart
