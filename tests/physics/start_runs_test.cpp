// Starts as the studies run them.
#include "study/start_runs.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "circuit/case_circuit.h"
#include "physics/deck.h"
#include "unit/dairy_cases.h"

namespace splitstart
{

// A rotor a hundredth as heavy is up to speed within the first cycle or two; what a start shows at
// its beginning and at its end, two cycles and six, must still be there, at 40 Hz too.
TEST(StartRuns, MeasureAStartThatIsOverAtOnce)
{
    for (const double line_Hz : {40.0, 50.0, 60.0}) {
        Case input = coldStoreCase();
        input.supply.frequency_Hz = line_Hz;
        EquivalentCircuit motor = coldStoreMotor();
        motor.inertia_kgm2 /= 100;
        constexpr double light_Nm = 0.1;
        const StartJob job{
            {}, false, simulationModel(input, caseCircuit(input), motor, light_Nm, {})};
        std::vector<StartOutcome> outcomes;
        ASSERT_NO_THROW(outcomes = runStarts(input, {&job, 1}, simulators(), {3e-4, 0, 0}));
        const auto* measured = std::get_if<StartMeasurement>(&outcomes.front());
        ASSERT_NE(measured, nullptr);
        ASSERT_TRUE(measured->timeToSpeed_s.has_value());
        EXPECT_LT(*measured->timeToSpeed_s, 8 / line_Hz);
        EXPECT_GE(*measured->end_s, 8 / line_Hz);
    }
}

// The torque of a single-phase motor swings at twice the frequency of the line: a rotor without
// weight falls below 90 % of synchronous speed in every half cycle though its mean is above. The
// start is over all the same.
TEST(StartRuns, EndWhenTheMeanSpeedIsReached)
{
    const Case input = coldStoreCase();
    EquivalentCircuit motor = coldStoreMotor();
    motor.inertia_kgm2 /= 150;
    constexpr double load_Nm = 1.5;
    const StartJob job{{}, false, simulationModel(input, caseCircuit(input), motor, load_Nm, {})};
    const StartEffort effort;
    SimulationRequest request = startRequest(input, job, effort);
    request.vectors = {"speed"};
    const Waveforms run = simulators().run(request);
    const double threshold_rad_s = upToSpeed_ratio * job.model.synchronousSpeed_rad_s;
    const double lastCycles_s = run.time_s.back() - 6 / input.supply.frequency_Hz;
    double least_rad_s = job.model.synchronousSpeed_rad_s;
    double integral_rad = 0;
    double span_s = 0;
    for (std::size_t i = 1; i < run.time_s.size(); ++i) {
        if (run.time_s[i - 1] >= lastCycles_s) {
            const double step_s = run.time_s[i] - run.time_s[i - 1];
            least_rad_s = std::min(least_rad_s, run.real[0][i]);
            integral_rad += (run.real[0][i - 1] + run.real[0][i]) / 2 * step_s;
            span_s += step_s;
        }
    }
    ASSERT_LT(least_rad_s, threshold_rad_s) << "this rotor is too heavy for this test";
    EXPECT_GT(integral_rad / span_s, threshold_rad_s);
    EXPECT_TRUE(run.stoppedEarly);
    EXPECT_LT(run.time_s.back(), effort.end_s / 2);
}

}  // namespace splitstart
