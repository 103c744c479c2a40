// The model of what is round the motor: the feed and its limit, contactor and thermostat, fans with
// a capacitor of their own, and what an earlier run has left behind.
#include <gtest/gtest.h>

#include <cmath>
#include <complex>
#include <numbers>
#include <optional>
#include <set>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

#include "circuit/part_physics.h"
#include "circuit/simulation_model.h"
#include "physics/near.h"
#include "spice/netlist.h"
#include "unit/circuit/circuit_fixture.h"
#include "unit/circuit/model_fixture.h"
#include "unit/circuit/service_case.h"

namespace splitstart
{

namespace
{

SimulationModel modelFor(const char* file, const Service& service = {}, const Corner& corner = {},
                         const RunSetting& setting = {})
{
    return modelOf(caseFor(standardCircuit(file), service), coldStoreMotor(), corner, setting);
}

const RunSetting heldStill = {StartContact::automatic, 0.0, false};
const RunSetting heldAndOff = {StartContact::automatic, 0.0, true};
constexpr double openAbove_ohm = 1e5;
constexpr double closedBelow_ohm = 0.1;

std::string portOf(const SimulationModel& model, const char* instance, const char* port)
{
    return model.instance(instance).nodeOfPort.at(port);
}

}  // namespace

// From the supply's own terminals to L1, one run behind the other; all of the current goes through
// each, so everything else stands behind the last.
TEST(ConductorRuns, StandInSeriesBetweenSupplyAndL1)
{
    Case input = coldStoreCase();
    input.supply.conductors = {{18, 2.5e-6, ConductorMaterial::copper, 40, {}},
                               {12, 107.2e-6, ConductorMaterial::aluminium, 55, {}},
                               {3, 4e-6, ConductorMaterial::copper, 25, {}}};
    const SimulationModel model = modelOf(input, coldStoreMotor(), {});
    const std::string l1 = model.node("supply", "L1");
    EXPECT_NE(portOf(model, "supply", "l1"), l1);
    EXPECT_EQ(portOf(model, "supply", "l2"), "0");
    EXPECT_EQ(portOf(model, "conductor_1", "a"), portOf(model, "supply", "l1"));
    EXPECT_EQ(portOf(model, "conductor_2", "a"), portOf(model, "conductor_1", "b"));
    EXPECT_EQ(portOf(model, "conductor_3", "a"), portOf(model, "conductor_2", "b"));
    EXPECT_EQ(portOf(model, "conductor_3", "b"), l1);
    EXPECT_EQ(portOf(model, "thermostat", "a"), l1);
    // Nothing else may touch the points between.
    for (const SubcircuitInstance& instance : model.instances) {
        for (const auto& [port, node] : instance.nodeOfPort) {
            if (node == portOf(model, "conductor_1", "a") ||
                node == portOf(model, "conductor_2", "a") ||
                node == portOf(model, "conductor_3", "a")) {
                EXPECT_TRUE(instance.name.starts_with("conductor_") || instance.name == "supply");
            }
        }
    }
    const auto values = valuesOf(model);
    EXPECT_EQ(values.at("conductor_1").at("metres"), 18);
    EXPECT_DOUBLE_EQ(values.at("conductor_1").at("square_millimetres"), 2.5);
    EXPECT_EQ(values.at("conductor_1").at("temperature_degc"), 40);
    EXPECT_EQ(values.at("conductor_1").at("aluminium"), 0);
    EXPECT_DOUBLE_EQ(values.at("conductor_2").at("square_millimetres"), 107.2);
    EXPECT_EQ(values.at("conductor_2").at("temperature_degc"), 55);
    EXPECT_EQ(values.at("conductor_2").at("aluminium"), 1);
}

TEST(ConductorRuns, AreNotThereWhereTheCaseHasNone)
{
    const SimulationModel model = modelOf(coldStoreCase(), coldStoreMotor(), {});
    EXPECT_EQ(model.find("conductor"), nullptr);
    EXPECT_EQ(portOf(model, "supply", "l1"), model.node("supply", "L1"));
}

// The run capacitor of a crankcase-heat circuit stands behind the feed as well.
TEST(ConductorRuns, CarryTheCrankcaseHeatToo)
{
    Case input = caseFor(standardCircuit("psc-crankcase-heat"));
    input.supply.conductors = {{18, 2.5e-6, ConductorMaterial::copper, 40, {}}};
    const SimulationModel model = modelOf(input, coldStoreMotor(), {});
    EXPECT_EQ(portOf(model, "run_capacitor", "a"), portOf(model, "conductor_1", "b"));
}

TEST(SupplyLimit, MakesItASupplyThatGivesWay)
{
    Case input = coldStoreCase();
    EXPECT_EQ(modelOf(input, coldStoreMotor(), {}).find("limited_supply"), nullptr);
    input.supply.limit_A = 27.5;
    const SimulationModel model = modelOf(input, coldStoreMotor(), {0.85});
    EXPECT_EQ(model.find("supply"), nullptr);
    ASSERT_NE(model.find("limited_supply"), nullptr);
    const Values supply = valuesOf(model).at("supply");
    EXPECT_EQ(supply.at("limit_a"), 27.5);
    EXPECT_TRUE(nearRel(supply.at("rms_v"), 0.85 * 230, 1e-12));
    EXPECT_EQ(supply.at("source_ohms"), 0.12);
    EXPECT_EQ(supply.at("source_h"), 0.15e-3);
}

TEST(SwitchOn, IsAtThePhaseOfTheCornerOrOfTheCase)
{
    Case input = coldStoreCase();
    input.supply.switchOn_deg = 35;
    Corner corner;
    EXPECT_EQ(valuesOf(input, coldStoreMotor(), corner).at("supply").at("switch_on_deg"), 35);
    corner.switchOn_deg = 90;
    EXPECT_EQ(valuesOf(input, coldStoreMotor(), corner).at("supply").at("switch_on_deg"), 90);
}

// The number on a PTC's label, in the model: 6 A through 16 to 24 ohm, 0.5 to 0.9 s, 125 degC.
TEST(PtcInTheModel, HasTheHeatCapacityOfItsSwitchingTime)
{
    for (const auto& [release, switch_s] :
         {std::pair(Release::early, 0.5), std::pair(Release::middle, 0.7),
          std::pair(Release::late, 0.9)}) {
        const Values ptc = valuesOf(modelFor("rsir-ptc", {}, {1, 25, release})).at("ptc");
        EXPECT_TRUE(nearRel(ptc.at("heat_capacity_j_per_k"), 36 * 20 * switch_s / 100, 1e-12));
        EXPECT_EQ(ptc.at("reference_degc"), 125);
        EXPECT_EQ(ptc.at("hot_ohms"), 60e3);
    }
    const auto cold_ohm = [](Release release) {
        return valuesOf(modelFor("rsir-ptc", {}, {1, 25, release})).at("ptc").at("cold_ohms");
    };
    EXPECT_EQ(cold_ohm(Release::middle), 20);
    EXPECT_EQ(cold_ohm(Release::early) + cold_ohm(Release::late), 16 + 24);
}

TEST(PtcInTheModel, StartsAsWarmAsTheAirRoundIt)
{
    const auto ptc = [](double winding_degC, std::optional<double> ambient_degC) {
        Case input = caseFor(standardCircuit("rsir-ptc"));
        input.circuit->ambient_degC = ambient_degC;
        return valuesOf(input, coldStoreMotor(), {1, winding_degC}).at("ptc");
    };
    EXPECT_EQ(ptc(25, {}).at("ambient_degc"), 25);
    EXPECT_EQ(ptc(25, {}).at("initial_degc"), 25);
    EXPECT_GT(ptc(110, {}).at("initial_degc"), 25);
    EXPECT_EQ(ptc(110, 43).at("ambient_degc"), 43);
    EXPECT_EQ(ptc(110, 43).at("initial_degc"), 43);
}

// It was hot a moment ago: the shorter the pause, the warmer it starts, and after a long one it is
// as cold as the air.
TEST(PtcInTheModel, StartsTheWarmerTheShorterThePause)
{
    const auto initial_degC = [](std::optional<double> off_s) {
        Corner corner;
        corner.restartAfter_s = off_s;
        return valuesOf(modelFor("rsir-ptc", {}, corner)).at("ptc").at("initial_degc");
    };
    EXPECT_GT(initial_degC(1), 125);  // above the reference temperature: it does not start at all
    EXPECT_GT(initial_degC(30), initial_degC(60));
    EXPECT_GT(initial_degC(60), initial_degC(180));
    EXPECT_GT(initial_degC(180), initial_degC({}));
    EXPECT_NEAR(initial_degC(36000), initial_degC({}), 0.01);
}

// With the shaft held it is a resistance: cold, or what it has in running.
TEST(PtcInTheModel, IsColdOrHotWhenTheShaftIsHeld)
{
    const auto ptc_ohm = [](StartContact contact) {
        const SimulationModel model = modelFor("rsir-ptc", {}, {}, {contact, 0.0, false});
        return resistanceBetween(model, model.node("ptc", "A"), model.node("ptc", "B"));
    };
    EXPECT_EQ(ptc_ohm(StartContact::automatic), 20);
    EXPECT_EQ(ptc_ohm(StartContact::heldClosed), 20);
    // 2.5 W at 1.2 times 230 V.
    EXPECT_TRUE(nearRel(ptc_ohm(StartContact::heldOpen), 276 * 276 / 2.5, 1e-9));
}

TEST(TimedSwitchInTheModel, CountsItsSecondsFromItsOwnVolts)
{
    for (const auto& [release, open_s] :
         {std::pair(Release::early, 0.5), std::pair(Release::middle, 0.6),
          std::pair(Release::late, 0.7)}) {
        const SimulationModel model = modelFor("csir-timed-switch", {}, {1, 25, release});
        const Values timer = valuesOf(model).at("start_switch");
        EXPECT_DOUBLE_EQ(timer.at("open_after_s"), open_s);
        EXPECT_EQ(timer.at("rearm_s"), 1.5);
        EXPECT_LT(timer.at("on_volts"), 0.5 * 230);  // it sees any line that could start a motor
        EXPECT_EQ(portOf(model, "start_switch", "line_a"), model.node("compressor", "R"));
        EXPECT_EQ(portOf(model, "start_switch", "line_b"), model.node("compressor", "C"));
        EXPECT_EQ(model.startDevice->instance, "start_switch");
    }
}

TEST(CentrifugalSwitchInTheModel, OpensAndClosesAtItsSpeeds)
{
    const SimulationModel early = modelFor("csir-centrifugal-switch", {}, {1, 25, Release::early});
    EXPECT_EQ(valuesOf(early).at("start_switch").at("opens_rad_s"), 270);
    EXPECT_EQ(valuesOf(early).at("start_switch").at("closes_rad_s"), 180);
    const SimulationModel late = modelFor("csir-centrifugal-switch", {}, {1, 25, Release::late});
    EXPECT_EQ(valuesOf(late).at("start_switch").at("opens_rad_s"), 290);
    EXPECT_EQ(valuesOf(late).at("start_switch").at("closes_rad_s"), 120);
    EXPECT_EQ(portOf(late, "start_switch", "speed"), portOf(late, "compressor", "speed"));
}

TEST(StartDeviceInTheModel, ObeysWhoHoldsItsContactAndIsClosedAtRest)
{
    for (const char* file : {"csir-timed-switch", "csir-centrifugal-switch"}) {
        const auto contact_ohm = [file](StartContact contact) {
            const SimulationModel model = modelFor(file, {}, {}, {contact, 0.0, false});
            return resistanceBetween(model, model.node("start-switch", "1"),
                                     model.node("start-switch", "2"));
        };
        EXPECT_LT(contact_ohm(StartContact::heldClosed), closedBelow_ohm) << file;
        EXPECT_LT(contact_ohm(StartContact::automatic), closedBelow_ohm) << file;
        EXPECT_GT(contact_ohm(StartContact::heldOpen), openAbove_ohm) << file;
        const auto code = [file](StartContact contact) {
            return valuesOf(modelFor(file, {}, {}, {contact, {}, false}))
                .at("start_switch")
                .at("contact_override");
        };
        EXPECT_EQ(code(StartContact::automatic), 0) << file;
        EXPECT_EQ(code(StartContact::heldClosed), 1) << file;
        EXPECT_EQ(code(StartContact::heldOpen), -1) << file;
    }
}

// A circuit without start device has none to watch.
TEST(StartDeviceInTheModel, IsNotThereInAPermanentSplitCapacitorCircuit)
{
    EXPECT_FALSE(modelFor("psc").startDevice.has_value());
    EXPECT_TRUE(modelFor("psc-ptc").startDevice.has_value());
    EXPECT_EQ(modelFor("psc-ptc").startDevice->instance, "ptc");
}

// The relay opened at some instant and left its capacitor charged, at the worst to the crest of its
// rated volts; only a bleed resistor takes that away, with the time constant R C.
TEST(RestartCorner, ChargesTheStartCapacitorAsFarAsItsResistorHasNotBledIt)
{
    const auto charge_V = [](std::optional<double> bleed_ohm, std::optional<double> off_s) {
        Case input = coldStoreCase();
        auto& start = partOf<StartCapacitor>(input, "start");
        start.capacitance_F = {140e-6, 140e-6};
        start.bleed_ohm = bleed_ohm;
        Corner corner;
        corner.restartAfter_s = off_s;
        return valuesOf(input, coldStoreMotor(), corner).at("start_capacitor").at("initial_v");
    };
    EXPECT_EQ(charge_V({}, {}), 0);
    EXPECT_EQ(charge_V(15e3, {}), 0);
    const double crest_V = std::numbers::sqrt2 * 330;
    EXPECT_TRUE(nearRel(charge_V({}, 0), crest_V, 1e-12));
    EXPECT_TRUE(nearRel(charge_V({}, 600), crest_V, 1e-12));
    EXPECT_TRUE(nearRel(charge_V(15e3, 0), crest_V, 1e-12));
    // 15 kohm and 140 uF: 2.1 s, so 1/e of it is left then, and half of it after 2.1 ln 2.
    EXPECT_TRUE(nearRel(charge_V(15e3, 2.1), crest_V / std::numbers::e, 1e-9));
    EXPECT_TRUE(nearRel(charge_V(15e3, 2.1 * std::numbers::ln2), crest_V / 2, 1e-9));
    EXPECT_LT(charge_V(15e3, 60), 1e-3);
}

// Run capacitors discharge through the windings.
TEST(RestartCorner, LeavesRunCapacitorsEmpty)
{
    Corner corner;
    corner.restartAfter_s = 1;
    const Service service{"fan-with-capacitor", true, "", ""};
    const auto values = valuesOf(modelFor("cscr-potential-relay", service, corner));
    EXPECT_GT(values.at("start_capacitor").at("initial_v"), 0);
    EXPECT_EQ(values.at("run_capacitor").at("initial_v"), 0);
    EXPECT_EQ(values.at("fan_capacitor").at("initial_v"), 0);
}

TEST(CapacitorCorner, MovesTheCapacitorsAndLeavesTheOtherParts)
{
    for (const Release parts : {Release::early, Release::middle, Release::late}) {
        Corner corner{1, 25, parts};
        corner.capacitors = Release::early;
        const auto most = coldStore(corner);
        corner.capacitors = Release::late;
        const auto least = coldStore(corner);
        EXPECT_EQ(most.at("start_capacitor").at("farads"), 156e-6);
        EXPECT_EQ(most.at("run_capacitor").at("farads"), 42.4e-6);
        EXPECT_EQ(least.at("start_capacitor").at("farads"), 130e-6);
        EXPECT_EQ(least.at("run_capacitor").at("farads"), 37.6e-6);
        corner.capacitors.reset();
        EXPECT_EQ(most.at("relay"), coldStore(corner).at("relay"));
        EXPECT_EQ(least.at("relay"), coldStore(corner).at("relay"));
    }
}

TEST(DualCapacitorInTheModel, IsTwoCapacitorsOnOnePost)
{
    const Service service{"fan-with-capacitor", true, "", ""};
    const SimulationModel model = modelFor("psc", service, {1, 25, Release::early});
    const auto values = valuesOf(model);
    EXPECT_EQ(values.at("run_capacitor").at("farads"), 42.4e-6);
    EXPECT_EQ(values.at("fan_capacitor").at("farads"), 5.3e-6);
    for (const char* section : {"run_capacitor", "fan_capacitor"}) {
        const Values& capacitor = values.at(section);
        // tan delta = R w C
        EXPECT_TRUE(nearRel(
            capacitor.at("series_ohms") * 2 * std::numbers::pi * 60 * capacitor.at("farads"), 0.003,
            1e-12));
        EXPECT_EQ(portOf(model, section, "a"), model.node("compressor", "R"));
    }
    EXPECT_EQ(portOf(model, "run_capacitor", "b"), model.node("compressor", "S"));
    EXPECT_EQ(portOf(model, "fan_capacitor", "b"), model.node("capacitor-fan", "S"));
}

// Without a contactor the thermostat's contact is in the compressor's circuit.
TEST(SwitchOpen, OpensTheThermostat)
{
    const auto thermostat_ohm = [](const RunSetting& setting) {
        const SimulationModel model = modelFor("cscr-potential-relay", {}, {}, setting);
        return resistanceBetween(model, model.node("thermostat", "1"),
                                 model.node("thermostat", "2"));
    };
    EXPECT_LT(thermostat_ohm(heldStill), closedBelow_ohm);
    EXPECT_GT(thermostat_ohm(heldAndOff), openAbove_ohm);
    EXPECT_LT(thermostat_ohm({}), closedBelow_ohm);
}

// With one pole, the other side is a bar: it stays live, and so does the compressor on it.
TEST(SwitchOpen, OpensTheContactorsPolesButNotItsBar)
{
    const auto pole_ohm = [](const char* contactor, const char* line, const char* load,
                             const RunSetting& setting) {
        const SimulationModel model =
            modelFor("cscr-potential-relay", {"", false, contactor, ""}, {}, setting);
        EXPECT_THROW(static_cast<void>(model.instance("thermostat")), std::out_of_range);
        return resistanceBetween(model, model.node("contactor", line),
                                 model.node("contactor", load));
    };
    EXPECT_EQ(pole_ohm("one-pole", "L1", "T1", heldStill), 0.004);
    EXPECT_EQ(pole_ohm("one-pole", "L2", "T2", heldStill), 0.004);
    EXPECT_GT(pole_ohm("one-pole", "L1", "T1", heldAndOff), openAbove_ohm);
    EXPECT_EQ(pole_ohm("one-pole", "L2", "T2", heldAndOff), 0.004);
    EXPECT_EQ(pole_ohm("two-pole", "L1", "T1", heldStill), 0.003);
    EXPECT_GT(pole_ohm("two-pole", "L1", "T1", heldAndOff), openAbove_ohm);
    EXPECT_GT(pole_ohm("two-pole", "L2", "T2", heldAndOff), openAbove_ohm);
}

TEST(CapacitorFanInTheModel, IsAMotorWithABladeOfItsOwn)
{
    const Service service{"fan-with-capacitor", false, "", ""};
    const SimulationModel model = modelFor("cscr-potential-relay", service);
    const SubcircuitInstance& motor = model.instance("capacitor_fan");
    EXPECT_EQ(motor.subcircuit, "split_phase_motor");
    EXPECT_EQ(motor.nodeOfPort.at("r"), model.node("compressor", "R"));
    EXPECT_EQ(motor.nodeOfPort.at("c"), "0");
    EXPECT_EQ(motor.nodeOfPort.at("s"), portOf(model, "fan_capacitor", "b"));
    // Its shaft is not the compressor's.
    EXPECT_NE(motor.nodeOfPort.at("speed"), portOf(model, "compressor", "speed"));
    EXPECT_NE(motor.nodeOfPort.at("torque"), portOf(model, "compressor", "torque"));
    EXPECT_NE(motor.nodeOfPort.at("load_torque"), portOf(model, "compressor", "load_torque"));
    EXPECT_EQ(portOf(model, "capacitor_fan_blade", "speed"), motor.nodeOfPort.at("speed"));
    EXPECT_EQ(portOf(model, "capacitor_fan_blade", "load_torque"),
              motor.nodeOfPort.at("load_torque"));
}

// The blade asks for the rated torque at the rated speed, friction included, so that the machine
// settles at the point that the label describes (tests of FanMachine).
TEST(CapacitorFanInTheModel, IsLoadedToItsRatedPoint)
{
    Case input = caseFor(standardCircuit("psc"), {"fan-with-capacitor", false, "", ""});
    const FanMachine machine = fanMachine(partOf<CapacitorFan>(input, "fan-with-capacitor"), 60);
    const Values blade = valuesOf(input, coldStoreMotor(), {}).at("capacitor_fan_blade");
    const double speed_ratio = machine.ratedSpeed_rad_s / blade.at("rated_rad_s");
    const double load_Nm =  // as models/fan_load.lib has it, far above one radian a second
        blade.at("torque_nm") * speed_ratio * speed_ratio + blade.at("friction_nm");
    EXPECT_TRUE(nearRel(load_Nm, machine.rated_Nm, 1e-9));
}

// With the compressor's shaft held, the fan runs: two impedances that draw the label's amps through
// the label's capacitor.
TEST(CapacitorFanInTheModel, DrawsItsLabelsAmpsWhenTheShaftIsHeld)
{
    const SimulationModel model =
        modelFor("psc", {"fan-with-capacitor", false, "", ""}, {}, heldStill);
    EXPECT_THROW(static_cast<void>(model.instance("capacitor_fan_blade")), std::out_of_range);
    const auto values = valuesOf(model);
    const auto impedance = [&values](const char* name) {
        return std::complex<double>(values.at(name).at("ohms"),
                                    2 * std::numbers::pi * 60 * values.at(name).at("henries"));
    };
    const std::complex<double> capacitor(0, -1 / (2 * std::numbers::pi * 60 * 5e-6));
    const std::complex<double> current_A = 230.0 / impedance("capacitor_fan_main") +
                                           230.0 / (impedance("capacitor_fan_start") + capacitor);
    EXPECT_TRUE(nearRel(std::abs(current_A), 0.9, 1e-9));
    EXPECT_EQ(portOf(model, "capacitor_fan_start", "a"), portOf(model, "fan_capacitor", "b"));
    EXPECT_EQ(portOf(model, "capacitor_fan_main", "a"), model.node("compressor", "R"));
}

// Whatever feeds it, the deck has every parameter that its models ask for.
TEST(ServiceModel, IsADeckThatFitsItsModelsWithAnyFeed)
{
    for (const bool limited : {false, true}) {
        for (const std::size_t runs : {0U, 1U, 3U}) {
            Case input = coldStoreCase();
            if (limited) {
                input.supply.limit_A = 27.5;
            }
            input.supply.conductors.assign(runs, {18, 2.5e-6, ConductorMaterial::copper, 40, {}});
            for (const RunSetting& setting : {RunSetting{}, heldStill, heldAndOff}) {
                const SimulationModel model = modelOf(input, coldStoreMotor(), {}, setting);
                EXPECT_NO_THROW(writeDeck(model, Analysis{}, DeckText{})) << limited << runs;
            }
        }
    }
}

// Node names must not run into each other, whatever is fitted.
TEST(ServiceModel, KeepsEveryNetANodeOfItsOwn)
{
    for (const Circuit& standard : standardCircuits()) {
        for (const Service& service : everyService()) {
            if (service.dual || heatsBehindTwoPoles(standard, service)) {
                continue;
            }
            SCOPED_TRACE(standard.description + ", " + serviceText(service));
            Case input = caseFor(standard, service);
            input.supply.conductors = {{18, 2.5e-6, ConductorMaterial::copper, 40, {}},
                                       {12, 4e-6, ConductorMaterial::copper, 40, {}}};
            const Circuit circuit = caseCircuit(input);
            const SimulationModel model = modelOf(input, coldStoreMotor(), {});
            const Nets nets(circuit);
            std::set<std::string> names;
            for (const std::vector<Terminal>& net : nets.all()) {
                EXPECT_TRUE(names.insert(model.nodeOfTerminal.at(net.front())).second);
            }
            for (const char* inner :
                 {"service", "feed_1", "speed", "torque", "load_torque", "angle", "star",
                  "capacitor_fan_speed", "capacitor_fan_torque", "capacitor_fan_load"}) {
                EXPECT_FALSE(names.contains(inner)) << inner;
            }
            std::set<std::string> instances;
            for (const SubcircuitInstance& instance : model.instances) {
                EXPECT_TRUE(instances.insert(instance.name).second) << instance.name;
            }
        }
    }
}

}  // namespace splitstart
