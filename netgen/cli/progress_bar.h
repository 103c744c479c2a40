// A bar on standard error for work that takes more than two seconds.
#pragma once

#include <chrono>
#include <string>

namespace splitstart
{

class ProgressBar
{
public:
    explicit ProgressBar(std::string label);
    ~ProgressBar() { clear(); }
    ProgressBar(const ProgressBar&) = delete;
    ProgressBar& operator=(const ProgressBar&) = delete;

    // Draws if standard error is a terminal and two seconds have passed; at most ten times a
    // second.
    void show(std::size_t done, std::size_t all);
    // Takes the bar off the screen.
    void clear();

private:
    using Clock = std::chrono::steady_clock;
    std::string label_;
    Clock::time_point started_ = Clock::now();
    Clock::time_point shown_{};
    bool isTerminal_;
    bool visible_ = false;
};

}  // namespace splitstart
