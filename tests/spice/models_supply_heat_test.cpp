// conductor, limited_supply, winding_heat and fan_load in stock ngspice, against closed forms.
// Conductors and heat against published standards: tests/physics.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>
#include <random>
#include <string>

#include "circuit/conductor.h"
#include "physics/near.h"
#include "spice/both_ngspice.h"
#include "spice/stock_ngspice.h"

namespace splitstart
{
namespace
{

using Phasor = std::complex<double>;
constexpr double line_Hz = 60;
constexpr double period_s = 1 / line_Hz;
constexpr double omega_rad_s = 2 * std::numbers::pi * line_Hz;

double simulatedResistance_ohm(const std::string& parameters)
{
    return stock::operatingPoint(
        "iload 0 in dc 1\nxrun in 0 conductor metres=35 square_millimetres=4 " + parameters + "\n",
        {"v(in)"})[0];
}

TEST(ConductorModel, HasTheResistanceThatTheProgramReckonsWith)
{
    for (const double temperature_degC : {-20.0, 20.0, 75.0, 120.0}) {
        const std::string temperature = fmt::format("temperature_degc={} ", temperature_degC);
        EXPECT_TRUE(nearRel(
            simulatedResistance_ohm(temperature),
            conductorResistance_ohm(35, 4, ConductorMaterial::copper, temperature_degC), 1e-6));
        EXPECT_TRUE(nearRel(
            simulatedResistance_ohm(temperature + "aluminium=1"),
            conductorResistance_ohm(35, 4, ConductorMaterial::aluminium, temperature_degC), 1e-6));
        EXPECT_TRUE(nearRel(
            simulatedResistance_ohm(temperature + "lay_ratio=1"),
            conductorResistance_ohm(35, 4, ConductorMaterial::copper, temperature_degC, 1), 1e-6));
    }
}

TEST(ConductorModel, AddsTheReactanceOfItsLength)
{
    const Phasor drop = stock::alternating(
        "iload 0 in dc 0 ac 10\n"
        "xrun in 0 conductor metres=100 square_millimetres=6 henries_per_m=6e-7\n",
        {"v(in)"}, line_Hz)[0];
    EXPECT_TRUE(nearRel(drop.imag(), 10 * omega_rad_s * 100 * 6e-7, 1e-6));
    EXPECT_TRUE(nearRel(drop.real(),
                        10 * conductorResistance_ohm(100, 6, ConductorMaterial::copper, 75), 1e-6));
}

TEST(ConductorModel, OfNoLengthIsAsGoodAsAJoint)
{
    const std::string circuit =
        "vline line 0 dc 10 sin(0 10 60)\nxrun line out conductor metres=0\nrout out 0 1\n";
    EXPECT_TRUE(nearRel(stock::operatingPoint(circuit, {"v(out)"})[0], 10, 1e-5));
    const stock::Waveforms w =
        stock::transient(circuit, {"v(out)"}, {.end_s = 0.1, .step_s = 1e-4});
    EXPECT_TRUE(nearRel(w.rms(0, 0.05, 0.1), 10 / std::numbers::sqrt2, 1e-3));
}

struct LimitedSupply {
    double rms_V = 230;
    double frequency_Hz = line_Hz;
    double source_ohm = 0.2;
    double source_H = 0.15e-3;
    double switchOn_deg = 0;
    double limit_A = 25;

    [[nodiscard]] std::string card(const std::string& subcircuit = "limited_supply") const
    {
        return fmt::format(
                   "xsource line 0 {} rms_v={} line_hz={} source_ohms={} source_h={}"
                   " switch_on_deg={}",
                   subcircuit, rms_V, frequency_Hz, source_ohm, source_H, switchOn_deg) +
               (subcircuit == "supply" ? "\n" : fmt::format(" limit_a={}\n", limit_A));
    }
};

const std::string line_A = "i(v.xsource.vline)";

// An impedance of that size and angle at the source's frequency.
std::string impedance(double size_ohm, double angle_deg, double frequency_Hz)
{
    const double angle_rad = angle_deg * std::numbers::pi / 180;
    return fmt::format("rload line inner {}\nlload inner 0 {} ic=0\n",
                       size_ohm * std::cos(angle_rad),
                       size_ohm * std::sin(angle_rad) / (2 * std::numbers::pi * frequency_Hz));
}

// RMS of what is left of a waveform when its fundamental is taken out, over that rms value. Whole
// periods only.
double distortion_ratio(const stock::Waveforms& w, std::size_t vector, double from_s, double to_s,
                        double frequency_Hz)
{
    constexpr int points = 20000;
    double square = 0;
    Phasor fundamental = 0;
    for (int i = 0; i < points; ++i) {
        const double t = from_s + (to_s - from_s) * i / points;
        const double value = w.at(vector, t);
        square += value * value / points;
        fundamental += value * std::polar(1.0, -2 * std::numbers::pi * frequency_Hz * t) *
                       (std::numbers::sqrt2 / points);
    }
    return std::sqrt(std::max(0.0, square - std::norm(fundamental)) / square);
}

TEST(LimitedSupplyModel, BelowItsLimitIsTheUnlimitedSupply)
{
    for (const double phase_deg : {0.0, 75.0}) {
        LimitedSupply source;
        source.switchOn_deg = phase_deg;
        // 20 A; the inrush of a resistance and inductance has an offset, the rms current has not.
        const std::string load = impedance(11.5, 40, line_Hz);
        const stock::Transient analysis{.end_s = 0.3, .step_s = 1e-4};
        const stock::Waveforms limited =
            stock::transient(source.card() + load, {line_A, "v(line)"}, analysis);
        const stock::Waveforms unlimited =
            stock::transient(source.card("supply") + load, {line_A, "v(line)"}, analysis);
        for (const double t : {0.201, 0.2345, 0.299}) {
            EXPECT_TRUE(nearOfScale(limited.at(0, t), unlimited.at(0, t), 20, 3e-3));
            EXPECT_TRUE(nearOfScale(limited.at(1, t), unlimited.at(1, t), 230, 3e-3));
        }
    }
}

TEST(LimitedSupplyModel, DeliversItsLimitAndASineIntoAnyOverload)
{
    for (const double frequency_Hz : {50.0, 60.0}) {
        for (const double size_ohm : {6.0, 2.0, 0.05}) {
            for (const double angle_deg : {0.0, 45.0, 80.0, 87.0}) {
                SCOPED_TRACE(
                    fmt::format("{} Hz, {} ohm at {} degrees", frequency_Hz, size_ohm, angle_deg));
                LimitedSupply source;
                source.frequency_Hz = frequency_Hz;
                const stock::Waveforms w =
                    stock::transient(source.card() + impedance(size_ohm, angle_deg, frequency_Hz),
                                     {line_A, "v(line)"}, {.end_s = 0.6, .step_s = 1e-4});
                const double from_s = 0.6 - 10 / frequency_Hz;
                EXPECT_TRUE(nearRel(w.rms(0, from_s, 0.6), source.limit_A, 5e-3));
                EXPECT_TRUE(nearRel(w.rms(1, from_s, 0.6), source.limit_A * size_ohm, 5e-3));
                EXPECT_LT(distortion_ratio(w, 1, from_s, 0.6, frequency_Hz), 5e-3);
            }
        }
    }
}

TEST(LimitedSupplyModel, ComesDownWithinAboutAPeriod)
{
    // Resistive overloads: the rms amps of each period on its own.
    for (const double load_ohm : {5.0, 2.0}) {
        const LimitedSupply source;
        const stock::Waveforms w =
            stock::transient(source.card() + fmt::format("rload line 0 {}\n", load_ohm), {line_A},
                             {.end_s = 0.2, .step_s = 1e-4});
        const double unlimited_A = source.rms_V / (load_ohm + source.source_ohm);
        const auto ofPeriod_A = [&](int number) {
            return w.rms(0, (number - 1) * period_s, number * period_s);
        };
        EXPECT_LT(ofPeriod_A(1), unlimited_A);
        EXPECT_LT(ofPeriod_A(2) - source.limit_A, 0.25 * (unlimited_A - source.limit_A));
        EXPECT_TRUE(nearRel(ofPeriod_A(5), source.limit_A, 0.03));
    }
}

TEST(LimitedSupplyModel, ComesBackWhenTheOverloadGoes)
{
    const LimitedSupply source;
    const stock::Waveforms w =
        stock::transient(source.card() +
                             "rlight line 0 23\nvtold told 0 pwl(0 1 0.3 1 0.3001 0)\n"
                             "boverload line 0 i=v(line)*v(told)/3\n",
                         {"v(line)", line_A}, {.end_s = 0.6, .step_s = 1e-4});
    EXPECT_TRUE(nearRel(w.rms(1, 0.2, 0.3), source.limit_A, 5e-3));
    EXPECT_TRUE(nearRel(w.rms(0, 0.5, 0.6), 230 * 23 / 23.2, 2e-3));
    // All but a tenth of it three time constants later.
    EXPECT_GT(w.rms(0, 0.35, 0.35 + period_s), 0.9 * 230);
}

TEST(LimitedSupplyModel, IsUnlimitedAndExactForAlternatingAnalysis)
{
    LimitedSupply source;
    source.switchOn_deg = 30;
    const std::string load = impedance(2, 50, line_Hz);
    const auto limited = stock::alternating(source.card() + load, {line_A, "v(line)"}, line_Hz);
    const Phasor emf = std::polar(230 * std::numbers::sqrt2, std::numbers::pi / 6);
    const Phasor impedance_ohm = std::polar(2.0, 50 * std::numbers::pi / 180);
    const Phasor all_ohm = impedance_ohm + Phasor(0.2, omega_rad_s * 0.15e-3);
    EXPECT_TRUE(nearRel(limited[0], -emf / all_ohm, 1e-5));
    EXPECT_TRUE(nearRel(limited[1], emf * impedance_ohm / all_ohm, 1e-5));
}

// The motor of the model's defaults with a start capacitor, standing, its shaft held.
const std::string heldMotor =
    "xmotor 0 s line speed torque load split_phase_motor\n"
    "xcapacitor line s ac_capacitor farads=180e-6 series_ohms=3\n"
    "vload load 0 dc 0\nvheld speed 0 dc 0\n";

TEST(LimitedSupplyModel, LeavesAStandingMotorTorqueByTheSquareOfTheCurrentsRatio)
{
    LimitedSupply source;
    source.rms_V = 115;
    source.source_ohm = 0.05;
    source.source_H = 0;
    const auto run = [&](const std::string& subcircuit) {
        return stock::transient(source.card(subcircuit) + heldMotor, {line_A, "v(torque)"},
                                {.end_s = 0.6, .step_s = 1e-4});
    };
    const stock::Waveforms unlimited = run("supply");
    const double lockedRotor_A = unlimited.rms(0, 0.4, 0.6);
    source.limit_A = 0.6 * lockedRotor_A;
    const stock::Waveforms limited = run("limited_supply");
    EXPECT_TRUE(nearRel(limited.rms(0, 0.4, 0.6), source.limit_A, 2e-3));
    EXPECT_TRUE(nearRel(limited.mean(1, 0.4, 0.6), 0.36 * unlimited.mean(1, 0.4, 0.6), 5e-3));
}

TEST(LimitedSupplyModel, DecidesWhetherAMotorStarts)
{
    // A steady load of about half the starting torque that the motor has on the full line.
    const std::string motor =
        "xmotor 0 s line speed torque load split_phase_motor\n"
        "xload speed angle load steady_load torque_nm=1.5\n"
        "xcapacitor line t1 ac_capacitor farads=180e-6 series_ohms=3 bleed_ohms=15e3\n"
        "xrelay t1 s 0 coil closed potential_relay pick_up_v=150 drop_out_v=60\n";
    const auto endSpeed_rad_s = [&](double limit_A) {
        LimitedSupply source;
        source.rms_V = 115;
        source.limit_A = limit_A;
        return stock::transient(source.card() + motor, {"v(speed)"}, {.end_s = 2, .step_s = 1e-4})
            .at(0, 2);
    };
    EXPECT_GT(endSpeed_rad_s(40), 170);
    EXPECT_LT(endSpeed_rad_s(8), 20);
}

class LimitedStarts : public testing::TestWithParam<Ngspice>
{
};

// Inverters, cables, relays that chatter, protectors that trip: every run has to reach its end.
TEST_P(LimitedStarts, AtRandomNeverBreakOff)
{
    std::mt19937 generator(20240611);  // NOLINT: the same starts every time
    const auto between = [&](double lowest, double highest) {
        return std::uniform_real_distribution<double>(lowest, highest)(generator);
    };
    for (int number = 0; number < 16; ++number) {
        LimitedSupply source;
        source.rms_V = 115;
        source.switchOn_deg = between(0, 360);
        source.limit_A = between(4, 30);
        source.source_ohm = std::pow(10, between(-2, 0));
        source.source_H = number % 3 == 0 ? 0 : between(1e-5, 1e-3);
        const double pickUp_V = between(120, 190);
        const std::string circuit =
            source.card() + fmt::format("xrun line far conductor metres={}\n", between(0, 60)) +
            fmt::format(
                "xprotector far com disc hot overload_protector ultimate_trip_a={}"
                " time_constant_s=2 ambient_degc=60 reset_degc=100\n",
                between(3, 15)) +
            "xheat com run copper winding_heat square_millimetres=0.8\n"
            "xmotor 0 s run speed torque load split_phase_motor\n" +
            fmt::format("xload speed angle load compressor_load swept_m3={}\n", between(0, 6e-6)) +
            fmt::format("xcapacitor com t1 ac_capacitor farads={} series_ohms=3 bleed_ohms=15e3\n",
                        between(80e-6, 250e-6)) +
            fmt::format("xrelay t1 s 0 coil closed potential_relay pick_up_v={} drop_out_v={}\n",
                        pickUp_V, pickUp_V * between(0.3, 0.97));
        SCOPED_TRACE(circuit);
        // It throws unless it reached its end.
        const stock::Waveforms w =
            transientIn(GetParam(), circuit, {line_A, "v(copper)"},
                        {.end_s = 1, .step_s = number % 2 == 0 ? 1e-4 : 2e-4});
        EXPECT_LT(w.rms(0, 0.1, 1), 1.05 * source.limit_A);
        EXPECT_GT(w.at(1, 1), 25);
    }
}

INSTANTIATE_TEST_SUITE_P(Models, LimitedStarts, testing::Values(Ngspice::stock, Ngspice::embedded),
                         nameOf);

TEST(WindingHeatModel, IsAnAmmeterOfNoResistance)
{
    const auto volts_and_amps = stock::operatingPoint(
        "vdc in 0 dc 10\nrin in a 5\nxheat a b hot winding_heat\nrout b 0 5\n",
        {"v(a,b)", "i(v.xheat.vwinding)"});
    EXPECT_EQ(volts_and_amps[0], 0);
    EXPECT_TRUE(nearRel(volts_and_amps[1], 1, 1e-9));
}

TEST(WindingHeatModel, WithoutCurrentStaysAsItIs)
{
    const stock::Waveforms w =
        stock::transient("xheat a 0 hot winding_heat initial_degc=63\nra a 0 1\n", {"v(hot)"},
                         {.end_s = 10, .step_s = 1e-2});
    EXPECT_TRUE(nearRel(w.at(0, 0), 63, 1e-9));
    EXPECT_TRUE(nearRel(w.at(0, 10), 63, 1e-9));
}

// d(ln(234.5 + T))/dt is proportional to the square of the current, whatever its shape: a train of
// bursts heats as their sum does.
TEST(WindingHeatModel, AddsUpWhatBurstsOfAlternatingCurrentBring)
{
    const stock::Waveforms w = stock::transient(
        "vtold told 0 pulse(1 0 1 1e-4 1e-4 1 2)\n"
        "bload 0 bursts i=v(told)*28.284271247*sin(376.99111843*time)\n"
        "xbursts bursts 0 hot winding_heat square_millimetres=0.6 initial_degc=50\n"
        "isteady 0 steady dc 20\n"
        "xsteady steady 0 steadily winding_heat square_millimetres=0.6 initial_degc=50\n",
        {"v(hot)", "v(steadily)"}, {.end_s = 6, .step_s = 2e-4});
    EXPECT_GT(w.at(1, 3), 60);
    // On from 0 to 1, 2 to 3 and 4 to 5 s. A ramp of 1e-4 s more or less is 1e-4 of it.
    for (const int burst : {1, 2, 3}) {
        EXPECT_TRUE(nearRel(w.at(0, 2 * burst - 0.5) - 50, w.at(1, burst) - 50, 2e-3)) << burst;
    }
    EXPECT_NEAR(w.at(0, 3.2), w.at(0, 3.9), 1e-3);  // none of it gets away
}

TEST(WindingHeatModel, StaysFiniteFarBeyondMelting)
{
    const stock::Waveforms w = stock::transient(
        "iload 0 a sin(0 5000 60)\nxheat a 0 hot winding_heat square_millimetres=0.3\n", {"v(hot)"},
        {.end_s = 1, .step_s = 1e-3});
    EXPECT_GT(w.at(0, 1), 1085);  // where copper melts
    EXPECT_LT(w.at(0, 1), 15e3);
}

TEST(FanLoadModel, RisesByTheSquareOfTheSpeedAndOpposesItEitherWay)
{
    for (const double speed_rad_s : {60.0, 120.0, -120.0, 240.0}) {
        const auto load = stock::operatingPoint(
            fmt::format("vspeed speed 0 dc {}\nxload speed load fan_load torque_nm=2"
                        " rated_rad_s=120 friction_nm=0.3\n",
                        speed_rad_s),
            {"v(load)"});
        const double share = speed_rad_s / 120;
        EXPECT_TRUE(nearRel(load[0], std::copysign(2 * share * share + 0.3, speed_rad_s), 1e-9));
    }
}

TEST(FanLoadModel, HasNoJumpAtStandstill)
{
    const auto load = [](double speed_rad_s) {
        return stock::operatingPoint(
            fmt::format("vspeed speed 0 dc {}\nxload speed load fan_load friction_nm=0.3\n",
                        speed_rad_s),
            {"v(load)"})[0];
    };
    EXPECT_EQ(load(0), 0);
    EXPECT_NEAR(load(0.01), 0.3 * 0.01, 1e-5);
    EXPECT_NEAR(load(-0.01), -0.3 * 0.01, 1e-5);
}

// A flywheel that only the air brakes: 1/w grows evenly, d(1/w)/dt = torque/(rated^2 J).
TEST(FanLoadModel, BrakesAFlywheelHyperbolically)
{
    constexpr double inertia_kgm2 = 0.02;
    const stock::Waveforms w = stock::transient(
        fmt::format("cshaft speed 0 {} ic=180\nxload speed load fan_load torque_nm=1.5"
                    " rated_rad_s=180 friction_nm=0\ngload speed 0 load 0 1\n",
                    inertia_kgm2),
        {"v(speed)"}, {.end_s = 10, .step_s = 1e-2});
    for (const double t : {1.0, 4.0, 10.0}) {
        EXPECT_TRUE(
            nearRel(w.at(0, t), 1 / (1 / 180.0 + 1.5 / (180.0 * 180.0 * inertia_kgm2) * t), 1e-3));
    }
}

}  // namespace
}  // namespace splitstart
