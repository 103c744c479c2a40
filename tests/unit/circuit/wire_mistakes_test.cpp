// All single mistakes of wiring: none forgotten, none twice, each no more than one slip away.
#include "circuit/wire_mistakes.h"

#include <gtest/gtest.h>

#include <map>
#include <random>
#include <set>

#include "circuit/wire_changes.h"
#include "unit/circuit/circuit_fixture.h"
#include "unit/circuit/random_wires.h"

namespace splitstart
{

namespace
{

const std::vector<std::string> mainCircuits = {"cscr-potential-relay", "csir-current-relay"};

bool hasWay(const WireMistake& mistake, WireMistakeKind kind)
{
    return std::any_of(mistake.ways.begin(), mistake.ways.end(),
                       [kind](const MistakeWay& way) { return way.kind == kind; });
}

const WireMistake* mistakeBy(const std::vector<WireMistake>& mistakes, std::string_view way)
{
    for (const WireMistake& mistake : mistakes) {
        for (const MistakeWay& each : mistake.ways) {
            if (each.text == way) {
                return &mistake;
            }
        }
    }
    return nullptr;
}

}  // namespace

// The second opinion is compareWiring(), which knows nothing of the list: it finds the fewest
// changes by matching.
TEST(WireMistakes, AreEachPutRightByOneSlip)
{
    for (const std::string& name : mainCircuits) {
        const Circuit circuit = standardCircuit(name);
        for (const WireMistake& mistake : wireMistakes(circuit)) {
            SCOPED_TRACE(name + ": " + mistake.ways.front().text);
            const WireComparison comparison = compareWiring(circuit, mistake.circuit);
            const bool oneEnd = hasWay(mistake, WireMistakeKind::movedEnd) ||
                                hasWay(mistake, WireMistakeKind::missingWire) ||
                                hasWay(mistake, WireMistakeKind::extraWire);
            EXPECT_GE(comparison.moves.size(), 1U);
            if (oneEnd) {
                EXPECT_EQ(comparison.moves.size(), 1U);
            } else if (hasWay(mistake, WireMistakeKind::exchangedEnds)) {
                EXPECT_LE(comparison.moves.size(), 2U);
            }
        }
    }
}

// Each wire end put anywhere, two ends exchanged, a wire more or less, done here by hand: the
// result is the circuit itself or one of the list.
TEST(WireMistakes, HoldWhateverOneSlipCanDo)
{
    std::mt19937 random(11);
    for (const std::string& name : mainCircuits) {
        const Circuit circuit = standardCircuit(name);
        std::set<std::string> listed = {connectionText(circuit)};
        for (const WireMistake& mistake : wireMistakes(circuit)) {
            listed.insert(connectionText(mistake.circuit));
        }
        std::vector<Terminal> terminals;
        for (const CircuitPart& part : circuit.parts) {
            const auto& posts = partKindInfo(part.kind).tiePosts;
            for (const std::string_view terminal : partKindInfo(part.kind).terminals) {
                if (std::find(posts.begin(), posts.end(), terminal) == posts.end()) {
                    terminals.push_back({part.id, std::string(terminal)});
                }
            }
        }
        const auto any = [&random](std::size_t count) {
            return std::uniform_int_distribution<std::size_t>(0, count - 1)(random);
        };
        for (int i = 0; i < 2000; ++i) {
            Circuit slipped = circuit;
            Wire& wire = slipped.wires[any(slipped.wires.size())];
            Terminal& end = any(2) == 0 ? wire.from : wire.to;
            const std::size_t slip = any(4);
            if (slip == 0) {
                end = terminals[any(terminals.size())];
            } else if (slip == 1) {
                Wire& other = slipped.wires[any(slipped.wires.size())];
                std::swap(end, any(2) == 0 ? other.from : other.to);
            } else if (slip == 2) {
                slipped.wires.push_back(
                    {terminals[any(terminals.size())], terminals[any(terminals.size())]});
            } else {
                slipped.wires.pop_back();
            }
            const bool makesSense =
                std::all_of(slipped.wires.begin(), slipped.wires.end(),
                            [](const Wire& each) { return each.from != each.to; });
            if (makesSense) {
                EXPECT_EQ(listed.count(connectionText(slipped)), 1U)
                    << name << " slip " << slip << "\n"
                    << connectionText(slipped);
            }
        }
    }
}

TEST(WireMistakes, HoldTheFiveOtherLandingsOfEveryCompressor)
{
    for (const Circuit& circuit : standardCircuits()) {
        std::set<std::pair<std::string, std::string>> leads;
        std::size_t landings = 0;
        for (const WireMistake& mistake : wireMistakes(circuit)) {
            if (mistake.ways.front().kind == WireMistakeKind::exchangedPins) {
                ++landings;
                leads.insert({mistake.commonLeadOn, mistake.startLeadOn});
                EXPECT_NE(mistake.commonLeadOn, mistake.startLeadOn);
            }
        }
        // Where a start device joins two windings alike, two landings can be one.
        EXPECT_GE(landings, 4U) << circuit.description;
        EXPECT_EQ(leads.size(), landings) << circuit.description;
        EXPECT_EQ(leads.count({"C", "S"}), 0U);
    }
}

// Where the clamp meter around the wire meant for S finds itself.
TEST(WireMistakes, FollowTheWiresMeantForTheirPins)
{
    const std::vector<WireMistake> mistakes = wireMistakes(standardCircuit("cscr-potential-relay"));
    const auto startLead = [&mistakes](const char* way) {
        const WireMistake* const mistake = mistakeBy(mistakes, way);
        return mistake == nullptr ? "no such slip" : mistake->startLeadOn;
    };
    EXPECT_EQ(startLead("the wires of S and R are exchanged at the compressor"), "R");
    EXPECT_EQ(startLead("the wire between relay.2 and compressor.S is missing, loose or broken"),
              leadOff);
    // At the relay it is on another terminal; its other end is still on S.
    EXPECT_EQ(startLead("the wire from compressor.S is on relay.1 in place of relay.2"), "S");
    // On no pin, or beside another wire: its amps are not those of a pin.
    EXPECT_EQ(startLead("the wire from relay.2 is on supply.L2 in place of compressor.S"), "");
    EXPECT_EQ(startLead("the wire from relay.2 is on compressor.R in place of compressor.S"), "");
}

TEST(WireMistakes, AreDifferentFromOneAnotherAndFromTheCircuit)
{
    // The fan's parts are as good as absent; without them the pairs are few enough.
    Circuit circuit = standardCircuit("csir-current-relay");
    for (const char* part : {"fan", "capacitor-fan", "fan-capacitor"}) {
        circuit = withoutPart(circuit, part);
    }
    circuit = withPartBridged(circuit, "contactor");
    const std::vector<WireMistake> mistakes = wireMistakes(circuit);
    for (std::size_t i = 0; i < mistakes.size(); ++i) {
        EXPECT_FALSE(sameConnections(circuit, mistakes[i].circuit)) << mistakes[i].ways[0].text;
        for (std::size_t j = i + 1; j < mistakes.size(); ++j) {
            const bool sameLeads = mistakes[i].commonLeadOn == mistakes[j].commonLeadOn &&
                                   mistakes[i].startLeadOn == mistakes[j].startLeadOn;
            EXPECT_FALSE(sameLeads && sameConnections(mistakes[j].circuit, mistakes[i].circuit))
                << mistakes[i].ways[0].text << "\n"
                << mistakes[j].ways[0].text;
        }
    }
}

// Named as people name them; the relay's terminals by their numbers.
TEST(WireMistakes, NameTheWiresAndTheirTerminals)
{
    const std::vector<WireMistake> mistakes = wireMistakes(standardCircuit("cscr-potential-relay"));
    const WireMistake* const onRun =
        mistakeBy(mistakes, "the wire from relay.5 is on compressor.R in place of compressor.C");
    ASSERT_NE(onRun, nullptr);
    EXPECT_TRUE(connected(onRun->circuit, "relay.5", "thermostat.2"));
    EXPECT_FALSE(connected(onRun->circuit, "relay.5", "compressor.C"));
    const WireMistake* const crossed =
        mistakeBy(mistakes, "what belongs on relay.1 and on relay.2 is exchanged");
    ASSERT_NE(crossed, nullptr);
    EXPECT_TRUE(connected(crossed->circuit, "relay.1", "compressor.S"));
    EXPECT_TRUE(connected(crossed->circuit, "relay.2", "start-capacitor.B"));
    EXPECT_NE(mistakeBy(mistakes,
                        "the wire between relay.5 and compressor.C is missing, loose or "
                        "broken"),
              nullptr);
    EXPECT_NE(mistakeBy(mistakes,
                        "compressor.C and compressor.S touch or have a wire too many between them"),
              nullptr);
    // A capacitor has no right way round.
    EXPECT_EQ(
        mistakeBy(mistakes, "what belongs on run-capacitor.A and on run-capacitor.B is exchanged"),
        nullptr);
}

TEST(ConnectionText, IsTheSameOnlyForTheSameConnections)
{
    std::mt19937 random(3);
    const Circuit circuit = standardCircuit("rsir-centrifugal-switch");
    std::map<std::string, Circuit> seen;
    for (int i = 0; i < 3000; ++i) {
        const Circuit wired = randomlyWired(circuit, random);
        const auto [place, isNew] = seen.emplace(connectionText(wired), wired);
        if (!isNew) {
            EXPECT_TRUE(sameConnections(place->second, wired));
        }
    }
    EXPECT_GT(seen.size(), 100U);
}

TEST(ConnectionText, DoesNotSeeTheRouteOfWiresNorWhichSideOfACapacitor)
{
    const Circuit circuit = standardCircuit("cscr-potential-relay");
    Circuit other = circuit;
    for (Wire& wire : other.wires) {
        std::swap(wire.from, wire.to);
        for (Terminal* end : {&wire.from, &wire.to}) {
            if (end->part == "run-capacitor") {
                end->name = end->name == "A" ? "B" : "A";
            }
        }
        if (wire.from == Terminal{"start-capacitor", "A"} &&
            wire.to == Terminal{"thermostat", "2"}) {
            wire.to = {"compressor", "R"};
        }
    }
    EXPECT_EQ(connectionText(other), connectionText(circuit));
    other.wires.pop_back();
    EXPECT_NE(connectionText(other), connectionText(circuit));
}

}  // namespace splitstart
