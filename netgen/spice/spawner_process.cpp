#include "spice/spawner_process.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <malloc.h>
#include <sys/prctl.h>
#include <sys/resource.h>
#include <sys/socket.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <clocale>
#include <csignal>
#include <cstdlib>
#include <cstring>
#include <stdexcept>
#include <string_view>
#include <system_error>
#include <utility>
#include <vector>

#include "spice/messages.h"
#include "spice/ngspice_library.h"
#include "spice/worker.h"

#if defined(__SANITIZE_ADDRESS__)
#define SPLITSTART_HAS_ADDRESS_SANITIZER 1
#elif defined(__has_feature)
#if __has_feature(address_sanitizer)
#define SPLITSTART_HAS_ADDRESS_SANITIZER 1
#endif
#endif

namespace splitstart
{
namespace
{

#ifdef SPLITSTART_HAS_ADDRESS_SANITIZER
constexpr bool isSanitized = true;  // it reserves terabytes of addresses, and reports to stderr
#else
constexpr bool isSanitized = false;
#endif

constexpr rlim_t mostMemory_bytes = rlim_t{4} << 30U;

// ngspice allocates and frees for each deck and each point. What was freed is kept for the next
// one: handing the heap's end back to the system and asking for it again took up to half of the
// time of a check (DEVELOPERS.md).
void keepFreedMemory()
{
    constexpr int most_bytes = 64 << 20;
    constexpr int atOnce_bytes = 1 << 20;
    mallopt(M_MMAP_THRESHOLD, most_bytes);
    mallopt(M_TRIM_THRESHOLD, most_bytes);
    mallopt(M_TOP_PAD, atOnce_bytes);
}

// While ngspice starts: keeps what it says about its version.
class StartEvents final : public NgspiceEvents
{
public:
    void message(std::string_view line) noexcept override
    {
        constexpr std::string_view start = "** ngspice-";
        const std::size_t at = line.find(start);
        if (at != std::string_view::npos && version_.empty()) {
            const std::string_view rest = line.substr(at + start.size());
            version_ = rest.substr(0, rest.find(' '));
        }
    }
    void analysisStarted(std::string_view /*title*/,
                         const std::vector<std::string_view>& /*names*/) noexcept override
    {
    }
    void point(const SimulatedPoint& /*point*/) noexcept override {}
    void controlledExit() noexcept override { hasGivenUp_ = true; }
    double externalVoltage() noexcept override { return 0; }

    [[nodiscard]] const std::string& version() const { return version_; }
    [[nodiscard]] bool hasGivenUp() const { return hasGivenUp_; }

private:
    std::string version_;
    bool hasGivenUp_ = false;
};

[[noreturn]] void fail(const char* what)
{
    throw std::system_error(errno, std::generic_category(), what);
}

// Nothing of the main process's files, and nothing on its screen. Returns where `control` is then.
int detachFiles(int control)
{
    constexpr int firstFile = 3;
    control = fcntl(control, F_DUPFD_CLOEXEC, firstFile);  // it may be 0 to 2 if those were closed
    const int nothing = open("/dev/null", O_RDWR);
    dup2(nothing, STDIN_FILENO);
    dup2(nothing, STDOUT_FILENO);
    if (!isSanitized) {
        dup2(nothing, STDERR_FILENO);
    }
    const auto kept = static_cast<unsigned>(control);
    if (control > firstFile) {
        close_range(firstFile, kept - 1, 0);
    }
    close_range(kept + 1, ~0U, 0);
    return control;
}

// Control-C reaches every process of the terminal's group: this one must live on to clean up.
void resetSignals()
{
    for (int number = 1; number < NSIG; ++number) {
        std::signal(number, SIG_DFL);
    }
    for (const int number : {SIGINT, SIGQUIT, SIGHUP, SIGTERM, SIGPIPE, SIGXFSZ, SIGTSTP}) {
        std::signal(number, SIG_IGN);
    }
    sigset_t none;
    sigemptyset(&none);
    sigprocmask(SIG_SETMASK, &none, nullptr);
}

void createEmptyFile(const char* name)
{
    const int file = open(name, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, S_IRUSR | S_IWUSR);
    if (file < 0) {
        fail("cannot write to the private directory");
    }
    close(file);
}

// ngspice executes .spiceinit of the working directory, or else of the home directory, and crashes
// for a user without one. It reads `spinit` from $SPICE_SCRIPTS; the usual one loads code models,
// which no deck of this program uses.
void enterPrivateDirectory(const std::string& directory)
{
    if (chdir(directory.c_str()) != 0) {
        fail("cannot enter the private directory");
    }
    createEmptyFile(".spiceinit");
    createEmptyFile("spinit");
    clearenv();
    setenv("SPICE_SCRIPTS", directory.c_str(), 1);
}

// The working directory then no longer exists, so that no file can be made or found in it.
void removePrivateDirectory(const std::string& directory)
{
    unlink(".spiceinit");
    unlink("spinit");
    rmdir(directory.c_str());
}

// ngspice must read and write numbers with a point, whatever the user's language.
void useNeutralLocale()
{
    std::setlocale(LC_ALL, "C");
    uselocale(LC_GLOBAL_LOCALE);
}

void limit(__rlimit_resource_t resource, rlim_t most)
{
    const rlimit limits{most, most};
    setrlimit(resource, &limits);
}

void limitResources()
{
    prctl(PR_SET_NO_NEW_PRIVS, 1, 0, 0, 0);
    limit(RLIMIT_CORE, 0);
    limit(RLIMIT_FSIZE, 0);
    if (!isSanitized) {
        limit(RLIMIT_AS, mostMemory_bytes);
    }
}

class Workers
{
public:
    Workers(const SpawnerSetup& setup, NgspiceLibrary& library) : setup_(setup), library_(library)
    {
    }
    void serve();

private:
    void start(std::size_t place);
    [[noreturn]] void becomeWorker(FileDescriptor socket, std::size_t place, pid_t parent);
    void answer(const SpawnerAnswer& answer, int socket);
    void retire(pid_t process);
    void endAll();

    const SpawnerSetup& setup_;
    NgspiceLibrary& library_;
    std::vector<pid_t> processes_;
};

void Workers::serve()
{
    for (;;) {
        SpawnerRequest request;
        const ssize_t size = recv(setup_.control, &request, sizeof request, 0);
        if (size < 0 && errno == EINTR) {
            continue;
        }
        if (size != static_cast<ssize_t>(sizeof request)) {
            endAll();
            return;
        }
        if (request.kind == SpawnerRequest::Kind::start) {
            start(request.place);
        } else {
            retire(request.process);
        }
    }
}

void Workers::start(std::size_t place)
{
    std::array<int, 2> pair{};
    if (socketpair(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0, pair.data()) != 0) {
        answer({errno, -1, 0}, -1);
        return;
    }
    FileDescriptor ours(pair[0]);
    FileDescriptor workers(pair[1]);
    const pid_t self = getpid();
    const pid_t process = fork();
    if (process < 0) {
        answer({errno, -1, 0}, -1);
        return;
    }
    if (process == 0) {
        ours.close();
        becomeWorker(std::move(workers), place, self);
    }
    processes_.push_back(process);
    answer({0, process, 0}, ours.get());
}

void Workers::becomeWorker(FileDescriptor socket, std::size_t place, pid_t parent)
{
    prctl(PR_SET_PDEATHSIG, SIGKILL);
    if (getppid() != parent) {
        _exit(EXIT_FAILURE);
    }
    prctl(PR_SET_NAME, "splitstart-sim");
    close(setup_.control);
    serveJobs(library_, socket.get(), setup_.statuses[place]);
}

void Workers::answer(const SpawnerAnswer& answer, int socket)
{
    SpawnerAnswer record = answer;
    iovec part{&record, sizeof record};
    alignas(cmsghdr) std::array<char, CMSG_SPACE(sizeof(int))> space{};
    msghdr message{};
    message.msg_iov = &part;
    message.msg_iovlen = 1;
    if (socket >= 0) {
        message.msg_control = space.data();
        message.msg_controllen = space.size();
        cmsghdr* const header = CMSG_FIRSTHDR(&message);
        header->cmsg_level = SOL_SOCKET;
        header->cmsg_type = SCM_RIGHTS;
        header->cmsg_len = CMSG_LEN(sizeof(int));
        std::memcpy(CMSG_DATA(header), &socket, sizeof socket);
    }
    // If it fails the main process is gone, which the next receive shows.
    sendmsg(setup_.control, &message, MSG_NOSIGNAL);
}

void Workers::retire(pid_t process)
{
    const auto found = std::ranges::find(processes_, process);
    if (found == processes_.end()) {
        answer({ESRCH, -1, 0}, -1);
        return;
    }
    processes_.erase(found);
    kill(process, SIGKILL);
    int status = 0;
    waitpid(process, &status, 0);
    answer({0, process, status}, -1);
}

void Workers::endAll()
{
    for (const pid_t process : processes_) {
        kill(process, SIGKILL);
    }
    for (const pid_t process : processes_) {
        waitpid(process, nullptr, 0);
    }
}

// Fixed commands: no questions, no user's compatibility modes; `norefvalue` saves a system call at
// each point.
void settle(NgspiceLibrary& library, const StartEvents& events)
{
    for (const char* const command : {"unset interactive", "set noaskquit", "set nomoremode",
                                      "unset ngbehavior", "set norefvalue", "version -f"}) {
        if (library.command(command) != 0 || events.hasGivenUp()) {
            throw NgspiceLibraryError(
                fmt::format("The circuit simulator does not start (it refused `{}`); reinstall the "
                            "Debian package libngspice0.",
                            command));
        }
    }
}

void greet(int control, bool hasStarted, std::string_view text)
{
    SpawnerGreeting greeting;
    greeting.hasStarted = hasStarted;
    const std::size_t length = std::min(text.size(), greeting.text.size() - 1);
    std::memcpy(greeting.text.data(), text.data(), length);
    // If it fails the main process is gone, which the next receive shows.
    send(control, &greeting, sizeof greeting, MSG_NOSIGNAL);
}

void startAndServe(const SpawnerSetup& setup)
{
    enterPrivateDirectory(setup.privateDirectory);
    StartEvents events;
    NgspiceLibrary library(setup.library, events);
    settle(library, events);
    removePrivateDirectory(setup.privateDirectory);
    limitResources();
    // From here on nothing needs to be cleaned up but the workers, and they end with this process.
    prctl(PR_SET_PDEATHSIG, SIGKILL);
    if (getppid() != setup.parent) {
        return;
    }
    greet(setup.control, true, events.version());
    Workers(setup, library).serve();
}

}  // namespace

void runSpawner(SpawnerSetup setup)
{
    prctl(PR_SET_NAME, "splitstart-run");
    resetSignals();
    setup.control = detachFiles(setup.control);
    useNeutralLocale();
    keepFreedMemory();
    try {
        startAndServe(setup);
    } catch (const std::exception& error) {
        removePrivateDirectory(setup.privateDirectory);
        greet(setup.control, false, error.what());
    }
    _exit(EXIT_SUCCESS);
}

}  // namespace splitstart
