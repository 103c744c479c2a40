// What the choice from a stock rests on: that nothing is discarded early which the full study would
// not discard, and that parts from the middle of the bands pass the check of any case.
#include "study/choice.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <string>

#include "case/reader.h"
#include "circuit/case_circuit.h"
#include "physics/deck.h"
#include "study/best_evidence.h"

namespace splitstart
{
namespace
{

std::string exampleFile(const char* name)
{
    return std::string(SPLITSTART_SOURCE_DIR) + "/examples/" + name;
}

std::map<std::string, Verdict> verdictsOf(const std::vector<Finding>& findings)
{
    std::map<std::string, Verdict> verdicts;
    for (const Finding& each : findings) {
        verdicts[std::string(each.check->id)] = each.verdict;
    }
    return verdicts;
}

void expectFailsToo(const std::vector<Finding>& early, const std::vector<Finding>& whole,
                    const std::string& name, std::size_t& discarded)
{
    const std::map<std::string, Verdict> verdicts = verdictsOf(whole);
    for (const Finding& each : early) {
        if (each.verdict == Verdict::fail) {
            ++discarded;
            EXPECT_EQ(verdicts.at(std::string(each.check->id)), Verdict::fail)
                << name << ": " << each.check->id << " at " << each.corner;
        }
    }
}

// Every `step`-th combination of an example with the store room, looked at with held shafts alone,
// with a few corners, and whole.
void expectScreeningIsSafe(const char* file, std::size_t step, bool pressuresGiven = true)
{
    SCOPED_TRACE(file);
    Case input = completeCase(readCaseFile(exampleFile(file)));
    input.compressor.load.pressuresGiven = pressuresGiven;
    const Circuit own = caseCircuit(input);
    const MotorStudy motor = motorStudy(input, own, simulators());
    const Case base = withSource(input, motor);
    const StockOffer offer = stockOffer(base, base.parts, {});
    std::size_t byLabels = 0;
    std::size_t byHeld = 0;
    std::size_t byFew = 0;
    for (std::size_t i = 0; i < offer.combinations.size(); i += step) {
        const Combination& each = offer.combinations[i];
        const Case with = caseOf(base, each);
        const Circuit& circuit = offer.shapes[each.shape].circuit;
        const std::string name = combinationName(each);
        const Evidence held = heldEvidence(with, circuit, motor, simulators());
        Evidence labels;
        labels.ratedTorque_Nm = held.ratedTorque_Nm;
        labels.fit = held.fit;
        const auto few = withStarts(held, with, circuit, motor, Corners::few, simulators());
        const auto all = withStarts(held, with, circuit, motor, Corners::all, simulators());
        EXPECT_LT(few.front().starts.size(), all.front().starts.size());
        const std::vector<Finding> whole = judge(with, circuit, all);
        expectFailsToo(judge(with, circuit, {&labels, 1}), whole, name, byLabels);
        expectFailsToo(judge(with, circuit, {&held, 1}), whole, name, byHeld);
        expectFailsToo(judge(with, circuit, few), whole, name, byFew);
    }
    EXPECT_GT(byHeld, 0U);
    EXPECT_GT(byFew, byHeld);
}

}  // namespace

TEST(Screening, DiscardsNothingThatTheWholeStudyWouldNotOfABenchMotor)
{
    expectScreeningIsSafe("shop-cooler.xml", 31);
}

TEST(Screening, DiscardsNothingThatTheWholeStudyWouldNotOfAnEstimatedMotor)
{
    expectScreeningIsSafe("cheese-store.xml", 97);
}

// Where the case does not say whether the pressures are equalised, both are looked at.
TEST(Screening, DiscardsNothingThatTheWholeStudyWouldNotWithOpenPressures)
{
    expectScreeningIsSafe("shop-cooler.xml", 71, false);
}

// The run-up by steady torques alone: a flywheel on the shaft needs no simulated start to be found
// too heavy, and its starts say so too; the compressor's own rotor is not judged by it.
TEST(Screening, DiscardsARotorThatIsTooHeavyEvenWithoutItsLoad)
{
    const Case given = completeCase(readCaseFile(exampleFile("shop-cooler.xml")));
    const Circuit circuit = caseCircuit(given);
    MotorStudy motor = motorStudy(given, circuit, simulators());
    const Case input = withSource(given, motor);
    const auto timeToSpeed = [&](const std::vector<Finding>& findings) {
        return *std::find_if(findings.begin(), findings.end(), [](const Finding& each) {
            return each.check->id == "motor-time-to-speed";
        });
    };
    const Evidence light = heldEvidence(input, circuit, motor, simulators());
    EXPECT_NE(timeToSpeed(judge(input, circuit, {&light, 1})).verdict, Verdict::fail);
    motor.motor.circuit.inertia_kgm2 *= 500;
    const Evidence heavy = heldEvidence(input, circuit, motor, simulators());
    const Finding early = timeToSpeed(judge(input, circuit, {&heavy, 1}));
    EXPECT_EQ(early.verdict, Verdict::fail) << early.value;
    const auto starts = withStarts(heavy, input, circuit, motor, Corners::few, simulators());
    EXPECT_EQ(timeToSpeed(judge(input, circuit, starts)).verdict, Verdict::fail);
}

// Parts made up from the middle of the bands are judged as `check` judges any case.
TEST(RatingBands, GivePartsThatPassTheWholeCheck)
{
    const Case input = completeCase(readCaseFile(exampleFile("shop-cooler.xml")));
    const MotorStudy motor = motorStudy(input, caseCircuit(input), simulators());
    const Case base = withSource(input, motor);
    const StockOffer offer = stockOffer(base, base.parts, {});
    const std::set<StockPlace> kept;
    const std::set<const Check*> leftOut;
    const std::vector<RatingBands> all =
        ratingBands({base, offer, motor, kept, leftOut, "start-161"}, {}, simulators(), {});
    ASSERT_EQ(all.size(), 1U);
    const RatingBands& bands = all.front();
    ASSERT_TRUE(bands.best.has_value());
    ASSERT_GE(bands.rows.size(), 2U);
    EXPECT_EQ(bands.proof, Outcome::pass);
    const RatingRow& row = bands.rows[*bands.best];
    const CheckStudy study = checkStudy(row.input, simulators());
    for (const Finding& each : study.findings) {
        EXPECT_EQ(each.verdict, Verdict::pass) << each.check->id << " " << each.because;
    }
    // The relay and the capacitor that the example is known to be fit with lie in the bands.
    const auto known =
        std::find_if(bands.rows.begin(), bands.rows.end(), [](const RatingRow& each) {
            return std::count(each.onShelf.begin(), each.onShelf.end(), "start-161") > 0;
        });
    ASSERT_NE(known, bands.rows.end());
    ASSERT_TRUE(known->device.current.has_value());
    const auto& relay = std::get<CurrentRelay>(base.parts.find("relay-c")->data);
    EXPECT_LT(known->device.current->lowestPullIn_A, relay.pullIn_A.minimum);
    EXPECT_GT(known->device.current->highestPullIn_A, relay.pullIn_A.maximum);
    EXPECT_LT(known->device.current->lowestDropOut_A, relay.dropOut_A.minimum);
    EXPECT_LE(known->printed_V, 165);
    // And beyond the bands the check fails.
    Case beyond = row.input;
    for (CatalogPart& part : beyond.parts.parts) {
        if (part.id == beyond.circuit->startDevice) {
            auto& made = std::get<CurrentRelay>(part.data);
            const double above_A = 1.02 * row.device.current->highestPullIn_A;
            made.pullIn_A = {above_A, above_A};
        }
    }
    const Evidence held = heldEvidence(beyond, study.circuit, motor, simulators());
    EXPECT_EQ(verdictsOf(judge(beyond, study.circuit, {&held, 1})).at("relay-pulls-in"),
              Verdict::fail);
}

}  // namespace splitstart
