// Ctrl-C and a polite kill, for commands that have something to save first.
#pragma once

#include <optional>

namespace splitstart
{

// While it lives, SIGINT and SIGTERM are remembered instead of ending the process. A second one of
// the same kind ends it at once. At most one at a time.
class Interrupt
{
public:
    Interrupt();
    ~Interrupt();
    Interrupt(const Interrupt&) = delete;
    Interrupt& operator=(const Interrupt&) = delete;

    // The exit status that says so (128 and the signal's number, as shells have it); empty: none
    // came.
    [[nodiscard]] static std::optional<int> exitStatus();
};

}  // namespace splitstart
