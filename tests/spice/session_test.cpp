// Good runs of the ngspice session against closed forms, and how a pool shares out its work.

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>
#include <optional>
#include <stdexcept>
#include <vector>

#include "physics/near.h"
#include "spice/session_decks.h"
#include "spice/simulation.h"

namespace splitstart
{
namespace
{

constexpr double capacitance_F = 1e-6;

TEST(Session, AChargedCapacitorFollowsTheExponential)
{
    SimulatorPool pool(1);
    const Waveforms run = pool.run(chargingCapacitor(1000));
    const double timeConstant_s = 1000 * capacitance_F;
    ASSERT_EQ(run.real.size(), 2U);
    ASSERT_GT(run.time_s.size(), 500U);
    for (std::size_t i = 0; i < run.time_s.size(); ++i) {
        const double rest_ratio = std::exp(-run.time_s[i] / timeConstant_s);
        EXPECT_TRUE(nearOfScale(run.real[0].at(i), 1 - rest_ratio, 1, 1e-3));
        // A source's current counts from its plus to its minus terminal, inside the source.
        EXPECT_TRUE(nearOfScale(run.real[1].at(i), -rest_ratio / 1000, 1e-3, 1e-3));
    }
    EXPECT_TRUE(nearRel(run.time_s.back(), 5e-3, 1e-9));
    EXPECT_FALSE(run.stoppedEarly);
}

TEST(Session, ARingingCircuitFollowsTheDampedSine)
{
    // Step of 1 V on R, L and C in series, from rest:
    // v = 1 - exp(-a t) (cos(w t) + a / w sin(w t)), a = R / 2 L, w = sqrt(1 / L C - a^2).
    const double resistance_ohm = 20;
    const double inductance_H = 0.01;
    const double damping_per_s = resistance_ohm / (2 * inductance_H);
    const double ringing_rad_s =
        std::sqrt(1 / (inductance_H * capacitance_F) - damping_per_s * damping_per_s);
    SimulationRequest request;
    request.deck =
        "a ringing circuit\nv1 in 0 dc 1\nr1 in a 20\nl1 a out 0.01 ic=0\nc1 out 0 1e-6 ic=0\n"
        ".options method=trap reltol=1e-5\n.tran 1e-6 2e-3 0 1e-6 uic\n.end\n";
    request.vectors = {"out"};
    request.end_s = 2e-3;
    SimulatorPool pool(1);
    const Waveforms run = pool.run(request);
    for (std::size_t i = 0; i < run.time_s.size(); ++i) {
        const double angle_rad = ringing_rad_s * run.time_s[i];
        const double expected_V =
            1 - std::exp(-damping_per_s * run.time_s[i]) *
                    (std::cos(angle_rad) + damping_per_s / ringing_rad_s * std::sin(angle_rad));
        ASSERT_TRUE(nearOfScale(run.real.at(0).at(i), expected_V, 1, 1e-3));
    }
}

TEST(Session, AFilterAtOneFrequencyHasThePhasorOfTheTextbook)
{
    SimulatorPool pool(1);
    const Waveforms run = pool.run(filterAt(60));
    ASSERT_EQ(run.frequency_Hz, std::vector<double>{60});
    const std::complex<double> ratio =
        1.0 / std::complex<double>(1, 2 * std::numbers::pi * 60 * 1000 * capacitance_F);
    EXPECT_TRUE(nearRel(run.phasors.at(0).at(0), ratio, 1e-6));
    EXPECT_TRUE(nearRel(run.phasors.at(1).at(0), -(1.0 - ratio) / 1000.0, 1e-6));
    EXPECT_TRUE(run.time_s.empty());
}

TEST(Session, ASweepOfFrequenciesIsWholeAndRight)
{
    SimulationRequest request = filterAt(60);
    request.deck =
        "a sweep\nv1 in 0 dc 0 ac 1\nr1 in out 1000\nc1 out 0 1e-6\n"
        ".ac dec 7 10 2500\n.end\n";
    SimulatorPool pool(1);
    const Waveforms run = pool.run(request);
    ASSERT_GT(run.frequency_Hz.size(), 14U);
    EXPECT_TRUE(nearRel(run.frequency_Hz.front(), 10, 1e-9));
    EXPECT_GT(run.frequency_Hz.back(), 2500 / std::pow(10, 1.0 / 7));
    for (std::size_t i = 0; i < run.frequency_Hz.size(); ++i) {
        const double lag = 2 * std::numbers::pi * run.frequency_Hz[i] * 1000 * capacitance_F;
        EXPECT_TRUE(nearRel(run.phasors.at(0).at(i), 1.0 / std::complex<double>(1, lag), 1e-6));
    }
}

TEST(Session, NodesInSubcircuitsNumberedNodesAndCapitalsAreFound)
{
    SimulationRequest request;
    request.deck =
        "Names\nV1 1 0 DC 6\nR1 1 Mid 1000\nX1 Mid Load params: r=1000\n"
        ".subckt load a params: r=1\nVM a b 0\nR1 b c {r}\nR2 c 0 {2*r}\n.ends\n"
        ".tran 1e-4 1e-3 0 1e-4\n.end\n";
    request.vectors = {"x1.c", "1", "MID", "v.x1.vm#branch", "V1#branch"};
    request.end_s = 1e-3;
    SimulatorPool pool(1);
    const Waveforms run = pool.run(request);
    // 6 V over 1 + 1 + 2 kilohms.
    const std::vector<double> expected{3, 6, 4.5, 1.5e-3, -1.5e-3};
    for (std::size_t i = 0; i < expected.size(); ++i) {
        EXPECT_TRUE(nearRel(run.real.at(i).back(), expected[i], 1e-6)) << request.vectors[i];
    }
}

TEST(Session, ValuesComeBackInFullPrecision)
{
    SimulationRequest request = chargingCapacitor();
    request.deck =
        "digits\nv1 out 0 dc 0.12345678901234567\nr1 out 0 1\n"
        ".tran 1e-3 5e-3 0 1e-3\n.end\n";
    SimulatorPool pool(1);
    EXPECT_TRUE(nearRel(pool.run(request).real.at(0).back(), 0.12345678901234567, 1e-15));
}

TEST(Session, TheDeckIsRunWithParametersAndOptionsOfItsOwnOnly)
{
    // Options and parameters of one deck must not reach the next in the same worker.
    SimulatorPool pool(1);
    const Waveforms before = pool.run(chargingCapacitor());
    SimulationRequest other = chargingCapacitor();
    other.deck =
        "other\n.param r=50\n.func twice(x) {2*x}\n.options method=gear reltol=1e-2\n"
        ".temp 90\nv1 in 0 dc 1\nr1 in out {twice(r)}\nc1 out 0 1e-6\n"
        ".tran 1e-4 5e-3 0 1e-4 uic\n.end\n";
    EXPECT_FALSE(isSame(pool.run(other), before));
    EXPECT_TRUE(isSame(pool.run(chargingCapacitor()), before));
}

TEST(Session, SaysWhichVersionOfNgspiceItUses)
{
    SimulatorPool pool(1);
    const std::string version = pool.version();
    ASSERT_FALSE(version.empty());
    EXPECT_GE(std::stoi(version), 30) << version;
}

std::vector<SimulationRequest> mixedRequests()
{
    std::vector<SimulationRequest> requests;
    for (const FaultyDeck& faulty : faultyDecks()) {
        if (faulty.fault != SimulationFault::timeLimit) {  // how far it came depends on the clock
            requests.push_back(
                chargingCapacitor(100.0 + 10 * static_cast<double>(requests.size())));
            requests.push_back(faulty.request);
            requests.push_back(filterAt(10.0 + static_cast<double>(requests.size())));
        }
    }
    return requests;
}

TEST(Session, OutcomesAreTheSameWhateverTheNumberOfWorkers)
{
    const std::vector<SimulationRequest> requests = mixedRequests();
    SimulatorPool one(1);
    const std::vector<SimulationOutcome> expected = one.runAll(requests);
    for (const unsigned workers : {2U, 4U}) {
        SimulatorPool several(workers);
        const std::vector<SimulationOutcome> outcomes = several.runAll(requests);
        ASSERT_EQ(outcomes.size(), expected.size());
        for (std::size_t i = 0; i < outcomes.size(); ++i) {
            EXPECT_TRUE(isSame(outcomes[i], expected[i])) << workers << " workers, run " << i;
        }
    }
}

TEST(Session, ProgressIsToldOnceForEachRunInOrder)
{
    const std::vector<SimulationRequest> requests = mixedRequests();
    SimulatorPool pool(2);
    std::vector<std::size_t> seen;
    pool.runAll(requests, [&](std::size_t done, std::size_t all) {
        EXPECT_EQ(all, requests.size());
        seen.push_back(done);
    });
    ASSERT_EQ(seen.size(), requests.size());
    for (std::size_t i = 0; i < seen.size(); ++i) {
        EXPECT_EQ(seen[i], i + 1);
    }
}

TEST(Session, NothingToRunGivesNoOutcomes)
{
    SimulatorPool pool(2);
    EXPECT_TRUE(pool.runAll({}).empty());
}

TEST(Session, APoolIsUsableAfterProgressHasThrown)
{
    const std::vector<SimulationRequest> requests(10, chargingCapacitor());
    SimulatorPool pool(2);
    const Waveforms expected = pool.run(chargingCapacitor());
    EXPECT_THROW(pool.runAll(requests,
                             [](std::size_t done, std::size_t) {
                                 if (done == 3) {
                                     throw std::runtime_error("enough");
                                 }
                             }),
                 std::runtime_error);
    EXPECT_TRUE(isSame(pool.run(chargingCapacitor()), expected));
}

TEST(Session, APoolUsedFromItsOwnProgressSaysSo)
{
    SimulatorPool pool(1);
    const SimulationRequest request = chargingCapacitor();
    EXPECT_THROW(pool.runAll({&request, 1}, [&](std::size_t, std::size_t) { pool.run(request); }),
                 std::logic_error);
    EXPECT_NO_THROW(pool.run(request));
}

struct StopCase {
    std::string points;  // of the source
    double heldFor_s;
    double expected_s;  // when the run must end
    double heldForShare = 0;
    double meanOver_s = 0;
    double notBefore_s = 0;
};

// 0 until 5 ms, then up and down about 0.6 within each millisecond.
std::string swingingPoints()
{
    std::string points = "0 0 4.9e-3 0 5e-3 0.6";
    for (double time_s = 5e-3; time_s < 19e-3; time_s += 1e-3) {
        points +=
            fmt::format(" {} 0.9 {} 0.3 {} 0.6", time_s + 2.5e-4, time_s + 7.5e-4, time_s + 1e-3);
    }
    return points;
}

TEST(Session, AStopRuleEndsTheRunWhenItHasHeldLongEnough)
{
    // Threshold 0.5. Rises through it at 5 ms; above from 2 to 4 ms and then from 6 ms on.
    const std::vector<StopCase> cases{
        {"0 0 10e-3 1 20e-3 1", 0, 5e-3},
        {"0 0 10e-3 1 20e-3 1", 2e-3, 7e-3},
        {"0 0 2e-3 0 2.01e-3 1 4e-3 1 4.01e-3 0 6e-3 0 6.01e-3 1", 3e-3, 9e-3},
        {"0 0 2e-3 0 2.01e-3 1 4e-3 1 4.01e-3 0 6e-3 0 6.01e-3 1", 1e-3, 3e-3},
        {"0 1 10e-3 1", 4e-3, 4e-3},
        {"0 0 10e-3 1 20e-3 1", 2e-3, 9.5e-3, 0.5},  // 5 ms to get there, half of that more
        {"0 1 10e-3 1", 4e-3, 4e-3, 0.5},
        // The mean over a millisecond of what rises through 0.5 at 5 ms is there at 5.5 ms and
        // stands for the middle of it.
        {"0 0 10e-3 1 20e-3 1", 2e-3, 7e-3, 0, 1e-3},
        {"0 0 10e-3 1 20e-3 1", 0, 5.5e-3, 0, 1e-3},
        {"0 0 10e-3 1 20e-3 1", 0, 6e-3, 0, 0, 6e-3},
        {"0 0 10e-3 1 20e-3 1", 2e-3, 7e-3, 0, 0, 6e-3},
        // A millisecond holds 0.5 mV s first at 5.697 ms (areas of the straight pieces), which
        // stands for 5.197 ms; it never holds less from there on.
        {swingingPoints(), 3e-3, 8.19e-3, 0, 1e-3},
    };
    const double largestStep_s = 1e-5;
    SimulatorPool pool(1);
    for (const StopCase& each : cases) {
        SCOPED_TRACE(fmt::format("{} held for {} s", each.points, each.heldFor_s));
        SimulationRequest request = shapedSource(each.points, 20e-3);
        request.stop = StopRule{
            "in", 0.5, each.heldFor_s, each.heldForShare, each.meanOver_s, each.notBefore_s};
        const Waveforms run = pool.run(request);
        EXPECT_TRUE(run.stoppedEarly);
        EXPECT_GE(run.time_s.back(), each.expected_s);
        EXPECT_LE(run.time_s.back(), each.expected_s + 3 * largestStep_s);
        ASSERT_EQ(run.real.at(0).size(), run.time_s.size());
    }
}

TEST(Session, AStopRuleThatIsNotMetLeavesTheRunWhole)
{
    SimulatorPool pool(1);
    SimulationRequest request = shapedSource("0 0 1e-3 1 2e-3 1 3e-3 0", 5e-3);
    request.stop = StopRule{"in", 0.5, 4e-3};  // it stays above for 2 ms only
    const Waveforms run = pool.run(request);
    EXPECT_FALSE(run.stoppedEarly);
    EXPECT_TRUE(nearRel(run.time_s.back(), 5e-3, 1e-9));
}

TEST(Session, AStoppedRunDoesNotStopTheNext)
{
    SimulatorPool pool(1);
    const SimulationRequest whole = shapedSource("0 0 1e-3 1", 5e-3);
    const Waveforms before = pool.run(whole);
    SimulationRequest stopped = whole;
    stopped.stop = StopRule{"in", 0.5, 0};
    EXPECT_TRUE(pool.run(stopped).stoppedEarly);
    EXPECT_TRUE(isSame(pool.run(whole), before));
}

TEST(Session, TheStopSourceDoesNotDisturbTheCircuit)
{
    SimulatorPool pool(1);
    const Waveforms whole = pool.run(chargingCapacitor());
    SimulationRequest request = chargingCapacitor();
    request.stop = StopRule{"out", 0.9, 0};
    const Waveforms stopped = pool.run(request);
    ASSERT_TRUE(stopped.stoppedEarly);
    // Reaches 0.9 at R C ln 10.
    EXPECT_TRUE(nearRel(stopped.time_s.back(), 1e-3 * std::log(10), 0.01));
    for (std::size_t i = 0; i < stopped.time_s.size(); ++i) {
        EXPECT_TRUE(nearRel(stopped.time_s[i], whole.time_s.at(i), 1e-9));
        EXPECT_TRUE(nearOfScale(stopped.real[0][i], whole.real[0].at(i), 1, 1e-9));
    }
}

// A stream asks for requests as workers come free and for one more each meanwhile.
TEST(Session, AStreamHoldsNoMoreThanTwiceWhatItRuns)
{
    SimulatorPool pool(2);
    std::size_t asked = 0;
    std::size_t taken = 0;
    std::size_t mostOpen = 0;
    std::vector<std::size_t> order;
    SimulationSource source;
    source.next = [&]() -> std::optional<SimulationRequest> {
        if (asked == 40) {
            return std::nullopt;
        }
        ++asked;
        mostOpen = std::max(mostOpen, asked - taken);
        return chargingCapacitor(1000.0 * static_cast<double>(asked));
    };
    source.take = [&](std::size_t index, SimulationOutcome outcome) {
        ++taken;
        order.push_back(index);
        const Waveforms& run = std::get<Waveforms>(outcome);
        const double timeConstant_s = 1000.0 * static_cast<double>(index + 1) * capacitance_F;
        EXPECT_TRUE(
            nearOfScale(run.real.at(0).back(), 1 - std::exp(-5e-3 / timeConstant_s), 1, 1e-3));
    };
    EXPECT_TRUE(pool.runStream(source));
    EXPECT_EQ(taken, 40U);
    EXPECT_LE(mostOpen, 4U);
    std::sort(order.begin(), order.end());
    for (std::size_t i = 0; i < order.size(); ++i) {
        EXPECT_EQ(order[i], i);
    }
}

// What a stream had to leave does not reach the next one.
TEST(Session, AStreamEndsWhenItIsToldToAndThePoolGoesOn)
{
    SimulatorPool pool(2);
    std::size_t taken = 0;
    SimulationSource source;
    source.next = [] { return std::optional(chargingCapacitor(1000)); };
    source.take = [&](std::size_t, const SimulationOutcome&) { ++taken; };
    source.keepGoing = [&] { return taken < 5; };
    EXPECT_FALSE(pool.runStream(source));
    EXPECT_GE(taken, 5U);
    EXPECT_LE(taken, 7U);

    source.keepGoing = {};
    source.take = [](std::size_t, const SimulationOutcome&) { throw std::runtime_error("full"); };
    EXPECT_THROW(pool.runStream(source), std::runtime_error);
    const Waveforms after = pool.run(chargingCapacitor(2000));
    EXPECT_TRUE(nearOfScale(after.real.at(0).back(), 1 - std::exp(-2.5), 1, 1e-3));
}

// A request that cannot be begun, and one that ngspice refuses, are outcomes like any other.
TEST(Session, AStreamHandsOutFailuresInTheirPlace)
{
    SimulatorPool pool(1);
    std::size_t asked = 0;
    std::vector<bool> failed(3);
    SimulationSource source;
    source.next = [&]() -> std::optional<SimulationRequest> {
        SimulationRequest request = chargingCapacitor(1000);
        if (asked == 1) {
            request.deck = "bad\nv1 in 0 dc 1\nq7 nonsense\n.tran 1e-3 5e-3\n.end\n";
        }
        return asked++ < 3 ? std::optional(std::move(request)) : std::nullopt;
    };
    source.take = [&](std::size_t index, const SimulationOutcome& outcome) {
        failed.at(index) = std::holds_alternative<SimulationError>(outcome);
    };
    EXPECT_TRUE(pool.runStream(source));
    EXPECT_EQ(failed, (std::vector<bool>{false, true, false}));
}

}  // namespace
}  // namespace splitstart
