// Faults that a list of wires shows by itself. What is expected follows from the circuit: current
// flows in closed paths alone, and a path of wires and closed contacts between the lines is a
// short.
#include "circuit/wiring_faults.h"

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

using Kind = WiringFaultKind;

std::vector<WiringFault> ofKind(const Circuit& circuit, Kind kind)
{
    std::vector<WiringFault> faults = wiringFaults(circuit);
    std::erase_if(faults, [kind](const WiringFault& fault) { return fault.kind != kind; });
    return faults;
}

bool has(const Circuit& circuit, Kind kind)
{
    return !ofKind(circuit, kind).empty();
}

std::vector<std::string> texts(const std::vector<Terminal>& terminals)
{
    std::vector<std::string> result;
    for (const Terminal& each : terminals) {
        result.push_back(terminalText(each));
    }
    return result;
}

using Texts = std::vector<std::string>;

// As a case has it: no contactor, a fan with two leads.
Circuit bare(const std::string& file)
{
    Circuit circuit = withPartBridged(standardCircuit(file), "contactor");
    return withoutPart(withoutPart(circuit, "capacitor-fan"), "fan-capacitor");
}

Circuit withEnd(const Circuit& circuit, std::string_view from, std::string_view to,
                std::string_view insteadOfTo)
{
    return withWire(withoutWire(circuit, from, to), from, insteadOfTo);
}

TEST(WiringFaults, AreNoneInTheStandardCircuits)
{
    for (const Circuit& circuit : standardCircuits()) {
        EXPECT_TRUE(wiringFaults(circuit).empty()) << circuit.description;
    }
    EXPECT_TRUE(wiringFaults(bare("cscr-potential-relay")).empty());
    EXPECT_TRUE(wiringFaults({}).empty());
}

TEST(WiringFaults, HaveAFindingAndOneOrTwoSentencesOfMeaning)
{
    std::mt19937 random(41);
    const Circuit wanted = bare("cscr-potential-relay");
    int seen = 0;
    for (int run = 0; run < 200; ++run) {
        const Circuit found = randomlyWired(wanted, random);
        for (const WiringFault& fault : wiringFaults(found)) {
            EXPECT_FALSE(fault.terminals.empty()) << fault.finding;
            EXPECT_FALSE(fault.finding.empty() || fault.finding.ends_with('.')) << fault.finding;
            EXPECT_TRUE(fault.meaning.ends_with('.')) << fault.meaning;
            EXPECT_EQ(fault.meaning.find('\n'), std::string::npos);
            ++seen;
        }
    }
    EXPECT_GT(seen, 1000);
}

TEST(WiringFaults, FindADeadShortThroughWiresAlone)
{
    const Circuit found = withWire(bare("cscr-potential-relay"), "thermostat.1", "protector.1");
    const std::vector<WiringFault> faults = wiringFaults(found);
    ASSERT_FALSE(faults.empty());
    EXPECT_EQ(faults[0].kind, Kind::deadShort);
    EXPECT_EQ(texts(faults[0].terminals), (Texts{"supply.L1", "supply.L2"}));
    EXPECT_EQ(faults[0].finding, "the wires join L1 and L2 of the supply: a dead short");
    EXPECT_FALSE(has(found, Kind::shortThroughClosedContact));
}

// L1 - thermostat - R = C - protector - L2.
TEST(WiringFaults, NameTheContactsOfAShortInTheirOrder)
{
    const Circuit found = withWire(bare("cscr-potential-relay"), "compressor.R", "compressor.C");
    const auto faults = ofKind(found, Kind::shortThroughClosedContact);
    ASSERT_EQ(faults.size(), 1U);
    EXPECT_EQ(texts(faults[0].terminals),
              (Texts{"thermostat.1", "thermostat.2", "protector.3", "protector.1"}));
    EXPECT_NE(
        faults[0].meaning.find("The way from L1 to L2 is: thermostat contact (thermostat.1 to "
                               "thermostat.2), then overload protector (protector.3 to "
                               "protector.1)."),
        std::string::npos)
        << faults[0].meaning;
    EXPECT_FALSE(has(found, Kind::deadShort));
    EXPECT_TRUE(has(found, Kind::shortedPart));  // the run winding
}

// With a short there is nothing else to say about volts and amps.
TEST(WiringFaults, SayNothingOfDeadPartsBesideAShort)
{
    for (const Circuit& found :
         {withWire(bare("cscr-potential-relay"), "fan.A", "fan.B"),
          withWire(bare("cscr-potential-relay"), "supply.L1", "supply.L2")}) {
        for (const Kind kind :
             {Kind::deadCompressor, Kind::deadWinding, Kind::deadPart, Kind::isolatedPart}) {
            EXPECT_FALSE(has(found, kind));
        }
    }
}

// The relay's contact 1-2 is closed at rest; 2 on the line, 1 on the common.
TEST(WiringFaults, FindAShortThroughTheRelaysContact)
{
    Circuit found = withWire(bare("cscr-potential-relay"), "relay.2", "thermostat.2");
    found = withWire(found, "relay.1", "supply.L2");
    const auto faults = ofKind(found, Kind::shortThroughClosedContact);
    ASSERT_EQ(faults.size(), 1U);
    EXPECT_EQ(texts(faults[0].terminals),
              (Texts{"thermostat.1", "thermostat.2", "relay.2", "relay.1"}));
}

TEST(WiringFaults, FindAShortThroughTheCoilOfACurrentRelay)
{
    const Circuit found = withWire(bare("csir-current-relay"), "relay.M", "supply.L2");
    const auto faults = ofKind(found, Kind::shortThroughClosedContact);
    ASSERT_EQ(faults.size(), 1U);
    EXPECT_EQ(texts(faults[0].terminals),
              (Texts{"thermostat.1", "thermostat.2", "relay.L", "relay.M"}));
    // Its contact is open at rest.
    EXPECT_FALSE(has(withWire(bare("csir-current-relay"), "relay.S", "supply.L2"),
                     Kind::shortThroughClosedContact));
}

TEST(WiringFaults, FindWhatIsBridged)
{
    const Circuit cscr = bare("cscr-potential-relay");
    for (const auto& [a, b, name] : std::initializer_list<std::array<const char*, 3>>{
             {"run-capacitor.A", "run-capacitor.B", "the run capacitor"},
             {"start-capacitor.A", "start-capacitor.B", "the start capacitor"},
             {"relay.5", "relay.2", "the coil of the potential relay"},
             {"relay.1", "relay.2", "the contact of the potential relay"},
             {"compressor.S", "compressor.C", "the start winding of the compressor"},
             {"protector.1", "protector.3", "the overload protector"},
             {"thermostat.1", "thermostat.2", "the thermostat contact"}}) {
        const auto faults = ofKind(withWire(cscr, a, b), Kind::shortedPart);
        EXPECT_TRUE(std::any_of(faults.begin(), faults.end(),
                                [name = name](const WiringFault& fault) {
                                    return fault.finding.find(name) != std::string::npos;
                                }))
            << name;
    }
    const auto coil =
        ofKind(withWire(bare("csir-current-relay"), "relay.L", "relay.M"), Kind::shortedPart);
    ASSERT_EQ(coil.size(), 1U);
    EXPECT_EQ(coil[0].finding,
              "wires join relay.L and relay.M: the coil of the current relay is bridged");
}

// C is the only way back to L2: without it no winding carries current, although every part is
// wired.
TEST(WiringFaults, FindACompressorThatNoCurrentReaches)
{
    const Circuit cscr = bare("cscr-potential-relay");
    const Circuit open = withoutWire(cscr, "protector.1", "supply.L2");
    EXPECT_TRUE(has(open, Kind::deadCompressor));
    EXPECT_TRUE(has(withoutWire(cscr, "supply.L1", "thermostat.1"), Kind::deadCompressor));
    // The fan is fed all the same.
    const auto dead = ofKind(open, Kind::deadPart);
    EXPECT_TRUE(std::none_of(dead.begin(), dead.end(), [](const WiringFault& fault) {
        return fault.finding.find("fan") != std::string::npos;
    }));
}

TEST(WiringFaults, FindAWindingThatNoCurrentReaches)
{
    const Circuit csir = bare("csir-current-relay");
    const auto start =
        ofKind(withoutWire(csir, "start-capacitor.B", "compressor.S"), Kind::deadWinding);
    ASSERT_EQ(start.size(), 1U);
    EXPECT_EQ(
        start[0].finding,
        "the supply can drive no current through the start winding of the compressor (compressor.C "
        "to compressor.S)");
    const auto run = ofKind(withoutWire(csir, "relay.M", "compressor.R"), Kind::deadWinding);
    ASSERT_EQ(run.size(), 1U);
    EXPECT_EQ(texts(run[0].terminals), (Texts{"compressor.C", "compressor.R"}));
    EXPECT_FALSE(has(csir, Kind::deadWinding));
    // S on the other line and C free: the windings are in series across the line, both carry.
    Circuit series = withoutWire(csir, "compressor.C", "protector.3");
    series = withWire(series, "compressor.S", "protector.3");
    EXPECT_FALSE(has(series, Kind::deadCompressor));
    EXPECT_FALSE(has(series, Kind::deadWinding));
    EXPECT_TRUE(has(series, Kind::floatingTerminal));
}

TEST(WiringFaults, FindWhatIsIsolatedAndWhatDoesNothing)
{
    const Circuit csir = bare("csir-potential-relay");
    Circuit off = withoutWire(csir, "thermostat.2", "start-capacitor.A");
    const auto capacitor = ofKind(off, Kind::deadPart);  // and the contact behind it
    EXPECT_EQ(capacitor.size(), 2U);
    EXPECT_FALSE(has(off, Kind::isolatedPart));
    off = withoutWire(off, "start-capacitor.B", "relay.1");
    const auto isolated = ofKind(off, Kind::isolatedPart);
    ASSERT_EQ(isolated.size(), 1U);
    EXPECT_EQ(isolated[0].finding,
              "no wire leads from the supply to the start capacitor (start-capacitor)");
    // The coil's lead off: the contact still works.
    const auto coil = ofKind(withoutWire(csir, "relay.5", "compressor.C"), Kind::deadPart);
    ASSERT_EQ(coil.size(), 1U);
    EXPECT_EQ(texts(coil[0].terminals), (Texts{"relay.2", "relay.5"}));
    EXPECT_NE(coil[0].meaning.find("never picks up"), std::string::npos);
}

TEST(WiringFaults, FindFloatingTerminalsAndLooseEnds)
{
    const Circuit csir = bare("csir-potential-relay");
    const auto floating =
        ofKind(withoutWire(csir, "relay.5", "compressor.C"), Kind::floatingTerminal);
    ASSERT_EQ(floating.size(), 1U);
    EXPECT_EQ(floating[0].finding, "no wire reaches relay.5 of the potential relay");
    const Circuit tied = withEnd(csir, "relay.5", "compressor.C", "relay.4");
    const auto loose = ofKind(tied, Kind::looseWireEnd);
    ASSERT_EQ(loose.size(), 1U);
    EXPECT_EQ(loose[0].finding, "a wire ends on relay.4 and goes on from there to nothing");
    ASSERT_EQ(ofKind(tied, Kind::floatingTerminal).size(), 1U);
    EXPECT_EQ(ofKind(tied, Kind::floatingTerminal)[0].finding,
              "the wire on relay.5 of the potential relay leads to no other part");
    // A post that joins two is what it is for.
    EXPECT_TRUE(wiringFaults(withWire(tied, "relay.4", "compressor.C")).empty());
}

TEST(WiringFaults, ComeTheWorstFirst)
{
    Circuit found = withWire(bare("cscr-potential-relay"), "supply.L1", "supply.L2");
    found = withoutWire(found, "relay.5", "compressor.C");
    const std::vector<WiringFault> faults = wiringFaults(found);
    ASSERT_EQ(faults.size(), 2U);
    EXPECT_EQ(faults[0].kind, Kind::deadShort);
    EXPECT_EQ(faults[1].kind, Kind::floatingTerminal);
    EXPECT_EQ(circuitFaults(found), (Texts{faults[0].finding, faults[1].finding}));
}

// --- what is left to simulate ----------------------------------------------------------------

// Whether a way through wires and parts leads from every terminal inside a part to the supply.
bool everythingHasAPotential(const Circuit& circuit)
{
    Circuit joined = circuit;
    for (const CircuitPart& part : circuit.parts) {
        for (const auto& [a, b] : partKindInfo(part.kind).inside) {
            joined.wires.push_back({{part.id, std::string(a)}, {part.id, std::string(b)}});
        }
    }
    const Nets nets(joined);
    for (const CircuitPart& part : circuit.parts) {
        for (const auto& [a, b] : partKindInfo(part.kind).inside) {
            if (nets.of({part.id, std::string(a)}) != nets.of({"supply", "L1"})) {
                return false;
            }
        }
    }
    return true;
}

TEST(Simulable, IsASoundCircuitAsItStands)
{
    for (const Circuit& circuit : standardCircuits()) {
        const SimulableCircuit same = simulable(circuit);
        EXPECT_TRUE(same.leftOut.empty()) << circuit.description;
        EXPECT_TRUE(same.tiedDown.empty()) << circuit.description;
        EXPECT_EQ(same.circuit.wires.size(), circuit.wires.size());
    }
}

TEST(Simulable, LeavesOutWhatCarriesNoCurrentAndKeepsTheJoinsOnIt)
{
    // The start capacitor's A is the joint between the line and R; its B is free.
    Circuit found = bare("csir-potential-relay");
    found = withoutWire(found, "thermostat.2", "compressor.R");
    found = withWire(found, "start-capacitor.A", "compressor.R");
    found = withoutWire(found, "start-capacitor.B", "relay.1");
    const SimulableCircuit rest = simulable(found);
    EXPECT_EQ(rest.leftOut, Texts{"start-capacitor"});
    EXPECT_TRUE(rest.tiedDown.empty());
    EXPECT_TRUE(connected(rest.circuit, "thermostat.2", "compressor.R"));
    EXPECT_TRUE(connected(rest.circuit, "relay.2", "compressor.S"));
    EXPECT_NE(rest.circuit.find("relay"), nullptr);  // its coil is alive
}

TEST(Simulable, TiesDownWhatMustStay)
{
    // A timer without volts whose contact works, and a compressor that nothing reaches.
    Circuit timer = withoutWire(bare("rsir-timed-switch"), "thermostat.2", "start-switch.L");
    timer = withoutWire(timer, "start-switch.N", "compressor.C");
    const SimulableCircuit rest = simulable(timer);
    EXPECT_TRUE(rest.leftOut.empty());
    ASSERT_EQ(rest.tiedDown.size(), 1U);
    EXPECT_EQ(terminalText(rest.tiedDown[0].from), "start-switch.L");
    EXPECT_TRUE(everythingHasAPotential(rest.circuit));
    Circuit nothing = bare("psc");
    nothing.wires.clear();
    const SimulableCircuit alone = simulable(nothing);
    EXPECT_EQ(alone.circuit.parts.size(), 2U);
    EXPECT_NE(alone.circuit.find("compressor"), nullptr);
    EXPECT_EQ(alone.tiedDown.size(), 1U);
    EXPECT_TRUE(everythingHasAPotential(alone.circuit));
}

TEST(Simulable, GivesEverythingAPotentialInAnyWiring)
{
    std::mt19937 random(42);
    for (const char* file : {"cscr-potential-relay", "csir-timed-switch", "cscr-current-relay"}) {
        const Circuit wanted = standardCircuit(file);
        for (int run = 0; run < 100; ++run) {
            const Circuit found = randomlyWired(wanted, random);
            const SimulableCircuit rest = simulable(found);
            ASSERT_TRUE(everythingHasAPotential(rest.circuit)) << run;
            EXPECT_EQ(rest.circuit.parts.size() + rest.leftOut.size(), found.parts.size());
            // What remains is joined as before, but for the wires of the potential.
            Circuit before = found;
            before.wires.insert(before.wires.end(), rest.tiedDown.begin(), rest.tiedDown.end());
            const Nets nets(before);
            const Nets now(rest.circuit);
            for (const std::vector<Terminal>& net : now.all()) {
                for (const Terminal& each : net) {
                    EXPECT_EQ(nets.of(each), nets.of(net[0]));
                }
            }
        }
    }
}

TEST(Simulable, NeedsASupply)
{
    EXPECT_THROW(simulable(withoutPart(bare("psc"), "supply")), std::invalid_argument);
}

}  // namespace
}  // namespace splitstart
