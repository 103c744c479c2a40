#include <fmt/format.h>
#include <poll.h>
#include <sys/types.h>
#include <time.h>  // NOLINT(modernize-deprecated-headers): POSIX clocks

#include <algorithm>
#include <cerrno>
#include <chrono>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <deque>
#include <limits>
#include <memory>
#include <optional>
#include <stdexcept>
#include <system_error>
#include <thread>
#include <utility>

#include "spice/deck_check.h"
#include "spice/messages.h"
#include "spice/simulation.h"
#include "spice/simulation_job.h"
#include "spice/spawner.h"
#include "spice/worker_status.h"

namespace splitstart
{
namespace
{

using Clock = std::chrono::steady_clock;

constexpr std::size_t readableLines = 60;
const std::string systemLibrary = "libngspice.so.0";

std::size_t workerCount(unsigned wanted)
{
    constexpr unsigned most = 256;
    return std::clamp(wanted == 0 ? std::thread::hardware_concurrency() : wanted, 1U, most);
}

struct Attempt {
    std::size_t index = 0;  // of the request, in the order in which they were handed out
    std::shared_ptr<const SimulationRequest> request;
    bool isRetry = false;  // goes to a fresh worker, and is not tried again
};

struct RunningJob {
    Attempt attempt;
    bool isTransient = true;
    double end = 0;
    Clock::time_point deadline;     // when to look again
    double processorAtBegin_s = 0;  // of the worker
    double processorSeen_s = 0;
};

// One place for a worker, which may be empty.
struct Place {
    WorkerHandle worker;
    bool isFresh = true;  // the worker has had no job yet
    std::optional<RunningJob> job;
    MessageReader reader;
};

// Such an outcome may come from damage that an earlier run did to the worker.
bool isDoubtful(const WorkerReply& reply)
{
    return reply.trouble && (reply.trouble->fault == SimulationFault::controlledExit ||
                             reply.trouble->fault == SimulationFault::notRun);
}

Clock::time_point deadlineAfter(double limit_s)
{
    constexpr double longest_s = 1e6;
    const double used_s = std::isnan(limit_s) ? 0 : std::clamp(limit_s, 0.0, longest_s);
    return Clock::now() +
           std::chrono::duration_cast<Clock::duration>(std::chrono::duration<double>(used_s));
}

// Processor time that the process has taken; 0 where it cannot be told.
double processorTime_s(pid_t process)
{
    clockid_t clock{};
    timespec used{};
    constexpr double nano = 1e-9;
    if (clock_getcpuclockid(process, &clock) != 0 || clock_gettime(clock, &used) != 0) {
        return 0;
    }
    return static_cast<double>(used.tv_sec) + nano * static_cast<double>(used.tv_nsec);
}

// The processes, and what outlives one call of runAll.
struct Processes {
    Processes(std::size_t workers, const std::string& library)
        : spawner(library, workers), places(workers)
    {
    }
    Spawner spawner;
    std::vector<Place> places;
    std::uint64_t titles = 0;
    bool isRunning = false;
};

// One call of runStream.
class Stream
{
public:
    Stream(Processes& processes, const SimulationSource& source);
    ~Stream();
    Stream(const Stream&) = delete;
    Stream& operator=(const Stream&) = delete;
    // True if the source was done with, false if it had to stop.
    bool run();

private:
    std::optional<Attempt> newAttempt();
    std::optional<Attempt> nextAttempt();
    void prepareAhead();
    void fill(Place& place);
    void beginPrepared(Place& place);
    void beginOrTell(Place& place, const Attempt& attempt);
    [[nodiscard]] bool isIdle() const;
    void begin(Place& place, const Attempt& attempt);
    void waitForAnswers();
    void receive(Place& place);
    void accept(Place& place, WorkerReply reply);
    void lose(Place& place);
    void stopOverdue(Place& place);
    std::string retire(Place& place) { return processes_.spawner.retire(place.worker); }
    WorkerStatus& status(const Place& place)
    {
        return processes_.spawner.status(
            static_cast<std::size_t>(&place - processes_.places.data()));
    }
    std::string reached(const Place& place);
    void fail(Place& place, SimulationFault fault, const std::string& message);

    Processes& processes_;
    const SimulationSource& source_;
    std::deque<Attempt> retries_;
    std::deque<Attempt> ready_;  // made while the workers were at work
    std::size_t handedOut_ = 0;
};

Stream::Stream(Processes& processes, const SimulationSource& source)
    : processes_(processes), source_(source)
{
    if (std::exchange(processes_.isRunning, true)) {
        throw std::logic_error("a simulator pool was used while it was running");
    }
}

Stream::~Stream()
{
    // Jobs are left only when the source threw or had to stop.
    for (Place& place : processes_.places) {
        if (place.job) {
            retire(place);
            place.job.reset();
        }
    }
    processes_.isRunning = false;
}

bool Stream::isIdle() const
{
    return std::none_of(processes_.places.begin(), processes_.places.end(),
                        [](const Place& place) { return place.job.has_value(); });
}

bool Stream::run()
{
    while (true) {
        if (source_.keepGoing && !source_.keepGoing()) {
            return false;
        }
        for (Place& place : processes_.places) {
            fill(place);
        }
        if (isIdle()) {
            return true;
        }
        prepareAhead();
        waitForAnswers();
    }
}

std::optional<Attempt> Stream::newAttempt()
{
    std::optional<SimulationRequest> request = source_.next();
    if (!request) {
        return std::nullopt;
    }
    return Attempt{handedOut_++, std::make_shared<const SimulationRequest>(std::move(*request)),
                   false};
}

// One request for each worker, so that none waits for its next job while the outcome of the last
// one is looked at.
void Stream::prepareAhead()
{
    while (ready_.size() < processes_.places.size()) {
        std::optional<Attempt> attempt = newAttempt();
        if (!attempt) {
            return;
        }
        ready_.push_back(std::move(*attempt));
    }
}

std::optional<Attempt> Stream::nextAttempt()
{
    if (!retries_.empty()) {
        Attempt attempt = std::move(retries_.front());
        retries_.pop_front();
        return attempt;
    }
    if (!ready_.empty()) {
        Attempt attempt = std::move(ready_.front());
        ready_.pop_front();
        return attempt;
    }
    return newAttempt();
}

void Stream::beginOrTell(Place& place, const Attempt& attempt)
{
    try {
        begin(place, attempt);
    } catch (const SimulationError& error) {
        source_.take(attempt.index, error);
    }
}

void Stream::fill(Place& place)
{
    while (!place.job) {
        const std::optional<Attempt> attempt = nextAttempt();
        if (!attempt) {
            return;
        }
        beginOrTell(place, *attempt);
    }
}

void Stream::beginPrepared(Place& place)
{
    if (!place.job && retries_.empty() && !ready_.empty()) {
        const Attempt attempt = std::move(ready_.front());
        ready_.pop_front();
        beginOrTell(place, attempt);
    }
}

void Stream::begin(Place& place, const Attempt& attempt)
{
    const SimulationRequest& request = *attempt.request;
    const SimulationJob job =
        prepareJob(request, fmt::format("splitstart run {}", ++processes_.titles));
    if (attempt.isRetry && !place.isFresh && place.worker.process > 0) {
        retire(place);
    }
    if (place.worker.process <= 0) {
        place.worker =
            processes_.spawner.start(static_cast<std::size_t>(&place - processes_.places.data()));
        place.isFresh = true;
    }
    status(place).reached = 0;
    status(place).valuesBegun = 0;
    status(place).logLength = 0;
    place.reader = {};
    const double processor_s = processorTime_s(place.worker.process);
    place.job = RunningJob{attempt,     job.transient, job.end, deadlineAfter(request.timeLimit_s),
                           processor_s, processor_s};
    if (!sendMessage(place.worker.socket.get(), encode(job))) {
        lose(place);
    }
}

void Stream::waitForAnswers()
{
    std::vector<pollfd> files;
    std::vector<Place*> owners;
    Clock::time_point earliest = Clock::time_point::max();
    for (Place& place : processes_.places) {
        if (place.job) {
            files.push_back({place.worker.socket.get(), POLLIN, 0});
            owners.push_back(&place);
            earliest = std::min(earliest, place.job->deadline);
        }
    }
    if (files.empty()) {
        return;
    }
    const auto left = std::chrono::ceil<std::chrono::milliseconds>(earliest - Clock::now()).count();
    // Where somebody may want to stop it, a signal that comes just before the wait is seen soon.
    constexpr std::int64_t longestDeaf_ms = 200;
    const auto wait_ms = std::clamp<std::int64_t>(
        left, 0, source_.keepGoing ? longestDeaf_ms : std::numeric_limits<int>::max());
    if (poll(files.data(), files.size(), static_cast<int>(wait_ms)) < 0 && errno != EINTR) {
        throw std::system_error(errno, std::generic_category(), "cannot wait for the simulator");
    }
    for (std::size_t i = 0; i < files.size(); ++i) {
        if (files[i].revents != 0) {
            receive(*owners[i]);
        }
        if (owners[i]->job) {
            stopOverdue(*owners[i]);
        }
    }
}

void Stream::receive(Place& place)
{
    switch (place.reader.read(place.worker.socket.get(), false)) {
        case MessageReader::State::incomplete:
            return;
        case MessageReader::State::closed:
            lose(place);
            return;
        case MessageReader::State::complete:
            break;
    }
    try {
        accept(place, decodeReply(place.reader.take()));
    } catch (const std::out_of_range&) {
        lose(place);
    }
}

void Stream::accept(Place& place, WorkerReply reply)
{
    const Attempt attempt = place.job->attempt;
    const bool isBlameless = isDoubtful(reply) && !place.isFresh && !attempt.isRetry;
    place.job.reset();
    place.isFresh = false;
    if (reply.retire) {
        retire(place);
    }
    if (isBlameless) {
        retries_.push_back({attempt.index, attempt.request, true});
        return;
    }
    beginPrepared(place);
    if (reply.trouble) {
        source_.take(attempt.index, SimulationError(reply.trouble->fault, reply.trouble->message,
                                                    std::move(reply.log)));
    } else {
        source_.take(attempt.index, std::move(reply.waveforms));
    }
}

std::string Stream::reached(const Place& place)
{
    const char* const unit = place.job->isTransient ? "s" : "Hz";
    std::string text = fmt::format("{:.6g} {} of {:.6g} {}", status(place).reached.load(), unit,
                                   place.job->end, unit);
    const std::optional<SourceSweep>& sweep = place.job->attempt.request->sweep;
    const std::size_t begun = status(place).valuesBegun;
    if (sweep && begun >= 1 && begun <= sweep->values.size()) {
        text += fmt::format(" with {} at {}", sweep->source, sweep->values[begun - 1]);
    }
    return text;
}

// The worker has died.
void Stream::lose(Place& place)
{
    const Attempt attempt = place.job->attempt;
    const std::string end = retire(place);
    if (!attempt.isRetry) {
        place.job.reset();
        retries_.push_back({attempt.index, attempt.request, true});
        return;
    }
    fail(place, SimulationFault::crashed,
         fmt::format("ngspice broke down twice with this deck, the second time at {} ({}); "
                     "simplify the circuit, and report it with the deck.",
                     reached(place), end));
}

void Stream::stopOverdue(Place& place)
{
    if (Clock::now() < place.job->deadline) {
        return;
    }
    // On a busy machine, or after the whole was stopped for a while, it has not had its time yet.
    const double limit_s = place.job->attempt.request->timeLimit_s;
    const double processor_s = processorTime_s(place.worker.process);
    const double left_s = limit_s - (processor_s - place.job->processorAtBegin_s);
    constexpr double shortestWait_s = 0.01;
    if (left_s > shortestWait_s &&
        processor_s > std::exchange(place.job->processorSeen_s, processor_s)) {
        place.job->deadline = deadlineAfter(left_s);
        return;
    }
    retire(place);
    fail(place, SimulationFault::timeLimit,
         fmt::format("The simulation was stopped after its time limit of {:.6g} s, at {}; look for "
                     "a contact that chatters there, or allow more time.",
                     place.job->attempt.request->timeLimit_s, reached(place)));
}

void Stream::fail(Place& place, SimulationFault fault, const std::string& message)
{
    const std::size_t index = place.job->attempt.index;
    SimulationError error(fault, message, lastLines(logText(status(place)), readableLines));
    place.job.reset();
    source_.take(index, std::move(error));
}

}  // namespace

class SimulatorPool::Implementation
{
public:
    Implementation(std::size_t workers, const std::string& library) : processes_(workers, library)
    {
    }
    bool runStream(const SimulationSource& source) { return Stream(processes_, source).run(); }
    std::string version() { return processes_.spawner.version(); }

private:
    Processes processes_;
};

SimulatorPool::SimulatorPool(unsigned workers, const std::string& library)
    : implementation_(std::make_unique<Implementation>(workerCount(workers),
                                                       library.empty() ? systemLibrary : library))
{
}

SimulatorPool::~SimulatorPool() = default;

Waveforms SimulatorPool::run(const SimulationRequest& request)
{
    std::vector<SimulationOutcome> outcomes = runAll({&request, 1});
    if (auto* const error = std::get_if<SimulationError>(&outcomes.front())) {
        throw std::move(*error);
    }
    return std::get<Waveforms>(std::move(outcomes.front()));
}

std::vector<SimulationOutcome> SimulatorPool::runAll(
    std::span<const SimulationRequest> requests,
    const std::function<void(std::size_t, std::size_t)>& progress)
{
    std::vector<SimulationOutcome> outcomes(requests.size());
    std::size_t begun = 0;
    std::size_t finished = 0;
    SimulationSource source;
    source.next = [&]() -> std::optional<SimulationRequest> {
        if (begun == requests.size()) {
            return std::nullopt;
        }
        return requests[begun++];
    };
    source.take = [&](std::size_t index, SimulationOutcome outcome) {
        outcomes[index] = std::move(outcome);
        ++finished;
        if (progress) {
            progress(finished, requests.size());
        }
    };
    implementation_->runStream(source);
    return outcomes;
}

bool SimulatorPool::runStream(const SimulationSource& source)
{
    return implementation_->runStream(source);
}

std::string SimulatorPool::version()
{
    return implementation_->version();
}

}  // namespace splitstart
