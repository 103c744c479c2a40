// The commands of the program, and what they share.
#pragma once

#include <boost/program_options.hpp>
#include <span>
#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

#include "case/case.h"

namespace splitstart
{

// Exit statuses.
enum ExitStatus : int {
    allPass = 0,
    failsOrUndecided = 1,
    badInput = 2,
    simulatorFailed = 3,
    stoppedByCtrlC = 130,  // 128 and the signal's number, as shells have it
    stoppedByKill = 143,
};

struct StatusMeaning {
    ExitStatus status = allPass;
    std::string meaning = {};
};

// Every exit status there is, with what it means whatever the command: for --help, the manual page
// and README.md.
std::span<const StatusMeaning> exitStatuses();

// A command line that does not make sense; the program prints it with the way to help and exits
// with badInput.
class UsageError : public std::runtime_error
{
public:
    using std::runtime_error::runtime_error;
};

// Options of one command with what --help prints around them.
struct CommandLine {
    std::string usage;    // "splitstart check CASE.xml [options]"
    std::string purpose;  // a sentence or two
    std::string example;  // a line that can be typed
    // Those that it may end with; without a meaning: as exitStatuses() has it.
    std::vector<StatusMeaning> statuses;
    boost::program_options::options_description options{"Options"};
    bool takesCase = true;    // one positional argument, the case file
    bool takesFiles = false;  // any number of them, as "files"
    bool takesName = false;   // one positional argument before the case file, as "name"

    // Adds --help, --output, and --format with those words for its values, the first of which is
    // the default; no --format where `formats` is null.
    CommandLine(std::string usageLine, std::string purposeText, std::string exampleLine,
                const char* formats = "text|json");

    // "Exit status: 0 done, 2 bad input or usage, ..."
    [[nodiscard]] std::string statusText() const;

    // Parses; prints help and returns false if that was asked for. Throws UsageError.
    bool parse(const std::vector<std::string>& arguments,
               boost::program_options::variables_map& values) const;
};

struct Command {
    std::string_view name;
    std::string_view summary;  // one line for the list of commands
    CommandLine (*line)();
    int (*run)(const boost::program_options::variables_map& values);
};

std::span<const Command> commands();

// Parses the arguments and runs the command, or prints its help; an exit status. Throws what
// main() catches.
int runCommand(const Command& command, const std::vector<std::string>& arguments);

CommandLine identifyLine();
int identifyCommand(const boost::program_options::variables_map& values);
CommandLine netlistLine();
int netlistCommand(const boost::program_options::variables_map& values);
CommandLine checkLine();
int checkCommand(const boost::program_options::variables_map& values);
CommandLine wiringLine();
int wiringCommand(const boost::program_options::variables_map& values);
CommandLine chooseLine();
int chooseCommand(const boost::program_options::variables_map& values);
CommandLine diagnoseLine();
int diagnoseCommand(const boost::program_options::variables_map& values);
CommandLine sweepLine();
int sweepCommand(const boost::program_options::variables_map& values);
CommandLine mergeLine();
int mergeCommand(const boost::program_options::variables_map& values);
CommandLine reportLine();
int reportCommand(const boost::program_options::variables_map& values);
CommandLine plotLine();
int plotCommand(const boost::program_options::variables_map& values);
CommandLine lessonLine();
int lessonCommand(const boost::program_options::variables_map& values);

// The value of --format. Throws UsageError unless it is text or json.
bool wantsJson(const boost::program_options::variables_map& values);

// The case file named on the command line. Throws UsageError, InputError, and std::runtime_error if
// --output names a file that was read for it: the case file or its parts file, by whatever path.
Case caseRead(const boost::program_options::variables_map& values);

// The name of the case file. Throws UsageError.
const std::string& caseFile(const boost::program_options::variables_map& values);

// Throws std::runtime_error as caseRead() does, for a case that was read otherwise.
void refuseToOverwrite(const boost::program_options::variables_map& values, const Case& input);

// The same, completed with what the program assumes.
Case caseFrom(const boost::program_options::variables_map& values);

// Prints to standard output, or writes the file of --output whole or not at all. Throws
// std::runtime_error with a plain sentence if it cannot be written.
void deliver(const boost::program_options::variables_map& values, const std::string& text);

// Prints to standard output. Throws std::runtime_error if that is closed or cannot be written.
void printOut(const std::string& text);

// To be called first: remembers which standard streams are closed and fills their places, so that
// no file or socket of the program ends up there.
void guardStandardStreams();

// True if standard output is a terminal that may show colour.
bool colourWanted();

// Columns to write: those of the terminal between 30 and 100, elsewhere 78.
int pageWidth();

}  // namespace splitstart
