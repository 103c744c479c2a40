// What can be wrong, and what of it needs no simulation.
#include "study/cause.h"

#include <gtest/gtest.h>

#include <cmath>
#include <complex>
#include <set>

#include "circuit/case_circuit.h"
#include "study/likelihood.h"
#include "study/prediction.h"
#include "unit/circuit/service_case.h"

namespace splitstart
{

namespace
{

MachineSetup soundSetup(const Case& input)
{
    MachineSetup setup;
    setup.input = input;
    setup.circuit = caseCircuit(input);
    setup.motor = coldStoreMotor();
    setup.ratedTorque_Nm = 3;
    return setup;
}

Prediction coldPrediction(const Case& input, const Cause& cause)
{
    const Circuit circuit = caseCircuit(input);
    MachineSetup setup = soundSetup(input);
    cause.put(setup);
    return Predictor(input, circuit).withoutPower(setup);
}

const Cause& causeNamed(const std::vector<Cause>& causes, std::string_view what)
{
    for (const Cause& cause : causes) {
        if (cause.what.find(what) != std::string::npos) {
            return cause;
        }
    }
    throw std::out_of_range(std::string(what));
}

Case caseWithProtector(const Circuit& circuit)
{
    Service service;
    service.fan = "fan";
    service.protector = "outside";
    return caseFor(circuit, service);
}

}  // namespace

TEST(Causes, ShareOneWholeInEveryCircuit)
{
    for (const Circuit& circuit : standardCircuits()) {
        const Case input = caseWithProtector(circuit);
        double sum = 0;
        std::set<std::string> names;
        for (const Cause& cause : possibleCauses(input, caseCircuit(input))) {
            EXPECT_GT(cause.weight, 0) << cause.what;
            EXPECT_TRUE(names.insert(cause.what).second) << cause.what;
            EXPECT_FALSE(cause.cure.empty());
            sum += cause.weight;
        }
        EXPECT_NEAR(sum, 1, 1e-9) << circuit.description;
    }
}

TEST(Causes, AreFaultsOfEveryPartInTheCircuit)
{
    for (const Circuit& circuit : standardCircuits()) {
        const Case input = caseWithProtector(circuit);
        std::set<CauseKind> kinds;
        for (const Cause& cause : partFaults(input, caseCircuit(input))) {
            kinds.insert(cause.kind);
        }
        for (const CauseKind kind : {CauseKind::supply, CauseKind::load, CauseKind::motor,
                                     CauseKind::protector, CauseKind::feed, CauseKind::fan}) {
            EXPECT_EQ(kinds.count(kind), 1U) << circuit.description;
        }
        EXPECT_EQ(kinds.count(CauseKind::startDevice), startDeviceOf(circuit) ? 1U : 0U);
        EXPECT_EQ(kinds.count(CauseKind::startCapacitor),
                  circuit.find(PartKind::startCapacitor) != nullptr ? 1U : 0U);
        EXPECT_EQ(kinds.count(CauseKind::runCapacitor),
                  circuit.find(PartKind::runCapacitor) != nullptr ? 1U : 0U);
    }
}

TEST(Causes, AreOfSlipsOnlyLooseWiresWhereTheWiresAreListedAsFound)
{
    Case input = caseWithProtector(standardCircuits()[0]);
    input.asFound = FoundWiring();
    for (const Cause& cause : possibleCauses(input, caseCircuit(input))) {
        EXPECT_TRUE(cause.kind != CauseKind::wiring ||
                    cause.what.find("missing, loose or broken") != std::string::npos)
            << cause.what;
    }
}

// Two windings meet at C: from S to R they are in series. The mistaken circuits come from the list
// of slips, their ohms by Kirchhoff's laws from all that is wired.
TEST(Causes, ReadAtTheWiresEndsWhatTheWindingsInSeriesMake)
{
    const Case input = caseFor(standardCircuit("cscr-potential-relay"));
    const double run_ohm = coldStoreMotor().main_ohm;
    const double start_ohm = coldStoreMotor().auxiliary_ohm;
    const std::vector<Cause> causes = possibleCauses(input, caseCircuit(input));
    struct Landing {
        const char* way;
        double runToCommon_ohm;
        double startToCommon_ohm;
    };
    for (const Landing& landing : {
             Landing{"all is wired as it should be", run_ohm, start_ohm},
             Landing{"the wires of S and R are exchanged", start_ohm, run_ohm},
             Landing{"the wires of C and R are exchanged", run_ohm, run_ohm + start_ohm},
             Landing{"the wires of C and S are exchanged", run_ohm + start_ohm, start_ohm},
             Landing{"C's on S, S's on R, R's on C", start_ohm, run_ohm + start_ohm},
             Landing{"C's on R, R's on S, S's on C", run_ohm + start_ohm, run_ohm},
         }) {
        const Prediction prediction = coldPrediction(input, causeNamed(causes, landing.way));
        SCOPED_TRACE(landing.way);
        // The relay's coil, some kilohms, lies across a winding.
        EXPECT_NEAR(prediction.values.at(SymptomKind::runCommonOhms).middle(),
                    landing.runToCommon_ohm, 0.002 * landing.runToCommon_ohm);
        EXPECT_NEAR(prediction.values.at(SymptomKind::startCommonOhms).middle(),
                    landing.startToCommon_ohm, 0.002 * landing.startToCommon_ohm);
    }
}

TEST(Causes, ShowOnTheBenchWhatTheFaultIs)
{
    const Case input = caseFor(standardCircuit("cscr-potential-relay"));
    const std::vector<Cause> causes = possibleCauses(input, caseCircuit(input));
    const auto value = [&](const char* what, SymptomKind kind) {
        return coldPrediction(input, causeNamed(causes, what)).values.at(kind);
    };
    using Kind = SymptomKind;
    const char* const sound = "all is wired as it should be";
    const double printed_F =
        std::get<StartCapacitor>(input.parts.find("start")->data).capacitance_F.maximum;
    EXPECT_EQ(value(sound, Kind::startCapacitorMicrofarads).maximum, printed_F);
    EXPECT_EQ(value("the start capacitor is open", Kind::startCapacitorMicrofarads).maximum, 0);
    EXPECT_LT(value("the start capacitor is weak", Kind::startCapacitorMicrofarads).maximum,
              0.6 * printed_F);
    EXPECT_LT(value(sound, Kind::contactOhms).maximum, 1);
    EXPECT_TRUE(std::isinf(value("does not make (burnt)", Kind::contactOhms).minimum));
    EXPECT_TRUE(std::isinf(value("coil of the potential relay is open", Kind::coilOhms).minimum));
    EXPECT_TRUE(std::isinf(value("the run winding is open", Kind::runCommonOhms).minimum));
    EXPECT_EQ(value("there are no volts", Kind::supplyVoltsIdle).maximum, 0);
    EXPECT_LE(value("the supply is low", Kind::supplyVoltsIdle).maximum,
              value(sound, Kind::supplyVoltsIdle).minimum);
}

// What it says of itself: a quarter of the volts is lost while the motor tries to start. The
// textbook's locked run winding with its magnetizing branch (Fitzgerald, Kingsley, Umans, "Electric
// Machinery") behind the resistance, as a divider of voltage; the branch may count for some per
// cent.
TEST(Causes, OfAWeakFeedLoseAQuarterOfTheVoltsAtAStall)
{
    using Complex = std::complex<double>;
    const Case input = caseFor(standardCircuit("cscr-potential-relay"));
    const std::vector<Cause> causes = possibleCauses(input, caseCircuit(input));
    MachineSetup setup = soundSetup(input);
    causeNamed(causes, "the feed is weak").put(setup);
    const EquivalentCircuit& motor = setup.motor;
    const Complex rotor(motor.rotorMain_ohm, motor.rotorMainLeakage_ohm);
    const Complex magnetizing(0, motor.mainMagnetizing_ohm);
    const Complex stalled = Complex(motor.main_ohm, motor.mainLeakage_ohm) +
                            magnetizing * rotor / (magnetizing + rotor);
    const double feed_ohm = setup.input.supply.source_ohm - input.supply.source_ohm;
    EXPECT_NEAR(std::abs(stalled) / std::abs(stalled + feed_ohm), 0.75, 0.02);
}

TEST(Causes, ThatAreShortsOrDeadAreNotSimulated)
{
    const Case input = caseFor(standardCircuit("cscr-potential-relay"));
    const Circuit circuit = caseCircuit(input);
    const Predictor predictor(input, circuit);
    const std::vector<Cause> causes = possibleCauses(input, circuit);
    const auto motorWordOf = [&](const char* what) {
        MachineSetup setup = soundSetup(input);
        causeNamed(causes, what).put(setup);
        const Prediction prediction = predictor.withoutPower(setup);
        EXPECT_FALSE(predictor.job(setup, prediction).has_value()) << what;
        EXPECT_FALSE(prediction.notSimulated.empty()) << what;
        return prediction.words.at(SymptomKind::motor);
    };
    EXPECT_EQ(motorWordOf("supply.L1 and supply.L2 touch"), motorWord::breaker);
    EXPECT_EQ(motorWordOf("a winding is grounded"), motorWord::breaker);
    EXPECT_EQ(motorWordOf("the thermostat does not make"), motorWord::silent);
    EXPECT_EQ(motorWordOf("there are no volts"), motorWord::silent);
    MachineSetup sound = soundSetup(input);
    EXPECT_TRUE(predictor.job(sound, predictor.withoutPower(sound)).has_value());
}

// A chance of each word, given what is so: together one.
TEST(Likelihood, OfWordsSumsToOne)
{
    for (const SymptomInfo& info : symptomKinds()) {
        for (const std::string_view so : info.words) {
            Prediction prediction;
            prediction.words[info.kind] = so;
            double sum = 0;
            double best = 0;
            std::string_view likeliest;
            for (const std::string_view seen : info.words) {
                const double chance = likelihood({info.kind, std::string(seen), 0}, prediction);
                EXPECT_GT(chance, 0);
                sum += chance;
                likeliest = chance > best ? seen : likeliest;
                best = std::max(best, chance);
            }
            EXPECT_NEAR(sum, 1, 0.01) << info.name << " " << so;
            EXPECT_EQ(likeliest, so);
        }
    }
}

TEST(Likelihood, OfANumberFallsWithItsDistanceFromWhatWasExpected)
{
    Prediction prediction;
    prediction.values[SymptomKind::lineAmpsStalled] = {60, 66};
    const auto of = [&](double amps) {
        return likelihood({SymptomKind::lineAmpsStalled, "", amps}, prediction);
    };
    EXPECT_EQ(of(60), of(66));
    EXPECT_EQ(of(63), 1);
    double before = of(66);
    for (double amps = 68; amps < 80; amps += 2) {
        EXPECT_LT(of(amps), before) << amps;
        before = of(amps);
    }
    // A reading can always be wrong, so that one alone rules nothing out.
    EXPECT_GT(of(500), 0);
    EXPECT_LT(of(500), 0.02);
    prediction.values[SymptomKind::contactOhms] = {HUGE_VAL, HUGE_VAL};
    EXPECT_EQ(likelihood({SymptomKind::contactOhms, "", HUGE_VAL}, prediction), 1);
    EXPECT_LT(likelihood({SymptomKind::contactOhms, "", 0.1}, prediction), 0.02);
}

// What a meter is good for holds 95 of 100 readings, 1.96 deviations of the normal law either way;
// there the law has exp(-1.96^2 / 2) = 0.146 of its peak (any table of it). A meter of 50 %, so
// coarse that nothing else counts, shows 18 kilohm where 9 were expected: half of what it shows.
TEST(Likelihood, OfANumberAsFarOffAsItsMeterGoesIsThatOfTheNormalLaw)
{
    Prediction prediction;
    prediction.values[SymptomKind::coilOhms] = {9000, 9000};
    EXPECT_NEAR(likelihood({SymptomKind::coilOhms, "", 18000}, prediction, 0.5), 0.146, 0.02);
}

TEST(ToldApart, IsWhatAMeterShowsAndTheSameEitherWay)
{
    Prediction a;
    a.values[SymptomKind::lineAmpsStalled] = {60, 60};
    Prediction b;
    b.values[SymptomKind::lineAmpsStalled] = {62, 62};
    EXPECT_FALSE(toldApart(a, a));
    EXPECT_FALSE(toldApart(a, b));
    EXPECT_FALSE(toldApart(b, a));
    b.values[SymptomKind::lineAmpsStalled] = {90, 90};
    EXPECT_TRUE(toldApart(a, b));
    EXPECT_TRUE(toldApart(b, a));
    // With the supply off is another matter.
    Prediction c = a;
    a.values[SymptomKind::runCommonOhms] = {1, 1};
    c.values[SymptomKind::runCommonOhms] = {9, 9};
    EXPECT_FALSE(toldApart(a, c));
    EXPECT_TRUE(toldApartBy(SymptomKind::runCommonOhms, a, c));
}

}  // namespace splitstart
