#include "cli/progress_bar.h"

#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <cstdio>

namespace splitstart
{

std::string durationText(double duration_s)
{
    constexpr double minute_s = 60;
    constexpr double hour_s = 3600;
    if (duration_s < 1.5 * minute_s) {
        return fmt::format("{:.0f} s", std::max(1.0, duration_s));
    }
    if (duration_s < 1.5 * hour_s) {
        return fmt::format("{:.0f} min", duration_s / minute_s);
    }
    const auto minutes = static_cast<long>(duration_s / minute_s);
    return fmt::format("{} h {} min", minutes / 60, minutes % 60);
}

ProgressBar::ProgressBar(std::string label)
    : label_(std::move(label)), isTerminal_(isatty(STDERR_FILENO) != 0)
{
}

void ProgressBar::show(std::size_t done, std::size_t all)
{
    using namespace std::chrono_literals;
    const Clock::time_point now = Clock::now();
    // What came before the first thing was done tells nothing of how long the others take.
    if (!begun_) {
        begun_ = done;
    }
    if (done != *begun_ && !firstDone_) {
        firstDone_ = {now, done};
    }
    if (!isTerminal_ || now - started_ < 2s || now - shown_ < 100ms || all == 0) {
        return;
    }
    shown_ = now;
    visible_ = true;
    constexpr std::size_t width = 30;
    const std::size_t filled = width * done / all;
    std::string left;
    if (firstDone_ && done > firstDone_->second && done < all) {
        const double each_s = std::chrono::duration<double>(now - firstDone_->first).count() /
                              static_cast<double>(done - firstDone_->second);
        left =
            fmt::format(", about {} left", durationText(each_s * static_cast<double>(all - done)));
    }
    // Blanks after it cover what a longer line left.
    fmt::print(stderr, "\r{} [{:#<{}}{:.<{}}] {} of {}{:<28}", label_, "", filled, "",
               width - filled, done, all, left);
    std::fflush(stderr);
}

void ProgressBar::clear()
{
    if (visible_) {
        fmt::print(stderr, "\r{:{}}\r", "", label_.size() + 90);
        std::fflush(stderr);
        visible_ = false;
    }
}

}  // namespace splitstart
