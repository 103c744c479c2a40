#include <fmt/format.h>

#include <optional>
#include <string>
#include <vector>

#include "case/text.h"
#include "cli/command.h"
#include "cli/page_making.h"
#include "report/lesson_page.h"
#include "study/lesson.h"

namespace splitstart
{

namespace
{

namespace po = boost::program_options;

std::string listOfLessons()
{
    std::string text;
    for (const LessonKind& kind : lessonKinds()) {
        text += fmt::format("{:<15} {}\n", kind.name, kind.summary);
    }
    return text;
}

const LessonKind& namedLesson(const po::variables_map& values)
{
    if (values.count("name") == 0) {
        throw UsageError("the lesson's name is missing; `splitstart lesson --list` names them all");
    }
    const auto& name = values["name"].as<std::string>();
    if (const LessonKind* kind = lessonKind(name)) {
        return *kind;
    }
    std::vector<std::string_view> names;
    for (const LessonKind& kind : lessonKinds()) {
        names.push_back(kind.name);
    }
    const std::string_view near = nearest(name, names);
    throw UsageError(fmt::format("lesson: found \"{}\"; allowed: {}{}", shortText(name),
                                 joined(names),
                                 near.empty() ? "" : fmt::format(". Did you mean \"{}\"?", near)));
}

// html unless json is asked for.
bool lessonWantsJson(const po::variables_map& values)
{
    const auto& format = values["format"].as<std::string>();
    if (format != "html" && format != "json") {
        throw UsageError(
            fmt::format("--format: found \"{}\"; allowed: html or json", shortText(format)));
    }
    return format == "json";
}

}  // namespace

CommandLine lessonLine()
{
    CommandLine line(
        "splitstart lesson NAME [CASE.xml] [options]",
        "Makes a lesson as one page of HTML that needs nothing else: a slider, each of its "
        "positions a run of ngspice; the formula, a question with its answer, the netlist. Without "
        "a case it runs on an invented training bench.",
        "splitstart lesson phase-shift -o phase-shift.html", "html|json");
    line.statuses = {{allPass, "done"}, {badInput}, {simulatorFailed}};
    line.takesName = true;
    line.options.add_options()("list", "name the lessons");
    return line;
}

int lessonCommand(const po::variables_map& values)
{
    const bool asJson = lessonWantsJson(values);
    if (values.count("list") != 0) {
        if (values.count("name") != 0) {
            throw UsageError("--list: name no lesson with it");
        }
        deliver(values, listOfLessons());
        return allPass;
    }
    const LessonKind& kind = namedLesson(values);
    std::optional<Case> input;
    if (values.count("case") != 0) {
        input = caseFrom(values);
    }
    SimulatorPool pool;
    const Lesson lesson = makeLesson(kind, input, pool);
    if (!lesson.warning.empty()) {
        fmt::print(stderr, "splitstart: {}\n", lesson.warning);
    }
    deliver(values, asJson ? dumped(lessonJson(lesson)) : lessonPage(lesson, pageMaking()));
    return allPass;
}

}  // namespace splitstart
