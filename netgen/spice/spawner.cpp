#include "spice/spawner.h"

#include <fmt/format.h>
#include <sys/mman.h>
#include <sys/socket.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <csignal>
#include <cstring>
#include <filesystem>
#include <memory>
#include <new>
#include <system_error>
#include <utility>

#include "spice/spawner_process.h"

namespace splitstart
{
namespace
{

constexpr time_t patience_s = 30;  // for what takes milliseconds

[[noreturn]] void failStart(const std::string& what)
{
    throw SimulationError(SimulationFault::libraryMissing, what, {});
}

[[noreturn]] void failSystem(const char* what)
{
    throw std::system_error(errno, std::generic_category(), what);
}

void setPatience(int socket)
{
    const timeval patience{patience_s, 0};
    setsockopt(socket, SOL_SOCKET, SO_RCVTIMEO, &patience, sizeof patience);
    setsockopt(socket, SOL_SOCKET, SO_SNDTIMEO, &patience, sizeof patience);
}

// Empty when no directory can be made.
std::string makePrivateDirectory()
{
    std::error_code error;
    const std::filesystem::path place = std::filesystem::temp_directory_path(error);
    std::string path = (error ? std::filesystem::path("/tmp") : place) / "splitstart-XXXXXX";
    return mkdtemp(path.data()) == nullptr ? std::string() : path;
}

// Receives one record and, if there is one, the descriptor sent with it.
bool receiveRecord(int control, void* record, std::size_t size, FileDescriptor& attached)
{
    iovec part{record, size};
    alignas(cmsghdr) std::array<char, CMSG_SPACE(sizeof(int))> space{};
    msghdr message{};
    message.msg_iov = &part;
    message.msg_iovlen = 1;
    message.msg_control = space.data();
    message.msg_controllen = space.size();
    ssize_t received = 0;
    do {
        received = recvmsg(control, &message, MSG_CMSG_CLOEXEC);
    } while (received < 0 && errno == EINTR);
    const cmsghdr* const header = received > 0 ? CMSG_FIRSTHDR(&message) : nullptr;
    if (header != nullptr && header->cmsg_level == SOL_SOCKET && header->cmsg_type == SCM_RIGHTS) {
        int descriptor = -1;
        std::memcpy(&descriptor, CMSG_DATA(header), sizeof descriptor);
        attached = FileDescriptor(descriptor);
    }
    return received == static_cast<ssize_t>(size);
}

std::optional<SpawnerAnswer> ask(int control, const SpawnerRequest& request,
                                 FileDescriptor& attached)
{
    ssize_t sent = 0;
    do {
        sent = send(control, &request, sizeof request, MSG_NOSIGNAL);
    } while (sent < 0 && errno == EINTR);
    SpawnerAnswer answer;
    if (sent != static_cast<ssize_t>(sizeof request) ||
        !receiveRecord(control, &answer, sizeof answer, attached)) {
        return std::nullopt;
    }
    return answer;
}

constexpr const char* spawnerGone =
    "The helper process that starts the circuit simulator was ended from outside; start the "
    "program again.";

std::string describeEnd(int status)
{
    if (WIFSIGNALED(status)) {
        const int number = WTERMSIG(status);
        const char* const name = sigdescr_np(number);
        return fmt::format("signal {}, {}", number, name == nullptr ? "unknown" : name);
    }
    return fmt::format("exit status {}", WEXITSTATUS(status));
}

}  // namespace

Spawner::Spawner(const std::string& library, std::size_t workers)
    : workers_(workers), owner_(getpid())
{
    void* const memory = mmap(nullptr, workers_ * sizeof(WorkerStatus), PROT_READ | PROT_WRITE,
                              MAP_SHARED | MAP_ANONYMOUS, -1, 0);
    if (memory == MAP_FAILED) {
        failSystem("cannot get memory to share with the simulator's processes");
    }
    statuses_ = static_cast<WorkerStatus*>(memory);
    std::uninitialized_default_construct_n(statuses_, workers_);

    std::array<int, 2> pair{};
    if (socketpair(AF_UNIX, SOCK_SEQPACKET | SOCK_CLOEXEC, 0, pair.data()) != 0) {
        failSystem("cannot connect to the simulator's processes");
    }
    control_ = FileDescriptor(pair[0]);
    FileDescriptor spawners(pair[1]);
    setPatience(control_.get());
    privateDirectory_ = makePrivateDirectory();
    if (privateDirectory_.empty()) {
        failure_ =
            "The circuit simulator cannot be started: no directory can be made in the "
            "system's place for temporary files; free some space there or set TMPDIR.";
        return;
    }
    process_ = fork();
    if (process_ == 0) {
        runSpawner({owner_, spawners.get(), library, privateDirectory_, statuses_});
    }
    if (process_ < 0) {
        failure_ = fmt::format(
            "The circuit simulator cannot be started: no further process is "
            "allowed ({}); close other programs and try again.",
            std::generic_category().message(errno));
    }
}

Spawner::~Spawner()
{
    // A copy of this object in a process forked from the owner owns nothing.
    if (getpid() == owner_) {
        endProcess();
        std::error_code ignored;
        if (!privateDirectory_.empty()) {
            std::filesystem::remove_all(privateDirectory_, ignored);
        }
    }
    munmap(statuses_, workers_ * sizeof(WorkerStatus));
}

void Spawner::endProcess()
{
    if (process_ <= 0) {
        return;
    }
    control_.close();  // tells it to end the workers and itself
    constexpr int tries = 2000;
    constexpr useconds_t pause_us = 500;
    for (int i = 0; i < tries; ++i) {
        const pid_t ended = waitpid(process_, nullptr, WNOHANG);
        if (ended == process_ || (ended < 0 && errno != EINTR)) {
            process_ = -1;
            return;
        }
        usleep(pause_us);
    }
    kill(process_, SIGKILL);
    waitpid(process_, nullptr, 0);
    process_ = -1;
}

void Spawner::awaitStart()
{
    if (!hasStarted_ && failure_.empty()) {
        SpawnerGreeting greeting;
        FileDescriptor none;
        if (!receiveRecord(control_.get(), &greeting, sizeof greeting, none)) {
            failure_ =
                "The circuit simulator broke down while it started; reinstall the Debian "
                "package libngspice0.";
        } else if (!greeting.hasStarted) {
            failure_ = greeting.text.data();
        } else {
            version_ = greeting.text.data();
            hasStarted_ = true;
        }
    }
    if (!hasStarted_) {
        failStart(failure_);
    }
}

const std::string& Spawner::version()
{
    awaitStart();
    return version_;
}

WorkerHandle Spawner::start(std::size_t place)
{
    awaitStart();
    WorkerHandle worker;
    const auto answer =
        ask(control_.get(), {SpawnerRequest::Kind::start, static_cast<std::uint32_t>(place), -1},
            worker.socket);
    if (!answer) {
        throw SimulationError(SimulationFault::crashed, spawnerGone, {});
    }
    if (answer->error != 0) {
        throw SimulationError(
            SimulationFault::crashed,
            fmt::format("No process can be started for the circuit simulator ({}); close other "
                        "programs and try again.",
                        std::generic_category().message(answer->error)),
            {});
    }
    worker.process = answer->process;
    setPatience(worker.socket.get());
    return worker;
}

std::string Spawner::retire(WorkerHandle& worker)
{
    worker.socket.close();
    FileDescriptor none;
    const auto answer = ask(
        control_.get(), {SpawnerRequest::Kind::retire, 0, std::exchange(worker.process, -1)}, none);
    return answer && answer->error == 0 ? describeEnd(answer->waitStatus) : "it is no longer there";
}

}  // namespace splitstart
