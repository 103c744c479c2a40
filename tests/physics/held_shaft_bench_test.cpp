// The bench that the estimation is lent, models/ in ngspice with the shaft held, against double
// revolving fields (book_bench.h): every way to feed the windings, stiff and behind a source, with
// deep bars, with the case's capacitors and with others.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <random>
#include <vector>

#include "circuit/case_circuit.h"
#include "physics/book_bench.h"
#include "physics/deck.h"
#include "physics/near.h"
#include "study/held_shaft.h"
#include "unit/dairy_cases.h"
#include "unit/motor/random_motors.h"

namespace splitstart
{

namespace
{

// What the book leaves out of the case: the ohms of closed contacts and of the protector, the
// relay's coil, the capacitor's bleed resistor.
constexpr double tolerance_ratio = 0.01;

constexpr double omega_rad_s = 2 * std::numbers::pi * 60;

book::StartParts coldStoreParts()
{
    const auto branch = [](double capacitance_F, double dissipation) {
        return book::CapacitorBranch{capacitance_F, dissipation / (omega_rad_s * capacitance_F)};
    };
    return {branch(143e-6, 0.06), branch(40e-6, 0.002)};
}

void expectSame(const HeldShaftResponse& simulated, const HeldShaftResponse& book)
{
    EXPECT_TRUE(nearRel(simulated.compressor_A, book.compressor_A, tolerance_ratio));
    EXPECT_TRUE(
        nearOfScale(simulated.auxiliary_A, book.auxiliary_A, book.compressor_A, tolerance_ratio));
    EXPECT_TRUE(nearRel(simulated.startWinding_V + 1, book.startWinding_V + 1, tolerance_ratio));
    EXPECT_TRUE(nearRel(simulated.compressor_W, book.compressor_W, tolerance_ratio));
    EXPECT_TRUE(nearOfScale(simulated.torque_Nm, book.torque_Nm, book.compressor_W / omega_rad_s,
                            tolerance_ratio));
    EXPECT_TRUE(nearRel(simulated.terminal_V, book.terminal_V, tolerance_ratio));
    EXPECT_TRUE(nearRel(simulated.runWinding_V, book.runWinding_V, tolerance_ratio));
    // Relative to itself where it is more than the line.
    EXPECT_TRUE(nearOfScale(simulated.runCapacitor_V, book.runCapacitor_V,
                            std::max(230.0, book.runCapacitor_V), tolerance_ratio));
}

}  // namespace

TEST(BenchOfTheEstimation, AgreesWithRevolvingFields)
{
    const Case input = coldStoreCase();
    const HeldShaftBench simulated = heldShaftBench(input, caseCircuit(input), simulators());
    const HeldShaftBench book = book::benchWith(coldStoreParts(), 230, 60);
    std::mt19937 random(95);
    for (int i = 0; i < 3; ++i) {
        const RandomMotor motor = randomMotor(random, StartKind::capacitorAndRunCapacitor);
        std::vector<HeldShaftTrial> trials;
        for (const Feed feed :
             {Feed::startCircuitIn, Feed::startCircuitOut, Feed::runWindingAlone}) {
            for (const double speed_ratio : {0.0, 0.6, 0.95}) {
                for (const bool stiff : {true, false}) {
                    trials.push_back(
                        {motor.circuit, 220, speed_ratio, 60, feed,
                         stiff ? std::nullopt : std::optional<SourceImpedance>({0.3, 5e-4})});
                }
            }
        }
        for (const double ratio : {0.7, 1.3}) {
            trials.push_back({motor.circuit, 220, 0, 25, Feed::startCircuitIn});
            trials.back().capacitor_ratio = ratio;
        }
        const std::vector<HeldShaftResponse> a = simulated(trials);
        const std::vector<HeldShaftResponse> b = book(trials);
        ASSERT_EQ(a.size(), trials.size());
        for (std::size_t k = 0; k < trials.size(); ++k) {
            SCOPED_TRACE(testing::Message()
                         << "motor " << i << ", feed " << static_cast<int>(trials[k].feed)
                         << ", speed " << trials[k].speed_ratio << ", stiff "
                         << !trials[k].source.has_value() << ", capacitors "
                         << trials[k].capacitor_ratio);
            expectSame(a[k], b[k]);
        }
    }
}

}  // namespace splitstart
