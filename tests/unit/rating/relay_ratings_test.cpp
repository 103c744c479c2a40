// Ratings that a label no longer shows, and which amps go through a current relay's coil.
#include <gtest/gtest.h>

#include <algorithm>
#include <string>
#include <string_view>

#include "physics/near.h"
#include "rating/check.h"

namespace splitstart
{

namespace
{

// A row of the held shaft at rated volts; currents in the ratio of a start winding that leads the
// run winding by a right angle: 6, 8 and 10.
HeldShaftMeasurement heldRow(double speed_ratio, double amps)
{
    HeldShaftMeasurement row;
    row.speed_ratio = speed_ratio;
    row.torque_Nm = 1 - speed_ratio;
    row.main_A = 0.8 * amps;
    row.auxiliary_A = 0.6 * amps;
    row.compressor_A = amps;
    row.startWinding_V = 170;
    row.coil_V = 200;  // wired otherwise than S to C
    return row;
}

// Kirchhoff: a contact that leaves from M has the start winding's amps behind the coil while it is
// made.
Evidence evidenceOf(double contactAmps, bool contactFromM = false)
{
    HeldShaftTable table;
    table.startCircuitIn = {heldRow(0, 50), heldRow(1, 20)};
    table.startCircuitOut = {heldRow(0, 30), heldRow(1, 5)};
    for (HeldShaftMeasurement& row : table.startCircuitIn) {
        row.coil_A = contactFromM ? row.compressor_A : row.main_A;
    }
    for (HeldShaftMeasurement& row : table.startCircuitOut) {
        row.auxiliary_A = 0;
        row.compressor_A = row.main_A;
        row.coil_A = row.main_A;
    }
    Evidence evidence;
    evidence.ratedTorque_Nm = 0.05;
    evidence.held = {table};
    evidence.starts.resize(1);
    evidence.starts[0].measured.contactCurrentMade_A = contactAmps;
    return evidence;
}

Case caseWithRelay(const PartData& relay)
{
    Case input;
    CatalogPart part;
    part.id = "relay";
    part.data = relay;
    input.parts.parts = {part};
    input.circuit = CircuitChoice{};
    input.circuit->startDevice = "relay";
    return input;
}

PotentialRelay potentialRelay()
{
    PotentialRelay relay;
    relay.pickUp_V = {180, 190};
    relay.dropOut_V = {40, 90};
    relay.coil_ohm = 9000;
    return relay;
}

CurrentRelay currentRelay(bool contactFromM)
{
    CurrentRelay relay;
    relay.pullIn_A = {16, 18};
    relay.dropOut_A = {13, 14};
    relay.coil_ohm = 0.05;
    relay.contactFromM = contactFromM;
    return relay;
}

// The check of that id that fits the relay; the two kinds share ids.
CheckReading readingOf(std::string_view id, const PartData& relay)
{
    const Case input = caseWithRelay(relay);
    const auto* current = std::get_if<CurrentRelay>(&relay);
    const Evidence evidence = evidenceOf(22, current != nullptr && current->contactFromM);
    const Circuit circuit;
    const CheckContext context{input, circuit, evidence};
    const auto check = std::find_if(
        allChecks().begin(), allChecks().end(),
        [&](const Check& candidate) { return candidate.id == id && candidate.applies(context); });
    if (check == allChecks().end()) {
        ADD_FAILURE() << "no check " << id;
        return {};
    }
    return check->read(context);
}

Finding findingOf(std::string_view id, const PartData& relay)
{
    const Evidence evidence[] = {evidenceOf(22)};
    for (const Finding& finding : judge(caseWithRelay(relay), Circuit{}, evidence)) {
        if (finding.check->id == id) {
            return finding;
        }
    }
    ADD_FAILURE() << "no finding " << id;
    return {};
}

}  // namespace

TEST(RelayRatings, ThatCannotBeReadLeaveTheirChecksUndecidedAndSayWhy)
{
    const Finding coilVolts = findingOf("relay-coil-volts", potentialRelay());
    EXPECT_EQ(coilVolts.verdict, Verdict::undecided);
    EXPECT_EQ(coilVolts.because, "the coil's continuous volts are not given");
    EXPECT_FALSE(coilVolts.hasValue);
    const Finding coilAmps = findingOf("relay-coil-amps", currentRelay(false));
    EXPECT_EQ(coilAmps.verdict, Verdict::undecided);
    EXPECT_EQ(coilAmps.because, "the coil's continuous amps are not given");
    for (const PartData& relay : {PartData(potentialRelay()), PartData(currentRelay(false))}) {
        const Finding contact = findingOf("relay-contact-amps", relay);
        EXPECT_EQ(contact.verdict, Verdict::undecided);
        EXPECT_EQ(contact.because, "the contact's amps are not given");
    }
}

TEST(RelayRatings, ThatAreGivenDecideTheirChecksAndAreTheLimit)
{
    PotentialRelay potential = potentialRelay();
    potential.coilContinuous_V = 219;  // 200 V at 110 % line are 220
    potential.contact_A = 23;
    EXPECT_EQ(findingOf("relay-coil-volts", potential).verdict, Verdict::fail);
    EXPECT_TRUE(nearRel(findingOf("relay-coil-volts", potential).value, 220, 1e-9));
    EXPECT_EQ(findingOf("relay-contact-amps", potential).verdict, Verdict::pass);
    potential.coilContinuous_V = 221;
    potential.contact_A = 21;
    EXPECT_EQ(findingOf("relay-coil-volts", potential).verdict, Verdict::pass);
    EXPECT_EQ(findingOf("relay-contact-amps", potential).verdict, Verdict::fail);
    EXPECT_EQ(findingOf("relay-contact-amps", potential).limit, 21);
    CurrentRelay current = currentRelay(false);
    current.coilContinuous_A = 40;
    current.contact_A = 21;
    EXPECT_EQ(findingOf("relay-coil-amps", current).verdict, Verdict::pass);
    EXPECT_EQ(findingOf("relay-coil-amps", current).limit, 40);
    EXPECT_EQ(findingOf("relay-contact-amps", current).verdict, Verdict::fail);
}

// The drop-out is asked of what the coil carries in this circuit, not of the run winding's amps.
TEST(CurrentRelayCoil, CarriesTheStartWindingsAmpsWhileAContactFromMIsMade)
{
    const CheckReading fromL = readingOf("relay-lets-go", currentRelay(false));
    const CheckReading fromM = readingOf("relay-lets-go", currentRelay(true));
    // At the latest speed and where the motor settles under its load, each at both ends of the
    // line.
    ASSERT_EQ(fromL.comparisons.size(), 4U);
    ASSERT_EQ(fromM.comparisons.size(), 4U);
    const double line_ratio[] = {0.85, 1.10, 0.85, 1.10};
    for (std::size_t i = 0; i < 4; ++i) {
        // Somewhere near full speed, where the table holds 20 A in all at rated volts.
        EXPECT_GT(fromM.comparisons[i].value, 20 * line_ratio[i]);
        EXPECT_LT(fromM.comparisons[i].value, 25 * line_ratio[i]);
        EXPECT_TRUE(nearRel(fromL.comparisons[i].value, 0.8 * fromM.comparisons[i].value, 1e-9));
        EXPECT_EQ(fromM.comparisons[i].limit, 13);
        EXPECT_FALSE(fromM.comparisons[i].valueAtLeast);
    }
}

// A heavier load settles at a lower speed, at which the coil carries more; 95 % speed alone would
// not see it.
TEST(CurrentRelayLetsGo, IsAskedWhereTheMotorSettlesUnderItsLoad)
{
    const Case input = caseWithRelay(currentRelay(false));
    Evidence light = evidenceOf(10);
    Evidence heavy = evidenceOf(10);
    heavy.ratedTorque_Nm =
        0.4;  // torque is 1 - speed at rated volts: some 45 % speed at a low line
    const auto highest_A = [&](const Evidence& evidence) {
        double highest = 0;
        for (const Check& check : allChecks()) {
            if (check.id == "relay-lets-go") {
                for (const Comparison& each : check.read({input, {}, evidence}).comparisons) {
                    highest = std::max(highest, each.value);
                }
            }
        }
        return highest;
    };
    EXPECT_GT(highest_A(heavy), 1.3 * highest_A(light));
}

TEST(CurrentRelayCoil, CarriesTheRunWindingsAmpsAloneWhileTheContactIsOpen)
{
    for (const bool contactFromM : {false, true}) {
        CurrentRelay relay = currentRelay(contactFromM);
        relay.coilContinuous_A = 7;
        const CheckReading pullsIn = readingOf("relay-pulls-in", relay);
        ASSERT_EQ(pullsIn.comparisons.size(), 1U);
        EXPECT_TRUE(nearRel(pullsIn.comparisons[0].value, 0.8 * 30 * 0.85, 1e-9));
        for (const char* id : {"relay-coil-amps", "relay-stays-open-running"}) {
            const CheckReading running = readingOf(id, relay);
            ASSERT_EQ(running.comparisons.size(), 2U);
            for (const Comparison& each : running.comparisons) {
                // Less than at standstill, more than without load, at 110 % line.
                EXPECT_GT(each.value, 0.8 * 5 * 0.85) << id;
                EXPECT_LT(each.value, 0.8 * 10 * 1.10) << id;
            }
        }
    }
}

// The checks of the ten cycles after the opening look at the coil, wherever it is wired.
TEST(RelayAfterOpening, IsJudgedByItsCoilNotByTheWindings)
{
    const auto verdictOf = [](std::string_view id, const PartData& relay, double coil,
                              double winding) {
        Evidence evidence[] = {evidenceOf(22)};
        StartMeasurement& m = evidence[0].starts[0].measured;
        m.coilAfterOpening_V = coil;
        m.coilAfterOpening_A = coil;
        m.startWindingAfterOpening_V = winding;
        m.mainAfterOpening_A = winding;
        for (const Finding& finding : judge(caseWithRelay(relay), Circuit{}, evidence)) {
            if (finding.check->id == id) {
                return finding.verdict;
            }
        }
        ADD_FAILURE() << "no finding " << id;
        return Verdict::undecided;
    };
    constexpr const char* holds = "relay-holds-after-opening";
    EXPECT_EQ(verdictOf(holds, potentialRelay(), 91, 10), Verdict::pass);
    EXPECT_EQ(verdictOf(holds, potentialRelay(), 89, 300), Verdict::fail);
    constexpr const char* stays = "relay-stays-open-after-opening";
    EXPECT_EQ(verdictOf(stays, currentRelay(false), 15.9, 40), Verdict::pass);
    EXPECT_EQ(verdictOf(stays, currentRelay(false), 16.1, 1), Verdict::fail);
}

}  // namespace splitstart
