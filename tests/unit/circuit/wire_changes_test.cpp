// What is found against what is wanted. Which circuits are the same is circuit theory: a network is
// given by which terminals are one node, and a two-terminal part without a direction may be turned.
#include "circuit/wire_changes.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <random>
#include <stdexcept>
#include <string>
#include <vector>

#include "unit/circuit/circuit_fixture.h"
#include "unit/circuit/random_wires.h"

namespace splitstart
{
namespace
{

using Route = std::initializer_list<std::pair<const char*, const char*>>;

Circuit wired(Circuit circuit, Route wires)
{
    circuit.wires.clear();
    for (const auto& [from, to] : wires) {
        circuit = withWire(std::move(circuit), from, to);
    }
    return circuit;
}

// Every wire end on one terminal put on the other, and the other way round.
Circuit withEndsExchanged(Circuit circuit, std::string_view a, std::string_view b)
{
    for (Wire& wire : circuit.wires) {
        for (Terminal* end : {&wire.from, &wire.to}) {
            if (*end == terminalOf(a)) {
                *end = terminalOf(b);
            } else if (*end == terminalOf(b)) {
                *end = terminalOf(a);
            }
        }
    }
    return circuit;
}

Circuit withEndMoved(Circuit circuit, std::size_t wire, bool firstEnd, const Terminal& to)
{
    (firstEnd ? circuit.wires[wire].from : circuit.wires[wire].to) = to;
    return circuit;
}

std::vector<Terminal> terminalsOf(const Circuit& circuit)
{
    std::vector<Terminal> terminals;
    for (const CircuitPart& part : circuit.parts) {
        for (const std::string_view name : partKindInfo(part.kind).terminals) {
            terminals.push_back({part.id, std::string(name)});
        }
    }
    return terminals;
}

std::size_t endMoves(const WireComparison& comparison)
{
    return static_cast<std::size_t>(
        std::count_if(comparison.moves.begin(), comparison.moves.end(),
                      [](const WireMove& move) { return move.change == WireChange::moveEnd; }));
}

std::string sentences(const WireComparison& comparison)
{
    std::string text;
    for (const WireMove& move : comparison.moves) {
        text += moveSentence(move) + '\n';
    }
    return text;
}

// The circuit with a potential relay, start and run capacitor, in which each pin of the compressor
// has one wire: the coil's goes to the protector, which is the same point.
Circuit threeLeads()
{
    Circuit circuit = standardCircuit("cscr-potential-relay");
    circuit = withoutWire(circuit, "relay.5", "compressor.C");
    return withWire(circuit, "relay.5", "protector.3");
}

void expectPutRight(const Circuit& wanted, const Circuit& found, std::size_t moves)
{
    const WireComparison comparison = compareWiring(wanted, found);
    EXPECT_EQ(comparison.moves.size(), moves) << sentences(comparison);
    EXPECT_EQ(endMoves(comparison), moves) << sentences(comparison);
    EXPECT_TRUE(sameConnections(wanted, withMoves(found, comparison.moves)))
        << sentences(comparison);
    EXPECT_EQ(comparison.moves.empty(), sameConnections(wanted, found));
}

TEST(SameConnections, HoldForEveryStandardCircuitAndItself)
{
    for (const Circuit& circuit : standardCircuits()) {
        EXPECT_TRUE(sameConnections(circuit, circuit)) << circuit.description;
        EXPECT_TRUE(compareWiring(circuit, circuit).moves.empty());
        EXPECT_FALSE(compareWiring(circuit, circuit).linesExchanged);
    }
}

TEST(SameConnections, DoNotDependOnTheRouteOfTheWires)
{
    const Circuit wanted = standardCircuit("cscr-potential-relay");
    EXPECT_TRUE(sameConnections(wanted, threeLeads()));
    // The line side as a chain from part to part instead of a star, some of it twice.
    Circuit chain = wanted;
    const char* const line[] = {"compressor.R", "run-capacitor.A", "start-capacitor.A",
                                "fan.A",        "fan-capacitor.A", "capacitor-fan.R"};
    std::erase_if(chain.wires, [](const Wire& wire) {
        return wire.from == terminalOf("thermostat.2") || wire.to == terminalOf("thermostat.2");
    });
    std::string last = "thermostat.2";
    for (const char* next : line) {
        chain = withWire(chain, next, last);
        last = next;
    }
    EXPECT_TRUE(sameConnections(wanted, chain));
    EXPECT_TRUE(sameConnections(wanted, withWire(chain, "fan.A", "thermostat.2")));
    EXPECT_FALSE(sameConnections(wanted, withoutWire(chain, chain.wires.size() - 2)));
}

TEST(SameConnections, HoldForPartsThatAreTurnedRound)
{
    const Circuit wanted = standardCircuit("cscr-potential-relay");
    for (const auto& [a, b] : std::initializer_list<std::pair<const char*, const char*>>{
             {"run-capacitor.A", "run-capacitor.B"},
             {"start-capacitor.A", "start-capacitor.B"},
             {"fan-capacitor.A", "fan-capacitor.B"},
             {"fan.A", "fan.B"},
             {"thermostat.1", "thermostat.2"},
             {"protector.1", "protector.3"},
             {"contactor.L1", "contactor.T1"},
             {"contactor.L2", "contactor.T2"},
             {"supply.L1", "supply.L2"}}) {
        const Circuit turned = withEndsExchanged(wanted, a, b);
        EXPECT_TRUE(sameConnections(wanted, turned)) << a;
        EXPECT_TRUE(compareWiring(wanted, turned).moves.empty()) << a;
        EXPECT_EQ(compareWiring(wanted, turned).linesExchanged, a == std::string("supply.L1"));
    }
    EXPECT_TRUE(sameConnections(standardCircuit("rsir-ptc"),
                                withEndsExchanged(standardCircuit("rsir-ptc"), "ptc.A", "ptc.B")));
    const Circuit shaft = standardCircuit("rsir-centrifugal-switch");
    EXPECT_TRUE(
        sameConnections(shaft, withEndsExchanged(shaft, "start-switch.1", "start-switch.2")));
}

TEST(SameConnections, DoNotHoldForPartsWithADirection)
{
    const Circuit wanted = standardCircuit("cscr-potential-relay");
    for (const auto& [a, b] : std::initializer_list<std::pair<const char*, const char*>>{
             {"relay.1", "relay.2"},
             {"relay.2", "relay.5"},
             {"compressor.S", "compressor.R"},
             {"compressor.C", "compressor.R"},
             {"compressor.C", "compressor.S"},
             {"capacitor-fan.S", "capacitor-fan.R"}}) {
        EXPECT_FALSE(sameConnections(wanted, withEndsExchanged(wanted, a, b))) << a << ' ' << b;
    }
    const Circuit dual = withDualCapacitor(wanted, "run-capacitor", "fan-capacitor", "can");
    EXPECT_FALSE(sameConnections(dual, withEndsExchanged(dual, "can.HERM", "can.FAN")));
    EXPECT_FALSE(sameConnections(dual, wanted));  // not the same parts
}

// Behind both poles nothing tells them apart. With crankcase heat C and the run capacitor are on
// the lines ahead of it, and the pole that opens must be the one in the lead to R.
TEST(SameConnections, HoldForExchangedPolesOnlyWhereAllIsBehindThem)
{
    const auto exchanged = [](const Circuit& circuit) {
        return withEndsExchanged(withEndsExchanged(circuit, "contactor.L1", "contactor.L2"),
                                 "contactor.T1", "contactor.T2");
    };
    const Circuit plain = standardCircuit("cscr-potential-relay");
    EXPECT_TRUE(sameConnections(plain, exchanged(plain)));
    const Circuit heated = standardCircuit("cscr-crankcase-heat");
    EXPECT_FALSE(sameConnections(heated, exchanged(heated)));
}

TEST(SameConnections, TakeATiePostAsAJointAndNothingElse)
{
    const Circuit wanted = standardCircuit("cscr-potential-relay");
    Circuit tied = withoutWire(wanted, "thermostat.2", "start-capacitor.A");
    EXPECT_FALSE(sameConnections(wanted, tied));
    tied = withWire(tied, "thermostat.2", "relay.4");
    EXPECT_FALSE(sameConnections(wanted, tied));
    tied = withWire(tied, "relay.4", "start-capacitor.A");
    EXPECT_TRUE(sameConnections(wanted, tied));
    // By way of both posts.
    tied = withoutWire(tied, "relay.4", "start-capacitor.A");
    tied = withWire(withWire(tied, "relay.4", "relay.6"), "relay.6", "start-capacitor.A");
    EXPECT_TRUE(sameConnections(wanted, tied));
    EXPECT_TRUE(sameConnections(tied, wanted));
    EXPECT_TRUE(sameConnections(wanted, withWire(wanted, "relay.4", "relay.6")));
    EXPECT_FALSE(sameConnections(wanted, withWire(tied, "relay.4", "supply.L2")));
}

TEST(CompareWiring, PutsEveryPermutationOfTheThreeLeadsRight)
{
    const Circuit wanted = standardCircuit("cscr-potential-relay");
    const std::array<std::string, 3> pins = {"compressor.C", "compressor.R", "compressor.S"};
    std::array<std::size_t, 3> order = {0, 1, 2};
    do {
        Circuit found = threeLeads();
        for (Wire& wire : found.wires) {
            for (Terminal* end : {&wire.from, &wire.to}) {
                for (std::size_t i = 0; i < pins.size(); ++i) {
                    if (*end == terminalOf(pins[i])) {
                        *end = terminalOf(pins[order[i]]);
                        break;
                    }
                }
            }
        }
        std::size_t wrong = 0;
        for (std::size_t i = 0; i < order.size(); ++i) {
            wrong += order[i] != i ? 1U : 0U;
        }
        // One lead for each pin that has the wrong one: an exchange is two, a rotation three.
        expectPutRight(wanted, found, wrong);
        const WireComparison comparison = compareWiring(wanted, found);
        EXPECT_EQ(comparison.exchanges.size(), wrong == 2 ? 1U : 0U);
        for (const WireMove& move : comparison.moves) {
            EXPECT_EQ(move.from.part, "compressor") << moveSentence(move);
            EXPECT_EQ(move.to.part, "compressor") << moveSentence(move);
        }
    } while (std::next_permutation(order.begin(), order.end()));
}

TEST(CompareWiring, SaysThatTwoLeadsAreExchanged)
{
    const Circuit wanted = standardCircuit("cscr-potential-relay");
    const Circuit found = withEndsExchanged(wanted, "compressor.S", "compressor.R");
    const WireComparison comparison = compareWiring(wanted, found);
    ASSERT_EQ(comparison.exchanges.size(), 1U);
    const auto [one, other] = comparison.exchanges[0];
    const std::string words = exchangeSentence(comparison.moves[one], comparison.moves[other]);
    EXPECT_TRUE(words ==
                    "The wire ends on compressor.R (from relay.2) and on compressor.S (from "
                    "thermostat.2) are exchanged: change them over." ||
                words ==
                    "The wire ends on compressor.S (from thermostat.2) and on compressor.R "
                    "(from relay.2) are exchanged: change them over.")
        << words;
    const std::string text = sentences(comparison);
    EXPECT_NE(
        text.find("Take the wire that comes from relay.2 off compressor.R and put that end on "
                  "compressor.S.\n"),
        std::string::npos)
        << text;
    ASSERT_EQ(comparison.joined.size(), 2U);
    ASSERT_EQ(comparison.apart.size(), 2U);
    const std::vector<std::string> joined = {joinedSentence(comparison.joined[0]),
                                             joinedSentence(comparison.joined[1])};
    EXPECT_NE(std::find(joined.begin(), joined.end(),
                        "Joined, but should be apart: compressor.R from relay.2, run-capacitor.B."),
              joined.end())
        << joined[0] << joined[1];
}

// Contact 1-2 the wrong way round: the start capacitor lands on S and the rest of S behind the
// contact. Three wire ends lie on the two terminals, each on the wrong one.
TEST(CompareWiring, PutsRelayTerminalsOneAndTwoRight)
{
    const Circuit wanted = standardCircuit("cscr-potential-relay");
    expectPutRight(wanted, withEndsExchanged(wanted, "relay.1", "relay.2"), 3);
}

TEST(CompareWiring, PutsACoilOnTheRunPinRight)
{
    const Circuit wanted = standardCircuit("cscr-potential-relay");
    Circuit found = withoutWire(wanted, "relay.5", "compressor.C");
    found = withWire(found, "relay.5", "compressor.R");
    const WireComparison comparison = compareWiring(wanted, found);
    ASSERT_EQ(comparison.moves.size(), 1U);
    EXPECT_EQ(moveSentence(comparison.moves[0]),
              "Take the wire that comes from relay.5 off compressor.R and put that end on "
              "compressor.C.");
    ASSERT_EQ(comparison.joined.size(), 1U);
    ASSERT_EQ(comparison.apart.size(), 1U);
    EXPECT_EQ(apartSentence(comparison.apart[0]),
              "Apart, but should be joined: relay.5 with protector.3, compressor.C.");
}

TEST(CompareWiring, AddsAMissingWireAndTakesOutOneTooMany)
{
    const Circuit wanted = standardCircuit("csir-current-relay");
    for (std::size_t i = 0; i < wanted.wires.size(); ++i) {
        const Circuit found = withoutWire(wanted, i);
        const WireComparison comparison = compareWiring(wanted, found);
        ASSERT_EQ(comparison.moves.size(), 1U);
        EXPECT_EQ(comparison.moves[0].change, WireChange::add);
        const Wire& missing = wanted.wires[i];
        const Wire& added = comparison.moves[0].wire;
        EXPECT_EQ(std::minmax(missing.from, missing.to), std::minmax(added.from, added.to));
    }
    const WireComparison more =
        compareWiring(wanted, withWire(wanted, "compressor.S", "compressor.R"));
    ASSERT_EQ(more.moves.size(), 1U);
    EXPECT_EQ(moveSentence(more.moves[0]),
              "Take out the wire between compressor.S and compressor.R.");
}

// Each end of each wire on each other terminal.
TEST(CompareWiring, PutsEverySingleMistakeRightByOneMove)
{
    for (const char* file : {"csir-current-relay", "cscr-potential-relay"}) {
        const Circuit wanted = standardCircuit(file);
        int mistakes = 0;
        int harmless = 0;
        for (std::size_t wire = 0; wire < wanted.wires.size(); ++wire) {
            for (const bool firstEnd : {true, false}) {
                for (const Terminal& to : terminalsOf(wanted)) {
                    const Circuit found = withEndMoved(wanted, wire, firstEnd, to);
                    if (found.wires[wire].from == found.wires[wire].to) {
                        continue;
                    }
                    const bool same = sameConnections(wanted, found);
                    expectPutRight(wanted, found, same ? 0 : 1);
                    ++mistakes;
                    harmless += same ? 1 : 0;
                    if (HasFailure()) {
                        FAIL() << file << ": " << terminalText(wanted.wires[wire].from) << " = "
                               << terminalText(wanted.wires[wire].to) << " to " << terminalText(to);
                    }
                }
            }
        }
        EXPECT_GT(mistakes, 500);
        EXPECT_GT(harmless, 10);
        EXPECT_LT(harmless, mistakes / 4);
    }
}

// All circuits that one change of a wire can make, of some that some changes made.
std::vector<Circuit> neighbours(const Circuit& circuit)
{
    std::vector<Circuit> all;
    const std::vector<Terminal> terminals = terminalsOf(circuit);
    for (std::size_t wire = 0; wire < circuit.wires.size(); ++wire) {
        all.push_back(withoutWire(circuit, wire));
        for (const Terminal& to : terminals) {
            for (const bool firstEnd : {true, false}) {
                Circuit moved = withEndMoved(circuit, wire, firstEnd, to);
                if (moved.wires[wire].from != moved.wires[wire].to) {
                    all.push_back(std::move(moved));
                }
            }
        }
    }
    for (std::size_t i = 0; i < terminals.size(); ++i) {
        for (std::size_t j = 0; j < i; ++j) {
            all.push_back(circuit);
            all.back().wires.push_back({terminals[i], terminals[j]});
        }
    }
    return all;
}

// A relay and a compressor on the line, small enough to try all that two changes can do.
Circuit smallCircuit()
{
    Circuit circuit;
    circuit.parts = {{"supply", PartKind::supply, false},
                     {"relay", PartKind::potentialRelay, false},
                     {"compressor", PartKind::compressor, false}};
    return wired(std::move(circuit), {{"supply.L1", "compressor.R"},
                                      {"supply.L1", "relay.1"},
                                      {"relay.2", "compressor.S"},
                                      {"relay.5", "compressor.C"},
                                      {"compressor.C", "supply.L2"}});
}

TEST(CompareWiring, FindsNoMoreMovesThanTryingAllThatOneOrTwoChangesCanDo)
{
    const Circuit wanted = smallCircuit();
    std::mt19937 random(31);
    const std::vector<Terminal> terminals = terminalsOf(wanted);
    std::uniform_int_distribution<std::size_t> any(0, terminals.size() - 1);
    std::array<int, 4> seen = {0, 0, 0, 0};
    for (int run = 0; run < 60; ++run) {
        Circuit found = wanted;
        for (int mistake = 0; mistake < 1 + run % 4; ++mistake) {
            const Wire wire{terminals[any(random)], terminals[any(random)]};
            const std::size_t at = any(random) % found.wires.size();
            if (wire.from != wire.to) {
                found.wires[at] = wire;
            }
        }
        const std::size_t moves = compareWiring(wanted, found).moves.size();
        const auto isRight = [&](const Circuit& each) { return sameConnections(wanted, each); };
        std::size_t fewest = 0;
        if (!isRight(found)) {
            const std::vector<Circuit> one = neighbours(found);
            fewest = std::any_of(one.begin(), one.end(), isRight) ? 1 : 2;
            if (fewest == 2 && std::none_of(one.begin(), one.end(), [&](const Circuit& each) {
                    const std::vector<Circuit> two = neighbours(each);
                    return std::any_of(two.begin(), two.end(), isRight);
                })) {
                fewest = 3;
            }
        }
        EXPECT_EQ(std::min<std::size_t>(moves, 3), fewest) << run;
        ++seen[fewest];
    }
    for (const int count : seen) {
        EXPECT_GT(count, 0);
    }
}

TEST(CompareWiring, PutsAnyRandomWiringRight)
{
    std::mt19937 random(32);
    for (const char* file : {"cscr-potential-relay", "cscr-current-relay", "psc-two-wire-assist"}) {
        const Circuit wanted = standardCircuit(file);
        for (int run = 0; run < 60; ++run) {
            const Circuit found = randomlyWired(wanted, random);
            const WireComparison comparison = compareWiring(wanted, found);
            ASSERT_TRUE(sameConnections(wanted, withMoves(found, comparison.moves))) << run;
            // To take all wires out and to put those that are wanted in is always a way.
            EXPECT_LE(comparison.moves.size(), found.wires.size() + wanted.wires.size());
        }
    }
}

TEST(CompareWiring, TellsTheNetsApartThatDiffer)
{
    const Circuit wanted = standardCircuit("psc");
    std::mt19937 random(33);
    const std::vector<Terminal> terminals = terminalsOf(wanted);
    std::uniform_int_distribution<std::size_t> any(0, terminals.size() - 1);
    for (int run = 0; run < 100; ++run) {
        const Circuit found = withEndMoved(wanted, any(random) % wanted.wires.size(), run % 2 == 0,
                                           terminals[any(random)]);
        const bool selfWire = std::any_of(found.wires.begin(), found.wires.end(),
                                          [](const Wire& wire) { return wire.from == wire.to; });
        if (selfWire) {
            continue;
        }
        const WireComparison comparison = compareWiring(wanted, found);
        EXPECT_EQ(comparison.joined.empty() && comparison.apart.empty(),
                  sameConnections(wanted, found));
        const Nets nets(found);
        for (const NetDifference& difference : comparison.joined) {
            EXPECT_GE(difference.groups.size(), 2U);
            EXPECT_EQ(nets.of(difference.groups[0][0]), nets.of(difference.groups[1][0]));
        }
        for (const NetDifference& difference : comparison.apart) {
            EXPECT_NE(nets.of(difference.groups[0][0]), nets.of(difference.groups[1][0]));
        }
    }
}

TEST(CompareWiring, RefusesCircuitsOfOtherParts)
{
    EXPECT_THROW(compareWiring(standardCircuit("psc"), standardCircuit("rsir-ptc")),
                 std::invalid_argument);
    EXPECT_THROW(compareWiring(smallCircuit(), withWire(smallCircuit(), "relay.9", "relay.1")),
                 std::out_of_range);
}

TEST(WithMoves, RefuseAWireThatIsNotThere)
{
    const Wire wire{terminalOf("relay.1"), terminalOf("compressor.C")};
    EXPECT_THROW(withMoves(smallCircuit(), {{WireChange::remove, wire, {}, {}}}),
                 std::invalid_argument);
    const Wire there{terminalOf("relay.5"), terminalOf("compressor.C")};
    EXPECT_THROW(withMoves(smallCircuit(), {{WireChange::moveEnd, there, terminalOf("relay.1"),
                                             terminalOf("relay.2")}}),
                 std::invalid_argument);
}

}  // namespace
}  // namespace splitstart
