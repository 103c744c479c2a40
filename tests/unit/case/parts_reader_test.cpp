// Every attribute of every part lands in its field, in SI, to the last bit.
#include <gtest/gtest.h>

#include <iterator>
#include <numbers>
#include <optional>
#include <string>
#include <utility>
#include <variant>

#include "case/parts.h"
#include "case/reader.h"
#include "unit/case/case_fixture.h"

namespace splitstart
{
namespace
{

using testing::caseTestFolder;

std::string good(const char* name)
{
    return (caseTestFolder() / "good" / name).string();
}

template <class Part>
Part partOf(const PartsList& list, const std::string& id)
{
    const CatalogPart* const part = list.find(id);
    if (part == nullptr || !std::holds_alternative<Part>(part->data)) {
        ADD_FAILURE() << id;
        return {};
    }
    return std::get<Part>(part->data);
}

void expectRange(const Range& range, double minimum, double maximum)
{
    EXPECT_EQ(range.minimum, minimum);
    EXPECT_EQ(range.maximum, maximum);
}

TEST(EveryPartAttribute, OfRelaysLandsInItsField)
{
    const PartsList list = readPartsFile(good("dairy-stock.xml"));
    const auto potential = partOf<PotentialRelay>(list, "relay-a");
    expectRange(potential.pickUp_V, 260, 275);
    expectRange(potential.dropOut_V, 60, 120);
    EXPECT_EQ(potential.coil_ohm, 10700);
    EXPECT_EQ(potential.coil_H, 18);
    EXPECT_EQ(potential.coilContinuous_V, 395);
    EXPECT_EQ(potential.contact_A, 35);
    EXPECT_EQ(potential.operate_s, 0.012);
    EXPECT_EQ(potential.release_s, 0.008);
    EXPECT_EQ(potential.enclosure, ContactEnclosure::sealed);
    EXPECT_EQ(potential.life_operations, 250000);
    const auto current = partOf<CurrentRelay>(list, "relay-b");
    expectRange(current.pullIn_A, 11.5, 13);
    expectRange(current.dropOut_A, 9.2, 10.4);
    EXPECT_EQ(current.coil_ohm, 0.05);
    EXPECT_EQ(current.coilContinuous_A, 7);
    EXPECT_EQ(current.contact_A, 20);
    EXPECT_EQ(current.operate_s, 0.011);
    EXPECT_EQ(current.release_s, 0.009);
    EXPECT_TRUE(current.contactFromM);
    EXPECT_EQ(current.attitude, RelayAttitude::onItsSide);
    EXPECT_EQ(current.enclosure, ContactEnclosure::open);
    EXPECT_EQ(current.life_operations, 100000);
}

TEST(EveryPartAttribute, OfTheOtherStartDevicesLandsInItsField)
{
    const PartsList list = readPartsFile(good("dairy-stock.xml"));
    const auto ptc = partOf<Ptc>(list, "ptc-a");
    expectRange(ptc.cold_ohm, 12, 18);
    EXPECT_EQ(ptc.hot_ohm, 30000);
    EXPECT_TRUE(ptc.hotGiven);
    EXPECT_EQ(ptc.reference_degC, 125);
    EXPECT_TRUE(ptc.referenceGiven);
    EXPECT_EQ(ptc.switchCurrent_A, 6.5);
    expectRange(ptc.switchTime_s, 0.4, 0.9);
    EXPECT_EQ(ptc.running_W, 2.6);
    EXPECT_TRUE(ptc.runningGiven);
    EXPECT_EQ(ptc.rated_V, 400);
    EXPECT_EQ(ptc.inrush_A, 15);
    EXPECT_EQ(ptc.recovery_s, 240);
    const auto timer = partOf<TimedSwitch>(list, "timer-a");
    expectRange(timer.opensAfter_s, 0.5, 0.7);
    EXPECT_EQ(timer.rearm_s, 1.5);
    EXPECT_EQ(timer.contact_A, 25);
    EXPECT_EQ(timer.contact_V, 480);
    EXPECT_EQ(timer.enclosure, ContactEnclosure::sealed);
    EXPECT_EQ(timer.life_operations, 500000);
    const auto onShaft = partOf<CentrifugalSwitch>(list, "shaft-a");
    // A revolution is 2 pi rad, a minute 60 s.
    const auto rad_s = [](double rpm) { return rpm * 2 * std::numbers::pi / 60; };
    EXPECT_DOUBLE_EQ(onShaft.opens_rad_s.minimum, rad_s(1290));
    EXPECT_DOUBLE_EQ(onShaft.opens_rad_s.maximum, rad_s(1410));
    EXPECT_DOUBLE_EQ(onShaft.closes_rad_s.minimum, rad_s(600));
    EXPECT_DOUBLE_EQ(onShaft.closes_rad_s.maximum, rad_s(900));
    EXPECT_EQ(onShaft.contact_A, 30);
    EXPECT_EQ(onShaft.enclosure, ContactEnclosure::open);
    EXPECT_EQ(onShaft.life_operations, 60000);
}

TEST(EveryPartAttribute, OfCapacitorsLandsInItsField)
{
    const PartsList list = readPartsFile(good("dairy-stock.xml"));
    const auto start = partOf<StartCapacitor>(list, "start-120");
    expectRange(start.capacitance_F, 120e-6, 144e-6);
    EXPECT_EQ(start.rated_V, 330);
    EXPECT_EQ(start.dissipationFactor, 0.07);
    EXPECT_TRUE(start.dissipationGiven);
    EXPECT_EQ(start.dutySecondsPerHour, 50);
    EXPECT_TRUE(start.dutyGiven);
    EXPECT_EQ(start.bleed_ohm, 15000);
    EXPECT_EQ(start.bleed_W, 2);
    EXPECT_EQ(start.longestOn_s, 3);
    const auto tolerance = partOf<RunCapacitor>(list, "run-40");
    EXPECT_DOUBLE_EQ(tolerance.capacitance_F.minimum, 38e-6);
    EXPECT_DOUBLE_EQ(tolerance.capacitance_F.maximum, 42e-6);
    EXPECT_EQ(tolerance.rated_V, 440);
    EXPECT_EQ(tolerance.dissipationFactor, 0.002);
    EXPECT_TRUE(tolerance.dissipationGiven);
    EXPECT_EQ(tolerance.life_h, 10000);
    const auto ends = partOf<RunCapacitor>(list, "run-15");
    expectRange(ends.capacitance_F, 14.1e-6, 15.9e-6);
    EXPECT_EQ(ends.dissipationFactor, 0.001);
    EXPECT_FALSE(ends.dissipationGiven);
    EXPECT_EQ(ends.life_h, 10000);  // class B of IEC 60252-1
    const auto dual = partOf<DualRunCapacitor>(list, "dual-a");
    EXPECT_DOUBLE_EQ(dual.compressor_F.minimum, 38e-6);
    EXPECT_DOUBLE_EQ(dual.compressor_F.maximum, 42e-6);
    EXPECT_DOUBLE_EQ(dual.fan_F.minimum, 4.75e-6);
    EXPECT_DOUBLE_EQ(dual.fan_F.maximum, 5.25e-6);
    EXPECT_EQ(dual.rated_V, 440);
    EXPECT_EQ(dual.dissipationFactor, 0.0015);
    EXPECT_TRUE(dual.dissipationGiven);
    EXPECT_EQ(dual.life_h, 20000);
}

TEST(EveryPartAttribute, OfProtectorAndFanLandsInItsField)
{
    const PartsList list = readPartsFile(good("dairy-stock.xml"));
    const auto protector = partOf<Protector>(list, "internal-a");
    EXPECT_EQ(protector.location, ProtectorPlace::internal);
    EXPECT_EQ(protector.ultimateTrip_A, 19);
    EXPECT_EQ(protector.tripCurrent_A, 74);
    expectRange(protector.tripTime_s, 4, 9);
    EXPECT_EQ(protector.trip_degC, 120);
    EXPECT_EQ(protector.reset_degC, 65);
    EXPECT_EQ(protector.ambient_degC, 30);
    EXPECT_EQ(protector.closed_ohm, 0.004);
    const auto fan = partOf<CondenserFan>(list, "fan-a");
    EXPECT_EQ(fan.voltage_V, 230);
    EXPECT_EQ(fan.current_A, 0.9);
    EXPECT_EQ(fan.powerFactor, 0.62);
}

TEST(EveryPartAttribute, OfCapacitorFanAndContactorLandsInItsField)
{
    const PartsList list = readPartsFile(good("dairy-stock.xml"));
    const auto fan = partOf<CapacitorFan>(list, "fan-b");
    EXPECT_EQ(fan.voltage_V, 230);
    EXPECT_EQ(fan.current_A, 0.8);
    EXPECT_EQ(fan.capacitor_F, 5e-6);
    EXPECT_EQ(fan.poles, 4);
    EXPECT_TRUE(fan.polesGiven);
    const auto contactor = partOf<Contactor>(list, "contactor-a");
    EXPECT_EQ(contactor.poles, 2);
    EXPECT_EQ(contactor.fullLoad_A, 30);
    EXPECT_EQ(contactor.lockedRotor_A, 150);
    EXPECT_EQ(contactor.pole_ohm, 0.002);
    EXPECT_TRUE(contactor.poleGiven);
    const PartsList onePole =
        readPartsText("<parts><contactor id='c' poles='1'/></parts>", "stock.xml");
    EXPECT_EQ(partOf<Contactor>(onePole, "c").poles, 1);
}

TEST(EveryPartAttribute, OfTheAirAroundItLandsInEveryKindOfPart)
{
    const PartsList list = readPartsFile(good("dairy-stock.xml"));
    const std::pair<const char*, double> highest_degC[] = {
        {"relay-a", 70}, {"relay-b", 75}, {"start-120", 65},   {"run-40", 85},
        {"fan-a", 60},   {"ptc-a", 80},   {"timer-a", 72},     {"shaft-a", 78},
        {"dual-a", 86},  {"fan-b", 61},   {"internal-a", 120}, {"contactor-a", 62}};
    for (const auto& [id, value_degC] : highest_degC) {
        ASSERT_NE(list.find(id), nullptr) << id;
        EXPECT_EQ(list.find(id)->highestAmbient_degC, value_degC) << id;
    }
    EXPECT_EQ(std::size(highest_degC), std::variant_size_v<PartData>);
    EXPECT_EQ(list.find("run-15")->highestAmbient_degC, std::nullopt);
}

TEST(PartsInAFile, AreInventedLikeTheirListUnlessTheySayOtherwise)
{
    const PartsList list = readPartsFile(good("dairy-stock.xml"));
    EXPECT_TRUE(list.invented);
    EXPECT_TRUE(list.find("relay-a")->invented);
    EXPECT_FALSE(list.find("fan-a")->invented);
    EXPECT_EQ(list.find("relay-a")->description, "start relay, shelf 2");
    EXPECT_EQ(list.find("fan-a")->description, "");
}

TEST(InlineParts, StandBehindThoseOfTheFile)
{
    const Case it = readCaseFile(good("everything.xml"));
    ASSERT_EQ(it.parts.parts.size(), 17U);
    EXPECT_EQ(it.parts.parts.back().id, "guard");
    EXPECT_EQ(it.parts.parts.back().place.file, good("everything.xml"));
    const auto protector = partOf<Protector>(it.parts, "guard");
    EXPECT_EQ(protector.location, ProtectorPlace::external);
    EXPECT_EQ(protector.ambient_degC, Protector().ambient_degC);
    EXPECT_EQ(protector.closed_ohm, Protector().closed_ohm);
}

TEST(WhatAPartLeavesOut, HasTheDefaultOfTheStructure)
{
    const PartsList list = readPartsText(
        "<parts><potential-relay id='p' pick-up-volts-min='200' pick-up-volts-max='200'"
        " drop-out-volts-min='50' drop-out-volts-max='50' coil-ohms='5000'/>"
        "<current-relay id='c' pull-in-amps-min='9' pull-in-amps-max='9' drop-out-amps-min='7'"
        " drop-out-amps-max='7' coil-ohms='0.1'/>"
        "<start-capacitor id='s' microfarads-min='80' microfarads-max='90' volts='250'/>"
        "<condenser-fan id='f' volts='115' amps='1'/></parts>",
        "stock.xml");
    EXPECT_FALSE(list.invented);
    const auto potential = partOf<PotentialRelay>(list, "p");
    EXPECT_EQ(potential.coil_H, PotentialRelay().coil_H);
    EXPECT_EQ(potential.operate_s, PotentialRelay().operate_s);
    EXPECT_EQ(potential.release_s, PotentialRelay().release_s);
    EXPECT_EQ(potential.coilContinuous_V, std::nullopt);
    EXPECT_EQ(potential.contact_A, std::nullopt);
    const auto current = partOf<CurrentRelay>(list, "c");
    EXPECT_EQ(current.operate_s, CurrentRelay().operate_s);
    EXPECT_EQ(current.release_s, CurrentRelay().release_s);
    EXPECT_EQ(current.coilContinuous_A, std::nullopt);
    EXPECT_EQ(current.contact_A, std::nullopt);
    EXPECT_EQ(current.contactFromM, CurrentRelay().contactFromM);
    EXPECT_EQ(current.attitude, CurrentRelay().attitude);
    const auto start = partOf<StartCapacitor>(list, "s");
    EXPECT_EQ(start.dissipationFactor, StartCapacitor().dissipationFactor);
    EXPECT_EQ(start.dutySecondsPerHour, StartCapacitor().dutySecondsPerHour);
    EXPECT_FALSE(start.dissipationGiven || start.dutyGiven);
    EXPECT_EQ(start.bleed_ohm, std::nullopt);
    EXPECT_EQ(start.bleed_W, std::nullopt);
    EXPECT_EQ(partOf<CondenserFan>(list, "f").powerFactor, CondenserFan().powerFactor);
    for (const CatalogPart& part : list.parts) {
        EXPECT_EQ(part.highestAmbient_degC, std::nullopt) << part.id;
    }
    EXPECT_EQ(potential.enclosure, ContactEnclosure::unknown);
    EXPECT_EQ(potential.life_operations, std::nullopt);
    EXPECT_EQ(start.longestOn_s, std::nullopt);
}

TEST(WhatAStartDeviceLeavesOut, HasTheDefaultOfTheStructure)
{
    const PartsList list = readPartsText(
        "<parts><ptc id='t' cold-ohms-min='10' cold-ohms-max='2000' switch-amps='5'"
        " switch-seconds-min='1' switch-seconds-max='1'/>"
        "<timed-switch id='u' seconds-min='1' seconds-max='1'/>"
        "<centrifugal-switch id='v' opens-rpm-min='1300' opens-rpm-max='1300' closes-rpm-min='900'"
        " closes-rpm-max='900'/>"
        "<dual-run-capacitor id='d' microfarads='30' fan-microfarads='5' tolerance-percent='6'"
        " volts='370'/>"
        "<capacitor-fan id='g' volts='230' amps='1' microfarads='5'/>"
        "<contactor id='k' poles='1'/></parts>",
        "stock.xml");
    // Ten times its 2000 ohms is just the hot resistance that is assumed.
    const auto ptc = partOf<Ptc>(list, "t");
    EXPECT_EQ(ptc.hot_ohm, Ptc().hot_ohm);
    EXPECT_EQ(ptc.reference_degC, Ptc().reference_degC);
    EXPECT_EQ(ptc.running_W, Ptc().running_W);
    EXPECT_FALSE(ptc.hotGiven || ptc.referenceGiven || ptc.runningGiven);
    EXPECT_EQ(ptc.rated_V, std::nullopt);
    EXPECT_EQ(ptc.inrush_A, std::nullopt);
    EXPECT_EQ(ptc.recovery_s, std::nullopt);
    const auto timer = partOf<TimedSwitch>(list, "u");
    EXPECT_EQ(timer.rearm_s, TimedSwitch().rearm_s);
    EXPECT_EQ(timer.contact_A, std::nullopt);
    EXPECT_EQ(timer.contact_V, std::nullopt);
    EXPECT_EQ(timer.enclosure, ContactEnclosure::unknown);
    EXPECT_EQ(timer.life_operations, std::nullopt);
    EXPECT_EQ(partOf<CentrifugalSwitch>(list, "v").contact_A, std::nullopt);
    const auto dual = partOf<DualRunCapacitor>(list, "d");
    EXPECT_EQ(dual.dissipationFactor, DualRunCapacitor().dissipationFactor);
    EXPECT_FALSE(dual.dissipationGiven);
    EXPECT_EQ(dual.life_h, std::nullopt);
    EXPECT_EQ(partOf<CapacitorFan>(list, "g").poles, CapacitorFan().poles);
    EXPECT_FALSE(partOf<CapacitorFan>(list, "g").polesGiven);
    EXPECT_EQ(partOf<Contactor>(list, "k").pole_ohm, Contactor().pole_ohm);
    EXPECT_FALSE(partOf<Contactor>(list, "k").poleGiven);
    EXPECT_EQ(partOf<Contactor>(list, "k").fullLoad_A, std::nullopt);
    EXPECT_EQ(partOf<Contactor>(list, "k").lockedRotor_A, std::nullopt);
}

}  // namespace
}  // namespace splitstart
