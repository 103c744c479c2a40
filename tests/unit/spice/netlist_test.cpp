#include "spice/netlist.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <bit>
#include <charconv>
#include <cmath>
#include <cstdint>
#include <limits>
#include <locale>
#include <map>
#include <numbers>
#include <random>
#include <regex>
#include <set>
#include <stdexcept>
#include <string>

#include "spice/model_library.h"
#include "unit/spice/deck_fixture.h"

namespace splitstart
{

namespace
{

double readBack(const std::string& text)
{
    double value = 0;
    const auto result = std::from_chars(text.data(), text.data() + text.size(), value);
    EXPECT_EQ(result.ec, std::errc{}) << text;
    EXPECT_EQ(result.ptr, text.data() + text.size()) << text;
    return value;
}

// Digits, at most one point, at most one exponent: nothing that SPICE could take for a suffix.
void expectPlain(double value)
{
    static const std::regex plain(R"(-?[0-9]+(\.[0-9]+)?(e[+-]?[0-9]+)?)");
    const std::string text = spiceNumber(value);
    EXPECT_TRUE(std::regex_match(text, plain)) << text;
    EXPECT_EQ(std::bit_cast<std::uint64_t>(readBack(text)), std::bit_cast<std::uint64_t>(value))
        << text;
}

// What C++ writes as 1.234,5 in this locale.
struct CommaPunctuation : std::numpunct<char> {
    char do_decimal_point() const override { return ','; }
    char do_thousands_sep() const override { return '.'; }
    std::string do_grouping() const override { return "\3"; }
};

class CommaLocale
{
public:
    CommaLocale() : old_(std::locale::global(std::locale(std::locale(), new CommaPunctuation))) {}
    ~CommaLocale() { std::locale::global(old_); }
    CommaLocale(const CommaLocale&) = delete;
    CommaLocale& operator=(const CommaLocale&) = delete;

private:
    std::locale old_;
};

constexpr const char* hostile =
    "store\n*#shell rm -rf .\r\n.control\nshell date\n.endc `date` $(date) ; echo \"x\" "
    "{2+2} 'a' \x1b[2J \xC3\xA9\xFF <|&> ~!@#^ \t end";

SimulationModel coldStoreModel()
{
    return modelOf(coldStoreCase(), coldStoreMotor(), {});
}

// The first instance of the model, spoilt.
SimulationModel spoilt(void (*spoil)(SubcircuitInstance&))
{
    SimulationModel model = coldStoreModel();
    spoil(model.instances.front());
    return model;
}

}  // namespace

TEST(SpiceNumber, ReadsBackAsTheSameDoubleWhateverItsBits)
{
    std::mt19937_64 random(30);
    for (int i = 0; i < 20000; ++i) {
        const auto value = std::bit_cast<double>(random());
        if (std::isfinite(value)) {
            expectPlain(value);
        }
    }
}

TEST(SpiceNumber, ReadsBackAtTheEndsOfTheRange)
{
    using Limits = std::numeric_limits<double>;
    for (const double value :
         {0.0, -0.0, Limits::denorm_min(), -Limits::denorm_min(), Limits::min(),
          std::nextafter(Limits::min(), 0.0), Limits::max(), -Limits::max(), 0.1, 1.0 / 3, 1e15,
          1e16, 1e21, 1e22, 123456789.0, 130e-6, 5e-324}) {
        expectPlain(value);
    }
}

TEST(SpiceNumber, DoesNotDependOnTheLocale)
{
    const CommaLocale comma;
    ASSERT_EQ(fmt::format(std::locale(), "{:Lg}", 0.5), "0,5");
    EXPECT_EQ(spiceNumber(0.5), "0.5");
    EXPECT_EQ(spiceNumber(1234567.5), "1234567.5");
}

TEST(SpiceNumber, RefusesWhatIsNotFinite)
{
    EXPECT_THROW(spiceNumber(std::numeric_limits<double>::infinity()), std::logic_error);
    EXPECT_THROW(spiceNumber(-std::numeric_limits<double>::infinity()), std::logic_error);
    EXPECT_THROW(spiceNumber(std::numeric_limits<double>::quiet_NaN()), std::logic_error);
}

TEST(CommentText, KeepsProseAsItIs)
{
    const std::string prose = "Relay 2 (pick-up 195.5 V, 40/90 %): closed = yes_no";
    EXPECT_EQ(commentText(prose), prose);
}

TEST(CommentText, LeavesNothingThatNgspiceCouldActOn)
{
    const std::string text = commentText(hostile);
    for (const char c : text) {
        EXPECT_TRUE(c >= ' ' && c <= '~') << text;  // one line, printable ASCII
    }
    for (const char bad : std::string_view(";`$#*{}'\"<>|&!\\@^~")) {
        EXPECT_EQ(text.find(bad), std::string::npos) << bad << " in " << text;
    }
}

TEST(CommentText, IsPrintableAsciiForEveryByte)
{
    for (int byte = 0; byte < 256; ++byte) {
        const std::string one(1, static_cast<char>(byte));
        const std::string text = commentText(one);
        ASSERT_EQ(text.size(), 1U);
        EXPECT_TRUE(text[0] >= ' ' && text[0] <= '~') << byte;
    }
}

TEST(CommentText, IsShortenedToTwoHundredCharacters)
{
    EXPECT_EQ(commentText(std::string(199, 'a')).size(), 199U);
    EXPECT_EQ(commentText(std::string(100000, 'a')).size(), 200U);
    EXPECT_EQ(commentText(""), "");
}

TEST(WriteDeck, GivesEveryParameterOnceAsAParamLineWithItsExactValue)
{
    for (const SimulationModel& model : startModels()) {
        const DeckLines deck(writeDeck(model, {}, {"t", {}, false}));
        std::size_t count = 0;
        for (const SubcircuitInstance& instance : model.instances) {
            for (const auto& [name, value] : instance.parameters) {
                const std::string full = instance.name + "_" + name;
                ASSERT_EQ(deck.parameters.count(full), 1U) << full;
                EXPECT_EQ(readBack(deck.parameters.find(full)->second), value) << full;
                ++count;
            }
        }
        EXPECT_EQ(deck.parameters.size(), count + 1);  // and the one of the analysis
    }
}

// What is read often is the same circuit in fewer words: the same numbers, where a person would
// look for names.
TEST(WriteDeck, WritesPlainNumbersForADeckThatIsReadOften)
{
    for (const SimulationModel& model : startModels()) {
        const DeckLines named(writeDeck(model, {}, {"t", {}, false}));
        const DeckLines plain(writeDeck(model, {}, {"t", {}, false, true}));
        EXPECT_TRUE(plain.parameters.empty());
        ASSERT_EQ(plain.instances.size(), named.instances.size());
        for (std::size_t i = 0; i < named.instances.size(); ++i) {
            ASSERT_EQ(plain.instances[i].parameters.size(), named.instances[i].parameters.size());
            for (const auto& [parameter, text] : named.instances[i].parameters) {
                const std::string name = text.substr(1, text.size() - 2);
                EXPECT_EQ(plain.instances[i].parameters.at(parameter),
                          named.parameters.find(name)->second);
            }
        }
    }
}

// Any text on the bilinear transform: the trapezoidal rule with steps h takes a sine of angular
// frequency w for one of tan(w h/2)/(h/2).
TEST(WriteDeck, MakesUpForTheStepsOfTheTrapezoidalRuleAtLineFrequency)
{
    for (const double step_s : {1e-4, 4e-4}) {
        SimulationModel model = coldStoreModel();
        model.frequency_Hz = 50;
        const DeckLines deck(
            writeDeck(model, {.end_s = 1, .largestStep_s = step_s}, {"t", {}, false}));
        const double omega = 2 * std::numbers::pi * 50;
        const double seen = std::tan(omega * step_s / 2) / (step_s / 2);
        ASSERT_EQ(deck.parameters.count("trapezoid_ratio"), 1U);
        EXPECT_NEAR(readBack(deck.parameters.find("trapezoid_ratio")->second) * seen, omega,
                    1e-9 * omega);
    }
}

TEST(WriteDeck, DefinesEveryNameThatAnInstanceRefersTo)
{
    for (const SimulationModel& model : startModels()) {
        const DeckLines deck(writeDeck(model, {}, {"t", {}, false}));
        ASSERT_EQ(deck.instances.size(), model.instances.size());
        std::set<std::string> used;
        for (const DeckInstance& instance : deck.instances) {
            for (const auto& [parameter, text] : instance.parameters) {
                ASSERT_TRUE(text.starts_with('{') && text.ends_with('}')) << text;
                const std::string name = text.substr(1, text.size() - 2);
                EXPECT_EQ(deck.parameters.count(name), 1U) << name;
                used.insert(name);
            }
        }
        EXPECT_EQ(used.size(), deck.parameters.size());  // and none is there for nothing
    }
}

TEST(WriteDeck, PutsEachNodeOnThePortThatTheModelSays)
{
    for (const bool held : {false, true}) {
        for (const SimulationModel& model : held ? heldModels() : startModels()) {
            const DeckLines deck(writeDeck(model, analysisOf(model), {"t", {}, false}));
            for (std::size_t i = 0; i < model.instances.size(); ++i) {
                const SubcircuitInstance& wanted = model.instances[i];
                const DeckInstance& written = deck.instances.at(i);
                const Subcircuit& definition = subcircuit(wanted.subcircuit);
                EXPECT_EQ(written.name, "x" + wanted.name);
                EXPECT_EQ(written.subcircuit, wanted.subcircuit);
                ASSERT_EQ(written.nodes.size(), definition.ports.size());
                for (std::size_t port = 0; port < definition.ports.size(); ++port) {
                    EXPECT_EQ(written.nodes[port], wanted.nodeOfPort.at(definition.ports[port]));
                }
            }
        }
    }
}

// A held-shaft deck has plain numbers, since nobody edits it.
TEST(WriteDeck, GivesExactNumbersWhenTheShaftIsHeld)
{
    for (const SimulationModel& model : heldModels()) {
        const DeckLines deck(writeDeck(model, analysisOf(model), {"t", {}, false}));
        for (std::size_t i = 0; i < model.instances.size(); ++i) {
            for (const auto& [name, value] : model.instances[i].parameters) {
                const std::string& text = deck.instances.at(i).parameters.at(name);
                const bool isName = text.starts_with('{');
                EXPECT_EQ(
                    readBack(isName ? deck.parameters.find(text.substr(1, text.size() - 2))->second
                                    : text),
                    value);
            }
        }
    }
}

TEST(WriteDeck, HoldsEachUsedSubcircuitOnceAndNoOther)
{
    for (const SimulationModel& model : startModels()) {
        const DeckLines deck(writeDeck(model, {}, {"t", {}, false}));
        std::set<std::string> wanted;
        for (const SubcircuitInstance& instance : model.instances) {
            wanted.insert(instance.subcircuit);
            for (const std::string& needed : subcircuit(instance.subcircuit).needs) {
                wanted.insert(needed);
            }
        }
        EXPECT_EQ(std::multiset<std::string>(wanted.begin(), wanted.end()), deck.subcircuits);
    }
}

// ngspice reads it faster so; a start's deck keeps the blocks, since somebody may edit its numbers.
TEST(WriteDeck, DecidesTheBlocksOfTheModelsWhereTheShaftIsHeld)
{
    const auto cardsWith = [](const SimulationModel& original,
                              const std::map<std::string, double>& values) {
        SimulationModel model = original;
        for (SubcircuitInstance& instance : model.instances) {
            for (auto& [name, value] : instance.parameters) {
                if (const auto found = values.find(name); found != values.end()) {
                    value = found->second;
                }
            }
        }
        EXPECT_EQ(deckComplaint(model, analysisOf(model), {"t", {}, false}), "");
        return DeckLines(writeDeck(model, analysisOf(model), {"t", {}, false})).cards;
    };
    const auto count = [](const std::multiset<std::string>& cards, const std::string& start) {
        return std::count_if(cards.begin(), cards.end(),
                             [&](const std::string& card) { return card.starts_with(start); });
    };
    const SimulationModel held = heldModels().front();
    const auto off = cardsWith(held, {});
    EXPECT_EQ(count(off, ".if"), 0);
    EXPECT_EQ(count(off, ".else") + count(off, ".endif"), 0);
    EXPECT_EQ(count(off, "cbarq "), 0);
    EXPECT_EQ(count(off, "bsat "), 0);
    EXPECT_EQ(count(off, "lmagq gapq c "), 1);
    const auto bar = cardsWith(held, {{"rotor_bar_ohms_ratio", 0.5}});
    EXPECT_EQ(count(bar, ".if"), 0);
    EXPECT_EQ(count(bar, "cbarq "), 1);
    EXPECT_EQ(count(bar, "bsat "), 0);
    const auto iron = cardsWith(held, {{"saturation_slope_ratio", 2}});
    EXPECT_EQ(count(iron, "cbarq "), 0);
    EXPECT_EQ(count(iron, "bsat "), 1);
    EXPECT_EQ(count(iron, "lmagq "), 1);
    EXPECT_EQ(count(iron, "lmagq magq c "), 1);
    const auto start = cardsWith(startModels().front(), {});
    EXPECT_EQ(count(start, ".if"), 2);
    EXPECT_EQ(count(start, ".else"), 1);
    EXPECT_EQ(count(start, ".endif"), 2);
    // Two motors of which one has deep bars: ngspice decides.
    SimulationModel two = held;
    for (const SubcircuitInstance& instance : held.instances) {
        if (instance.subcircuit == "split_phase_motor") {
            two.instances.push_back(instance);
            two.instances.back().name = "second";
            for (auto& [name, value] : two.instances.back().parameters) {
                value = name == "rotor_bar_ohms_ratio" ? 0.5 : value;
            }
        }
    }
    const auto both = cardsWith(two, {});
    EXPECT_EQ(count(both, ".if"), 1);
    EXPECT_EQ(count(both, ".endif"), 1);
    EXPECT_EQ(count(both, ".else"), 0);
}

TEST(WriteDeck, PassesTheSessionsDeckCheck)
{
    for (const bool held : {false, true}) {
        for (const SimulationModel& model : held ? heldModels() : startModels()) {
            EXPECT_EQ(deckComplaint(model, analysisOf(model), {"start", {"a comment"}, false}), "");
        }
    }
}

TEST(WriteDeck, MakesHostileTextHarmless)
{
    SimulationModel model = coldStoreModel();
    model.instances.front().comment = hostile;
    const DeckText text{hostile, {hostile, ".control", "*#shell date", ""}, false};
    EXPECT_EQ(deckComplaint(model, {}, text), "");
    const std::string deck = writeDeck(model, {}, text);
    const DeckLines lines(deck);
    const DeckLines plain(writeDeck(coldStoreModel(), {}, {"t", {"1", "2", "3", "4"}, false}));
    EXPECT_EQ(lines.cards, plain.cards);  // all of it is in comments
    EXPECT_EQ(lines.all.size(), plain.all.size());
    for (const std::string& line : lines.all) {
        EXPECT_FALSE(line.starts_with("*#")) << line;
        EXPECT_FALSE(line.starts_with("*ng_script")) << line;
    }
}

TEST(WriteDeck, RefusesAnInstanceThatDoesNotFitItsSubcircuit)
{
    const auto expectRefused = [](const SimulationModel& model) {
        EXPECT_THROW(writeDeck(model, {}, {"t", {}, false}), std::logic_error);
    };
    EXPECT_NO_THROW(writeDeck(coldStoreModel(), {}, {"t", {}, false}));
    expectRefused(spoilt([](SubcircuitInstance& i) { i.nodeOfPort.erase("l1"); }));
    expectRefused(spoilt([](SubcircuitInstance& i) { i.nodeOfPort["l3"] = "0"; }));
    expectRefused(spoilt([](SubcircuitInstance& i) {
        i.nodeOfPort.erase("l1");
        i.nodeOfPort["L1"] = "l1";
    }));
    expectRefused(spoilt([](SubcircuitInstance& i) { i.parameters.pop_back(); }));
    expectRefused(spoilt([](SubcircuitInstance& i) { i.parameters.emplace_back("volts", 1); }));
    expectRefused(
        spoilt([](SubcircuitInstance& i) { i.parameters.push_back(i.parameters.front()); }));
    expectRefused(spoilt([](SubcircuitInstance& i) { i.parameters.front().first = "rms"; }));
    expectRefused(spoilt([](SubcircuitInstance& i) { i.subcircuit = "no_such_model"; }));
    expectRefused(spoilt([](SubcircuitInstance& i) {
        i.parameters.front().second = std::numeric_limits<double>::quiet_NaN();
    }));
}

TEST(WriteDeck, IsTheSameTextEveryTimeAndInEveryLocale)
{
    const DeckText text{"cold store", {"comment"}, true};
    const std::string deck = writeDeck(coldStoreModel(), {}, text);
    EXPECT_EQ(writeDeck(coldStoreModel(), {}, text), deck);
    const CommaLocale comma;
    EXPECT_EQ(writeDeck(coldStoreModel(), {}, text), deck);
}

TEST(WriteDeck, AsksForTheAnalysisThatWasWanted)
{
    const SimulationModel model = coldStoreModel();
    Analysis analysis;
    analysis.end_s = 1.25;
    analysis.largestStep_s = 5e-5;
    const DeckLines start(writeDeck(model, analysis, {"t", {}, false}));
    EXPECT_EQ(start.cards.count(".tran 5e-05 1.25 0 5e-05 uic"), 1U);
    analysis.kind = Analysis::Kind::fixedFrequency;
    analysis.frequency_Hz = 50;
    const DeckLines steady(writeDeck(heldModels().front(), analysis, {"t", {}, false}));
    EXPECT_EQ(steady.cards.count(".ac lin 1 50 50"), 1U);
    EXPECT_EQ(steady.cards.count("vshaft speed 0 dc 300"), 1U);
    for (const std::string& card : start.cards) {
        EXPECT_FALSE(card.starts_with("vshaft")) << card;
    }
}

}  // namespace splitstart
