// A small process that loads and starts ngspice once and forks workers from there (0.2 to 1 ms
// each). It is the parent of all workers, so that none is left behind: it ends them when the main
// process ends in whatever way, and they end when it does.
#pragma once

#include <sys/types.h>

#include <cstddef>
#include <optional>
#include <string>

#include "spice/messages.h"
#include "spice/simulation.h"
#include "spice/worker_status.h"

namespace splitstart
{

struct WorkerHandle {
    pid_t process = -1;
    FileDescriptor socket;
};

// The main process's side. Every worker must be retired; until then its process number stays its
// own, even if it has died.
class Spawner
{
public:
    // Forks: the process must have one thread. Loads `library` in the new process.
    Spawner(const std::string& library, std::size_t workers);
    ~Spawner();
    Spawner(const Spawner&) = delete;
    Spawner& operator=(const Spawner&) = delete;

    // ngspice's version. Waits for ngspice to have started. Throws SimulationError
    // (libraryMissing) if it has not.
    const std::string& version();

    // Starts the worker that shows its state in `status(place)`. Throws SimulationError.
    WorkerHandle start(std::size_t place);

    // Ends the worker, if it still lives, and returns how it ended, in words.
    std::string retire(WorkerHandle& worker);

    WorkerStatus& status(std::size_t place) { return statuses_[place]; }

private:
    void awaitStart();
    void endProcess();

    std::string privateDirectory_;
    std::string failure_;  // why ngspice cannot be used
    std::string version_;
    bool hasStarted_ = false;
    WorkerStatus* statuses_ = nullptr;
    std::size_t workers_ = 0;
    FileDescriptor control_;
    pid_t process_ = -1;
    pid_t owner_ = -1;
};

}  // namespace splitstart
