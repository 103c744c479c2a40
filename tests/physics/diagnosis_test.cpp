// What is wrong, from what was observed. The observations come from circuit theory in the test
// (as_found.h), never from a run of the tool.
#include "study/diagnosis.h"

#include <gtest/gtest.h>

#include <cmath>
#include <string>

#include "circuit/case_circuit.h"
#include "physics/as_found.h"
#include "physics/deck.h"
#include "unit/circuit/circuit_fixture.h"

namespace splitstart
{

namespace
{

Symptom word(SymptomKind kind, std::string_view seen)
{
    return {kind, std::string(seen), 0};
}

Symptom number(SymptomKind kind, double value)
{
    return {kind, "", value};
}

Diagnosis diagnosed(const Case& input, const std::vector<Symptom>& symptoms)
{
    DiagnosisOptions options;
    options.symptoms = symptoms;
    options.machines = 0;  // motor and parts are known in these cases
    return diagnose(input, simulators(), options);
}

bool isNamed(const CauseResult& result, const std::string& what)
{
    if (result.cause.what.find(what) != std::string::npos) {
        return true;
    }
    return std::any_of(
        result.cause.alsoBy.begin(), result.cause.alsoBy.end(),
        [&what](const std::string& way) { return way.find(what) != std::string::npos; });
}

// The place of the group with that cause in it, from 0; the number of groups if there is none.
std::size_t rankOf(const Diagnosis& diagnosis, const std::string& what)
{
    for (std::size_t g = 0; g < diagnosis.groups.size(); ++g) {
        for (const std::size_t i : diagnosis.groups[g].causes) {
            if (isNamed(diagnosis.results[i], what)) {
                return g;
            }
        }
    }
    return diagnosis.groups.size();
}

const CauseGroup* groupOf(const Diagnosis& diagnosis, const std::string& what)
{
    const std::size_t rank = rankOf(diagnosis, what);
    return rank < diagnosis.groups.size() ? &diagnosis.groups[rank] : nullptr;
}

std::string describe(const Diagnosis& diagnosis)
{
    std::string text;
    for (std::size_t i = 0; i < std::min<std::size_t>(8, diagnosis.results.size()); ++i) {
        text += std::to_string(diagnosis.results[i].share) + " " + diagnosis.results[i].cause.what +
                "\n";
    }
    return text;
}

// Capacitor start and run with a potential relay, capacitor start with a current relay: the two
// main circuits. Reciprocating pump, pressures not equalised, so that what is wrong shows.
Case mainCase(const char* circuit)
{
    Case input = stiffCase(standardCircuit(circuit).description, coldStoreMotor());
    input.compressor.load.kind = LoadKind::reciprocating;
    input.compressor.load.torque_Nm = 5;
    return input;
}

EquivalentCircuit motorOfCases()
{
    EquivalentCircuit motor = coldStoreMotor();
    motor.coreLoss_W = 0;  // as stiffCase() has it
    return motor;
}

double rms(Complex value)
{
    return std::abs(value);
}

}  // namespace

// The five other ways of landing C, S and R, from the amps of series and parallel windings at
// standstill and the two cold readings: each named, and none but it in its group.
TEST(Diagnosis, NamesThePinsFromAmpsAtStallAndOhms)
{
    const Case input = mainCase("cscr-potential-relay");
    const EquivalentCircuit motor = motorOfCases();
    const StalledMotor stalled(motor);
    const double line_V = ratedVoltage_V(input);
    const Complex run = impedanceOf(partIn<RunCapacitor>(input, "run"));
    const Complex start = impedanceOf(partIn<StartCapacitor>(input, "start")) + startContact_ohm;
    // Relay at rest: both capacitors stand between the wires of R and S.
    const Complex capacitors = parallel(run, start);
    struct Landing {
        const char* way;
        Complex line_ohm;  // between the wires of R and C
        double runToCommon_ohm;
        double startToCommon_ohm;
    };
    const double m = motor.main_ohm;
    const double a = motor.auxiliary_ohm;
    const Complex main = stalled.main_ohm;
    const Complex auxiliary = stalled.auxiliary_ohm;
    for (const Landing& landing : {
             // C and R: the line on the run winding alone, which makes no torque.
             Landing{"the wires of C and R are exchanged", main, m, m + a},
             // C's on S, S's on R, R's on C: the line on the start winding alone.
             Landing{"C's on S, S's on R, R's on C", auxiliary, a, m + a},
             // C and S: in series, the capacitors across the run winding.
             Landing{"the wires of C and S are exchanged", auxiliary + parallel(main, capacitors),
                     m + a, a},
         }) {
        SCOPED_TRACE(landing.way);
        const Diagnosis diagnosis = diagnosed(
            input, {word(SymptomKind::motor, motorWord::hums),
                    number(SymptomKind::lineAmpsStalled, line_V / rms(landing.line_ohm + feed_ohm)),
                    number(SymptomKind::runCommonOhms, landing.runToCommon_ohm),
                    number(SymptomKind::startCommonOhms, landing.startToCommon_ohm)});
        EXPECT_EQ(rankOf(diagnosis, landing.way), 0U) << describe(diagnosis);
        EXPECT_TRUE(isNamed(diagnosis.results.front(), landing.way)) << describe(diagnosis);
        EXPECT_FALSE(diagnosis.nothingFits);
    }
}

// An open start path leaves the run capacitor alone before the start winding: V/|Za + Xc| in it,
// and as much across it as that makes.
TEST(Diagnosis, FindsTheOpenStartPathAndSaysWhatCannotBeToldApart)
{
    const Case input = mainCase("cscr-potential-relay");
    const StalledMotor stalled(motorOfCases());
    const Complex run = impedanceOf(partIn<RunCapacitor>(input, "run"));
    const double line_V = ratedVoltage_V(input);
    const Complex auxiliary_A = line_V / (stalled.auxiliary_ohm + run);
    const Complex main_A = line_V / stalled.main_ohm;
    const Diagnosis diagnosis = diagnosed(
        input,
        {word(SymptomKind::motor, motorWord::hums),
         number(SymptomKind::lineAmpsStalled, rms(main_A + auxiliary_A)),
         number(SymptomKind::startLeadAmpsStalled, rms(auxiliary_A)),
         number(SymptomKind::startCommonVoltsStalled, rms(auxiliary_A * stalled.auxiliary_ohm))});
    EXPECT_EQ(rankOf(diagnosis, "the start capacitor is open"), 0U) << describe(diagnosis);
    const CauseGroup* const group = groupOf(diagnosis, "the start capacitor is open");
    ASSERT_NE(group, nullptr);
    // From outside a burnt contact and a wire that is off look the same.
    EXPECT_EQ(group, groupOf(diagnosis, "the contact of the potential relay does not make"));
    EXPECT_EQ(group, groupOf(diagnosis, "the wire between start-capacitor.B and relay.1"));
    const auto tells = [group](SymptomKind kind) {
        return std::find(group->toldApartBy.begin(), group->toldApartBy.end(), kind) !=
               group->toldApartBy.end();
    };
    EXPECT_TRUE(tells(SymptomKind::startCapacitorMicrofarads));
    EXPECT_TRUE(tells(SymptomKind::contactOhms));
    // With one of the two read, it is decided.
    const Diagnosis decided =
        diagnosed(input, {word(SymptomKind::motor, motorWord::hums),
                          number(SymptomKind::startLeadAmpsStalled, rms(auxiliary_A)),
                          number(SymptomKind::startCapacitorMicrofarads, 0)});
    EXPECT_TRUE(isNamed(decided.results.front(), "the start capacitor is open"))
        << describe(decided);
    EXPECT_GT(decided.results.front().share, 0.9);
}

// The run winding alone, V/|Zm|, and nothing in the wire of S: the relay that never makes.
TEST(Diagnosis, FindsTheCurrentRelayThatNeverMakes)
{
    const Case input = mainCase("csir-current-relay");
    const StalledMotor stalled(motorOfCases());
    const double line_V = ratedVoltage_V(input);
    const Diagnosis diagnosis =
        diagnosed(input, {word(SymptomKind::motor, motorWord::hums),
                          number(SymptomKind::lineAmpsStalled, line_V / rms(stalled.main_ohm)),
                          number(SymptomKind::startLeadAmpsStalled, 0)});
    EXPECT_EQ(rankOf(diagnosis, "the current relay never makes"), 0U) << describe(diagnosis);
    EXPECT_EQ(groupOf(diagnosis, "the current relay never makes"),
              groupOf(diagnosis, "the start capacitor is open"));
    // The start capacitor and its contact are then what is worth a meter, not another attempt.
    ASSERT_FALSE(diagnosis.next.empty());
    EXPECT_TRUE(diagnosis.next.front().isWires ||
                !symptomInfo(diagnosis.next.front().kind).powered);
    // Nobody has read the insulation in this case.
    EXPECT_FALSE(diagnosis.mayPower);
}

// At the control box the far end of a wire that is off has the line's volts through the start
// capacitor, which carries nothing; behind a relay that never makes it has none.
TEST(Diagnosis, TellsALostStartWireFromARelayThatNeverMakes)
{
    const Case input = mainCase("csir-current-relay");
    const StalledMotor stalled(motorOfCases());
    const double line_V = ratedVoltage_V(input);
    const std::vector<Symptom> seen = {
        word(SymptomKind::motor, motorWord::hums),
        number(SymptomKind::lineAmpsStalled, line_V / rms(stalled.main_ohm)),
        number(SymptomKind::startLeadAmpsStalled, 0)};
    std::vector<Symptom> withVolts = seen;
    withVolts.push_back(number(SymptomKind::startCommonVoltsStalled, line_V));
    const Diagnosis lost = diagnosed(input, withVolts);
    const char* const wire = "the wire between start-capacitor.B and compressor.S";
    EXPECT_EQ(rankOf(lost, wire), 0U) << describe(lost);
    EXPECT_NE(groupOf(lost, wire), groupOf(lost, "the current relay never makes"));
    withVolts.back().value = 0;
    const Diagnosis never = diagnosed(input, withVolts);
    EXPECT_EQ(rankOf(never, "the current relay never makes"), 0U) << describe(never);
    EXPECT_GT(rankOf(never, wire), 0U);
}

// The volts that were read are those of every attempt: a tenth less is no contradiction.
TEST(Diagnosis, CountsWithTheVoltsThatWereRead)
{
    Case input = mainCase("csir-current-relay");
    const StalledMotor stalled(motorOfCases());
    const double line_V = 0.92 * ratedVoltage_V(input);
    const Diagnosis diagnosis =
        diagnosed(input, {word(SymptomKind::motor, motorWord::hums),
                          number(SymptomKind::supplyVoltsIdle, line_V),
                          number(SymptomKind::lineAmpsStalled, line_V / rms(stalled.main_ohm)),
                          number(SymptomKind::startLeadAmpsStalled, 0)});
    EXPECT_FALSE(diagnosis.nothingFits);
    // Soon after switching on, or in the steady state.
    const Range& amps =
        diagnosis.results.front().prediction().values.at(SymptomKind::lineAmpsStalled);
    const double coil_ohm = partIn<CurrentRelay>(input, "current").coil_ohm;
    const double expected_A = line_V / rms(stalled.main_ohm + coil_ohm + feed_ohm);
    EXPECT_NEAR(amps.maximum, expected_A, 0.01 * expected_A);
}

// Everything right, and the shaft does not move: amps and volts of the sound circuit at standstill.
TEST(Diagnosis, FindsThePumpWhereAllElseIsSound)
{
    Case input = mainCase("cscr-potential-relay");
    input.compressor.load.torque_Nm = 2;
    const StalledMotor stalled(motorOfCases());
    const double line_V = ratedVoltage_V(input);
    const Complex capacitors =
        parallel(impedanceOf(partIn<RunCapacitor>(input, "run")),
                 impedanceOf(partIn<StartCapacitor>(input, "start")) + startContact_ohm);
    const Complex auxiliary_A = line_V / (stalled.auxiliary_ohm + capacitors);
    const Complex main_A = line_V / stalled.main_ohm;
    const Diagnosis diagnosis = diagnosed(
        input,
        {word(SymptomKind::motor, motorWord::hums), word(SymptomKind::gauges, gaugesWord::equal),
         number(SymptomKind::lineAmpsStalled, rms(main_A + auxiliary_A)),
         number(SymptomKind::startLeadAmpsStalled, rms(auxiliary_A)),
         number(SymptomKind::startCommonVoltsStalled, rms(auxiliary_A * stalled.auxiliary_ohm))});
    EXPECT_TRUE(isNamed(diagnosis.results.front(), "the pump is seized")) << describe(diagnosis);
}

// Power is not to be put on again where a breaker has opened, or where the insulation is not known.
TEST(Diagnosis, NeverAsksForWhatIsNotSafe)
{
    Case input = mainCase("cscr-potential-relay");
    const auto asksForPower = [](const Diagnosis& diagnosis) {
        return std::any_of(diagnosis.next.begin(), diagnosis.next.end(),
                           [](const NextObservation& each) {
                               return !each.isWires && symptomInfo(each.kind).powered;
                           });
    };
    const Diagnosis breaker = diagnosed(input, {word(SymptomKind::motor, motorWord::breaker)});
    EXPECT_FALSE(breaker.mayPower);
    EXPECT_FALSE(asksForPower(breaker));
    EXPECT_FALSE(breaker.next.empty());
    EXPECT_EQ(rankOf(breaker, "a winding is grounded"), 0U) << describe(breaker);
    // 200 megohms at 500 V: power may be asked for, but not before anything was looked at.
    input.compressor.insulation = InsulationReading{200e6, 500, false};
    EXPECT_TRUE(diagnosed(input, {word(SymptomKind::motor, motorWord::hums)}).mayPower);
    EXPECT_FALSE(diagnosed(input, {}).mayPower);
    // 0.1 megohm: a grounded winding.
    input.compressor.insulation = InsulationReading{1e5, 500, false};
    const Diagnosis grounded = diagnosed(input, {word(SymptomKind::motor, motorWord::hums)});
    EXPECT_FALSE(grounded.mayPower);
    EXPECT_FALSE(asksForPower(grounded));
    for (const Diagnosis* each : {&breaker, &grounded}) {
        for (const NextObservation& next : each->next) {
            EXPECT_NE(next.kind, SymptomKind::secondsToTrip);
        }
    }
}

// What cannot be is said to be so, and two runs of the same say the same.
TEST(Diagnosis, SaysThatNothingFits)
{
    const Case input = mainCase("csir-current-relay");
    const std::vector<Symptom> symptoms = {word(SymptomKind::motor, motorWord::hums),
                                           number(SymptomKind::lineAmpsStalled, 900)};
    const Diagnosis one = diagnosed(input, symptoms);
    EXPECT_TRUE(one.nothingFits);
    EXPECT_FALSE(one.decided);
    const Diagnosis two = diagnosed(input, symptoms);
    ASSERT_EQ(one.results.size(), two.results.size());
    double sum = 0;
    for (std::size_t i = 0; i < one.results.size(); ++i) {
        EXPECT_EQ(one.results[i].cause.what, two.results[i].cause.what);
        EXPECT_EQ(one.results[i].share, two.results[i].share);
        sum += one.results[i].share;
    }
    EXPECT_NEAR(sum, 1, 1e-9);
}

}  // namespace splitstart
