// Labels turned into parameters, against the laws that they stand for.
#include "circuit/part_physics.h"

#include <gtest/gtest.h>

#include <Eigen/Dense>
#include <cmath>
#include <complex>
#include <numbers>
#include <utility>
#include <vector>

#include "physics/near.h"
#include "unit/dairy_cases.h"

namespace splitstart
{

namespace
{

using Complex = std::complex<double>;
constexpr Complex j(0, 1);
constexpr double line_V = 276;  // across a PTC in running, 1.2 times 230 V

Ptc shelfPtc()
{
    Case input = stockedCase();
    return partOf<Ptc>(input, "ptc");
}

// Fans over the whole band of turns ratios.
std::vector<CapacitorFan> someFans()
{
    std::vector<CapacitorFan> fans;
    const double capacitor_A = 2 * std::numbers::pi * 60 * 5e-6 * 230;
    for (const double share : {1.25, 1.6, 2.0, 3.0, 5.0, 10.0}) {
        fans.push_back({230, share * capacitor_A, 5e-6, 6, true});
        fans.push_back({115, share * capacitor_A, 10e-6, 4, true});
    }
    return fans;
}

struct FanState {
    Complex main_A;
    Complex auxiliary_A;
    Complex auxiliary_V;
    double torque_Nm = 0;
};

// The textbook's steady state of the unsymmetrical two-winding machine at its rated speed (Krause,
// Wasynczuk, Sudhoff, "Analysis of Electric Machinery and Drive Systems"), the auxiliary winding
// behind its capacitor, as four complex equations for main, auxiliary and rotor currents.
FanState fanState(const CapacitorFan& fan, const FanMachine& machine, double line_Hz)
{
    const EquivalentCircuit& m = machine.circuit;
    const double omega_rad_s = 2 * std::numbers::pi * line_Hz;
    const double pairs = m.poles / 2.0;
    const double k = pairs * machine.ratedSpeed_rad_s / omega_rad_s;
    const double n = m.turnsRatio;
    const double capacitor_ohm = -1 / (omega_rad_s * fan.capacitor_F);
    const double xq = m.rotorMainLeakage_ohm + m.mainMagnetizing_ohm;
    const double xd = m.rotorAuxiliaryLeakage_ohm + m.auxiliaryMagnetizing_ohm;
    const double mm = m.mainMagnetizing_ohm;
    const double ma = m.auxiliaryMagnetizing_ohm;
    Eigen::Matrix4cd a;  // unknown: main, auxiliary, rotor q, rotor d
    a << m.main_ohm + j * (m.mainLeakage_ohm + mm), 0, j * mm, 0,                           //
        0, m.auxiliary_ohm + j * (m.auxiliaryLeakage_ohm + ma + capacitor_ohm), 0, j * ma,  //
        j * mm, -k / n * ma, m.rotorMain_ohm + j * xq, -k / n * xd,                         //
        k * n * mm, j * ma, k * n * xq, m.rotorAuxiliary_ohm + j * xd;
    const Eigen::Vector4cd volts(fan.voltage_V, fan.voltage_V, 0, 0);
    const Eigen::Vector4cd amps = a.partialPivLu().solve(volts);
    const Complex fluxQ_V = xq * amps[2] + mm * amps[0];
    const Complex fluxD_V = xd * amps[3] + ma * amps[1];
    FanState state;
    state.main_A = amps[0];
    state.auxiliary_A = amps[1];
    state.auxiliary_V = fan.voltage_V - j * capacitor_ohm * amps[1];
    state.torque_Nm = pairs / omega_rad_s *
                      (n * fluxQ_V * std::conj(amps[3]) - fluxD_V * std::conj(amps[2]) / n).real();
    return state;
}

}  // namespace

// The step response of a body heated by the square of the current, from cold, reaches the trip
// point when (I/Iu)^2 (1 - exp(-t/tau)) = 1.
TEST(ProtectorTimeConstant, GivesTheTripTimeBack)
{
    for (const double ultimate_A : {3.0, 20.0}) {
        for (const double ratio : {1.001, 1.5, 3.0, 10.0}) {
            for (const double trip_s : {0.5, 6.0, 120.0}) {
                Protector protector;
                protector.ultimateTrip_A = ultimate_A;
                protector.tripCurrent_A = ratio * ultimate_A;
                const double tau_s = protectorTimeConstant_s(protector, trip_s);
                EXPECT_GT(tau_s, 0);
                EXPECT_TRUE(nearRel(ratio * ratio * (1 - std::exp(-trip_s / tau_s)), 1, 1e-9));
            }
        }
    }
}

// Far above the ultimate current nothing is lost to the ambient: t = tau (Iu/I)^2.
TEST(ProtectorTimeConstant, IsTheAdiabaticOneAtHighCurrent)
{
    Protector protector;
    protector.ultimateTrip_A = 1;
    protector.tripCurrent_A = 1000;
    EXPECT_TRUE(nearRel(protectorTimeConstant_s(protector, 2), 2e6, 1e-5));
}

TEST(ProtectorAmbient, IsTheWindingsInsideTheShell)
{
    Protector protector;
    protector.location = ProtectorPlace::internal;
    for (const double rating_degC : {25.0, 65.0}) {  // only says how it was tested
        protector.ambient_degC = rating_degC;
        EXPECT_EQ(protectorAmbient_degC(protector, 110), 110);
        EXPECT_EQ(protectorAmbient_degC(protector, 25), 25);
        EXPECT_EQ(protectorAmbient_degC(protector, -10), -10);
    }
}

TEST(ProtectorAmbient, IsBetweenRoomAndWindingsOnTheShell)
{
    Protector protector;
    protector.location = ProtectorPlace::external;
    protector.ambient_degC = 65;
    EXPECT_EQ(protectorAmbient_degC(protector, 25), 25);
    EXPECT_EQ(protectorAmbient_degC(protector, -10), -10);
    // Half of the way up from the room, 25 degC (assumed, no source).
    EXPECT_NEAR(protectorAmbient_degC(protector, 110), 67.5, 1e-9);
}

// What the current turns into heat in the switching time, without loss, is what warms the pill from
// 25 degC to its reference temperature.
TEST(PtcHeat, TakesTheEnergyOfTheSwitchingTimeToItsReferenceTemperature)
{
    const Ptc ptc = shelfPtc();  // 16 to 24 ohm, 6 A, 125 degC
    for (const double switch_s : {0.5, 0.7, 0.9}) {
        const double energy_J = 6 * 6 * 20.0 * switch_s;
        EXPECT_TRUE(
            nearRel(ptcHeat(ptc, switch_s, line_V).capacity_J_K * (125 - 25), energy_J, 1e-12));
    }
}

// In running it stands still where what it takes from the line is what it gives to the air: its
// running watts, at the temperature at which its curve has the resistance for them.
TEST(PtcHeat, SettlesWhereItTakesItsRunningWatts)
{
    const Ptc ptc = shelfPtc();  // 2.5 W: 30 kohm at 276 V, its curve ends at 60 kohm
    const PtcHeat heat = ptcHeat(ptc, 0.7, line_V);
    EXPECT_TRUE(nearRel(heat.dissipation_W_K * (heat.running_degC - 25), 2.5, 1e-9));
    EXPECT_TRUE(nearRel(line_V * line_V / ptcRunning_ohm(ptc, line_V), 2.5, 1e-9));
}

TEST(PtcRunning, NeverHasMoreOhmsThanItsCurveHas)
{
    Ptc ptc = shelfPtc();
    ptc.running_W = 0.5;  // would be 152 kohm
    EXPECT_TRUE(nearRel(ptcRunning_ohm(ptc, line_V), 0.9 * 60e3, 1e-12));
    EXPECT_TRUE(nearRel(ptcRunning_ohm(ptc, 60), 60.0 * 60 / 0.5, 1e-12));
}

// Newton's law of cooling, C dT/dt = -D (T - Ta), in a thousand small steps (Heun).
TEST(PtcCooled, FollowsTheHeatBalanceStepByStep)
{
    const PtcHeat heat = ptcHeat(shelfPtc(), 0.7, line_V);
    for (const double ambient_degC : {25.0, 60.0}) {
        double pill_degC = heat.running_degC;
        const double step_s = 0.18;
        for (int i = 0; i < 1000; ++i) {
            const auto slope = [&](double degC) {
                return -heat.dissipation_W_K / heat.capacity_J_K * (degC - ambient_degC);
            };
            const double first = slope(pill_degC);
            pill_degC += 0.5 * step_s * (first + slope(pill_degC + step_s * first));
        }
        EXPECT_NEAR(ptcCooled_degC(heat, 180, ambient_degC), pill_degC, 0.01);
        EXPECT_EQ(ptcCooled_degC(heat, 0, ambient_degC), heat.running_degC);
        EXPECT_NEAR(ptcCooled_degC(heat, 1e6, ambient_degC), ambient_degC, 1e-9);
    }
}

// It cannot cool below the air, nor be warmed by it on the way.
TEST(PtcCooled, FallsMonotonicallyToTheAir)
{
    const PtcHeat heat = ptcHeat(shelfPtc(), 0.7, line_V);
    double before_degC = ptcCooled_degC(heat, 0, 43);
    for (double off_s = 10; off_s < 600; off_s += 10) {
        const double now_degC = ptcCooled_degC(heat, off_s, 43);
        EXPECT_LT(now_degC, before_degC);
        EXPECT_GE(now_degC, 43);
        before_degC = now_degC;
    }
}

TEST(StartDeviceAmbient, IsWhatTheCaseSaysOrThatOfTheShell)
{
    Case input = stockedCase();
    EXPECT_EQ(startDeviceAmbient_degC(input, 25), 25);
    EXPECT_GT(startDeviceAmbient_degC(input, 110), 25);
    EXPECT_LT(startDeviceAmbient_degC(input, 110), 110);
    input.circuit = CircuitChoice{};
    input.circuit->ambient_degC = 43;
    EXPECT_EQ(startDeviceAmbient_degC(input, 25), 43);
    EXPECT_EQ(startDeviceAmbient_degC(input, 110), 43);
}

// At its rated speed with its capacitor the machine draws the label's amps, its fields are two
// equal ones at right angles (main and auxiliary ampere turns a right angle apart, and no field
// that turns backwards), and the volts of the auxiliary winding are j n times the main's.
TEST(FanMachine, IsBalancedAtTheLabelsAmps)
{
    for (const CapacitorFan& fan : someFans()) {
        SCOPED_TRACE(fan.current_A / (2 * std::numbers::pi * 60 * fan.capacitor_F * fan.voltage_V));
        const FanMachine machine = fanMachine(fan, 60);
        const double n = machine.circuit.turnsRatio;
        const FanState state = fanState(fan, machine, 60);
        EXPECT_TRUE(nearRel(std::abs(state.main_A + state.auxiliary_A), fan.current_A, 1e-9));
        EXPECT_TRUE(nearRel(n * state.auxiliary_A, j * state.main_A, 1e-9));
        EXPECT_TRUE(nearRel(state.auxiliary_V, j * n * fan.voltage_V, 1e-9));
    }
}

// With the fields balanced, a winding is the impedance of the forward field alone: stator, and
// magnetizing branch beside the rotor at the slip.
TEST(FanMachine, HasTheImpedanceOfTheForwardFieldAlone)
{
    for (const CapacitorFan& fan : someFans()) {
        const FanMachine machine = fanMachine(fan, 60);
        const EquivalentCircuit& m = machine.circuit;
        const double synchronous_rad_s = 2 * std::numbers::pi * 60 / (m.poles / 2.0);
        const double slip = 1 - machine.ratedSpeed_rad_s / synchronous_rad_s;
        EXPECT_GT(slip, 0);
        const Complex rotor(m.rotorMain_ohm / slip, m.rotorMainLeakage_ohm);
        const Complex magnetizing = j * m.mainMagnetizing_ohm;
        const Complex winding =
            Complex(m.main_ohm, m.mainLeakage_ohm) + magnetizing * rotor / (magnetizing + rotor);
        EXPECT_TRUE(nearRel(winding, Complex(machine.main_ohm, machine.mainReactance_ohm), 1e-9));
        // The line's amps as of two such windings, the second behind the capacitor.
        const Complex second = m.turnsRatio * m.turnsRatio * winding -
                               j / (2 * std::numbers::pi * 60 * fan.capacitor_F);
        EXPECT_TRUE(nearRel(std::abs(fan.voltage_V / winding + fan.voltage_V / second),
                            fan.current_A, 1e-9));
        EXPECT_GT(m.mainMagnetizing_ohm, 0);
        EXPECT_GT(m.rotorMain_ohm, 0);
    }
}

TEST(FanMachine, GivesItsRatedTorqueAtItsRatedSpeed)
{
    for (const CapacitorFan& fan : someFans()) {
        const FanMachine machine = fanMachine(fan, 60);
        const FanState state = fanState(fan, machine, 60);
        EXPECT_TRUE(nearRel(state.torque_Nm, machine.rated_Nm, 1e-9));
        // What goes in comes out at the shaft or heats a winding.
        const double input_W = fan.voltage_V * (state.main_A + state.auxiliary_A).real();
        const double shaft_W = state.torque_Nm * machine.ratedSpeed_rad_s;
        EXPECT_GT(shaft_W, 0.4 * input_W);
        EXPECT_LT(shaft_W, input_W);
        EXPECT_GT(machine.circuit.inertia_kgm2, 0);
    }
}

// Amps between 1.25 and 10 times the capacitor's own: turns ratios from 0.5 to 3.
TEST(FanAmps, AreThoseOfTurnsRatiosFromAHalfToThree)
{
    CapacitorFan fan{230, 0, 5e-6, 6, true};
    const Range fitting_A = fanAmps(fan, 60);
    fan.current_A = fitting_A.minimum;
    EXPECT_TRUE(nearRel(fanMachine(fan, 60).circuit.turnsRatio, 0.5, 1e-9));
    fan.current_A = fitting_A.maximum;
    EXPECT_TRUE(nearRel(fanMachine(fan, 60).circuit.turnsRatio, 3, 1e-9));
    for (const auto& [factor, fits] : {std::pair(1.001, true), std::pair(0.999, false)}) {
        fan.current_A = factor * fitting_A.minimum;
        EXPECT_EQ(isFanMachine(fan, 60), fits);
        fan.current_A = fitting_A.maximum / factor;
        EXPECT_EQ(isFanMachine(fan, 60), fits);
    }
    // At another frequency the same label is another motor.
    fan.current_A = 1.001 * fitting_A.minimum;
    EXPECT_TRUE(isFanMachine(fan, 50));
    EXPECT_FALSE(isFanMachine(fan, 70));
}

}  // namespace splitstart
