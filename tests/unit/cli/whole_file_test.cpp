#include "cli/whole_file.h"

#include <fcntl.h>
#include <gtest/gtest.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <csignal>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <functional>
#include <iterator>
#include <set>
#include <stdexcept>
#include <string>
#include <thread>

namespace splitstart
{

namespace
{

namespace fs = std::filesystem;

// A folder of its own for each test, gone afterwards.
class WholeFile : public testing::Test
{
protected:
    WholeFile()
    {
        std::string name = (fs::temp_directory_path() / "whole-file-XXXXXX").string();
        if (mkdtemp(name.data()) == nullptr) {
            throw std::runtime_error("no temporary folder");
        }
        folder_ = name;
    }
    ~WholeFile() override
    {
        std::error_code ignored;
        fs::permissions(folder_, fs::perms::owner_all, ignored);
        fs::remove_all(folder_, ignored);
    }

    [[nodiscard]] fs::path at(const char* name) const { return folder_ / name; }

    // Names of all that is in the folder.
    [[nodiscard]] std::set<std::string> content() const
    {
        std::set<std::string> names;
        for (const auto& entry : fs::directory_iterator(folder_)) {
            names.insert(entry.path().filename().string());
        }
        return names;
    }

    fs::path folder_;
};

std::string textOf(const fs::path& path)
{
    std::ifstream stream(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(stream), std::istreambuf_iterator<char>()};
}

void put(const fs::path& path, const std::string& text)
{
    std::ofstream(path, std::ios::binary) << text;
}

mode_t modeOf(const fs::path& path)
{
    struct stat status {
    };
    return stat(path.c_str(), &status) == 0 ? status.st_mode & 07777U : 0;
}

// What the writer says; empty when it wrote.
std::string complaint(const fs::path& path, const std::string& text)
{
    try {
        writeWholeFile(path.string(), text);
        return {};
    } catch (const std::runtime_error& error) {
        return error.what();
    }
}

// Runs in a process of its own, whose limits and rights may be changed, and returns what it says.
std::string inChild(const std::function<std::string()>& work)
{
    int ends[2] = {-1, -1};
    if (pipe(ends) != 0) {
        throw std::runtime_error("no pipe");
    }
    const pid_t child = fork();
    if (child == 0) {
        const std::string said = work();
        const ssize_t written = write(ends[1], said.data(), said.size());
        _exit(written == static_cast<ssize_t>(said.size()) ? 0 : 1);
    }
    close(ends[1]);
    std::string said;
    char buffer[256];
    for (ssize_t count = 0; (count = read(ends[0], buffer, sizeof buffer)) > 0;) {
        said.append(buffer, static_cast<std::size_t>(count));
    }
    close(ends[0]);
    int status = 0;
    waitpid(child, &status, 0);
    EXPECT_TRUE(WIFEXITED(status) && WEXITSTATUS(status) == 0);
    return said;
}

// Root may write anywhere; nobody may not.
void dropRoot()
{
    constexpr uid_t nobody = 65534;
    if (geteuid() == 0 && (setgid(nobody) != 0 || setuid(nobody) != 0)) {
        _exit(2);
    }
}

}  // namespace

TEST_F(WholeFile, HoldsTheTextAndLeavesNothingBesideIt)
{
    const std::string text("a line\nanother\0with a zero\n", 27);
    writeWholeFile(at("deck.cir").string(), text);
    EXPECT_EQ(textOf(at("deck.cir")), text);
    EXPECT_EQ(content(), std::set<std::string>{"deck.cir"});
}

TEST_F(WholeFile, MayBeEmptyOrLong)
{
    writeWholeFile(at("empty").string(), "");
    EXPECT_TRUE(fs::exists(at("empty")));
    EXPECT_EQ(textOf(at("empty")), "");
    const std::string text(5000000, 'x');
    writeWholeFile(at("long").string(), text);
    EXPECT_EQ(textOf(at("long")), text);
}

TEST_F(WholeFile, ReplacesAnOlderOne)
{
    put(at("report.txt"), "a much longer text than the new one");
    writeWholeFile(at("report.txt").string(), "new");
    EXPECT_EQ(textOf(at("report.txt")), "new");
    EXPECT_EQ(content(), std::set<std::string>{"report.txt"});
}

TEST_F(WholeFile, IsAsReadableAsTheMaskAllows)
{
    for (const mode_t mask : {mode_t{0022}, mode_t{0077}, mode_t{0002}, mode_t{0}}) {
        const mode_t before = umask(mask);
        const fs::path file = at("mask") += std::to_string(mask);
        writeWholeFile(file.string(), "text");
        const mode_t after = umask(before);
        EXPECT_EQ(modeOf(file), 0666U & ~mask);
        EXPECT_EQ(after, mask);  // left as it was
    }
}

TEST_F(WholeFile, IsWrittenThroughALink)
{
    put(at("target.txt"), "old");
    fs::create_symlink("target.txt", at("link.txt"));
    writeWholeFile(at("link.txt").string(), "new");
    EXPECT_TRUE(fs::is_symlink(at("link.txt")));
    EXPECT_EQ(textOf(at("target.txt")), "new");
    EXPECT_EQ(content(), (std::set<std::string>{"link.txt", "target.txt"}));
}

TEST_F(WholeFile, IsRefusedThroughALinkToNothing)
{
    fs::create_symlink("nothing.txt", at("link.txt"));
    EXPECT_NE(complaint(at("link.txt"), "text"), "");
    EXPECT_EQ(content(), std::set<std::string>{"link.txt"});
    EXPECT_TRUE(fs::is_symlink(at("link.txt")));
}

// The name by which a program's own output goes: renaming onto it would take the system's link
// away.
TEST_F(WholeFile, OfStandardOutputGoesWhereTheOutputGoes)
{
    const std::string said = inChild([this] {
        const int file = open(at("redirected.txt").c_str(), O_WRONLY | O_CREAT, 0600);
        dup2(file, STDOUT_FILENO);
        return complaint("/dev/stdout", "text");
    });
    EXPECT_EQ(said, "");
    EXPECT_EQ(textOf(at("redirected.txt")), "text");
    EXPECT_TRUE(fs::is_symlink("/dev/stdout"));
}

TEST_F(WholeFile, IsRefusedInAMissingFolder)
{
    const fs::path file = at("no-such-folder") / "deck.cir";
    const std::string said = complaint(file, "text");
    EXPECT_TRUE(said.starts_with(file.string() + ": ")) << said;
    EXPECT_NE(said.find("No such file or directory"), std::string::npos) << said;
    EXPECT_TRUE(content().empty());
}

TEST_F(WholeFile, IsRefusedWhereAFolderHasItsName)
{
    fs::create_directory(at("deck.cir"));
    const std::string said = complaint(at("deck.cir"), "text");
    EXPECT_TRUE(said.starts_with(at("deck.cir").string() + ": ")) << said;
    EXPECT_NE(said.find("directory"), std::string::npos) << said;
    EXPECT_TRUE(fs::is_empty(at("deck.cir")));
    EXPECT_EQ(content(), std::set<std::string>{"deck.cir"});
}

TEST_F(WholeFile, IsRefusedWithoutAName)
{
    EXPECT_NE(complaint("", "text"), "");
    EXPECT_NE(complaint(folder_.string() + "/", "text"), "");
    EXPECT_TRUE(content().empty());
}

TEST_F(WholeFile, IsRefusedInAFolderThatMayNotBeWritten)
{
    put(at("old.txt"), "old");
    fs::permissions(folder_, fs::perms::owner_read | fs::perms::owner_exec |
                                 fs::perms::others_read | fs::perms::others_exec);
    const std::string said = inChild([this] {
        dropRoot();
        return complaint(at("new.txt"), "text") + "\n" + complaint(at("old.txt"), "text");
    });
    EXPECT_NE(said.find("new.txt: cannot be written: Permission denied"), std::string::npos)
        << said;
    EXPECT_NE(said.find("old.txt: cannot be written: Permission denied"), std::string::npos)
        << said;
    EXPECT_EQ(textOf(at("old.txt")), "old");
    EXPECT_EQ(content(), std::set<std::string>{"old.txt"});
}

// A disk that fills up half way: here a limit on the size of files.
TEST_F(WholeFile, LeavesTheOldOneWhenTheDiskIsFull)
{
    put(at("report.txt"), "old");
    const std::string said = inChild([this] {
        std::signal(SIGXFSZ, SIG_IGN);
        const rlimit limit{1000, 1000};
        setrlimit(RLIMIT_FSIZE, &limit);
        return complaint(at("report.txt"), std::string(100000, 'x')) + "\n" +
               complaint(at("other.txt"), std::string(100000, 'x'));
    });
    EXPECT_NE(said.find("report.txt: cannot be written: File too large"), std::string::npos)
        << said;
    EXPECT_NE(said.find("other.txt: cannot be written: File too large"), std::string::npos) << said;
    EXPECT_EQ(textOf(at("report.txt")), "old");
    EXPECT_EQ(content(), std::set<std::string>{"report.txt"});
}

TEST_F(WholeFile, SaysSoWhenADeviceIsFull)
{
    const std::string said = complaint("/dev/full", "text");
    EXPECT_EQ(said, "/dev/full: cannot be written: No space left on device");
    EXPECT_EQ(complaint("/dev/null", "text"), "");
    EXPECT_TRUE(fs::is_character_file("/dev/full"));
    EXPECT_TRUE(fs::is_character_file("/dev/null"));
}

// A pipe takes no more at once than it holds.
TEST_F(WholeFile, GoesThroughAPipeInPieces)
{
    ASSERT_EQ(mkfifo(at("pipe").c_str(), 0600), 0);
    const std::string text(1000000, 'y');
    std::string received;
    std::thread reader([&] { received = textOf(at("pipe")); });
    EXPECT_EQ(complaint(at("pipe"), text), "");
    reader.join();
    EXPECT_EQ(received, text);
    EXPECT_TRUE(fs::is_fifo(at("pipe")));
}

}  // namespace splitstart
