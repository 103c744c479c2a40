// Ohms between points of a circuit at rest, against Ohm's and Kirchhoff's laws by hand.
#include "circuit/ohm_network.h"

#include <gtest/gtest.h>

#include <cmath>

#include "circuit/case_circuit.h"
#include "physics/near.h"
#include "unit/circuit/service_case.h"

namespace splitstart
{

namespace
{

constexpr WindingOhms windings = {2, 8};

double readAt(const Case& input, const Circuit& circuit, const Terminal& a, const Terminal& b)
{
    return ohmsBetween(circuit, branchesAtRest(input, circuit, windings), a, b);
}

Circuit ofType(const Case& input)
{
    return caseCircuit(input);
}

const Circuit& standard(std::string_view words)
{
    for (const Circuit& circuit : standardCircuits()) {
        if (circuit.description == words) {
            return circuit;
        }
    }
    throw std::out_of_range(std::string(words));
}

}  // namespace

TEST(OhmNetwork, IsThatOfParallelAndSeriesResistors)
{
    // A bridge that is balanced: 10 and 20 ohm in series beside 30 and 60 ohm, and any resistor
    // across the middle carries nothing. (10 + 20) parallel (30 + 60) = 22.5 ohm.
    Circuit circuit;
    circuit.parts = {{"a", PartKind::runCapacitor}, {"b", PartKind::runCapacitor}};
    const Terminal top{"a", "A"};
    const Terminal left{"a", "B"};
    const Terminal right{"b", "A"};
    const Terminal bottom{"b", "B"};
    std::vector<OhmBranch> bridge = {{top, left, 10},
                                     {left, bottom, 20},
                                     {top, right, 30},
                                     {right, bottom, 60},
                                     {left, right, 5}};
    EXPECT_TRUE(nearRel(ohmsBetween(circuit, bridge, top, bottom), 22.5, 1e-9));
    bridge.pop_back();
    // Across the middle: (10 + 30) parallel (20 + 60).
    EXPECT_TRUE(nearRel(ohmsBetween(circuit, bridge, left, right), 80.0 / 3, 1e-9));
    circuit.wires = {{left, right}};
    EXPECT_EQ(ohmsBetween(circuit, bridge, left, right), 0);
    EXPECT_TRUE(nearRel(ohmsBetween(circuit, bridge, top, bottom), 7.5 + 15, 1e-9));
}

TEST(OhmNetwork, IsOpenWhereOnlyACapacitorJoins)
{
    const Case input = caseFor(standard("permanent split capacitor"));
    const Circuit circuit = ofType(input);
    const Circuit alone = withoutPart(circuit, "compressor");
    EXPECT_TRUE(std::isinf(ohmsBetween(alone, branchesAtRest(input, alone, windings),
                                       {"run-capacitor", "A"}, {"run-capacitor", "B"})));
}

TEST(OhmNetwork, ReadsTheWindingsAtThePins)
{
    const Case input = caseFor(standard("capacitor start, capacitor run, with potential relay"));
    const Circuit circuit = ofType(input);
    EXPECT_TRUE(nearRel(readAt(input, circuit, {"compressor", "C"}, {"compressor", "R"}), 2, 1e-3));
    // The relay's coil lies across the start winding: some thousand ohms beside eight.
    const auto& relay = std::get<PotentialRelay>(input.parts.find("potential")->data);
    EXPECT_TRUE(nearRel(readAt(input, circuit, {"compressor", "C"}, {"compressor", "S"}),
                        1 / (1 / 8.0 + 1 / relay.coil_ohm), 1e-3));
}

TEST(OhmNetwork, SeesAColdPtcBesideTheWindings)
{
    const Case input = caseFor(standard("resistance start, induction run, with PTC"));
    const Circuit circuit = ofType(input);
    const auto& ptc = std::get<Ptc>(input.parts.find("ptc")->data);
    EXPECT_TRUE(nearRel(readAt(input, circuit, {"compressor", "C"}, {"compressor", "R"}),
                        1 / (1 / 2.0 + 1 / (8 + ptc.cold_ohm.middle())), 1e-3));
}

TEST(OhmNetwork, SeesABleedResistorAcrossAStartCapacitor)
{
    Case input = caseFor(standard("capacitor start, induction run, with potential relay"));
    partOf<StartCapacitor>(input, "start").bleed_ohm = 15e3;
    const Circuit circuit = withoutPart(caseCircuit(input), "compressor");
    EXPECT_TRUE(nearRel(readAt(input, circuit, {"start-capacitor", "A"}, {"start-capacitor", "B"}),
                        15e3, 1e-6));
}

}  // namespace splitstart
