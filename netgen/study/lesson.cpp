#include "study/lesson.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <stdexcept>

#include "case/embedded_files.h"
#include "case/reader.h"
#include "study/case_study.h"
#include "study/lesson_kinds.h"

namespace splitstart
{

namespace
{

constexpr std::string_view startBench = "bench-capacitor-start.xml";
constexpr std::string_view runBench = "bench-capacitor-run.xml";

std::size_t columnIndex(const Lesson& lesson, std::string_view name)
{
    for (std::size_t i = 0; i < lesson.columns.size(); ++i) {
        if (lesson.columns[i].name == name) {
            return i;
        }
    }
    throw std::out_of_range(fmt::format("lesson {}: no column {}", lesson.name, name));
}

// The position whose number goes before all others by `before`.
template <typename Before>
std::size_t extreme(const Lesson& lesson, std::string_view name, Before before)
{
    const std::size_t column = columnIndex(lesson, name);
    std::optional<std::size_t> best;
    for (std::size_t i = 0; i < lesson.positions.size(); ++i) {
        const std::optional<double>& number = lesson.positions[i].numbers.at(column);
        if (number && (!best || before(*number, *lesson.positions[*best].numbers[column]))) {
            best = i;
        }
    }
    if (!best) {
        throw std::out_of_range(fmt::format("lesson {}: no number of {}", lesson.name, name));
    }
    return *best;
}

}  // namespace

std::string_view lessonSourceName(LessonSource source)
{
    switch (source) {
        case LessonSource::run:
            return "ngspice run";
        case LessonSource::computed:
            return "computed from the run";
        case LessonSource::formula:
            return "textbook formula";
        case LessonSource::resistances:
            return "computed from the resistances";
    }
    return "";
}

double LessonComparison::difference_ratio() const
{
    const double larger = std::max(std::abs(fromRun), std::abs(fromFormula));
    return larger > 0 ? std::abs(fromRun - fromFormula) / larger : 0;
}

std::optional<double> Lesson::number(std::size_t position, std::string_view column) const
{
    return positions.at(position).numbers.at(columnIndex(*this, column));
}

std::size_t Lesson::largest(std::string_view column) const
{
    return extreme(*this, column, [](double a, double b) { return a > b; });
}

std::size_t Lesson::smallest(std::string_view column) const
{
    return extreme(*this, column, [](double a, double b) { return a < b; });
}

std::span<const LessonKind> lessonKinds()
{
    static constexpr std::array<LessonKind, 6> kinds = {{
        {"phase-shift", "how the start capacitor turns the start current ahead, and the torque",
         startBench, phaseShiftLesson},
        {"two-fields", "two revolving fields, and a rotor that is spun by hand", startBench,
         twoFieldsLesson},
        {"relay-opening", "the start winding's volts rise with speed until the relay opens",
         startBench, relayOpeningLesson},
        {"capacitor-size", "start capacitors from far too small to far too large", startBench,
         capacitorSizeLesson},
        {"run-capacitor", "capacitor run against induction run: efficiency and smoothness",
         runBench, runCapacitorLesson},
        {"swapped-wire", "what one slip of wiring does", startBench, swappedWireLesson},
    }};
    return kinds;
}

const LessonKind* lessonKind(std::string_view name)
{
    const auto kinds = lessonKinds();
    const auto found = std::find_if(kinds.begin(), kinds.end(),
                                    [name](const LessonKind& kind) { return kind.name == name; });
    return found == kinds.end() ? nullptr : &*found;
}

Case lessonCase(const LessonKind& kind)
{
    for (const EmbeddedFile& file : embeddedFiles()) {
        if (file.name == kind.caseFile) {
            return readCaseText(file.text, std::string(file.name), "");
        }
    }
    throw std::logic_error(fmt::format("no embedded case {}", kind.caseFile));
}

Lesson makeLesson(const LessonKind& kind, const std::optional<Case>& input, SimulatorPool& pool)
{
    Lesson lesson = kind.make(completeCase(input ? *input : lessonCase(kind)), pool);
    lesson.ownCase = input.has_value();
    return lesson;
}

}  // namespace splitstart
