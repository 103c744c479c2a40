// Faults of the machine around the program, and input that is meant badly: each ends soon, with an
// exit status and one plain message, and leaves nothing half done. DEVELOPERS.md has the table of
// all that was tried.
#include <gtest/gtest.h>
#include <unistd.h>

#include <chrono>
#include <csignal>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <map>
#include <sstream>
#include <string>
#include <thread>
#include <vector>

#include "case/reader.h"
#include "circuit/case_circuit.h"
#include "spice/simulation.h"
#include "study/case_study.h"
#include "study/start_runs.h"
#include "system/program.h"

namespace splitstart
{

namespace
{

namespace fs = std::filesystem;

// In a shell, which can close streams and set limits; `$S` is the program.
Outcome inShell(const std::string& script, const std::map<std::string, std::string>& more = {})
{
    std::map<std::string, std::string> environment = more;
    environment["S"] = SPLITSTART_BINARY;
    return runProgram("sh", {"-c", script}, environment);
}

const std::string quickCase = "circuits/psc.xml";

// Each command that reads a case and writes something, with what it takes beside the case.
std::vector<std::vector<std::string>> writingCommands(const std::string& file)
{
    return {{"check", file},
            {"netlist", file},
            {"wiring", file},
            {"report", file},
            {"plot", file},
            {"lesson", "phase-shift", file},
            {"sweep", file, "--vary", "supply.volts=220,230"},
            {"diagnose", file, "--symptom", "motor=hums"},
            {"choose", file},
            {"identify", file}};
}

void expectRefused(const std::vector<std::string>& arguments, const std::string& message,
                   const std::map<std::string, std::string>& environment = {})
{
    const Outcome outcome = splitstartRun(arguments, environment);
    std::string line;
    for (const std::string& argument : arguments) {
        line += argument + " ";
    }
    EXPECT_EQ(outcome.status, 2) << line << outcome.err;
    EXPECT_NE(outcome.err.find(message), std::string::npos) << line << outcome.err;
    EXPECT_LT(outcome.err.size(), 2000U) << line;
}

// Processes below that one, children's children too.
std::vector<pid_t> family(pid_t root)
{
    std::vector<pid_t> members = {root};
    for (std::size_t i = 0; i < members.size(); ++i) {
        for (const auto& task :
             fs::directory_iterator("/proc/" + std::to_string(members[i]) + "/task")) {
            std::ifstream children(task.path() / "children");
            for (pid_t child = 0; children >> child;) {
                members.push_back(child);
            }
        }
    }
    members.erase(members.begin());
    return members;
}

// The worker that has taken most of the processor's time among those below this process. Not the
// helper that starts workers: it has taken more than one that has just begun.
pid_t busiest()
{
    pid_t found = 0;
    long most = 0;
    for (const pid_t member : family(getpid())) {
        std::ifstream stat("/proc/" + std::to_string(member) + "/stat");
        std::string text;
        std::getline(stat, text);
        if (text.find("(splitstart-sim)") == std::string::npos) {
            continue;
        }
        std::istringstream fields(text.substr(std::min(text.size(), text.rfind(')') + 1)));
        std::string skipped;
        long user = 0;
        for (int i = 0; i < 11 && fields >> skipped; ++i) {
        }
        if (fields >> user && user > most) {
            most = user;
            found = member;
        }
    }
    return found;
}

// Ten simulated seconds of a start.
SimulationRequest longStart(double timeLimit_s)
{
    const Case input = readCaseFile(example(quickCase));
    const Motor motor = givenMotor(input.compressor);
    const Corner corner;
    const StartJob job{corner, false,
                       simulationModel(input, caseCircuit(input), motor.circuit,
                                       motor.ratedTorque_Nm.value, corner)};
    StartEffort effort;
    effort.largestStep_s = 5e-5;
    effort.settledFor_s = 10;
    effort.end_s = 10;
    effort.timeLimit_s = timeLimit_s;
    return startRequest(input, job, effort);
}

// Sends that signal to the worker once it has been at work for a while.
Waveforms runWhile(int signal, double timeLimit_s)
{
    SimulatorPool pool(1);
    std::thread disturber([signal] {
        pid_t worker = 0;
        for (int i = 0; i < 200 && worker == 0; ++i) {
            std::this_thread::sleep_for(std::chrono::milliseconds(50));
            worker = busiest();
        }
        ASSERT_NE(worker, 0);
        kill(worker, signal);
    });
    struct Joined {
        std::thread& thread;
        ~Joined() { thread.join(); }
    } joined{disturber};
    return pool.run(longStart(timeLimit_s));
}

}  // namespace

TEST(Hardening, AFullDeviceIsSaidByEveryCommandThatWrites)
{
    for (std::vector<std::string> arguments :
         std::vector<std::vector<std::string>>{{"netlist", example(quickCase)},
                                               {"report", example(quickCase)},
                                               {"plot", example(quickCase)},
                                               {"lesson", "phase-shift"},
                                               {"check", example(quickCase)}}) {
        arguments.insert(arguments.end(), {"-o", "/dev/full"});
        expectRefused(arguments, "No space left on device");
    }
    const Outcome printed = inShell("$S check " + example(quickCase) + " >/dev/full");
    EXPECT_EQ(printed.status, 2);
    EXPECT_NE(printed.err.find("No space left on device"), std::string::npos) << printed.err;
}

// As on a disk that fills up while the page is written.
TEST(Hardening, AFileThatCannotGrowLeavesTheOldOneAndNothingBesideIt)
{
    const ScratchFolder folder;
    const std::string file = folder.write("page.html", "the old page");
    const Outcome outcome = inShell("trap '' XFSZ; ulimit -f 16; $S report " + example(quickCase) +
                                    " -o " + file + " 2>&1 | cat");
    EXPECT_NE(outcome.out.find("File too large"), std::string::npos) << outcome.out;
    EXPECT_EQ(fileText(file), "the old page");
    EXPECT_EQ(std::distance(fs::directory_iterator(folder.path()), fs::directory_iterator()), 1);
}

// /proc takes no files, not even root's.
TEST(Hardening, AFolderThatTakesNoFilesIsSaid)
{
    for (const char* command : {"netlist", "report", "plot"}) {
        expectRefused({command, example(quickCase), "-o", "/proc/splitstart"}, "/proc/splitstart");
    }
    expectRefused({"lesson", "phase-shift", "-o", "/proc/splitstart"}, "/proc/splitstart");
}

TEST(Hardening, ClosedStandardOutputIsNeverTakenForWritten)
{
    for (const std::string& arguments :
         std::vector<std::string>{"check " + example(quickCase), "netlist " + example(quickCase),
                                  std::string("lesson --list"), std::string("--help"),
                                  "plot " + example(quickCase) + " -o /dev/stdout",
                                  "report " + example(quickCase) + " -o /dev/stdout"}) {
        const Outcome outcome = inShell("$S " + arguments + " >&-");
        EXPECT_EQ(outcome.status, 2) << arguments;
        EXPECT_NE(outcome.err, "") << arguments;
    }
}

// The models are in the program: a copy of it alone in a folder writes the same deck, which names
// no other file.
TEST(Hardening, TheProgramNeedsNoFilesOfItsOwn)
{
    const ScratchFolder folder;
    fs::copy_file(SPLITSTART_BINARY, folder.path() / "alone");
    const Outcome alone =
        runProgram((folder.path() / "alone").string(), {"netlist", example(quickCase)},
                   {{"HOME", "/nowhere"}}, folder.path());
    EXPECT_EQ(alone.status, 0) << alone.err;
    EXPECT_EQ(alone.out, splitstartRun({"netlist", example(quickCase)}).out);
    EXPECT_EQ(alone.out.find("\n.inc"), std::string::npos);
    EXPECT_EQ(alone.out.find("\n.lib"), std::string::npos);
}

TEST(Hardening, AMissingSimulatorIsSaidByTheCommandsThatNeedIt)
{
    const ScratchFolder folder;
    folder.write("libngspice.so.0", "not a library");
    for (const std::vector<std::string>& arguments : std::vector<std::vector<std::string>>{
             {"report", example(quickCase), "-o", (folder.path() / "page.html").string()},
             {"plot", example(quickCase), "-o", (folder.path() / "start.svg").string()},
             {"lesson", "phase-shift", "-o", (folder.path() / "lesson.html").string()}}) {
        const Outcome outcome =
            splitstartRun(arguments, {{"LD_LIBRARY_PATH", folder.path().string()}});
        EXPECT_EQ(outcome.status, 3) << arguments.front();
        EXPECT_NE(outcome.err.find("libngspice0"), std::string::npos) << outcome.err;
        EXPECT_FALSE(fs::exists(arguments.back()));
    }
}

TEST(Hardening, AKilledWorkerIsReplacedAndItsRunRepeated)
{
    const Waveforms waveforms = runWhile(SIGKILL, 60);
    EXPECT_GT(waveforms.time_s.back(), 9.9);
}

// One that does nothing at all takes none of the processor's time, which the limit counts.
TEST(Hardening, AWorkerThatHangsIsGivenUpAndNamed)
{
    try {
        const Waveforms waveforms = runWhile(SIGSTOP, 3);
        // Taken by another worker after all: as good.
        EXPECT_GT(waveforms.time_s.back(), 9.9);
    } catch (const SimulationError& error) {
        EXPECT_EQ(error.fault(), SimulationFault::timeLimit) << error.what();
    }
}

// The language of messages and the form of numbers are the program's own.
TEST(Hardening, NoLocaleChangesADeckOrAPage)
{
    const ScratchFolder folder;
    // One with a decimal comma, whether or not this machine has any.
    const Outcome made = runProgram(
        "localedef", {"-i", "de_DE", "-f", "UTF-8", (folder.path() / "de_DE.UTF-8").string()});
    ASSERT_EQ(made.status, 0) << made.err;
    std::map<std::string, std::string> locale = {{"LOCPATH", folder.path().string()},
                                                 {"LC_ALL", "de_DE.UTF-8"}};
    ASSERT_EQ(runProgram("/usr/bin/printf", {"%.1f", "2"}, locale).out, "2,0");
    const std::string deck = splitstartRun({"netlist", example(quickCase)}).out;
    const std::string lesson = splitstartRun({"lesson", "phase-shift", "--format", "json"}).out;
    for (const char* name : {"de_DE.UTF-8", "xx_YY.UTF-8", "C.UTF-8", "POSIX", "../../x"}) {
        locale["LC_ALL"] = locale["LANG"] = name;
        EXPECT_EQ(splitstartRun({"netlist", example(quickCase)}, locale).out, deck) << name;
        EXPECT_EQ(splitstartRun({"lesson", "phase-shift", "--format", "json"}, locale).out, lesson)
            << name;
    }
}

// A sparse file, so that the disk is not filled; the memory that the program may have is a fraction
// of it.
TEST(Hardening, AHundredMegabytesAreRefusedUnread)
{
    const ScratchFolder folder;
    const std::string file = folder.write("case.xml", "<case name=\"a\">");
    fs::resize_file(file, 100'000'000);
    for (const std::vector<std::string>& arguments : writingCommands(file)) {
        expectRefused(arguments, "larger than 4194304 bytes");
    }
    const Outcome bounded = inShell("ulimit -v 90000; $S check " + file);
    EXPECT_EQ(bounded.status, 2) << bounded.err;
}

TEST(Hardening, AHundredThousandLevelsOfElementsAreRefused)
{
    const ScratchFolder folder;
    std::string open;
    std::string close;
    for (int i = 0; i < 100'000; ++i) {
        open += "<x>";
        close += "</x>";
    }
    const std::string closed =
        folder.write("closed.xml", "<case name=\"a\">" + open + close + "</case>");
    const std::string cut = folder.write("cut.xml", "<case name=\"a\">" + open);
    for (const std::vector<std::string>& arguments : writingCommands(closed)) {
        expectRefused(arguments, "nested more than 32 deep");
    }
    for (const std::vector<std::string>& arguments : writingCommands(cut)) {
        expectRefused(arguments, "not well-formed XML");
    }
}

// Attributes are in tests/unit/case/vocabulary_test.cpp, every one.
TEST(Hardening, OptionsRefuseWhatIsNoNumber)
{
    const std::vector<std::vector<std::string>> options = {{"netlist", "--seconds"},
                                                           {"netlist", "--line-percent"},
                                                           {"netlist", "--switch-on-degrees"},
                                                           {"netlist", "--restart-after-seconds"},
                                                           {"plot", "--seconds"},
                                                           {"plot", "--line-percent"},
                                                           {"check", "--sure-percent"},
                                                           {"check", "--samples"},
                                                           {"check", "--seed"},
                                                           {"check", "--workers"},
                                                           {"report", "--sure-percent"},
                                                           {"report", "--samples"},
                                                           {"diagnose", "--meter-percent"},
                                                           {"diagnose", "--machines"},
                                                           {"choose", "--sure-top"},
                                                           {"sweep", "--latin-hypercube"},
                                                           {"sweep", "--machines"}};
    for (const std::vector<std::string>& option : options) {
        for (const char* value : {"", "nan", "inf", "-inf", "1e400", "0x1p4", "1,5", "1 0", "-7"}) {
            std::vector<std::string> arguments = {option[0], example(quickCase), option[1], value};
            if (option[0] == "sweep") {
                arguments.insert(arguments.end(), {"--vary", "supply.volts=220,230"});
            } else if (option[0] == "diagnose") {
                arguments.insert(arguments.end(), {"--symptom", "motor=hums"});
            }
            expectRefused(arguments, "--");
        }
    }
    for (const char* value : {"nan", "inf", "1e400", "1e-320", "0x10"}) {
        const std::string number = value;
        expectRefused({"sweep", example(quickCase), "--vary", "supply.volts=" + number}, number);
        expectRefused({"sweep", example(quickCase), "--vary", "supply.volts=220:" + number + ":1"},
                      number);
        expectRefused({"identify", "--ohms", "AB=" + number, "--ohms", "BC=2", "--ohms", "AC=3"},
                      number);
        expectRefused({"diagnose", example(quickCase), "--symptom", "line-amps-stalled=" + number},
                      number);
    }
}

}  // namespace splitstart
