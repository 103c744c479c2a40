// The curves of a start obey the laws of circuits, and say what its measurement says.
#include "spice/start_trace.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "case/reader.h"
#include "circuit/case_circuit.h"
#include "physics/deck.h"
#include "report/start_figures.h"
#include "spice/waveform_math.h"
#include "study/best_evidence.h"
#include "study/corners.h"
#include "study/held_shaft.h"
#include "study/traced_start.h"

namespace splitstart
{

namespace
{

std::string exampleFile(const std::string& name)
{
    return std::string(SPLITSTART_SOURCE_DIR) + "/examples/" + name;
}

// CSCR with a potential relay and no fan; the relay's coil lies across the start winding.
struct Traced {
    Case input = completeCase(readCaseFile(exampleFile("cheese-store.xml")));
    Circuit circuit = caseCircuit(input);
    MotorStudy motor = motorStudy(input, circuit, simulators());
    TracedStart start = tracedStart(input, circuit, motor, {}, simulators());

    [[nodiscard]] const std::vector<double>& of(const char* name) const
    {
        return start.trace.find(name)->values;
    }
    [[nodiscard]] Signal signal(const char* name) const { return {start.trace.time_s, of(name)}; }
};

const Traced& traced()
{
    static const Traced made;
    return made;
}

double largest(const std::vector<double>& values)
{
    double peak = 0;
    for (const double value : values) {
        peak = std::max(peak, std::abs(value));
    }
    return peak;
}

}  // namespace

TEST(StartTrace, AmpsOfTheWindingsAddUpToThoseOfTheLine)
{
    const Traced& run = traced();
    const double peak = largest(run.of("line_a"));
    for (std::size_t i = 0; i < run.start.trace.time_s.size(); ++i) {
        // The rest flows through the relay's coil and is the core's loss.
        EXPECT_NEAR(run.of("line_a")[i], run.of("run_winding_a")[i] + run.of("start_winding_a")[i],
                    0.02 * peak)
            << run.start.trace.time_s[i];
    }
}

TEST(StartTrace, VoltsAddUpAroundTheStartCircuit)
{
    const Traced& run = traced();
    int made = 0;
    for (std::size_t i = 0; i < run.start.trace.time_s.size(); ++i) {
        // From R by the start capacitor and the contact to S, and from R by C to S.
        const double byPins = run.of("run_winding_v")[i] - run.of("start_winding_v")[i];
        EXPECT_NEAR(byPins, run.of("start_capacitor_v")[i] + run.of("start_device_v")[i], 1e-6);
        made += run.of("start_contact")[i] > 0.5 ? 1 : 0;
    }
    EXPECT_GT(made, 100);
}

TEST(StartTrace, PowerOfTheLineIsWhatWasMeasured)
{
    const Traced& run = traced();
    std::vector<double> power = run.of("supply_v");
    for (std::size_t i = 0; i < power.size(); ++i) {
        power[i] *= run.of("line_a")[i];
    }
    const double end_s = run.start.trace.time_s.back();
    const double watts =
        mean({run.start.trace.time_s, power}, end_s - cyclesAtEnd / run.start.frequency_Hz, end_s);
    EXPECT_GT(watts, 0);
    // The supply's own terminals, before the feed's impedance, give a little more.
    EXPECT_NEAR(watts / *run.start.measured.lineRunning_W, 1, 0.05);
}

TEST(StartTrace, RmsOfEachCycleEndsAtTheRunningValues)
{
    const Traced& run = traced();
    const StartTrace cycles = cycleTrace(run.start.trace, run.start.frequency_Hz);
    const double end_s = cycles.time_s.back();
    const auto lastCycles = [&](const char* name) {
        return mean({cycles.time_s, cycles.find(name)->values},
                    end_s - cyclesAtEnd / run.start.frequency_Hz, end_s);
    };
    EXPECT_NEAR(lastCycles("start_winding_v") / *run.start.measured.startWindingRunning_V, 1, 0.01);
    EXPECT_NEAR(lastCycles("line_a") / *run.start.measured.lineRunning_A, 1, 0.03);
    EXPECT_NEAR(lastCycles("speed_percent") / 100, *run.start.measured.speedAtEnd_ratio, 0.01);
}

TEST(StartTrace, ContactOpensWhenItWasMeasuredTo)
{
    const Traced& run = traced();
    const std::optional<double> opened_s = crossing(run.signal("start_contact"), 0.5, false);
    ASSERT_TRUE(opened_s && run.start.measured.startContactOpened_s);
    EXPECT_NEAR(*opened_s, *run.start.measured.startContactOpened_s, 1e-9);
    // The relay senses its coil: by then its volts have passed the pick-up of the label.
    const StartTrace cycles = cycleTrace(run.start.trace, run.start.frequency_Hz);
    EXPECT_GT(valueAt({cycles.time_s, cycles.find("coil_v")->values}, *opened_s), 150);
}

TEST(StartFigures, HaveTheSameEndsAsTheTrace)
{
    for (const Figure& figure : startFigures(traced().start)) {
        for (const FigureCurve& curve : figure.curves) {
            ASSERT_EQ(curve.x.size(), curve.y.size()) << figure.id;
            EXPECT_EQ(curve.x.back(), traced().start.trace.time_s.back()) << figure.id;
        }
        ASSERT_EQ(figure.bands.size(), 1U) << figure.id;
        EXPECT_NEAR(figure.bands[0].range.maximum, *traced().start.measured.startContactOpened_s,
                    5e-4)
            << figure.id;
    }
}

TEST(SpeedFigures, CrossThePickUpWhereTheRelayOpensInASlowStart)
{
    const Traced& run = traced();
    Evidence evidence;
    evidence.ratedTorque_Nm = run.motor.motor.ratedTorque_Nm.value;
    evidence.held = heldShaftTables(withSource(run.input, run.motor), run.circuit,
                                    run.motor.motor.circuit, simulators(), {Release::middle});
    const std::vector<Figure> figures = speedFigures(run.input, evidence);
    const auto volts = std::find_if(figures.begin(), figures.end(), [](const Figure& each) {
        return each.id == "volts-over-speed";
    });
    ASSERT_NE(volts, figures.end());
    ASSERT_EQ(volts->bands.size(), 2U);
    const FigureCurve& in = volts->curves.front();
    // S-C volts rise with speed, so that they pass each volt once.
    ASSERT_TRUE(std::is_sorted(in.y.begin(), in.y.end()));
    const double pickUp_V = volts->bands[0].range.middle();
    const auto above =
        std::find_if(in.y.begin(), in.y.end(), [=](double value) { return value >= pickUp_V; });
    ASSERT_NE(above, in.y.end());
    const auto at = static_cast<std::size_t>(above - in.y.begin());
    // In a start the rotor is faster by what it gains while the volts rise and the armature moves.
    EXPECT_GT(*run.start.measured.speedAtOpening_ratio * 100, in.x[at - 1]);
    EXPECT_LT(*run.start.measured.speedAtOpening_ratio * 100, in.x[at] + 15);
}

// Of an estimated motor the findings are of many machines, and of no end of the tolerances.
TEST(WorstCorner, IsOneInWhichTheRelayNeverOpensWhereThatIsWhatFails)
{
    const Case input = completeCase(readCaseFile(exampleFile("relay-never-opens.xml")));
    CheckOptions options;
    options.rule.samples = 20;
    const CheckStudy study = checkStudy(input, simulators(), options);
    const std::optional<Corner> worst = worstCorner(input, study);
    ASSERT_TRUE(worst.has_value());
    const TracedStart start = tracedStart(input, study.circuit, study.motor, *worst, simulators());
    EXPECT_FALSE(start.measured.startContactOpened_s.has_value());
}

TEST(WorstCorner, IsWhereACheckFails)
{
    const Case input = completeCase(readCaseFile(exampleFile("faults/relay-chatters.xml")));
    const CheckStudy study = checkStudy(input, simulators());
    const std::optional<Corner> worst = worstCorner(input, study);
    ASSERT_TRUE(worst.has_value());
    EXPECT_TRUE(std::any_of(study.findings.begin(), study.findings.end(), [&](const Finding& each) {
        return each.verdict == Verdict::fail && each.corner.starts_with(cornerText(*worst));
    }));
}

}  // namespace splitstart
