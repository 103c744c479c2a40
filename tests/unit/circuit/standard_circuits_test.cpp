// The standard circuits against what circuit theory and the trade's diagrams ask of them. Which
// terminal meets which is common practice, no source.
#include <gtest/gtest.h>

#include <algorithm>
#include <set>
#include <string>
#include <vector>

#include "case/vocabulary.h"
#include "circuit/circuit.h"
#include "unit/circuit/circuit_fixture.h"

namespace splitstart
{

namespace
{

using Net = std::set<std::string>;

bool isCrankcaseHeat(const Circuit& circuit)
{
    return circuit.variant == "crankcase-heat";
}

// What every circuit has on the switched line, the thermostat's far side.
Net switchedLineWith(const Net& others)
{
    Net net = {"thermostat.2", "fan.A", "capacitor-fan.R", "fan-capacitor.A"};
    net.insert(others.begin(), others.end());
    return net;
}

// Who meets whom at the compressor's three pins, and between start capacitor and start device.
struct WiringFacts {
    const char* file;
    Net start;    // on S
    Net run;      // on R
    Net common;   // on C
    Net between;  // in series, on a point of their own; empty: nothing
};

const std::vector<WiringFacts>& wiringFacts()
{
    const Net bareCommon = {"compressor.C", "protector.3"};
    const Net commonWithCoil = {"compressor.C", "protector.3", "relay.5"};
    const Net commonWithTimer = {"compressor.C", "protector.3", "start-switch.N"};
    static const std::vector<WiringFacts> facts = {
        {"cscr-potential-relay",
         {"compressor.S", "relay.2", "run-capacitor.B"},
         switchedLineWith({"compressor.R", "run-capacitor.A", "start-capacitor.A"}),
         commonWithCoil,
         {"start-capacitor.B", "relay.1"}},
        {"cscr-current-relay",
         {"compressor.S", "start-capacitor.B", "run-capacitor.B"},
         {"compressor.R", "relay.M", "run-capacitor.A"},
         bareCommon,
         {"relay.S", "start-capacitor.A"}},
        {"cscr-current-relay-on-line",
         {"compressor.S", "start-capacitor.B", "run-capacitor.B"},
         {"compressor.R", "relay.M"},
         bareCommon,
         {"relay.S", "start-capacitor.A"}},
        {"cscr-timed-switch",
         {"compressor.S", "start-switch.2", "run-capacitor.B"},
         switchedLineWith(
             {"compressor.R", "run-capacitor.A", "start-capacitor.A", "start-switch.L"}),
         commonWithTimer,
         {"start-capacitor.B", "start-switch.1"}},
        {"cscr-crankcase-heat",
         {"compressor.S", "relay.2", "run-capacitor.B"},
         switchedLineWith({"compressor.R", "start-capacitor.A"}),
         commonWithCoil,
         {"start-capacitor.B", "relay.1"}},
        {"csir-potential-relay",
         {"compressor.S", "relay.2"},
         switchedLineWith({"compressor.R", "start-capacitor.A"}),
         commonWithCoil,
         {"start-capacitor.B", "relay.1"}},
        {"csir-current-relay",
         {"compressor.S", "start-capacitor.B"},
         {"compressor.R", "relay.M"},
         bareCommon,
         {"relay.S", "start-capacitor.A"}},
        {"csir-timed-switch",
         {"compressor.S", "start-switch.2"},
         switchedLineWith({"compressor.R", "start-capacitor.A", "start-switch.L"}),
         commonWithTimer,
         {"start-capacitor.B", "start-switch.1"}},
        {"csir-centrifugal-switch",
         {"compressor.S", "start-capacitor.B"},
         switchedLineWith({"compressor.R", "start-switch.1"}),
         bareCommon,
         {"start-switch.2", "start-capacitor.A"}},
        {"psc",
         {"compressor.S", "run-capacitor.B"},
         switchedLineWith({"compressor.R", "run-capacitor.A"}),
         bareCommon,
         {}},
        {"psc-crankcase-heat",
         {"compressor.S", "run-capacitor.B"},
         switchedLineWith({"compressor.R"}),
         bareCommon,
         {}},
        {"psc-ptc",
         {"compressor.S", "run-capacitor.B", "ptc.B"},
         switchedLineWith({"compressor.R", "run-capacitor.A", "ptc.A"}),
         bareCommon,
         {}},
        {"psc-ptc-start-capacitor",
         {"compressor.S", "run-capacitor.B", "ptc.B"},
         switchedLineWith({"compressor.R", "run-capacitor.A", "start-capacitor.A"}),
         bareCommon,
         {"start-capacitor.B", "ptc.A"}},
        {"psc-three-wire-assist",
         {"compressor.S", "run-capacitor.B", "relay.2"},
         switchedLineWith({"compressor.R", "run-capacitor.A", "start-capacitor.A"}),
         commonWithCoil,
         {"start-capacitor.B", "relay.1"}},
        {"psc-two-wire-assist",
         {"compressor.S", "run-capacitor.B", "relay.2"},
         switchedLineWith({"compressor.R", "run-capacitor.A", "start-capacitor.A", "relay.5"}),
         bareCommon,
         {"start-capacitor.B", "relay.1"}},
        {"psc-two-wire-timed-assist",
         {"compressor.S", "run-capacitor.B", "start-switch.2", "start-switch.N"},
         switchedLineWith(
             {"compressor.R", "run-capacitor.A", "start-capacitor.A", "start-switch.L"}),
         bareCommon,
         {"start-capacitor.B", "start-switch.1"}},
        {"rscr-ptc",
         {"compressor.S", "run-capacitor.B", "ptc.B"},
         switchedLineWith({"compressor.R", "run-capacitor.A", "ptc.A"}),
         bareCommon,
         {}},
        {"rsir-current-relay",
         {"compressor.S", "relay.S"},
         {"compressor.R", "relay.M"},
         bareCommon,
         {}},
        {"rsir-ptc",
         {"compressor.S", "ptc.B"},
         switchedLineWith({"compressor.R", "ptc.A"}),
         bareCommon,
         {}},
        {"rsir-timed-switch",
         {"compressor.S", "start-switch.2"},
         switchedLineWith({"compressor.R", "start-switch.1", "start-switch.L"}),
         commonWithTimer,
         {}},
        {"rsir-centrifugal-switch",
         {"compressor.S", "start-switch.2"},
         switchedLineWith({"compressor.R", "start-switch.1"}),
         bareCommon,
         {}},
    };
    return facts;
}

}  // namespace

TEST(StandardCircuits, CanAllBeSimulatedAsTheyStand)
{
    ASSERT_FALSE(standardCircuits().empty());
    for (const Circuit& circuit : standardCircuits()) {
        EXPECT_EQ(circuitFaults(circuit), std::vector<std::string>{}) << circuit.description;
    }
}

TEST(StandardCircuits, EachHaveOnePartOfAKindAndTheSameOptionalOnes)
{
    const std::set<PartKind> mayBeLeftOut = {PartKind::contactor, PartKind::condenserFan,
                                             PartKind::capacitorFan, PartKind::fanCapacitor,
                                             PartKind::protector};
    for (const Circuit& circuit : standardCircuits()) {
        SCOPED_TRACE(circuit.description);
        std::multiset<PartKind> kinds;
        for (const CircuitPart& part : circuit.parts) {
            kinds.insert(part.kind);
            EXPECT_EQ(part.optional, mayBeLeftOut.contains(part.kind)) << part.id;
        }
        for (const PartKind kind : kinds) {
            EXPECT_EQ(kinds.count(kind), 1U) << partKindInfo(kind).words;
        }
        for (const PartKind kind : mayBeLeftOut) {
            EXPECT_EQ(kinds.count(kind), 1U) << partKindInfo(kind).words;
        }
        EXPECT_EQ(kinds.count(PartKind::supply), 1U);
        EXPECT_EQ(kinds.count(PartKind::compressor), 1U);
        EXPECT_EQ(kinds.count(PartKind::thermostat), 1U);
        const auto devices = std::count_if(kinds.begin(), kinds.end(), [](PartKind kind) {
            const auto all = startDeviceKinds();
            return std::find(all.begin(), all.end(), kind) != all.end();
        });
        EXPECT_LE(devices, 1);
    }
}

// What the letters stand for (common practice, no source): RS resistance start, CS capacitor start,
// IR induction run, CR capacitor run; PSC a capacitor that stays.
TEST(StandardCircuits, HaveTheCapacitorsThatTheirTypeIsNamedAfter)
{
    for (const Circuit& circuit : standardCircuits()) {
        SCOPED_TRACE(circuit.description);
        const bool start = circuit.find(PartKind::startCapacitor) != nullptr;
        const bool run = circuit.find(PartKind::runCapacitor) != nullptr;
        const std::string& type = circuit.type;
        EXPECT_EQ(run, type == "PSC" || type.ends_with("CR"));
        if (type != "PSC") {  // of which some have a start assist
            EXPECT_EQ(start, type.starts_with("CS"));
            EXPECT_TRUE(startDeviceOf(circuit).has_value());
        }
        if (start) {  // not rated to stay
            EXPECT_TRUE(startDeviceOf(circuit).has_value());
        }
    }
}

TEST(StandardCircuits, AreToldApartByWhatACaseNames)
{
    std::set<std::string> seen;
    for (const Circuit& circuit : standardCircuits()) {
        EXPECT_FALSE(circuit.description.empty());
        const auto device = startDeviceOf(circuit);
        std::string key = circuit.type + " " + circuit.variant + " ";
        key += device ? std::string(partKindInfo(*device).name) : "none";
        key += circuit.find(PartKind::startCapacitor) != nullptr ? " start" : "";
        EXPECT_TRUE(seen.insert(key).second) << key;
    }
}

TEST(StandardCircuits, MeetOnThePinsAsTheTradesDiagramsShow)
{
    for (const WiringFacts& facts : wiringFacts()) {
        SCOPED_TRACE(facts.file);
        const Circuit circuit = standardCircuit(facts.file);
        EXPECT_EQ(netOf(circuit, "compressor.S"), facts.start);
        EXPECT_EQ(netOf(circuit, "compressor.R"), facts.run);
        EXPECT_EQ(netOf(circuit, "compressor.C"), facts.common);
        if (!facts.between.empty()) {
            EXPECT_EQ(netOf(circuit, *facts.between.begin()), facts.between);
        }
    }
    EXPECT_EQ(wiringFacts().size(), standardCircuits().size());
}

TEST(StandardCircuits, FeedEverythingThroughContactorAndThermostat)
{
    for (const Circuit& circuit : standardCircuits()) {
        SCOPED_TRACE(circuit.description);
        EXPECT_EQ(netOf(circuit, "thermostat.1"), (Net{"thermostat.1", "contactor.T1"}));
        if (!isCrankcaseHeat(circuit)) {
            EXPECT_EQ(netOf(circuit, "supply.L1"), (Net{"supply.L1", "contactor.L1"}));
            EXPECT_EQ(netOf(circuit, "supply.L2"), (Net{"supply.L2", "contactor.L2"}));
        }
    }
}

// The fan runs whenever the compressor is fed: it stands across thermostat and contactor, so that a
// protector that has tripped in the common lead does not stop it.
TEST(StandardCircuits, FeedBothKindsOfFanAheadOfTheProtector)
{
    for (const Circuit& circuit : standardCircuits()) {
        SCOPED_TRACE(circuit.description);
        const Circuit tripped = withoutPart(circuit, "protector");
        for (const char* live : {"fan.A", "capacitor-fan.R", "fan-capacitor.A"}) {
            EXPECT_TRUE(connected(tripped, live, "thermostat.2")) << live;
        }
        for (const char* live : {"fan.B", "capacitor-fan.C"}) {
            EXPECT_TRUE(connected(tripped, live, "contactor.T2")) << live;
        }
        EXPECT_FALSE(connected(tripped, "compressor.C", "contactor.T2"));
        EXPECT_FALSE(connected(tripped, "compressor.C", "supply.L2"));
        EXPECT_EQ(netOf(circuit, "capacitor-fan.S"), (Net{"capacitor-fan.S", "fan-capacitor.B"}));
    }
}

TEST(StandardCircuits, BringCommonBackThroughTheProtector)
{
    for (const Circuit& circuit : standardCircuits()) {
        SCOPED_TRACE(circuit.description);
        const char* line = isCrankcaseHeat(circuit) ? "supply.L2" : "contactor.T2";
        EXPECT_TRUE(connected(circuit, "protector.1", line));
        EXPECT_FALSE(connected(circuit, "compressor.C", line));
        EXPECT_TRUE(connected(withPartBridged(circuit, "protector"), "compressor.C", line));
    }
}

// Its coil has to see the start winding's volts, which rise with speed. Those that a two-wire
// assist can reach are S against R.
TEST(PotentialRelays, HaveTheirCoilAcrossTheStartWindingOrAcrossSAndR)
{
    int coils = 0;
    for (const Circuit& circuit : standardCircuits()) {
        if (circuit.find(PartKind::potentialRelay) == nullptr) {
            continue;
        }
        SCOPED_TRACE(circuit.description);
        ++coils;
        EXPECT_TRUE(connected(circuit, "relay.2", "compressor.S"));
        const bool twoWire = circuit.variant == "two-wire-assist";
        EXPECT_EQ(connected(circuit, "relay.5", "compressor.C"), !twoWire);
        EXPECT_EQ(connected(circuit, "relay.5", "compressor.R"), twoWire);
        // The contact is ahead of the coil: its start capacitor leaves, the coil stays on.
        EXPECT_EQ(netOf(circuit, "relay.1"), (Net{"relay.1", "start-capacitor.B"}));
        EXPECT_EQ(netOf(circuit, "relay.4").size() + netOf(circuit, "relay.6").size(), 2U);
    }
    EXPECT_EQ(coils, 5);
}

TEST(CurrentRelays, HaveTheirCoilInTheRunLead)
{
    int coils = 0;
    for (const Circuit& circuit : standardCircuits()) {
        if (circuit.find(PartKind::currentRelay) == nullptr) {
            continue;
        }
        SCOPED_TRACE(circuit.description);
        ++coils;
        EXPECT_TRUE(connected(circuit, "relay.L", "thermostat.2"));
        EXPECT_TRUE(connected(circuit, "relay.M", "compressor.R"));
        // In series: with the coil broken, no current reaches R.
        EXPECT_FALSE(connected(circuit, "thermostat.2", "compressor.R"));
    }
    EXPECT_EQ(coils, 4);
}

// Which current the coil carries decides which relay fits: the run capacitor's too, or not.
TEST(CurrentRelays, CarryTheRunCapacitorsCurrentOnlyWhereItStandsBehindTheCoil)
{
    const Circuit behind = standardCircuit("cscr-current-relay");
    EXPECT_TRUE(connected(behind, "run-capacitor.A", "relay.M"));
    const Circuit ahead = standardCircuit("cscr-current-relay-on-line");
    EXPECT_TRUE(connected(ahead, "run-capacitor.A", "relay.L"));
    for (const Circuit& circuit : {behind, ahead}) {
        EXPECT_TRUE(connected(circuit, "run-capacitor.B", "compressor.S"));
    }
}

TEST(Ptcs, StandAcrossRAndSAloneOrWithTheStartCapacitor)
{
    for (const char* file : {"rsir-ptc", "rscr-ptc", "psc-ptc"}) {
        const Circuit circuit = standardCircuit(file);
        EXPECT_TRUE(connected(circuit, "ptc.A", "compressor.R")) << file;
        EXPECT_TRUE(connected(circuit, "ptc.B", "compressor.S")) << file;
    }
    const Circuit circuit = standardCircuit("psc-ptc-start-capacitor");
    EXPECT_TRUE(connected(circuit, "start-capacitor.A", "compressor.R"));
    EXPECT_TRUE(connected(circuit, "start-capacitor.B", "ptc.A"));
    EXPECT_TRUE(connected(circuit, "ptc.B", "compressor.S"));
}

// It counts from the moment at which the compressor gets volts, so the volts that it counts from
// must not wait for its own contact.
TEST(TimedSwitches, GetTheirVoltsWhateverTheirContactDoes)
{
    for (const char* file : {"rsir-timed-switch", "csir-timed-switch", "cscr-timed-switch"}) {
        const Circuit circuit = standardCircuit(file);
        EXPECT_TRUE(connected(circuit, "start-switch.L", "compressor.R")) << file;
        EXPECT_TRUE(connected(circuit, "start-switch.N", "compressor.C")) << file;
        EXPECT_TRUE(connected(circuit, "start-switch.2", "compressor.S")) << file;
    }
    const Circuit twoWires = standardCircuit("psc-two-wire-timed-assist");
    EXPECT_TRUE(connected(twoWires, "start-switch.L", "run-capacitor.A"));
    EXPECT_TRUE(connected(twoWires, "start-switch.N", "run-capacitor.B"));
}

// A two-wire assist lies across the run capacitor and touches nothing else.
TEST(TwoWireAssists, TouchTheRunCapacitorsTwoPostsOnly)
{
    for (const char* file : {"psc-two-wire-assist", "psc-two-wire-timed-assist"}) {
        const Circuit with = standardCircuit(file);
        for (const CircuitPart& part : with.parts) {
            if (part.id == "start-capacitor" || part.id == "relay" || part.id == "start-switch") {
                for (const std::string_view name : partKindInfo(part.kind).terminals) {
                    const Net net = netOf(with, part.id + "." + std::string(name));
                    const bool onPost =
                        net.contains("run-capacitor.A") || net.contains("run-capacitor.B");
                    const bool inside = std::all_of(net.begin(), net.end(), [](const auto& each) {
                        return each.starts_with("start-") || each.starts_with("relay.");
                    });
                    EXPECT_NE(onPost, inside) << file << " " << part.id << "." << name;
                }
            }
        }
        // Taken off, what is left is the plain circuit.
        Circuit bare = with;
        for (const char* part : {"start-capacitor", "relay", "start-switch"}) {
            bare = withoutPart(bare, part);
        }
        EXPECT_EQ(Nets(bare).all().size(), Nets(standardCircuit("psc")).all().size()) << file;
        for (const char* pin : {"compressor.C", "compressor.S", "compressor.R"}) {
            EXPECT_EQ(netOf(bare, pin), netOf(standardCircuit("psc"), pin)) << file;
        }
    }
}

// In the off time the run capacitor stays on the line and feeds the start winding, while R is off
// it; what closes the loop is C on the other line.
TEST(CrankcaseHeat, LeavesTheRunCapacitorOnTheLineWhenTheThermostatOpens)
{
    for (const char* file : {"psc-crankcase-heat", "cscr-crankcase-heat"}) {
        SCOPED_TRACE(file);
        for (const char* opened : {"thermostat", "contactor"}) {
            const Circuit off =
                withPartBridged(withoutPart(standardCircuit(file), opened), "protector");
            EXPECT_TRUE(connected(off, "run-capacitor.A", "supply.L1")) << opened;
            EXPECT_TRUE(connected(off, "run-capacitor.B", "compressor.S")) << opened;
            EXPECT_TRUE(connected(off, "compressor.C", "supply.L2")) << opened;
            EXPECT_FALSE(connected(off, "compressor.R", "supply.L1")) << opened;
        }
    }
}

// Nothing else is on the line then, so that no other circuit heats anything in the off time.
TEST(CrankcaseHeat, IsWhatNoOtherCircuitHas)
{
    for (const Circuit& circuit : standardCircuits()) {
        const Circuit off = withoutPart(circuit, "thermostat");
        Net line = netOf(off, "supply.L1");
        line.erase("supply.L1");
        line.erase("contactor.L1");
        const Net stays = isCrankcaseHeat(circuit) ? Net{"run-capacitor.A"} : Net{};
        EXPECT_EQ(line, stays) << circuit.description;
    }
}

}  // namespace splitstart
