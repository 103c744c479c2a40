// The invented examples of dynamics that steady-state rules miss. Each is a sound circuit with one
// thing wrong; the test asks for the physics of that thing, then for the checks that must see it.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <string>

#include "system/check_run.h"

namespace splitstart
{

namespace
{

using Json = nlohmann::json;

// The same motor with the same load, as far as anybody prints figures.
void expectSameMotor(const std::string& name, const std::string& other)
{
    for (const char* attribute :
         {"main-ohms", "main-leakage-reactance-ohms", "main-magnetizing-reactance-ohms",
          "rotor-main-ohms", "rotor-main-leakage-reactance-ohms", "auxiliary-ohms",
          "auxiliary-leakage-reactance-ohms", "auxiliary-magnetizing-reactance-ohms",
          "rotor-auxiliary-ohms", "rotor-auxiliary-leakage-reactance-ohms", "turns-ratio",
          "inertia-kg-m2", "core-loss-watts", "friction-watts"}) {
        const std::string path = std::string("//equivalent-circuit/@") + attribute;
        EXPECT_NEAR(exampleNumber(name, path) / exampleNumber(other, path), 1, 1e-3) << path;
    }
    const std::string torque = "//load/@torque-newton-metres";
    EXPECT_EQ(exampleNumber(name, torque), exampleNumber(other, torque));
}

// As the start capacitor leaves, the start winding loses the current that held its volts up.
TEST(Faults, StartWindingVoltsFallAtTheOpeningAndTheRelayChatters)
{
    const CheckRun& run = checkExample("faults/relay-chatters.xml");
    EXPECT_EQ(run.status, 1);
    int chattering = 0;
    double highestReclosed_V = 0;
    for (const Json& start : run.starts()) {
        EXPECT_GT(quantity(start, "speed_at_end_ratio"), 0.9) << "the motor is sound";
        const double openings = quantity(start, "start_contact_openings");
        // It opened at its pick-up, warm or cold; that is what the volts fall from.
        const double before_V = stockNumber(
            "relay-chest-worn", isEarly(start) ? "pick-up-volts-min" : "pick-up-volts-max");
        const double after_V = quantity(start, "start_winding_after_opening_v");
        EXPECT_LT(after_V / before_V, 0.93) << cornerOf(start);
        const bool recloses = openings > 1 || quantity(start, "start_contact_at_end") == 1;
        EXPECT_EQ(hasQuantity(start, "start_contact_reclosed_v"), recloses) << cornerOf(start);
        if (recloses) {
            ++chattering;
            const double reclosed_V = quantity(start, "start_contact_reclosed_v");
            highestReclosed_V = std::max(highestReclosed_V, reclosed_V);
            // Onto a capacitor that kept its charge: nothing bleeds it.
            EXPECT_GT(reclosed_V, 50) << cornerOf(start);
        }
    }
    EXPECT_GE(chattering, 4);
    EXPECT_LT(chattering, static_cast<int>(run.starts().size()));
    for (const char* id :
         {"relay-chatter", "relay-holds-after-opening", "contact-recloses-discharged"}) {
        EXPECT_EQ(run.verdictOf(id), "fail") << id;
    }
    EXPECT_EQ(run.verdictOf("bleed-resistor-fitted"), "undecided");
    EXPECT_EQ(run.verdictOf("motor-starts"), "pass");
    const Json holds = run.finding("relay-holds-after-opening");
    EXPECT_LT(holds["value"].get<double>(), stockNumber("relay-chest-worn", "drop-out-volts-max"));
    EXPECT_GE(holds["limit"].get<double>(), stockNumber("relay-chest-worn", "drop-out-volts-max"));
    // What a capacitor lets go into the contact is at most half its farads times the volts squared.
    const double largest_F = 1e-6 * stockNumber("start-161-bare", "microfarads-max");
    const double energy_J = 0.5 * largest_F * highestReclosed_V * highestReclosed_V;
    const Json recloses = run.finding("contact-recloses-discharged");
    EXPECT_NEAR(recloses["value"].get<double>() / highestReclosed_V, 1, 1e-6);
    const std::string corner = recloses["corner"];
    const std::size_t joules = corner.find(" J at the most");
    ASSERT_NE(joules, std::string::npos) << corner;
    const std::size_t number = corner.rfind(' ', joules - 1) + 1;
    EXPECT_NEAR(std::stod(corner.substr(number, joules - number)) / energy_J, 1, 0.06);
}

// As the start circuit leaves, the run winding has to do alone what both did: its amps rise, and a
// relay whose pull-in lies close above its drop-out makes again.
TEST(Faults, MainCurrentRisesAtTheOpeningAndTheRelayMakesAgain)
{
    const CheckRun& run = checkExample("faults/relay-makes-again.xml");
    EXPECT_EQ(run.status, 1);
    int madeAgain = 0;
    for (const Json& start : run.starts()) {
        EXPECT_GT(quantity(start, "speed_at_end_ratio"), 0.9);
        EXPECT_EQ(quantity(start, "start_contact_at_end"), 0) << "the second time it has speed";
        const bool early = isEarly(start);
        const double pullIn_A =
            stockNumber("relay-remakes", early ? "pull-in-amps-min" : "pull-in-amps-max");
        const double dropOut_A =
            stockNumber("relay-remakes", early ? "drop-out-amps-max" : "drop-out-amps-min");
        const double after_A = quantity(start, "main_after_opening_a");
        EXPECT_NEAR(quantity(start, "coil_after_opening_a") / after_A, 1, 1e-3);
        if (quantity(start, "start_contact_openings") > 1) {
            ++madeAgain;
            // It opened at its drop-out, and yet reaches its pull-in, without which it cannot make.
            EXPECT_GT(after_A, dropOut_A) << cornerOf(start);
            EXPECT_GT(after_A, pullIn_A) << cornerOf(start);
            EXPECT_GT(quantity(start, "start_contact_reclosed_v"), 50) << cornerOf(start);
            EXPECT_LT(lineRatio(start), 0.91) << "at low line and hot it is slowest";
            EXPECT_TRUE(isHot(start));
        } else if (after_A > 1.03 * pullIn_A) {
            ADD_FAILURE() << "over its pull-in and not made again: " << cornerOf(start);
        }
    }
    EXPECT_GE(madeAgain, 1);
    for (const char* id :
         {"relay-stays-open-after-opening", "relay-chatter", "contact-recloses-discharged"}) {
        EXPECT_EQ(run.verdictOf(id), "fail") << id;
    }
    EXPECT_EQ(run.verdictOf("motor-starts"), "pass");
}

// Common practice, no source: a start capacitor that stays in sees about twice the line.
TEST(Faults, StartCapacitorLeftInSeesTwiceTheLine)
{
    const std::string name = "relay-never-opens.xml";
    const CheckRun& run = checkExample(name);
    EXPECT_EQ(run.status, 1);
    double leftIn_ratio = 0;
    double gone_ratio = 0;
    for (const Json& start : run.starts()) {
        const double line_V = openCircuitVolts(name, start);
        const double ratio = quantity(start, "run_capacitor_running_v") / line_V;
        if (quantity(start, "start_contact_at_end") == 1) {
            // The start capacitor lies beside the run capacitor.
            EXPECT_NEAR(ratio, 2, 0.25) << cornerOf(start);
            EXPECT_GT(quantity(start, "start_capacitor_worst_v"), 1.8 * line_V);
            // Two windings and a big capacitor at no slip: more amps than any load asks for.
            EXPECT_GT(quantity(start, "line_running_a"),
                      1.5 * exampleNumber(name, "//nameplate/@rated-load-amps"));
            leftIn_ratio = leftIn_ratio == 0 ? ratio : std::min(leftIn_ratio, ratio);
        } else {
            gone_ratio = std::max(gone_ratio, ratio);
        }
    }
    ASSERT_GT(leftIn_ratio, 0);
    ASSERT_GT(gone_ratio, 0);
    EXPECT_GT(leftIn_ratio, 1.1 * gone_ratio);
    EXPECT_EQ(run.verdictOf("start-capacitor-volts"), "fail");
}

TEST(Faults, PtcRestartedHotLetsNoStartCurrentThrough)
{
    const std::string name = "faults/ptc-restarted-hot.xml";
    const CheckRun& run = checkExample(name);
    EXPECT_EQ(run.status, 1);
    expectSameMotor(name, "circuits/rsir-ptc.xml");
    // From rest, once, all is well.
    expectComesUpEverywhere(run);
    ASSERT_FALSE(run.restarts().empty());
    for (const Json& again : run.restarts()) {
        EXPECT_GT(quantity(again, "ptc_at_start_degc"), 120) << cornerOf(again);
        EXPECT_LT(quantity(again, "ptc_at_start_degc"), 180) << cornerOf(again);
        EXPECT_EQ(quantity(again, "start_contact_openings"), 0) << "it was never in";
        bool compared = false;
        for (const Json& first : run.starts()) {
            if (lineRatio(first) == lineRatio(again) && isHot(first) &&
                isEarly(first) == isEarly(again) && first["corner"]["switch_on_deg"].is_null() &&
                first["corner"]["capacitors"].is_null()) {
                compared = true;
                EXPECT_LT(quantity(again, "auxiliary_peak_a"),
                          0.25 * quantity(first, "auxiliary_peak_a"))
                    << cornerOf(again);
                // If it comes up at all, then late.
                if (hasQuantity(again, "time_to_speed_s")) {
                    EXPECT_GT(quantity(again, "time_to_speed_s"),
                              1.5 * quantity(first, "time_to_speed_s"))
                        << cornerOf(again);
                }
            }
        }
        EXPECT_TRUE(compared);
    }
    EXPECT_EQ(run.withVerdict("fail"),
              (std::set<std::string>{"ptc-recovers", "ptc-recovery-label"}));
}

TEST(Faults, MotorThatStartsEqualisedDoesNotStartAgainstPressure)
{
    const std::string name = "faults/pressures-not-equalised.xml";
    expectSameMotor(name, "circuits/psc.xml");
    expectComesUpEverywhere(checkExample("circuits/psc.xml"));
    const CheckRun& run = checkExample(name);
    EXPECT_EQ(run.status, 1);
    for (const Json& start : run.starts()) {
        // A motor with a permanent capacitor has little torque at rest; pressure holds it there.
        EXPECT_LT(std::abs(quantity(start, "speed_at_end_ratio")), 0.02) << cornerOf(start);
        EXPECT_FALSE(hasQuantity(start, "time_to_speed_s")) << cornerOf(start);
        EXPECT_EQ(start["corner"]["pressures"], "unequalised");
    }
    EXPECT_EQ(run.verdictOf("motor-starts"), "fail");
}

double leadOhms(const std::string& name)
{
    // Annealed copper of IEC 60028: 1/58 ohm mm2/m at 20 degC, 0.00393 per kelvin. There and back.
    const double metres = exampleNumber(name, "//conductor/@metres");
    const double celsius = exampleNumber(name, "//conductor/@temperature-c");
    return 2 * metres / 58 / exampleNumber(name, "//conductor/@square-millimetres") *
           (1 + 0.00393 * (celsius - 20));
}

TEST(Faults, LongThinLeadTakesTheVoltsAndTheMotorWithThem)
{
    const std::string name = "faults/long-thin-lead.xml";
    const std::string stiff = "shop-cooler.xml";
    expectSameMotor(name, stiff);
    const CheckRun& run = checkExample(name);
    EXPECT_EQ(run.status, 1);
    const double fan_V = stockNumber("fan-shop", "volts");
    const double fan_A = stockNumber("fan-shop", "amps");
    const double fan_powerFactor = stockNumber("fan-shop", "power-factor");
    const Impedance fan = std::polar(fan_V / fan_A, std::acos(fan_powerFactor));
    const double coil_ohm = stockNumber("relay-c", "coil-ohms");
    int stalled = 0;
    for (const Json& start : run.starts()) {
        const double open_V = openCircuitVolts(name, start);
        const double lost_ratio = quantity(start, "terminal_stalled_v") / open_V;
        EXPECT_LT(lost_ratio, 0.85) << cornerOf(start);
        if (quantity(start, "speed_at_end_ratio") > 0.5) {
            continue;
        }
        ++stalled;
        // The volts no longer drive enough amps through the run winding to close the relay, so that
        // winding, the coil before it, and the fan are all that there is: a divider with the lead.
        EXPECT_FALSE(hasQuantity(start, "start_contact_made_s")) << cornerOf(start);
        const Impedance winding =
            windingsAtRest(name, start["corner"]["winding_degc"].get<double>()).main_ohm;
        const Impedance load = inParallel(winding + coil_ohm, fan);
        const Impedance feed = sourceImpedance(name) + leadOhms(name);
        const double terminal_V =
            open_V * std::abs(load / (load + feed) * winding / (winding + coil_ohm));
        EXPECT_NEAR(quantity(start, "terminal_stalled_v") / terminal_V, 1, 0.02) << cornerOf(start);
        EXPECT_LT(terminal_V / std::abs(winding), stockNumber("relay-c", "pull-in-amps-max"));
    }
    EXPECT_GE(stalled, 1);
    EXPECT_EQ(run.verdictOf("motor-starts"), "fail");
    EXPECT_EQ(run.verdictOf("supply-volts-starting"), "fail");
    EXPECT_EQ(run.verdictOf("relay-pulls-in"), "fail");
    // The same motor and relay at a stiff socket.
    expectComesUpEverywhere(checkExample(stiff));
}

TEST(Faults, SmallGeneratorHoldsItsAmpsAndLetsItsVoltsGo)
{
    const std::string name = "faults/generator-too-small.xml";
    expectSameMotor(name, "circuits/cscr-crankcase-heat.xml");
    const CheckRun& run = checkExample(name);
    EXPECT_EQ(run.status, 1);
    const double limit_A = exampleNumber(name, "//supply/@limit-amps");
    const double hertz = exampleNumber(name, "//supply/@hertz");
    const double run_uF = stockNumber("run-40", "microfarads");
    const double tolerance_ratio = stockNumber("run-40", "tolerance-percent") / 100;
    const auto atRest = [&](double winding_degC, bool large) {
        const WindingsAtRest windings = windingsAtRest(name, winding_degC);
        const double start_uF =
            stockNumber("start-130", large ? "microfarads-max" : "microfarads-min");
        const Impedance branch = capacitorImpedance(
            start_uF + run_uF * (large ? 1 + tolerance_ratio : 1 - tolerance_ratio), hertz);
        return inParallel(windings.main_ohm, windings.auxiliary_ohm + branch);
    };
    int stalled = 0;
    for (const Json& start : run.starts()) {
        // Second cycle, while currents still settle.
        EXPECT_NEAR(quantity(start, "line_stalled_a") / limit_A, 1.1, 0.15) << cornerOf(start);
        EXPECT_LT(quantity(start, "terminal_stalled_v"), 0.65 * openCircuitVolts(name, start));
        if (quantity(start, "speed_at_end_ratio") > 0.5) {
            continue;
        }
        ++stalled;
        EXPECT_LT(std::abs(quantity(start, "speed_at_end_ratio")), 0.02);
        EXPECT_NEAR(quantity(start, "line_running_a") / limit_A, 1, 0.01) << cornerOf(start);
        // Volts and amps are those of the windings at rest; the capacitors are at one of their
        // ends.
        const double ohms =
            quantity(start, "terminal_stalled_v") / quantity(start, "line_stalled_a");
        const double winding_degC = start["corner"]["winding_degc"].get<double>();
        const double ends[] = {std::abs(atRest(winding_degC, false)),
                               std::abs(atRest(winding_degC, true))};
        EXPECT_GT(ohms, 0.95 * std::min(ends[0], ends[1])) << cornerOf(start);
        EXPECT_LT(ohms, 1.05 * std::max(ends[0], ends[1])) << cornerOf(start);
    }
    EXPECT_GE(stalled, 1);
    // With capacitors from the upper end of their range it just comes up: most do not.
    EXPECT_NE(run.verdictOf("motor-starts"), "pass");
    EXPECT_GT(run.finding("motor-starts")["fails_in"], run.finding("motor-starts")["holds_in"]);
    EXPECT_EQ(run.verdictOf("supply-volts-starting"), "fail");
    // Amps that the motor would take if it could: line over windings and feeder.
    const Json limit = run.finding("supply-limit");
    EXPECT_EQ(limit["verdict"], "fail");
    const double asked_A = exampleNumber(name, "//supply/@volts") /
                           std::abs(atRest(25, false) + sourceImpedance(name));
    EXPECT_NEAR(limit["value"].get<double>() / asked_A, 1, 0.04);
    EXPECT_NEAR(limit["limit"].get<double>(), limit_A, 1e-9);
}

}  // namespace

}  // namespace splitstart
