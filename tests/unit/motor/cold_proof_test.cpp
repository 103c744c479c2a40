#include "motor/cold_proof.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <map>

#include "physics/near.h"
#include "unit/motor/readings_of.h"

namespace splitstart
{

namespace
{

// C is A, S is B, R is C.
ColdProof proofOf(double run_ohm, double start_ohm, Readings meter)
{
    meter.leadGiven = true;
    meter.readings = readingsOf(start_ohm, run_ohm + start_ohm, run_ohm).readings;
    return coldProof(identify(meter), meter);
}

}  // namespace

// Circuit theory: the two windings meet at C, so each pin is an arm of a star from C, with no ohms
// in C's own arm, and two pins have the sum of their arms between them.
TEST(ColdProof, EachLandingReadsTheSumOfTwoArmsOfTheStar)
{
    const Readings meter = readingsOf(7.0, 8.6, 1.6, 0);
    const Identification windings = identify(meter);
    const std::map<char, double> arm{
        {'C', 0}, {'S', windings.start_ohm.value}, {'R', windings.run_ohm.value}};
    const ColdProof proof = coldProof(windings, meter);
    std::vector<std::string> seen;
    for (const WireLanding& landing : proof.landings) {
        EXPECT_TRUE(nearRel(landing.runToCommon_ohm,
                            arm.at(landing.runWireOn) + arm.at(landing.commonWireOn), 1e-12))
            << landing.name;
        EXPECT_TRUE(nearRel(landing.startToCommon_ohm,
                            arm.at(landing.startWireOn) + arm.at(landing.commonWireOn), 1e-12))
            << landing.name;
        seen.push_back({landing.commonWireOn, landing.startWireOn, landing.runWireOn});
    }
    std::sort(seen.begin(), seen.end());
    EXPECT_EQ(seen, (std::vector<std::string>{"CRS", "CSR", "RCS", "RSC", "SCR", "SRC"}));
    EXPECT_EQ(proof.landings[0].name, "correct");
}

TEST(ColdProof, TheMeterWillShowWhatItShowedAtThePins)
{
    const Readings meter = readingsOf(7.5, 8.5, 1.35);  // C is A, S is B, R is C
    const ColdProof proof = coldProof(identify(meter), meter);
    EXPECT_DOUBLE_EQ(proof.landings[0].shownRunToCommon_ohm, 1.35);
    EXPECT_DOUBLE_EQ(proof.landings[0].shownStartToCommon_ohm, 7.5);
    EXPECT_DOUBLE_EQ(proof.landings[2].shownStartToCommon_ohm, 8.5);
    EXPECT_FALSE(proof.cautions.empty());
}

TEST(ColdProof, AllSixLandingsAreToldApartOnACommonMotor)
{
    const ColdProof proof = proofOf(0.8, 2.6, Readings{});
    EXPECT_TRUE(proof.allToldApart);
    EXPECT_TRUE(proof.correctIsProved);
    EXPECT_TRUE(proof.notToldApart.empty());
}

TEST(ColdProof, NearlyEqualWindingsHideTheExchangeOfStartAndRunOnly)
{
    const ColdProof proof = proofOf(2.0, 2.02, Readings{});
    EXPECT_FALSE(proof.correctIsProved);
    for (const WireLanding& landing : proof.landings) {
        EXPECT_EQ(landing.toldFromCorrect, landing.name != "S and R exchanged") << landing.name;
    }
    EXPECT_FALSE(proof.notToldApart.empty());
}

TEST(ColdProof, AMilliohmMeterTellsApartWhatAHandheldMeterCannot)
{
    Readings fine;
    fine.resolution_ohm = 0.0001;
    fine.accuracy_ratio = 0.002;
    EXPECT_FALSE(proofOf(0.30, 0.36, Readings{}).correctIsProved);
    EXPECT_TRUE(proofOf(0.30, 0.36, fine).allToldApart);
}

}  // namespace splitstart
