#include <fmt/format.h>

#include <algorithm>

#include "circuit/case_circuit.h"
#include "cli/command.h"
#include "cli/number_option.h"
#include "cli/progress_bar.h"
#include "cli/sampling_options.h"
#include "report/report.h"
#include "study/diagnosis.h"

namespace splitstart
{

namespace po = boost::program_options;

namespace
{

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
    options.meter_ratio = values["meter-percent"].as<double>() / 100;
    options.machines = static_cast<std::size_t>(values["machines"].as<int>());
    options.share_ratio = shareFrom(values);
    options.seed = seedFrom(values);
    return options;
}

}  // namespace

CommandLine diagnoseLine()
{
    std::string symptoms = symptomsHelp();
    symptoms.pop_back();  // its last line end
    CommandLine line(
        "splitstart diagnose CASE.xml --symptom NAME=VALUE ... [options]",
        "Simulates every single mistake of wiring and every fault of a part, and weighs each by "
        "how well it fits what was observed. Says which cannot be told apart from outside, and "
        "what to look at next.\nSymptoms:\n" +
            symptoms,
        "splitstart diagnose examples/cheese-store.xml --symptom motor=hums --symptom "
        "line-amps-stalled=75 --symptom start-common-volts-stalled=17");
    line.statuses = {{allPass, "one group of causes stands out"},
                     {failsOrUndecided, "more than one is left, or none fits"},
                     {badInput},
                     {simulatorFailed}};
    line.options.add_options()(
        "symptom", po::value<std::vector<std::string>>()->composing()->value_name("NAME=VALUE"),
        "what was seen, heard or measured, once for each")("all", po::bool_switch(),
                                                           "show every cause");
    addNumber<double>(line, {"meter-percent",
                             "PERCENT",
                             {0, 20},
                             0,
                             "error of your meters; 0: as usual for each kind"});
    addNumber<int>(
        line,
        {"machines", "N", {0, 100}, 8, "possible machines that the likely causes are tried on"});
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
