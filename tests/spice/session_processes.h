// Processes and files around a simulator pool, for the tests of the ngspice session.
#pragma once

#include <sys/types.h>

#include <filesystem>
#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "spice/ngspice_library.h"
#include "spice/ngspice_session.h"
#include "spice/simulation.h"
#include "spice/worker_status.h"

namespace splitstart
{

#ifdef __SANITIZE_ADDRESS__
inline constexpr bool isSanitized = true;
#else
inline constexpr bool isSanitized = false;
#endif

// Ignores what ngspice says.
class SilentEvents final : public NgspiceEvents
{
public:
    void message(std::string_view /*line*/) noexcept override {}
    void analysisStarted(std::string_view /*title*/,
                         const std::vector<std::string_view>& /*names*/) noexcept override
    {
    }
    void point(const SimulatedPoint& /*point*/) noexcept override {}
    void controlledExit() noexcept override {}
    double externalVoltage() noexcept override { return 0; }
};

// ngspice as it comes, in this process, without the session's protection. For a process of its own.
struct PlainNgspice {
    SilentEvents events;
    NgspiceLibrary library{"libngspice.so.0", events};
    std::unique_ptr<WorkerStatus> status = std::make_unique<WorkerStatus>();
    NgspiceSession session{library, *status};
};

// Runs `act` in a forked process. True if it returned true there.
bool succeedsInNewProcess(const std::function<bool()>& act);

std::vector<pid_t> childrenOf(pid_t process);

// True also for a zombie.
bool exists(pid_t process);

// False for a zombie, which somebody has yet to collect.
bool isAlive(pid_t process);

long residentMemory_bytes(pid_t process);

// Waits up to some seconds for `isTrue`.
bool becomesTrue(const std::function<bool()>& isTrue);

// A pool whose processes are known.
class WatchedPool
{
public:
    explicit WatchedPool(unsigned workers);
    SimulatorPool& operator*() { return *pool_; }
    SimulatorPool* operator->() { return pool_.get(); }
    [[nodiscard]] pid_t spawner() const { return spawner_; }
    [[nodiscard]] std::vector<pid_t> workers() const { return childrenOf(spawner_); }
    void destroy() { pool_.reset(); }

private:
    std::unique_ptr<SimulatorPool> pool_;
    pid_t spawner_ = -1;
};

// A new directory, removed at the end with what is in it.
class TemporaryDirectory
{
public:
    TemporaryDirectory();
    ~TemporaryDirectory();
    TemporaryDirectory(const TemporaryDirectory&) = delete;
    TemporaryDirectory& operator=(const TemporaryDirectory&) = delete;
    [[nodiscard]] const std::filesystem::path& path() const { return path_; }
    void write(const std::string& name, const std::string& text) const;
    [[nodiscard]] bool isEmpty() const { return std::filesystem::is_empty(path_); }

private:
    std::filesystem::path path_;
};

// Sets an environment variable, and puts the old value back at the end.
class Environment
{
public:
    Environment(std::string name, const std::string& value);
    ~Environment();
    Environment(const Environment&) = delete;
    Environment& operator=(const Environment&) = delete;

private:
    std::string name_;
    std::string before_;
    bool wasSet_ = false;
};

}  // namespace splitstart
