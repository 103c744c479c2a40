#include <fmt/format.h>

#include <array>
#include <map>
#include <pugixml.hpp>
#include <sstream>

#include "case/input_error.h"
#include "case/reader.h"
#include "cli/command.h"
#include "cli/sampling_options.h"
#include "report/report.h"
#include "study/case_study.h"

namespace splitstart
{

namespace
{

namespace po = boost::program_options;

// "AB=2.71" or "A1-B1=2.71" as a <reading>.
void addReading(pugi::xml_node& readings, const std::string& text)
{
    const std::size_t equals = text.rfind('=');
    std::string labels = text.substr(0, equals);
    const std::size_t dash = labels.find('-');
    if (dash != std::string::npos) {
        labels[dash] = ' ';
    } else if (labels.size() == 2) {
        labels.insert(1, " ");
    } else {
        labels.clear();
    }
    if (equals == std::string::npos || labels.empty()) {
        throw UsageError(fmt::format(
            "--ohms: found \"{}\"; allowed: two pin labels and ohms, such as AB=2.71, A1-B1=2.71, "
            "AB=open or A-shell=open",
            text));
    }
    pugi::xml_node reading = readings.append_child("reading");
    reading.append_attribute("between") = labels.c_str();
    reading.append_attribute("ohms") = text.substr(equals + 1).c_str();
}

// "C=A,S=B,R=C" as <pins>. Labels that hold a comma need a case file.
void addPins(pugi::xml_node& compressor, const std::string& text)
{
    static const std::map<std::string, const char*> attributes{
        {"C", "common"}, {"S", "start"}, {"R", "run"}};
    pugi::xml_node pins = compressor.append_child("pins");
    std::istringstream stream(text);
    std::size_t named = 0;
    bool understood = !text.empty() && text.back() != ',';
    for (std::string part; understood && std::getline(stream, part, ',');) {
        const std::size_t equals = part.find('=');
        const auto role = attributes.find(part.substr(0, equals));
        understood = equals != std::string::npos && role != attributes.end() &&
                     pins.attribute(role->second).empty();
        if (understood) {
            pins.append_attribute(role->second) = part.substr(equals + 1).c_str();
            ++named;
        }
    }
    if (!understood || named != attributes.size()) {
        throw UsageError(fmt::format(
            "--pins: found \"{}\"; allowed: C, S and R, each once with the label of its "
            "pin, such as C=A,S=B,R=C",
            text));
    }
}

// The options as a case, checked by the same reader as a file.
Case caseFromOptions(const po::variables_map& values)
{
    pugi::xml_document document;
    pugi::xml_node root = document.append_child("case");
    root.append_attribute("name") = "readings on the command line";
    pugi::xml_node compressor = root.append_child("compressor");
    pugi::xml_node readings = compressor.append_child("readings");
    const auto copy = [&values](pugi::xml_node& node, const char* option, const char* attribute) {
        if (values.count(option) != 0) {
            node.append_attribute(attribute) = values[option].as<std::string>().c_str();
        }
    };
    copy(readings, "winding-temperature-c", "winding-temperature-c");
    copy(readings, "lead-ohms", "lead-ohms");
    copy(readings, "accuracy-percent", "accuracy-percent");
    copy(readings, "resolution-ohms", "resolution-ohms");
    for (const std::string& text : values["ohms"].as<std::vector<std::string>>()) {
        addReading(readings, text);
    }
    if (values.count("pins") != 0) {
        addPins(compressor, values["pins"].as<std::string>());
    }
    if (values.count("insulation-megohms") != 0) {
        pugi::xml_node insulation = compressor.append_child("insulation");
        copy(insulation, "insulation-megohms", "megohms");
        copy(insulation, "test-volts", "test-volts");
    }
    std::ostringstream text;
    document.save(text);
    try {
        return readCaseText(text.str(), "command line", ".");
    } catch (const InputError& error) {
        // Line numbers of a text that nobody typed would only confuse.
        std::vector<InputProblem> problems = error.problems();
        for (InputProblem& problem : problems) {
            problem.place.line = 0;
            if (problem.hint.find(" in line ") != std::string::npos) {
                problem.hint.clear();
            }
        }
        throw InputError(problems);
    }
}

bool allSound(const MotorStudy& study)
{
    for (const HealthFinding& finding : study.health.findings) {
        if (finding.verdict != HealthVerdict::pass) {
            return false;
        }
    }
    return true;
}

// What to measure next, by a check of the whole case.
int whatNext(const po::variables_map& values, const Case& input, bool json)
{
    const CheckOptions sampling = checkOptionsFrom(values);
    SimulatorPool pool(workersFrom(values));
    const auto [study, next] = sampledCheck(input, sampling, pool);
    deliver(values, json ? whatNextJson(input, study, next)
                         : whatNextText(input, study, next, {colourWanted(), true, pageWidth()}));
    return exitStatusOf(study);
}

}  // namespace

CommandLine identifyLine()
{
    CommandLine line(
        "splitstart identify CASE.xml | --ohms AB=OHMS --ohms BC=OHMS --ohms AC=OHMS [options]",
        "Says which pin is common (C), start (S) and run (R), whether the windings are sound, how "
        "sure that is, and what to do next. All leads must be off the pins and the supply locked "
        "out.\nExit status: 0 sound and certain, 1 something fails or is undecided, 2 bad input.",
        "splitstart identify --ohms AB=2.71 --ohms BC=3.42 --ohms AC=0.93 --lead-ohms 0.1");
    line.options.add_options()(
        "ohms", po::value<std::vector<std::string>>()->multitoken()->value_name("PAIR=OHMS"),
        "a reading, three times; `open` for no connection; to the bare "
        "metal: A-shell=open")("pins", po::value<std::string>()->value_name("C=A,S=B,R=C"),
                               "which pin is which, as the diagram on the nameplate or inside the "
                               "terminal cover says; the readings then check it")(
        "winding-temperature-c", po::value<std::string>()->value_name("C"),
        "temperature of the windings (25)")(
        "lead-ohms", po::value<std::string>()->value_name("OHMS"), "meter leads, shorted together")(
        "accuracy-percent", po::value<std::string>()->value_name("PERCENT"), "of the meter (1)")(
        "resolution-ohms", po::value<std::string>()->value_name("OHMS"),
        "last digit of the meter (0.01)")(
        "insulation-megohms", po::value<std::string>()->value_name("MEGOHMS"), "windings to shell")(
        "test-volts", po::value<std::string>()->value_name("VOLTS"), "of the insulation tester")(
        "what-next", po::bool_switch(),
        "simulate the case and say which measurement would settle most of what its check leaves "
        "undecided");
    addSamplingOptions(line);
    return line;
}

int identifyCommand(const po::variables_map& values)
{
    const bool json = wantsJson(values);
    const bool fromOptions = values.count("ohms") != 0;
    const bool asksWhatNext = values["what-next"].as<bool>();
    if (fromOptions && asksWhatNext) {
        throw UsageError("--what-next needs a case file with a circuit, not --ohms");
    }
    if (fromOptions && values.count("case") != 0) {
        throw UsageError("give either a case file or --ohms, not both");
    }
    // What a case file has in an element of its own must not be passed over beside the file.
    static constexpr std::array<std::pair<const char*, const char*>, 7> elements = {
        {{"pins", "pins"},
         {"winding-temperature-c", "readings"},
         {"lead-ohms", "readings"},
         {"accuracy-percent", "readings"},
         {"resolution-ohms", "readings"},
         {"insulation-megohms", "insulation"},
         {"test-volts", "insulation"}}};
    for (const auto& [option, element] : elements) {
        if (!fromOptions && values.count(option) != 0) {
            throw UsageError(fmt::format(
                "--{} goes with --ohms; in a case file, write <{}> instead", option, element));
        }
    }
    if (values.count("test-volts") != 0 && values.count("insulation-megohms") == 0) {
        throw UsageError("--test-volts goes with --insulation-megohms");
    }
    if (!fromOptions && values.count("case") == 0) {
        throw UsageError("give a case file, or three readings with --ohms");
    }
    for (const char* option : {"samples", "sure-percent", "seed", "workers"}) {
        if (!asksWhatNext && !values[option].defaulted()) {
            throw UsageError(fmt::format("--{} goes with --what-next", option));
        }
    }
    const Case input = fromOptions ? caseFromOptions(values) : caseRead(values);
    const MotorStudy study = windingStudy(input);
    const bool windingsKnown =
        input.compressor.equivalentCircuit ||
        (study.identification && study.identification->pattern == ReadingPattern::complete);
    // Windings that condemn themselves, or are not read: what to do next is the whole answer.
    if (asksWhatNext && windingsKnown && input.circuit) {
        return whatNext(values, completeCase(input), json);
    }
    deliver(values, json ? identifyJson(input.name, input.invented, study)
                         : identifyText(input.name, input.invented, study,
                                        {colourWanted(), true, pageWidth()}));
    return allSound(study) ? allPass : failsOrUndecided;
}

}  // namespace splitstart
