// A bar on standard error for work that takes more than two seconds.
#pragma once

#include <chrono>
#include <cstddef>
#include <optional>
#include <string>
#include <utility>

namespace splitstart
{

// "40 s", "12 min", "3 h 20 min"
std::string durationText(double duration_s);

class ProgressBar
{
public:
    explicit ProgressBar(std::string label);
    ~ProgressBar() { clear(); }
    ProgressBar(const ProgressBar&) = delete;
    ProgressBar& operator=(const ProgressBar&) = delete;

    // Draws if standard error is a terminal and two seconds have passed; at most ten times a
    // second. Tells how long the rest will take if it goes on as since the first thing done.
    void show(std::size_t done, std::size_t all);
    // Takes the bar off the screen.
    void clear();

private:
    using Clock = std::chrono::steady_clock;
    std::string label_;
    Clock::time_point started_ = Clock::now();
    Clock::time_point shown_{};
    std::optional<std::size_t> begun_;
    std::optional<std::pair<Clock::time_point, std::size_t>> firstDone_;
    bool isTerminal_;
    bool visible_ = false;
};

}  // namespace splitstart
