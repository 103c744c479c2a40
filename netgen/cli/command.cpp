#include "cli/command.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/ioctl.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <filesystem>
#include <sstream>

#include "case/reader.h"
#include "case/text.h"
#include "cli/whole_file.h"
#include "study/case_study.h"

namespace splitstart
{

namespace po = boost::program_options;

namespace
{

bool standardOutputClosed = false;

// Links, hard links and other spellings of the path are the same file. Said before anything is
// computed, and in one line: it is no matter of how the command is spelt.
void refuseToOverwrite(const std::string& output, const std::vector<std::string>& filesRead)
{
    for (const std::string& file : filesRead) {
        std::error_code missing;  // what does not exist yet is no file that was read
        if (std::filesystem::equivalent(output, file, missing)) {
            throw std::runtime_error(fmt::format(
                "--output: {} is a file that was read{}: it would be lost; name another one",
                shortText(output),
                output == file ? std::string() : fmt::format(" ({})", shortText(file))));
        }
    }
}

// In plain words what the parser calls by the names of its own parts.
std::string plainWords(const po::error& error)
{
    if (dynamic_cast<const po::too_many_positional_options_error*>(&error) != nullptr) {
        return "more than one file is named, or a value without its option; give one case file";
    }
    using Syntax = po::invalid_command_line_syntax;
    const auto* const syntax = dynamic_cast<const Syntax*>(&error);
    if (syntax != nullptr && syntax->kind() == Syntax::missing_parameter) {
        return fmt::format("{}: its value is missing", syntax->get_option_name());
    }
    return error.what();
}

}  // namespace

std::span<const Command> commands()
{
    static const std::array<Command, 11> all = {{
        {"identify", "which pin is C, S, R, and are the windings sound", identifyLine,
         identifyCommand},
        {"check", "simulate the start at every corner and judge every part", checkLine,
         checkCommand},
        {"choose", "which parts of a stock to fit, or what to ask for", chooseLine, chooseCommand},
        {"wiring", "wire the circuit step by step and prove it cold", wiringLine, wiringCommand},
        {"diagnose", "which fault or wrong wire fits what was observed", diagnoseLine,
         diagnoseCommand},
        {"sweep", "simulate the start with other values in some fields", sweepLine, sweepCommand},
        {"merge", "put the parts of a sweep together", mergeLine, mergeCommand},
        {"report", "all that is found as one page to read, file and print", reportLine,
         reportCommand},
        {"plot", "curves of a start as a table or a picture", plotLine, plotCommand},
        {"netlist", "write the start circuit as a SPICE deck", netlistLine, netlistCommand},
        {"lesson", "a lesson with a slider as one page of HTML", lessonLine, lessonCommand},
    }};
    return all;
}

std::span<const StatusMeaning> exitStatuses()
{
    static const std::array<StatusMeaning, 6> all = {{
        {allPass, "all passes, or it is done"},
        {failsOrUndecided, "something fails or is undecided"},
        {badInput, "bad input or usage"},
        {simulatorFailed, "the simulator could not finish; the message says why"},
        {stoppedByCtrlC, "`sweep` was stopped by Ctrl-C"},
        {stoppedByKill, "`sweep` was stopped by a kill (SIGTERM)"},
    }};
    return all;
}

int runCommand(const Command& command, const std::vector<std::string>& arguments)
{
    po::variables_map values;
    return command.line().parse(arguments, values) ? command.run(values) : allPass;
}

CommandLine::CommandLine(std::string usageLine, std::string purposeText, std::string exampleLine,
                         const char* formats)
    : usage(std::move(usageLine)), purpose(std::move(purposeText)), example(std::move(exampleLine))
{
    options.add_options()("help,h", "show this help");
    if (formats != nullptr) {
        const std::string_view words(formats);
        options.add_options()(
            "format",
            po::value<std::string>()
                ->default_value(std::string(words.substr(0, words.find('|'))))
                ->value_name(formats),
            words.starts_with("text") ? "for people or for machines" : "what is written");
    }
    options.add_options()("output,o", po::value<std::string>()->value_name("FILE"),
                          "write there instead of to the screen");
}

std::string CommandLine::statusText() const
{
    std::string text;
    for (const StatusMeaning& each : statuses) {
        const auto general =
            std::find_if(exitStatuses().begin(), exitStatuses().end(),
                         [&each](const StatusMeaning& row) { return row.status == each.status; });
        text += fmt::format("{}{} {}", text.empty() ? "Exit status: " : ", ",
                            static_cast<int>(each.status),
                            each.meaning.empty() ? general->meaning : each.meaning);
    }
    return text + ".";
}

bool CommandLine::parse(const std::vector<std::string>& arguments, po::variables_map& values) const
{
    po::options_description all;
    all.add(options).add_options()("name", po::value<std::string>())(
        "case", po::value<std::string>())("files", po::value<std::vector<std::string>>());
    po::positional_options_description positional;
    if (takesName) {
        positional.add("name", 1);
    }
    if (takesFiles) {
        positional.add("files", -1);
    }
    if (takesCase) {
        positional.add("case", 1);
    }
    try {
        po::store(
            po::command_line_parser(arguments)
                .options(all)
                .positional(positional)
                .style(po::command_line_style::unix_style & ~po::command_line_style::allow_guessing)
                .run(),
            values);
        po::notify(values);
    } catch (const po::error& error) {
        throw UsageError(plainWords(error));
    }
    if (values.count("help") != 0) {
        std::ostringstream text;
        text << "Usage: " << usage << "\n\n"
             << purpose << "\n\n"
             << statusText() << "\n\n"
             << options << "\nExample:\n  " << example << "\n";
        printOut(text.str());
        return false;
    }
    return true;
}

bool wantsJson(const po::variables_map& values)
{
    const auto& format = values["format"].as<std::string>();
    if (format != "text" && format != "json") {
        throw UsageError(fmt::format("--format: found \"{}\"; allowed: text or json", format));
    }
    return format == "json";
}

const std::string& caseFile(const po::variables_map& values)
{
    if (values.count("case") == 0) {
        throw UsageError("the case file is missing");
    }
    return values["case"].as<std::string>();
}

void refuseToOverwrite(const po::variables_map& values, const Case& input)
{
    if (values.count("output") != 0) {
        refuseToOverwrite(values["output"].as<std::string>(), input.filesRead);
    }
}

Case caseRead(const po::variables_map& values)
{
    Case input = readCaseFile(caseFile(values));
    refuseToOverwrite(values, input);
    return input;
}

Case caseFrom(const po::variables_map& values)
{
    return completeCase(caseRead(values));
}

void printOut(const std::string& text)
{
    if (standardOutputClosed) {
        throw std::runtime_error("standard output is closed: there is nowhere to print");
    }
    const bool written =
        std::fwrite(text.data(), 1, text.size(), stdout) == text.size() && std::fflush(stdout) == 0;
    if (!written) {
        throw std::runtime_error(
            fmt::format("standard output cannot be written: {}", std::strerror(errno)));
    }
}

void deliver(const po::variables_map& values, const std::string& text)
{
    if (values.count("output") == 0) {
        return printOut(text);
    }
    writeWholeFile(values["output"].as<std::string>(), text);
}

void guardStandardStreams()
{
    for (const int stream : {STDIN_FILENO, STDOUT_FILENO, STDERR_FILENO}) {
        if (fcntl(stream, F_GETFD) == -1) {
            standardOutputClosed = standardOutputClosed || stream == STDOUT_FILENO;
            // The lowest free descriptor is the closed one. What is sent to standard output by its
            // name (-o /dev/stdout) must not vanish as if it had been written.
            const int full = stream == STDOUT_FILENO ? open("/dev/full", O_RDWR) : -1;
            if (full != stream && open("/dev/null", O_RDWR) != stream) {
                std::abort();  // not even /dev/null: nothing could be said of anything
            }
        }
    }
}

bool colourWanted()
{
    // NO_COLOR is an open convention: any value switches colour off.
    return isatty(STDOUT_FILENO) != 0 && std::getenv("NO_COLOR") == nullptr;
}

int pageWidth()
{
    constexpr int elsewhere = 78;
    winsize size{};
    if (isatty(STDOUT_FILENO) == 0 || ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) != 0 ||
        size.ws_col == 0) {
        return elsewhere;
    }
    return std::clamp(static_cast<int>(size.ws_col), 30, 100);
}

}  // namespace splitstart
