#include "case/input_error.h"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "case/problem_list.h"
#include "case/text.h"

namespace splitstart
{

namespace
{

std::string describeAll(const std::vector<InputProblem>& problems)
{
    std::string text;
    for (const InputProblem& problem : problems) {
        if (!text.empty()) {
            text += '\n';
        }
        text += describe(problem);
    }
    return text;
}

}  // namespace

std::string describe(const InputProblem& problem)
{
    // Readers shorten what they found much more than this; other callers may not.
    constexpr std::size_t longest = 500;
    std::string text = shortText(problem.place.file, longest);
    if (problem.place.line > 0) {
        text += fmt::format(":{}", problem.place.line);
    }
    const auto add = [&text](const std::string& piece) {
        text += (text.empty() ? "" : ": ") + piece;
    };
    if (!problem.field.empty()) {
        add(problem.field);
    }
    add(problem.problem.empty() ? fmt::format("found \"{}\"", shortText(problem.found, longest))
                                : problem.problem);
    if (!problem.allowed.empty()) {
        text += "; allowed: " + problem.allowed;
    }
    text += '.';
    if (!problem.hint.empty()) {
        text += ' ' + problem.hint;
    }
    return oneLine(text);
}

InputError::InputError(std::vector<InputProblem> problems)
    : std::runtime_error(describeAll(problems)), problems_(std::move(problems))
{
}

void ProblemList::add(InputProblem problem)
{
    if (full()) {
        ++notKept_;
        return;
    }
    problem.found = shortText(problem.found);
    problems_.push_back(std::move(problem));
}

void ProblemList::throwIfAny() const
{
    if (problems_.empty()) {
        return;
    }
    std::vector<std::string> files;  // in the order in which they were met
    const auto fileNumber = [&files](const InputProblem& problem) {
        return std::find(files.begin(), files.end(), problem.place.file) - files.begin();
    };
    for (const InputProblem& problem : problems_) {
        if (std::find(files.begin(), files.end(), problem.place.file) == files.end()) {
            files.push_back(problem.place.file);
        }
    }
    std::vector<InputProblem> sorted = problems_;
    std::stable_sort(
        sorted.begin(), sorted.end(), [&fileNumber](const InputProblem& a, const InputProblem& b) {
            return std::pair(fileNumber(a), a.place.line) < std::pair(fileNumber(b), b.place.line);
        });
    if (notKept_ > 0) {
        InputProblem rest;
        rest.place.file = sorted.back().place.file;
        rest.problem = fmt::format("{} more problems are not shown", notKept_);
        sorted.push_back(std::move(rest));
    }
    throw InputError(std::move(sorted));
}

void refuseInput(const SourcePlace& place, const std::string& field, const std::string& found,
                 const std::string& allowed)
{
    std::vector<InputProblem> problems;
    InputProblem& problem = problems.emplace_back();
    problem.place = place;
    problem.field = field;
    problem.found = found;
    problem.allowed = allowed;
    throw InputError(std::move(problems));
}

void refuseMissing(const SourcePlace& place, const std::string& field, const std::string& allowed,
                   const std::string& hint)
{
    throw InputError({{place, field, {}, allowed, hint, "missing"}});
}

}  // namespace splitstart
