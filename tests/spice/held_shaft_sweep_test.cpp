// The tables over speed, for which each deck is read once, against a deck for each speed.

#include <gtest/gtest.h>

#include <string>

#include "case/reader.h"
#include "circuit/case_circuit.h"
#include "motor/motor.h"
#include "physics/near.h"
#include "spice/measurement.h"
#include "spice/netlist.h"
#include "spice/simulation.h"
#include "study/case_study.h"
#include "study/held_shaft.h"

namespace splitstart
{
namespace
{

Waveforms heldAlone(const SimulationModel& model, SimulatorPool& pool)
{
    Analysis analysis;
    analysis.kind = Analysis::Kind::fixedFrequency;
    analysis.frequency_Hz = model.frequency_Hz;
    SimulationRequest request;
    request.deck = writeDeck(model, analysis, {"held alone", {}, false});
    request.vectors = heldShaftVectors(model);
    return pool.run(request);
}

void expectSame(const HeldShaftMeasurement& actual, const HeldShaftMeasurement& expected)
{
    // Sums that may cancel have the scale of their terms.
    const auto isNear = [](double value, double wanted, double scale) {
        return nearOfScale(value, wanted, scale, 1e-9);
    };
    const double volts = expected.runWinding_V + expected.startWinding_V;
    const double amps = expected.main_A + expected.auxiliary_A;
    const double watts = volts * amps;
    EXPECT_TRUE(isNear(actual.speed_ratio, expected.speed_ratio, 1));
    EXPECT_TRUE(isNear(actual.torque_Nm, expected.torque_Nm, watts / 100));
    EXPECT_TRUE(isNear(actual.line_A, expected.line_A, amps));
    EXPECT_TRUE(isNear(actual.compressor_A, expected.compressor_A, amps));
    EXPECT_TRUE(isNear(actual.main_A, expected.main_A, amps));
    EXPECT_TRUE(isNear(actual.auxiliary_A, expected.auxiliary_A, amps));
    EXPECT_TRUE(isNear(actual.startWinding_V, expected.startWinding_V, volts));
    EXPECT_TRUE(isNear(actual.startToRun_V, expected.startToRun_V, volts));
    EXPECT_TRUE(isNear(actual.runWinding_V, expected.runWinding_V, volts));
    EXPECT_TRUE(isNear(actual.line_W, expected.line_W, watts));
    EXPECT_TRUE(isNear(actual.startCapacitor_V.value_or(-1), expected.startCapacitor_V.value_or(-1),
                       volts));
    EXPECT_TRUE(
        isNear(actual.runCapacitor_V.value_or(-1), expected.runCapacitor_V.value_or(-1), volts));
    EXPECT_TRUE(isNear(actual.coil_V.value_or(-1), expected.coil_V.value_or(-1), volts));
    EXPECT_TRUE(isNear(actual.coil_A.value_or(-1), expected.coil_A.value_or(-1), amps));
    EXPECT_TRUE(isNear(actual.currentAngle_deg, expected.currentAngle_deg, 180));
}

class HeldShaftTables : public testing::TestWithParam<const char*>
{
};

TEST_P(HeldShaftTables, EqualADeckForEachSpeed)
{
    const Case input =
        readCaseFile(std::string(SPLITSTART_SOURCE_DIR "/examples/") + GetParam() + ".xml");
    const Circuit circuit = caseCircuit(input);
    const EquivalentCircuit motor = givenMotor(input.compressor).circuit;
    const double synchronous_rad_s = synchronousSpeed_rad_s(input.supply.frequency_Hz, motor.poles);
    SimulatorPool pool(1);
    const std::vector<HeldShaftTable> tables =
        heldShaftTables(input, circuit, motor, pool, {Release::early, Release::late});
    ASSERT_EQ(tables.size(), 4U);
    for (const HeldShaftTable& table : tables) {
        ASSERT_EQ(table.startCircuitIn.size(), 15U);
        ASSERT_EQ(table.startCircuitOut.size(), 15U);
        for (const std::size_t i : {0U, 1U, 6U, 9U, 14U}) {
            for (const bool isIn : {true, false}) {
                const HeldShaftMeasurement& swept =
                    isIn ? table.startCircuitIn[i] : table.startCircuitOut[i];
                const SimulationModel model =
                    simulationModel(input, circuit, motor, 0,
                                    {1, table.winding_degC, table.release, Pressures::equalised},
                                    {isIn ? StartContact::heldClosed : StartContact::heldOpen,
                                     swept.speed_ratio * synchronous_rad_s});
                expectSame(swept, measureHeldShaft(model, heldAlone(model, pool)));
            }
        }
    }
    EXPECT_EQ(tables[0].startCircuitIn.front().speed_ratio, 0);
    EXPECT_LT(tables[0].startCircuitIn.back().speed_ratio, 1);
    EXPECT_GT(tables[0].startCircuitIn.front().torque_Nm, 0);
}

INSTANTIATE_TEST_SUITE_P(Examples, HeldShaftTables,
                         testing::Values("shop-cooler", "circuits/cscr-current-relay",
                                         "circuits/csir-current-relay-50-hertz", "circuits/psc-ptc",
                                         "circuits/rsir-ptc"));

}  // namespace
}  // namespace splitstart
