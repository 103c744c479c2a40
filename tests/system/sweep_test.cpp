// Sweeps as a person runs them: files, interruptions, parts.
#include <fmt/format.h>
#include <gtest/gtest.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <csignal>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <set>
#include <sstream>
#include <thread>

#include "system/program.h"

namespace splitstart
{

namespace
{

using Json = nlohmann::json;
using Words = std::vector<std::string>;

// A dozen starts of the invented cheese store.
Words sweepOf(const Words& more)
{
    Words words = {"sweep",  example("cheese-store.xml"),
                   "--vary", "start-capacitor.microfarads=100:150:10",
                   "--vary", "supply.volts=207,230"};
    words.insert(words.end(), more.begin(), more.end());
    return words;
}

constexpr std::size_t sweepRows = 12;

std::vector<std::string> linesOf(const std::string& text)
{
    std::vector<std::string> lines;
    std::istringstream stream(text);
    for (std::string line; std::getline(stream, line);) {
        lines.push_back(line);
    }
    return lines;
}

// The rows that a sweep without anything in its way writes.
const std::string& undisturbed()
{
    static const std::string text = [] {
        const ScratchFolder folder;
        const std::string file = folder.path() / "rows.jsonl";
        const Outcome outcome = splitstartRun(sweepOf({"-o", file, "--workers", "1"}));
        EXPECT_EQ(outcome.status, 0) << outcome.err;
        return fileText(file);
    }();
    return text;
}

// Starts the program in the background.
pid_t startSplitstart(const Words& arguments)
{
    const pid_t process = fork();
    if (process == 0) {
        std::vector<char*> words;
        std::string program = SPLITSTART_BINARY;
        words.push_back(program.data());
        Words copies = arguments;
        for (std::string& word : copies) {
            words.push_back(word.data());
        }
        words.push_back(nullptr);
        if (freopen("/dev/null", "w", stdout) == nullptr ||
            freopen("/dev/null", "w", stderr) == nullptr) {
            _exit(126);
        }
        execv(program.c_str(), words.data());
        _exit(127);
    }
    return process;
}

// Sends the signal once the journal has that many lines; how the process ended. Fails the test if
// it ends before.
int stopAt(const Words& arguments, const std::string& journal, std::size_t lines, int signal)
{
    using namespace std::chrono_literals;
    const pid_t process = startSplitstart(arguments);
    int status = 0;
    while (linesOf(fileText(journal)).size() < lines) {
        if (waitpid(process, &status, WNOHANG) == process) {
            ADD_FAILURE() << "it ended before it was stopped";
            return status;
        }
        std::this_thread::sleep_for(1ms);
    }
    kill(process, signal);
    waitpid(process, &status, 0);
    return status;
}

}  // namespace

TEST(Sweep, HasARowForEachCombinationWithEveryColumn)
{
    const std::vector<std::string> lines = linesOf(undisturbed());
    ASSERT_EQ(lines.size(), 1 + sweepRows);
    const Json header = Json::parse(lines[0]);
    EXPECT_EQ(header["schema"], 1);
    EXPECT_EQ(header["invented"], true);
    EXPECT_EQ(header["motor"], "estimated");
    for (std::size_t i = 0; i < sweepRows; ++i) {
        const Json row = Json::parse(lines[i + 1]);
        EXPECT_EQ(row["case"], i + 1);
        EXPECT_EQ(row["start-capacitor.microfarads"], 100 + 10 * (i / 2));
        EXPECT_EQ(row["supply.volts"], i % 2 == 0 ? 207 : 230);
        EXPECT_EQ(row.size(), header["columns"].size());
        EXPECT_TRUE(row["problem"].is_null());
        // Physics: a lower line starts it later, with less torque (as its square).
        if (i % 2 == 1) {
            const Json low = Json::parse(lines[i]);
            EXPECT_LT(row["time_to_speed_s"].get<double>(), low["time_to_speed_s"].get<double>());
            EXPECT_NEAR(row["standstill_torque_nm"].get<double>() /
                            low["standstill_torque_nm"].get<double>(),
                        230.0 * 230 / (207 * 207), 0.002);
        }
    }
}

TEST(Sweep, IsTheSameWhateverTheWorkersAndTheFormIsConverted)
{
    const ScratchFolder folder;
    const std::string file = folder.path() / "rows.jsonl";
    ASSERT_EQ(splitstartRun(sweepOf({"-o", file, "--workers", "3"})).status, 0);
    EXPECT_EQ(fileText(file), undisturbed());
    EXPECT_FALSE(std::filesystem::exists(file + ".part"));

    // CSV (RFC 4180) holds the same numbers, on the screen and in a file.
    const Outcome csv = splitstartRun(sweepOf({"--format", "csv"}));
    ASSERT_EQ(csv.status, 0);
    const std::vector<std::string> lines = linesOf(csv.out);
    ASSERT_EQ(lines.size(), 1 + sweepRows);
    EXPECT_EQ(lines[0].substr(0, 50),
              std::string("case,start-capacitor.microfarads,supply.volts,moto"));
    const Json last = Json::parse(linesOf(undisturbed()).back());
    EXPECT_EQ(
        lines.back().substr(0, 14),
        fmt::format("12,150,230,0,{}", last["standstill_torque_nm"].get<double>()).substr(0, 14));
    const std::string csvFile = folder.path() / "rows.csv";
    ASSERT_EQ(splitstartRun(sweepOf({"-o", csvFile})).status, 0);
    EXPECT_EQ(fileText(csvFile), csv.out);
    EXPECT_EQ(splitstartRun(sweepOf({"--format", "json"})).out, undisturbed());
}

TEST(Sweep, AKillLosesNoFinishedRowAndResumeGoesOn)
{
    const ScratchFolder folder;
    const std::string file = folder.path() / "rows.jsonl";
    const std::string journal = file + ".part";
    for (const std::size_t lines : {1U, 4U, 9U}) {
        const int status = stopAt(sweepOf({"-o", file, "--resume"}), journal, lines, SIGKILL);
        ASSERT_TRUE(WIFSIGNALED(status));
        EXPECT_FALSE(std::filesystem::exists(file));
        EXPECT_GE(linesOf(fileText(journal)).size(), lines);
    }
    const std::vector<std::string> kept = linesOf(fileText(journal));
    // A line that was being written.
    folder.write("rows.jsonl.part", fileText(journal) + R"({"case":7,"start)");
    const Outcome refused = splitstartRun(sweepOf({"-o", file}));
    EXPECT_EQ(refused.status, 2);
    EXPECT_NE(refused.err.find("--resume"), std::string::npos);
    ASSERT_EQ(splitstartRun(sweepOf({"-o", file, "--resume"})).status, 0);
    EXPECT_EQ(fileText(file), undisturbed());
    EXPECT_FALSE(std::filesystem::exists(journal));
    // What was finished before the kill is in it as it was.
    for (std::size_t i = 1; i < 9; ++i) {
        EXPECT_NE(undisturbed().find(kept[i] + "\n"), std::string::npos) << kept[i];
    }
}

TEST(Sweep, CtrlCEndsItCleanly)
{
    const ScratchFolder folder;
    const std::string file = folder.path() / "rows.csv";
    const int status = stopAt(sweepOf({"-o", file}), file + ".part", 3, SIGINT);
    ASSERT_TRUE(WIFEXITED(status));
    EXPECT_EQ(WEXITSTATUS(status), 130);
    EXPECT_FALSE(std::filesystem::exists(file));
    const std::string journal = fileText(file + ".part");
    EXPECT_EQ(journal.back(), '\n');
    EXPECT_EQ(splitstartRun(sweepOf({"-o", file, "--resume"})).status, 0);
    EXPECT_EQ(linesOf(fileText(file)).size(), 1 + sweepRows);
}

TEST(Sweep, AJournalOfAnotherSweepIsNotMixedIn)
{
    const ScratchFolder folder;
    const std::string file = folder.path() / "rows.jsonl";
    stopAt(sweepOf({"-o", file}), file + ".part", 2, SIGKILL);
    const Outcome other = splitstartRun({"sweep", example("cheese-store.xml"), "--vary",
                                         "supply.volts=207,230", "-o", file, "--resume"});
    EXPECT_EQ(other.status, 2);
    EXPECT_NE(other.err.find("another sweep"), std::string::npos);
    folder.write("rows.jsonl.part", "my diary\n");
    EXPECT_EQ(splitstartRun(sweepOf({"-o", file, "--resume"})).status, 2);
    EXPECT_EQ(fileText(file + ".part"), "my diary\n");
}

// A motor that cannot be had, and a place that cannot be written, are found before anything is
// simulated or begun.
TEST(Sweep, FindsOutBeforehand)
{
    const ScratchFolder folder;
    const std::string file = folder.path() / "rows.jsonl";
    const Outcome open = splitstartRun(
        {"sweep", example("cheese-store.xml"), "--vary", "reading/3.ohms=0.75,3.0", "-o", file});
    EXPECT_EQ(open.status, 2);
    EXPECT_NE(open.err.find("With reading/3.ohms=3.0."), std::string::npos) << open.err;
    EXPECT_TRUE(std::filesystem::is_empty(folder.path()));

    const std::string sub = folder.path() / "sub";
    std::filesystem::create_directory(sub);
    EXPECT_EQ(splitstartRun(sweepOf({"-o", sub})).status, 2);
    EXPECT_EQ(splitstartRun(sweepOf({"-o", sub + "/none/rows.csv"})).status, 2);
    EXPECT_EQ(splitstartRun(sweepOf({"-o", ""})).status, 2);
    std::filesystem::create_symlink(folder.path() / "nothing", sub + "/dangling.csv");
    EXPECT_EQ(splitstartRun(sweepOf({"-o", sub + "/dangling.csv"})).status, 2);
    EXPECT_FALSE(std::filesystem::exists(sub + "/dangling.csv.part"));
    // A device takes the rows as they come.
    const Outcome device = splitstartRun(sweepOf({"--format", "json", "-o", "/dev/stdout"}));
    EXPECT_EQ(device.status, 0) << device.err;
    EXPECT_EQ(device.out, undisturbed());
}

// Somebody removes the journal of a sweep that runs, and begins the same once more.
TEST(Sweep, AJournalThatWasTakenAwayIsNotMistakenForAnother)
{
    const ScratchFolder folder;
    const std::string file = folder.path() / "rows.jsonl";
    const std::string journal = file + ".part";
    const pid_t first = startSplitstart(sweepOf({"-o", file, "--workers", "1"}));
    int status = 0;
    while (linesOf(fileText(journal)).size() < 2) {
        ASSERT_EQ(waitpid(first, &status, WNOHANG), 0) << "it ended before its journal was taken";
        std::this_thread::sleep_for(std::chrono::milliseconds(1));
    }
    std::filesystem::remove(journal);
    const Outcome second = splitstartRun(sweepOf({"-o", file}));
    EXPECT_EQ(second.status, 0) << second.err;
    waitpid(first, &status, 0);
    EXPECT_EQ(WEXITSTATUS(status), 0);
    EXPECT_EQ(fileText(file), undisturbed());
}

TEST(Sweep, JudgesEachRowLikeCheck)
{
    const Outcome outcome = splitstartRun({"sweep", example("cheese-store.xml"), "--vary",
                                           "circuit.start-capacitor=start-130,start-130-low",
                                           "--checks", "--format", "json"});
    ASSERT_EQ(outcome.status, 0) << outcome.err;
    const std::vector<std::string> lines = linesOf(outcome.out);
    ASSERT_EQ(lines.size(), 3U);
    const Json good = Json::parse(lines[1]);
    const Json low = Json::parse(lines[2]);
    EXPECT_EQ(good["checks_failed"], "");
    EXPECT_GT(good["worst_margin_ratio"].get<double>(), 0);
    // 165 V on a capacitor that sees some 290 V.
    EXPECT_NE(low["checks_failed"].get<std::string>().find("start-capacitor-volts"),
              std::string::npos);
    EXPECT_LT(low["worst_margin_ratio"].get<double>(), -0.5);
}

TEST(Sweep, PartsMergeIntoTheSameBytes)
{
    const ScratchFolder folder;
    Words parts;
    for (int part = 1; part <= 3; ++part) {
        parts.push_back(folder.path() / fmt::format("part-{}.jsonl", part));
        const Outcome outcome =
            splitstartRun(sweepOf({"--shard", fmt::format("{}/3", part), "-o", parts.back()}));
        ASSERT_EQ(outcome.status, 0) << outcome.err;
    }
    const std::string whole = folder.path() / "whole.jsonl";
    EXPECT_EQ(splitstartRun({"merge", parts[2], parts[0], parts[1], "-o", whole}).status, 0);
    EXPECT_EQ(fileText(whole), undisturbed());
    EXPECT_EQ(splitstartRun({"merge", parts[0], parts[1], parts[2], "--format", "csv"}).out,
              splitstartRun(sweepOf({"--format", "csv"})).out);
    // The same row in two parts is no harm as long as it is the same.
    EXPECT_EQ(splitstartRun({"merge", whole, parts[0], "-o", folder.path() / "w.csv"}).status, 0);

    const std::string missing = folder.path() / "missing.csv";
    const Outcome refused = splitstartRun({"merge", parts[0], parts[2], "-o", missing});
    EXPECT_EQ(refused.status, 2);
    EXPECT_NE(refused.err.find("4 of 12 rows"), std::string::npos) << refused.err;
    EXPECT_FALSE(std::filesystem::exists(missing));

    std::string changed = fileText(parts[1]);
    changed.replace(changed.find("\"standstill_torque_nm\":") + 23, 1, "9");
    folder.write("part-2.jsonl", changed);
    const Outcome odd = splitstartRun({"merge", whole, parts[1], "-o", missing});
    EXPECT_EQ(odd.status, 2);
    EXPECT_NE(odd.err.find("not the same"), std::string::npos) << odd.err;
    EXPECT_EQ(splitstartRun({"merge", example("cheese-store.xml"), "-o", missing}).status, 2);
}

TEST(Sweep, OtherMotorsShowHowSureItIs)
{
    const Outcome outcome =
        splitstartRun({"sweep", example("cheese-store.xml"), "--vary",
                       "start-capacitor.microfarads=120", "--machines", "6", "--format", "json"});
    ASSERT_EQ(outcome.status, 0) << outcome.err;
    const std::vector<std::string> lines = linesOf(outcome.out);
    ASSERT_EQ(lines.size(), 8U);
    std::set<double> torques;
    for (std::size_t i = 1; i < lines.size(); ++i) {
        const Json row = Json::parse(lines[i]);
        EXPECT_EQ(row["motor"], i - 1);
        torques.insert(row["standstill_torque_nm"].get<double>());
    }
    EXPECT_EQ(torques.size(), 7U);
    EXPECT_LT(*torques.rbegin() / *torques.begin(), 2);
}

TEST(Sweep, RefusesBadInputInOneLineAndWritesNothing)
{
    const ScratchFolder folder;
    const std::string file = folder.path() / "rows.csv";
    const auto refused = [&](const Words& more) {
        Words words = {"sweep", example("cheese-store.xml"), "-o", file};
        words.insert(words.end(), more.begin(), more.end());
        const Outcome outcome = splitstartRun(words);
        EXPECT_EQ(outcome.status, 2) << more.back();
        EXPECT_TRUE(std::filesystem::is_empty(folder.path())) << more.back();
        return outcome.err;
    };
    EXPECT_NE(refused({"--vary", "supply.volts=580:620:20"}).find("found \"620\""),
              std::string::npos);
    EXPECT_NE(refused({"--vary", "suply.volts=230"}).find("Did you mean \"supply\"?"),
              std::string::npos);
    // Each value is allowed, but not the two together.
    EXPECT_NE(refused({"--vary", "potential-relay.pick-up-volts-min=170,179", "--vary",
                       "potential-relay.pick-up-volts-max=175,180"})
                  .find("With potential-relay.pick-up-volts-min=179, "
                        "potential-relay.pick-up-volts-max=175."),
              std::string::npos);
    EXPECT_NE(
        refused({"--vary", "supply.volts=230\n.control\nshell rm -rf /\n.endc"}).find("found"),
        std::string::npos);
    refused({"--vary", "supply.volts=220:240"});
    refused({"--latin-hypercube", "1", "--vary", "supply.volts=220:240"});
    refused({"--shard", "3/2"});
    refused({"--shard", "1/2"});  // CSV holds no part
    refused({"--machines", "-1"});
    refused({"--format", "yaml"});
    refused({"--format", "text"});
    for (const auto& [format, name] :
         {std::pair("csv", "rows.jsonl"), std::pair("csv", "rows.json"),
          std::pair("json", "rows.csv")}) {
        const std::string path = (folder.path() / name).string();
        const Outcome outcome = splitstartRun({"sweep", example("cheese-store.xml"), "--vary",
                                               "supply.volts=230", "--format", format, "-o", path});
        EXPECT_EQ(outcome.status, 2) << name;
        EXPECT_NE(outcome.err.find("leave out --format, or name a file with the ending "),
                  std::string::npos)
            << outcome.err;
        EXPECT_TRUE(std::filesystem::is_empty(folder.path())) << name;
    }
    refused({"--show", "end_s"});
    refused({"--vary", "supply.volts=230", "--vary", "start.line-percent=90"});
    EXPECT_EQ(splitstartRun({"sweep", example("cheese-store.xml"), "--resume"}).status, 2);
    EXPECT_EQ(splitstartRun({"sweep", example("cheese-store.xml"), "--show", "speed"}).status, 2);
    EXPECT_EQ(splitstartRun({"sweep"}).status, 2);
    EXPECT_EQ(splitstartRun({"merge"}).status, 2);
}

// A rating changes no start, and nobody is to take equal rows for a finding.
TEST(Sweep, SaysWhichFieldMadeNoDifference)
{
    const Outcome outcome =
        splitstartRun({"sweep", example("cheese-store.xml"), "--vary", "supply.volts=207,230",
                       "--vary", "start-capacitor.volts=165,330", "--format", "csv"});
    EXPECT_EQ(outcome.status, 0) << outcome.err;
    EXPECT_NE(outcome.err.find("start-capacitor.volts made no difference"), std::string::npos);
    EXPECT_EQ(outcome.err.find("supply.volts made"), std::string::npos);
}

TEST(Sweep, ListsItsColumnsAndShowsATable)
{
    const Outcome columns = splitstartRun(sweepOf({"--columns"}));
    EXPECT_EQ(columns.status, 0);
    EXPECT_NE(columns.out.find("start_capacitor_worst_v"), std::string::npos);
    const Outcome table = splitstartRun({"sweep", example("cheese-store.xml"), "--vary",
                                         "start-capacitor.microfarads=printed:88:130", "--show",
                                         "standstill_torque_nm"});
    EXPECT_EQ(table.status, 0) << table.err;
    EXPECT_NE(table.out.find("88-106"), std::string::npos);
    EXPECT_NE(table.out.find("108-130"), std::string::npos);
    EXPECT_NE(table.out.find("(invented)"), std::string::npos);
    EXPECT_NE(table.out.find("estimated"), std::string::npos);
}

}  // namespace splitstart
