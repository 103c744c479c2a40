// The processes of the ngspice session: what happens when one is killed, what is left behind, and
// what of the surroundings reaches ngspice.

#include <gtest/gtest.h>
#include <pwd.h>
#include <sys/prctl.h>
#include <sys/wait.h>
#include <unistd.h>

#include <atomic>
#include <chrono>
#include <clocale>
#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <memory>
#include <set>
#include <thread>

#include "spice/session_decks.h"
#include "spice/session_processes.h"
#include "spice/simulation.h"

namespace splitstart
{
namespace
{

// A run of some 0.2 s, long enough to be killed in the middle.
SimulationRequest longRun()
{
    SimulationRequest request = endlessRun();
    request.deck =
        "a long run\nv1 in 0 sin(0 1 50)\nr1 in out 1000\nc1 out 0 1e-6\n"
        ".tran 1e-6 0.04 0 1e-6 uic\n.end\n";
    request.end_s = 0.04;
    return request;
}

// Kills the first `count` workers of a pool that it sees, each some time after it began.
class WorkerKiller
{
public:
    WorkerKiller(const WatchedPool& pool, std::size_t count, int signal)
        : count_(count), thread_([this, &pool, signal](const std::stop_token& stop) {
              std::set<pid_t> killed;
              while (killed_ < count_ && !stop.stop_requested()) {
                  for (const pid_t worker : pool.workers()) {
                      std::this_thread::sleep_for(std::chrono::milliseconds(30));
                      if (killed_ < count_ && killed.insert(worker).second) {
                          kill(worker, signal);
                          ++killed_;
                      }
                  }
              }
          })
    {
    }
    [[nodiscard]] bool isDone() const { return killed_ == count_; }

private:
    std::size_t count_;
    std::atomic<std::size_t> killed_ = 0;
    std::jthread thread_;
};

TEST(SessionProcess, AWorkerKilledFromOutsideIsReplacedAndTheRunRepeated)
{
    WatchedPool pool(1);
    const Waveforms expected = pool->run(longRun());
    const std::vector<pid_t> before = pool.workers();
    ASSERT_EQ(before.size(), 1U);
    const WorkerKiller killer(pool, 1, SIGKILL);
    do {
        EXPECT_TRUE(isSame(pool->run(longRun()), expected));
    } while (!killer.isDone());
    pool->run(chargingCapacitor());
    ASSERT_EQ(pool.workers().size(), 1U);
    EXPECT_NE(pool.workers(), before);
}

TEST(SessionProcess, ARunWhoseWorkerDiesTwiceHasCrashedAndTheNextIsRight)
{
    for (const int signal : {SIGKILL, SIGSEGV, SIGABRT}) {
        WatchedPool pool(1);
        const Waveforms expected = pool->run(chargingCapacitor());
        const WorkerKiller killer(pool, 2, signal);
        const SimulationOutcome outcome = outcomeOf(*pool, endlessRun());
        ASSERT_EQ(faultOf(outcome), faultName(SimulationFault::crashed));
        const std::string message = std::get<SimulationError>(outcome).what();
        EXPECT_NE(message.find("signal " + std::to_string(signal)), std::string::npos) << message;
        EXPECT_TRUE(isSame(pool->run(chargingCapacitor()), expected));
    }
}

TEST(SessionProcess, AKilledWorkerDoesNotTouchTheOtherRuns)
{
    WatchedPool pool(2);
    const Waveforms expected = pool->run(longRun());
    const std::vector<SimulationRequest> requests(4, longRun());
    const WorkerKiller killer(pool, 2, SIGKILL);
    do {
        for (const SimulationOutcome& outcome : pool->runAll(requests)) {
            ASSERT_EQ(faultOf(outcome), "none");
            EXPECT_TRUE(isSame(std::get<Waveforms>(outcome), expected));
        }
    } while (!killer.isDone());
}

TEST(SessionProcess, AnIdleWorkerThatDiedIsNotMissed)
{
    WatchedPool pool(1);
    const Waveforms expected = pool->run(chargingCapacitor());
    kill(pool.workers().at(0), SIGKILL);
    EXPECT_TRUE(isSame(pool->run(chargingCapacitor()), expected));
}

TEST(SessionProcess, TheLossOfTheSpawnerIsReported)
{
    WatchedPool pool(1);
    pool->run(chargingCapacitor());
    const std::vector<pid_t> workers = pool.workers();
    kill(pool.spawner(), SIGKILL);
    EXPECT_TRUE(becomesTrue([&] { return !isAlive(workers.at(0)); }));  // it dies with it
    const SimulationOutcome outcome = outcomeOf(*pool, chargingCapacitor());
    ASSERT_EQ(faultOf(outcome), faultName(SimulationFault::crashed));
    const std::string message = std::get<SimulationError>(outcome).what();
    EXPECT_NE(message.find("ended from outside"), std::string::npos) << message;
    pool.destroy();
    EXPECT_FALSE(exists(pool.spawner()));
}

TEST(SessionProcess, NothingIsLeftWhenThePoolIsDestroyed)
{
    const TemporaryDirectory place;
    const Environment environment("TMPDIR", place.path());
    WatchedPool pool(2);
    const std::vector<SimulationRequest> requests(4, chargingCapacitor());
    pool->runAll(requests);
    std::vector<pid_t> processes = pool.workers();
    EXPECT_EQ(processes.size(), 2U);
    processes.push_back(pool.spawner());
    EXPECT_TRUE(place.isEmpty());  // already while it works
    pool.destroy();
    for (const pid_t process : processes) {
        EXPECT_FALSE(exists(process));  // not even as a zombie
    }
    EXPECT_TRUE(place.isEmpty());
}

TEST(SessionProcess, NothingIsLeftByAPoolThatNeverRan)
{
    const TemporaryDirectory place;
    const Environment environment("TMPDIR", place.path());
    for (const char* const library : {"", "/nowhere/libngspice.so.0"}) {
        SimulatorPool pool(2, library);
    }
    EXPECT_TRUE(place.isEmpty());
}

// A program that is ended by `signal` in the middle of its runs must leave nothing.
void expectNothingLeftAfter(int signal)
{
    const TemporaryDirectory place;
    const Environment environment("TMPDIR", place.path());
    // Orphans come to this process, which can then see them end.
    ASSERT_EQ(prctl(PR_SET_CHILD_SUBREAPER, 1), 0);
    const pid_t program = fork();
    if (program == 0) {
        setpgid(0, 0);
        std::signal(signal, SIG_DFL);
        SimulatorPool pool(2);
        const std::vector<SimulationRequest> requests(4, endlessRun());
        pool.runAll(requests);
        _exit(0);
    }
    std::vector<pid_t> processes;
    EXPECT_TRUE(becomesTrue([&] {
        processes = childrenOf(program);
        if (!processes.empty()) {
            const std::vector<pid_t> workers = childrenOf(processes.front());
            processes.insert(processes.end(), workers.begin(), workers.end());
        }
        return processes.size() == 3;
    }));
    std::this_thread::sleep_for(std::chrono::milliseconds(50));
    // As a terminal does: to the whole group. A single process otherwise.
    kill(signal == SIGINT ? -program : program, signal);
    int status = 0;
    EXPECT_EQ(waitpid(program, &status, 0), program);
    EXPECT_TRUE(WIFSIGNALED(status) && WTERMSIG(status) == signal);
    for (const pid_t process : processes) {
        EXPECT_TRUE(becomesTrue([&] {
            waitpid(process, nullptr, WNOHANG);
            return !exists(process);
        })) << "process "
            << process << " lives on";
    }
    EXPECT_TRUE(place.isEmpty());
    prctl(PR_SET_CHILD_SUBREAPER, 0);
}

TEST(SessionProcess, ControlCLeavesNothing)
{
    expectNothingLeftAfter(SIGINT);
}

TEST(SessionProcess, AKilledProgramLeavesNothing)
{
    expectNothingLeftAfter(SIGKILL);
}

TEST(SessionProcess, ACopyOfThePoolInAForkedProcessOwnsNothing)
{
    auto pool = std::make_unique<SimulatorPool>(1);
    const Waveforms expected = pool->run(chargingCapacitor());
    EXPECT_TRUE(succeedsInNewProcess([&] {
        pool.reset();
        return true;
    }));
    EXPECT_TRUE(isSame(pool->run(chargingCapacitor()), expected));
}

TEST(SessionProcess, TwoPoolsWorkSideBySide)
{
    auto first = std::make_unique<SimulatorPool>(1);
    SimulatorPool second(1);
    EXPECT_TRUE(isSame(first->run(chargingCapacitor()), second.run(chargingCapacitor())));
    const auto start = std::chrono::steady_clock::now();
    first.reset();  // the second pool's processes must not keep the first one's alive
    EXPECT_LT(std::chrono::steady_clock::now() - start, std::chrono::milliseconds(500));
    EXPECT_NO_THROW(second.run(chargingCapacitor()));
}

TEST(SessionProcess, MemoryStaysFlatOverTwoThousandRuns)
{
    SimulationRequest shortRun = chargingCapacitor();
    shortRun.deck.replace(shortRun.deck.find(".tran"), std::string::npos,
                          ".tran 1e-4 5e-3 0 1e-4 uic\n.end\n");
    WatchedPool pool(1);
    pool->runAll(std::vector<SimulationRequest>(100, shortRun));
    const std::vector<pid_t> workers = pool.workers();
    const long before_bytes = residentMemory_bytes(workers.at(0));
    const std::vector<SimulationRequest> requests(500, shortRun);
    for (int i = 0; i < 4; ++i) {
        for (const SimulationOutcome& outcome : pool->runAll(requests)) {
            ASSERT_EQ(faultOf(outcome), "none");
        }
    }
    // The address sanitizer keeps freed memory back for a while, until the pool replaces the
    // worker.
    constexpr long allowed_bytes = (isSanitized ? 80L : 2L) << 20U;
    EXPECT_TRUE(isSanitized || pool.workers() == workers);  // it is the same one
    pool->run(shortRun);
    const long growth_bytes = residentMemory_bytes(pool.workers().at(0)) - before_bytes;
    EXPECT_LE(growth_bytes, allowed_bytes);
    RecordProperty("growth_bytes", std::to_string(growth_bytes));
}

// Compiles a locale that writes one and a half as "1,5", as many do, whatever is installed.
void makeCommaLocale(const TemporaryDirectory& place)
{
    std::string map =
        "<code_set_name> PLAIN\n<comment_char> %\n<escape_char> /\n<mb_cur_min> 1\n"
        "<mb_cur_max> 1\nCHARMAP\n";
    for (int i = 0; i < 128; ++i) {
        char line[32] = "";
        std::snprintf(line, sizeof line, "<U%04X> /x%02x c\n", i, i);
        map += line;
    }
    place.write("plain.map", map + "END CHARMAP\n");
    place.write("comma.src",
                "LC_NUMERIC\ndecimal_point \",\"\nthousands_sep \"\"\ngrouping -1\n"
                "END LC_NUMERIC\n");
    const std::string path = place.path();
    // It exits with 1 because of the other categories' warnings.
    const int status = std::system(("localedef -c -f " + path + "/plain.map -i " + path +
                                    "/comma.src " + path + "/comma 2>/dev/null")
                                       .c_str());
    ASSERT_NE(status, -1);
}

// Sets the locale of this program, and back to the neutral one at the end.
class ProgramLocale
{
public:
    explicit ProgramLocale(const char* name) { std::setlocale(LC_ALL, name); }
    ~ProgramLocale() { std::setlocale(LC_ALL, "C"); }
    ProgramLocale(const ProgramLocale&) = delete;
    ProgramLocale& operator=(const ProgramLocale&) = delete;
};

TEST(SessionProcess, TheLocaleOfTheProgramDoesNotReachNgspice)
{
    // ngspice prints and reads the values of expressions in braces with the C library.
    SimulationRequest request = chargingCapacitor();
    request.deck =
        "parameters\n.param r=500.5\nv1 in 0 dc 1\nr1 in out {r*1.5}\nc1 out 0 1e-6\n"
        "b1 half 0 v={0.5*r}*v(out)/{r}\nr2 half 0 1\n"
        ".tran 1e-5 5e-3 0 1e-5 uic\n.end\n";
    request.vectors = {"out", "half"};
    const Waveforms expected = SimulatorPool(1).run(request);
    const TemporaryDirectory place;
    makeCommaLocale(place);
    const Environment environment("LOCPATH", place.path());
    const ProgramLocale locale("comma");
    char text[8] = "";
    std::snprintf(text, sizeof text, "%g", 1.5);
    EXPECT_STREQ(text, "1,5");  // the trap is set
    EXPECT_TRUE(isSame(SimulatorPool(1).run(request), expected));
}

TEST(SessionProcess, AUserWithoutAPasswordEntryCanRun)
{
    const Waveforms expected = SimulatorPool(1).run(chargingCapacitor());
    EXPECT_TRUE(succeedsInNewProcess([&] {
        constexpr uid_t unknown = 61234;
        // Only root can become someone else; any other user runs as the user that it is.
        if (geteuid() == 0 &&
            (setgid(unknown) != 0 || setuid(unknown) != 0 || getpwuid(geteuid()) != nullptr)) {
            return false;
        }
        unsetenv("HOME");
        SimulatorPool pool(1);
        return isSame(pool.run(chargingCapacitor()), expected);
    }));
}

TEST(SessionProcess, StartUpFilesLyingAroundAreNotExecuted)
{
    const TemporaryDirectory place;
    const std::filesystem::path trace = place.path() / "trace";
    const std::string bait = "* bait\nshell touch " + trace.string() + "\n";
    place.write(".spiceinit", bait);
    place.write("spinit", bait);
    const std::filesystem::path before = std::filesystem::current_path();
    std::filesystem::current_path(place.path());
    const Environment home("HOME", place.path());
    const Environment scripts("SPICE_SCRIPTS", place.path());

    const bool isBait = succeedsInNewProcess([] {
        const PlainNgspice ngspice;
        return true;
    });
    EXPECT_TRUE(isBait);
    EXPECT_TRUE(std::filesystem::exists(trace));  // ngspice by itself does execute them
    std::filesystem::remove(trace);

    EXPECT_NO_THROW(SimulatorPool(1).run(chargingCapacitor()));
    EXPECT_FALSE(std::filesystem::exists(trace));
    std::filesystem::current_path(before);
}

TEST(SessionProcess, AProgramWithoutStandardFilesCanRun)
{
    const Waveforms expected = SimulatorPool(1).run(chargingCapacitor());
    EXPECT_TRUE(succeedsInNewProcess([&] {
        close(STDIN_FILENO);
        close(STDOUT_FILENO);
        SimulatorPool pool(1);
        return isSame(pool.run(chargingCapacitor()), expected);
    }));
}

TEST(SessionProcess, APlaceForTemporaryFilesThatTakesNoneIsReported)
{
    const Environment environment("TMPDIR", "/proc");
    SimulatorPool pool(1);
    const SimulationOutcome outcome = outcomeOf(pool, chargingCapacitor());
    ASSERT_EQ(faultOf(outcome), faultName(SimulationFault::libraryMissing));
    const std::string message = std::get<SimulationError>(outcome).what();
    EXPECT_NE(message.find("temporary files"), std::string::npos) << message;
}

}  // namespace
}  // namespace splitstart
