// Running decks in embedded ngspice, each in a worker process that cannot spoil the next run.
//
// ngspice reports success on most failures, so a run counts only when it proves itself: the deck
// loaded, no controlled exit came, the analysis reported this deck's own title, every vector asked
// for is there, the last point is at the end, and every value is finite. Anything else is a
// SimulationError with a named fault. Each value of a sweep is a run that must prove itself.
#pragma once

#include <complex>
#include <functional>
#include <memory>
#include <optional>
#include <span>
#include <stdexcept>
#include <string>
#include <variant>
#include <vector>

namespace splitstart
{

// Ends a transient before its end: once the mean of `vector` over the last `meanOver_s` has been at
// or above `threshold` without a break for `heldFor_s` and for `heldForShare` of the time that it
// took to get there, though not before `notBefore_s`.
struct StopRule {
    std::string vector;
    double threshold = 0;
    double heldFor_s = 0;
    double heldForShare = 0;
    double meanOver_s = 0;  // 0: each value counts
    double notBefore_s = 0;
};

// Runs one deck at several values of a source that it is read only once for.
struct SourceSweep {
    std::string source;          // an independent voltage source outside all subcircuits, "vshaft"
    std::vector<double> values;  // its direct volts, one run each; finite
};

// One deck to run. The deck holds exactly one analysis card, .tran or .ac, and no control section.
struct SimulationRequest {
    // First line: a title (the session puts one of its own in its place, a new one for each run),
    // last line: .end. Comment lines are not handed on.
    std::string deck;
    std::vector<std::string> vectors;  // node names ("speed") and source currents ("vmain#branch")
    double end_s = 0;                  // last time of the .tran card; 0: the deck has an .ac card
    std::optional<StopRule> stop;      // transients only
    std::optional<SourceSweep> sweep;  // an .ac card with a single frequency only
    // Processor time, for a whole sweep; past it the worker is killed. One that takes none for as
    // long is killed, too.
    double timeLimit_s = 60;
};

// The vectors asked for, in that order. A transient fills time_s and real; an .ac run fills
// frequency_Hz and phasors (peak values, cosine reference). With `uic` on the .tran card the first
// point is ngspice's first step, not time zero. A run that was stopped ends with the point at which
// the rule was met. A sweep gives one point for each value, in the order of the values.
struct Waveforms {
    std::vector<double> time_s;
    std::vector<std::vector<double>> real;
    std::vector<double> frequency_Hz;
    std::vector<std::vector<std::complex<double>>> phasors;
    bool stoppedEarly = false;
};

enum class SimulationFault {
    libraryMissing,      // libngspice cannot be loaded or does not start
    deckRefused,         // ngspice could not parse the deck (unknown model, bad value, ...), or the
                         // session did not hand it to ngspice (see deck_check.h)
    undefinedParameter,  // a name in braces is not defined
    controlledExit,      // ngspice gave up as a whole
    notRun,              // the analysis never started, or another circuit ran instead
    missingVector,       // a vector asked for does not exist
    noConvergence,       // no operating point
    aborted,             // the run ended before its end
    notFinite,           // a value is infinite or not a number
    timeLimit,           // killed after timeLimit_s
    crashed,             // the worker process died
};

// In words, such as "deck refused".
const char* faultName(SimulationFault fault);

// what() is one sentence: what happened, at which time or line of the deck, and what to try.
class SimulationError : public std::runtime_error
{
public:
    SimulationError(SimulationFault fault, const std::string& message, std::string log);
    [[nodiscard]] SimulationFault fault() const { return fault_; }
    [[nodiscard]] const std::string& log() const { return log_; }  // last lines ngspice wrote

private:
    SimulationFault fault_;
    std::string log_;
};

using SimulationOutcome = std::variant<Waveforms, SimulationError>;

// Requests that are made as they are needed and outcomes that are taken as they come, so that no
// more is kept than what is running and as much again, made ready while it runs. All are called in
// the thread that runs the stream.
struct SimulationSource {
    // The next request; empty: none at present. It is asked again after each outcome.
    std::function<std::optional<SimulationRequest>()> next;
    // The outcome of the request that was handed out as that one (0: the first).
    std::function<void(std::size_t, SimulationOutcome)> take;
    // Asked before each wait, several times a second; false ends the stream, and what is running
    // with it. May be empty.
    std::function<bool()> keepGoing;
};

// Worker processes, each with one ngspice, kept while proven clean and replaced after any trouble.
// Construct it while the process has one thread, in a thread that lives as long as the pool (the
// workers end with it), and use it from one thread at a time. Not copyable.
//
// A run whose worker died, or that ngspice gave up on in a worker that had run other decks before,
// is run once more in a fresh worker, so that no deck is blamed for what happened before it.
class SimulatorPool
{
public:
    // `workers` 0: one for each processor. `library`: name or path of the ngspice library, empty:
    // the system's. A library that cannot be loaded shows as a fault of the first run.
    explicit SimulatorPool(unsigned workers = 0, const std::string& library = {});
    ~SimulatorPool();
    SimulatorPool(const SimulatorPool&) = delete;
    SimulatorPool& operator=(const SimulatorPool&) = delete;

    // Runs one deck. Throws SimulationError.
    Waveforms run(const SimulationRequest& request);

    // Runs all, in parallel; outcomes in the order of the requests, the same whatever the number of
    // workers. `progress(done, all)` is called in this thread after each.
    std::vector<SimulationOutcome> runAll(
        std::span<const SimulationRequest> requests,
        const std::function<void(std::size_t, std::size_t)>& progress = {});

    // Runs what the source hands out until it has nothing more and all is finished (true), or until
    // it does not keep going (false). What the source throws ends the stream, too.
    bool runStream(const SimulationSource& source);

    // ngspice's own version, such as "39". Throws SimulationError (libraryMissing).
    std::string version();

private:
    class Implementation;
    std::unique_ptr<Implementation> implementation_;
};

}  // namespace splitstart
