#include "cli/command.h"

#include <fmt/format.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <iostream>
#include <sstream>

#include "case/reader.h"
#include "cli/whole_file.h"
#include "study/case_study.h"

namespace splitstart
{

namespace po = boost::program_options;

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
        std::cout << text.str();
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

void deliver(const po::variables_map& values, const std::string& text)
{
    if (values.count("output") != 0) {
        writeWholeFile(values["output"].as<std::string>(), text);
        return;
    }
    const bool written =
        std::fwrite(text.data(), 1, text.size(), stdout) == text.size() && std::fflush(stdout) == 0;
    if (!written) {
        throw std::runtime_error(
            fmt::format("standard output cannot be written: {}", std::strerror(errno)));
    }
}

bool colourWanted()
{
    // NO_COLOR is an open convention: any value switches colour off.
    return isatty(STDOUT_FILENO) != 0 && std::getenv("NO_COLOR") == nullptr;
}

}  // namespace splitstart
