// Numbers that the studies work out beside what is simulated.
#include <gtest/gtest.h>

#include <cmath>
#include <complex>
#include <limits>
#include <numbers>
#include <vector>

#include "physics/near.h"
#include "study/case_study.h"
#include "study/lesson_formula.h"
#include "study/lesson_runs.h"
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

// Over whole cycles a sine's phasor is its rms value at the angle by which it leads a sine that
// begins at time 0; a cosine leads by a right angle, and the other harmonics have no part in it
// (any text on Fourier series).
TEST(FourierPhasor, IsCountedFromASineThatBeginsAtTimeZero)
{
    constexpr double omega_rad_s = 2 * std::numbers::pi * 60;
    for (const double lead_deg : {0.0, 30.0, 90.0, -120.0}) {
        const double lead_rad = lead_deg * std::numbers::pi / 180;
        std::vector<double> time_s;
        std::vector<double> value;
        for (int i = 0; i <= 6000; ++i) {
            const double t = i * 1e-5;
            time_s.push_back(t);
            value.push_back(2 + 5 * std::numbers::sqrt2 * std::sin(omega_rad_s * t + lead_rad) +
                            3 * std::sin(3 * omega_rad_s * t));
        }
        const Complex found = fourierPhasor({time_s, value}, 0.4 / 60, 3.4 / 60, 60);
        EXPECT_TRUE(nearRel(found, std::polar(5.0, lead_rad), 1e-4)) << lead_deg;
    }
}

// Nothing but a magnetizing reactance of 230 ohm on 230 V takes 1 A a right angle behind. 230 W of
// core loss are 115 W in either axis, 0.5 A in phase with the volts; both together are the root
// of 1.25.
TEST(TextbookMotor, HasHalfOfTheCoreLossInTheAxisOfTheRunWinding)
{
    EquivalentCircuit motor = coldStoreMotor();
    motor.main_ohm = motor.mainLeakage_ohm = motor.rotorMainLeakage_ohm = 1e-9;
    motor.rotorMain_ohm = 1e9;
    motor.mainMagnetizing_ohm = 230;
    motor.coreLoss_W = 230;
    const TextbookMotor book(motor, motor.frequency_Hz, motor.resistanceTemperature_degC, 230);
    EXPECT_TRUE(nearRel(book.singlePhase(230, {}, 0).main_A, 1.118034, 1e-6));
}

}  // namespace splitstart
