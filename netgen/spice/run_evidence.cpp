#include "spice/run_evidence.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <string_view>

#include "case/text.h"
#include "spice/deck_card.h"

namespace splitstart
{
namespace
{

std::vector<std::string_view> linesOf(std::string_view log)
{
    std::vector<std::string_view> lines;
    while (!log.empty()) {
        const std::size_t end = std::min(log.find('\n'), log.size());
        lines.push_back(trimmed(log.substr(0, end)));
        log.remove_prefix(std::min(end + 1, log.size()));
    }
    return lines;
}

bool contains(std::string_view text, std::string_view part)
{
    return text.find(part) != std::string_view::npos;
}

std::string shortened(std::string_view text)
{
    constexpr std::size_t longest = 100;
    return text.size() > longest ? std::string(text.substr(0, longest)) + "..." : std::string(text);
}

std::string withoutFullStop(std::string_view text)
{
    while (!text.empty() && (text.back() == '.' || text.back() == ' ')) {
        text.remove_suffix(1);
    }
    return shortened(text);
}

// The text behind the first `start` in the log, to the end of its line or to `end`.
std::optional<std::string_view> textAfter(std::string_view log, std::string_view start,
                                          std::string_view end = "\n")
{
    const std::size_t at = log.find(start);
    if (at == std::string_view::npos) {
        return std::nullopt;
    }
    const std::string_view rest = log.substr(at + start.size());
    return trimmed(rest.substr(0, std::min(rest.find(end), rest.find('\n'))));
}

// "12.5 ms of 3 s", or hertz.
std::string progress(const SimulationJob& job, double reached)
{
    return job.transient ? fmt::format("{:.6g} s of {:.6g} s", reached, job.end)
                         : fmt::format("{:.6g} Hz of {:.6g} Hz", reached, job.end);
}

std::string numberedLine(const SimulationJob& job, std::size_t number)
{
    return number >= 1 && number <= job.lines.size()
               ? fmt::format("line {}, `{}`", number, shortened(job.lines[number - 1]))
               : std::string("the deck");
}

// The line of the deck with this word in it, but not as the name that it gives a value to.
std::string lineThatUses(const SimulationJob& job, std::string_view word)
{
    for (std::size_t i = 1; i < job.lines.size(); ++i) {
        const std::string lower = lowered(job.lines[i]);
        for (const std::string_view each : identifiers(lower)) {
            const auto after = static_cast<std::size_t>(each.data() + each.size() - lower.data());
            const std::size_t next = lower.find_first_not_of(' ', after);
            if (each == word && (next == std::string::npos || lower[next] != '=')) {
                return numberedLine(job, i + 1);
            }
        }
    }
    return "the deck";
}

std::vector<std::string> undefinedParameters(std::string_view log)
{
    std::vector<std::string> names;
    for (const std::string_view line : linesOf(log)) {
        if (const auto name = textAfter(line, "Undefined parameter [", "]")) {
            if (std::ranges::find(names, *name) == names.end()) {
                names.emplace_back(*name);
            }
        }
    }
    return names;
}

Trouble afterControlledExit(const SimulationJob& job, const RunEvidence& evidence)
{
    if (const auto expression = textAfter(evidence.log, "Expression err:")) {
        std::size_t number = 0;
        if (const auto text = textAfter(evidence.log, "Netlist line no.", ":")) {
            std::from_chars(text->data(), text->data() + text->size(), number);
        }
        return {SimulationFault::controlledExit,
                fmt::format("ngspice gave up on the expression `{}` in {}; check its brackets and "
                            "operators.",
                            shortened(*expression), numberedLine(job, number))};
    }
    const std::vector<std::string> names = undefinedParameters(evidence.log);
    if (!names.empty()) {
        return {SimulationFault::undefinedParameter,
                fmt::format("The name {} has no value: it is used in {}; define it with a .param "
                            "card or as a parameter of the subcircuit.",
                            fmt::join(names, ", "), lineThatUses(job, names.front()))};
    }
    std::string_view reason = "it gave no reason";
    const std::vector<std::string_view> lines = linesOf(evidence.log);
    const auto found = std::ranges::find_if(lines, [](std::string_view line) {
        return lowered(line).starts_with("error") && !contains(line, "cannot recover");
    });
    if (found != lines.end()) {
        reason = *found;
    }
    return {SimulationFault::controlledExit,
            fmt::format("ngspice gave up on the deck as a whole ({}); correct the deck.",
                        withoutFullStop(reason))};
}

// "Error on line 3 or its substitute:", then the line, then the reason; a line before it may say
// more.
std::optional<std::string> numberedError(const std::vector<std::string_view>& lines)
{
    const auto at = std::ranges::find_if(
        lines, [](std::string_view line) { return line.starts_with("Error on line"); });
    if (at == lines.end()) {
        return std::nullopt;
    }
    const std::string_view number = textAfter(*at, "Error on line ", " or").value_or("");
    const std::string_view card = at + 1 < lines.end() ? at[1] : std::string_view{};
    const std::string_view reason = at + 2 < lines.end() ? at[2] : std::string_view{};
    std::string text = fmt::format("`{}`: {}", shortened(card), withoutFullStop(reason));
    if (!number.empty()) {
        text = fmt::format("line {}, {}", number, text);
    }
    if (at != lines.begin() && at[-1].starts_with("Error:")) {
        text += fmt::format(" ({})", withoutFullStop(at[-1]));
    }
    return text;
}

// Evidence that the deck was not understood. What ngspice ignores with no more than a warning is
// counted too: a deck with a misspelt parameter must not run with that parameter's default.
std::optional<std::string> loadError(const RunEvidence& evidence)
{
    const std::vector<std::string_view> lines = linesOf(evidence.loadLog);
    if (auto numbered = numberedError(lines)) {
        return numbered;
    }
    for (std::size_t i = 0; i < lines.size(); ++i) {
        const std::string lower = lowered(lines[i]);
        if (contains(lower, "error") || contains(lower, "parameters for subcircuit") ||
            contains(lower, "non-increasing pwl")) {
            return withoutFullStop(lines[i]);
        }
        if (contains(lower, "unrecognized parameter")) {
            return fmt::format("{} in `{}`", withoutFullStop(lines[i]),
                               shortened(i > 0 ? lines[i - 1] : ""));
        }
    }
    return std::nullopt;
}

Trouble refusedDeck(std::string_view reason)
{
    return {SimulationFault::deckRefused,
            fmt::format("ngspice cannot use the deck: {}; correct the deck.", reason)};
}

Trouble withoutReason(int status)
{
    return refusedDeck(fmt::format("ngspice returned status {} without a reason", status));
}

Trouble missing(const std::vector<std::string>& names)
{
    return {SimulationFault::missingVector,
            fmt::format("The circuit has no node or source current named {}; check the names that "
                        "were asked for.",
                        fmt::join(names, ", "))};
}

// What ngspice says of the end of a run, with what it said before about the cause.
std::string endReason(const RunEvidence& evidence)
{
    std::string reason =
        withoutFullStop(textAfter(evidence.log, "doAnalyses:").value_or("ngspice gave no reason"));
    const std::vector<std::string_view> lines = linesOf(evidence.log);
    for (std::size_t i = 0; i < lines.size(); ++i) {
        if (lines[i].starts_with("Error:") && contains(lines[i], "out of range for")) {
            const bool isPlaced = i + 1 < lines.size() && lines[i + 1].starts_with("in line");
            return fmt::format("{}; {} {}", reason, withoutFullStop(lines[i].substr(7)),
                               isPlaced ? lines[i + 1] : "");
        }
    }
    if (const auto node = textAfter(evidence.log, "singular matrix:")) {
        reason += fmt::format("; the equations have no single answer, {}", *node);
    }
    return reason;
}

Trouble noOperatingPoint(const RunEvidence& evidence)
{
    return {SimulationFault::noConvergence,
            fmt::format("ngspice found no operating point of the circuit to start from ({}); look "
                        "for a voltage source across another, or a node without a path to ground.",
                        endReason(evidence))};
}

// No analysis reported itself.
Trouble notStarted(const SimulationJob& job, const RunEvidence& evidence)
{
    if (contains(evidence.log, "no data saved for")) {
        return missing(job.vectors);
    }
    if (const auto reason = textAfter(evidence.log, "Fatal error:")) {
        return refusedDeck(withoutFullStop(*reason));
    }
    if (contains(evidence.log, "Timestep too small") || contains(evidence.log, "No convergence") ||
        contains(evidence.log, "no convergence")) {
        return noOperatingPoint(evidence);  // an .ac run reports itself only after that point
    }
    return {SimulationFault::notRun,
            "ngspice read the deck but did not run its analysis, and gave no reason; try again, "
            "and report it with the deck if it comes again."};
}

Trouble endedEarly(const SimulationJob& job, const RunEvidence& evidence)
{
    const std::string reason = endReason(evidence);
    if (evidence.points == 0 && !contains(reason, "time = ")) {
        return noOperatingPoint(evidence);
    }
    return {SimulationFault::aborted,
            fmt::format("ngspice stopped at {} ({}); look at the part named there, or try a "
                        "smaller largest step.",
                        progress(job, evidence.reached), reason)};
}

// Of a value of a sweep.
bool isSourceSet(const RunEvidence& evidence)
{
    constexpr double rounding = 1e-12;
    constexpr double least = 1e-300;  // ngspice takes smaller numbers for 0
    const double wanted = evidence.sweptValue.value_or(0);
    return evidence.sourceReads &&
           std::abs(*evidence.sourceReads - wanted) <= rounding * std::abs(wanted) + least;
}

std::optional<Trouble> troubleOfRun(const SimulationJob& job, const RunEvidence& evidence)
{
    if (std::optional<Trouble> trouble = findLoadTrouble(job, evidence)) {
        return trouble;
    }
    if (evidence.runStatus != 0) {
        return withoutReason(evidence.runStatus);
    }
    if (evidence.sweptValue && !isSourceSet(evidence)) {
        return Trouble{SimulationFault::notRun,
                       "ngspice did not take this value for the source; try again, and report it "
                       "with the deck if it comes again."};
    }
    if (evidence.analysesStarted == 0) {
        return notStarted(job, evidence);
    }
    if (evidence.analysesStarted != 1 || evidence.reportedTitle != job.title) {
        return Trouble{SimulationFault::notRun,
                       fmt::format("ngspice ran something else than this deck (`{}`); try again, "
                                   "and report it with the deck if it comes again.",
                                   shortened(evidence.reportedTitle))};
    }
    if (!evidence.missingVectors.empty()) {
        return missing(evidence.missingVectors);
    }
    if (!evidence.notFiniteVector.empty()) {
        return Trouble{SimulationFault::notFinite,
                       fmt::format("The value of {} is infinite or not a number at {}; look for a "
                                   "division by zero or a value far out of range there.",
                                   evidence.notFiniteVector, progress(job, evidence.notFiniteAt))};
    }
    if (evidence.tooManyValues) {
        return Trouble{SimulationFault::aborted,
                       fmt::format("The run has more points than can be kept; it was left at {}: "
                                   "ask for fewer vectors, a shorter time or a larger step.",
                                   progress(job, evidence.reached))};
    }
    if (!evidence.stopRuleMet && (evidence.points == 0 || evidence.reached < job.reachAtLeast)) {
        return endedEarly(job, evidence);
    }
    if (evidence.sweptValue && evidence.points != 1) {
        return Trouble{SimulationFault::notRun,
                       fmt::format("ngspice gave {} points in the place of one; try again, and "
                                   "report it with the deck if it comes again.",
                                   evidence.points)};
    }
    return std::nullopt;
}

}  // namespace

std::optional<Trouble> findLoadTrouble(const SimulationJob& job, const RunEvidence& evidence)
{
    if (evidence.controlledExit) {
        return afterControlledExit(job, evidence);
    }
    if (const auto error = loadError(evidence)) {
        return refusedDeck(*error);
    }
    if (evidence.loadStatus != 0) {
        return withoutReason(evidence.loadStatus);
    }
    return std::nullopt;
}

std::optional<Trouble> findTrouble(const SimulationJob& job, const RunEvidence& evidence)
{
    std::optional<Trouble> trouble = troubleOfRun(job, evidence);
    if (trouble && evidence.sweptValue && job.sweep) {
        trouble->message = fmt::format("With {} at {}: {}", job.sweep->source, *evidence.sweptValue,
                                       trouble->message);
    }
    return trouble;
}

}  // namespace splitstart
