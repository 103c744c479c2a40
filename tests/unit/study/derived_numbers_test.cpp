// Numbers that the studies work out beside what is simulated.
#include <gtest/gtest.h>

#include <cmath>
#include <complex>
#include <limits>

#include "physics/near.h"
#include "study/case_study.h"
#include "study/start_runs.h"
#include "unit/dairy_cases.h"

namespace splitstart
{

namespace
{

using Complex = std::complex<double>;
constexpr Complex j(0, 1);

}  // namespace

// The textbook's locked rotor with its magnetizing branch (Fitzgerald, Kingsley, Umans, "Electric
// Machinery"): stator in series with rotor and magnetizing reactance side by side. That the branch
// may be left out to a few per cent is what the function says of itself.
TEST(AuxiliaryOnLine, IsTheLockedRotorCurrentOfTheStartWindingAlone)
{
    for (const EquivalentCircuit& motor : {coldStoreMotor(), bottleCoolerMotor()}) {
        const Complex magnetizing = j * motor.auxiliaryMagnetizing_ohm;
        const Complex rotor = motor.rotorAuxiliary_ohm + j * motor.rotorAuxiliaryLeakage_ohm;
        const Complex whole = motor.auxiliary_ohm + j * motor.auxiliaryLeakage_ohm +
                              magnetizing * rotor / (magnetizing + rotor);
        for (const double volts : {115.0, 230.0}) {
            EXPECT_TRUE(nearRel(auxiliaryOnLine_A(motor, volts), volts / std::abs(whole), 0.05));
        }
    }
}

// The cold store's label says 4 to 8 s. With the time constant of 6 s, the middle, a protector that
// the label's amps heat from the label's ambient opens after 6 s: at its ends it is the label.
TEST(ProtectorOpens, AtTheLabelsAmpsAfterTheLabelsSeconds)
{
    const Case input = coldStoreCase();
    StartMeasurement measured;
    measured.protectorTripped = 0;
    measured.protectorOpens_s = 6;
    const std::optional<Range> label_s = protectorOpens_s(input, measured);
    ASSERT_TRUE(label_s);
    EXPECT_TRUE(nearRel(label_s->minimum, 4, 1e-12));
    EXPECT_TRUE(nearRel(label_s->maximum, 8, 1e-12));
}

TEST(ProtectorOpens, IsNeverWhereItWouldNotAndUnknownWhereThereIsNone)
{
    Case input = coldStoreCase();
    StartMeasurement measured;
    EXPECT_FALSE(protectorOpens_s(input, measured));
    measured.protectorTripped = 0;
    const std::optional<Range> never_s = protectorOpens_s(input, measured);
    ASSERT_TRUE(never_s);
    EXPECT_EQ(never_s->minimum, std::numeric_limits<double>::infinity());
    EXPECT_EQ(never_s->maximum, std::numeric_limits<double>::infinity());
    input.circuit->protector.clear();
    EXPECT_FALSE(protectorOpens_s(input, measured));
}

}  // namespace splitstart
