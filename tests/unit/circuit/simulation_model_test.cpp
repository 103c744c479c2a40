#include "circuit/simulation_model.h"
#include "circuit/case_circuit.h"

#include <gtest/gtest.h>

#include <cctype>
#include <cmath>
#include <complex>
#include <map>
#include <numbers>
#include <set>
#include <stdexcept>
#include <string>

#include "circuit/case_circuit.h"
#include "physics/near.h"
#include "unit/circuit/model_fixture.h"

namespace splitstart
{

TEST(AtRelease, TakesTheEndThatTheCallerCallsLate)
{
    const Range range{10, 30};
    EXPECT_EQ(atRelease(range, Release::early, true), 10);
    EXPECT_EQ(atRelease(range, Release::late, true), 30);
    EXPECT_EQ(atRelease(range, Release::early, false), 30);
    EXPECT_EQ(atRelease(range, Release::late, false), 10);
    EXPECT_EQ(atRelease(range, Release::middle, true), 20);
    EXPECT_EQ(atRelease(range, Release::middle, false), 20);
}

// Coil volts rise with speed: the lower the pick-up, the sooner the contact opens. It opens then at
// the lowest speed, where the volts left to hold it are lowest: with the highest drop-out, chatter
// shows if there is any.
TEST(SimulationModel, HasThePotentialRelayPickUpLowestAndDropOutHighestAtTheEarlyEnd)
{
    const Values early = coldStore({1, 25, Release::early}).at("relay");
    EXPECT_EQ(early.at("pick_up_v"), 195);
    EXPECT_EQ(early.at("drop_out_v"), 90);
    const Values late = coldStore({1, 25, Release::late}).at("relay");
    EXPECT_EQ(late.at("pick_up_v"), 215);
    EXPECT_EQ(late.at("drop_out_v"), 40);
}

// Beside a hot motor the coil's copper is at 70 degC, with (234.5 + 70) / (234.5 + 25) = 1.1734 of
// its ohms (IEC 60034-1 with the 234.5 of IEC 60028, from memory). The armature follows the amps,
// so both calibrations ask for as many more volts. Cold they are those of the label.
TEST(SimulationModel, AsksForMoreVoltsOfARelayBesideHotWindings)
{
    Case input = coldStoreCase();
    partOf<PotentialRelay>(input, "relay").coil_H = 0;
    const auto relayAt = [&input](double winding_degC) {
        return valuesOf(input, coldStoreMotor(), {1, winding_degC, Release::early}).at("relay");
    };
    EXPECT_NEAR(relayAt(25).at("pick_up_v"), 195, 1e-9);
    EXPECT_NEAR(relayAt(25).at("drop_out_v"), 90, 1e-9);
    EXPECT_NEAR(relayAt(110).at("pick_up_v"), 1.1734 * 195, 0.01);
    EXPECT_NEAR(relayAt(110).at("drop_out_v"), 1.1734 * 90, 0.01);
}

// Coil amps fall with speed: the higher the drop-out, the sooner the contact opens; the higher the
// pull-in, the later it makes.
TEST(SimulationModel, HasTheCurrentRelayPullInAndDropOutHighestAtTheEarlyEnd)
{
    const Values early = bottleCooler({1, 25, Release::early}).at("relay");
    EXPECT_EQ(early.at("pull_in_a"), 18.5);
    EXPECT_EQ(early.at("drop_out_a"), 15);
    const Values late = bottleCooler({1, 25, Release::late}).at("relay");
    EXPECT_EQ(late.at("pull_in_a"), 17);
    EXPECT_EQ(late.at("drop_out_a"), 13.5);
}

// More microfarads, more torque, a shorter start.
TEST(SimulationModel, HasMostMicrofaradsAtTheEarlyEnd)
{
    const auto early = coldStore({1, 25, Release::early});
    EXPECT_EQ(early.at("start_capacitor").at("farads"), 156e-6);
    EXPECT_EQ(early.at("run_capacitor").at("farads"), 42.4e-6);
    const auto late = coldStore({1, 25, Release::late});
    EXPECT_EQ(late.at("start_capacitor").at("farads"), 130e-6);
    EXPECT_EQ(late.at("run_capacitor").at("farads"), 37.6e-6);
    EXPECT_TRUE(nearRel(coldStore({}).at("run_capacitor").at("farads"), 40e-6, 1e-12));
}

// A start is asked not to trip its protector, so the quickest one is the one to try.
TEST(SimulationModel, HasTheShortestTripTimeAtBothEnds)
{
    const auto constant = [](Release release) {
        return coldStore({1, 25, release}).at("protector").at("time_constant_s");
    };
    EXPECT_EQ(constant(Release::late), constant(Release::early));
    EXPECT_TRUE(nearRel(constant(Release::middle) / constant(Release::early), 1.5, 1e-12));
}

TEST(SimulationModel, HeatsTheDiscFromItsOwnTemperatureAndScalesItByTheRating)
{
    const Values hot = coldStore({1, 110, Release::middle}).at("protector");
    EXPECT_EQ(hot.at("ambient_degc"), 110);
    EXPECT_EQ(hot.at("rating_ambient_degc"), 65);
    EXPECT_EQ(hot.at("trip_degc"), 150);
    EXPECT_EQ(hot.at("reset_degc"), 70);
    EXPECT_EQ(hot.at("ultimate_trip_a"), 30);
    EXPECT_EQ(coldStore({1, 25, Release::middle}).at("protector").at("ambient_degc"), 25);
}

TEST(SimulationModel, PutsTheCornersTemperatureOnBothWindingsAndTheRotor)
{
    const Values motor = bottleCooler({1, 110, Release::middle}).at("compressor");
    EXPECT_EQ(motor.at("main_temperature_degc"), 110);
    EXPECT_EQ(motor.at("auxiliary_temperature_degc"), 110);
    EXPECT_EQ(motor.at("rotor_temperature_degc"), 110);
    EXPECT_EQ(motor.at("resistance_temperature_degc"), 20);  // the motor's own
}

// Off where nothing is known; the knee is peak flux linkage, volts over angular frequency.
TEST(SimulationModel, PassesDeepBarsAndSaturationOnWhereTheyAreKnown)
{
    const Values plain = bottleCooler({}).at("compressor");
    EXPECT_EQ(plain.at("rotor_bar_ohms_ratio"), 0);
    EXPECT_EQ(plain.at("saturation_slope_ratio"), 0);
    EquivalentCircuit motor = bottleCoolerMotor();
    motor.rotorBar_ohm = 0.5 * motor.rotorMain_ohm;
    motor.rotorBarCorner_Hz = 25;
    motor.saturationSlope_ratio = 6;
    motor.saturationKnee_V = 105;
    const Values known = valuesOf(bottleCoolerCase(), motor, {}).at("compressor");
    EXPECT_DOUBLE_EQ(known.at("rotor_bar_ohms_ratio"), 0.5);
    EXPECT_EQ(known.at("rotor_bar_corner_hz"), 25);
    EXPECT_EQ(known.at("saturation_slope_ratio"), 6);
    EXPECT_NEAR(known.at("saturation_knee_v_s"), 105 * 1.41421356 / (6.2831853 * 60), 1e-7);
}

TEST(SimulationModel, PutsAnInternalProtectorBetweenPinCAndTheWindings)
{
    const SimulationModel model = modelOf(coldStoreCase(), coldStoreMotor(), {});
    const SubcircuitInstance& protector = *model.find("overload_protector");
    const SubcircuitInstance& motor = *model.find("split_phase_motor");
    EXPECT_EQ(protector.nodeOfPort.at("t1"), model.node("compressor", "C"));
    EXPECT_EQ(protector.nodeOfPort.at("t3"), motor.nodeOfPort.at("c"));
    EXPECT_NE(motor.nodeOfPort.at("c"), model.node("compressor", "C"));
    // Pin C lands on the line, and the relay's coil on pin C: it cannot reach the star point.
    EXPECT_EQ(model.node("compressor", "C"), "0");
    EXPECT_EQ(model.find("potential_relay")->nodeOfPort.at("t5"), "0");
}

TEST(SimulationModel, PutsAnExternalProtectorIntoTheCommonLead)
{
    const SimulationModel model = modelOf(bottleCoolerCase(), bottleCoolerMotor(), {});
    const SubcircuitInstance& protector = *model.find("overload_protector");
    EXPECT_EQ(protector.nodeOfPort.at("t1"), "0");
    EXPECT_EQ(protector.nodeOfPort.at("t3"), model.node("compressor", "C"));
    EXPECT_EQ(model.find("split_phase_motor")->nodeOfPort.at("c"), model.node("compressor", "C"));
    EXPECT_NE(model.node("compressor", "C"), "0");
}

TEST(SimulationModel, NamesOneNodeForEachNetAndGroundsL2)
{
    for (const Case& input : {coldStoreCase(), bottleCoolerCase()}) {
        const Circuit circuit = caseCircuit(input);
        const SimulationModel model = modelOf(input, coldStoreMotor(), {});
        const Nets nets(circuit);
        std::set<std::string> names;
        for (const std::vector<Terminal>& net : nets.all()) {
            const std::string& name = model.nodeOfTerminal.at(net.front());
            EXPECT_TRUE(names.insert(name).second) << name << " is two nets";
            for (const Terminal& terminal : net) {
                EXPECT_EQ(model.node(terminal.part, terminal.name), name);
            }
            for (const char c : name) {
                EXPECT_TRUE(std::islower(c) != 0 || std::isdigit(c) != 0 || c == '_') << name;
            }
        }
        EXPECT_EQ(model.node("supply", "L2"), "0");
        EXPECT_THROW(static_cast<void>(model.node("compressor", "X")), std::out_of_range);
        // Nor may a wire's name meet one of the nodes that carry numbers.
        for (const char* number : {"speed", "torque", "load_torque", "angle", "star",
                                   "relay_closed", "protector_closed", "protector_disc"}) {
            EXPECT_FALSE(names.contains(number)) << number;
        }
    }
}

TEST(SimulationModel, HasOneInstanceForEachPartAndTheLoad)
{
    const Circuit circuit = caseCircuit(bottleCoolerCase());
    const SimulationModel model = modelOf(bottleCoolerCase(), bottleCoolerMotor(), {});
    EXPECT_EQ(model.instances.size(), circuit.parts.size() + 1);
    std::set<std::string> names;
    for (const SubcircuitInstance& instance : model.instances) {
        EXPECT_TRUE(names.insert(instance.name).second) << instance.name;
        EXPECT_FALSE(instance.comment.empty());
    }
    EXPECT_EQ(model.find("no_such_model"), nullptr);
}

TEST(SimulationModel, FeedsTheNameplatesVoltsTimesTheCorner)
{
    Case input = coldStoreCase();
    input.supply.voltage_V = 208;
    EXPECT_TRUE(nearRel(valuesOf(input, coldStoreMotor(), {0.85}).at("supply").at("rms_v"),
                        0.85 * 230, 1e-12));
    input.compressor.nameplate.voltage_V.reset();
    EXPECT_EQ(ratedVoltage_V(input), 208);
    EXPECT_TRUE(nearRel(valuesOf(input, coldStoreMotor(), {1.1}).at("supply").at("rms_v"),
                        1.1 * 208, 1e-12));
}

TEST(SimulationModel, KeepsTheSourceImpedanceOutOfZero)
{
    Case input = coldStoreCase();
    const Values given = valuesOf(input, coldStoreMotor(), {}).at("supply");
    EXPECT_EQ(given.at("source_ohms"), 0.12);
    EXPECT_EQ(given.at("source_h"), 0.15e-3);
    input.supply.source_ohm = 0;
    input.supply.source_H = 0;
    const Values stiff = valuesOf(input, coldStoreMotor(), {}).at("supply");
    EXPECT_GT(stiff.at("source_ohms"), 0);
    EXPECT_LT(stiff.at("source_ohms"), 1e-3);
    EXPECT_GT(stiff.at("source_h"), 0);
}

// Volts over the series impedance give back the amps, and the cosine of its angle the power factor.
TEST(SimulationModel, GivesTheFanItsVoltsAmpsAndPowerFactor)
{
    for (const double powerFactor : {0.3, 0.6, 0.95, 1.0}) {
        Case input = bottleCoolerCase();
        partOf<CondenserFan>(input, "fan") = {115, 0.6, powerFactor};
        const Values fan = valuesOf(input, bottleCoolerMotor(), {}).at("fan");
        const std::complex<double> impedance(fan.at("ohms"),
                                             2 * std::numbers::pi * 60 * fan.at("henries"));
        const std::complex<double> current_A = 115.0 / impedance;
        EXPECT_TRUE(nearRel(std::abs(current_A), 0.6, 1e-9));
        EXPECT_TRUE(nearRel(std::cos(std::arg(current_A)), powerFactor, 1e-9));
        EXPECT_LE(std::arg(current_A), 0);  // it lags
    }
}

// The ratio of series resistance to reactance at line frequency is the dissipation factor.
TEST(SimulationModel, GivesEachCapacitorItsDissipationFactor)
{
    for (const Release release : {Release::early, Release::late}) {
        const auto values = coldStore({1, 25, release});
        const auto tangent = [](const Values& capacitor) {
            return capacitor.at("series_ohms") * 2 * std::numbers::pi * 60 * capacitor.at("farads");
        };
        EXPECT_TRUE(nearRel(tangent(values.at("start_capacitor")), 0.06, 1e-12));
        EXPECT_TRUE(nearRel(tangent(values.at("run_capacitor")), 0.002, 1e-12));
    }
}

TEST(SimulationModel, FitsTheBleedResistorOnlyWhereThereIsOne)
{
    EXPECT_EQ(coldStore({}).at("start_capacitor").at("bleed_ohms"), 15e3);
    EXPECT_EQ(coldStore({}).at("run_capacitor").at("bleed_ohms"), 1e12);
    EXPECT_EQ(bottleCooler({}).at("start_capacitor").at("bleed_ohms"), 1e12);
    EXPECT_EQ(coldStore({}).at("start_capacitor").at("initial_v"), 0);
}

// At rated volts across both gaps, the main one's and turns ratio times as much on the other axis,
// the two resistors together take the core loss.
TEST(SimulationModel, SplitsTheCoreLossBetweenTheAxes)
{
    const Values motor = coldStore({}).at("compressor");
    const double n = motor.at("turns_ratio");
    const double main_ohm = motor.at("core_loss_ohms");
    const double auxiliary_ohm = n * n * main_ohm;  // as models/split_phase_motor.lib has it
    const double loss_W = 230 * 230 / main_ohm + (n * 230) * (n * 230) / auxiliary_ohm;
    EXPECT_TRUE(nearRel(loss_W, 97, 1e-12));
    EXPECT_EQ(bottleCooler({}).at("compressor").at("core_loss_ohms"), 1e9);  // none
}

TEST(SimulationModel, TakesTheFrictionWattsAtSynchronousSpeed)
{
    const double synchronous_rad_s = 2 * std::numbers::pi * 60;  // two poles
    const double friction_Nms = coldStore({}).at("compressor").at("friction_nms");
    EXPECT_TRUE(nearRel(friction_Nms * synchronous_rad_s * synchronous_rad_s, 25, 1e-12));
    // On another line it is the same motor.
    Case slower = coldStoreCase();
    slower.supply.frequency_Hz = 50;
    EXPECT_DOUBLE_EQ(
        valuesOf(modelOf(slower, coldStoreMotor(), {})).at("compressor").at("friction_nms"),
        friction_Nms);
}

// Reactances hold at the frequency that the equivalent circuit names, not at the supply's.
TEST(SimulationModel, TurnsReactancesIntoInductancesAtTheMotorsFrequency)
{
    Case input = coldStoreCase();
    input.supply.frequency_Hz = 50;
    const SimulationModel model = modelOf(input, bottleCoolerMotor(), {});
    const Values motor = valuesOf(model).at("compressor");
    const double omega_rad_s = 2 * std::numbers::pi * 60;
    EXPECT_TRUE(nearRel(motor.at("main_leakage_h") * omega_rad_s, 2.79, 1e-12));
    EXPECT_TRUE(nearRel(motor.at("main_magnetizing_h") * omega_rad_s, 66.8, 1e-12));
    EXPECT_TRUE(nearRel(motor.at("rotor_main_leakage_h") * omega_rad_s, 2.12, 1e-12));
    EXPECT_TRUE(nearRel(motor.at("auxiliary_leakage_h") * omega_rad_s, 3.22, 1e-12));
    EXPECT_TRUE(nearRel(motor.at("auxiliary_magnetizing_h") * omega_rad_s, 92.9, 1e-12));
    EXPECT_TRUE(nearRel(motor.at("rotor_auxiliary_leakage_h") * omega_rad_s, 2.95, 1e-12));
    EXPECT_EQ(motor.at("rotor_main_ohms"), 4.12);
    EXPECT_EQ(motor.at("rotor_auxiliary_ohms"), 5.74);
    EXPECT_EQ(motor.at("main_ohms"), 2.02);
    EXPECT_EQ(motor.at("auxiliary_ohms"), 7.14);
    EXPECT_EQ(motor.at("pole_pairs"), 2);
    EXPECT_EQ(model.polePairs, 2);
    EXPECT_EQ(model.turnsRatio, 1.18);
    EXPECT_EQ(model.frequency_Hz, 50);
    EXPECT_TRUE(nearRel(model.synchronousSpeed_rad_s, 2 * std::numbers::pi * 25, 1e-12));
}

TEST(SimulationModel, LeavesShaftAndContactsAloneUnlessTold)
{
    const SimulationModel model = modelOf(coldStoreCase(), coldStoreMotor(), {});
    const auto values = valuesOf(model);
    EXPECT_FALSE(model.fixedSpeed_rad_s);
    EXPECT_EQ(values.at("relay").at("contact_override"), 0);
    EXPECT_EQ(values.at("protector").at("contact_override"), 0);
    EXPECT_EQ(values.at("compressor").at("initial_speed_rad_s"), 0);
}

TEST(SimulationModel, LetsAFreeShaftBeginAtTheSpeedToWhichItWasSpun)
{
    RunSetting spun;
    spun.initialSpeed_rad_s = -40;
    const SimulationModel model = modelOf(coldStoreCase(), coldStoreMotor(), {}, spun);
    EXPECT_FALSE(model.fixedSpeed_rad_s);
    EXPECT_EQ(valuesOf(model).at("compressor").at("initial_speed_rad_s"), -40);
}

TEST(SimulationModel, HoldsTheContactOfARunningMotorWhenTold)
{
    for (const auto& [contact, code] :
         {std::pair(StartContact::heldClosed, 1.0), std::pair(StartContact::heldOpen, -1.0)}) {
        for (const Case& input : {coldStoreCase(), bottleCoolerCase()}) {
            const auto values = valuesOf(modelOf(input, coldStoreMotor(), {}, {contact, {}}));
            EXPECT_EQ(values.at("relay").at("contact_override"), code);
        }
    }
}

// A held shaft asks for a steady state, which comes before anything moves or trips: every contact
// is then a resistance, and nothing is left that a relay or a protector could decide.
TEST(SimulationModel, IsResistancesAndReactancesOnlyWhenTheShaftIsHeld)
{
    for (const Case& input : {coldStoreCase(), bottleCoolerCase()}) {
        const SimulationModel model =
            modelOf(input, coldStoreMotor(), {}, {StartContact::heldClosed, 300.0});
        EXPECT_EQ(model.fixedSpeed_rad_s, 300.0);
        EXPECT_EQ(valuesOf(model).at("compressor").at("initial_speed_rad_s"), 300);
        for (const char* moving : {"potential_relay", "current_relay", "overload_protector",
                                   "contact", "compressor_load", "steady_load"}) {
            EXPECT_EQ(model.find(moving), nullptr) << moving;
        }
        const std::string protector = input.circuit->protector == "inside" ? "star" : "pin_c";
        EXPECT_LT(resistanceBetween(model, "0", protector), 0.1);
    }
}

TEST(SimulationModel, HoldsTheStartContactOfAHeldShaftAsTold)
{
    const auto contact_ohm = [](const Case& input, const char* from, const char* to,
                                StartContact contact) {
        const SimulationModel model = modelOf(input, coldStoreMotor(), {}, {contact, 0.0});
        return resistanceBetween(model, model.node("relay", from), model.node("relay", to));
    };
    const Case potential = coldStoreCase();
    EXPECT_LT(contact_ohm(potential, "1", "2", StartContact::heldClosed), 0.1);
    EXPECT_GT(contact_ohm(potential, "1", "2", StartContact::heldOpen), 1e5);
    EXPECT_LT(contact_ohm(potential, "1", "2", StartContact::automatic), 0.1);  // as at rest
    const Case current = bottleCoolerCase();
    EXPECT_LT(contact_ohm(current, "L", "S", StartContact::heldClosed), 0.1);
    EXPECT_GT(contact_ohm(current, "L", "S", StartContact::heldOpen), 1e5);
    EXPECT_GT(contact_ohm(current, "L", "S", StartContact::automatic), 1e5);
    EXPECT_EQ(contact_ohm(current, "L", "M", StartContact::heldOpen), 0.06);  // the coil
}

TEST(SimulationModel, KeepsTheCoilAcrossStartAndCommonWhenTheShaftIsHeld)
{
    const SimulationModel model =
        modelOf(coldStoreCase(), coldStoreMotor(), {}, {StartContact::heldOpen, 0.0});
    const Values coil = valuesOf(model).at("relay_coil");
    EXPECT_EQ(coil.at("ohms"), 9500);
    EXPECT_EQ(coil.at("henries"), 12);
}

TEST(SimulationModel, TakesTheCurrentRelaysContactFromTheTerminalThatThePartNames)
{
    Case input = bottleCoolerCase();
    for (const bool fromM : {false, true}) {
        partOf<CurrentRelay>(input, "relay").contactFromM = fromM;
        const SimulationModel model = modelOf(input, bottleCoolerMotor(), {});
        EXPECT_EQ(model.find("current_relay")->nodeOfPort.at("contact_a"),
                  model.node("relay", fromM ? "M" : "L"));
        const SimulationModel held =
            modelOf(input, bottleCoolerMotor(), {}, {StartContact::heldClosed, 0.0});
        EXPECT_LT(
            resistanceBetween(held, held.node("relay", fromM ? "M" : "L"), held.node("relay", "S")),
            0.1);
    }
}

}  // namespace splitstart
