// Starts as the studies run them.
#include "study/start_runs.h"

#include <gtest/gtest.h>

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

}  // namespace splitstart
