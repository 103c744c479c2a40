// Every check on evidence in which it passes, and on the same evidence with one thing spoilt, on
// which it must fail: no check may be there that cannot fail.
#include <gtest/gtest.h>

#include <set>
#include <string>
#include <string_view>

#include "unit/rating/spoilers.h"

namespace splitstart
{

namespace
{

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
            ASSERT_TRUE(failures().contains(id)) << "no way is known in which " << id << " fails";
            RatingBench bench = sound;
            failures().at(id)(bench);
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

// A rating that no label shows, a wire that nobody has measured, a load that the motor does not
// carry: no verdict, and the reason in words.
TEST(EachCheck, IsUndecidedAndSaysWhyWhereItsOwnThingIsNotKnown)
{
    std::set<std::string_view> met;
    for (const RatingBench& sound : soundBenches()) {
        for (const Finding& before : sound.findings()) {
            const auto [first, last] = unknowns().equal_range(before.check->id);
            for (auto each = first; each != last; ++each) {
                RatingBench bench = sound;
                each->second.spoil(bench);
                const Finding after = bench.finding(each->first);
                EXPECT_EQ(after.verdict, Verdict::undecided)
                    << sound.input.name << ": " << each->first;
                EXPECT_NE(after.because.find(each->second.because), std::string::npos)
                    << each->first << ": " << after.because;
                met.insert(each->first);
            }
        }
    }
    for (const auto& [id, unknown] : unknowns()) {
        EXPECT_TRUE(met.contains(id)) << id;
    }
}

TEST(EachCheck, IsMetByOneOfTheCases)
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
    const std::set<std::string_view> ofTheCaseAlone = {
        "supply-volts",       "supply-frequency",    "supply-volts-and-frequency",
        "conductor-amps",     "parts-ambient",       "bleed-resistor-fitted",
        "contacts-sealed",    "fan-capacitor-least", "fan-capacitor-most",
        "relay-attitude",     "fan-capacitor-volts", "start-switch-seconds",
        "ptc-recovery-label", "start-switch-rearms", "start-switch-rearms-after-trip",
        "protector-fitted"};
    for (RatingBench bench : soundBenches()) {
        bench.evidence.starts.clear();
        bench.evidence.held.clear();
        bench.evidence.fit.clear();
        bench.evidence.restarts.clear();
        bench.evidence.offTime.reset();
        bench.evidence.auxiliaryOnLine_A.reset();
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
    // The start device has another id in each kind of circuit.
    std::set<std::string_view> parts = {"compressor", "supply", "start-device"};
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
    partOf<StartCapacitor>(bench.input, "start").bleed_ohm.reset();
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

TEST(EachCheck, OfAPartThatTheCircuitDoesNotHaveIsNotAsked)
{
    const std::set<std::string_view> partsOfTheColdStore = {
        "supply",          "compressor",    "relay",    "start-device",
        "start-capacitor", "run-capacitor", "protector"};
    for (const Finding& finding : soundColdStore().findings()) {
        EXPECT_TRUE(partsOfTheColdStore.contains(finding.check->part)) << finding.check->id;
        EXPECT_NE(finding.check->id, "crankcase-heat-watts");
        EXPECT_NE(finding.check->id, "start-capacitor-off-time");
        EXPECT_NE(finding.check->id, "supply-limit");
        EXPECT_NE(finding.check->id, "conductor-amps");
        EXPECT_NE(finding.check->id, "contacts-sealed");
        EXPECT_NE(finding.check->id, "parts-ambient");
    }
    // A PTC has no contact, a motor without start device neither.
    for (const RatingBench& bench : {soundMilkTank(), soundRipeningRoom()}) {
        for (const Finding& finding : bench.findings()) {
            EXPECT_NE(finding.check->part, "start-device") << finding.check->id;
            EXPECT_NE(finding.check->part, "start-capacitor") << finding.check->id;
        }
    }
}

}  // namespace splitstart
