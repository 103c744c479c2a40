#include <fmt/format.h>

#include <algorithm>
#include <cstdio>
#include <string>
#include <vector>

#include "case/input_error.h"
#include "cli/command.h"
#include "cli/manual.h"
#include "cli/version.h"
#include "spice/simulation.h"

namespace
{

using namespace splitstart;

std::string helpText()
{
    std::string text =
        "Usage: splitstart COMMAND [options]\n\n"
        "For a single-phase compressor that will not start: which pin is which, are the windings\n"
        "sound, do the start parts suit it. Everything is computed by simulating the start.\n\n"
        "Commands:\n";
    for (const Command& command : commands()) {
        text += fmt::format("  {:<10} {}\n", command.name, command.summary);
    }
    return text +
           "\n`splitstart COMMAND --help` tells more. `splitstart --version` shows versions.\n";
}

int run(const std::vector<std::string>& arguments)
{
    if (arguments.empty()) {
        throw UsageError("a command is missing");
    }
    if (arguments.front() == "--help" || arguments.front() == "-h") {
        printOut(helpText());
        return allPass;
    }
    if (arguments.front() == "--version") {
        printOut(versionText());
        return allPass;
    }
    if (arguments.front() == "--manual-page") {
        printOut(manualPage(arguments.size() > 1 ? arguments[1] : std::string()));
        return allPass;
    }
    if (arguments.front() == "--bash-completion") {
        printOut(bashCompletion());
        return allPass;
    }
    for (const Command& command : commands()) {
        if (command.name == arguments.front()) {
            boost::program_options::variables_map values;
            return command.line().parse({arguments.begin() + 1, arguments.end()}, values)
                       ? command.run(values)
                       : allPass;
        }
    }
    std::string names;
    for (const Command& command : commands()) {
        names += (names.empty() ? "" : ", ") + std::string(command.name);
    }
    throw UsageError(
        fmt::format("unknown command \"{}\"; there are: {}", arguments.front(), names));
}

}  // namespace

int main(int argc, char** argv)
{
    guardStandardStreams();
    const std::vector<std::string> arguments(argv + 1, argv + argc);
    try {
        return run(arguments);
    } catch (const UsageError& error) {
        const bool known =
            !arguments.empty() &&
            std::any_of(commands().begin(), commands().end(), [&arguments](const Command& each) {
                return each.name == arguments.front();
            });
        fmt::print(stderr, "splitstart: {}\nTry `splitstart{} --help`.\n", error.what(),
                   known ? " " + arguments.front() : "");
        return badInput;
    } catch (const InputError& error) {
        fmt::print(stderr, "{}\n", error.what());
        return badInput;
    } catch (const SimulationError& error) {
        fmt::print(stderr, "splitstart: the simulator could not finish ({}): {}\n",
                   faultName(error.fault()), error.what());
        return simulatorFailed;
    } catch (const std::runtime_error& error) {
        fmt::print(stderr, "splitstart: {}\n", error.what());
        return badInput;
    } catch (const std::exception& error) {
        fmt::print(stderr,
                   "splitstart: an error of the program itself, not of your input: {}\n"
                   "Please report it with the case file.\n",
                   error.what());
        return simulatorFailed;
    }
}
