// What is installed, and the Debian package, in folders of their own.
#include <gtest/gtest.h>

#include <algorithm>

#include "system/program.h"

namespace splitstart
{

namespace
{

std::string buildFolder()
{
    return std::filesystem::path(SPLITSTART_BINARY).parent_path().string();
}

// The installed tree, once for all tests.
const std::filesystem::path& installed()
{
    static const ScratchFolder folder;
    static const std::filesystem::path prefix = [] {
        // The manual and the completion are made by the build of all.
        const Outcome made =
            runProgram("cmake", {"--build", buildFolder(), "--target", "splitstart_described"});
        EXPECT_EQ(made.status, 0) << made.out << made.err;
        const Outcome outcome =
            runProgram("cmake", {"--install", buildFolder(), "--prefix", folder.path().string()});
        EXPECT_EQ(outcome.status, 0) << outcome.err;
        return folder.path();
    }();
    return prefix;
}

// What the completion offers for these words, the last of which is being typed.
std::string completions(const std::string& words, const std::filesystem::path& folder = {})
{
    const std::string script =
        "source " + (installed() / "share/bash-completion/completions/splitstart").string() +
        "; COMP_WORDS=(" + words +
        "); COMP_CWORD=$((${#COMP_WORDS[@]}-1)); _splitstart; echo \"${COMPREPLY[@]}\"";
    const Outcome outcome = runProgram("bash", {"-c", script}, {}, folder);
    EXPECT_EQ(outcome.err, "");
    return outcome.out;
}

}  // namespace

TEST(Installed, ProgramRunsWithoutTheSourceTree)
{
    const std::string program = (installed() / "bin/splitstart").string();
    const Outcome version = runProgram(program, {"--version"});
    EXPECT_EQ(version.status, 0);
    EXPECT_NE(version.out.find("ngspice"), std::string::npos) << version.out;
    const Outcome check = runProgram(
        program,
        {"check", (installed() / "share/doc/splitstart/examples/shop-cooler.xml").string()});
    EXPECT_EQ(check.status, 0) << check.err;
}

TEST(Installed, ModelsAreIncludedByStockNgspice)
{
    const ScratchFolder folder;
    const std::string deck = folder.write(
        "start.cir", "* installed models\n.include " +
                         (installed() / "share/splitstart/models/splitstart.lib").string() +
                         "\nxsupply line 0 supply rms_v=115 line_hz=60\nrload line 0 100\n"
                         ".tran 1e-4 0.1 0 1e-4 uic\n.control\nrun\nmeas tran volts rms v(line) "
                         "from=0.05 to=0.1\n.endc\n.end\n");
    const Outcome outcome = runProgram("ngspice", {"-b", deck});
    EXPECT_NE(outcome.out.find("volts"), std::string::npos) << outcome.out << outcome.err;
    EXPECT_NEAR(std::stod(outcome.out.substr(outcome.out.find('=', outcome.out.find("volts")) + 1)),
                115, 1);
}

TEST(Installed, ManualTellsOfEveryCommandAndOption)
{
    const Outcome page =
        runProgram("gzip", {"-dc", (installed() / "share/man/man1/splitstart.1.gz").string()});
    ASSERT_EQ(page.status, 0);
    const ScratchFolder folder;
    // groff warns of what is no proper manual page.
    const Outcome text = runProgram(
        "groff", {"-man", "-Tascii", "-ww", "-P-cbou", folder.write("splitstart.1", page.out)});
    EXPECT_EQ(text.status, 0);
    EXPECT_EQ(text.err, "");
    for (const char* words : {"identify", "--what-next", "diagnose", "--symptom", "sweep",
                              "--latin-hypercube", "report", "plot", "--figure", "lesson", "merge",
                              "netlist", "--windings", "EXIT STATUS", "Lock out"}) {
        EXPECT_NE(text.out.find(words), std::string::npos) << words;
    }
}

TEST(Installed, ShellCompletesCommandsOptionsWordsAndFiles)
{
    EXPECT_EQ(completions("splitstart ch"), "check choose\n");
    EXPECT_EQ(completions("splitstart netlist --windings ''"), "cold hot\n");
    EXPECT_EQ(completions("splitstart check --form"), "--format\n");
    EXPECT_EQ(completions("splitstart plot --format s"), "svg\n");
    EXPECT_EQ(completions("splitstart check shop", example("")), "shop-cooler.xml\n");
    EXPECT_EQ(completions("splitstart check --samples ''"), "\n");
}

TEST(Installed, DebianPackageHoldsTheProgramAndNamesWhatItNeeds)
{
    const ScratchFolder folder;
    installed();
    const Outcome made =
        runProgram("cpack", {"-G", "DEB", "--config", buildFolder() + "/CPackConfig.cmake", "-B",
                             folder.path().string()});
    ASSERT_EQ(made.status, 0) << made.out << made.err;
    std::string package;
    for (const auto& entry : std::filesystem::directory_iterator(folder.path())) {
        if (entry.path().extension() == ".deb") {
            package = entry.path().string();
        }
    }
    ASSERT_FALSE(package.empty());
    const Outcome fields = runProgram("dpkg-deb", {"--field", package, "Depends"});
    for (const char* needed : {"libngspice0", "libpugixml1v5", "libboost-program-options"}) {
        EXPECT_NE(fields.out.find(needed), std::string::npos) << fields.out;
    }
    const std::string root = (folder.path() / "root").string();
    ASSERT_EQ(runProgram("dpkg-deb", {"-x", package, root}).status, 0);
    const Outcome pins =
        runProgram(root + "/usr/bin/splitstart",
                   {"identify", root + "/usr/share/doc/splitstart/examples/shop-cooler.xml"});
    EXPECT_EQ(pins.status, 0) << pins.err;
    EXPECT_NE(pins.out.find("C (common) is pin 3"), std::string::npos) << pins.out;
}

}  // namespace splitstart
