// What the lessons share: the bench that they run on, and how positions are run and read. Internal
// to study/.
#pragma once

#include <complex>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "case/case.h"
#include "circuit/circuit.h"
#include "circuit/simulation_model.h"
#include "spice/measurement.h"
#include "spice/start_columns.h"
#include "spice/waveform_math.h"
#include "study/case_study.h"
#include "study/found_start.h"
#include "study/lesson.h"
#include "study/lesson_formula.h"

namespace splitstart
{

// The motor and circuit that a lesson runs, windings cold, parts in the middle of their ranges.
struct LessonBench {
    Case input;       // with the motor's source
    Circuit circuit;  // as the case asks for it, without the fan
    MotorStudy motor;

    [[nodiscard]] Corner corner() const;
    [[nodiscard]] TextbookMotor textbook() const;
    [[nodiscard]] std::complex<double> source_ohm() const;  // of the supply
    [[nodiscard]] double synchronous_rad_s() const;
    [[nodiscard]] double ratedTorque_Nm() const { return motor.motor.ratedTorque_Nm.value; }

    // The circuit at one working point; `changed`: the same case with other values.
    [[nodiscard]] SimulationModel model(const RunSetting& setting) const;
    [[nodiscard]] SimulationModel model(const Case& changed, const Circuit& wired,
                                        const RunSetting& setting) const;
    // A deck for people. `setting` and `changed` as above.
    [[nodiscard]] std::string startDeck(const Case& changed, const Circuit& wired,
                                        const RunSetting& setting, double end_s,
                                        const std::string& moved) const;
    [[nodiscard]] std::string heldDeck(const Case& changed, const Circuit& wired,
                                       const RunSetting& setting, const std::string& moved) const;
};

// Throws InputError where there is no circuit or the case holds not enough for a motor.
LessonBench lessonBench(const Case& input, SimulatorPool& pool);

// Begins the lesson of that name on the bench.
Lesson begunLesson(const char* name, const LessonBench& bench);

// Throws an InputError: the lesson of that name needs a thing that the case does not have. `found`:
// what the case has in its place; empty: nothing, the field is missing.
[[noreturn]] void refuseLesson(const Case& input, const char* lesson, const char* field,
                               const std::string& found, const std::string& allowed);

// The case with that start capacitor, or run capacitor, in place of its own. Requires one.
Case withStartCapacitor(const Case& input, double capacitance_F);
Case withRunCapacitor(const Case& input, double capacitance_F);
// In the middle of its range; 0 where the case has none.
double startCapacitor_F(const Case& input);
double runCapacitor_F(const Case& input);

// One transient of that model, from the speed at which it begins.
struct LessonStart {
    double end_s = 1.5;
    double largestStep_s = 3e-4;
    double settledFor_s = 0;  // ends this long after 90 % of synchronous speed; 0: at end_s
};
SimulationRequest lessonStartRequest(const SimulationModel& model, const LessonStart& start);

// Runs all at once; throws the first failure.
std::vector<Waveforms> runLesson(const std::vector<SimulationRequest>& requests,
                                 SimulatorPool& pool);

// Points of a curve, evenly spaced in time, y multiplied.
LessonCurve thinned(const Signal& signal, const char* name, const char* column, double factor,
                    int points = 150);
// Rms over one cycle, evenly spaced in time.
LessonCurve cycleRms(const Signal& signal, const char* name, const char* column, double cycle_s,
                     int points = 150);

// The signal's part at that frequency over that time as an rms phasor, counted from a sine that
// begins at time 0. Whole cycles are wanted.
std::complex<double> fourierPhasor(const Signal& signal, double from_s, double to_s,
                                   double frequency_Hz);

LessonPhasor phasorOf(const char* name, const char* words, const char* unit,
                      std::complex<double> rms);

// That column over what varies.
LessonCurve overPositions(const Lesson& lesson, const char* name, const char* column);

// Marks each position on the lesson's charts: chart by chart at its number in these columns, where
// it has one.
void markPositions(Lesson& lesson, const std::vector<const char*>& columns);

// " The run winding gets hot first: ..." by the heating computed, and what switches it off; empty
// for a start that ends as it should.
std::string heatSays(const WiredStart& start);

// "the overload protector opens after 4.1 to 8.2 s", or that nothing switches it off.
std::string switchedOffSays(const std::optional<Range>& protectorOpens_s);

double degrees(double radians);

// "183 uF"
std::string microfaradText(double capacitance_F);

}  // namespace splitstart
