#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "physics/near.h"
#include "rating/check.h"

namespace splitstart
{

namespace
{

// Torque 10 (1 - speed), amps 20 - 10 speed, volts 100 + 100 speed, at a few speeds.
std::vector<HeldShaftMeasurement> straightTable()
{
    std::vector<HeldShaftMeasurement> table;
    for (const double speed_ratio : {0.0, 0.5, 0.8, 0.9, 0.95}) {
        HeldShaftMeasurement row;
        row.speed_ratio = speed_ratio;
        row.torque_Nm = 10 * (1 - speed_ratio);
        row.line_A = 20 - 10 * speed_ratio;
        row.compressor_A = 18 - 10 * speed_ratio;
        row.main_A = 15 - 10 * speed_ratio;
        row.auxiliary_A = 12 - 10 * speed_ratio;
        row.startWinding_V = 100 + 100 * speed_ratio;
        row.startToRun_V = 200 + 100 * speed_ratio;
        row.runWinding_V = 300 + 100 * speed_ratio;
        row.line_W = 1000 - 500 * speed_ratio;
        row.startCapacitor_V = 50 + 100 * speed_ratio;
        row.runCapacitor_V = 60 + 100 * speed_ratio;
        row.coil_V = 70 + 100 * speed_ratio;
        row.coil_A = 9 - 10 * speed_ratio;
        row.currentAngle_deg = 90 - 20 * speed_ratio;
        table.push_back(row);
    }
    return table;
}

void expectStraight(const HeldShaftMeasurement& row, double speed_ratio, double line_ratio)
{
    const double square = line_ratio * line_ratio;
    const double s = speed_ratio;
    EXPECT_TRUE(nearRel(row.torque_Nm, square * 10 * (1 - s), 1e-12));
    EXPECT_TRUE(nearRel(row.line_W, square * (1000 - 500 * s), 1e-12));
    EXPECT_TRUE(nearRel(row.line_A, line_ratio * (20 - 10 * s), 1e-12));
    EXPECT_TRUE(nearRel(row.compressor_A, line_ratio * (18 - 10 * s), 1e-12));
    EXPECT_TRUE(nearRel(row.main_A, line_ratio * (15 - 10 * s), 1e-12));
    EXPECT_TRUE(nearRel(row.auxiliary_A, line_ratio * (12 - 10 * s), 1e-12));
    EXPECT_TRUE(nearRel(row.startWinding_V, line_ratio * (100 + 100 * s), 1e-12));
    EXPECT_TRUE(nearRel(row.startToRun_V, line_ratio * (200 + 100 * s), 1e-12));
    EXPECT_TRUE(nearRel(row.runWinding_V, line_ratio * (300 + 100 * s), 1e-12));
    EXPECT_TRUE(nearRel(row.startCapacitor_V.value(), line_ratio * (50 + 100 * s), 1e-12));
    EXPECT_TRUE(nearRel(row.runCapacitor_V.value(), line_ratio * (60 + 100 * s), 1e-12));
    EXPECT_TRUE(nearRel(row.coil_V.value(), line_ratio * (70 + 100 * s), 1e-12));
    EXPECT_TRUE(nearOfScale(row.coil_A.value(), line_ratio * (9 - 10 * s), 9, 1e-12));
    EXPECT_TRUE(nearRel(row.currentAngle_deg, 90 - 20 * s, 1e-12));
}

}  // namespace

TEST(HeldAt, IsTheRowAtItsOwnSpeed)
{
    const auto table = straightTable();
    for (const HeldShaftMeasurement& row : table) {
        expectStraight(heldAt(table, row.speed_ratio, 1), row.speed_ratio, 1);
    }
}

// A linear circuit: volts and amps go with the line, torque and watts with its square.
TEST(HeldAt, InterpolatesAndScalesWithTheLine)
{
    const auto table = straightTable();
    for (const double speed_ratio : {0.1, 0.25, 0.62, 0.87, 0.93}) {
        for (const double line_ratio : {0.85, 1.0, 1.1}) {
            expectStraight(heldAt(table, speed_ratio, line_ratio), speed_ratio, line_ratio);
            EXPECT_EQ(heldAt(table, speed_ratio, line_ratio).speed_ratio, speed_ratio);
        }
    }
}

TEST(HeldAt, StaysAtTheEndsOutsideTheTable)
{
    const auto table = straightTable();
    expectStraight(heldAt(table, -0.2, 1), 0, 1);
    expectStraight(heldAt(table, 1.0, 1), 0.95, 1);
}

TEST(HeldAt, TurnsTheAngleTheShortWayRound)
{
    auto table = straightTable();
    table[0].currentAngle_deg = 170;
    table[1].currentAngle_deg = -170;
    EXPECT_TRUE(nearRel(std::abs(heldAt(table, 0.25, 1).currentAngle_deg), 180, 1e-12));
    EXPECT_TRUE(nearRel(heldAt(table, 0.125, 1).currentAngle_deg, 175, 1e-12));
    EXPECT_TRUE(nearRel(heldAt(table, 0.375, 1).currentAngle_deg, -175, 1e-12));
}

TEST(HeldAt, LeavesEmptyWhatTheCircuitDoesNotHave)
{
    auto table = straightTable();
    for (HeldShaftMeasurement& row : table) {
        row.runCapacitor_V.reset();
        row.coil_A.reset();
    }
    EXPECT_FALSE(heldAt(table, 0.3, 1).runCapacitor_V);
    EXPECT_FALSE(heldAt(table, 0.3, 1).coil_A);
    EXPECT_TRUE(heldAt(table, 0.3, 1).coil_V);
    EXPECT_TRUE(heldAt(table, 0.3, 1).startCapacitor_V);
}

TEST(SpeedAtTorque, IsWhereTheCurveMeetsTheTorque)
{
    const auto table = straightTable();
    for (const double torque_Nm : {9.0, 4.2, 1.5, 0.7}) {
        for (const double line_ratio : {0.9, 1.0, 1.1}) {
            const double exact = 1 - torque_Nm / (10 * line_ratio * line_ratio);
            if (exact > 0) {
                EXPECT_TRUE(
                    nearRel(speedAtTorque(table, torque_Nm, line_ratio).value(), exact, 1e-9));
            }
        }
    }
}

TEST(SpeedAtTorque, IsTheHighestOfTheTableWhenTheMotorIsStillStronger)
{
    EXPECT_EQ(speedAtTorque(straightTable(), 0.3, 1), 0.95);
    EXPECT_EQ(speedAtTorque(straightTable(), 0, 1), 0.95);
}

TEST(SpeedAtTorque, IsEmptyWhenTheMotorIsNowhereStrongEnough)
{
    EXPECT_EQ(speedAtTorque(straightTable(), 10.1, 1), std::nullopt);
    EXPECT_EQ(speedAtTorque(straightTable(), 9, 0.9), std::nullopt);
}

// A torque that rises to a crest and falls: the motor runs on the falling side.
TEST(SpeedAtTorque, IsTheHigherOfTwoSpeeds)
{
    std::vector<HeldShaftMeasurement> table(4);
    table[1].speed_ratio = 0.4;
    table[2].speed_ratio = 0.8;
    table[3].speed_ratio = 1.0;
    table[0].torque_Nm = 1;
    table[1].torque_Nm = 5;
    table[2].torque_Nm = 9;
    table[3].torque_Nm = 0;
    EXPECT_TRUE(nearRel(speedAtTorque(table, 3, 1).value(), 0.8 + 0.2 * 6 / 9, 1e-12));
}

}  // namespace splitstart
