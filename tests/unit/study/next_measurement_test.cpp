// What to measure next, on studies whose margins are made up so that the best measurement is known.
#include "study/next_measurement.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <memory>
#include <random>

#include "unit/dairy_cases.h"

namespace splitstart
{

namespace
{

// A motor of three unknowns; each measurement shows one of them, or has nothing to show.
class SpeakingPosterior : public MotorPosterior
{
public:
    std::vector<MotorSample> draw(std::size_t count) override
    {
        std::vector<MotorSample> samples(count);
        for (MotorSample& sample : samples) {
            for (int i = 0; i < 3; ++i) {
                sample.unknowns.push_back(0.1 * normal_(random_));
            }
        }
        return samples;
    }
    [[nodiscard]] std::vector<std::string> unknownNames() const override
    {
        return {"first", "second", "third"};
    }
    std::vector<Prediction> predict(std::span<const MeasuredQuantity> quantities,
                                    std::span<const MotorSample> motors) override
    {
        std::vector<Prediction> predictions;
        for (const MeasuredQuantity quantity : quantities) {
            Prediction& prediction = predictions.emplace_back();
            const int shown = quantity == MeasuredQuantity::startCommonVoltsRunning ? 0
                              : quantity == MeasuredQuantity::lineAmpsRunning       ? 1
                              : quantity == MeasuredQuantity::secondsToStart        ? 2
                                                                                    : -1;
            for (std::size_t i = 0; shown >= 0 && i < motors.size(); ++i) {
                prediction.values.push_back(
                    100 * std::exp(motors[i].unknowns[static_cast<std::size_t>(shown)]));
            }
        }
        return predictions;
    }

private:
    std::mt19937 random_{9};
    std::normal_distribution<double> normal_;
};

using Margin = std::function<double(const PossibleMachine&)>;

struct Bench {
    Case input = coldStoreCase();
    CheckStudy study;
    DecisionRule rule;

    explicit Bench(const std::vector<Margin>& margins, bool pressuresGiven = true)
    {
        input.compressor.load.pressuresGiven = pressuresGiven;
        input.compressor.measurements.clear();
        study.motor.posterior = std::make_shared<SpeakingPosterior>();
        PossibleMachines source(input, study.motor.motor, study.motor.posterior, 3);
        study.machines = source.draw(200);
        study.inputNames = source.inputNames();
        study.motorInputs = source.motorInputs();
        for (const Margin& margin : margins) {
            std::vector<SampleReading>& readings = study.readings.emplace_back();
            for (const PossibleMachine& machine : study.machines) {
                readings.push_back({true, {"", 0, margin(machine), false}});
            }
            Finding& finding = study.findings.emplace_back();
            finding.check = &allChecks().front();
            decide(finding, readings, rule);
        }
    }

    [[nodiscard]] std::vector<NextMeasurement> next() const
    {
        return nextMeasurements(input, study, rule);
    }
};

Margin unknown(std::size_t which)
{
    return [which](const PossibleMachine& machine) { return machine.motor.unknowns[which]; };
}

const NextMeasurement* named(const std::vector<NextMeasurement>& next, const std::string& words)
{
    const auto found =
        std::find_if(next.begin(), next.end(), [&words](const NextMeasurement& each) {
            return each.field.find(words) != std::string::npos ||
                   each.what.find(words) != std::string::npos;
        });
    return found == next.end() ? nullptr : &*found;
}

}  // namespace

TEST(NextMeasurement, IsTheOneThatShowsWhatTheFindingsHangOn)
{
    const Bench bench({unknown(0), unknown(0), unknown(1)});
    const std::vector<NextMeasurement> next = bench.next();
    ASSERT_GE(next.size(), 2U);
    EXPECT_NE(next[0].field.find("start-common-volts-running"), std::string::npos);
    EXPECT_NE(next[1].field.find("line-amps-running"), std::string::npos);
    EXPECT_EQ(named(next, "seconds-to-start"), nullptr) << "nothing hangs on it";
    // A reading of 2 % of what spreads by 10 % leaves a half decided where z is beyond some 0.35
    // deviations: normal law, each of the two with a chance of about 0.73.
    EXPECT_NEAR(next[0].settles, 2 * next[1].settles, 0.35);
    EXPECT_GT(next[0].settles, 1.2);
    EXPECT_LT(next[0].settles, 2);
}

// With a correlation of 1 a finding that is half and half is settled whatever is read; with none,
// never. In between, Phi((r z - t)/sqrt(1 - r^2)) beyond the rule's share, here by simulation.
TEST(NextMeasurement, SettlesAsOftenAsTheNormalLawSays)
{
    for (const double noise : {0.02, 0.05, 0.1}) {
        std::mt19937 random(17);
        std::normal_distribution<double> normal;
        const Bench bench({[&](const PossibleMachine& machine) {
            return machine.motor.unknowns[0] + noise * normal(random);
        }});
        const double error = 0.02 / 1.96;
        const double variance = 0.1 * 0.1;
        const double r = std::sqrt(variance / (variance + noise * noise)) *
                         std::sqrt(variance / (variance + error * error));
        int settled = 0;
        constexpr int repetitions = 20000;
        for (int i = 0; i < repetitions; ++i) {
            const double holds =
                0.5 * std::erfc(-r * normal(random) / std::sqrt(1 - r * r) / std::sqrt(2.0));
            settled += holds >= 0.95 || holds <= 0.05 ? 1 : 0;
        }
        EXPECT_NEAR(bench.next().front().settles, static_cast<double>(settled) / repetitions, 0.1)
            << noise;
    }
}

TEST(NextMeasurement, MayBeOfAPart)
{
    const Bench bench({[](const PossibleMachine& machine) {
        const std::string& id = machine.input.circuit->startCapacitor;
        const auto& part = std::get<StartCapacitor>(machine.input.parts.find(id)->data);
        return part.capacitance_F.minimum;
    }});
    // All margins are above nought here: shift them so that half of them fail.
    Bench shifted = bench;
    std::vector<double> farads;
    for (const SampleReading& reading : bench.study.readings[0]) {
        farads.push_back(reading.worst.limit);
    }
    std::nth_element(farads.begin(), farads.begin() + 100, farads.end());
    for (SampleReading& reading : shifted.study.readings[0]) {
        reading.worst.limit -= farads[100];
    }
    decide(shifted.study.findings[0], shifted.study.readings[0], shifted.rule);
    const std::vector<NextMeasurement> next = shifted.next();
    ASSERT_FALSE(next.empty());
    EXPECT_EQ(next.front().what, "microfarads of the start capacitor");
    EXPECT_NE(next.front().caution.find("discharge"), std::string::npos);
}

TEST(NextMeasurement, MayBeALookAtTheGauges)
{
    const Bench bench(
        {[](const PossibleMachine& machine) {
            return machine.input.compressor.load.pressures == Pressures::equalised ? 1.0 : -1.0;
        }},
        false);
    const std::vector<NextMeasurement> next = bench.next();
    ASSERT_FALSE(next.empty());
    EXPECT_NE(next.front().what.find("pressures"), std::string::npos);
}

TEST(NextMeasurement, IsNotOneThatHasBeenMade)
{
    Bench bench({unknown(0)});
    ASSERT_NE(named(bench.next(), "start-common-volts-running"), nullptr);
    bench.input.compressor.measurements = {
        {MeasuredQuantity::startCommonVoltsRunning, 250, 0.02, {}, {}}};
    EXPECT_EQ(named(bench.next(), "start-common-volts-running"), nullptr);
}

TEST(NextMeasurement, IsNoneWhereAllIsDecided)
{
    const Bench bench({[](const PossibleMachine&) { return 1.0; }});
    EXPECT_EQ(bench.study.findings[0].verdict, Verdict::pass);
    EXPECT_TRUE(bench.next().empty());
}

TEST(NextMeasurement, AlwaysComesWithInstrumentHowCautionAndField)
{
    for (const NextMeasurement& each : Bench({unknown(0), unknown(1), unknown(2)}).next()) {
        EXPECT_FALSE(each.what.empty());
        EXPECT_FALSE(each.instrument.empty()) << each.what;
        EXPECT_FALSE(each.how.empty()) << each.what;
        EXPECT_FALSE(each.caution.empty()) << each.what;
        EXPECT_FALSE(each.field.empty()) << each.what;
        EXPECT_GE(each.settles, 0) << each.what;
        EXPECT_LE(each.explains, 1) << each.what;
    }
}

}  // namespace splitstart
