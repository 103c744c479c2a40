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
#include "cli/whole_file.h"
#include "study/case_study.h"

namespace splitstart
{

namespace po = boost::program_options;

namespace
{

bool standardOutputClosed = false;

}  // namespace

std::span<const Command> commands()
{
    static const std::array<Command, 3> all = {{
        {"identify", "which pin is C, S, R, and are the windings sound", identifyCommand},
        {"check", "simulate the start at every corner and judge every part", checkCommand},
        {"netlist", "write the start circuit as a SPICE deck", netlistCommand},
    }};
    return all;
}

CommandLine::CommandLine(std::string usageLine, std::string purposeText, std::string exampleLine)
    : usage(std::move(usageLine)), purpose(std::move(purposeText)), example(std::move(exampleLine))
{
    options.add_options()("help,h", "show this help")(
        "format", po::value<std::string>()->default_value("text")->value_name("text|json"),
        "for people or for machines")("output,o", po::value<std::string>()->value_name("FILE"),
                                      "write there instead of to the screen");
}

bool CommandLine::parse(const std::vector<std::string>& arguments, po::variables_map& values) const
{
    po::options_description all;
    all.add(options).add_options()("case", po::value<std::string>());
    po::positional_options_description positional;
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
        throw UsageError(error.what());
    }
    if (values.count("help") != 0) {
        std::ostringstream text;
        text << "Usage: " << usage << "\n\n"
             << purpose << "\n\n"
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

Case caseFrom(const po::variables_map& values)
{
    if (values.count("case") == 0) {
        throw UsageError("the case file is missing");
    }
    return completeCase(readCaseFile(values["case"].as<std::string>()));
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
    const auto& output = values["output"].as<std::string>();
    std::error_code none;
    if (values.count("case") != 0 &&
        std::filesystem::equivalent(output, values["case"].as<std::string>(), none)) {
        throw UsageError(fmt::format("--output: {} is the case file itself", output));
    }
    writeWholeFile(output, text);
}

void guardStandardStreams()
{
    for (const int stream : {STDIN_FILENO, STDOUT_FILENO, STDERR_FILENO}) {
        if (fcntl(stream, F_GETFD) == -1) {
            standardOutputClosed = standardOutputClosed || stream == STDOUT_FILENO;
            // The lowest free descriptor is the closed one.
            if (open("/dev/null", O_RDWR) != stream) {
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
