// What a person meets who types something wrong, and the exit statuses that scripts rely on.
#include <gtest/gtest.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "system/program.h"

namespace splitstart
{

namespace
{

using Json = nlohmann::json;

std::string replaced(std::string text, const std::string& what, const std::string& with)
{
    const std::size_t at = text.find(what);
    EXPECT_NE(at, std::string::npos) << what;
    return text.replace(at, what.size(), with);
}

std::ptrdiff_t lineCount(const std::string& text)
{
    return std::count(text.begin(), text.end(), '\n');
}

TEST(CommandLine, HelpNamesEveryCommandAndEndsWithStatusZero)
{
    const Outcome outcome = splitstartRun({"--help"});
    EXPECT_EQ(outcome.status, 0);
    for (const char* command :
         {"identify", "check", "choose", "wiring", "diagnose", "netlist", "lesson"}) {
        EXPECT_NE(outcome.out.find(command), std::string::npos);
        const Outcome help = splitstartRun({command, "--help"});
        EXPECT_EQ(help.status, 0);
        EXPECT_NE(help.out.find("Example"), std::string::npos);
    }
}

TEST(CommandLine, VersionNamesNgspiceToo)
{
    const Outcome outcome = splitstartRun({"--version"});
    EXPECT_EQ(outcome.status, 0);
    EXPECT_NE(outcome.out.find("ngspice"), std::string::npos);
}

TEST(CommandLine, WrongUsageHasStatusTwoAndPrintsNothingOnStandardOutput)
{
    const std::vector<std::vector<std::string>> wrong = {
        {},
        {"chekc", example("cheese-store.xml")},
        {"check"},
        {"check", example("cheese-store.xml"), "--fromat", "json"},
        {"check", example("cheese-store.xml"), "--format", "xml"},
        {"check", example("cheese-store.xml"), "more.xml"},
        {"check", example("cheese-store.xml"), "--workers", "many"},
        {"identify"},
        {"identify", example("cheese-store.xml"), "--ohms", "AB=1"},
        {"identify", "--ohms", "AB"},
        {"netlist", example("cheese-store.xml"), "--line-percent", "nan"},
        {"netlist", example("cheese-store.xml"), "--windings", "warm"},
        {"netlist", example("cheese-store.xml"), "--seconds", "1e9"},
    };
    for (const std::vector<std::string>& arguments : wrong) {
        const Outcome outcome = splitstartRun(arguments);
        std::string line;
        for (const std::string& argument : arguments) {
            line += argument + " ";
        }
        EXPECT_EQ(outcome.status, 2) << line << outcome.err;
        EXPECT_EQ(outcome.out, "") << line;
        EXPECT_NE(outcome.err, "") << line;
    }
}

TEST(CommandLine, BadInputNamesFileLineFieldFoundAndAllowed)
{
    const ScratchFolder folder;
    folder.write("dairy-stock.xml", fileText(example("dairy-stock.xml")));
    const std::string file =
        folder.write("case.xml", replaced(fileText(example("cheese-store.xml")),
                                          "<supply volts=\"230\"", "<supply volts=\"2x0\""));
    const std::string output = (folder.path() / "start.cir").string();
    const Outcome outcome = splitstartRun({"netlist", file, "-o", output});
    EXPECT_EQ(outcome.status, 2);
    EXPECT_EQ(lineCount(outcome.err), 1) << outcome.err;
    for (const char* part : {"case.xml:5", "supply/volts", "2x0", "50 to 600"}) {
        EXPECT_NE(outcome.err.find(part), std::string::npos) << part << " in " << outcome.err;
    }
    EXPECT_FALSE(std::filesystem::exists(output));
}

TEST(CommandLine, MissingPartsFileIsBadInput)
{
    const ScratchFolder folder;
    const std::string file = folder.write("case.xml", fileText(example("cheese-store.xml")));
    const Outcome outcome = splitstartRun({"check", file});
    EXPECT_EQ(outcome.status, 2);
    EXPECT_NE(outcome.err.find("dairy-stock.xml"), std::string::npos);
    EXPECT_EQ(outcome.out, "");
}

TEST(CommandLine, MissingSimulatorHasStatusThreeAndSaysWhatToInstall)
{
    const ScratchFolder folder;
    folder.write("libngspice.so.0", "not a library");
    const Outcome outcome = splitstartRun({"check", example("cheese-store.xml")},
                                          {{"LD_LIBRARY_PATH", folder.path().string()}});
    EXPECT_EQ(outcome.status, 3);
    EXPECT_NE(outcome.err.find("libngspice0"), std::string::npos) << outcome.err;
    // Naming pins needs no simulator.
    const Outcome identify = splitstartRun({"identify", example("cheese-store.xml")},
                                           {{"LD_LIBRARY_PATH", folder.path().string()}});
    EXPECT_LE(identify.status, 1) << identify.err;
}

TEST(CommandLine, OutputThatCannotBeWrittenIsSaidAndNothingIsLeft)
{
    const ScratchFolder folder;
    const Outcome missing = splitstartRun({"identify", example("cheese-store.xml"), "-o",
                                           (folder.path() / "none" / "out.txt").string()});
    EXPECT_EQ(missing.status, 2);
    EXPECT_NE(missing.err.find("cannot be written"), std::string::npos);
    const Outcome full =
        splitstartRun({"identify", example("cheese-store.xml"), "-o", "/dev/full"});
    EXPECT_EQ(full.status, 2);
    EXPECT_TRUE(std::filesystem::is_empty(folder.path()));
}

TEST(CommandLine, OutputOverAnyFileThatWasReadIsRefused)
{
    const ScratchFolder folder;
    const std::string stock = fileText(example("dairy-stock.xml"));
    const std::string parts = folder.write("dairy-stock.xml", stock);
    const std::string text = fileText(example("shop-cooler.xml"));
    const std::string file = folder.write("case.xml", text);
    const std::filesystem::path link = folder.path() / "link.xml";
    const std::filesystem::path sameInode = folder.path() / "hard-link.xml";
    std::filesystem::create_symlink(parts, link);
    std::filesystem::create_hard_link(parts, sameInode);
    const std::string roundabout =
        (folder.path() / ".." / folder.path().filename() / "dairy-stock.xml").string();
    const std::vector<std::vector<std::string>> commands = {
        {"identify"}, {"check"},    {"choose"},
        {"wiring"},   {"diagnose"}, {"netlist"},
        {"report"},   {"plot"},     {"lesson", "capacitor-size"}};
    for (const std::vector<std::string>& command : commands) {
        for (const std::string& output :
             {file, parts, link.string(), sameInode.string(), roundabout}) {
            std::vector<std::string> arguments = command;
            arguments.insert(arguments.end(), {file, "-o", output});
            const Outcome outcome = splitstartRun(arguments);
            EXPECT_EQ(outcome.status, 2) << command.front() << " " << output;
            EXPECT_EQ(outcome.out, "");
            EXPECT_EQ(lineCount(outcome.err), 1) << outcome.err;
            EXPECT_NE(outcome.err.find("--output"), std::string::npos) << outcome.err;
        }
    }
    EXPECT_EQ(fileText(file), text);
    EXPECT_EQ(fileText(parts), stock);
    EXPECT_TRUE(std::filesystem::is_symlink(link));
    EXPECT_TRUE(std::filesystem::equivalent(parts, sameInode));
}

TEST(CommandLine, OutputOverAPartsFileWithoutAPartIsRefusedToo)
{
    const ScratchFolder folder;
    const std::string empty = "<parts name=\"an empty shelf\" invented=\"yes\"/>\n";
    const std::string parts = folder.write("shelf.xml", empty);
    const std::string file = folder.write(
        "case.xml",
        "<case name=\"readings alone\" invented=\"yes\"><compressor><readings>"
        "<reading between=\"A B\" ohms=\"2.71\"/><reading between=\"B C\" ohms=\"3.42\"/>"
        "<reading between=\"A C\" ohms=\"0.93\"/></readings></compressor>"
        "<parts file=\"shelf.xml\"/></case>\n");
    EXPECT_LE(splitstartRun({"identify", file}).status, 1);
    EXPECT_EQ(splitstartRun({"identify", file, "-o", parts}).status, 2);
    EXPECT_EQ(fileText(parts), empty);
}

// Not the type is wrong, and what to do where nobody can read the relay is said with it.
TEST(CommandLine, AMissingStartDeviceIsSaidInOneShortLine)
{
    const std::string file = example("dead-relay.xml");
    for (const char* command : {"check", "wiring", "diagnose", "netlist", "report"}) {
        const Outcome outcome = splitstartRun({command, file});
        EXPECT_EQ(outcome.status, 2) << command;
        EXPECT_EQ(lineCount(outcome.err), 1) << outcome.err;
        EXPECT_NE(outcome.err.find("circuit/start-device: missing; allowed: for CSCR the id of a "),
                  std::string::npos)
            << outcome.err;
        EXPECT_NE(outcome.err.find("splitstart choose " + file + " --stock PARTS.xml"),
                  std::string::npos)
            << outcome.err;
    }
}

TEST(CommandLine, AWordInPlaceOfANumberIsSaidWithTheRange)
{
    const Outcome outcome = splitstartRun({"check", example("cheese-store.xml"), "--samples", "x"});
    EXPECT_EQ(outcome.status, 2);
    EXPECT_EQ(outcome.err,
              "splitstart: --samples: found \"x\"; allowed: a whole number from 20 to 10000\n"
              "Try `splitstart check --help`.\n");
}

TEST(CommandLine, HelpIsOfferedOnlyForCommandsThatThereAre)
{
    const Outcome unknown = splitstartRun({"chekc", example("cheese-store.xml")});
    EXPECT_EQ(unknown.err.find("chekc --help"), std::string::npos) << unknown.err;
    EXPECT_NE(unknown.err.find("`splitstart --help`"), std::string::npos) << unknown.err;
    const Outcome known = splitstartRun({"check", "--fromat"});
    EXPECT_NE(known.err.find("`splitstart check --help`"), std::string::npos) << known.err;
}

TEST(CommandLine, OneFileTooManyIsSaidInPlainWords)
{
    const Outcome outcome = splitstartRun({"check", example("cheese-store.xml"), "more.xml"});
    EXPECT_EQ(outcome.err.find("positional"), std::string::npos) << outcome.err;
    EXPECT_NE(outcome.err.find("one case file"), std::string::npos) << outcome.err;
    const Outcome explain =
        splitstartRun({"check", "--explain", "relay-chatter", example("cheese-store.xml")});
    EXPECT_EQ(explain.status, 2);
    EXPECT_NE(explain.err.find("leave out"), std::string::npos) << explain.err;
    EXPECT_NE(explain.err.find("cheese-store.xml"), std::string::npos) << explain.err;
}

TEST(CommandLine, ClosedStandardOutputIsSaid)
{
    for (const char* command : {"identify", "netlist"}) {
        const Outcome outcome =
            runProgram("sh", {"-c", std::string(SPLITSTART_BINARY) + " " + command + " " +
                                        example("shop-cooler.xml") + " >&-"});
        EXPECT_EQ(outcome.status, 2) << command;
        EXPECT_NE(outcome.err.find("closed"), std::string::npos) << outcome.err;
    }
    EXPECT_EQ(
        runProgram("sh", {"-c", std::string(SPLITSTART_BINARY) + " --help >/dev/full"}).status, 2);
}

TEST(Check, OpenWindingIsAFindingAndNotBadInput)
{
    const ScratchFolder folder;
    folder.write("dairy-stock.xml", fileText(example("dairy-stock.xml")));
    std::string text =
        replaced(fileText(example("cheese-store.xml")), "ohms=\"2.65\"", "ohms=\"open\"");
    text = replaced(text, "ohms=\"2.00\"", "ohms=\"open\"");
    const Outcome outcome = splitstartRun({"check", folder.write("case.xml", text)});
    EXPECT_EQ(outcome.status, 1) << outcome.err;
    EXPECT_NE(outcome.out.find("open"), std::string::npos);
    EXPECT_NE(outcome.out.find("Lock out"), std::string::npos);
    // Machines get the same answer as of a study with starts.
    const Json json = Json::parse(
        splitstartRun({"check", (folder.path() / "case.xml").string(), "--format", "json"}).out);
    EXPECT_NE(json["verdict"], "fit");
    EXPECT_GE(json["counts"]["fail"].get<int>() + json["counts"]["undecided"].get<int>(), 1);
}

TEST(Check, GroundedWindingComesBeforeEveryOtherVerdict)
{
    const ScratchFolder folder;
    folder.write("dairy-stock.xml", fileText(example("dairy-stock.xml")));
    const std::string text =
        replaced(fileText(example("shop-cooler.xml")), "megohms=\"220\"", "megohms=\"0.1\"");
    const Outcome outcome = splitstartRun({"check", folder.write("case.xml", text)});
    EXPECT_EQ(outcome.status, 1);
    const std::size_t headline = outcome.out.find("DO NOT ENERGISE");
    ASSERT_NE(headline, std::string::npos);
    EXPECT_LT(headline, outcome.out.find("What fails"));
    EXPECT_EQ(outcome.out.find("NOT FIT"), std::string::npos);
}

TEST(Identify, OptionsBesideACaseFileAreNotPassedOver)
{
    for (const char* option : {"--insulation-megohms", "--lead-ohms", "--winding-temperature-c"}) {
        const Outcome outcome =
            splitstartRun({"identify", example("cheese-store.xml"), option, "0"});
        EXPECT_EQ(outcome.status, 2) << option;
        EXPECT_EQ(outcome.out, "");
    }
}

TEST(Identify, AbsurdlyHighWindingsAreNotCalledSound)
{
    const Outcome outcome = splitstartRun(
        {"identify", "--ohms", "AB=4000000", "BC=1500000", "AC=5500000", "--pins", "C=B,S=A,R=C",
         "--insulation-megohms", "100", "--test-volts", "500", "--format", "json"});
    EXPECT_EQ(outcome.status, 1);
    EXPECT_NE(Json::parse(outcome.out)["safe_to_energise"]["answer"], "yes");
}

TEST(Identify, APairGivenTwiceIsSaidWithoutLinesThatNobodyTyped)
{
    const Outcome outcome =
        splitstartRun({"identify", "--ohms", "AB=2.71", "BC=3.42", "BC=3.42", "AC=0.93"});
    EXPECT_EQ(outcome.status, 2);
    EXPECT_NE(outcome.err.find("--ohms BC=3.42: found \"BC\""), std::string::npos) << outcome.err;
    EXPECT_NE(outcome.err.find("once"), std::string::npos) << outcome.err;
    EXPECT_EQ(outcome.err.find("in line "), std::string::npos) << outcome.err;
}

TEST(Identify, ThreeReadingsOnTheCommandLineNameThePins)
{
    const Outcome outcome =
        splitstartRun({"identify", "--ohms", "AB=2.71", "--ohms", "BC=3.42", "--ohms", "AC=0.93",
                       "--lead-ohms", "0.1", "--format", "json"});
    EXPECT_LE(outcome.status, 1) << outcome.err;
    const Json json = Json::parse(outcome.out);
    // The highest pair is B-C, so A is common; A-C is the lower of the others, so C is run.
    EXPECT_EQ(json["pins"]["C"], "A");
    EXPECT_EQ(json["pins"]["S"], "B");
    EXPECT_EQ(json["pins"]["R"], "C");
}

TEST(Identify, FieldReadingsThatDoNotAddUpAreNamedAndExplained)
{
    // 8.5, 7.5 and 1.35 ohm are common practice, no source; 7.5 + 1.35 is not 8.5.
    const Outcome outcome =
        splitstartRun({"identify", "--ohms", "CS=7.5", "--ohms", "SR=8.5", "--ohms", "CR=1.35"});
    EXPECT_LE(outcome.status, 1) << outcome.err;
    EXPECT_NE(outcome.out.find("lead"), std::string::npos);
    const Json json = Json::parse(splitstartRun({"identify", "--ohms", "CS=7.5", "--ohms", "SR=8.5",
                                                 "--ohms", "CR=1.35", "--format", "json"})
                                      .out);
    EXPECT_EQ(json["pins"]["C"], "C");
    EXPECT_EQ(json["pins"]["S"], "S");
    EXPECT_EQ(json["pins"]["R"], "R");
    EXPECT_NEAR(json["misfit_ohm"].get<double>(), 0.35, 1e-9);
}

TEST(Identify, GroundedWindingIsNeverSafeToEnergise)
{
    const Outcome outcome =
        splitstartRun({"identify", "--ohms", "AB=2.71", "--ohms", "BC=3.42", "--ohms", "AC=0.93",
                       "--ohms", "A-shell=12", "--format", "json"});
    EXPECT_EQ(outcome.status, 1);
    EXPECT_EQ(Json::parse(outcome.out)["safe_to_energise"]["answer"], "no");
}

TEST(Identify, OpenProtectorIsNotCondemned)
{
    const Outcome outcome =
        splitstartRun({"identify", "--ohms", "CS=open", "--ohms", "SR=3.4", "--ohms", "CR=open"});
    EXPECT_EQ(outcome.status, 1);
    EXPECT_NE(outcome.out.find("cool"), std::string::npos);
}

}  // namespace

}  // namespace splitstart
