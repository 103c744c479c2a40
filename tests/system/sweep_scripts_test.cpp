// The scripts that divide a sweep among hosts or tasks of a job array: the same bytes as one
// machine writes.
#include <gtest/gtest.h>
#include <sys/stat.h>

#include <cstdlib>
#include <filesystem>
#include <map>
#include <string>
#include <vector>

#include "system/program.h"

namespace splitstart
{

namespace
{

using Words = std::vector<std::string>;

const Words fields = {"--vary", "start-capacitor.microfarads=100:150:10", "--vary",
                      "supply.volts=207,230"};

std::string script(const char* name)
{
    return std::string(SPLITSTART_SOURCE_DIR) + "/scripts/" + name;
}

Outcome scriptRun(const char* name, const Words& options, const std::string& path = {})
{
    Words words = options;
    words.push_back(example("cheese-store.xml"));
    words.insert(words.end(), fields.begin(), fields.end());
    std::map<std::string, std::string> environment = {{"SPLITSTART", SPLITSTART_BINARY}};
    if (!path.empty()) {
        environment["PATH"] = path + ":" + std::getenv("PATH");
    }
    return runProgram(script(name), words, environment);
}

std::string onOneMachine()
{
    static const std::string text = [] {
        const ScratchFolder folder;
        const std::string file = folder.path() / "one.jsonl";
        Words words = {"sweep", example("cheese-store.xml"), "-o", file};
        words.insert(words.end(), fields.begin(), fields.end());
        EXPECT_EQ(splitstartRun(words).status, 0);
        return fileText(file);
    }();
    return text;
}

}  // namespace

TEST(SweepScripts, PartsByGnuParallelAreTheSweepOfOneMachine)
{
    const ScratchFolder folder;
    const std::string file = folder.path() / "rows.jsonl";
    const Outcome outcome = scriptRun("sweep-over-hosts", {"-n", "3", "-o", file});
    ASSERT_EQ(outcome.status, 0) << outcome.err;
    EXPECT_EQ(fileText(file), onOneMachine());
    EXPECT_FALSE(std::filesystem::exists(file + ".parts"));
}

TEST(SweepScripts, PartsThatAreThereAreKeptAndThoseOfAnotherSweepAreNot)
{
    const ScratchFolder folder;
    const std::string file = folder.path() / "rows.jsonl";
    std::filesystem::create_directory(file + ".parts");
    folder.write("rows.jsonl.parts/sum", "of another sweep\n");
    folder.write("rows.jsonl.parts/1-of-2.jsonl", "no row of this sweep\n");
    const Outcome outcome = scriptRun("sweep-over-hosts", {"-n", "2", "-o", file});
    ASSERT_EQ(outcome.status, 0) << outcome.err;
    EXPECT_EQ(fileText(file), onOneMachine());
}

// Everything goes to a host as one bundle: the folders of the files, and words no shell may read.
TEST(SweepScripts, FilesOfSeveralFoldersAndWordsWithBlanksArrive)
{
    const ScratchFolder folder;
    std::filesystem::create_directories(folder.path() / "north shop/cases");
    std::filesystem::create_directories(folder.path() / "north shop/stock");
    folder.write("north shop/stock/parts.xml", fileText(example("dairy-stock.xml")));
    std::string text = fileText(example("cheese-store.xml"));
    const std::string beside = "dairy-stock.xml";
    text.replace(text.find(beside), beside.size(), "../stock/parts.xml");
    const Words sweep = {folder.write("north shop/cases/the cheese's store.xml", text), "--vary",
                         "reading/A B.ohms=2.6,2.7"};
    const auto rows = [&](const std::string& program, Words words, const char* name) {
        const std::string file = folder.path() / name;
        words.insert(words.end(), {"-o", file});
        words.insert(words.end(), sweep.begin(), sweep.end());
        const Outcome outcome = runProgram(program, words, {{"SPLITSTART", SPLITSTART_BINARY}});
        EXPECT_EQ(outcome.status, 0) << outcome.err;
        return fileText(file);
    };
    const std::string one = rows(SPLITSTART_BINARY, {"sweep"}, "one machine's.csv");
    EXPECT_FALSE(one.empty());
    EXPECT_EQ(rows(script("sweep-over-hosts"), {"-n", "2"}, "all hosts'.csv"), one);
}

// A stand-in for the program notes the parts it computes, ends as it does if some starts could not
// be simulated, and breaks down at the second part while a file stands beside it.
TEST(SweepScripts, WhatFailedIsComputedAgainAndNothingElse)
{
    const ScratchFolder folder;
    const std::string standIn = folder.write("stand-in", R"(#!/bin/bash
folder=$(dirname "$0")
case "$*" in
  *"--shard 2/3"*) if [ -e "$folder/broken" ]; then echo "the host broke down" >&2; exit 9; fi ;;&
  *"--shard"*)
    echo "$*" | sed 's/.*--shard \(.\).*/\1/' >> "$folder/computed"
    ")" SPLITSTART_BINARY R"(" "$@"
    exit 3 ;;
  *) exec ")" SPLITSTART_BINARY R"(" "$@" ;;
esac
)");
    chmod(standIn.c_str(), 0700);
    const std::string broken = folder.write("broken", "");
    const std::string file = folder.path() / "rows.jsonl";
    Words words = {"-n", "3", "-o", file, example("cheese-store.xml")};
    words.insert(words.end(), fields.begin(), fields.end());
    const auto run = [&] {
        return runProgram(script("sweep-over-hosts"), words, {{"SPLITSTART", standIn}});
    };
    const Outcome first = run();
    EXPECT_EQ(first.status, 9) << first.err;
    EXPECT_NE(first.err.find("the host broke down"), std::string::npos) << first.err;
    EXPECT_FALSE(std::filesystem::exists(file));
    std::filesystem::remove(broken);
    const Outcome second = run();
    EXPECT_EQ(second.status, 0) << second.err;
    EXPECT_EQ(fileText(file), onOneMachine());
    EXPECT_EQ(fileText(folder.path() / "computed"), "1\n2\n3\n");
}

TEST(SweepScripts, BadInputIsFoundBeforeAnythingIsDivided)
{
    const ScratchFolder folder;
    for (const char* name : {"sweep-over-hosts", "sweep-slurm"}) {
        const Outcome outcome =
            runProgram(script(name),
                       {"-o", folder.path() / "rows.csv", example("cheese-store.xml"), "--vary",
                        "supply.volts=700"},
                       {{"SPLITSTART", SPLITSTART_BINARY}});
        EXPECT_EQ(outcome.status, 2) << name;
        EXPECT_NE(outcome.err.find("from 50 to 600"), std::string::npos) << outcome.err;
        EXPECT_TRUE(std::filesystem::is_empty(folder.path())) << name;
        EXPECT_EQ(runProgram(script(name), {"-n", "0", "-o", "x", "y"}).status, 2) << name;
    }
}

// Slurm is not on this machine: a stand-in for sbatch runs the tasks of the array one after the
// other with the variables that sbatch(1) promises, then the job that depends on them.
TEST(SweepScripts, TasksOfAJobArrayAreTheSweepOfOneMachine)
{
    const ScratchFolder folder;
    const std::string standIn = folder.write("sbatch", R"(#!/bin/bash
set -eu
log="$(dirname "$0")/sbatch.log"
echo "$*" >> "$log"
range="" wrap=""
while [ $# -gt 0 ]; do
  case $1 in
    --array=*) range=${1#--array=} ;;
    --wrap) wrap=$2; shift ;;
    --*) ;;
    *) break ;;
  esac
  shift
done
if [ -n "$wrap" ]; then
  sh -c "$wrap"
  echo "12;cluster"
  exit
fi
for ((task = ${range%-*}; task <= ${range#*-}; ++task)); do
  SLURM_ARRAY_TASK_ID=$task SLURM_ARRAY_TASK_COUNT=${range#*-} SLURM_CPUS_PER_TASK=1 bash "$@" >> "$log"
done
echo "11;cluster"
)");
    chmod(standIn.c_str(), 0700);
    const std::string file = folder.path() / "rows.jsonl";
    const Outcome outcome =
        scriptRun("sweep-slurm", {"-n", "3", "-o", file}, folder.path().string());
    ASSERT_EQ(outcome.status, 0) << outcome.err;
    EXPECT_EQ(outcome.out, "12\n");
    EXPECT_EQ(fileText(file), onOneMachine());
    const std::string log = fileText(folder.path() / "sbatch.log");
    EXPECT_NE(log.find("--dependency=afterok:11 --kill-on-invalid-dep=yes"), std::string::npos)
        << log;
}

}  // namespace splitstart
