// Lessons: one thing about the start circuit that a slider shows, each of its positions a run of
// ngspice. Data alone; report/lesson_page.h makes the page.
#pragma once

#include <functional>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "case/case.h"
#include "circuit/circuit.h"
#include "circuit/simulation_model.h"
#include "spice/simulation.h"

namespace splitstart
{

// Where a number of a lesson comes from.
enum class LessonSource {
    run,          // measured in the waveforms or phasors of a run of ngspice
    computed,     // worked out from such numbers
    formula,      // the textbook's formula, with the motor's equivalent circuit
    resistances,  // what an ohmmeter would show, by Kirchhoff's laws; no run
};

// "ngspice run", "computed from the run", "textbook formula", "computed from the resistances"
std::string_view lessonSourceName(LessonSource source);

// A number that every position has, or may have.
struct LessonColumn {
    std::string name;   // in JSON, with its unit: "torque_nm"
    std::string words;  // "starting torque"
    std::string unit;   // "N m"; empty: a ratio or a count
    LessonSource source = LessonSource::run;
};

// A sine as an arrow: rms value and angle ahead of the line's own sine.
struct LessonPhasor {
    std::string name;   // "main_a"
    std::string words;  // "run winding amps"
    std::string unit;   // "A", "V"; arrows of one unit share a scale
    double magnitude = 0;
    double angle_deg = 0;
};

// Equally long x and y.
struct LessonCurve {
    std::string name;    // "start winding, S-C"
    std::string column;  // in JSON, with its unit
    std::vector<double> x = {};
    std::vector<double> y = {};
    bool isStep = false;  // keeps its value until the next point
};

// A shaded range of one axis.
struct LessonBand {
    std::string name;
    Range range;
    bool ofX = false;
};

struct LessonMark {
    std::string name;
    double x = 0;
    double y = 0;
};

struct LessonChart {
    std::string id;     // letters, digits, -
    std::string title;  // "S-C volts over speed"
    std::string xName;
    std::string xUnit;
    std::string yName;
    std::string yUnit;
    std::vector<LessonCurve> curves;
    std::vector<LessonBand> bands = {};
    std::vector<LessonMark> marks = {};
};

// Two revolving fields as the lengths of two arrows that turn against each other.
struct LessonFields {
    std::string words;  // what the lengths are, and from what they were worked out
    std::string unit;
    double forward = 0;
    double backward = 0;
};

struct LessonPosition {
    double value = 0;   // of what varies
    std::string label;  // "60 uF"
    std::string says;   // what this position shows, one or two sentences; may be empty
    std::vector<std::optional<double>> numbers;  // one for each column
    std::vector<LessonPhasor> phasors = {};
    std::optional<LessonFields> fields = {};
    // On the first of the lesson's own charts, in their order; as many in every position. Empty
    // where this position has no number there.
    std::vector<std::optional<LessonMark>> marks = {};
    std::vector<LessonChart> charts = {};  // of this position alone
    std::optional<Circuit> wiring = {};    // where positions differ in it
    bool isRun = true;                     // false: nothing was, or could be, simulated
};

// The textbook's formula against the run, on the same motor.
struct LessonComparison {
    std::string words;  // "starting torque at 183 uF"
    std::string unit;
    double fromRun = 0;
    double fromFormula = 0;
    std::string given = {};  // what of the run the formula was given, and so does not test
    // How far apart, as a share of the larger of the two.
    [[nodiscard]] double difference_ratio() const;
};

// A deck for stock ngspice.
struct LessonDeck {
    std::string fileName;  // "phase-shift.cir"
    std::string words;     // what it is, and which .param the slider moves
    std::string text;
};

struct Lesson {
    std::string name;      // "phase-shift"
    std::string caseName;  // of the motor and parts
    bool invented = false;
    bool ownCase = false;                      // of the user; otherwise the training bench
    double frequency_Hz = 60;                  // of the line
    std::string caseFile;                      // its name
    std::string conditions;                    // in which the runs are made, one sentence
    std::string warning;                       // of readings that condemn the windings; else empty
    std::optional<PartKind> startDevice = {};  // what takes the start circuit out
    bool hasRunCapacitor = false;              // one stays in the start lead
    std::string motor;                         // where the motor's numbers come from, one sentence
    std::string varies;                        // "start capacitor"
    std::string unit;                          // "uF"; empty where positions are words
    std::vector<LessonColumn> columns;
    std::vector<LessonPosition> positions;
    std::size_t standard = 0;  // the position that is shown first: the case's own, or the middle
    std::vector<LessonChart> charts = {};  // over all positions; position.marks lie on them
    std::vector<LessonComparison> comparisons;
    std::vector<LessonDeck> decks;
    std::vector<std::string> notes = {};  // assumptions, one plain sentence each

    // The number of that column at that position; empty if it has none. Throws std::out_of_range
    // for a column that is not there.
    [[nodiscard]] std::optional<double> number(std::size_t position, std::string_view column) const;
    // The position with the largest, or smallest, number in that column. Throws std::out_of_range
    // if no position has one.
    [[nodiscard]] std::size_t largest(std::string_view column) const;
    [[nodiscard]] std::size_t smallest(std::string_view column) const;
};

struct LessonKind {
    std::string_view name;      // "phase-shift"
    std::string_view summary;   // one line for the list of lessons
    std::string_view caseFile;  // the embedded case that it takes by itself
    // Runs all positions. Throws InputError where the case lacks what the lesson needs,
    // SimulationError.
    Lesson (*make)(const Case& input, SimulatorPool& pool);
};

std::span<const LessonKind> lessonKinds();

// The lesson of that name, or null.
const LessonKind* lessonKind(std::string_view name);

// The training bench that the lesson takes by itself.
Case lessonCase(const LessonKind& kind);

// The lesson on that case, or on the training bench. Throws InputError, SimulationError.
Lesson makeLesson(const LessonKind& kind, const std::optional<Case>& input, SimulatorPool& pool);

}  // namespace splitstart
