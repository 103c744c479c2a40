// The commands of scripts/ngspice, typed at the prompt of stock ngspice.
#include <gtest/gtest.h>

#include "system/ngspice_prompt.h"
#include "system/program.h"

namespace splitstart
{

namespace
{

bool says(const std::string& text, const std::string& words)
{
    return text.find(words) != std::string::npos;
}

// The deck of an example, written into that folder as start.cir.
std::string deckOf(const std::string& name, const ScratchFolder& folder)
{
    const Outcome written = splitstartRun({"netlist", example(name)});
    EXPECT_EQ(written.status, 0) << written.err;
    folder.write("start.cir", written.out);
    return written.out;
}

std::string replaced(std::string text, const std::string& before, const std::string& after)
{
    const std::size_t at = text.find(before);
    EXPECT_NE(at, std::string::npos) << before;
    return text.replace(at, before.size(), after);
}

TEST(Prompt, FindsModelsWithoutAPath)
{
    const ScratchFolder folder;
    folder.write("line.cir",
                 "* a supply alone\n.include splitstart.lib\nxsupply line 0 supply rms_v=100\n"
                 "rload line 0 100\n.end\n");
    const std::string said = typedAtPrompt(
        "source line.cir\nac lin 1 60 60\nlet volts = mag(v(line))\nprint volts", folder.path());
    EXPECT_NEAR(printedQuantities(said)["volts"], 141.4, 1) << said;
}

TEST(Prompt, EachCommandHasHelp)
{
    const ScratchFolder folder;
    const std::string list = typedAtPrompt("ss_help", folder.path());
    for (const char* command :
         {"ss_case", "ss_start", "ss_ratings", "ss_sweep_capacitor", "ss_phase_shift"}) {
        EXPECT_TRUE(says(list, command)) << list;
        const std::string help = typedAtPrompt(std::string(command) + " help", folder.path());
        EXPECT_TRUE(says(help, command)) << help;
        EXPECT_FALSE(says(help, "rror")) << help;
    }
    for (const char* command : {"ss_sweep_capacitor", "ss_phase_shift 80"}) {
        EXPECT_TRUE(says(typedAtPrompt(command, folder.path()), "FROM TO STEP")) << command;
    }
}

TEST(Prompt, SaysThatNoDeckIsCurrent)
{
    const ScratchFolder folder;
    for (const char* command :
         {"ss_start", "ss_ratings", "ss_sweep_capacitor 80 120 20", "ss_phase_shift 80 120 20"}) {
        const std::string said = typedAtPrompt(command, folder.path());
        EXPECT_TRUE(says(said, "no deck of a start is current")) << said;
    }
}

TEST(Prompt, RefusesFilesThatAreNotThere)
{
    const ScratchFolder folder;
    EXPECT_TRUE(says(typedAtPrompt("ss_case nothing.cir", folder.path()), "there is no file"));
    EXPECT_TRUE(says(typedAtPrompt("ss_case nothing.xml", folder.path()), "there is no file"));
    EXPECT_TRUE(says(typedAtPrompt("ss_case", folder.path()), "which deck or case?"));
    folder.write("bad.xml", "<case/>");
    EXPECT_TRUE(says(typedAtPrompt("ss_case bad.xml", folder.path()), "made no deck of bad.xml"));
}

TEST(Prompt, RefusesHostileFileNames)
{
    const ScratchFolder folder;
    for (const std::string name :
         {"a;touch pwned;.xml", "a$(touch pwned).xml", "a|touch pwned", "a&touch pwned&.cir",
          "a\ttouch pwned", "a' touch pwned '.xml", "-o", "--help"}) {
        const std::string said =
            typedAtPrompt("ss_case \"" + name + "\"\necho still here", folder.path());
        EXPECT_TRUE(says(said, "a file name may hold letters")) << name << "\n" << said;
        EXPECT_TRUE(says(said, "still here")) << name;
        EXPECT_FALSE(std::filesystem::exists(folder.path() / "pwned")) << name;
    }
}

TEST(Prompt, ForgetsADeckWhenTheNextOneIsNone)
{
    const ScratchFolder folder;
    deckOf("shop-cooler.xml", folder);
    folder.write("other.cir", "* another\nr1 a 0 1\nv1 a 0 1\n.tran 1m 10m\n.end\n");
    const std::string said =
        typedAtPrompt("ss_case start.cir\nss_case other.cir\nss_start", folder.path());
    EXPECT_TRUE(says(said, "this deck is current")) << said;
    EXPECT_TRUE(says(said, "not a deck of a start")) << said;
    EXPECT_TRUE(says(said, "no deck of a start is current")) << said;
}

// The same quantities as the deck's own control section.
TEST(Prompt, StartGivesTheQuantitiesOfTheDeck)
{
    for (const char* name : {"cheese-store.xml", "shop-cooler.xml", "circuits/psc-ptc.xml"}) {
        const ScratchFolder folder;
        deckOf(name, folder);
        std::map<std::string, double> own = stockQuantities((folder.path() / "start.cir").string());
        const std::string said = typedAtPrompt("ss_case start.cir\nss_start", folder.path());
        int compared = 0;
        for (const auto& [quantity, value] : printedQuantities(said)) {
            if (own.count(quantity) > 0) {
                EXPECT_NEAR(value / own[quantity], 1, 0.001) << name << " " << quantity;
                ++compared;
            }
        }
        EXPECT_GE(compared, 8) << name << "\n" << said;
    }
}

TEST(Prompt, MakesACaseCurrent)
{
    const ScratchFolder folder;
    const std::string said =
        typedAtPrompt("ss_case " + example("shop-cooler.xml") + "\nss_start", folder.path());
    EXPECT_GT(printedQuantities(said)["speed_at_end_ratio"], 0.9) << said;
}

TEST(Prompt, SaysWhenARunDidNotReachItsEnd)
{
    const ScratchFolder folder;
    const std::string deck = deckOf("shop-cooler.xml", folder);
    folder.write("start.cir", replaced(deck, ".csparam ss_end_s={1.5", ".csparam ss_end_s={9.5"));
    const std::string said = typedAtPrompt(
        "ss_case start.cir\nss_start\nss_ratings\necho verdict $ss_verdict", folder.path());
    EXPECT_TRUE(says(said, "nothing is known of it")) << said;
    EXPECT_TRUE(printedQuantities(said).empty()) << said;
    EXPECT_TRUE(says(said, "verdict undecided")) << said;
}

TEST(Prompt, HoldsAStartAgainstItsRatings)
{
    const ScratchFolder folder;
    const std::string deck = deckOf("cheese-store.xml", folder);
    const std::string typed = "ss_case start.cir\nss_ratings\necho verdict $ss_verdict";
    const std::string good = typedAtPrompt(typed, folder.path());
    EXPECT_TRUE(says(good, "verdict pass")) << good;
    EXPECT_TRUE(says(good, "at most 330: pass")) << good;
    EXPECT_TRUE(says(good, "overload protector: stays closed: pass")) << good;
    // Start capacitor of 250 V: 267 V in the worst cycle.
    folder.write("start.cir", replaced(deck, "ss_start_capacitor_rated_v={330}",
                                       "ss_start_capacitor_rated_v={250}"));
    const std::string low = typedAtPrompt(typed, folder.path());
    EXPECT_TRUE(says(low, "at most 250: fail")) << low;
    EXPECT_TRUE(says(low, "verdict fail")) << low;
    folder.write("start.cir", replaced(deck, "ss_start_capacitor_rated_v={330}",
                                       "ss_start_capacitor_rated_v={0}"));
    const std::string untold = typedAtPrompt(typed, folder.path());
    EXPECT_TRUE(says(untold, "does not tell the limit")) << untold;
    EXPECT_TRUE(says(untold, "verdict undecided")) << untold;
    // A relay that never picks up: its contact stays made.
    folder.write("start.cir", replaced(deck, "relay_pick_up_v=174", "relay_pick_up_v=500"));
    const std::string never = typedAtPrompt(typed, folder.path());
    EXPECT_TRUE(says(never, "start contact: never lets go: fail")) << never;
    EXPECT_TRUE(says(never, "verdict fail")) << never;
}

// Mayr's arc goes out if it cools quicker than its current comes back after a zero: one that loses
// 1 W, with a time constant of 1 ms against the 8.3 ms of a half cycle, does not at 25 A.
TEST(Prompt, CountsAContactWhoseArcBurnsOnAsMade)
{
    const ScratchFolder folder;
    const std::string deck = deckOf("cheese-store.xml", folder);
    folder.write("start.cir", replaced(deck, " arc_w=30 arc_s=1e-5", " arc_w=1 arc_s=1e-3"));
    const std::string words = "burns on to the end";
    std::map<std::string, double> own = stockQuantities((folder.path() / "start.cir").string());
    EXPECT_GT(own["contact_current_at_end_a"], 10);
    EXPECT_EQ(own.count("start_contact_opened_s"), 0U);
    const std::string started = typedAtPrompt("ss_case start.cir\nss_start", folder.path());
    EXPECT_TRUE(says(started, words)) << started;
    std::map<std::string, double> typed = printedQuantities(started);
    EXPECT_EQ(typed.count("start_contact_opened_s"), 0U) << started;
    EXPECT_NEAR(typed["start_circuit_in_s"] / typed["end_s"], 1, 0.001) << started;
    EXPECT_NEAR(own["start_circuit_in_s"] / typed["end_s"], 1, 0.001);
    const std::string judged =
        typedAtPrompt("ss_case start.cir\nss_ratings\necho verdict $ss_verdict", folder.path());
    EXPECT_TRUE(says(judged, words)) << judged;
    EXPECT_TRUE(says(judged, "never lets go: fail")) << judged;
    EXPECT_TRUE(says(judged, "verdict fail")) << judged;
    // The deck as it is: the arc goes out.
    folder.write("start.cir", deck);
    const std::string sound = typedAtPrompt("ss_case start.cir\nss_start", folder.path());
    EXPECT_FALSE(says(sound, words)) << sound;
}

TEST(Prompt, SweepsTheStartCapacitorAndPutsItsOwnBack)
{
    const ScratchFolder folder;
    deckOf("cheese-store.xml", folder);
    const std::string said =
        typedAtPrompt("ss_case start.cir\nss_sweep_capacitor 103 183 40\nss_start", folder.path());
    const auto rows = printedTable(said);
    std::map<std::string, double> own = printedQuantities(said);
    ASSERT_EQ(rows.size(), 3U) << said;
    // The middle one is the deck's own, 143 uF.
    const std::vector<double> expected = {143,
                                          own["time_to_speed_s"],
                                          own["start_contact_opened_s"],
                                          own["speed_at_opening_ratio"],
                                          own["start_capacitor_worst_v"],
                                          own["line_stalled_a"]};
    for (std::size_t i = 0; i < expected.size(); ++i) {
        EXPECT_NEAR(rows[1].at(i) / expected[i], 1, 1e-4) << i << said;
    }
    // More microfarads, more torque: sooner up to speed.
    EXPECT_GT(rows[0][1], rows[1][1]);
    EXPECT_GT(rows[1][1], rows[2][1]);
    for (const char* wrong : {"0 80 20", "80 40 10", "80 120 0", "80 high 20", "1 900 1"}) {
        const std::string refused = typedAtPrompt(
            std::string("ss_case start.cir\nss_sweep_capacitor ") + wrong, folder.path());
        EXPECT_TRUE(printedTable(refused).empty()) << wrong << refused;
        EXPECT_TRUE(says(refused, "microfarads above 0") || says(refused, "at most 200"))
            << refused;
    }
}

TEST(Prompt, DrawsThePhaseShiftAndReleasesTheShaft)
{
    const ScratchFolder folder;
    deckOf("cheese-store.xml", folder);
    const std::string said = typedAtPrompt(
        "ss_case start.cir\nss_phase_shift 100 200 50 shift.svg\nss_start", folder.path());
    EXPECT_EQ(printedTable(said).size(), 3U) << said;
    EXPECT_TRUE(says(fileText(folder.path() / "shift.svg"), "<svg")) << said;
    EXPECT_GT(printedQuantities(said)["speed_at_end_ratio"], 0.9) << said;
}

TEST(Prompt, SaysWhenThereIsNoStartCapacitor)
{
    const ScratchFolder folder;
    deckOf("circuits/psc-ptc.xml", folder);
    for (const char* command : {"ss_sweep_capacitor 80 120 20", "ss_phase_shift 80 120 20"}) {
        const std::string said =
            typedAtPrompt(std::string("ss_case start.cir\n") + command, folder.path());
        EXPECT_TRUE(says(said, "this deck has no start capacitor")) << said;
    }
}

}  // namespace

}  // namespace splitstart
