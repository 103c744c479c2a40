// Every way a run can fail must be named, and must not spoil the next run.

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <chrono>
#include <map>

#include "spice/run_evidence.h"
#include "spice/session_decks.h"
#include "spice/session_processes.h"
#include "spice/simulation.h"

namespace splitstart
{
namespace
{

TEST(SessionFault, IsNamedWithWhatIsAtFault)
{
    SimulatorPool pool(1);
    for (const FaultyDeck& faulty : faultyDecks()) {
        SCOPED_TRACE(faulty.name);
        const SimulationOutcome outcome = outcomeOf(pool, faulty.request);
        ASSERT_EQ(faultOf(outcome), faultName(faulty.fault));
        const auto& error = std::get<SimulationError>(outcome);
        for (const std::string& part : faulty.inMessage) {
            EXPECT_NE(std::string(error.what()).find(part), std::string::npos)
                << "no `" << part << "` in: " << error.what();
        }
        EXPECT_EQ(std::string(error.what()).find('\n'), std::string::npos);
        EXPECT_FALSE(error.log().empty());
    }
}

TEST(SessionFault, LeavesTheNextRunAsItWas)
{
    WatchedPool pool(1);
    const Waveforms before = pool->run(chargingCapacitor());
    for (const FaultyDeck& faulty : faultyDecks()) {
        SCOPED_TRACE(faulty.name);
        const std::vector<pid_t> workers = pool.workers();
        EXPECT_EQ(faultOf(outcomeOf(*pool, faulty.request)), faultName(faulty.fault));
        EXPECT_TRUE(isSame(pool->run(chargingCapacitor()), before));
        EXPECT_NE(pool.workers(), workers);  // a worker is not trusted after trouble
    }
}

TEST(SessionFault, IsToldApartAmongSixHundredRuns)
{
    const std::vector<FaultyDeck> faulty = faultyDecks();
    std::vector<SimulationRequest> requests;
    std::vector<std::string> expected;
    for (std::size_t i = 0; i < 600; ++i) {
        if (i % 3 == 2) {
            const FaultyDeck& deck = faulty[i / 3 % faulty.size()];
            requests.push_back(deck.request);
            expected.emplace_back(faultName(deck.fault));
        } else {
            const auto resistance_ohm = 500 + static_cast<double>(i % 7);
            requests.push_back(i % 3 == 0 ? chargingCapacitor(resistance_ohm)
                                          : filterAt(50, resistance_ohm));
            expected.emplace_back("none");
        }
    }
    SimulatorPool pool(2);
    const std::vector<SimulationOutcome> outcomes = pool.runAll(requests);
    std::map<std::size_t, SimulationOutcome> references;  // by kind of good deck
    for (std::size_t i = 0; i < outcomes.size(); ++i) {
        ASSERT_EQ(faultOf(outcomes[i]), expected[i]) << "run " << i;
        if (expected[i] == "none") {
            const std::size_t kind = i % 3 * 7 + i % 7;
            const auto [reference, isFirst] = references.try_emplace(kind, outcomes[i]);
            EXPECT_TRUE(isFirst || isSame(outcomes[i], reference->second)) << "run " << i;
        }
    }
}

TEST(SessionFault, OfTheClockComesSoonAfterTheLimit)
{
    SimulatorPool pool(1);
    pool.run(chargingCapacitor());  // so that the limit is not spent on starting a worker
    SimulationRequest request = endlessRun();
    request.timeLimit_s = 1;
    const auto start = std::chrono::steady_clock::now();
    const SimulationOutcome outcome = outcomeOf(pool, request);
    const std::chrono::duration<double> taken = std::chrono::steady_clock::now() - start;
    EXPECT_EQ(faultOf(outcome), faultName(SimulationFault::timeLimit));
    EXPECT_GE(taken.count(), 1);
    EXPECT_LE(taken.count(), 3);
    // It had come some way, and says how far.
    const std::string message = std::get<SimulationError>(outcome).what();
    EXPECT_EQ(message.find("at 0 s"), std::string::npos) << message;
}

TEST(SessionFault, OfAMissingLibraryNamesThePackage)
{
    for (const char* const library : {"/nowhere/libngspice.so.0", "libm.so.6"}) {
        SCOPED_TRACE(library);
        SimulatorPool pool(2, library);
        const std::vector<SimulationRequest> requests(3, chargingCapacitor());
        for (const SimulationOutcome& outcome : pool.runAll(requests)) {
            ASSERT_EQ(faultOf(outcome), faultName(SimulationFault::libraryMissing));
            const std::string message = std::get<SimulationError>(outcome).what();
            EXPECT_NE(message.find("libngspice0"), std::string::npos) << message;
            EXPECT_NE(message.find(library), std::string::npos) << message;
        }
        EXPECT_THROW(pool.version(), SimulationError);
        EXPECT_THROW(pool.run(chargingCapacitor()), SimulationError);
    }
}

TEST(SessionFault, NamesAreAllDifferent)
{
    std::map<std::string, int> names;
    for (int i = 0; i <= static_cast<int>(SimulationFault::crashed); ++i) {
        ++names[faultName(static_cast<SimulationFault>(i))];
    }
    EXPECT_EQ(names.size(), 11U);
}

// A run that has proved itself, to be spoiled in one point.
SimulationJob soundJob()
{
    SimulationJob job;
    job.title = "splitstart run 7";
    job.lines = {job.title, "v1 a 0 dc 1", ".end"};
    job.vectors = {"a"};
    job.end = 1;
    job.reachAtLeast = 1 - 1e-9;
    return job;
}

RunEvidence soundEvidence()
{
    RunEvidence evidence;
    evidence.analysesStarted = 1;
    evidence.reportedTitle = soundJob().title;
    evidence.points = 100;
    evidence.reached = 1;
    evidence.log = evidence.loadLog = "Circuit: splitstart run 7\n";
    return evidence;
}

std::string faultIn(const RunEvidence& evidence)
{
    const std::optional<Trouble> trouble = findTrouble(soundJob(), evidence);
    return trouble ? faultName(trouble->fault) : "none";
}

TEST(SessionFault, IsFoundWhereOneProofIsMissing)
{
    EXPECT_EQ(faultIn(soundEvidence()), "none");

    RunEvidence evidence = soundEvidence();
    evidence.loadStatus = 1;
    EXPECT_EQ(faultIn(evidence), "deck refused");

    evidence = soundEvidence();
    evidence.controlledExit = true;
    EXPECT_EQ(faultIn(evidence), "controlled exit");

    evidence = soundEvidence();
    evidence.reportedTitle = "splitstart run 6";
    EXPECT_EQ(faultIn(evidence), "not run");

    evidence = soundEvidence();
    evidence.analysesStarted = 0;
    EXPECT_EQ(faultIn(evidence), "not run");

    evidence = soundEvidence();
    evidence.analysesStarted = 2;
    EXPECT_EQ(faultIn(evidence), "not run");

    evidence = soundEvidence();
    evidence.missingVectors = {"a"};
    EXPECT_EQ(faultIn(evidence), "missing vector");

    evidence = soundEvidence();
    evidence.reached = 0.999;
    EXPECT_EQ(faultIn(evidence), "aborted");

    evidence = soundEvidence();
    evidence.points = 0;
    EXPECT_EQ(faultIn(evidence), "no convergence");

    evidence = soundEvidence();
    evidence.notFiniteVector = "a";
    EXPECT_EQ(faultIn(evidence), "not finite");

    evidence = soundEvidence();
    evidence.tooManyValues = true;
    EXPECT_EQ(faultIn(evidence), "aborted");
}

TEST(SessionFault, IsNotSeenInTheTalkOfASuccessfulStart)
{
    // ngspice writes such lines before it succeeds by another method.
    RunEvidence evidence = soundEvidence();
    evidence.log +=
        "Warning: singular matrix:  check node 6\nNote: Starting dynamic gmin stepping\n"
        "Trying gmin =   1.0000E-03 Warning: Further gmin increment\n"
        "Warning: Dynamic gmin stepping failed\nNote: Transient op started\n"
        "Note: Transient op finished successfully\n";
    EXPECT_EQ(faultIn(evidence), "none");
}

TEST(SessionFault, OfAnotherCircuitThanTheOneAskedForIsSeenInNgspiceItself)
{
    // What happens after a load that failed in silence: ngspice runs something under another title.
    EXPECT_TRUE(succeedsInNewProcess([] {
        PlainNgspice ngspice;
        SimulationJob job = soundJob();
        job.lines = {"splitstart run 6", "v1 a 0 dc 1", "r1 a 0 1", ".tran 0.1 1 0 0.1", ".end"};
        const WorkerReply reply = ngspice.session.run(job);
        return reply.trouble && reply.trouble->fault == SimulationFault::notRun;
    }));
}

}  // namespace
}  // namespace splitstart
