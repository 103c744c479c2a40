// Every attribute lands in its field, in SI, to the last bit. Expected values are written as
// decimal numbers in SI, so that the compiler rounds them once.
#include "case/reader.h"

#include <gtest/gtest.h>

#include <cmath>
#include <string>

#include "case/vocabulary.h"
#include "unit/case/case_fixture.h"

namespace splitstart
{
namespace
{

using testing::caseMessage;
using testing::caseTestFolder;
using testing::caseWith;
using testing::partsMessage;
using testing::textOfFile;

std::string good(const char* name)
{
    return (caseTestFolder() / "good" / name).string();
}

// The example of a whole case: readings, nameplate, one measurement, a parts file.
TEST(CheeseStore, IsReadAsWritten)
{
    const Case it = readCaseFile(good("cheese-store.xml"));
    EXPECT_EQ(it.name, "cheese store, unit 2");
    EXPECT_TRUE(it.invented);
    EXPECT_EQ(it.file, good("cheese-store.xml"));
    EXPECT_TRUE(it.supplyGiven);
    EXPECT_EQ(it.supply.voltage_V, 230);
    EXPECT_EQ(it.supply.frequency_Hz, 60);
    EXPECT_EQ(it.supply.source_ohm, 0.2);
    EXPECT_EQ(it.supply.source_H, 0.00015);
    EXPECT_TRUE(it.supply.sourceImpedanceGiven);
    EXPECT_EQ(it.supply.switchOn_deg, 0);
    EXPECT_EQ(it.compressor.poles, 2);
    EXPECT_TRUE(it.compressor.polesGiven);
    ASSERT_TRUE(it.compressor.insulation.has_value());
    EXPECT_EQ(it.compressor.insulation->resistance_ohm, 180e6);
    EXPECT_FALSE(it.compressor.insulation->lowerLimit);
    EXPECT_EQ(it.compressor.insulation->test_V, 500);
    EXPECT_EQ(it.compressor.nameplate.voltage_V, 230);
    EXPECT_EQ(it.compressor.nameplate.frequency_Hz, 60);
    EXPECT_EQ(it.compressor.nameplate.lockedRotor_A, 74);
    EXPECT_EQ(it.compressor.nameplate.ratedLoad_A, 15.2);
    EXPECT_EQ(it.compressor.nameplate.output_W, std::nullopt);
    EXPECT_EQ(it.compressor.nameplate.codeLetter, std::nullopt);
    ASSERT_EQ(it.compressor.measurements.size(), 1U);
    EXPECT_EQ(it.compressor.measurements[0].quantity, MeasuredQuantity::startCommonVoltsRunning);
    EXPECT_EQ(it.compressor.measurements[0].value, 301);
    EXPECT_EQ(it.compressor.measurements[0].accuracy_ratio, 0.02);
    EXPECT_EQ(it.compressor.measurements[0].place.line, 9);
    EXPECT_EQ(it.compressor.load.kind, LoadKind::reciprocating);
    EXPECT_TRUE(it.compressor.load.kindGiven);
    EXPECT_EQ(it.compressor.load.pressures, Pressures::unequalised);
    EXPECT_TRUE(it.compressor.load.pressuresGiven);
    EXPECT_FALSE(it.compressor.equivalentCircuit.has_value());
}

TEST(CheeseStore, HasItsThreeReadings)
{
    const Case it = readCaseFile(good("cheese-store.xml"));
    ASSERT_TRUE(it.compressor.readings.has_value());
    const Readings& readings = *it.compressor.readings;
    EXPECT_EQ(readings.windingTemperature_degC, 24);
    EXPECT_TRUE(readings.windingTemperatureGiven);
    EXPECT_EQ(readings.lead_ohm, 0.1);
    EXPECT_EQ(readings.accuracy_ratio, 0.01);
    EXPECT_EQ(readings.resolution_ohm, 0.01);
    ASSERT_EQ(readings.readings.size(), 3U);
    EXPECT_EQ(readings.readings[0].pinA, "A");
    EXPECT_EQ(readings.readings[0].pinB, "B");
    EXPECT_EQ(readings.readings[0].resistance_ohm, 2.71);
    EXPECT_EQ(readings.readings[1].resistance_ohm, 3.42);
    EXPECT_EQ(readings.readings[2].resistance_ohm, 0.93);
    EXPECT_EQ(readings.readings[2].place.line, 5);
}

TEST(CheeseStore, FindsItsPartsInTheNamedFile)
{
    const Case it = readCaseFile(good("cheese-store.xml"));
    ASSERT_TRUE(it.circuit.has_value());
    EXPECT_EQ(it.circuit->type, "CSCR");
    EXPECT_EQ(it.circuit->startDevice, "relay-a");
    EXPECT_EQ(it.circuit->startCapacitor, "start-120");
    EXPECT_EQ(it.circuit->runCapacitor, "run-40");
    EXPECT_EQ(it.circuit->protector, "internal-a");
    EXPECT_EQ(it.circuit->fan, "");
    EXPECT_EQ(it.circuit->variant, "standard");
    EXPECT_EQ(it.circuit->place.line, 12);
    EXPECT_EQ(it.parts.name, "dairy stock shelf");
    EXPECT_EQ(it.parts.parts.size(), 16U);
    EXPECT_EQ(it.parts.find("relay-a")->place.file, good("dairy-stock.xml"));
    EXPECT_EQ(it.parts.find("relay-a")->place.line, 4);
}

// The example of a motor given in full: the quarter-horsepower machine of Krause, Wasynczuk,
// Sudhoff, "Analysis of Electric Machinery and Drive Systems".
TEST(BenchMotor, IsReadAsWritten)
{
    const Case it = readCaseFile(good("bench-motor.xml"));
    EXPECT_FALSE(it.supplyGiven);
    EXPECT_FALSE(it.circuit.has_value());
    EXPECT_FALSE(it.compressor.readings.has_value());
    EXPECT_EQ(it.compressor.nameplate.output_W, 186.4);
    ASSERT_TRUE(it.compressor.equivalentCircuit.has_value());
    const EquivalentCircuit& motor = *it.compressor.equivalentCircuit;
    EXPECT_EQ(motor.frequency_Hz, 60);
    EXPECT_EQ(motor.main_ohm, 2.02);
    EXPECT_EQ(motor.mainLeakage_ohm, 2.79);
    EXPECT_EQ(motor.mainMagnetizing_ohm, 66.8);
    EXPECT_EQ(motor.rotorMain_ohm, 4.12);
    EXPECT_EQ(motor.rotorMainLeakage_ohm, 2.12);
    EXPECT_EQ(motor.auxiliary_ohm, 7.14);
    EXPECT_EQ(motor.auxiliaryLeakage_ohm, 3.22);
    EXPECT_EQ(motor.auxiliaryMagnetizing_ohm, 92.9);
    EXPECT_EQ(motor.rotorAuxiliary_ohm, 5.74);
    EXPECT_EQ(motor.rotorAuxiliaryLeakage_ohm, 2.95);
    EXPECT_EQ(motor.turnsRatio, 1.18);
    EXPECT_EQ(motor.poles, 4);
    EXPECT_EQ(motor.inertia_kgm2, 0.0146);
    EXPECT_EQ(motor.coreLoss_W, 0);
    EXPECT_EQ(motor.friction_W, 0);
    EXPECT_EQ(motor.resistanceTemperature_degC, 25);
    EXPECT_EQ(it.compressor.poles, 4);  // the compressor's, where only the motor says it
    EXPECT_TRUE(it.compressor.polesGiven);
}

TEST(EveryAttribute, OfSupplyAndReadingsLandsInItsField)
{
    const Case it = readCaseFile(good("everything.xml"));
    EXPECT_EQ(it.name, "milk tank & shop, K\u00E4serei");
    EXPECT_FALSE(it.invented);
    EXPECT_EQ(it.supply.voltage_V, 120.5);
    EXPECT_EQ(it.supply.frequency_Hz, 50);
    EXPECT_EQ(it.supply.source_ohm, 0.31);
    EXPECT_EQ(it.supply.source_H, 0.27e-3);
    EXPECT_EQ(it.supply.switchOn_deg, 35);
    const Readings& readings = *it.compressor.readings;
    EXPECT_EQ(readings.windingTemperature_degC, -3.5);
    EXPECT_EQ(readings.lead_ohm, 0.15);
    EXPECT_TRUE(readings.leadGiven);
    EXPECT_EQ(readings.accuracy_ratio, 0.015);
    EXPECT_TRUE(readings.accuracyGiven);
    EXPECT_EQ(readings.resolution_ohm, 0.1);
    EXPECT_TRUE(readings.resolutionGiven);
    ASSERT_EQ(readings.readings.size(), 5U);
    EXPECT_TRUE(std::isinf(readings.readings[1].resistance_ohm));
    EXPECT_EQ(readings.readings[3].pinA, "3");
    EXPECT_EQ(readings.readings[3].pinB, "shell");
    EXPECT_TRUE(std::isinf(readings.readings[3].resistance_ohm));
    EXPECT_EQ(readings.readings[4].pinA, "1");
    EXPECT_EQ(readings.readings[4].pinB, "shell");
    EXPECT_EQ(readings.readings[4].resistance_ohm, 2e6);
    EXPECT_EQ(it.compressor.insulation->resistance_ohm, 500e6);
    EXPECT_TRUE(it.compressor.insulation->lowerLimit);
    EXPECT_EQ(it.compressor.insulation->test_V, 250);
}

TEST(EveryAttribute, OfThePinsLandsInItsField)
{
    const Case it = readCaseFile(good("everything.xml"));
    ASSERT_TRUE(it.compressor.pins.has_value());
    EXPECT_EQ(it.compressor.pins->common, "1");
    EXPECT_EQ(it.compressor.pins->start, "2");
    EXPECT_EQ(it.compressor.pins->run, "3");
    EXPECT_EQ(it.compressor.pins->place.file, good("everything.xml"));
    EXPECT_EQ(it.compressor.pins->place.line, 16);
}

TEST(EveryAttribute, OfNameplateAndLoadLandsInItsField)
{
    const Compressor it = readCaseFile(good("everything.xml")).compressor;
    EXPECT_EQ(it.poles, 4);
    EXPECT_EQ(it.nameplate.voltage_V, 115);
    EXPECT_EQ(it.nameplate.frequency_Hz, 60);
    EXPECT_EQ(it.nameplate.lockedRotor_A, 58);
    EXPECT_EQ(it.nameplate.ratedLoad_A, 9.4);
    EXPECT_EQ(it.nameplate.output_W, 372.85);  // half of 745.7 W
    EXPECT_EQ(it.nameplate.codeLetter, 'M');
    EXPECT_EQ(it.nameplate.ratedLoad_W, 985);
    EXPECT_EQ(it.nameplate.accuracy_ratio, 0.07);
    EXPECT_EQ(it.nameplate.lockedRotorOf, LockedRotorOf::runWinding);
    EXPECT_TRUE(it.nameplate.lockedRotorOfGiven);
    EXPECT_EQ(it.load.kind, LoadKind::steady);
    EXPECT_EQ(it.load.pressures, Pressures::unequalised);
    EXPECT_EQ(it.load.startAngle_deg, 90);
    EXPECT_EQ(it.load.torque_Nm, 2.4);
    EXPECT_EQ(it.load.suction_Pa, 2.5e5);
    EXPECT_EQ(it.load.discharge_Pa, 14.5e5);
    EXPECT_EQ(it.load.equalised_Pa, 6.1e5);
}

TEST(EveryAttribute, OfTheEquivalentCircuitLandsInItsField)
{
    const EquivalentCircuit it = *readCaseFile(good("everything.xml")).compressor.equivalentCircuit;
    EXPECT_EQ(it.frequency_Hz, 61);
    EXPECT_EQ(it.main_ohm, 1);
    EXPECT_EQ(it.mainLeakage_ohm, 2);
    EXPECT_EQ(it.mainMagnetizing_ohm, 3);
    EXPECT_EQ(it.rotorMain_ohm, 4);
    EXPECT_EQ(it.rotorMainLeakage_ohm, 5);
    EXPECT_EQ(it.auxiliary_ohm, 6);
    EXPECT_EQ(it.auxiliaryLeakage_ohm, 7);
    EXPECT_EQ(it.auxiliaryMagnetizing_ohm, 8);
    EXPECT_EQ(it.rotorAuxiliary_ohm, 9);
    EXPECT_EQ(it.rotorAuxiliaryLeakage_ohm, 10);
    EXPECT_EQ(it.turnsRatio, 1.1);
    EXPECT_EQ(it.inertia_kgm2, 0.012);
    EXPECT_EQ(it.coreLoss_W, 13);
    EXPECT_EQ(it.friction_W, 14);
    EXPECT_EQ(it.resistanceTemperature_degC, 15);
}

TEST(EveryMeasuredQuantity, IsReadWithItsValue)
{
    const Compressor it = readCaseFile(good("everything.xml")).compressor;
    const MeasuredQuantity quantities[] = {
        MeasuredQuantity::startCommonVoltsRunning, MeasuredQuantity::startCommonVoltsStalled,
        MeasuredQuantity::lineAmpsRunning,         MeasuredQuantity::lineAmpsStalled,
        MeasuredQuantity::startLeadAmpsRunning,    MeasuredQuantity::startLeadAmpsStalled,
        MeasuredQuantity::lineWattsRunning,        MeasuredQuantity::supplyVoltsStalled,
        MeasuredQuantity::secondsToStart,          MeasuredQuantity::turnsRatio,
        MeasuredQuantity::lineWattsStalled,        MeasuredQuantity::runCapacitorVoltsRunning,
        MeasuredQuantity::powerFactorRunning,      MeasuredQuantity::powerFactorStalled,
        MeasuredQuantity::runWindingAmpsStalled,   MeasuredQuantity::runWindingWattsStalled};
    const double values[] = {151,  91,   8.9,  51,  3.1,  19,   710, 101,
                             0.35, 1.21, 6900, 262, 0.82, 0.71, 43,  3050};
    ASSERT_EQ(it.measurements.size(), std::size(quantities));
    for (std::size_t i = 0; i < it.measurements.size(); ++i) {
        EXPECT_EQ(it.measurements[i].quantity, quantities[i]);
        EXPECT_EQ(it.measurements[i].value, values[i]);
    }
    EXPECT_EQ(it.measurements[0].accuracy_ratio, 0.03);
    EXPECT_EQ(it.measurements[1].accuracy_ratio, 0.02);
    EXPECT_EQ(it.measurements[2].accuracy_ratio, 0);
    EXPECT_EQ(it.measurements[8].accuracy_ratio, 0.5);
    EXPECT_EQ(it.measurements[13].accuracy_ratio, 0.04);
    EXPECT_EQ(it.measurements[2].winding_degC, std::nullopt);
    EXPECT_EQ(it.measurements[3].winding_degC, -12.5);
    EXPECT_EQ(measuredQuantityName(MeasuredQuantity::startCommonVoltsRunning),
              "start-common-volts-running");
}

TEST(EveryAttribute, OfTheTwoFeedTestLandsInItsField)
{
    const Compressor it = readCaseFile(good("bench-motor.xml")).compressor;
    ASSERT_TRUE(it.twoFeedTest.has_value());
    EXPECT_EQ(it.twoFeedTest->runFed_V, 110);
    EXPECT_EQ(it.twoFeedTest->startOpen_V, 121.5);
    EXPECT_EQ(it.twoFeedTest->startFed_V, 140.25);
    EXPECT_EQ(it.twoFeedTest->runOpen_V, 112);
    EXPECT_EQ(it.twoFeedTest->accuracy_ratio, 0.015);
    EXPECT_EQ(it.twoFeedTest->place.file, good("bench-motor.xml"));
    EXPECT_EQ(it.twoFeedTest->place.line, 4);
    EXPECT_TRUE(it.measurements.empty());
}

TEST(TwoFeedTestElement, MayLeaveOutItsAccuracyAndStandBesideOtherMeasurements)
{
    const Compressor it =
        readCaseText(caseWith("",
                              "<measured quantity='line-amps-running' value='9'/><two-feed-test "
                              "run-fed-volts='1' start-open-volts='2' start-fed-volts='3' "
                              "run-open-volts='1500'/>"),
                     "d.xml", "")
            .compressor;
    ASSERT_TRUE(it.twoFeedTest.has_value());
    EXPECT_EQ(it.twoFeedTest->accuracy_ratio, TwoFeedTest().accuracy_ratio);
    EXPECT_EQ(it.measurements.size(), 1U);
    EXPECT_FALSE(readCaseText(caseWith(""), "d.xml", "").compressor.twoFeedTest.has_value());
}

// Whichever of the two comes first in the file.
TEST(TwoFeedTestElement, BesideAMeasuredTurnsRatioIsRefusedInOneLine)
{
    const std::string test =
        "<two-feed-test run-fed-volts='115' start-open-volts='130' start-fed-volts='150' "
        "run-open-volts='118'/>\n";
    const std::string ratio = "<measured quantity='turns-ratio' value='1.2'/>\n";
    const std::string rule =
        ": measured/quantity: found \"turns-ratio\"; allowed: either a measured turns-ratio or a "
        "<two-feed-test>, not both. The test is in line ";
    EXPECT_EQ(caseMessage(caseWith("", test + ratio)), "dairy.xml:6" + rule + "5.");
    EXPECT_EQ(caseMessage(caseWith("", ratio + test)), "dairy.xml:5" + rule + "6.");
}

TEST(CircuitChoice, SpellsIdsAsThePartsListDoes)
{
    const Case it = readCaseFile(good("everything.xml"));
    EXPECT_EQ(it.circuit->type, "CSIR");
    EXPECT_EQ(it.circuit->startDevice, "relay-b");       // written "Relay-B"
    EXPECT_EQ(it.circuit->startCapacitor, "start-120");  // written "START-120"
    EXPECT_EQ(it.circuit->runCapacitor, "");
    EXPECT_EQ(it.circuit->protector, "guard");
    EXPECT_EQ(it.circuit->fan, "fan-b");              // written "Fan-B"
    EXPECT_EQ(it.circuit->fanCapacitor, "run-5");     // written "Run-5"
    EXPECT_EQ(it.circuit->contactor, "contactor-a");  // written "CONTACTOR-A"
}

TEST(EveryAttribute, OfTheCircuitsServiceLandsInItsField)
{
    const CircuitChoice it = *readCaseFile(good("everything.xml")).circuit;
    EXPECT_EQ(it.variant, "standard");
    EXPECT_EQ(it.ambient_degC, 43);
    EXPECT_EQ(it.startsPerHour, 6);
    EXPECT_EQ(it.shortestOff_s, 180);
    EXPECT_EQ(it.refrigerant, Refrigerant::flammable);
}

TEST(EveryAttribute, OfTheConductorsLandsInItsFieldInTheirOrder)
{
    const Supply it = readCaseFile(good("everything.xml")).supply;
    EXPECT_EQ(it.kind, SupplyKind::generator);
    EXPECT_EQ(it.limit_A, 27.5);
    ASSERT_EQ(it.conductors.size(), 2U);
    EXPECT_EQ(it.conductors[0].length_m, 18.5);
    EXPECT_EQ(it.conductors[0].area_m2, 2.5e-6);
    EXPECT_EQ(it.conductors[0].material, ConductorMaterial::aluminium);
    EXPECT_EQ(it.conductors[0].temperature_degC, 55);
    EXPECT_EQ(it.conductors[0].place.line, 5);
    EXPECT_DOUBLE_EQ(it.conductors[1].length_m, 12.192);  // 40 ft of 0.3048 m
    // 4/0: 11.684 mm of diameter (ASTM B258).
    EXPECT_NEAR(it.conductors[1].area_m2, 107.2e-6, 0.05e-6);
    EXPECT_EQ(it.conductors[1].material, ConductorMaterial::copper);
    EXPECT_EQ(it.conductors[1].temperature_degC, ConductorRun().temperature_degC);
}

TEST(EveryAttribute, OfTheWindingWireLandsInItsField)
{
    const WindingWire it = readCaseFile(good("everything.xml")).compressor.wire;
    EXPECT_EQ(it.main_m2, 0.8e-6);
    EXPECT_EQ(it.auxiliary_m2, 0.35e-6);
    EXPECT_EQ(it.material, ConductorMaterial::aluminium);
}

TEST(EveryWord, OfSupplyAndRefrigerantIsToldApart)
{
    const auto kind = [](const std::string& word) {
        return readCaseText(caseWith("<supply volts=\"230\" hertz=\"60\" kind=\"" + word + "\"/>"),
                            "d.xml", "")
            .supply.kind;
    };
    EXPECT_EQ(kind("utility"), SupplyKind::utility);
    EXPECT_EQ(kind("generator"), SupplyKind::generator);
    EXPECT_EQ(kind("inverter"), SupplyKind::inverter);
    const auto refrigerant = [](const std::string& word) {
        return readCaseText(caseWith("<supply volts=\"230\" hertz=\"60\"/>", "",
                                     "<circuit type=\"PSC\" refrigerant=\"" + word + "\"/>"),
                            "d.xml", "")
            .circuit->refrigerant;
    };
    EXPECT_EQ(refrigerant("unknown"), Refrigerant::unknown);
    EXPECT_EQ(refrigerant("not-flammable"), Refrigerant::notFlammable);
    EXPECT_EQ(refrigerant("flammable"), Refrigerant::flammable);
}

TEST(ReadingsAlone, AreEnough)
{
    const Case it = readCaseText(caseWith(""), "d.xml", "");
    EXPECT_FALSE(it.supplyGiven);
    EXPECT_FALSE(it.circuit.has_value());
    EXPECT_TRUE(it.compressor.readings.has_value());
    EXPECT_FALSE(it.compressor.pins.has_value());
    EXPECT_EQ(it.compressor.nameplate.lockedRotor_A, std::nullopt);
}

TEST(LockedRotorOfWord, WrittenAsTheDefaultIsGivenAllTheSame)
{
    const Nameplate it =
        readCaseText(caseWith("", "<nameplate locked-rotor-of='compressor'/>"), "d.xml", "")
            .compressor.nameplate;
    EXPECT_EQ(it.lockedRotorOf, LockedRotorOf::compressor);
    EXPECT_TRUE(it.lockedRotorOfGiven);
}

// What is left out has the value that the structures themselves begin with, and is marked.
TEST(WhatIsLeftOut, HasTheDefaultOfTheStructure)
{
    const Case it = readCaseText(caseWith("<supply volts=\"230\" hertz=\"60\"/>",
                                          "<insulation megohms=\"1\"/><nameplate/><load/>"
                                          "<measured quantity=\"turns-ratio\" value=\"1\"/>"),
                                 "d.xml", "");
    EXPECT_EQ(it.invented, Case().invented);
    EXPECT_EQ(it.supply.source_ohm, Supply().source_ohm);
    EXPECT_EQ(it.supply.source_H, Supply().source_H);
    EXPECT_EQ(it.supply.switchOn_deg, Supply().switchOn_deg);
    EXPECT_FALSE(it.supply.sourceImpedanceGiven);
    EXPECT_EQ(it.supply.kind, Supply().kind);
    EXPECT_EQ(it.supply.limit_A, std::nullopt);
    EXPECT_TRUE(it.supply.conductors.empty());
    EXPECT_EQ(it.compressor.wire.main_m2, std::nullopt);
    EXPECT_EQ(it.compressor.wire.material, WindingWire().material);
    const Readings& readings = *it.compressor.readings;
    EXPECT_EQ(readings.windingTemperature_degC, Readings().windingTemperature_degC);
    EXPECT_EQ(readings.lead_ohm, Readings().lead_ohm);
    EXPECT_EQ(readings.accuracy_ratio, Readings().accuracy_ratio);
    EXPECT_EQ(readings.resolution_ohm, Readings().resolution_ohm);
    EXPECT_FALSE(readings.windingTemperatureGiven || readings.leadGiven || readings.accuracyGiven ||
                 readings.resolutionGiven);
    EXPECT_EQ(it.compressor.insulation->test_V, InsulationReading().test_V);
    EXPECT_EQ(it.compressor.poles, Compressor().poles);
    EXPECT_FALSE(it.compressor.polesGiven);
    const Nameplate& plate = it.compressor.nameplate;
    EXPECT_EQ(plate.ratedLoad_W, std::nullopt);
    EXPECT_EQ(plate.accuracy_ratio, Nameplate().accuracy_ratio);
    EXPECT_EQ(plate.lockedRotorOf, Nameplate().lockedRotorOf);
    EXPECT_FALSE(plate.lockedRotorOfGiven);
    EXPECT_EQ(it.compressor.load.kind, CompressorLoad().kind);
    EXPECT_EQ(it.compressor.load.pressures, CompressorLoad().pressures);
    EXPECT_EQ(it.compressor.load.startAngle_deg, CompressorLoad().startAngle_deg);
    EXPECT_FALSE(it.compressor.load.kindGiven || it.compressor.load.pressuresGiven);
    EXPECT_EQ(it.compressor.load.suction_Pa, std::nullopt);
    EXPECT_EQ(it.compressor.measurements[0].accuracy_ratio, Measurement().accuracy_ratio);
    EXPECT_EQ(it.compressor.measurements[0].winding_degC, Measurement().winding_degC);
}

TEST(PinsOfTheDiagram, MayComeWithoutReadingsAndBeforeThem)
{
    const std::string pins = "<pins common='red' start='black' run='white'/>";
    const std::string bench = good("bench-motor.xml");
    std::string text = textOfFile(bench);
    text.insert(text.find("<equivalent-circuit"), pins);
    EXPECT_EQ(readCaseText(text, "d.xml", "").compressor.pins->start, "black");
    const Case early = readCaseText(
        "<case name='n'><compressor><pins common='B' start='C' run='A'/><readings>"
        "<reading between='A B' ohms='1'/><reading between='B C' ohms='2'/>"
        "<reading between='A C' ohms='3'/></readings></compressor></case>",
        "d.xml", "");
    EXPECT_EQ(early.compressor.pins->common, "B");
}

TEST(WhatACircuitLeavesOut, IsNotKnown)
{
    const Case it = readCaseText(
        caseWith("<supply volts=\"230\" hertz=\"60\"/>", "", "<circuit type=\"PSC\"/>"), "d.xml",
        "");
    ASSERT_TRUE(it.circuit.has_value());
    EXPECT_EQ(it.circuit->variant, standardVariant);
    EXPECT_EQ(it.circuit->fanCapacitor, "");
    EXPECT_EQ(it.circuit->contactor, "");
    EXPECT_EQ(it.circuit->ambient_degC, std::nullopt);
    EXPECT_EQ(it.circuit->startsPerHour, std::nullopt);
    EXPECT_EQ(it.circuit->shortestOff_s, std::nullopt);
    EXPECT_EQ(it.circuit->refrigerant, CircuitChoice().refrigerant);
}

// Knowing which pin is which tells nothing about the motor.
TEST(PinsOfTheDiagram, DoNotReplaceReadings)
{
    EXPECT_EQ(caseMessage("<case name='n'>\n<compressor><pins common='A' start='B' run='C'/>"
                          "</compressor></case>"),
              "dairy.xml:2: compressor: there are no <readings> and no <equivalent-circuit>; "
              "allowed: one of them, or both.");
}

TEST(PinsOfTheDiagram, ThatAreWrongAreReportedInTheLineOfTheAttribute)
{
    EXPECT_EQ(caseMessage(caseWith("", "<pins common='A'\n start='B'\n run='D'/>")),
              "dairy.xml:7: pins/run: found \"D\"; allowed: one of the pins of the readings: A, B, "
              "C.");
}

// Labels that could not be read at all say nothing about the diagram.
TEST(PinsOfTheDiagram, AreNotComparedWithReadingsThatWereNotUnderstood)
{
    EXPECT_EQ(caseMessage("<case name='n'><compressor><readings>"
                          "<reading between='1-2' ohms='1'/><reading between='2 3' ohms='2'/>"
                          "</readings><pins common='1' start='2' run='3'/></compressor></case>"),
              "dairy.xml:1: reading/between: found \"1-2\"; allowed: two labels with a blank "
              "between, each 1 to 12 characters as written on the pin, or \"shell\".");
}

TEST(SourceImpedance, IsGivenWhenEitherHalfIs)
{
    const Case it = readCaseText(caseWith("<supply volts=\"230\" hertz=\"60\" source-ohms=\"0\"/>"),
                                 "d.xml", "");
    EXPECT_TRUE(it.supply.sourceImpedanceGiven);
    EXPECT_EQ(it.supply.source_H, 0);
}

TEST(OpenCircuit, MayBeWrittenInAnyCase)
{
    for (const std::string word : {"open", "OPEN", "Open", "OL", "ol"}) {
        const Case it = readCaseText(
            "<case name='n'><compressor><readings>"
            "<reading between='A B' ohms='" +
                word +
                "'/>"
                "<reading between='B C' ohms='1'/>"
                "<reading between='A C' ohms='0'/>"
                "</readings></compressor></case>",
            "d.xml", "");
        EXPECT_TRUE(std::isinf(it.compressor.readings->readings[0].resistance_ohm)) << word;
        EXPECT_EQ(it.compressor.readings->readings[2].resistance_ohm, 0);
    }
}

TEST(InsulationAttribute, BeyondTheMetersRangeIsALowerLimit)
{
    const auto insulation = [](const std::string& megohms) {
        return *readCaseText(caseWith("", "<insulation megohms=\"" + megohms + "\"/>"), "d.xml", "")
                    .compressor.insulation;
    };
    EXPECT_EQ(insulation(">2").resistance_ohm, 2e6);
    EXPECT_TRUE(insulation(">2").lowerLimit);
    EXPECT_EQ(insulation("&gt;2").resistance_ohm, 2e6);
    EXPECT_EQ(insulation("> 2").resistance_ohm, 2e6);
    EXPECT_TRUE(std::isinf(insulation("OL").resistance_ohm));
    EXPECT_TRUE(insulation("OL").lowerLimit);
    EXPECT_EQ(insulation("0").resistance_ohm, 0);
    EXPECT_FALSE(insulation("0").lowerLimit);
}

TEST(CaseName, MayHoldAnyTextAndKeepsIt)
{
    const auto nameOf = [](const std::string& written) {
        return readCaseText("<case name=\"" + written +
                                "\"><compressor><readings>"
                                "<reading between='A B' ohms='1'/><reading between='B C' ohms='1'/>"
                                "<reading between='A C' ohms='1'/></readings></compressor></case>",
                            "d.xml", "")
            .name;
    };
    EXPECT_EQ(nameOf("'; .include /etc/passwd * $(reboot) `id` %s {x}"),
              "'; .include /etc/passwd * $(reboot) `id` %s {x}");
    EXPECT_EQ(nameOf("&lt;b&gt; &amp;amp; &quot;"), "<b> &amp; \"");
    EXPECT_EQ(nameOf("K\u00E4se \u0441\u044B\u0440 \U0001F9C0"),
              "K\u00E4se \u0441\u044B\u0440 \U0001F9C0");
    EXPECT_EQ(nameOf("&#228;&#x1F9C0;"), "\u00E4\U0001F9C0");
    std::string longest;
    for (int i = 0; i < 200; ++i) {
        longest += "\u00E4";
    }
    EXPECT_EQ(nameOf(longest), longest);
}

TEST(Messages, AreOnePerProblemInTheOrderOfTheLines)
{
    EXPECT_EQ(
        caseMessage("<case name='n'>\n"
                    "<supply volts='2x0' hertz='60'/>\n"
                    "<compressor poles='3'/>\n"
                    "<parts/>\n"
                    "</case>"),
        "dairy.xml:2: supply/volts: found \"2x0\"; allowed: a number of volts from 50 to 600.\n"
        "dairy.xml:3: compressor/poles: found \"3\"; allowed: an even number from 2 to 12.\n"
        "dairy.xml:3: compressor: there are no <readings> and no <equivalent-circuit>; "
        "allowed: one of them, or both.\n"
        "dairy.xml:4: parts: there is neither a file nor a part in it; allowed: a file, or "
        "parts, or both.");
}

TEST(Messages, GiveTheLineOfTheAttributeItself)
{
    EXPECT_EQ(caseMessage(caseWith("<supply\n  volts='230'\n\n  hertz='90'/>")),
              "dairy.xml:5: supply/hertz: found \"90\"; allowed: a number of hertz from 40 to 70.");
    EXPECT_EQ(
        partsMessage("\xEF\xBB\xBF<parts>\r\n<condenser-fan id='f'\r\n volts='1e999'\r\n"
                     " amps='1'/></parts>"),
        "stock.xml:3: condenser-fan/volts: found \"1e999\"; allowed: a number of volts from 50 "
        "to 600.");
}

}  // namespace
}  // namespace splitstart
