// The spawner's own side: what its process does.
#pragma once

#include <sys/types.h>

#include <array>
#include <cstddef>
#include <cstdint>
#include <string>

#include "spice/worker_status.h"

namespace splitstart
{

// Main process to spawner, one record each.
struct SpawnerRequest {
    enum class Kind : std::uint32_t { start, retire };
    Kind kind = Kind::start;
    std::uint32_t place = 0;  // start: which worker status
    pid_t process = -1;       // retire: which worker
};

// Answer to `start` (with the worker's socket attached if error is 0) and to `retire`.
struct SpawnerAnswer {
    int error = 0;       // errno of what failed
    pid_t process = -1;  // start
    int waitStatus = 0;  // retire, as from waitpid
};

// First record of all: whether ngspice has started.
struct SpawnerGreeting {
    bool hasStarted = false;
    std::array<char, 1000> text = {};  // version, or the reason as a sentence; ends with a zero
};

struct SpawnerSetup {
    pid_t parent = -1;             // the main process
    int control = -1;              // socket to it
    std::string library;           // file of libngspice
    std::string privateDirectory;  // empty, removed after ngspice has started
    WorkerStatus* statuses = nullptr;
};

// Runs the spawner until the main process closes the control socket. Does not return.
[[noreturn]] void runSpawner(SpawnerSetup setup);

}  // namespace splitstart
