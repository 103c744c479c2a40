#include <fmt/format.h>

#include <array>
#include <map>
#include <pugixml.hpp>
#include <sstream>

#include "case/field_change.h"
#include "case/input_error.h"
#include "case/reader.h"
#include "case/reading_rules.h"
#include "case/text.h"
#include "cli/command.h"
#include "cli/number_option.h"
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
    if (equals == std::string::npos || !splitPins(labels)) {
        throw UsageError(fmt::format(
            "--ohms: found \"{}\"; allowed: two pin labels and ohms, such as AB=2.71, A1-B1=2.71, "
            "AB=open or A-shell=open",
            shortText(text)));
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
            shortText(text)));
    }
}

// The problem as one of what was typed: the option in place of a line and a field of a text that
// nobody wrote. `ohmsOfLine`: which --ohms each line of that text came from.
InputProblem asTyped(InputProblem problem, const po::variables_map& values,
                     const std::map<int, std::string>& ohmsOfLine)
{
    const auto begins = [&problem](std::string_view element) {
        return problem.field.starts_with(element);
    };
    const std::string attribute = problem.field.substr(problem.field.find('/') + 1);
    const auto reading = ohmsOfLine.find(problem.place.line);
    if (begins("reading/") && reading != ohmsOfLine.end()) {
        problem.place.file = "--ohms " + reading->second;
        if (attribute == "between") {
            problem.found = reading->second.substr(0, reading->second.rfind('='));
        }
        problem.field.clear();
    } else if (begins("pins/")) {
        problem.place.file = "--pins " + values["pins"].as<std::string>();
        problem.field = attribute == "common" ? "C" : attribute == "start" ? "S" : "R";
    } else if (begins("readings/") || begins("insulation/")) {
        problem.place.file =
            attribute == "megohms" ? "--insulation-megohms" : fmt::format("--{}", attribute);
        problem.field.clear();
    } else if (begins("readings")) {
        problem.place.file = "--ohms";
        problem.field.clear();
    }
    problem.place.line = 0;
    if (problem.hint.find(" in line ") != std::string::npos) {
        problem.hint.clear();
    }
    return problem;
}

// Which value of --ohms stands in which line of the document, where each element has its own.
std::map<int, std::string> ohmsOfLines(const std::string& document,
                                       const std::vector<std::string>& ohms)
{
    std::map<int, std::string> result;
    std::istringstream lines(document);
    int number = 0;
    for (std::string line; std::getline(lines, line) && result.size() < ohms.size();) {
        ++number;
        if (line.find("<reading ") != std::string::npos) {
            const std::size_t index = result.size();
            result[number] = ohms[index];
        }
    }
    return result;
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
        const std::map<int, std::string> ohmsOfLine =
            ohmsOfLines(text.str(), values["ohms"].as<std::vector<std::string>>());
        std::vector<InputProblem> problems = error.problems();
        for (InputProblem& problem : problems) {
            problem = asTyped(std::move(problem), values, ohmsOfLine);
        }
        throw InputError(std::move(problems));
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

// "temperature of the windings in degC (-40 to 180, default 25)", of an option that stands for that
// field of a case file.
std::string fieldHelp(std::string_view meaning, std::string_view field, std::string_view more)
{
    return fmt::format("{} ({}{})", meaning, rangeText(rangeOfField(field)), more);
}

// The same with the default of the field.
std::string fieldHelp(std::string_view meaning, std::string_view field)
{
    return fieldHelp(meaning, field,
                     fmt::format(", default {}", fieldNamed(field).spec->defaultText));
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
        "out.",
        "splitstart identify --ohms AB=2.71 --ohms BC=3.42 --ohms AC=0.93 --lead-ohms 0.1");
    line.statuses = {{allPass, "sound and certain"},
                     {failsOrUndecided},
                     {badInput},
                     {simulatorFailed, "with --what-next: the simulator could not finish"}};
    const auto add = [&line](const char* name, const char* valueName, const std::string& help) {
        line.options.add_options()(name, po::value<std::string>()->value_name(valueName),
                                   help.c_str());
    };
    const std::string ohms = fieldHelp(
        "a reading, three times; `open` for no connection; to the bare metal: A-shell=open",
        "reading.ohms", " ohm");
    line.options.add_options()(
        "ohms", po::value<std::vector<std::string>>()->multitoken()->value_name("PAIR=OHMS"),
        ohms.c_str());
    add("pins", "C=A,S=B,R=C",
        "which pin is which, as the diagram on the nameplate or inside the terminal cover says; "
        "the readings then check it");
    add("winding-temperature-c", "C",
        fieldHelp("temperature of the windings in degC", "readings.winding-temperature-c"));
    add("lead-ohms", "OHMS",
        fieldHelp("meter leads, shorted together", "readings.lead-ohms",
                  " ohm; left out: estimated from the readings"));
    add("accuracy-percent", "PERCENT",
        fieldHelp("of the meter, in percent of the reading", "readings.accuracy-percent"));
    add("resolution-ohms", "OHMS",
        fieldHelp("last digit of the meter, in ohm", "readings.resolution-ohms"));
    add("insulation-megohms", "MEGOHMS",
        fieldHelp("windings to shell, in megohm", "insulation.megohms",
                  "; \">500\" beyond the end of a tester's range"));
    add("test-volts", "VOLTS",
        fieldHelp("of the insulation tester", "insulation.test-volts",
                  "; goes with --insulation-megohms"));
    line.options.add_options()(
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
