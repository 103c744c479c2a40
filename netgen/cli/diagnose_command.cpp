#include <fmt/format.h>

#include <algorithm>

#include "circuit/case_circuit.h"
#include "cli/command.h"
#include "cli/progress_bar.h"
#include "cli/sampling_options.h"
#include "report/report.h"
#include "study/diagnosis.h"

namespace splitstart
{

namespace po = boost::program_options;

namespace
{

constexpr int mostMachines = 100;
constexpr double mostMeter_percent = 20;

std::vector<Symptom> symptomsFrom(const po::variables_map& values)
{
    std::vector<Symptom> symptoms;
    if (values.count("symptom") == 0) {
        return symptoms;
    }
    for (const std::string& text : values["symptom"].as<std::vector<std::string>>()) {
        try {
            symptoms.push_back(parseSymptom(text));
        } catch (const std::invalid_argument& error) {
            throw UsageError(error.what());
        }
        const SymptomKind kind = symptoms.back().kind;
        if (std::count_if(symptoms.begin(), symptoms.end(),
                          [kind](const Symptom& each) { return each.kind == kind; }) > 1) {
            throw UsageError(
                fmt::format("--symptom: {} is given twice; each once", symptomInfo(kind).name));
        }
    }
    return symptoms;
}

DiagnosisOptions optionsFrom(const po::variables_map& values)
{
    DiagnosisOptions options;
    options.symptoms = symptomsFrom(values);
    const double meter_percent = values["meter-percent"].as<double>();
    if (!(meter_percent >= 0 && meter_percent <= mostMeter_percent)) {
        throw UsageError(fmt::format("--meter-percent: found {:g}; allowed: 0 to {:g}",
                                     meter_percent, mostMeter_percent));
    }
    options.meter_ratio = meter_percent / 100;
    const int machines = values["machines"].as<int>();
    if (machines < 0 || machines > mostMachines) {
        throw UsageError(
            fmt::format("--machines: found {}; allowed: 0 to {}", machines, mostMachines));
    }
    options.machines = static_cast<std::size_t>(machines);
    options.share_ratio = shareFrom(values);
    options.seed = seedFrom(values);
    return options;
}

}  // namespace

CommandLine diagnoseLine()
{
    CommandLine line(
        "splitstart diagnose CASE.xml --symptom NAME=VALUE ... [options]",
        "Simulates every single mistake of wiring and every fault of a part, and weighs each by "
        "how well it fits what was observed. Says which cannot be told apart from outside, and "
        "what to look at next.\nSymptoms:\n" +
            symptomsHelp() +
            "Exit status: 0 one group of causes stands out, 1 more than one is left or none fits, "
            "2 bad input, 3 the simulator could not finish.",
        "splitstart diagnose examples/cheese-store.xml --symptom motor=hums --symptom "
        "line-amps-stalled=75 --symptom start-common-volts-stalled=17");
    line.options.add_options()(
        "symptom", po::value<std::vector<std::string>>()->composing()->value_name("NAME=VALUE"),
        "what was seen, heard or measured, once for each")(
        "meter-percent", po::value<double>()->default_value(0, "0")->value_name("PERCENT"),
        "error of your meters; 0: as usual for each kind")(
        "machines", po::value<int>()->default_value(8)->value_name("N"),
        "possible machines that the likely causes are tried on")("all", po::bool_switch(),
                                                                 "show every cause");
    addShareOptions(line, "share of one group of causes from which on it is called the answer");
    return line;
}

int diagnoseCommand(const po::variables_map& values)
{
    const bool json = wantsJson(values);
    const unsigned workers = workersFrom(values);
    const DiagnosisOptions options = optionsFrom(values);
    const Case input = caseFrom(values);
    if (deliveredAsCondemned(values, input)) {
        return failsOrUndecided;
    }
    const Circuit circuit = caseCircuit(input);
    for (const Symptom& symptom : options.symptoms) {
        if (const std::string why = whyNotSeen(symptom.kind, input, circuit); !why.empty()) {
            throw UsageError(fmt::format("--symptom: {}: {}", symptomInfo(symptom.kind).name, why));
        }
    }
    SimulatorPool pool(workers);
    Diagnosis diagnosis;
    {
        ProgressBar bar("simulating causes");
        diagnosis = diagnose(input, pool, options,
                             [&bar](std::size_t done, std::size_t all) { bar.show(done, all); });
    }
    deliver(values, json ? diagnosisJson(input, diagnosis, options.symptoms)
                         : diagnosisText(input, diagnosis, options.symptoms,
                                         {colourWanted(), values["all"].as<bool>(), pageWidth()}));
    return diagnosis.decided ? allPass : failsOrUndecided;
}

}  // namespace splitstart
