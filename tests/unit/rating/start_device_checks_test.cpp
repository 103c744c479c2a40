// PTC, timed switch, switch on the shaft, and what holds for every start contact.
#include <gtest/gtest.h>

#include <cmath>
#include <stdexcept>
#include <string>

#include "physics/near.h"
#include "unit/rating/sound_bench.h"

namespace splitstart
{

namespace
{

bool mentions(const std::string& text, const char* words)
{
    return text.find(words) != std::string::npos;
}

}  // namespace

TEST(PtcGetsHot, IsBeyondTheLimitWhereItNeverDoes)
{
    RatingBench bench = soundMilkTank();
    bench.evidence.starts[1].measured.startContactOpened_s.reset();
    const Finding finding = bench.finding("ptc-gets-hot");
    EXPECT_EQ(finding.verdict, Verdict::fail);
    EXPECT_FALSE(finding.hasValue);
    EXPECT_TRUE(mentions(finding.corner, "never gets hot"));
}

TEST(PtcRecovers, AtItsReferenceTemperatureAndNotAbove)
{
    RatingBench bench = soundMilkTank();
    const double reference_degC = partOf<Ptc>(bench.input, "ptc").reference_degC;
    for (StartRun& run : bench.evidence.restarts) {
        run.measured.ptcAtStart_degC = reference_degC - 0.1;
    }
    EXPECT_EQ(bench.finding("ptc-recovers").verdict, Verdict::pass);
    bench.evidence.restarts[2].measured.ptcAtStart_degC = reference_degC + 0.1;
    EXPECT_EQ(bench.finding("ptc-recovers").verdict, Verdict::fail);
}

TEST(PtcRecovers, FailsWhereTheMotorDoesNotComeUpToSpeedHoweverCoolThePtc)
{
    RatingBench bench = soundMilkTank();
    bench.evidence.restarts[0].measured.speedAtEnd_ratio = 0.89;
    const Finding finding = bench.finding("ptc-recovers");
    EXPECT_EQ(finding.verdict, Verdict::fail);
    EXPECT_FALSE(finding.hasValue);
    EXPECT_TRUE(mentions(finding.corner, "does not come up to speed"));
    EXPECT_TRUE(mentions(finding.corner, "180 s"));
}

// Three minutes are tried where the case does not say how long it stays off. They prove nothing: it
// may stay off for less, or for longer.
TEST(PtcRecovers, IsUndecidedWithoutAnOffTimeWhateverThreeMinutesShow)
{
    RatingBench bench = soundMilkTank();
    ASSERT_EQ(bench.finding("ptc-recovers").verdict, Verdict::pass);
    bench.input.circuit->shortestOff_s.reset();
    EXPECT_EQ(bench.finding("ptc-recovers").verdict, Verdict::undecided);
    EXPECT_TRUE(mentions(bench.finding("ptc-recovers").because, "off-seconds"));
    bench.evidence.restarts[0].measured.speedAtEnd_ratio = 0.5;
    EXPECT_EQ(bench.finding("ptc-recovers").verdict, Verdict::undecided);
}

// First starts say nothing of the next one.
TEST(PtcRecovers, IsJudgedByStartsAgainAlone)
{
    RatingBench bench = soundMilkTank();
    bench.evidence.starts[0].measured.speedAtEnd_ratio = 0.2;
    EXPECT_EQ(bench.finding("ptc-recovers").verdict, Verdict::pass);
    bench.evidence.restarts.clear();
    EXPECT_EQ(bench.finding("ptc-recovers").verdict, Verdict::undecided);
}

TEST(PtcRecoveryLabel, IsHeldAgainstTheOffTime)
{
    RatingBench bench = soundMilkTank();
    bench.input.circuit->shortestOff_s = 120;
    EXPECT_EQ(bench.finding("ptc-recovery-label").verdict, Verdict::pass);
    bench.input.circuit->shortestOff_s = 119.9;
    EXPECT_EQ(bench.finding("ptc-recovery-label").verdict, Verdict::fail);
    partOf<Ptc>(bench.input, "ptc").recovery_s.reset();
    for (const Finding& finding : bench.findings()) {
        EXPECT_NE(finding.check->id, "ptc-recovery-label");
    }
}

TEST(StartSwitchRearms, IsUndecidedWhereTheOffTimeIsNotKnown)
{
    RatingBench bench = soundCurdRoom();
    bench.input.circuit->shortestOff_s = 1.5;
    EXPECT_EQ(bench.finding("start-switch-rearms").verdict, Verdict::pass);
    bench.input.circuit->shortestOff_s = 1.49;
    EXPECT_EQ(bench.finding("start-switch-rearms").verdict, Verdict::fail);
    bench.input.circuit->shortestOff_s.reset();
    EXPECT_EQ(bench.finding("start-switch-rearms").verdict, Verdict::undecided);
    EXPECT_TRUE(mentions(bench.finding("start-switch-rearms").because, "off-seconds"));
}

// The switch counts from the volts between L and N. A protector outside the shell stands between
// pin C and the line, so it takes them away from an N on pin C; one inside stands behind the pin,
// which keeps its volts: the switch stays open when the protector resets, and the motor stalls.
TEST(StartSwitchRearmsAfterTrip, HangsOnWhereTheProtectorIsAndWhereTheSwitchGetsItsVolts)
{
    constexpr const char* id = "start-switch-rearms-after-trip";
    RatingBench bench = soundCurdRoom();
    EXPECT_EQ(bench.finding(id).verdict, Verdict::pass);
    bench.input.circuit->protector = "inside";
    EXPECT_EQ(bench.finding(id).verdict, Verdict::fail);
    // N behind a contact that opens with the trip, not on pin C.
    RatingBench elsewhere = bench;
    for (Wire& wire : elsewhere.circuit.wires) {
        if (wire.from == Terminal{"start-switch", "N"}) {
            wire.to = {"contactor", "T2"};
        }
    }
    EXPECT_EQ(elsewhere.finding(id).verdict, Verdict::pass);
    // What never trips never has to re-arm after it.
    bench.input.circuit->protector.clear();
    EXPECT_EQ(bench.finding(id).verdict, Verdict::pass);
    EXPECT_THROW(static_cast<void>(soundColdStore().finding(id)), std::out_of_range);
    EXPECT_THROW(static_cast<void>(soundButterChurn().finding(id)), std::out_of_range);
}

// Two poles at 60 Hz: 377 rad/s. Torque out of the start circuit is 80 (1 - speed) N m at rated
// volts; at 85 % line it carries 5 N m at 1 - 5 / (80 * 0.7225) = 91.35 %.
TEST(SwitchOnTheShaft, HoldsItsSpeedsAgainstThoseOfTheMotorUnderLoad)
{
    constexpr double synchronous_rad_s = 376.991;
    RatingBench bench = soundButterChurn();
    auto& onShaft = partOf<CentrifugalSwitch>(bench.input, "shaft");
    onShaft.closes_rad_s.maximum = 0.9125 * synchronous_rad_s;
    EXPECT_EQ(bench.finding("start-switch-stays-open").verdict, Verdict::pass);
    onShaft.closes_rad_s.maximum = 0.9145 * synchronous_rad_s;
    EXPECT_EQ(bench.finding("start-switch-stays-open").verdict, Verdict::fail);
    // With the start circuit in it would settle at the same speed if the torques were the same.
    bench.eachRowIn([](HeldShaftMeasurement& row) { row.torque_Nm = 80 * (1 - row.speed_ratio); });
    onShaft.opens_rad_s.maximum = 0.9125 * synchronous_rad_s;
    EXPECT_EQ(bench.finding("start-switch-reached").verdict, Verdict::pass);
    onShaft.opens_rad_s.maximum = 0.9145 * synchronous_rad_s;
    EXPECT_EQ(bench.finding("start-switch-reached").verdict, Verdict::fail);
    // Four poles turn half as fast: far below such a switch.
    onShaft.opens_rad_s.maximum = 0.6 * synchronous_rad_s;
    EXPECT_EQ(bench.finding("start-switch-reached").verdict, Verdict::pass);
    bench.input.compressor.poles = 4;
    EXPECT_EQ(bench.finding("start-switch-reached").verdict, Verdict::fail);
}

TEST(SwitchOnTheShaft, IsNotReachedByAMotorThatStalls)
{
    RatingBench bench = soundButterChurn();
    bench.eachRowIn([](HeldShaftMeasurement& row) { row.torque_Nm = 1; });
    EXPECT_EQ(bench.finding("start-switch-reached").verdict, Verdict::fail);
    EXPECT_EQ(bench.finding("start-switch-reached").value, 0);
}

TEST(SwitchOnTheShaft, StillInAtSpeedOpensTooLate)
{
    RatingBench bench = soundButterChurn();
    StartMeasurement& m = bench.evidence.starts[2].measured;
    m.startContactOpened_s.reset();
    m.speedAtOpening_ratio.reset();
    m.startContactAtEnd = 1;
    EXPECT_EQ(bench.finding("start-switch-opens-not-late").verdict, Verdict::fail);
}

TEST(StartSwitchContact, IsHeldAgainstItsOwnLabel)
{
    RatingBench bench = soundCurdRoom();
    auto& timer = partOf<TimedSwitch>(bench.input, "timer");
    bench.evidence.starts[3].measured.startContactOpen_V = 350;
    timer.contact_V = 350;
    EXPECT_EQ(bench.finding("start-switch-contact-volts").verdict, Verdict::pass);
    timer.contact_V = 349;
    EXPECT_EQ(bench.finding("start-switch-contact-volts").verdict, Verdict::fail);
    bench.evidence.starts[3].measured.contactCurrentMade_A = 33;
    timer.contact_A = 33;
    EXPECT_EQ(bench.finding("start-switch-contact-amps").verdict, Verdict::pass);
    timer.contact_A = 32;
    EXPECT_EQ(bench.finding("start-switch-contact-amps").verdict, Verdict::fail);
}

// What a resistor leaves of a capacitor's volts after a minute: V exp(-60 s / (R C)). From 220 V
// down to 50 V it takes R C = 60 s / ln(4.4).
TEST(ContactReclosesDischarged, TurnsAtFiftyVoltsAfterAMinute)
{
    RatingBench bench = soundColdStore();
    auto& capacitor = partOf<StartCapacitor>(bench.input, "start");
    const double resistor_ohm = 60 / std::log(220.0 / 50) / capacitor.capacitance_F.maximum;
    capacitor.bleed_ohm = 0.99 * resistor_ohm;
    EXPECT_EQ(bench.finding("contact-recloses-discharged").verdict, Verdict::pass);
    capacitor.bleed_ohm = 1.01 * resistor_ohm;
    EXPECT_EQ(bench.finding("contact-recloses-discharged").verdict, Verdict::fail);
    // Without one the charge stays.
    capacitor.bleed_ohm.reset();
    EXPECT_TRUE(nearRel(bench.finding("contact-recloses-discharged").value, 220, 1e-12));
}

TEST(ContactReclosesDischarged, FailsInChatterAndNamesTheEnergy)
{
    RatingBench bench = soundColdStore();
    bench.evidence.starts[3].measured.startContactReclosed_V = 400;
    const Finding finding = bench.finding("contact-recloses-discharged");
    EXPECT_EQ(finding.verdict, Verdict::fail);
    EXPECT_EQ(finding.value, 400);
    // Half C V squared: 0.5 * 156 uF * 400^2 = 12.5 J.
    EXPECT_TRUE(mentions(finding.corner, "12 J") || mentions(finding.corner, "13 J"))
        << finding.corner;
}

// A start in which it chatters harmlessly is still followed by a run after which it closes again.
TEST(ContactReclosesDischarged, DoesNotLetHarmlessChatterHideTheChargeThatIsLeft)
{
    RatingBench bench = soundColdStore();
    partOf<StartCapacitor>(bench.input, "start").bleed_ohm.reset();
    bench.eachStart([](StartMeasurement& m) { m.startContactReclosed_V = 10; });
    EXPECT_EQ(bench.finding("contact-recloses-discharged").verdict, Verdict::fail);
}

TEST(ContactsSealed, AreAskedBesideFlammableRefrigerantAlone)
{
    for (const auto make : {soundColdStore, soundBottleCooler, soundCurdRoom, soundButterChurn}) {
        RatingBench bench = make();
        for (const Refrigerant refrigerant : {Refrigerant::unknown, Refrigerant::notFlammable}) {
            bench.input.circuit->refrigerant = refrigerant;
            for (const Finding& finding : bench.findings()) {
                EXPECT_NE(finding.check->id, "contacts-sealed");
            }
        }
        bench.input.circuit->refrigerant = Refrigerant::flammable;
        EXPECT_NO_THROW(static_cast<void>(bench.finding("contacts-sealed")));
    }
    // No contact, no arc.
    RatingBench bench = soundMilkTank();
    bench.input.circuit->refrigerant = Refrigerant::flammable;
    EXPECT_THROW(static_cast<void>(bench.finding("contacts-sealed")), std::out_of_range);
}

TEST(PartsAmbient, NamesThePartThatStandsTheLeast)
{
    RatingBench bench = soundCurdRoom();
    EXPECT_EQ(bench.finding("parts-ambient").corner, "contactor");
    EXPECT_EQ(bench.finding("parts-ambient").margin, 10);
    for (CatalogPart& part : bench.input.parts.parts) {
        if (part.id == "dual") {
            part.highestAmbient_degC = 44;
        }
        if (part.id == "fan-run") {
            part.highestAmbient_degC = 0;  // on the shelf, not in this circuit
        }
    }
    EXPECT_EQ(bench.finding("parts-ambient").verdict, Verdict::fail);
    EXPECT_EQ(bench.finding("parts-ambient").corner, "run capacitor");
}

}  // namespace splitstart
