// The standard circuits against what circuit theory and the trade's diagrams ask of them. Which
// terminal meets which is common practice, no source.
#include <gtest/gtest.h>

#include <algorithm>
#include <set>
#include <string>

#include "case/vocabulary.h"
#include "circuit/circuit.h"
#include "unit/circuit/circuit_fixture.h"

namespace splitstart
{

namespace
{

using Net = std::set<std::string>;

}  // namespace

TEST(StandardCircuits, CanAllBeSimulatedAsTheyStand)
{
    ASSERT_FALSE(standardCircuits().empty());
    for (const Circuit& circuit : standardCircuits()) {
        EXPECT_EQ(circuitFaults(circuit), std::vector<std::string>{}) << circuit.type;
        EXPECT_FALSE(circuit.description.empty());
    }
}

TEST(StandardCircuits, EachHaveOneSupplyOneCompressorAndTheirOptionalParts)
{
    for (const Circuit& circuit : standardCircuits()) {
        std::multiset<PartKind> kinds;
        for (const CircuitPart& part : circuit.parts) {
            kinds.insert(part.kind);
            const bool mayBeLeftOut =
                part.kind == PartKind::condenserFan || part.kind == PartKind::protector;
            EXPECT_EQ(part.optional, mayBeLeftOut) << circuit.type << " " << part.id;
        }
        for (const PartKind kind : kinds) {
            EXPECT_EQ(kinds.count(kind), 1U) << circuit.type << " " << partKindInfo(kind).words;
        }
        EXPECT_EQ(kinds.count(PartKind::supply), 1U);
        EXPECT_EQ(kinds.count(PartKind::compressor), 1U);
    }
}

// The reader lets a case name parts for exactly these places.
TEST(StandardCircuits, HaveThePlacesThatACaseFileMayFill)
{
    for (const Circuit& circuit : standardCircuits()) {
        const auto types = circuitTypes();
        const auto type = std::find_if(types.begin(), types.end(), [&](const CircuitType& each) {
            return each.name == circuit.type;
        });
        ASSERT_NE(type, types.end()) << circuit.type;
        EXPECT_EQ(circuit.find(PartKind::startCapacitor) != nullptr, type->startCapacitor);
        EXPECT_EQ(circuit.find(PartKind::runCapacitor) != nullptr, type->runCapacitor);
        const bool device = circuit.find(PartKind::potentialRelay) != nullptr ||
                            circuit.find(PartKind::currentRelay) != nullptr;
        EXPECT_EQ(device, type->startDevice);
    }
}

TEST(StandardCircuits, AreFoundByTypeAndStartDevice)
{
    const Circuit* cscr = findStandardCircuit("CSCR", PartKind::potentialRelay);
    ASSERT_NE(cscr, nullptr);
    EXPECT_EQ(cscr->type, "CSCR");
    ASSERT_NE(findStandardCircuit("CSIR", PartKind::currentRelay), nullptr);
    EXPECT_EQ(findStandardCircuit("CSCR", std::nullopt), nullptr);
    EXPECT_EQ(findStandardCircuit("CSCR", PartKind::currentRelay), nullptr);
    EXPECT_EQ(findStandardCircuit("cscr", PartKind::potentialRelay), nullptr);
    EXPECT_EQ(findStandardCircuit("", PartKind::potentialRelay), nullptr);
}

// The line goes through the thermostat and nowhere past it.
TEST(StandardCircuits, FeedEverythingThroughTheThermostat)
{
    for (const Circuit& circuit : standardCircuits()) {
        EXPECT_EQ(netOf(circuit, "supply.L1"), (Net{"supply.L1", "thermostat.1"}));
    }
}

// The fan runs whenever the compressor is fed: it stands across thermostat and L2, so that a
// protector that has tripped in the common lead does not stop it.
TEST(StandardCircuits, FeedTheFanAheadOfTheProtector)
{
    for (const Circuit& circuit : standardCircuits()) {
        EXPECT_TRUE(connected(circuit, "fan.A", "thermostat.2")) << circuit.type;
        EXPECT_EQ(netOf(circuit, "fan.B"), (Net{"fan.B", "supply.L2", "protector.1"}));
        const Circuit tripped = withoutPart(circuit, "protector");
        EXPECT_TRUE(connected(tripped, "fan.A", "thermostat.2"));
        EXPECT_TRUE(connected(tripped, "fan.B", "supply.L2"));
        EXPECT_FALSE(connected(tripped, "compressor.C", "supply.L2"));
    }
}

TEST(CapacitorStartCapacitorRun, HasRelayTwoAndTheRunCapacitorOnS)
{
    EXPECT_EQ(netOf(standardCircuit("CSCR"), "compressor.S"),
              (Net{"compressor.S", "relay.2", "run-capacitor.B"}));
}

TEST(CapacitorStartCapacitorRun, HasNothingButTheStartCapacitorOnRelayOne)
{
    EXPECT_EQ(netOf(standardCircuit("CSCR"), "relay.1"), (Net{"relay.1", "start-capacitor.B"}));
}

TEST(CapacitorStartCapacitorRun, HasTheCoilAcrossStartAndCommon)
{
    const Circuit& circuit = standardCircuit("CSCR");
    EXPECT_TRUE(connected(circuit, "relay.2", "compressor.S"));
    // On C itself, inside the protector: the coil sees the winding whatever the protector drops.
    EXPECT_EQ(netOf(circuit, "relay.5"), (Net{"relay.5", "compressor.C", "protector.3"}));
}

TEST(CapacitorStartCapacitorRun, HasBothCapacitorsOnRunAndLine)
{
    EXPECT_EQ(
        netOf(standardCircuit("CSCR"), "compressor.R"),
        (Net{"compressor.R", "thermostat.2", "run-capacitor.A", "start-capacitor.A", "fan.A"}));
}

TEST(CapacitorStartInductionRun, HasNothingButTheCoilInTheRunLead)
{
    const Circuit& circuit = standardCircuit("CSIR");
    EXPECT_EQ(netOf(circuit, "compressor.R"), (Net{"compressor.R", "relay.M"}));
    EXPECT_EQ(netOf(circuit, "relay.L"), (Net{"relay.L", "thermostat.2", "fan.A"}));
}

TEST(CapacitorStartInductionRun, FeedsTheStartWindingFromTheContactThroughTheCapacitor)
{
    const Circuit& circuit = standardCircuit("CSIR");
    EXPECT_TRUE(connected(circuit, "thermostat.2", "relay.L"));
    EXPECT_EQ(netOf(circuit, "relay.S"), (Net{"relay.S", "start-capacitor.A"}));
    EXPECT_EQ(netOf(circuit, "start-capacitor.B"), (Net{"start-capacitor.B", "compressor.S"}));
}

TEST(CapacitorStartInductionRun, ReturnsThroughTheProtector)
{
    EXPECT_EQ(netOf(standardCircuit("CSIR"), "compressor.C"), (Net{"compressor.C", "protector.3"}));
}

}  // namespace splitstart
