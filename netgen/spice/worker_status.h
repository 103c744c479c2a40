// What a worker shows while it works, in memory shared with the main process, so that something is
// known about a run that was killed or crashed.
#pragma once

#include <array>
#include <atomic>
#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>

namespace splitstart
{

struct WorkerStatus {
    static_assert(std::atomic<double>::is_always_lock_free);
    static_assert(std::atomic<std::uint32_t>::is_always_lock_free);

    std::atomic<double> reached = 0;             // last time [s] or frequency [Hz] of the run
    std::atomic<std::uint32_t> valuesBegun = 0;  // of a sweep
    std::atomic<std::uint32_t> logLength = 0;
    std::array<char, 16384> log = {};
};

// The last lines that ngspice wrote. It can write thousands of lines in one run; older ones go.
class RunLog
{
public:
    explicit RunLog(WorkerStatus& status) : status_(status) {}
    void clear() { status_.logLength = 0; }
    void append(std::string_view line);

private:
    WorkerStatus& status_;
};

// Also of a worker that is dead.
std::string logText(const WorkerStatus& status);

// The last lines of a log, for a person to read.
std::string lastLines(std::string_view log, std::size_t count);

}  // namespace splitstart
