// split_phase_motor.lib in stock ngspice, against the textbook's equations solved here once more.
//
// Source: P. C. Krause, O. Wasynczuk, S. D. Sudhoff, "Analysis of Electric Machinery and Drive
// Systems", chapter on unsymmetrical two-phase induction machines, in the stationary frame (from
// memory), with d/dt replaced by j omega.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>

#include "physics/near.h"
#include "spice/stock_ngspice.h"

namespace splitstart
{
namespace
{

using Phasor = std::complex<double>;
constexpr Phasor j{0, 1};
constexpr double line_Hz = 60;
constexpr double omega_rad_s = 2 * std::numbers::pi * line_Hz;
constexpr double peak_V = 110 * std::numbers::sqrt2;

// Defaults: the 110 V, 60 Hz, quarter-horsepower machine of the book, four poles.
struct Machine {
    double main_ohm = 2.02;
    double mainLeakage_H = 2.79 / omega_rad_s;
    double mainMagnetizing_H = 66.8 / omega_rad_s;
    double rotorQ_ohm = 4.12;
    double rotorQLeakage_H = 2.12 / omega_rad_s;
    double auxiliary_ohm = 7.14;
    double auxiliaryLeakage_H = 3.22 / omega_rad_s;
    double auxiliaryMagnetizing_H = 92.9 / omega_rad_s;
    double rotorD_ohm = 5.74;
    double rotorDLeakage_H = 2.95 / omega_rad_s;
    double turns_ratio = 1.18;
    double polePairs = 2;
    double inertia_kgm2 = 0.0146;
    double coreLoss_ohm = 1e9;
    double friction_Nms = 0;

    [[nodiscard]] double synchronous_rad_s() const { return omega_rad_s / polePairs; }

    // Nodes: 0 common, aux, line; speed, torque, load.
    [[nodiscard]] std::string card(const std::string& more = "") const
    {
        return fmt::format(
            "xmotor 0 aux line speed torque load split_phase_motor main_ohms={}"
            " main_leakage_h={} main_magnetizing_h={} rotor_main_ohms={}"
            " rotor_main_leakage_h={}\n+ auxiliary_ohms={} auxiliary_leakage_h={}"
            " auxiliary_magnetizing_h={} rotor_auxiliary_ohms={} rotor_auxiliary_leakage_h={}\n"
            "+ turns_ratio={} pole_pairs={} inertia_kgm2={} core_loss_ohms={} friction_nms={} {}\n",
            main_ohm, mainLeakage_H, mainMagnetizing_H, rotorQ_ohm, rotorQLeakage_H, auxiliary_ohm,
            auxiliaryLeakage_H, auxiliaryMagnetizing_H, rotorD_ohm, rotorDLeakage_H, turns_ratio,
            polePairs, inertia_kgm2, coreLoss_ohm, friction_Nms, more);
    }
};

struct Steady {
    Phasor main_A, auxiliary_A, rotorQ_A, rotorD_A;  // peak
    double torque_Nm = 0;                            // mean
};

// Main winding on the line, auxiliary winding on the line through `branch_ohm`.
Steady bookSolution(const Machine& m, double speed_rad_s, Phasor branch_ohm)
{
    const double n = m.turns_ratio;
    const double electrical_rad_s = m.polePairs * speed_rad_s;
    // Core loss in parallel with a magnetizing inductance: flux per ampere of the branch.
    const auto linked = [](double magnetizing_H, double loss_ohm) {
        return magnetizing_H * loss_ohm / (loss_ohm + j * omega_rad_s * magnetizing_H);
    };
    const Phasor lq = linked(m.mainMagnetizing_H, m.coreLoss_ohm);
    const Phasor ld = linked(m.auxiliaryMagnetizing_H, n * n * m.coreLoss_ohm);
    const Phasor jw = j * omega_rad_s;
    Eigen::Matrix4cd z = Eigen::Matrix4cd::Zero();  // unknowns: main, auxiliary, rotor q, rotor d
    z(0, 0) = m.main_ohm + jw * (m.mainLeakage_H + lq);
    z(0, 2) = jw * lq;
    z(1, 1) = m.auxiliary_ohm + branch_ohm + jw * (m.auxiliaryLeakage_H + ld);
    z(1, 3) = jw * ld;
    z(2, 0) = jw * lq;
    z(2, 2) = m.rotorQ_ohm + jw * (m.rotorQLeakage_H + lq);
    z(2, 1) = -electrical_rad_s / n * ld;
    z(2, 3) = -electrical_rad_s / n * (m.rotorDLeakage_H + ld);
    z(3, 1) = jw * ld;
    z(3, 3) = m.rotorD_ohm + jw * (m.rotorDLeakage_H + ld);
    z(3, 0) = electrical_rad_s * n * lq;
    z(3, 2) = electrical_rad_s * n * (m.rotorQLeakage_H + lq);
    const Eigen::Vector4cd i = z.partialPivLu().solve(Eigen::Vector4cd(peak_V, peak_V, 0, 0));
    const Phasor fluxQ = m.rotorQLeakage_H * i(2) + lq * (i(0) + i(2));
    const Phasor fluxD = m.rotorDLeakage_H * i(3) + ld * (i(1) + i(3));
    const double torque_Nm =
        m.polePairs * 0.5 * (n * fluxQ * std::conj(i(3)) - fluxD * std::conj(i(2)) / n).real();
    return {i(0), i(1), i(2), i(3), torque_Nm};
}

constexpr double branch_F = 1 / (omega_rad_s * 14.5);
constexpr Phasor startBranch_ohm{3, -14.5};
constexpr Phasor openBranch_ohm{1e9, 0};

const std::string supplyCards =
    "vload load 0 dc 0\n"
    "xsupply line 0 supply rms_v=110 line_hz=60 source_ohms=1e-6 source_h=0\n";
const std::string openCards = supplyCards + "ropen line aux 1e9\n";
const std::string startCards =
    supplyCards + fmt::format("xcap line aux ac_capacitor farads={} series_ohms=3\n", branch_F);

std::string heldAt(double speed_rad_s)
{
    return fmt::format("vheld speed 0 dc {}\n", speed_rad_s);
}

Steady simulatedPhasors(const Machine& m, double speed_rad_s, const std::string& circuit)
{
    const auto p = stock::alternating(m.card() + circuit + heldAt(speed_rad_s),
                                      {"i(v.xmotor.vmain)", "i(v.xmotor.vaux)", "i(v.xmotor.vrotq)",
                                       "i(v.xmotor.vrotd)", "v(xmotor.psiq)", "v(xmotor.psid)"},
                                      line_Hz);
    const double n = m.turns_ratio;
    return {p[0], p[1], p[2], p[3],
            m.polePairs * 0.5 * (n * p[4] * std::conj(p[3]) - p[5] * std::conj(p[2]) / n).real()};
}

TEST(MotorModel, LockedMainWindingDrawsTheCurrentOfTheEquivalentCircuit)
{
    const Machine m;
    const Phasor magnetizing = j * 66.8;
    const Phasor rotor{4.12, 2.12};
    const Phasor z = Phasor{2.02, 2.79} + magnetizing * rotor / (magnetizing + rotor);
    EXPECT_TRUE(nearRel(simulatedPhasors(m, 0, openCards).main_A, peak_V / z, 1e-6));
}

TEST(MotorModel, CurrentsAtAnySpeedAreThoseOfTheBook)
{
    Machine lossy;
    lossy.coreLoss_ohm = 400;
    for (const Machine& m : {Machine{}, lossy}) {
        for (const double slip : {2.0, 1.0, 0.75, 0.5, 0.25, 0.1, 0.05, 0.0, -0.05}) {
            SCOPED_TRACE(fmt::format("slip {}, core loss {} ohm", slip, m.coreLoss_ohm));
            const double speed_rad_s = (1 - slip) * m.synchronous_rad_s();
            for (const bool starting : {true, false}) {
                const Steady expected =
                    bookSolution(m, speed_rad_s, starting ? startBranch_ohm : openBranch_ohm);
                const Steady found =
                    simulatedPhasors(m, speed_rad_s, starting ? startCards : openCards);
                EXPECT_TRUE(nearRel(found.main_A, expected.main_A, 1e-5));
                EXPECT_TRUE(nearRel(found.rotorQ_A, expected.rotorQ_A, 1e-5));
                EXPECT_TRUE(nearOfScale(found.torque_Nm, expected.torque_Nm, 1, 1e-4));
                if (starting) {
                    EXPECT_TRUE(nearRel(found.auxiliary_A, expected.auxiliary_A, 1e-5));
                    EXPECT_TRUE(nearRel(found.rotorD_A, expected.rotorD_A, 1e-5));
                }
            }
        }
    }
}

TEST(MotorModel, MeanTorqueOfATransientIsThatOfThePhasors)
{
    Machine m;
    m.coreLoss_ohm = 400;
    // Started with the capacitor in, run without.
    for (const auto& [slip, starting] : {std::pair{1.0, true}, {0.4, true}, {0.05, false}}) {
        SCOPED_TRACE(slip);
        const double speed_rad_s = (1 - slip) * m.synchronous_rad_s();
        const stock::Waveforms w =
            stock::transient(m.card() + (starting ? startCards : openCards) + heldAt(speed_rad_s),
                             {"v(torque)"}, {.end_s = 0.8, .step_s = 1e-4});
        const Phasor branch_ohm = starting ? startBranch_ohm : openBranch_ohm;
        EXPECT_TRUE(nearRel(w.mean(0, 0.6, 0.8), bookSolution(m, speed_rad_s, branch_ohm).torque_Nm,
                            0.005));
    }
}

TEST(MotorModel, MainWindingAloneHasNoTorqueAtStandstill)
{
    const Machine m;
    const std::vector<std::string> torque = {"v(torque)"};
    const stock::Transient analysis{.end_s = 0.1, .step_s = 1e-4};
    const double alone =
        stock::transient(m.card() + openCards, torque, analysis).highestMagnitude(0, 0, 0.1);
    const double both =
        stock::transient(m.card() + startCards, torque, analysis).highestMagnitude(0, 0, 0.1);
    EXPECT_GT(both, 1);
    EXPECT_LT(alone, 1e-6 * both);
}

TEST(MotorModel, ReversingTheAuxiliaryWindingReversesTheRotation)
{
    // Both windings have the common terminal inside the model, so that the reversal is done by the
    // voltage at the terminal: the branch hangs on the inverted line.
    const Machine m;
    const std::string reversed =
        supplyCards + "eline inverted 0 line 0 -1\n" +
        fmt::format("xcap inverted aux ac_capacitor farads={} series_ohms=3\n", branch_F);
    const stock::Transient analysis{.end_s = 0.3, .step_s = 1e-4};
    const double forward_rad_s =
        stock::transient(m.card() + startCards, {"v(speed)"}, analysis).at(0, 0.3);
    const double backward_rad_s =
        stock::transient(m.card() + reversed, {"v(speed)"}, analysis).at(0, 0.3);
    EXPECT_GT(forward_rad_s, 50);
    EXPECT_TRUE(nearRel(backward_rad_s, -forward_rad_s, 1e-3));
}

TEST(MotorModel, StatorResistanceFollowsTheCopperLaw)
{
    // IEC 60034-1 gives 235 for copper; 234.5 is the usual value behind the International Annealed
    // Copper Standard. The two differ by less than 0.1 % over this range.
    const Machine m;
    for (const double hot_degC : {-20.0, 25.0, 75.0, 150.0}) {
        const auto i = stock::operatingPoint(
            m.card(fmt::format("resistance_temperature_degc=20 main_temperature_degc={0}"
                               " auxiliary_temperature_degc={0}",
                               hot_degC)) +
                "vline line 0 dc 10\nvaux aux 0 dc 10\nvload load 0 dc 0\n" + heldAt(0),
            {"i(v.xmotor.vmain)", "i(v.xmotor.vaux)"});
        const double copper = (234.5 + hot_degC) / (234.5 + 20);
        EXPECT_TRUE(nearRel(i[0], 10 / (m.main_ohm * copper), 1e-6));
        EXPECT_TRUE(nearRel(i[1], 10 / (m.auxiliary_ohm * copper), 1e-6));
        EXPECT_TRUE(nearRel(copper, (235 + hot_degC) / (235 + 20), 1e-3));
    }
}

TEST(MotorModel, RotorResistanceFollowsTheAluminiumLawOfIec60034)
{
    Machine hot;
    hot.rotorQ_ohm *= (225 + 120.0) / (225 + 20);
    hot.rotorD_ohm *= (225 + 120.0) / (225 + 20);
    const double speed_rad_s = 0.7 * hot.synchronous_rad_s();
    const auto found = stock::alternating(
        Machine{}.card("resistance_temperature_degc=20 main_temperature_degc=20"
                       " auxiliary_temperature_degc=20 rotor_temperature_degc=120") +
            startCards + heldAt(speed_rad_s),
        {"i(v.xmotor.vmain)", "i(v.xmotor.vrotd)"}, line_Hz);
    const Steady expected = bookSolution(hot, speed_rad_s, startBranch_ohm);
    EXPECT_TRUE(nearRel(found[0], expected.main_A, 1e-5));
    EXPECT_TRUE(nearRel(found[1], expected.rotorD_A, 1e-5));
}

// Fitzgerald, Kingsley, Umans, "Electric Machinery", deep-bar rotors, in the circuit of the header:
// at standstill both fields have line frequency in the rotor, so that one T circuit does for each.
TEST(MotorModel, DeepBarAtStandstillIsItsLadderAtAnyLineFrequencyAndRotorTemperature)
{
    const Machine m;
    constexpr double ratio = 1.5;
    constexpr double corner_Hz = 25;
    const double bar_H = ratio * m.rotorQ_ohm / (2 * std::numbers::pi * corner_Hz);
    for (const double rotor_degC : {20.0, 150.0}) {
        const double factor = (225 + rotor_degC) / (225 + 20);
        for (const double frequency_Hz : {0.5, 5.0, 25.0, 60.0, 400.0}) {
            SCOPED_TRACE(fmt::format("{} Hz, rotor at {} degC", frequency_Hz, rotor_degC));
            const auto found = stock::alternating(
                m.card(fmt::format("rotor_bar_ohms_ratio={} rotor_bar_corner_hz={}"
                                   " resistance_temperature_degc=20 main_temperature_degc=20"
                                   " auxiliary_temperature_degc=20 rotor_temperature_degc={}",
                                   ratio, corner_Hz, rotor_degC)) +
                    "vline line 0 dc 0 ac 1\nropen line aux 1e9\nvload load 0 dc 0\n" + heldAt(0),
                {"i(v.xmotor.vmain)"}, frequency_Hz);
            const Phasor jw = j * 2.0 * std::numbers::pi * frequency_Hz;
            const Phasor bar_ohm = factor * ratio * m.rotorQ_ohm;
            const Phasor rotor_ohm = factor * m.rotorQ_ohm + jw * m.rotorQLeakage_H +
                                     bar_ohm * jw * bar_H / (bar_ohm + jw * bar_H);
            const Phasor magnetizing_ohm = jw * m.mainMagnetizing_H;
            EXPECT_TRUE(nearRel(found[0],
                                1.0 / (m.main_ohm + jw * m.mainLeakage_H +
                                       magnetizing_ohm * rotor_ohm / (magnetizing_ohm + rotor_ohm)),
                                1e-5));
        }
    }
}

// Direct currents in both windings, and the flux that they leave in the core: the curve of the
// header backwards, and along the flux whatever its direction.
TEST(MotorModel, SaturationFollowsItsCurveInEveryDirection)
{
    Machine m;
    m.auxiliaryMagnetizing_H *= 1.2;  // so that it is not turns_ratio^2 times the main one
    constexpr double slope = 5;
    constexpr double knee_Vs = 0.4;
    for (const double direction_deg : {0.0, 30.0, 90.0, 200.0}) {
        for (const double length_Vs : {0.05, 0.3, 0.4, 0.5, 1.2}) {
            SCOPED_TRACE(fmt::format("{} V s at {} degrees", length_Vs, direction_deg));
            const double q_Vs = length_Vs * std::cos(direction_deg * std::numbers::pi / 180);
            const double d_Vs =
                m.turns_ratio * length_Vs * std::sin(direction_deg * std::numbers::pi / 180);
            // Of one ampere-turn a volt-second in main turns needs, beyond a linear core.
            const double excess = slope / m.mainMagnetizing_H *
                                  (1 - std::pow(1 + std::pow(length_Vs / knee_Vs, 8), -0.125));
            const double main_A = q_Vs / m.mainMagnetizing_H + excess * q_Vs;
            const double auxiliary_A =
                d_Vs / m.auxiliaryMagnetizing_H + excess * (d_Vs / m.turns_ratio) / m.turns_ratio;
            const auto found = stock::operatingPoint(
                m.card(fmt::format("saturation_slope_ratio={} saturation_knee_v_s={}", slope,
                                   knee_Vs)) +
                    fmt::format("imain 0 line dc {}\niaux 0 aux dc {}\nvload load 0 dc 0\n", main_A,
                                auxiliary_A) +
                    heldAt(0),
                {"v(xmotor.psiq)", "v(xmotor.psid)"});
            EXPECT_TRUE(nearOfScale(found[0], q_Vs, length_Vs, 2e-3));
            EXPECT_TRUE(nearOfScale(found[1], d_Vs, length_Vs, 2e-3));
        }
    }
}

TEST(MotorModel, CoastsDownFromItsInitialSpeedByFriction)
{
    Machine m;
    m.friction_Nms = 0.02;
    const stock::Waveforms w = stock::transient(
        m.card("initial_speed_rad_s=150") + "rline line 0 1\nraux aux 0 1\nvload load 0 dc 0\n",
        {"v(speed)"}, {.end_s = 1, .step_s = 1e-3});
    EXPECT_TRUE(nearRel(w.at(0, 0), 150, 1e-6));
    EXPECT_TRUE(nearRel(w.at(0, 1), 150 * std::exp(-1 * m.friction_Nms / m.inertia_kgm2), 1e-3));
}

TEST(MotorModel, EnergyOfAStartIsAccountedFor)
{
    Machine m;
    m.coreLoss_ohm = 500;
    m.friction_Nms = 1e-3;
    constexpr double end_s = 1;
    constexpr double switching_rad_s = 140;
    // Everything that takes power is an element whose power can be added up from outside.
    const std::string circuit =
        m.card() + fmt::format(
                       "xsupply line 0 supply rms_v=110 line_hz=60 source_ohms=0.3 source_h=2e-4\n"
                       "xload speed angle load steady_load torque_nm=0.8 friction_nm=0.1\n"
                       "bdrive drive 0 v={}-v(speed)\n"
                       "xswitch line cap drive contact threshold_v=0 hysteresis_v=0.01\n"
                       "xcap cap aux ac_capacitor farads={} series_ohms=3\n",
                       switching_rad_s, branch_F);
    const stock::Waveforms w = stock::transient(
        circuit,
        {"i(v.xmotor.vmain)", "i(v.xmotor.vaux)", "i(v.xmotor.vrotq)", "i(v.xmotor.vrotd)",
         "v(xmotor.gapq)", "v(xmotor.gapd)", "v(speed)", "v(load)", "i(v.xsupply.vline)",
         "v(xsupply.emf)", "v(line)", "v(cap)", "v(xcap.plate)", "v(aux)"},
        {.end_s = end_s, .step_s = 5e-5});
    const auto& v = w.values;
    // Straight lines between the points, of the powers.
    const auto work_J = [&](const auto& power_W) {
        stock::Waveforms p{w.time_s, {std::vector<double>(w.time_s.size())}};
        for (std::size_t k = 0; k < w.time_s.size(); ++k) {
            p.values[0][k] = power_W(k);
        }
        return end_s * p.mean(0, 0, end_s);
    };
    const auto square = [](double x) { return x * x; };
    const double supplied = work_J([&](std::size_t k) { return -v[9][k] * v[8][k]; });
    const double copper = work_J([&](std::size_t k) {
        return m.main_ohm * square(v[0][k]) + (m.auxiliary_ohm + 3) * square(v[1][k]) +
               m.rotorQ_ohm * square(v[2][k]) + m.rotorD_ohm * square(v[3][k]) +
               0.3 * square(v[8][k]) + (v[10][k] - v[11][k]) * v[1][k];
    });
    const double core = work_J([&](std::size_t k) {
        return square(v[4][k]) / m.coreLoss_ohm + square(v[5][k] / m.turns_ratio) / m.coreLoss_ohm;
    });
    const double friction = work_J([&](std::size_t k) { return m.friction_Nms * square(v[6][k]); });
    const double shaft = work_J([&](std::size_t k) { return v[7][k] * v[6][k]; });
    const std::size_t last = w.time_s.size() - 1;
    const double magnetizingQ_A = v[0][last] + v[2][last] - v[4][last] / m.coreLoss_ohm;
    const double magnetizingD_A =
        v[1][last] + v[3][last] - v[5][last] / (square(m.turns_ratio) * m.coreLoss_ohm);
    const double stored =
        0.5 * (m.inertia_kgm2 * square(v[6][last]) + branch_F * square(v[12][last] - v[13][last]) +
               m.mainLeakage_H * square(v[0][last]) + m.auxiliaryLeakage_H * square(v[1][last]) +
               m.rotorQLeakage_H * square(v[2][last]) + m.rotorDLeakage_H * square(v[3][last]) +
               m.mainMagnetizing_H * square(magnetizingQ_A) +
               m.auxiliaryMagnetizing_H * square(magnetizingD_A) + 2e-4 * square(v[8][last]));
    EXPECT_GT(v[6][last], switching_rad_s);  // it was a whole start
    for (const double part : {copper, core, friction, shaft, stored}) {
        EXPECT_GT(part, 0.002 * supplied);  // so that leaving a part out would be seen
    }
    EXPECT_TRUE(nearRel(copper + core + friction + shaft + stored, supplied, 0.005));
}

TEST(MotorModel, StartsAlikeUnderOtherOptions)
{
    const Machine m;
    const std::string circuit = m.card() + startCards;
    const auto reached_s = [&](const std::string& options) {
        return stock::transient(circuit, {"v(speed)"},
                                {.end_s = 0.6, .step_s = 1e-4, .options = options})
            .crossing_s(0, 0.75 * m.synchronous_rad_s());
    };
    const double usual_s = reached_s("method=trap reltol=1e-4");
    EXPECT_TRUE(nearRel(reached_s("method=trap"), usual_s, 0.002));
    EXPECT_TRUE(nearRel(reached_s("method=gear reltol=1e-4"), usual_s, 0.005));
}

}  // namespace
}  // namespace splitstart
