// Phasors made up by the test; what is expected of them is worked out in the time domain, where no
// conjugate can be on the wrong side.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <complex>
#include <functional>
#include <map>
#include <numbers>
#include <string>

#include "physics/near.h"
#include "spice/measurement.h"
#include "unit/spice/deck_fixture.h"

namespace splitstart
{

namespace
{

using Phasor = std::complex<double>;
using Phasors = std::map<std::string, Phasor>;

const std::string lineAmmeter = "v.xsupply.vline#branch";
const std::string mainAmmeter = "v.xcompressor.vmain#branch";
const std::string auxiliaryAmmeter = "v.xcompressor.vaux#branch";
const std::string rotorMainAmmeter = "v.xcompressor.vrotq#branch";
const std::string rotorAuxiliaryAmmeter = "v.xcompressor.vrotd#branch";
const std::string fluxMain = "xcompressor.psiq";
const std::string fluxAuxiliary = "xcompressor.psid";

Phasor phasor(double peak, double angle_deg)
{
    return std::polar(peak, angle_deg * std::numbers::pi / 180);
}

SimulationModel heldModel(const Case& input, const EquivalentCircuit& motor)
{
    return modelOf(input, motor, {}, {StartContact::heldClosed, 300.0});
}

SimulationModel heldStore()
{
    return heldModel(coldStoreCase(), coldStoreMotor());
}

Waveforms waveformsOf(const SimulationModel& model, const Phasors& phasors)
{
    Waveforms waveforms;
    waveforms.frequency_Hz = {60};
    std::size_t used = 0;
    for (const std::string& vector : heldShaftVectors(model)) {
        const auto found = phasors.find(vector);
        waveforms.phasors.push_back({found == phasors.end() ? Phasor{} : found->second});
        used += found == phasors.end() ? 0 : 1;
    }
    EXPECT_EQ(used, phasors.size()) << "a phasor that nobody asked for";
    return waveforms;
}

HeldShaftMeasurement measured(const SimulationModel& model, const Phasors& phasors)
{
    return measureHeldShaft(model, waveformsOf(model, phasors));
}

HeldShaftPhasors phasorsMeasured(const SimulationModel& model, const Phasors& phasors)
{
    return heldShaftPhasors(model, waveformsOf(model, phasors));
}

// Mean over a cycle of a function of the instant values.
double meanOverACycle(const std::function<double(const std::function<double(Phasor)>&)>& value)
{
    constexpr int points = 3600;
    double sum = 0;
    for (int i = 0; i < points; ++i) {
        const Phasor turn = phasor(1, 360.0 * i / points);
        sum += value([turn](Phasor peak) { return (peak * turn).real(); });
    }
    return sum / points;
}

double rmsOf(Phasor peak)
{
    return std::sqrt(meanOverACycle([peak](const auto& at) { return at(peak) * at(peak); }));
}

}  // namespace

TEST(HeldShaftVectors, AreAskedForOnceEach)
{
    for (const SimulationModel& model : heldModels()) {
        std::set<std::string> seen;
        for (const std::string& vector : heldShaftVectors(model)) {
            EXPECT_TRUE(seen.insert(vector).second) << vector;
        }
        EXPECT_FALSE(seen.contains("0"));
    }
}

TEST(HeldShaftMeasurement, TakesRmsAmpsAndTheSumThroughPinC)
{
    const Phasor main = phasor(14, -52);
    const Phasor auxiliary = phasor(6, 31);
    const HeldShaftMeasurement result = measured(
        heldStore(),
        {{mainAmmeter, main}, {auxiliaryAmmeter, auxiliary}, {lineAmmeter, phasor(17, 140)}});
    EXPECT_TRUE(nearRel(result.main_A, rmsOf(main), 1e-9));
    EXPECT_TRUE(nearRel(result.auxiliary_A, rmsOf(auxiliary), 1e-9));
    EXPECT_TRUE(nearRel(result.compressor_A, rmsOf(main + auxiliary), 1e-9));
    EXPECT_TRUE(nearRel(result.line_A, 17 / std::numbers::sqrt2, 1e-9));
    EXPECT_TRUE(nearRel(result.speed_ratio, 300 / (2 * std::numbers::pi * 60), 1e-12));
}

TEST(HeldShaftMeasurement, CountsTheAnglePositiveWhenTheAuxiliaryCurrentLeads)
{
    const auto angle_deg = [](double main_deg, double auxiliary_deg) {
        return measured(heldStore(), {{mainAmmeter, phasor(9, main_deg)},
                                      {auxiliaryAmmeter, phasor(4, auxiliary_deg)}})
            .currentAngle_deg;
    };
    EXPECT_TRUE(nearRel(angle_deg(-52, 31), 83, 1e-9));
    EXPECT_TRUE(nearRel(angle_deg(31, -52), -83, 1e-9));
    EXPECT_TRUE(nearRel(angle_deg(-170, 100), -90, 1e-9));  // past half a turn
    EXPECT_EQ(measured(heldStore(), {{mainAmmeter, phasor(9, 10)}}).currentAngle_deg, 0);
}

// The torque expression of models/split_phase_motor.lib, taken at every instant and averaged.
TEST(HeldShaftMeasurement, TakesTheMeanTorque)
{
    for (const bool store : {true, false}) {
        const SimulationModel model =
            store ? heldStore() : heldModel(bottleCoolerCase(), bottleCoolerMotor());
        const double poles = store ? 1 : 2;
        const double n = store ? 1.22 : 1.18;
        const Phasor psiQ = phasor(0.61, -80);
        const Phasor psiD = phasor(0.48, 15);
        const Phasor currentQ = phasor(12, 120);
        const Phasor currentD = phasor(7, -70);
        const double mean_Nm = meanOverACycle([&](const auto& at) {
            return poles * (n * at(psiQ) * at(currentD) - at(psiD) * at(currentQ) / n);
        });
        const HeldShaftMeasurement result = measured(model, {{fluxMain, psiQ},
                                                             {fluxAuxiliary, psiD},
                                                             {rotorMainAmmeter, currentQ},
                                                             {rotorAuxiliaryAmmeter, currentD}});
        EXPECT_TRUE(nearRel(result.torque_Nm, mean_Nm, 1e-9));
    }
}

// Exchanging the wires of the start winding turns the motor round.
TEST(HeldShaftMeasurement, GivesTheOtherSignToTheTorqueOfAReversedStartWinding)
{
    const auto torque_Nm = [](double sign) {
        return measured(heldStore(), {{fluxMain, phasor(0.6, -80)},
                                      {fluxAuxiliary, sign * phasor(0.5, 10)},
                                      {rotorMainAmmeter, phasor(12, 100)},
                                      {rotorAuxiliaryAmmeter, sign * phasor(8, -100)}})
            .torque_Nm;
    };
    EXPECT_GT(torque_Nm(1), 0);
    EXPECT_TRUE(nearRel(torque_Nm(-1), -torque_Nm(1), 1e-12));
}

TEST(HeldShaftMeasurement, TakesVoltsBetweenTheTerminalsThatItNames)
{
    const SimulationModel model = heldStore();
    const Phasor r = phasor(325, 0);
    const Phasor s = phasor(400, 80);
    const Phasor star = phasor(5, 20);
    const Phasor relay1 = phasor(390, 85);
    const HeldShaftMeasurement result = measured(model, {{model.node("compressor", "R"), r},
                                                         {model.node("compressor", "S"), s},
                                                         {model.node("relay", "1"), relay1},
                                                         {"star", star}});
    EXPECT_TRUE(nearRel(result.runWinding_V, rmsOf(r - star), 1e-9));
    EXPECT_TRUE(nearRel(result.startWinding_V, rmsOf(s - star), 1e-9));
    EXPECT_TRUE(nearRel(result.startToRun_V, rmsOf(s - r), 1e-9));
    ASSERT_TRUE(result.startCapacitor_V && result.runCapacitor_V);
    EXPECT_TRUE(nearRel(*result.startCapacitor_V, rmsOf(r - relay1), 1e-9));
    EXPECT_TRUE(nearRel(*result.runCapacitor_V, rmsOf(r - s), 1e-9));
}

TEST(HeldShaftMeasurement, TakesTheWattsThatTheLineDelivers)
{
    const SimulationModel model = heldStore();
    const Phasor volts = phasor(325, 0);
    const Phasor intoTheSource = phasor(20, 180 - 35);
    const double drawn_W =
        meanOverACycle([&](const auto& at) { return at(volts) * -at(intoTheSource); });
    const HeldShaftMeasurement result =
        measured(model, {{model.node("supply", "L1"), volts}, {lineAmmeter, intoTheSource}});
    EXPECT_GT(drawn_W, 0);
    EXPECT_TRUE(nearRel(result.line_W, drawn_W, 1e-9));
}

TEST(HeldShaftMeasurement, LeavesEmptyTheCapacitorThatTheCircuitDoesNotHave)
{
    const SimulationModel model = heldModel(bottleCoolerCase(), bottleCoolerMotor());
    EXPECT_FALSE(measured(model, {}).runCapacitor_V);
    EXPECT_TRUE(measured(model, {}).startCapacitor_V);
}

TEST(HeldShaftMeasurement, TakesAPotentialRelaysCoilWhereverItIsWired)
{
    const SimulationModel store = heldStore();
    const Phasor s = phasor(400, 80);
    const Phasor r = phasor(325, 0);
    const HeldShaftMeasurement acrossTheStartWinding =
        measured(store, {{store.node("compressor", "S"), s}, {store.node("compressor", "R"), r}});
    EXPECT_TRUE(nearRel(acrossTheStartWinding.coil_V.value(), rmsOf(s), 1e-9));
    EXPECT_FALSE(acrossTheStartWinding.coil_A);

    Case assist = stockedCase();
    assist.circuit = CircuitChoice{};
    assist.circuit->type = "PSC";
    assist.circuit->variant = "two-wire-assist";
    assist.circuit->startDevice = "potential";
    assist.circuit->startCapacitor = "start";
    assist.circuit->runCapacitor = "run";
    const SimulationModel model = heldModel(assist, coldStoreMotor());
    const HeldShaftMeasurement fromSToR =
        measured(model, {{model.node("compressor", "S"), s}, {model.node("compressor", "R"), r}});
    EXPECT_TRUE(nearRel(fromSToR.coil_V.value(), rmsOf(s - r), 1e-9));
}

// Ohm: what the coil carries is what it drops over its own resistance, whatever is wired behind it.
TEST(HeldShaftMeasurement, TakesACurrentRelaysCoilByWhatItDrops)
{
    for (const bool contactFromM : {false, true}) {
        Case input = bottleCoolerCase();
        partOf<CurrentRelay>(input, "relay").contactFromM = contactFromM;
        const SimulationModel model = heldModel(input, bottleCoolerMotor());
        const Phasor l = phasor(162, 3);
        const Phasor main = phasor(28, -45);
        const Phasor auxiliary = phasor(9, 20);
        const Phasor through = contactFromM ? main + auxiliary : main;
        const HeldShaftMeasurement result =
            measured(model, {{model.node("relay", "L"), l},
                             {model.node("relay", "M"), l - 0.06 * through},
                             {mainAmmeter, main},
                             {auxiliaryAmmeter, auxiliary}});
        EXPECT_TRUE(nearRel(result.coil_A.value(), rmsOf(through), 1e-9));
        EXPECT_FALSE(result.coil_V);
    }
}

TEST(HeldShaftMeasurement, HasNoCoilWhereThereIsNoRelay)
{
    for (const Case& input : {milkTankCase(), curdRoomCase(), butterChurnCase()}) {
        const HeldShaftMeasurement result = measured(heldModel(input, coldStoreMotor()), {});
        EXPECT_FALSE(result.coil_V);
        EXPECT_FALSE(result.coil_A);
    }
}

// Ahead of the cable, whose loss the supply delivers too.
TEST(HeldShaftMeasurement, TakesTheWattsAtTheSupplysOwnTerminals)
{
    const SimulationModel model = heldModel(milkTankCase(), coldStoreMotor());
    const Phasor service = phasor(325, 0);
    const Phasor intoTheSource = phasor(20, 180 - 35);
    const HeldShaftMeasurement result =
        measured(model, {{"service", service},
                         {model.node("supply", "L1"), phasor(310, -2)},
                         {lineAmmeter, intoTheSource}});
    EXPECT_TRUE(nearRel(
        result.line_W,
        meanOverACycle([&](const auto& at) { return at(service) * -at(intoTheSource); }), 1e-9));
}

// The section HERM is the compressor's run capacitor; the section FAN is not.
TEST(HeldShaftMeasurement, TakesTheCompressorsSectionOfADualCapacitor)
{
    const SimulationModel model = heldModel(curdRoomCase(), coldStoreMotor());
    const Phasor c = phasor(325, 0);
    const Phasor herm = phasor(400, 80);
    const HeldShaftMeasurement result =
        measured(model, {{model.node("dual-capacitor", "C"), c},
                         {model.node("dual-capacitor", "HERM"), herm},
                         {model.node("dual-capacitor", "FAN"), phasor(90, 10)}});
    EXPECT_TRUE(nearRel(result.runCapacitor_V.value(), rmsOf(c - herm), 1e-9));
}

// The shaft turns forwards where the auxiliary current leads (models/split_phase_motor.lib). Two
// axes at right angles with equal ampere turns a quarter of a cycle apart make one field that
// turns, the way from the axis that leads to the other, and none that turns against it (any text on
// machines). The auxiliary winding has 1.22 times the turns.
TEST(HeldShaftPhasors, HaveTheFieldThatTurnsTheWayOfTheLeadingAxisAlone)
{
    constexpr double n = 1.22;
    const Phasor main = phasor(0.61, -80);
    for (const double lead_deg : {90.0, -90.0}) {
        const Phasor auxiliary = n * main * phasor(1, lead_deg);
        const HeldShaftPhasors result =
            phasorsMeasured(heldStore(), {{fluxMain, main}, {fluxAuxiliary, auxiliary}});
        const bool forwards = lead_deg > 0;
        const Phasor with = forwards ? result.forwardFlux_Vs : result.backwardFlux_Vs;
        const Phasor against = forwards ? result.backwardFlux_Vs : result.forwardFlux_Vs;
        EXPECT_TRUE(nearRel(with, main / std::numbers::sqrt2, 1e-9)) << lead_deg;
        EXPECT_LT(std::abs(against), 1e-9 * std::abs(with)) << lead_deg;
    }
}

// A field in the main axis alone swings: two halves that turn against one another.
TEST(HeldShaftPhasors, SplitAFieldThatSwingsIntoEqualHalves)
{
    const Phasor main = phasor(0.61, -80);
    const HeldShaftPhasors result = phasorsMeasured(heldStore(), {{fluxMain, main}});
    EXPECT_TRUE(nearRel(result.forwardFlux_Vs, main / std::numbers::sqrt2 / 2.0, 1e-9));
    EXPECT_TRUE(nearRel(result.backwardFlux_Vs, main / std::numbers::sqrt2 / 2.0, 1e-9));
}

// The torque expression of models/split_phase_motor.lib, taken at every instant and averaged: all
// of it is the forward field's where flux and rotor current turn forwards, and its difference from
// the backward field's whatever they do.
TEST(HeldShaftPhasors, HaveTheMeanTorqueBetweenThem)
{
    constexpr double n = 1.22;
    constexpr double pairs = 1;
    const Phasor quarter = phasor(1, 90);
    struct Rotor {
        Phasor fluxQ, fluxD, currentQ, currentD;
    };
    const Rotor forwards = {phasor(0.61, -80), n * phasor(0.61, -80) * quarter, phasor(12, 150),
                            phasor(12, 150) * quarter / n};
    const Rotor mixed = {phasor(0.61, -80), phasor(0.48, 15), phasor(12, 120), phasor(7, -70)};
    for (const bool onlyForwards : {true, false}) {
        const Rotor& rotor = onlyForwards ? forwards : mixed;
        const double mean_Nm = meanOverACycle([&](const auto& at) {
            return pairs * (n * at(rotor.fluxQ) * at(rotor.currentD) -
                            at(rotor.fluxD) * at(rotor.currentQ) / n);
        });
        const HeldShaftPhasors result =
            phasorsMeasured(heldStore(), {{fluxMain, rotor.fluxQ},
                                          {fluxAuxiliary, rotor.fluxD},
                                          {rotorMainAmmeter, rotor.currentQ},
                                          {rotorAuxiliaryAmmeter, rotor.currentD}});
        const double between_Nm = result.forwardTorque_Nm - result.backwardTorque_Nm;
        EXPECT_TRUE(nearRel(between_Nm, mean_Nm, 1e-9));
        if (onlyForwards) {
            EXPECT_TRUE(nearOfScale(result.backwardTorque_Nm, 0, mean_Nm, 1e-9));
        }
    }
}

// The supply's ammeter counts into the source, the phasor out of it: a load takes watts.
TEST(HeldShaftPhasors, CountTheLineCurrentOutOfTheSupply)
{
    const SimulationModel model = heldStore();
    const Phasor volts = phasor(325, 0);
    const Phasor intoTheSource = phasor(20, 180 - 35);
    const HeldShaftPhasors result =
        phasorsMeasured(model, {{model.node("supply", "L1"), volts}, {lineAmmeter, intoTheSource}});
    const double drawn_W =
        meanOverACycle([&](const auto& at) { return at(volts) * -at(intoTheSource); });
    EXPECT_GT(drawn_W, 0);
    EXPECT_TRUE(nearRel((result.terminal_V * std::conj(result.line_A)).real(), drawn_W, 1e-9));
    EXPECT_TRUE(nearRel(std::arg(result.line_A) * 180 / std::numbers::pi, -35, 1e-9));
}

}  // namespace splitstart
