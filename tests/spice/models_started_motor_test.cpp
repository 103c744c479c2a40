// A motor that starts through a PTC pill, a timed switch or a centrifugal switch, in stock and in
// embedded ngspice. What the devices do for it: common practice, no source.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <random>
#include <string>
#include <variant>
#include <vector>

#include "physics/near.h"
#include "spice/both_ngspice.h"
#include "spice/simulation.h"

namespace splitstart
{
namespace
{

constexpr double line_Hz = 60;
constexpr double halfPeriod_s = 0.5 / line_Hz;

class StartedMotor : public testing::TestWithParam<Ngspice>
{
};
INSTANTIATE_TEST_SUITE_P(Models, StartedMotor, testing::Values(Ngspice::stock, Ngspice::embedded),
                         nameOf);

// A start of the quarter-horsepower motor that is the default of split_phase_motor.
std::string motor(double phase_deg = 0)
{
    return fmt::format(
        "xsupply line 0 supply rms_v=110 line_hz=60 source_ohms=0.05 source_h=5e-5"
        " switch_on_deg={}\n"
        "xmotor 0 start line speed torque load split_phase_motor\n"
        "xload speed angle load steady_load torque_nm=0.1\n",
        phase_deg);
}
constexpr double synchronous_rad_s = 2 * std::numbers::pi * line_Hz / 2;  // four poles
// A pill for a motor of that size; the resistance of its winding comes on top.
const std::string pillCard =
    "xptc line start temperature closed ptc cold_ohms=10 rise_per_k=0.25 heat_capacity_j_per_k=1.2";
const std::string auxiliary_A = "i(v.xmotor.vaux)";

TEST_P(StartedMotor, IsLeftToItsMainWindingByAPillWithinASecond)
{
    for (const double phase_deg : {0.0, 90.0}) {
        const stock::Waveforms w =
            transientIn(GetParam(), motor(phase_deg) + pillCard + "\n",
                        {auxiliary_A, "v(speed)", "v(closed)", "v(temperature)", "i(v.xptc.vptc)"},
                        {.end_s = 2, .step_s = 2e-4});
        const double first_A = w.rms(0, 0, 0.1);
        EXPECT_GT(first_A, 2);
        ASSERT_EQ(w.crossings_s(2, 0.5).size(), 1U);
        EXPECT_LT(w.crossing_s(2, 0.5), 1);
        EXPECT_LT(w.rms(0, 1, 1 + 6 / line_Hz), first_A / 20);
        EXPECT_LT(w.rms(0, 1.9, 2), first_A / 50);
        EXPECT_GT(w.mean(1, 1.9, 2), 0.95 * synchronous_rad_s);
        // All of the auxiliary current is the pill's.
        EXPECT_TRUE(nearRel(w.rms(4, 0, 0.5), w.rms(0, 0, 0.5), 1e-6));
    }
}

// Too soon: the pill that stays hot lets through next to nothing, and without an auxiliary current
// a standing motor has no torque (double revolving fields, any text on single-phase motors).
TEST_P(StartedMotor, DoesNotStartAgainWithAHotPill)
{
    const auto run = [&](double initial_degC) {
        return transientIn(GetParam(),
                           motor() + pillCard + fmt::format(" initial_degc={}\n", initial_degC),
                           {auxiliary_A, "v(speed)", "i(v.xmotor.vmain)", "v(closed)"},
                           {.end_s = 1.5, .step_s = 2e-4});
    };
    const stock::Waveforms hot = run(160);
    const stock::Waveforms cold = run(25);
    EXPECT_LT(hot.highestMagnitude(0, 0, 1.5), 0.01 * cold.highestMagnitude(0, 0, 0.2));
    EXPECT_LT(hot.highestMagnitude(1, 0, 1.5), 0.02 * synchronous_rad_s);
    EXPECT_TRUE(nearOfScale(hot.mean(3, 0, 1.5), 0, 1, 1e-5));
    // It draws locked-rotor current to the end, where the motor that has started draws far less.
    EXPECT_TRUE(nearRel(hot.rms(2, 1.4, 1.5), hot.rms(2, 0.2, 0.3), 0.02));
    EXPECT_GT(hot.rms(2, 1.4, 1.5), 2.5 * cold.rms(2, 1.4, 1.5));
}

// Time at which that motor, with this capacitor and from a stiff line, reaches 75 % of synchronous
// speed: 0.4643 s by a Runge-Kutta integration that is not ngspice's (relative tolerance 1e-7).
TEST_P(StartedMotor, ThrowsItsCentrifugalSwitchWhenItReachesThatSpeed)
{
    const stock::Waveforms w = transientIn(
        GetParam(),
        "xsupply line 0 supply rms_v=110 line_hz=60 source_ohms=1e-6 source_h=0\n"
        "xmotor 0 start line speed torque load split_phase_motor\nvload load 0 dc 0\n"
        "xcapacitor switched start ac_capacitor farads=182.9347e-6 series_ohms=3\n"
        "xswitch line switched speed closed centrifugal_switch opens_rad_s=141.371669411541"
        " closes_rad_s=100 contact_ohms=1e-4\n",
        {"v(closed)", "v(speed)", auxiliary_A}, {.end_s = 1, .step_s = 1e-4});
    ASSERT_EQ(w.crossings_s(0, 0.5).size(), 1U);
    const double opened_s = w.crossing_s(0, 0.5);
    EXPECT_TRUE(nearRel(opened_s, 0.4643, 2e-3));
    EXPECT_GT(w.highestMagnitude(2, opened_s - 2 * halfPeriod_s, opened_s), 3);
    EXPECT_LT(w.highestMagnitude(2, opened_s + halfPeriod_s + 2e-3, 1), 2e-3);
    EXPECT_GT(w.mean(1, 0.9, 1), 0.95 * synchronous_rad_s);
}

TEST_P(StartedMotor, LosesItsStartCapacitorWhenTheTimeIsOver)
{
    for (const double phase_deg : {0.0, 60.0, 120.0}) {
        const stock::Waveforms w =
            transientIn(GetParam(),
                        motor(phase_deg) +
                            "xcapacitor switched start ac_capacitor farads=180e-6"
                            " series_ohms=3\nxtimer line switched line 0 closed timed_switch"
                            " open_after_s=0.5\n",
                        {"v(closed)", "v(speed)", auxiliary_A}, {.end_s = 1, .step_s = 2e-4});
        ASSERT_EQ(w.crossings_s(0, 0.5).size(), 1U);
        const double opened_s = w.crossing_s(0, 0.5);
        // The magnitude of 110 V needs less than an eighth of a period to rise above 60 V.
        EXPECT_GE(opened_s, 0.5 - 5e-4);
        EXPECT_LE(opened_s, 0.5 + 0.125 / line_Hz + 5e-4);
        EXPECT_GT(w.highestMagnitude(2, 0.48, 0.5), 3);
        EXPECT_LT(w.highestMagnitude(2, opened_s + halfPeriod_s + 2e-3, 1), 2e-3);
        EXPECT_GT(w.mean(1, 0.9, 1), 0.95 * synchronous_rad_s);
    }
}

// Starts with everything at random, half of them at the coarse step, a third with an interruption
// of the line: no one may break off.
enum class Device { pill, timer, centrifugal };

class RandomStart
{
public:
    RandomStart(Device device, unsigned seed) : random_(seed), device_(device) {}

    SimulationRequest request()
    {
        // Not a whole number of steps: where rounding leaves ngspice a last step of 1e-14 s, the
        // volts of an inductor in it are rounding error, up to kilovolts.
        const stock::Transient analysis{.end_s = 1.00003, .step_s = chance(0.5) ? 1e-4 : 2e-4};
        SimulationRequest result;
        result.deck = embeddedDeck(cards(), analysis);
        result.end_s = analysis.end_s;
        result.vectors = {"speed", "closed", "v.xmotor.vaux#branch", "start"};
        return result;
    }

private:
    double between(double low, double high)
    {
        return std::uniform_real_distribution(low, high)(random_);
    }
    bool chance(double share) { return between(0, 1) < share; }

    std::string deviceCard()
    {
        switch (device_) {
            case Device::pill:
                return fmt::format(
                    "xdevice line device temperature closed ptc cold_ohms={} hot_ohms={}"
                    " reference_degc={} rise_per_k={} dissipation_w_per_k={}"
                    " heat_capacity_j_per_k={} initial_degc={}\n",
                    between(3, 40), std::pow(10, between(4, 6)), between(90, 140),
                    between(0.08, 0.35), between(0.01, 0.05), between(0.5, 4),
                    chance(0.25) ? between(130, 190) : between(0, 60));
            case Device::timer:
                return fmt::format(
                    "xdevice line device line 0 closed timed_switch open_after_s={} on_volts={}"
                    " rearm_s={}\n",
                    between(0.05, 0.7), between(20, 80), between(0.05, 1));
            case Device::centrifugal: {
                const double opens_rad_s = between(90, 160);
                return fmt::format(
                    "xdevice line device speed closed centrifugal_switch opens_rad_s={}"
                    " closes_rad_s={}\n",
                    opens_rad_s, opens_rad_s * between(0.4, 0.95));
            }
        }
        return {};
    }
    // From the device to the auxiliary winding.
    std::string branchCards()
    {
        if (chance(0.4)) {
            return fmt::format(
                "xcapacitor device start ac_capacitor farads={} series_ohms={} bleed_ohms={}\n",
                std::pow(10, between(-4.6, -3.6)), between(0.3, 4), chance(0.5) ? 1e12 : 15e3);
        }
        std::string cards = "rjoin device start 1e-6\n";
        if (chance(0.5)) {
            cards += fmt::format("xrun line start ac_capacitor farads={} series_ohms=1\n",
                                 between(5e-6, 25e-6));
        }
        return cards;
    }
    std::string loadCard()
    {
        if (chance(0.5)) {
            return fmt::format("xload speed angle load steady_load torque_nm={} build_up_revs={}\n",
                               between(0, 3), chance(0.5) ? 0 : 20);
        }
        return fmt::format(
            "xload speed angle load compressor_load swept_m3={} build_up_revs={}"
            " start_angle_deg={}\n",
            between(2e-6, 1.2e-5), chance(0.5) ? 0 : 10, between(0, 360));
    }
    std::string cards()
    {
        const double off_s = between(0.3, 0.6);
        const bool interrupted = chance(0.3);
        return fmt::format(
                   "xsupply mains 0 supply rms_v={} source_ohms={} source_h={} switch_on_deg={}\n"
                   "vdrive drive 0 pwl(0 1 {} 1 {} 0 {} 0 {} 1)\n"
                   "xmains mains line drive contact arc_w=1000\n"
                   "xmotor 0 start line speed torque load split_phase_motor core_loss_ohms={}\n",
                   between(90, 130), between(0.01, 1), chance(0.5) ? 0 : between(1e-4, 3e-4),
                   between(0, 360), interrupted ? off_s : 10, interrupted ? off_s + 1e-4 : 11,
                   interrupted ? off_s + between(0.02, 0.3) : 12, interrupted ? 0.95 : 13,
                   chance(0.5) ? 1e9 : 200) +
               deviceCard() + branchCards() + loadCard();
    }

    std::mt19937 random_;
    Device device_;
};

std::string deviceName(const testing::TestParamInfo<Device>& tested)
{
    constexpr std::array words = {"Pill", "Timer", "Centrifugal"};
    return words.at(static_cast<std::size_t>(tested.param));
}

class RandomStarts : public testing::TestWithParam<Device>
{
};
INSTANTIATE_TEST_SUITE_P(Models, RandomStarts,
                         testing::Values(Device::pill, Device::timer, Device::centrifugal),
                         deviceName);

TEST_P(RandomStarts, AllReachTheirEnd)
{
    std::vector<SimulationRequest> requests;
    for (unsigned seed = 0; seed < 24; ++seed) {
        requests.push_back(RandomStart(GetParam(), seed).request());
    }
    SimulatorPool pool(2);
    const std::vector<SimulationOutcome> outcomes = pool.runAll(requests);
    std::size_t left = 0;
    for (std::size_t i = 0; i < outcomes.size(); ++i) {
        const auto* run = std::get_if<Waveforms>(&outcomes[i]);
        ASSERT_NE(run, nullptr) << std::get<SimulationError>(outcomes[i]).what() << "\n"
                                << requests[i].deck;
        const auto highest = [&](std::size_t vector) {
            double value = 0;
            for (const double v : run->real[vector]) {
                value = std::max(value, std::abs(v));
            }
            return value;
        };
        // No more than 130 V on the winding's 7 ohm, no overspeed, no kilovolts.
        EXPECT_LT(highest(2), 130 * std::numbers::sqrt2 / 7.14);
        EXPECT_LT(highest(0), 190);
        EXPECT_LT(highest(3), 1000);
        left += run->real[1].back() < 0.5 ? 1U : 0U;
    }
    // Starts that are over and starts that are not are both among them.
    EXPECT_GT(left, 0U);
    EXPECT_LT(left, outcomes.size());
}

}  // namespace
}  // namespace splitstart
