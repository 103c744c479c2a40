// Decks that must not reach ngspice.

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>

#include "spice/deck_card.h"
#include "spice/deck_check.h"
#include "spice/session_decks.h"
#include "spice/session_processes.h"

namespace splitstart
{
namespace
{

SimulationRequest withLines(const std::string& lines, const std::string& title = "title")
{
    SimulationRequest request;
    request.deck =
        title + "\nv1 in 0 dc 1\nr1 in 0 1000\n" + lines + ".tran 1e-4 1e-3 0 1e-4\n.end\n";
    request.vectors = {"in"};
    request.end_s = 1e-3;
    return request;
}

// What the refusal says; empty when the deck was accepted.
std::string refusalOf(const SimulationRequest& request)
{
    try {
        prepareJob(request, "splitstart run 1");
    } catch (const SimulationError& error) {
        EXPECT_EQ(error.fault(), SimulationFault::deckRefused) << error.what();
        return error.what();
    }
    return {};
}

TEST(DeckCheck, TextThatNgspiceWouldExecuteIsRefusedAndMakesNoFile)
{
    const TemporaryDirectory place;
    const std::string trace = place.path() / "trace";
    const std::string touch = "shell touch " + trace;
    place.write("control.inc", "* file\n.control\n" + touch + "\n.endc\n");
    const std::string file = place.path() / "control.inc";
    std::vector<SimulationRequest> requests;
    for (const std::string& lines :
         std::vector<std::string>{"*#" + touch + "\n",
                                  "  *#" + touch + "\n",
                                  ".control\n" + touch + "\n.endc\n",
                                  ".CONTROL\n" + touch + "\n.ENDC\n",
                                  ".include " + file + "\n",
                                  ".inc \"" + file + "\"\n",
                                  ".lib " + file + " tt\n",
                                  ".csparam a=1\n",
                                  ".exec " + touch + "\n",
                                  "r2 in 0 `touch " + trace + "`\n",
                                  "r2 in 0 1 ; " + touch + "\n",
                                  "r2 in 0 $HOME\n",
                                  "! touch " + trace + "\n",
                                  ".save in > " + trace + "\n",
                                  ".options sourcepath=" + place.path().string() + "\n",
                                  ".options unixcom\n",
                                  ".print tran in > " + trace + "\n",
                                  ".meas tran a find in at=1e-4 > " + trace + "\n",
                                  "a1 [in] [x] m\n.model m d_source(input_file=\"" + file + "\")\n",
                                  ".title *ng_script\n",
                                  "@\n",
                                  "r2 in 0 1\r\n.control\r\n",
                                  std::string("r2 in 0 1\0\n", 11),
                                  ".param a=\"" + file + "\"\n",
                                  ".end\n.control\n" + touch + "\n.endc\n"}) {
        requests.push_back(withLines(lines));
    }
    for (const std::string& title :
         std::vector<std::string>{"*ng_script", "*NG_SCRIPT_WITH_PARAMS", ".include " + file,
                                  ".control", "*#" + touch, "a\rb", " .title x"}) {
        requests.push_back(withLines(touch + "\n", title));
        requests.push_back(withLines("", title));
    }
    SimulatorPool pool(1);
    for (const SimulationRequest& request : requests) {
        SCOPED_TRACE(request.deck);
        EXPECT_FALSE(refusalOf(request).empty());
        EXPECT_EQ(faultOf(outcomeOf(pool, request)), faultName(SimulationFault::deckRefused));
        EXPECT_FALSE(std::filesystem::exists(trace));
    }
    // The same text does act in ngspice as it comes.
    succeedsInNewProcess([&] {
        PlainNgspice ngspice;
        const std::vector<std::string> lines{"title", "v1 in 0 dc 1", "*#" + touch, ".end"};
        ngspice.library.load(lines);
        return true;
    });
    EXPECT_TRUE(std::filesystem::exists(trace));
}

TEST(DeckCheck, ARefusalNamesTheLineAndTheReason)
{
    const std::string message = refusalOf(withLines("* fine\nr2 in 0 `id`\n"));
    EXPECT_NE(message.find("Line 5"), std::string::npos) << message;
    EXPECT_NE(message.find("r2 in 0"), std::string::npos) << message;
    EXPECT_EQ(message.find('\n'), std::string::npos) << message;
    EXPECT_NE(refusalOf(withLines("r2 in 0 1\n+ m=`x`\n")).find("Line 5"), std::string::npos);
}

TEST(DeckCheck, CommentLinesMayHoldAnyTextAndAreNotHandedOn)
{
    const SimulationJob job =
        prepareJob(withLines("* Käse; `id` $HOME | > \"x\"\n  * more\n\nr2 in 0 1\n"), "job");
    ASSERT_GE(job.lines.size(), 7U);
    EXPECT_EQ(job.lines[3], "*");
    EXPECT_EQ(job.lines[4], "*");
    EXPECT_EQ(job.lines[5], "*");
    EXPECT_EQ(job.lines[6], "r2 in 0 1");  // still line 7
    EXPECT_FALSE(refusalOf(withLines("r2 in 0 1 \xc3\xa4\n")).empty());
}

TEST(DeckCheck, WithoutAStopRuleOnlySavingIsAddedToTheDeck)
{
    SimulationRequest request = withLines("");
    request.vectors = {"in", "v1#branch"};
    const SimulationJob job = prepareJob(request, "splitstart run 1");
    const std::vector<std::string> expected{
        "splitstart run 1", "v1 in 0 dc 1",    "r1 in 0 1000", ".tran 1e-4 1e-3 0 1e-4",
        ".save v(in)",      ".save v1#branch", ".end"};
    EXPECT_EQ(job.lines, expected);
    request.stop = StopRule{"in", 2, 0};
    EXPECT_GT(prepareJob(request, "splitstart run 1").lines.size(), expected.size());
}

TEST(DeckCheck, LegalDecksPass)
{
    const char* const lines =
        ".param a = 3 b={a*2}\n"
        ".func half(x) {x/2}\n"
        ".subckt sub p q params: r=1 c = {2*3}\n"
        "+ l=1e-3\n"
        ".param inner={r > 2 ? r : 2}\n"
        "s1 p q p q m\n"
        ".model m sw(vt={r} vh=0.1 ron=1 roff=1e6)\n"
        "r1 p q '2*r'\n"
        ".ends sub\n"
        "x1 in 0 sub r = 5 l={b}\n"
        "X2 in 0 sub params: c=1\n"
        "X3 in 0 sub m=2\n"
        "b1 out 0 v={ v(in) >= 0.5 && time < 1 || !(v(in) != 2) ? v(in)**2 : -1 }\n"
        "b2 low 0 v=half(v(in))\n"
        "r8 low 0 1\n"
        ".if (a > 2)\nr7 low 0 1\n.model other sw(vt=1)\n.else\nr7 low 0 2\n.endif\n"
        "r9 out 0 1k\n"
        ".options noacct method=trap reltol = 1e-4\n"
        ".ic v(out)=0\n"
        ".temp 27\n"
        ".save out x1.p v1#branch\n";
    EXPECT_EQ(refusalOf(withLines(lines)), "");
    EXPECT_EQ(refusalOf(withLines("", "* cheese store, unit 2: 230 V; 60 Hz")), "");
    SimulatorPool pool(1);
    EXPECT_NO_THROW(pool.run(withLines(lines)));
}

TEST(DeckCheck, WhatNgspiceWouldAcceptInSilenceIsRefused)
{
    const std::string sub = ".subckt sub p params: ohms=1\nr1 p 0 {ohms}\n.ends\n";
    EXPECT_NE(refusalOf(withLines(sub + "x1 in sub ohm=5\n")).find("ohms"), std::string::npos);
    EXPECT_EQ(refusalOf(withLines(sub + "x1 in sub ohms=5\n")), "");
    EXPECT_FALSE(refusalOf(withLines("r2 in\n")).empty());
    EXPECT_FALSE(refusalOf(withLines("v2 a 0 sin(0 1 50\n")).empty());
    EXPECT_FALSE(refusalOf(withLines("r2 in 0 {(1+2}\n")).empty());
    EXPECT_FALSE(refusalOf(withLines("r2 in 0 1 // half\n")).empty());
}

// Each of these ngspice takes without a word, and builds another circuit than it seems.
TEST(DeckCheck, ConditionsThatNgspiceReadsInItsOwnWayAreRefused)
{
    for (const char* const lines :
         {".if (a > 2)\nr2 in 0 1\n", "r2 in 0 1\n.endif\n", ".else\nr2 in 0 1\n.endif\n",
          ".param a=0.5\n.if (a)\nr2 in 0 1\n.endif\n",
          ".if (1 > 2)\nr2 in 0 1\n.else\n.else\nr2 in 0 2\n.endif\n",
          ".if (1 > 2)\n.if (1 > 2)\nr2 in 0 1\n.endif\n.endif\n",
          ".if (1 > 2)\n.param a=2\n.endif\n", ".if (1 > 2)\n.save in\n.endif\n"}) {
        EXPECT_FALSE(refusalOf(withLines(lines)).empty()) << lines;
    }
    EXPECT_EQ(refusalOf(withLines(".if (1 > 2)\nr2 in 0 1\n.endif\n")), "");
}

TEST(DeckCheck, WhatWouldReachLaterRunsOrChangeFromRunToRunIsRefused)
{
    for (const char* const lines :
         {".options interp\n", ".options reltol=1e-4 autostop\n", ".options seed=3\n",
          ".save none\n", "v2 a 0 trnoise(1 1e-6 0 0)\n", "r2 in 0 {agauss(1,2,3)}\n",
          ".param a={unif (1, 0.5)}\n", "v2 a 0 external\n", "v2 a 0 dc 0 external\n",
          "r2 splitstart_stop 0 1\n"}) {
        EXPECT_FALSE(refusalOf(withLines(lines)).empty()) << lines;
    }
    EXPECT_EQ(refusalOf(withLines(".param limit=3\n")), "");  // a name, not the function
}

TEST(DeckCheck, TheAnalysisMustBeOneAndTheOneAskedFor)
{
    EXPECT_FALSE(refusalOf(withLines(".tran 1e-4 1e-3 0 1e-4\n")).empty());
    EXPECT_FALSE(refusalOf(withLines(".op\n")).empty());
    SimulationRequest request = withLines("");
    request.end_s = 2e-3;
    EXPECT_FALSE(refusalOf(request).empty());
    request.end_s = 0;
    EXPECT_FALSE(refusalOf(request).empty());
    request = withLines("");
    request.deck.replace(request.deck.find("1e-3"), 4, "1m");
    EXPECT_NE(refusalOf(request).find("suffix"), std::string::npos);
    request = filterAt(60);
    request.end_s = 1;
    EXPECT_FALSE(refusalOf(request).empty());
    request = filterAt(60);
    request.stop = StopRule{"out", 1, 0};
    EXPECT_FALSE(refusalOf(request).empty());
    request = withLines("");
    request.deck.erase(request.deck.find(".tran"));
    EXPECT_FALSE(refusalOf(request).empty());  // neither analysis nor .end
    request.deck += ".end\n";
    EXPECT_FALSE(refusalOf(request).empty());
    request.deck.clear();
    EXPECT_FALSE(refusalOf(request).empty());
    request = withLines("");
    request.vectors.clear();
    EXPECT_FALSE(refusalOf(request).empty());
}

TEST(DeckCheck, NamesOfVectorsCannotCarryText)
{
    SimulatorPool pool(1);
    for (const char* const name : {"", "in\n.control", "in out", "v(in)", "in;x", "@r1[i]"}) {
        SimulationRequest request = withLines("");
        request.vectors = {name};
        EXPECT_EQ(faultOf(outcomeOf(pool, request)), faultName(SimulationFault::missingVector))
            << name;
        request = withLines("");
        request.stop = StopRule{name, 1, 0};
        EXPECT_EQ(faultOf(outcomeOf(pool, request)), faultName(SimulationFault::missingVector))
            << name;
    }
}

TEST(DeckCard, FieldsAreSplitOutsideBracketsAndJoinedAtEquals)
{
    const std::vector<std::string> expected{"x1",  "a",         "b",       "sub",
                                            "r=5", "l={b + 1}", "v(a, b)", "q='1 + 2'"};
    EXPECT_EQ(cardFields("x1 a,b  sub r = 5\tl={b + 1} v(a, b) q= '1 + 2'"), expected);
}

}  // namespace
}  // namespace splitstart
