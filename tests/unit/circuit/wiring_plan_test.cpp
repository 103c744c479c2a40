// The order of wiring: complete, the supply last, and free where it makes no difference.
#include "circuit/wiring_plan.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <set>

#include "circuit/case_circuit.h"
#include "circuit/ohm_network.h"
#include "physics/near.h"
#include "unit/circuit/service_case.h"

namespace splitstart
{

namespace
{

// Every standard circuit with every choice of its optional parts.
template <typename Each>
void forEachCircuit(const Each& each)
{
    for (const Circuit& standard : standardCircuits()) {
        for (const Service& service : everyService()) {
            if ((service.dual && !takesDual(standard)) || heatsBehindTwoPoles(standard, service)) {
                continue;
            }
            SCOPED_TRACE(standard.description + ", " + serviceText(service));
            const Case input = caseFor(standard, service);
            each(input, caseCircuit(input));
        }
    }
}

std::multiset<std::string> textOf(const std::vector<Wire>& wires)
{
    std::multiset<std::string> text;
    for (const Wire& wire : wires) {
        text.insert(terminalText(wire.from) + "=" + terminalText(wire.to));
    }
    return text;
}

std::set<std::set<Terminal>> netsOf(const Circuit& circuit)
{
    std::set<std::set<Terminal>> nets;
    const Nets all(circuit);
    for (const std::vector<Terminal>& net : all.all()) {
        nets.insert(std::set<Terminal>(net.begin(), net.end()));
    }
    return nets;
}

// The circuit with the wires of those pins exchanged: the wires that were on C now on roles[0],
// those of S on roles[1], those of R on roles[2].
Circuit landed(Circuit circuit, const std::array<const char*, 3>& roles)
{
    const std::string compressor(circuit.find(PartKind::compressor)->id);
    for (Wire& wire : circuit.wires) {
        for (Terminal* end : {&wire.from, &wire.to}) {
            if (end->part == compressor) {
                end->name = end->name == "C" ? roles[0] : end->name == "S" ? roles[1] : roles[2];
            }
        }
    }
    return circuit;
}

}  // namespace

TEST(WiringPlan, HasEachWireOnceAndTheSupplyLast)
{
    forEachCircuit([](const Case&, const Circuit& circuit) {
        const WiringPlan plan = wiringPlan(circuit);
        std::vector<Wire> wires;
        bool supplyHasBegun = false;
        for (const WiringStep& step : plan.steps) {
            wires.push_back(step.wire);
            EXPECT_EQ(std::count(step.fromMayBe.begin(), step.fromMayBe.end(), step.wire.to), 0)
                << "joins nothing: " << terminalText(step.wire.from) << " to "
                << terminalText(step.wire.to);
            const bool onSupply = step.wire.from.part == "supply" || step.wire.to.part == "supply";
            if (step.farEndLater) {
                EXPECT_TRUE(step.wire.from.part == "compressor" ||
                            step.wire.to.part == "compressor");
                continue;  // its end on the supply comes after the proof
            }
            EXPECT_TRUE(onSupply || !supplyHasBegun) << terminalText(step.wire.to);
            supplyHasBegun = supplyHasBegun || onSupply;
        }
        EXPECT_EQ(textOf(wires), textOf(circuit.wires));
    });
}

// Whatever point a person takes of those offered, the same terminals are joined in the end.
TEST(WiringPlan, OffersOnlyPointsThatMakeNoDifference)
{
    int offered = 0;
    forEachCircuit([&](const Case&, const Circuit& circuit) {
        const WiringPlan plan = wiringPlan(circuit);
        const auto wanted = netsOf(circuit);
        for (std::size_t i = 0; i < plan.steps.size(); ++i) {
            const auto check = [&](const Wire& other) {
                Circuit changed = circuit;
                changed.wires.clear();
                for (std::size_t k = 0; k < plan.steps.size(); ++k) {
                    changed.wires.push_back(k == i ? other : plan.steps[k].wire);
                }
                EXPECT_EQ(netsOf(changed), wanted)
                    << terminalText(other.from) << " to " << terminalText(other.to);
                ++offered;
            };
            for (const Terminal& from : plan.steps[i].fromMayBe) {
                check({from, plan.steps[i].wire.to});
            }
            for (const Terminal& to : plan.steps[i].toMayBe) {
                check({plan.steps[i].wire.from, to});
            }
        }
    });
    EXPECT_GT(offered, 1000);
}

// The two readings by how the three wires are landed, from the windings alone: the wires meant for
// R and C read the windings between the pins on which they are, so do those meant for S and C;
// between S and R both are in series. All six pairs differ.
TEST(WiringPlan, ItsTwoReadingsTellHowTheCompressorIsWired)
{
    constexpr WindingOhms windings = {2, 8};
    const auto between = [&](char a, char b) {
        return a != 'C' && b != 'C'   ? windings.run_ohm + windings.start_ohm
               : a == 'S' || b == 'S' ? windings.start_ohm
                                      : windings.run_ohm;
    };
    const std::array<std::array<const char*, 3>, 6> landings = {{{"C", "S", "R"},
                                                                 {"C", "R", "S"},
                                                                 {"R", "S", "C"},
                                                                 {"S", "C", "R"},
                                                                 {"S", "R", "C"},
                                                                 {"R", "C", "S"}}};
    forEachCircuit([&](const Case& input, const Circuit& circuit) {
        const WiringPlan plan = wiringPlan(circuit);
        for (const auto& roles : landings) {
            const Circuit proved = landed(wiredForProof(circuit, plan), roles);
            const auto branches = branchesAtRest(input, proved, windings);
            const double first = ohmsBetween(proved, branches, plan.runEnd, plan.commonEnd);
            const double second = ohmsBetween(proved, branches, plan.startEnd, plan.commonEnd);
            // A relay's coil and a bleed resistor lie beside the windings: thousands of ohms.
            constexpr double beside_ratio = 0.01;
            EXPECT_TRUE(nearRel(first, between(*roles[2], *roles[0]), beside_ratio))
                << roles[0] << roles[1] << roles[2];
            EXPECT_TRUE(nearRel(second, between(*roles[1], *roles[0]), beside_ratio))
                << roles[0] << roles[1] << roles[2];
        }
    });
}

TEST(WiringPlan, LeavesAPtcOffUntilTheWindingsAreRead)
{
    int lifted = 0;
    forEachCircuit([&](const Case&, const Circuit& circuit) {
        const WiringPlan plan = wiringPlan(circuit);
        const bool later = std::any_of(
            plan.steps.begin(), plan.steps.end(),
            [](const WiringStep& step) { return step.stage == WiringStage::afterProof; });
        // A start capacitor in series blocks the meter's current.
        const bool besideWindings = (circuit.find(PartKind::ptc) != nullptr ||
                                     circuit.find(PartKind::timedSwitch) != nullptr ||
                                     circuit.find(PartKind::centrifugalSwitch) != nullptr) &&
                                    circuit.find(PartKind::startCapacitor) == nullptr;
        EXPECT_EQ(later, besideWindings);
        lifted += later ? 1 : 0;
    });
    EXPECT_GT(lifted, 50);
}

}  // namespace splitstart
