// One deck run at a row of values of a source, read by ngspice once.

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <chrono>
#include <cmath>
#include <complex>
#include <csignal>
#include <limits>
#include <numbers>
#include <thread>

#include "physics/near.h"
#include "spice/run_evidence.h"
#include "spice/session_decks.h"
#include "spice/session_processes.h"
#include "spice/simulation.h"

namespace splitstart
{
namespace
{

// A filter behind an amplifier whose gain is the volts of vgain: v(out) = gain / (1 + j 2 pi f R
// C).
SimulationRequest amplifiedFilter(double gain = 1)
{
    SimulationRequest request;
    request.deck = fmt::format(
        "an amplifier\n"
        "v1 in 0 dc 0 ac 1\n"
        "Vgain control 0 dc {:.17g}\n"
        "b1 0 middle i=v(in)*v(control)\n"
        "r1 middle 0 1\n"
        "e1 strong 0 middle 0 1\n"
        "r2 strong out 1000\n"
        "c1 out 0 1e-6\n"
        ".ac lin 1 60 60\n"
        ".end\n",
        gain);
    request.vectors = {"out", "vgain#branch"};
    return request;
}

SimulationRequest sweptFilter(std::vector<double> gains)
{
    SimulationRequest request = amplifiedFilter();
    request.sweep = SourceSweep{"vgain", std::move(gains)};
    return request;
}

// Has a node whose volts are beyond the numbers when the gain is 1e200.
SimulationRequest overflowingFilter(std::vector<double> gains)
{
    SimulationRequest request = sweptFilter(std::move(gains));
    request.deck.replace(request.deck.find(".ac"), 0,
                         "b2 0 huge i=v(in)*v(control)*1e200\nr3 huge 0 1\n");
    request.vectors.emplace_back("huge");
    return request;
}

const std::vector<double> someGains{-3.25, 0, 1.0 / 3, 1e-9, 4.5e7, -2e-5, 376.99111843077515, 1};

std::string messageOf(const SimulationOutcome& outcome)
{
    const auto* const error = std::get_if<SimulationError>(&outcome);
    return error == nullptr ? "" : error->what();
}

TEST(SessionSweep, HasThePhasorOfTheTextbookAtEachValue)
{
    SimulatorPool pool(1);
    const Waveforms run = pool.run(sweptFilter(someGains));
    EXPECT_EQ(run.frequency_Hz, std::vector<double>(someGains.size(), 60));
    ASSERT_EQ(run.phasors.size(), 2U);
    ASSERT_EQ(run.phasors[0].size(), someGains.size());
    ASSERT_EQ(run.phasors[1].size(), someGains.size());
    for (std::size_t i = 0; i < someGains.size(); ++i) {
        const std::complex<double> expected =
            someGains[i] / std::complex<double>(1, 2 * std::numbers::pi * 60 * 1e-3);
        EXPECT_LE(std::abs(run.phasors[0][i] - expected), 1e-9 * std::abs(expected)) << i;
    }
    EXPECT_FALSE(run.stoppedEarly);
}

TEST(SessionSweep, EqualsRunsOfTheirOwn)
{
    SimulatorPool pool(1);
    const Waveforms swept = pool.run(sweptFilter(someGains));
    for (std::size_t i = 0; i < someGains.size(); ++i) {
        const Waveforms single = pool.run(amplifiedFilter(someGains[i]));
        const std::complex<double> expected = single.phasors.at(0).at(0);
        EXPECT_LE(std::abs(swept.phasors.at(0).at(i) - expected), 1e-12 * std::abs(expected)) << i;
    }
}

TEST(SessionSweep, TakesTheNameInCapitalsAndOneValue)
{
    SimulatorPool pool(1);
    SimulationRequest request = sweptFilter({7});
    const Waveforms expected = pool.run(request);
    request.sweep->source = "VGain";
    EXPECT_TRUE(isSame(pool.run(request), expected));
    EXPECT_EQ(expected.frequency_Hz.size(), 1U);
}

TEST(SessionSweep, LeavesTheNextRunInItsWorkerAsItWas)
{
    WatchedPool pool(1);
    const Waveforms transient = pool->run(chargingCapacitor());
    const Waveforms single = pool->run(amplifiedFilter());
    const Waveforms swept = pool->run(sweptFilter(someGains));
    const std::vector<pid_t> workers = pool.workers();
    EXPECT_TRUE(isSame(pool->run(chargingCapacitor()), transient));
    EXPECT_TRUE(isSame(pool->run(amplifiedFilter()), single));
    EXPECT_TRUE(isSame(pool->run(sweptFilter(someGains)), swept));
    EXPECT_EQ(pool.workers(), workers);
}

TEST(SessionSweep, NeedsTheNameOfAVoltageSourceOfTheDeck)
{
    SimulatorPool pool(1);
    for (const char* const name : {"",
                                   "v9",
                                   "r1",
                                   "e1",
                                   "b1",
                                   "out",
                                   "control",
                                   "v",
                                   "vgain ",
                                   " vgain",
                                   "vgain;quit",
                                   "vgain\nquit",
                                   "vgain dc = 3 ; shell",
                                   "vgain`quit`",
                                   "v*",
                                   "$vgain",
                                   "@vgain",
                                   "vgain[dc]",
                                   "vgain.x",
                                   "v-gain",
                                   "vg\xc3\xa4in",
                                   "vinside",
                                   "v.x1.vinside",
                                   "vinblock"}) {
        SCOPED_TRACE(name);
        SimulationRequest request = sweptFilter({1, 2});
        request.deck.replace(request.deck.find(".ac"), 0,
                             "x1 out inner\n.subckt inner a\nvinside a b dc 0\nr1 b 0 1e6\n.ends\n"
                             ".if (1 > 0)\nvinblock y 0 dc 0\n.endif\nr7 y 0 1\n");
        request.sweep->source = name;
        const SimulationOutcome outcome = outcomeOf(pool, request);
        EXPECT_EQ(faultOf(outcome), faultName(SimulationFault::deckRefused));
        EXPECT_NE(messageOf(outcome).find("not given to ngspice"), std::string::npos)
            << messageOf(outcome);
        EXPECT_EQ(messageOf(outcome).find('\n'), std::string::npos);
        request.sweep->source = "vgain";
        EXPECT_EQ(faultOf(outcomeOf(pool, request)), "none");
    }
}

TEST(SessionSweep, NeedsValuesThatAreFinite)
{
    SimulatorPool pool(1);
    constexpr double infinity = std::numeric_limits<double>::infinity();
    for (const double value : {std::numeric_limits<double>::quiet_NaN(), infinity, -infinity}) {
        const SimulationOutcome outcome = outcomeOf(pool, sweptFilter({1, value, 2}));
        EXPECT_EQ(faultOf(outcome), faultName(SimulationFault::deckRefused));
        EXPECT_NE(messageOf(outcome).find("vgain"), std::string::npos) << messageOf(outcome);
    }
    EXPECT_EQ(faultOf(outcomeOf(pool, sweptFilter({}))), faultName(SimulationFault::deckRefused));
}

TEST(SessionSweep, NeedsASingleFrequency)
{
    SimulatorPool pool(1);
    SimulationRequest transient = chargingCapacitor();
    transient.sweep = SourceSweep{"v1", {1, 2}};
    SimulationRequest several = sweptFilter({1, 2});
    several.deck.replace(several.deck.find(".ac"), std::string::npos, ".ac lin 2 50 60\n.end\n");
    SimulationRequest octaves = sweptFilter({1, 2});
    octaves.deck.replace(octaves.deck.find(".ac"), std::string::npos, ".ac oct 1 50 60\n.end\n");
    for (const SimulationRequest& request : {transient, several, octaves}) {
        const SimulationOutcome outcome = outcomeOf(pool, request);
        EXPECT_EQ(faultOf(outcome), faultName(SimulationFault::deckRefused));
        EXPECT_NE(messageOf(outcome).find("single frequency"), std::string::npos)
            << messageOf(outcome);
    }
}

TEST(SessionSweep, NamesTheValueAtWhichARunFails)
{
    SimulatorPool pool(1);
    EXPECT_EQ(faultOf(outcomeOf(pool, overflowingFilter({1, 2, 4}))), "none");
    for (const std::vector<double>& gains :
         {std::vector<double>{1, 2, 1e200, 4}, std::vector<double>{1e200}}) {
        const SimulationOutcome outcome = outcomeOf(pool, overflowingFilter(gains));
        EXPECT_NE(faultOf(outcome), "none");
        EXPECT_TRUE(messageOf(outcome).starts_with("With vgain at 1e+200: ")) << messageOf(outcome);
        EXPECT_FALSE(std::get<SimulationError>(outcome).log().empty());
    }
}

TEST(SessionSweep, BlamesNoValueForADeckThatDoesNotLoad)
{
    SimulatorPool pool(1);
    SimulationRequest request = sweptFilter({1, 2});
    request.deck.replace(request.deck.find(".ac"), 0, "s1 out 0 in 0 nomodel\n");
    const SimulationOutcome outcome = outcomeOf(pool, request);
    EXPECT_EQ(faultOf(outcome), faultName(SimulationFault::deckRefused));
    EXPECT_EQ(messageOf(outcome).find("With"), std::string::npos) << messageOf(outcome);
    EXPECT_NE(messageOf(outcome).find("nomodel"), std::string::npos) << messageOf(outcome);
    request = sweptFilter({1, 2});
    request.vectors = {"out", "nowhere"};
    EXPECT_EQ(faultOf(outcomeOf(pool, request)), faultName(SimulationFault::missingVector));
}

std::vector<double> manyGains(std::size_t count)
{
    std::vector<double> gains;
    for (std::size_t i = 0; i < count; ++i) {
        gains.push_back(1 + static_cast<double>(i));
    }
    return gains;
}

TEST(SessionSweep, EndsAtItsTimeLimitAndSaysHowFarItCame)
{
    SimulatorPool pool(1);
    pool.run(amplifiedFilter());
    SimulationRequest request = sweptFilter(manyGains(500000));
    request.timeLimit_s = 0.3;
    const auto start = std::chrono::steady_clock::now();
    const SimulationOutcome outcome = outcomeOf(pool, request);
    const std::chrono::duration<double> taken = std::chrono::steady_clock::now() - start;
    EXPECT_EQ(faultOf(outcome), faultName(SimulationFault::timeLimit));
    EXPECT_LE(taken.count(), 3);
    EXPECT_NE(messageOf(outcome).find("with vgain at "), std::string::npos) << messageOf(outcome);
    EXPECT_EQ(faultOf(outcomeOf(pool, amplifiedFilter())), "none");
}

TEST(SessionSweep, IsRunAgainWhenItsWorkerDies)
{
    WatchedPool pool(1);
    const SimulationRequest request = sweptFilter(manyGains(20000));
    const Waveforms expected = pool->run(request);
    pool->run(amplifiedFilter());  // starts the worker that is killed
    const pid_t worker = pool.workers().at(0);
    const std::jthread killer([worker] {
        std::this_thread::sleep_for(std::chrono::milliseconds(100));
        kill(worker, SIGKILL);
    });
    EXPECT_TRUE(isSame(pool->run(request), expected));
}

TEST(SessionSweep, MemoryStaysFlatOverTwoThousandSweeps)
{
    const SimulationRequest request = sweptFilter({1, 2});
    WatchedPool pool(1);
    pool->runAll(std::vector<SimulationRequest>(100, request));
    const std::vector<pid_t> workers = pool.workers();
    const long before_bytes = residentMemory_bytes(workers.at(0));
    for (const SimulationOutcome& outcome :
         pool->runAll(std::vector<SimulationRequest>(2000, request))) {
        ASSERT_EQ(faultOf(outcome), "none");
    }
    pool->run(sweptFilter(manyGains(500)));  // nor does a long one leave its plots behind
    pool->run(request);
    // The address sanitizer keeps freed memory back for a while, until the pool replaces the
    // worker.
    constexpr long allowed_bytes = (isSanitized ? 80L : 2L) << 20U;
    EXPECT_TRUE(isSanitized || pool.workers() == workers);  // it is the same one
    const long growth_bytes = residentMemory_bytes(pool.workers().at(0)) - before_bytes;
    EXPECT_LE(growth_bytes, allowed_bytes);
    RecordProperty("growth_bytes", std::to_string(growth_bytes));
}

// The run at one value of a sweep, proved, to be spoiled in one point.
SimulationJob soundSweep()
{
    SimulationJob job;
    job.title = "splitstart run 7";
    job.lines = {job.title, "v1 a 0 dc 1", ".end"};
    job.vectors = {"a"};
    job.transient = false;
    job.end = job.reachAtLeast = 60;
    job.sweep = SourceSweep{"v1", {5, 6}};
    return job;
}

RunEvidence soundEvidence()
{
    RunEvidence evidence;
    evidence.analysesStarted = 1;
    evidence.reportedTitle = soundSweep().title;
    evidence.points = 1;
    evidence.reached = 60;
    evidence.sweptValue = evidence.sourceReads = 6;
    return evidence;
}

std::string faultIn(const RunEvidence& evidence)
{
    const std::optional<Trouble> trouble = findTrouble(soundSweep(), evidence);
    EXPECT_TRUE(!trouble || trouble->message.starts_with("With v1 at 6: "));
    return trouble ? faultName(trouble->fault) : "none";
}

TEST(SessionSweep, ProvesEachOfItsRuns)
{
    EXPECT_EQ(faultIn(soundEvidence()), "none");

    RunEvidence evidence = soundEvidence();
    evidence.sourceReads.reset();
    EXPECT_EQ(faultIn(evidence), "not run");

    evidence = soundEvidence();
    evidence.sourceReads = 5;  // the value before
    EXPECT_EQ(faultIn(evidence), "not run");

    evidence = soundEvidence();
    evidence.sourceReads = std::numeric_limits<double>::quiet_NaN();
    EXPECT_EQ(faultIn(evidence), "not run");

    evidence = soundEvidence();
    evidence.points = 2;
    EXPECT_EQ(faultIn(evidence), "not run");

    evidence = soundEvidence();
    evidence.points = 0;
    EXPECT_EQ(faultIn(evidence), "no convergence");

    evidence = soundEvidence();
    evidence.analysesStarted = 2;
    EXPECT_EQ(faultIn(evidence), "not run");

    evidence = soundEvidence();
    evidence.reportedTitle = "splitstart run 6";
    EXPECT_EQ(faultIn(evidence), "not run");

    evidence = soundEvidence();
    evidence.reached = 50;
    EXPECT_EQ(faultIn(evidence), "aborted");

    evidence = soundEvidence();
    evidence.notFiniteVector = "a";
    EXPECT_EQ(faultIn(evidence), "not finite");
}

// The session's own second look: the check of the deck is left out here.
TEST(SessionSweep, OfASourceThatNgspiceDoesNotHaveIsNotRun)
{
    EXPECT_TRUE(succeedsInNewProcess([] {
        PlainNgspice ngspice;
        SimulationJob job = soundSweep();
        job.sweep->source = "v2";
        job.lines = {job.title, "v1 a 0 dc 1", "r1 a 0 1", ".ac lin 1 60 60", ".end"};
        const WorkerReply reply = ngspice.session.run(job);
        return reply.trouble && reply.trouble->fault == SimulationFault::notRun;
    }));
}

}  // namespace
}  // namespace splitstart
