// How often `diagnose` names what is wrong, on faults drawn as often as it takes them to be. Not a
// test; see README.md of this folder.
#include <fmt/format.h>

#include <boost/program_options.hpp>
#include <cmath>
#include <iostream>
#include <random>

#include "case/reader.h"
#include "circuit/case_circuit.h"
#include "spice/simulation.h"
#include "study/case_study.h"
#include "study/cause_weights.h"
#include "study/corners.h"
#include "study/diagnosis.h"
#include "study/possible_machines.h"

using namespace splitstart;

namespace
{

// Two of these, at random, with the word for what the motor does; what cannot be read is left out.
constexpr std::array asked = {SymptomKind::startDevice,
                              SymptomKind::lineAmpsStalled,
                              SymptomKind::startLeadAmpsStalled,
                              SymptomKind::startCommonVoltsStalled,
                              SymptomKind::supplyVoltsStalled,
                              SymptomKind::lineAmpsRunning,
                              SymptomKind::startLeadAmpsRunning,
                              SymptomKind::startCommonVoltsRunning,
                              SymptomKind::gauges,
                              SymptomKind::runCommonOhms,
                              SymptomKind::startCommonOhms,
                              SymptomKind::contactOhms,
                              SymptomKind::startCapacitorMicrofarads};

// As a meter of 3 % (95 %) would show it.
std::optional<Symptom> read(SymptomKind kind, const Prediction& truth, std::mt19937& random)
{
    Symptom symptom;
    symptom.kind = kind;
    if (!symptomInfo(kind).words.empty()) {
        const auto word = truth.words.find(kind);
        if (word == truth.words.end()) {
            return std::nullopt;
        }
        symptom.word = word->second;
        return symptom;
    }
    const auto range = truth.values.find(kind);
    if (range == truth.values.end()) {
        return std::nullopt;
    }
    const bool upper = std::uniform_int_distribution<int>(0, 1)(random) == 1;
    const double value = upper ? range->second.maximum : range->second.minimum;
    symptom.value = value * (1 + std::normal_distribution<double>(0, 0.015)(random));
    return symptom;
}

}  // namespace

int main(int argc, char** argv)
{
    namespace po = boost::program_options;
    po::options_description options("bench_diagnosis CASE.xml");
    options.add_options()("case", po::value<std::string>()->required())(
        "faults", po::value<int>()->default_value(200), "how many are drawn")(
        "readings", po::value<std::size_t>()->default_value(2), "beside what the motor does")(
        "seed", po::value<unsigned>()->default_value(1));
    po::positional_options_description positional;
    positional.add("case", 1);
    po::variables_map values;
    po::store(po::command_line_parser(argc, argv).options(options).positional(positional).run(),
              values);
    po::notify(values);
    const Case input = completeCase(readCaseFile(values["case"].as<std::string>()));
    const Circuit circuit = caseCircuit(input);
    SimulatorPool pool;
    Diagnosis all = diagnose(input, pool, {});
    const Case best = withSource(input, all.motor);
    const Predictor predictor(best, circuit);
    PossibleMachines source(best, all.motor.motor, all.motor.posterior, 77);
    std::mt19937 random(values["seed"].as<unsigned>());
    // Before any observation the shares are the weights.
    std::vector<Cause> causes;
    std::vector<double> weights;
    for (const CauseResult& result : all.results) {
        causes.push_back(result.cause);
        weights.push_back(result.cause.weight);
    }
    std::discrete_distribution<std::size_t> any(weights.begin(), weights.end());
    int first = 0;
    int firstThree = 0;
    int called = 0;
    int calledRight = 0;
    int judged = 0;
    double share = 0;
    for (int i = 0; i < values["faults"].as<int>(); ++i) {
        const Cause& cause = causes[any(random)];
        const PossibleMachine machine = source.draw(1).front();
        MachineSetup setup;
        setup.input = machine.input;
        setup.circuit = circuit;
        setup.motor = machine.motor.circuit;
        setup.ratedTorque_Nm = machine.motor.ratedTorque_Nm;
        setup.corner = {best.supply.voltage_V / ratedVoltage_V(best), coldWinding_degC,
                        Release::middle, best.compressor.load.pressures};
        cause.put(setup);
        setup.corner.line_ratio *= setup.lowSupply ? 0.8 : 1;
        Prediction truth = predictor.withoutPower(setup);
        if (const auto job = predictor.job(setup, truth)) {
            const auto outcome = runStarts(best, {&*job, 1}, pool, {3e-4, 0.15, 0, 4, 10});
            const auto* measured = std::get_if<StartMeasurement>(&outcome.front());
            if (measured == nullptr) {
                continue;
            }
            predictor.addStart(truth, setup, *measured);
        }
        DiagnosisOptions seen;
        seen.symptoms.push_back(*read(SymptomKind::motor, truth, random));
        std::vector<SymptomKind> kinds(asked.begin(), asked.end());
        std::shuffle(kinds.begin(), kinds.end(), random);
        for (const SymptomKind kind : kinds) {
            const auto symptom = read(kind, truth, random);
            if (symptom && seen.symptoms.size() <= values["readings"].as<std::size_t>()) {
                seen.symptoms.push_back(*symptom);
            }
        }
        weighCauses(all, seen);
        groupCauses(all, seen);
        ++judged;
        for (std::size_t g = 0; g < all.groups.size(); ++g) {
            for (const std::size_t c : all.groups[g].causes) {
                if (all.results[c].cause.what == cause.what) {
                    first += g == 0 ? 1 : 0;
                    firstThree += g < 3 ? 1 : 0;
                    calledRight += g == 0 && all.groups[0].share >= 0.95 ? 1 : 0;
                }
            }
        }
        called += all.groups[0].share >= 0.95 ? 1 : 0;
        share += all.groups[0].share;
    }
    const auto percent = [](double part, double whole) { return 100 * part / whole; };
    std::cout << fmt::format(
        "{} faults, {} readings beside what the motor does\n"
        "in the first group      {:.1f} % (its mean share says {:.1f} %)\n"
        "in the first three      {:.1f} %\n"
        "called at 95 %          {:.1f} % of all, {:.1f} % of them right\n",
        judged, values["readings"].as<std::size_t>(), percent(first, judged),
        percent(share, judged), percent(firstThree, judged), percent(called, judged),
        percent(calledRight, std::max(called, 1)));
    return 0;
}
