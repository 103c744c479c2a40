#include "circuit/circuit.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <random>
#include <set>
#include <stdexcept>
#include <string>
#include <vector>

#include "unit/circuit/circuit_fixture.h"

namespace splitstart
{

namespace
{

// supply - thermostat - capacitor - supply, and a run capacitor that no wire reaches.
Circuit smallCircuit()
{
    Circuit circuit;
    circuit.parts = {{"supply", PartKind::supply, false},
                     {"thermostat", PartKind::thermostat, false},
                     {"start", PartKind::startCapacitor, false},
                     {"spare", PartKind::runCapacitor, false}};
    circuit = withWire(circuit, "supply.L1", "thermostat.1");
    circuit = withWire(circuit, "thermostat.2", "start.A");
    return withWire(circuit, "start.B", "supply.L2");
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

// Warshall's transitive closure, a way of finding what is connected that shares nothing with the
// union of sets under test.
std::vector<std::vector<bool>> closure(const Circuit& circuit)
{
    const std::vector<Terminal> terminals = terminalsOf(circuit);
    const std::size_t size = terminals.size();
    std::vector<std::vector<bool>> joined(size, std::vector<bool>(size, false));
    const auto indexOf = [&terminals](const Terminal& terminal) {
        return static_cast<std::size_t>(std::find(terminals.begin(), terminals.end(), terminal) -
                                        terminals.begin());
    };
    for (std::size_t i = 0; i < size; ++i) {
        joined[i][i] = true;
    }
    for (const Wire& wire : circuit.wires) {
        joined[indexOf(wire.from)][indexOf(wire.to)] = true;
        joined[indexOf(wire.to)][indexOf(wire.from)] = true;
    }
    for (std::size_t k = 0; k < size; ++k) {
        for (std::size_t i = 0; i < size; ++i) {
            for (std::size_t j = 0; j < size; ++j) {
                joined[i][j] = joined[i][j] || (joined[i][k] && joined[k][j]);
            }
        }
    }
    return joined;
}

Circuit withRandomWires(Circuit circuit, std::mt19937& random)
{
    const std::vector<Terminal> terminals = terminalsOf(circuit);
    std::uniform_int_distribution<std::size_t> any(0, terminals.size() - 1);
    circuit.wires.clear();
    const std::size_t count = any(random);
    while (circuit.wires.size() < count) {
        const Wire wire{terminals[any(random)], terminals[any(random)]};
        if (wire.from != wire.to) {  // as the parser demands
            circuit.wires.push_back(wire);
        }
    }
    return circuit;
}

bool mentions(const std::vector<std::string>& faults, std::string_view text)
{
    return std::any_of(faults.begin(), faults.end(), [text](const std::string& fault) {
        return fault.find(text) != std::string::npos;
    });
}

}  // namespace

TEST(Nets, AreTheTerminalsThatWiresConnect)
{
    const Circuit circuit = smallCircuit();
    EXPECT_EQ(netOf(circuit, "supply.L1"), (std::set<std::string>{"supply.L1", "thermostat.1"}));
    EXPECT_EQ(netOf(circuit, "start.B"), (std::set<std::string>{"start.B", "supply.L2"}));
    EXPECT_FALSE(connected(circuit, "thermostat.1", "thermostat.2"));  // a part is no wire
}

TEST(Nets, LeaveAnUnwiredTerminalAlone)
{
    EXPECT_EQ(netOf(smallCircuit(), "spare.A"), std::set<std::string>{"spare.A"});
}

TEST(Nets, HoldEveryTerminalExactlyOnce)
{
    for (const Circuit& circuit : standardCircuits()) {
        const Nets nets(circuit);
        std::multiset<std::string> inNets;
        for (std::size_t i = 0; i < nets.all().size(); ++i) {
            EXPECT_FALSE(nets.all()[i].empty());
            for (const Terminal& terminal : nets.all()[i]) {
                inNets.insert(terminalText(terminal));
                EXPECT_EQ(nets.of(terminal), i) << terminalText(terminal);
            }
        }
        std::multiset<std::string> ofParts;
        for (const Terminal& terminal : terminalsOf(circuit)) {
            ofParts.insert(terminalText(terminal));
        }
        EXPECT_EQ(inNets, ofParts) << circuit.description;
    }
}

TEST(Nets, AgreeWithTheTransitiveClosureOfRandomWires)
{
    std::mt19937 random(20);
    for (int run = 0; run < 300; ++run) {
        const Circuit circuit = withRandomWires(standardCircuit("cscr-potential-relay"), random);
        const std::vector<Terminal> terminals = terminalsOf(circuit);
        const std::vector<std::vector<bool>> joined = closure(circuit);
        const Nets nets(circuit);
        for (std::size_t i = 0; i < terminals.size(); ++i) {
            for (std::size_t j = 0; j < terminals.size(); ++j) {
                ASSERT_EQ(nets.of(terminals[i]) == nets.of(terminals[j]), joined[i][j])
                    << terminalText(terminals[i]) << " and " << terminalText(terminals[j]);
            }
        }
    }
}

TEST(Nets, DoNotDependOnTheOrderOrDirectionOfTheWires)
{
    Circuit turned = standardCircuit("cscr-potential-relay");
    std::reverse(turned.wires.begin(), turned.wires.end());
    for (Wire& wire : turned.wires) {
        std::swap(wire.from, wire.to);
    }
    EXPECT_EQ(Nets(turned).all(), Nets(standardCircuit("cscr-potential-relay")).all());
}

TEST(Nets, RefuseATerminalThatIsNotThere)
{
    EXPECT_THROW(static_cast<void>(Nets(smallCircuit()).of({"relay", "1"})), std::out_of_range);
    EXPECT_THROW(Nets{withWire(smallCircuit(), "supply.L3", "spare.A")}, std::out_of_range);
}

TEST(PartKinds, AreFoundByTheirNameAndByNothingElse)
{
    for (const PartKind kind :
         {PartKind::supply, PartKind::compressor, PartKind::thermostat, PartKind::potentialRelay,
          PartKind::currentRelay, PartKind::startCapacitor, PartKind::runCapacitor,
          PartKind::protector, PartKind::condenserFan, PartKind::ptc, PartKind::timedSwitch,
          PartKind::centrifugalSwitch, PartKind::dualRunCapacitor, PartKind::fanCapacitor,
          PartKind::capacitorFan, PartKind::contactor}) {
        const PartKindInfo& info = partKindInfo(kind);
        EXPECT_EQ(info.kind, kind);
        EXPECT_EQ(partKindByName(info.name), kind);
        EXPECT_FALSE(info.words.empty());
        EXPECT_GE(info.terminals.size(), 2U);
    }
    EXPECT_EQ(partKindByName("relay"), std::nullopt);
    EXPECT_EQ(partKindByName(""), std::nullopt);
}

// Terminal numbers of the trade (common practice, no source).
TEST(PartKinds, HaveTheTradesTerminals)
{
    using Names = std::vector<std::string_view>;
    EXPECT_EQ(partKindInfo(PartKind::potentialRelay).terminals, (Names{"1", "2", "5", "4", "6"}));
    EXPECT_EQ(partKindInfo(PartKind::potentialRelay).tiePosts, (Names{"4", "6"}));
    EXPECT_EQ(partKindInfo(PartKind::currentRelay).terminals, (Names{"L", "M", "S"}));
    EXPECT_EQ(partKindInfo(PartKind::compressor).terminals, (Names{"C", "S", "R"}));
    EXPECT_EQ(partKindInfo(PartKind::protector).terminals, (Names{"1", "3"}));
    EXPECT_EQ(partKindInfo(PartKind::contactor).terminals, (Names{"L1", "T1", "L2", "T2"}));
    EXPECT_EQ(partKindInfo(PartKind::dualRunCapacitor).terminals, (Names{"C", "HERM", "FAN"}));
    EXPECT_EQ(partKindInfo(PartKind::capacitorFan).terminals, (Names{"C", "S", "R"}));
    EXPECT_EQ(partKindInfo(PartKind::timedSwitch).terminals, (Names{"1", "2", "L", "N"}));
}

// Whatever is closed at rest or stands for a wire is between terminals that the part has.
TEST(PartKinds, JoinOnlyTerminalsOfTheirOwn)
{
    for (const Circuit& circuit : standardCircuits()) {
        for (const CircuitPart& part : circuit.parts) {
            const PartKindInfo& info = partKindInfo(part.kind);
            const auto has = [&info](std::string_view name) {
                return std::find(info.terminals.begin(), info.terminals.end(), name) !=
                       info.terminals.end();
            };
            std::vector<std::vector<TerminalPair>> rows = info.alike;
            rows.insert(rows.end(), {info.inside, info.closedAtRest, info.bridges});
            for (const auto& pairs : rows) {
                for (const auto& [a, b] : pairs) {
                    EXPECT_TRUE(has(a) && has(b) && a != b) << info.name;
                }
            }
            // A contact is something inside, and a terminal is a tie post or has something on it.
            for (const TerminalPair& pair : info.closedAtRest) {
                EXPECT_EQ(std::count(info.inside.begin(), info.inside.end(), pair), 1);
            }
            for (const std::string_view name : info.terminals) {
                const bool tiePost = std::find(info.tiePosts.begin(), info.tiePosts.end(), name) !=
                                     info.tiePosts.end();
                EXPECT_NE(tiePost, std::any_of(info.inside.begin(), info.inside.end(),
                                               [name](const TerminalPair& pair) {
                                                   return pair.first == name || pair.second == name;
                                               }))
                    << info.name << '.' << name;
            }
        }
    }
}

TEST(StartDeviceOf, IsTheOnePartThatSwitchesTheStartCircuit)
{
    EXPECT_EQ(startDeviceOf(standardCircuit("cscr-potential-relay")), PartKind::potentialRelay);
    EXPECT_EQ(startDeviceOf(standardCircuit("csir-current-relay")), PartKind::currentRelay);
    EXPECT_EQ(startDeviceOf(standardCircuit("rscr-ptc")), PartKind::ptc);
    EXPECT_EQ(startDeviceOf(standardCircuit("rsir-timed-switch")), PartKind::timedSwitch);
    EXPECT_EQ(startDeviceOf(standardCircuit("rsir-centrifugal-switch")),
              PartKind::centrifugalSwitch);
    EXPECT_EQ(startDeviceOf(standardCircuit("psc")), std::nullopt);
}

TEST(WithoutPart, TakesThePartAndItsWiresAndNothingElse)
{
    const Circuit less = withoutPart(standardCircuit("csir-current-relay"), "fan");
    EXPECT_EQ(less.find("fan"), nullptr);
    EXPECT_EQ(less.parts.size() + 1, standardCircuit("csir-current-relay").parts.size());
    EXPECT_EQ(less.wires.size() + 2, standardCircuit("csir-current-relay").wires.size());
    EXPECT_TRUE(circuitFaults(less).empty());
}

TEST(WithoutPart, ChangesNothingWhenThereIsNoSuchPart)
{
    const Circuit same = withoutPart(smallCircuit(), "relay");
    EXPECT_EQ(same.parts.size(), smallCircuit().parts.size());
    EXPECT_EQ(same.wires.size(), smallCircuit().wires.size());
}

TEST(WithPartBridged, JoinsWhatWasOnEitherSide)
{
    const Circuit bridged = withPartBridged(smallCircuit(), "thermostat");
    EXPECT_EQ(bridged.find("thermostat"), nullptr);
    EXPECT_EQ(netOf(bridged, "supply.L1"), (std::set<std::string>{"supply.L1", "start.A"}));
    EXPECT_FALSE(connected(bridged, "supply.L1", "supply.L2"));
}

namespace
{

// Whether the terminals that both circuits have are connected with each other alike.
testing::AssertionResult connectedAlike(const Circuit& less, const Circuit& more)
{
    const Nets lessNets(less);
    const Nets moreNets(more);
    const std::vector<Terminal> rest = terminalsOf(less);
    for (const Terminal& a : rest) {
        for (const Terminal& b : rest) {
            if ((lessNets.of(a) == lessNets.of(b)) != (moreNets.of(a) == moreNets.of(b))) {
                return testing::AssertionFailure() << terminalText(a) << " and " << terminalText(b);
            }
        }
    }
    return testing::AssertionSuccess();
}

}  // namespace

// A bridge is a wire between the two terminals: what is left must be connected as with that wire.
TEST(WithPartBridged, IsTheSameAsAWireAcrossThePart)
{
    std::mt19937 random(21);
    for (int run = 0; run < 300; ++run) {
        const Circuit circuit = withRandomWires(standardCircuit("cscr-potential-relay"), random);
        const Circuit wired = withWire(circuit, "protector.1", "protector.3");
        const Circuit bridged = withPartBridged(circuit, "protector");
        for (const Wire& wire : bridged.wires) {
            ASSERT_NE(wire.from, wire.to) << terminalText(wire.from);
        }
        ASSERT_TRUE(connectedAlike(bridged, wired));
    }
}

// Each pole by itself: L1 meets T1 and L2 meets T2, and the two lines stay apart.
TEST(WithPartBridged, JoinsEachPoleOfAContactor)
{
    std::mt19937 random(22);
    for (int run = 0; run < 300; ++run) {
        const Circuit circuit = withRandomWires(standardCircuit("cscr-potential-relay"), random);
        const Circuit wired = withWire(withWire(circuit, "contactor.L1", "contactor.T1"),
                                       "contactor.L2", "contactor.T2");
        ASSERT_TRUE(connectedAlike(withPartBridged(circuit, "contactor"), wired)) << run;
    }
    for (const Circuit& circuit : standardCircuits()) {
        SCOPED_TRACE(circuit.description);
        const Circuit bridged = withPartBridged(circuit, "contactor");
        EXPECT_EQ(bridged.find("contactor"), nullptr);
        EXPECT_TRUE(connected(bridged, "supply.L1", "thermostat.1"));
        EXPECT_TRUE(connected(bridged, "supply.L2", "protector.1"));
        EXPECT_TRUE(connected(bridged, "supply.L2", "fan.B"));
        EXPECT_FALSE(connected(bridged, "supply.L1", "supply.L2"));
        EXPECT_TRUE(circuitFaults(bridged).empty());
    }
}

TEST(WithPartBridged, LandsCommonOnTheLineAndLeavesNothingFloating)
{
    for (const Circuit& circuit : standardCircuits()) {
        const Circuit bridged = withPartBridged(withPartBridged(circuit, "protector"), "contactor");
        EXPECT_TRUE(connected(bridged, "compressor.C", "supply.L2")) << circuit.description;
        EXPECT_TRUE(circuitFaults(bridged).empty()) << circuit.description;
    }
}

TEST(WithPartBridged, RefusesWhatNoWireCanStandFor)
{
    EXPECT_THROW(withPartBridged(standardCircuit("cscr-potential-relay"), "relay"),
                 std::invalid_argument);
    EXPECT_THROW(withPartBridged(standardCircuit("cscr-potential-relay"), "no such part"),
                 std::invalid_argument);
}

// C, HERM and FAN of a can with two sections stand where the four ends of two cans stood.
TEST(WithDualCapacitor, PutsItsThreePostsWhereTheTwoCapacitorsWere)
{
    int fitted = 0;
    for (const Circuit& circuit : standardCircuits()) {
        if (circuit.find("run-capacitor") == nullptr ||
            !connected(circuit, "run-capacitor.A", "fan-capacitor.A")) {
            continue;
        }
        SCOPED_TRACE(circuit.description);
        ++fitted;
        const Circuit dual = withDualCapacitor(circuit, "run-capacitor", "fan-capacitor", "can");
        ASSERT_NE(dual.find("can"), nullptr);
        EXPECT_EQ(dual.find("can")->kind, PartKind::dualRunCapacitor);
        EXPECT_EQ(dual.find("run-capacitor"), nullptr);
        EXPECT_EQ(dual.find("fan-capacitor"), nullptr);
        EXPECT_TRUE(connected(dual, "can.C", "thermostat.2"));
        EXPECT_TRUE(connected(dual, "can.HERM", "compressor.S"));
        EXPECT_EQ(netOf(dual, "can.FAN"), (std::set<std::string>{"can.FAN", "capacitor-fan.S"}));
        EXPECT_TRUE(circuitFaults(dual).empty());
        // Nothing else has moved.
        const Circuit without = withoutPart(withoutPart(circuit, "run-capacitor"), "fan-capacitor");
        const Circuit rest = withoutPart(dual, "can");
        EXPECT_EQ(rest.parts.size(), without.parts.size());
        EXPECT_EQ(Nets(rest).all(), Nets(without).all());
    }
    EXPECT_GE(fitted, 8);
}

TEST(WithDualCapacitor, NeedsOneLineSideForBothSections)
{
    for (const char* file : {"psc-crankcase-heat", "cscr-crankcase-heat", "cscr-current-relay"}) {
        EXPECT_THROW(
            withDualCapacitor(standardCircuit(file), "run-capacitor", "fan-capacitor", "can"),
            std::invalid_argument)
            << file;
    }
}

TEST(CircuitFaults, FindEachWireThatIsCut)
{
    for (const Circuit& circuit : standardCircuits()) {
        for (std::size_t i = 0; i < circuit.wires.size(); ++i) {
            const Wire& wire = circuit.wires[i];
            const std::vector<std::string> faults = circuitFaults(withoutWire(circuit, i));
            EXPECT_TRUE(mentions(faults, "no wire reaches " + terminalText(wire.from)) ||
                        mentions(faults, "no wire reaches " + terminalText(wire.to)))
                << circuit.description << ": " << terminalText(wire.from) << " - "
                << terminalText(wire.to);
        }
    }
}

TEST(CircuitFaults, NameTheTerminalAndThePartInPlainWords)
{
    const Circuit cut =
        withoutWire(standardCircuit("cscr-potential-relay"), "relay.2", "compressor.S");
    EXPECT_EQ(circuitFaults(cut),
              std::vector<std::string>{"no wire reaches compressor.S of the compressor"});
}

TEST(CircuitFaults, PassTiePostsThatNoWireReaches)
{
    EXPECT_EQ(netOf(standardCircuit("cscr-potential-relay"), "relay.4").size(), 1U);
    EXPECT_TRUE(circuitFaults(standardCircuit("cscr-potential-relay")).empty());
}

TEST(CircuitFaults, FindADeadShort)
{
    const Circuit& sound = standardCircuit("cscr-potential-relay");
    EXPECT_TRUE(mentions(circuitFaults(withWire(sound, "supply.L1", "supply.L2")), "dead short"));
    EXPECT_TRUE(
        mentions(circuitFaults(withWire(sound, "thermostat.1", "protector.1")), "dead short"));
}

// L1 - thermostat - fan.A = fan.B - L2: no winding and no capacitor is left in that loop.
TEST(CircuitFaults, FindADeadShortThroughClosedContacts)
{
    const Circuit& cscr = standardCircuit("cscr-potential-relay");
    EXPECT_TRUE(mentions(circuitFaults(withWire(cscr, "fan.A", "fan.B")), "dead short"));
    EXPECT_TRUE(
        mentions(circuitFaults(withWire(cscr, "compressor.R", "compressor.C")), "dead short"));
    // The normally closed contact 1-2, fed by S's side and wired back to the line.
    const Circuit contact = withWire(withWire(cscr, "relay.1", "supply.L2"), "relay.2", "fan.A");
    EXPECT_TRUE(mentions(circuitFaults(contact), "dead short"));
    // The current relay's coil is a few turns of wire.
    const Circuit coil = withWire(standardCircuit("csir-current-relay"), "relay.M", "supply.L2");
    EXPECT_TRUE(mentions(circuitFaults(coil), "dead short"));
}

TEST(CircuitFaults, AreNotFoundWhereAWindingStaysInTheLoop)
{
    // S and R joined: wrong, but no short.
    const Circuit joined =
        withWire(standardCircuit("cscr-potential-relay"), "compressor.S", "compressor.R");
    EXPECT_FALSE(mentions(circuitFaults(joined), "dead short"));
    // The current relay's contact is open at rest.
    const Circuit contact = withWire(standardCircuit("csir-current-relay"), "relay.S", "supply.L2");
    EXPECT_FALSE(mentions(circuitFaults(contact), "dead short"));
}

}  // namespace splitstart
