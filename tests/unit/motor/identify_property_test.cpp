// Motors and meters drawn at random from the assumptions that identify() states: what it calls
// certain must be right, and its probabilities and accuracies must hold in the long run.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <random>

#include "motor/identify.h"
#include "physics/near.h"

namespace splitstart
{

namespace
{

struct DrawnMotor {
    double run_ohm = 0;  // pin to pin
    double start_ohm = 0;
    double commonPath_ohm = 0;
    double lead_ohm = 0;               // left in each reading beyond what is given
    std::array<std::string, 3> label;  // of C, S, R
    Readings readings;
};

class Bench
{
public:
    explicit Bench(std::uint64_t seed) : random_(seed) {}

    DrawnMotor drawMotor()
    {
        DrawnMotor motor;
        motor.run_ohm =
            assumptions_.runMedian_ohm * std::exp(normal(0, assumptions_.runLogDeviation));
        motor.start_ohm = motor.run_ohm * drawRatio();
        motor.commonPath_ohm =
            normal(assumptions_.commonPath_ohm, assumptions_.commonPathDeviation_ohm);
        motor.label = {"1", "2", "3"};
        std::shuffle(motor.label.begin(), motor.label.end(), random_);
        drawMeter(motor);
        return motor;
    }

    double normal(double mean, double deviation)
    {
        return std::normal_distribution<double>(mean, deviation)(random_);
    }

    double uniform() { return std::uniform_real_distribution<double>(0, 1)(random_); }

    double drawRatio()
    {
        double rest = uniform();
        for (const RatioPrior& part : assumptions_.startToRun) {
            rest -= part.weight_ratio;
            if (rest <= 0) {
                return part.median_ratio * std::exp(normal(0, part.logDeviation));
            }
        }
        return assumptions_.startToRun.back().median_ratio;
    }

private:
    void drawMeter(DrawnMotor& motor)
    {
        Readings& readings = motor.readings;
        readings.accuracy_ratio =
            std::array{0.003, 0.01, 0.06}[static_cast<std::size_t>(3 * uniform())];
        readings.resolution_ohm = uniform() < 0.7 ? 0.01 : 0.1;
        readings.leadGiven = uniform() < 0.5;
        readings.lead_ohm = readings.leadGiven ? 0.2 : 0;
        motor.lead_ohm = readings.leadGiven ? normal(0, assumptions_.contactDeviation_ohm)
                                            : normal(assumptions_.unknownLead_ohm,
                                                     assumptions_.unknownLeadDeviation_ohm);
        const double between_SR = motor.run_ohm + motor.start_ohm - 2 * motor.commonPath_ohm;
        const double coarse_ohm =
            uniform() < assumptions_.coarseShare_ratio
                ? assumptions_.coarseDeviation_ratio * between_SR / std::sqrt(3.0)
                : 0;
        addReading(motor, 0, 1, motor.start_ohm, coarse_ohm);
        addReading(motor, 0, 2, motor.run_ohm, coarse_ohm);
        addReading(motor, 1, 2, between_SR, coarse_ohm);
    }

    void addReading(DrawnMotor& motor, std::size_t a, std::size_t b, double true_ohm,
                    double coarse_ohm)
    {
        const Readings& meter = motor.readings;
        const double drifted = true_ohm * (1 + normal(0, assumptions_.driftDeviation_ratio));
        const double analog = drifted * (1 + normal(0, 0.5 * meter.accuracy_ratio)) +
                              motor.lead_ohm + meter.lead_ohm +
                              normal(0, assumptions_.contactDeviation_ohm) + normal(0, coarse_ohm);
        const double shown = meter.resolution_ohm * std::round(analog / meter.resolution_ohm);
        motor.readings.readings.push_back(
            {motor.label[a], motor.label[b], std::max(0.0, shown), {}});
    }

    std::mt19937_64 random_;
    IdentifyAssumptions assumptions_;
};

bool isRight(const Identification& found, const DrawnMotor& motor)
{
    return found.pins.at("C") == motor.label[0] && found.pins.at("S") == motor.label[1] &&
           found.pins.at("R") == motor.label[2];
}

// Claims and outcomes of one range of stated probability.
struct Bin {
    double from = 0;
    double to = 0;
    int count = 0;
    int right = 0;
    double claimed = 0;
    double variance = 0;
};

constexpr int motors = 2000;

}  // namespace

TEST(IdentifyAtRandom, WhatIsCalledCertainIsRightAndOtherClaimsAreCalibrated)
{
    Bench bench(20240611);
    std::array<Bin, 6> bins{
        {{0, 0.6}, {0.6, 0.7}, {0.7, 0.8}, {0.8, 0.9}, {0.9, 0.99}, {0.99, 1.01}}};
    int named = 0;
    for (int i = 0; i < motors; ++i) {
        const DrawnMotor motor = bench.drawMotor();
        const Identification found = identify(motor.readings);
        if (found.pattern != ReadingPattern::complete) {
            continue;
        }
        ++named;
        const double claimed = found.assignments.front().probability;
        for (Bin& bin : bins) {
            if (claimed >= bin.from && claimed < bin.to) {
                ++bin.count;
                bin.right += isRight(found, motor) ? 1 : 0;
                bin.claimed += claimed;
                bin.variance += claimed * (1 - claimed);
            }
        }
    }
    // Very low windings are reported as such instead of named.
    EXPECT_GT(named, motors * 95 / 100);
    for (const Bin& bin : bins) {
        ASSERT_GT(bin.count, 20) << bin.from;
        // Three and a half standard deviations of the number of right answers, were the claims
        // true.
        EXPECT_NEAR(bin.right, bin.claimed, 3.5 * std::sqrt(bin.variance)) << fmt::format(
            "claims from {} to {}: {} of {}", bin.from, bin.to, bin.right, bin.count);
        RecordProperty(
            fmt::format("from_{}", bin.from),
            fmt::format("{} of {} right, {:.1f} claimed", bin.right, bin.count, bin.claimed));
    }
    EXPECT_GE(bins.back().right, 0.99 * bins.back().count);
}

// With diagrams of which one in five names the pins wrongly: the claims for diagram and readings
// together must hold in the long run, and a right diagram must not be called contradicted.
TEST(IdentifyAtRandom, ClaimsForADiagramAreCalibratedToo)
{
    IdentifyAssumptions assumptions;
    assumptions.wrongDiagramShare_ratio = 0.2;
    Bench bench(11);
    std::array<Bin, 4> bins{{{0, 0.5}, {0.5, 0.9}, {0.9, 0.99}, {0.99, 1.01}}};
    int contradicted = 0;
    int wronglyContradicted = 0;
    for (int i = 0; i < motors; ++i) {
        const DrawnMotor motor = bench.drawMotor();
        std::array<std::size_t, 3> order{0, 1, 2};
        const int permutations = bench.uniform() < assumptions.wrongDiagramShare_ratio
                                     ? 1 + static_cast<int>(5 * bench.uniform())
                                     : 0;
        for (int k = 0; k < permutations; ++k) {
            std::next_permutation(order.begin(), order.end());
        }
        const KnownPins diagram{
            motor.label[order[0]], motor.label[order[1]], motor.label[order[2]], {}};
        const Identification found = identify(motor.readings, assumptions, diagram);
        if (found.pattern == ReadingPattern::contradictsDiagram) {
            ++contradicted;
            wronglyContradicted += permutations == 0 ? 1 : 0;
        }
        if (found.pattern != ReadingPattern::complete) {
            continue;
        }
        const double claimed = found.assignments.front().probability;
        for (Bin& bin : bins) {
            if (claimed >= bin.from && claimed < bin.to) {
                ++bin.count;
                bin.right += isRight(found, motor) ? 1 : 0;
                bin.claimed += claimed;
                bin.variance += claimed * (1 - claimed);
            }
        }
    }
    for (const Bin& bin : bins) {
        ASSERT_GT(bin.count, 20) << bin.from;
        EXPECT_NEAR(bin.right, bin.claimed, 3.5 * std::sqrt(bin.variance)) << fmt::format(
            "claims from {} to {}: {} of {}", bin.from, bin.to, bin.right, bin.count);
    }
    // Four in five wrong diagrams have the wrong common pin; most windings are large enough to
    // show.
    EXPECT_GT(contradicted, motors * 10 / 100);
    EXPECT_LT(wronglyContradicted, motors / 200);
    RecordProperty("contradicted", contradicted);
    RecordProperty("wrongly_contradicted", wronglyContradicted);
}

// Every kind of meter for itself, or a wrong share of one error would hide behind the others.
TEST(IdentifyAtRandom, TrueResistancesLieWithinTheStatedAccuracyNineteenTimesInTwenty)
{
    struct Hits {
        int checked = 0;
        int run = 0;
        int start = 0;
    };
    std::map<std::pair<double, bool>, Hits> byMeter;
    Bench bench(77);
    for (int i = 0; i < 2 * motors; ++i) {
        const DrawnMotor motor = bench.drawMotor();
        const Identification found = identify(motor.readings);
        if (found.pattern != ReadingPattern::complete || !isRight(found, motor) ||
            motor.readings.resolution_ohm > 0.01) {
            continue;
        }
        Hits& hits = byMeter[{motor.readings.accuracy_ratio, motor.readings.leadGiven}];
        ++hits.checked;
        hits.run +=
            nearRel(motor.run_ohm, found.run_ohm.value, found.run_ohm.accuracy_ratio) ? 1 : 0;
        hits.start +=
            nearRel(motor.start_ohm, found.start_ohm.value, found.start_ohm.accuracy_ratio) ? 1 : 0;
    }
    ASSERT_EQ(byMeter.size(), 6U);
    for (const auto& [meter, hits] : byMeter) {
        // Three and a half standard deviations of a count at 95 %.
        const double slack = 3.5 * std::sqrt(hits.checked * 0.95 * 0.05);
        ASSERT_GT(hits.checked, 300);
        EXPECT_NEAR(hits.run, 0.95 * hits.checked, slack) << meter.first << " " << meter.second;
        EXPECT_NEAR(hits.start, 0.95 * hits.checked, slack) << meter.first << " " << meter.second;
    }
}

namespace
{

// Probability of each naming, "CSR" by label, by plain sampling of the stated model: no sum rule,
// no least squares, no integrals. opposite_ohm[i] does not touch pin "abc"[i].
std::map<std::string, double> sampledProbabilities(const std::array<double, 3>& opposite_ohm,
                                                   const Readings& meter, int samples)
{
    const IdentifyAssumptions assumptions;
    Bench bench(5);
    const double highest_ohm = *std::max_element(opposite_ohm.begin(), opposite_ohm.end());
    const auto likelihood = [&](std::size_t notTouching, double expected_ohm, double coarse_ohm) {
        const double y = opposite_ohm[notTouching];
        const double deviation = std::sqrt(
            std::pow(0.5 * meter.accuracy_ratio * y, 2) + std::pow(meter.resolution_ohm, 2) / 12 +
            std::pow(0.03, 2) + std::pow(0.002 * y, 2) + coarse_ohm * coarse_ohm / 3);
        return std::exp(-0.5 * std::pow((y - expected_ohm) / deviation, 2)) / deviation;
    };
    std::map<std::string, double> weight;
    double total = 0;
    const std::string names = "abc";
    for (int i = 0; i < samples; ++i) {
        const double run =
            assumptions.runMedian_ohm * std::exp(bench.normal(0, assumptions.runLogDeviation));
        const double start = run * bench.drawRatio();
        const double lead =
            bench.normal(assumptions.unknownLead_ohm, assumptions.unknownLeadDeviation_ohm);
        const double path =
            bench.normal(assumptions.commonPath_ohm, assumptions.commonPathDeviation_ohm);
        const double coarse = bench.uniform() < assumptions.coarseShare_ratio
                                  ? assumptions.coarseDeviation_ratio * highest_ohm
                                  : 0;
        std::array<std::size_t, 3> pin{0, 1, 2};
        do {
            const double w = likelihood(pin[1], run + lead, coarse) *
                             likelihood(pin[2], start + lead, coarse) *
                             likelihood(pin[0], run + start - 2 * path + lead, coarse);
            weight[{names[pin[0]], names[pin[1]], names[pin[2]]}] += w;
            total += w;
        } while (std::next_permutation(pin.begin(), pin.end()));
    }
    for (auto& [naming, value] : weight) {
        value /= total;
    }
    return weight;
}

}  // namespace

TEST(IdentifyAtRandom, ProbabilitiesAgreeWithPlainSampling)
{
    // Start or run in doubt; then windings so small against the leads that C is in doubt too.
    const std::array<std::array<double, 3>, 2> cases{{{2.3, 0.9, 1.7}, {0.85, 0.35, 0.8}}};
    for (const std::array<double, 3>& opposite_ohm : cases) {
        Readings readings;
        readings.accuracy_ratio = 0.1;
        readings.resolution_ohm = 0.1;
        readings.readings = {{"a", "b", opposite_ohm[2], {}},
                             {"b", "c", opposite_ohm[0], {}},
                             {"a", "c", opposite_ohm[1], {}}};
        const auto sampled = sampledProbabilities(opposite_ohm, readings, 2000000);
        const Identification found = identify(readings);
        ASSERT_EQ(found.pattern, ReadingPattern::complete);
        EXPECT_LT(found.confidence, Confidence::certain);
        for (const PinAssignment& assignment : found.assignments) {
            // Some thousands of the samples carry the weight.
            EXPECT_NEAR(assignment.probability,
                        sampled.at(assignment.common + assignment.start + assignment.run), 0.02)
                << assignment.common << assignment.start << assignment.run;
        }
    }
}

}  // namespace splitstart
