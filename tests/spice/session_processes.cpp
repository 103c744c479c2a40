#include "spice/session_processes.h"

#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <sstream>
#include <stdexcept>
#include <thread>
#include <utility>

namespace splitstart
{

bool succeedsInNewProcess(const std::function<bool()>& act)
{
    const pid_t process = fork();
    if (process == 0) {
        int status = 2;
        try {
            status = act() ? 0 : 1;
        } catch (const std::exception& error) {
            fprintf(stderr, "%s\n", error.what());
        }
        _exit(status);
    }
    int status = -1;
    waitpid(process, &status, 0);
    return WIFEXITED(status) && WEXITSTATUS(status) == 0;
}

std::vector<pid_t> childrenOf(pid_t process)
{
    std::ifstream file("/proc/" + std::to_string(process) + "/task/" + std::to_string(process) +
                       "/children");
    std::vector<pid_t> children;
    for (pid_t child = 0; file >> child;) {
        children.push_back(child);
    }
    return children;
}

bool exists(pid_t process)
{
    return kill(process, 0) == 0;
}

bool isAlive(pid_t process)
{
    std::ifstream file("/proc/" + std::to_string(process) + "/stat");
    std::string number;
    std::string name;  // in brackets, without blanks for these processes
    std::string state;
    return file >> number >> name >> state && state != "Z" && state != "X";
}

long residentMemory_bytes(pid_t process)
{
    std::ifstream file("/proc/" + std::to_string(process) + "/statm");
    long total_pages = 0;
    long resident_pages = 0;
    file >> total_pages >> resident_pages;
    return resident_pages * sysconf(_SC_PAGESIZE);
}

bool becomesTrue(const std::function<bool()>& isTrue)
{
    const auto limit = std::chrono::steady_clock::now() + std::chrono::seconds(5);
    while (!isTrue()) {
        if (std::chrono::steady_clock::now() > limit) {
            return false;
        }
        std::this_thread::sleep_for(std::chrono::milliseconds(1));
    }
    return true;
}

WatchedPool::WatchedPool(unsigned workers)
{
    const std::vector<pid_t> before = childrenOf(getpid());
    pool_ = std::make_unique<SimulatorPool>(workers);
    for (const pid_t child : childrenOf(getpid())) {
        if (std::ranges::find(before, child) == before.end()) {
            spawner_ = child;
        }
    }
    if (spawner_ < 0) {
        throw std::runtime_error("the pool has no process");
    }
}

TemporaryDirectory::TemporaryDirectory()
{
    // In small letters: ngspice changes the others in a deck.
    static int count = 0;
    path_ = std::filesystem::temp_directory_path() /
            ("session-test-" + std::to_string(getpid()) + "-" + std::to_string(++count));
    if (!std::filesystem::create_directory(path_)) {
        throw std::runtime_error("cannot make a temporary directory");
    }
}

TemporaryDirectory::~TemporaryDirectory()
{
    std::filesystem::remove_all(path_);
}

void TemporaryDirectory::write(const std::string& name, const std::string& text) const
{
    std::ofstream(path_ / name) << text;
}

Environment::Environment(std::string name, const std::string& value) : name_(std::move(name))
{
    if (const char* const before = getenv(name_.c_str())) {
        before_ = before;
        wasSet_ = true;
    }
    setenv(name_.c_str(), value.c_str(), 1);
}

Environment::~Environment()
{
    if (wasSet_) {
        setenv(name_.c_str(), before_.c_str(), 1);
    } else {
        unsetenv(name_.c_str());
    }
}

}  // namespace splitstart
