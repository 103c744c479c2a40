#include "cli/progress_bar.h"

#include <fmt/format.h>
#include <unistd.h>

#include <cstdio>

namespace splitstart
{

ProgressBar::ProgressBar(std::string label)
    : label_(std::move(label)), isTerminal_(isatty(STDERR_FILENO) != 0)
{
}

void ProgressBar::show(std::size_t done, std::size_t all)
{
    using namespace std::chrono_literals;
    const Clock::time_point now = Clock::now();
    if (!isTerminal_ || now - started_ < 2s || now - shown_ < 100ms || all == 0) {
        return;
    }
    shown_ = now;
    visible_ = true;
    constexpr std::size_t width = 30;
    const std::size_t filled = width * done / all;
    fmt::print(stderr, "\r{} [{:#<{}}{:.<{}}] {} of {}", label_, "", filled, "", width - filled,
               done, all);
    std::fflush(stderr);
}

void ProgressBar::clear()
{
    if (visible_) {
        fmt::print(stderr, "\r{:{}}\r", "", label_.size() + 60);
        std::fflush(stderr);
        visible_ = false;
    }
}

}  // namespace splitstart
