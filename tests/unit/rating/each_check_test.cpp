// Every check on evidence in which it passes, and on the same evidence with one thing spoilt, on
// which it must fail: no check may be there that cannot fail.
#include <gtest/gtest.h>

#include <map>
#include <set>
#include <string>
#include <string_view>

#include "unit/rating/sound_bench.h"

namespace splitstart
{

namespace
{

using Spoil = void (*)(RatingBench&);

template <typename Data>
Data& part(RatingBench& bench, const char* id)
{
    return partOf<Data>(bench.input, id);
}

// What makes each check fail, by its id. Both relays have some ids in common; what spoils the one
// spoils the other.
const std::map<std::string_view, Spoil>& spoilers()
{
    using M = StartMeasurement;
    using H = HeldShaftMeasurement;
    static const std::map<std::string_view, Spoil> table = {
        {"supply-volts", [](RatingBench& b) { b.input.supply.voltage_V *= 0.89; }},
        {"supply-frequency", [](RatingBench& b) { b.input.supply.frequency_Hz = 50; }},
        {"supply-volts-starting",
         [](RatingBench& b) { b.eachRowIn([](H& row) { row.runWinding_V *= 0.9; }); }},
        {"motor-fits-evidence", [](RatingBench& b) { b.evidence.fit.front().reproduced = 98; }},
        {"motor-starts",
         [](RatingBench& b) { b.evidence.starts[3].measured.speedAtEnd_ratio = 0.2; }},
        {"motor-direction",
         [](RatingBench& b) {
             for (HeldShaftTable& held : b.evidence.held) {
                 held.startCircuitIn.front().torque_Nm *= -1;
             }
         }},
        {"motor-time-to-speed",
         [](RatingBench& b) { b.eachStart([](M& m) { m.timeToSpeed_s = 3.2; }); }},
        {"motor-pull-up-torque",
         [](RatingBench& b) {
             b.eachRowIn([](H& row) {
                 row.torque_Nm *= row.speed_ratio == 0.6 ? 0.1 : 1;  // a dip on the way up
             });
         }},
        {"motor-carries-load",
         [](RatingBench& b) { b.eachRowOut([](H& row) { row.torque_Nm *= 0.05; }); }},
        {"protector-fitted", [](RatingBench& b) { b.input.circuit->protector.clear(); }},
        {"start-capacitor-volts",
         [](RatingBench& b) { b.eachStart([](M& m) { m.startCapacitorWorst_V = 340; }); }},
        {"start-capacitor-left-in",
         [](RatingBench& b) { b.evidence.starts.back().measured.startContactAtEnd = 1; }},
        {"start-capacitor-duty",
         [](RatingBench& b) { b.eachStart([](M& m) { m.startCircuitIn_s = 3.1; }); }},
        {"bleed-resistor-fitted",
         [](RatingBench& b) { part<StartCapacitor>(b, "start").bleed_ohm.reset(); }},
        {"bleed-resistor-watts",
         [](RatingBench& b) { part<StartCapacitor>(b, "start").bleed_ohm = 150; }},
        {"bleed-resistor-time",
         [](RatingBench& b) { part<StartCapacitor>(b, "start").bleed_ohm = 1e6; }},
        {"run-capacitor-volts", [](RatingBench& b) { part<RunCapacitor>(b, "run").rated_V = 330; }},
        {"relay-closed-at-standstill",
         [](RatingBench& b) {
             part<PotentialRelay>(b, "relay").pickUp_V = {125, 140};
         }},
        {"relay-opens",
         [](RatingBench& b) { b.evidence.starts[2].measured.startContactOpenings = 0; }},
        {"relay-pick-up-reached",
         [](RatingBench& b) {
             part<PotentialRelay>(b, "relay").pickUp_V = {240, 260};
         }},
        {"relay-opens-not-early",
         [](RatingBench& b) { b.evidence.starts[1].measured.speedAtOpening_ratio = 0.55; }},
        {"relay-opens-not-late",
         [](RatingBench& b) { b.evidence.starts[1].measured.speedAtOpening_ratio = 0.96; }},
        {"relay-holds-after-opening",
         [](RatingBench& b) { b.eachStart([](M& m) { m.startWindingAfterOpening_V = 85; }); }},
        {"relay-chatter",
         [](RatingBench& b) { b.evidence.starts[5].measured.startContactOpenings = 2; }},
        {"relay-holds-running",
         [](RatingBench& b) {
             part<PotentialRelay>(b, "relay").dropOut_V = {200, 270};
         }},
        {"relay-coil-volts",
         [](RatingBench& b) { part<PotentialRelay>(b, "relay").coilContinuous_V = 300; }},
        {"relay-contact-amps",
         [](RatingBench& b) { b.eachStart([](M& m) { m.contactCurrentMade_A = 60; }); }},
        {"relay-pulls-in",
         [](RatingBench& b) {
             part<CurrentRelay>(b, "relay").pullIn_A = {20, 22};
         }},
        {"relay-makes",
         [](RatingBench& b) { b.evidence.starts[2].measured.startContactOpenings = 0; }},
        {"relay-lets-go",
         [](RatingBench& b) {
             part<CurrentRelay>(b, "relay").dropOut_A = {5, 7};
         }},
        {"relay-stays-open-after-opening",
         [](RatingBench& b) { b.eachStart([](M& m) { m.mainAfterOpening_A = 17.5; }); }},
        {"relay-stays-open-running",
         [](RatingBench& b) {
             part<CurrentRelay>(b, "relay").pullIn_A = {4, 5};
         }},
        {"relay-coil-amps",
         [](RatingBench& b) { part<CurrentRelay>(b, "relay").coilContinuous_A = 4; }},
        {"relay-attitude",
         [](RatingBench& b) {
             part<CurrentRelay>(b, "relay").attitude = RelayAttitude::onItsSide;
         }},
        {"protector-holds-start",
         [](RatingBench& b) { b.eachStart([](M& m) { m.protectorHottest_degC = 151; }); }},
        {"protector-trips-stalled",
         [](RatingBench& b) { b.eachRowIn([](H& row) { row.compressor_A *= 0.1; }); }},
        {"protector-carries-running",
         [](RatingBench& b) { b.eachRowOut([](H& row) { row.compressor_A *= 4; }); }},
    };
    return table;
}

// The worst that a check comes to. Which figure is wrong where they are at odds, and what a part
// that is not named would do, is not for a computation to say; and a start capacitor that works
// alone may be discharged by hand.
Verdict worstVerdict(std::string_view id, const RatingBench& bench)
{
    const bool alone = bench.input.circuit->runCapacitor.empty();
    return id == "motor-fits-evidence" || id == "protector-fitted" ||
                   (id == "bleed-resistor-fitted" && alone)
               ? Verdict::undecided
               : Verdict::fail;
}

std::vector<RatingBench> soundBenches()
{
    return {soundColdStore(), soundBottleCooler()};
}

}  // namespace

TEST(EachCheck, PassesOnSoundEvidence)
{
    for (const RatingBench& bench : soundBenches()) {
        const std::vector<Finding> findings = bench.findings();
        EXPECT_GE(findings.size(), 15U);
        for (const Finding& finding : findings) {
            EXPECT_EQ(finding.verdict, Verdict::pass)
                << bench.input.name << ": " << finding.check->id << " " << finding.corner << " "
                << finding.value << " against " << finding.limit << " " << finding.because;
            EXPECT_TRUE(finding.hasValue);
            EXPECT_GE(finding.margin, 0);
            EXPECT_TRUE(finding.because.empty());
        }
    }
}

TEST(EachCheck, FailsWhenItsOwnThingIsSpoilt)
{
    for (const RatingBench& sound : soundBenches()) {
        for (const Finding& before : sound.findings()) {
            const std::string id(before.check->id);
            ASSERT_TRUE(spoilers().contains(id)) << "no way is known in which " << id << " fails";
            RatingBench bench = sound;
            spoilers().at(id)(bench);
            const std::vector<Finding> findings = bench.findings();
            const Finding after = findingOf(findings, id);
            EXPECT_EQ(after.verdict, worstVerdict(id, sound))
                << sound.input.name << ": " << id << " " << after.value << " against "
                << after.limit;
            EXPECT_LT(after.margin, 0) << id;
            EXPECT_FALSE(after.corner.empty()) << id;
        }
    }
}

TEST(EachCheck, IsMetByOneOfTheTwoCases)
{
    std::set<const Check*> met;
    for (const RatingBench& bench : soundBenches()) {
        for (const Finding& finding : bench.findings()) {
            met.insert(finding.check);
        }
    }
    for (const Check& check : allChecks()) {
        EXPECT_TRUE(met.contains(&check)) << check.id;
    }
    EXPECT_EQ(met.size(), allChecks().size());
}

// A check that passes without anything to look at would hide that nothing was simulated.
TEST(EachCheck, IsUndecidedWithoutEvidenceUnlessTheCaseAloneTells)
{
    const std::set<std::string_view> ofTheCaseAlone = {"supply-volts", "supply-frequency",
                                                       "bleed-resistor-fitted", "relay-attitude",
                                                       "protector-fitted"};
    for (RatingBench bench : soundBenches()) {
        bench.evidence.starts.clear();
        bench.evidence.held.clear();
        bench.evidence.fit.clear();
        for (const Finding& finding : bench.findings()) {
            if (ofTheCaseAlone.contains(finding.check->id)) {
                EXPECT_EQ(finding.verdict, Verdict::pass) << finding.check->id;
            } else {
                EXPECT_EQ(finding.verdict, Verdict::undecided) << finding.check->id;
                EXPECT_FALSE(finding.because.empty()) << finding.check->id;
                EXPECT_FALSE(finding.hasValue) << finding.check->id;
            }
        }
    }
}

TEST(EachCheck, ExplainsItself)
{
    std::set<std::string_view> parts = {"compressor", "supply"};
    for (const Circuit& circuit : standardCircuits()) {
        for (const CircuitPart& each : circuit.parts) {
            parts.insert(each.id);
        }
    }
    for (const Check& check : allChecks()) {
        EXPECT_FALSE(check.id.empty());
        for (const char c : check.id) {
            EXPECT_TRUE((c >= 'a' && c <= 'z') || c == '-') << check.id;
        }
        EXPECT_TRUE(parts.contains(check.part)) << check.id << " is about " << check.part;
        EXPECT_TRUE(check.meaning.ends_with('?')) << check.id;
        EXPECT_FALSE(check.rule.empty()) << check.id;
        EXPECT_FALSE(check.source.empty()) << check.id;
        EXPECT_FALSE(check.remedy.empty()) << check.id;
        EXPECT_NE(check.applies, nullptr);
        EXPECT_NE(check.read, nullptr);
        const bool saysCommonPractice = check.source.starts_with("common practice, no source");
        EXPECT_EQ(saysCommonPractice, check.basis == Basis::commonPractice) << check.id;
    }
}

TEST(EachCheck, HasAnIdOfItsOwnAmongThoseOfACircuit)
{
    for (const RatingBench& bench : soundBenches()) {
        std::set<std::string_view> ids;
        for (const Finding& finding : bench.findings()) {
            EXPECT_TRUE(ids.insert(finding.check->id).second) << finding.check->id;
        }
    }
}

TEST(EachCheck, AppliesOnlyWhereItsPartIs)
{
    RatingBench bench = soundColdStore();
    bench.input.circuit->protector.clear();
    bench.input.circuit->runCapacitor.clear();
    bench.input.circuit->startDevice.clear();
    bench.input.compressor.nameplate = {};
    part<StartCapacitor>(bench, "start").bleed_ohm.reset();
    for (const Finding& finding : bench.findings()) {
        EXPECT_FALSE(
            (finding.check->part == "protector" && finding.check->id != "protector-fitted") ||
            finding.check->part == "relay" || finding.check->part == "run-capacitor")
            << finding.check->id;
        EXPECT_FALSE(finding.check->id.starts_with("bleed-resistor-") &&
                     finding.check->id != "bleed-resistor-fitted")
            << finding.check->id;
        EXPECT_FALSE(finding.check->id == "supply-volts" ||
                     finding.check->id == "supply-frequency");
    }
    EXPECT_EQ(findingOf(bench.findings(), "start-capacitor-volts").verdict, Verdict::pass);
}

}  // namespace splitstart
