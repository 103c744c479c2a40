// Every attribute of every part lands in its field, in SI, to the last bit.
#include <gtest/gtest.h>

#include <optional>
#include <string>
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
    const auto tolerance = partOf<RunCapacitor>(list, "run-40");
    EXPECT_DOUBLE_EQ(tolerance.capacitance_F.minimum, 38e-6);
    EXPECT_DOUBLE_EQ(tolerance.capacitance_F.maximum, 42e-6);
    EXPECT_EQ(tolerance.rated_V, 440);
    EXPECT_EQ(tolerance.dissipationFactor, 0.002);
    EXPECT_TRUE(tolerance.dissipationGiven);
    const auto ends = partOf<RunCapacitor>(list, "run-15");
    expectRange(ends.capacitance_F, 14.1e-6, 15.9e-6);
    EXPECT_EQ(ends.dissipationFactor, 0.001);
    EXPECT_FALSE(ends.dissipationGiven);
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
    ASSERT_EQ(it.parts.parts.size(), 8U);
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
}

}  // namespace
}  // namespace splitstart
