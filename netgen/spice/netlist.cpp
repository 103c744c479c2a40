#include "spice/netlist.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <numbers>
#include <optional>
#include <set>
#include <sstream>
#include <stdexcept>

#include "spice/model_library.h"

namespace splitstart
{

namespace
{

constexpr std::size_t longestComment = 200;

// Parameter of the models that belongs to the analysis and not to a part; see models/README.md,
// "Long steps".
constexpr const char* stepParameter = "trapezoid_ratio";

// Every subcircuit that the model uses, those needed by others included, each once.
std::vector<const Subcircuit*> usedSubcircuits(const SimulationModel& model)
{
    std::vector<const Subcircuit*> used;
    std::set<std::string> seen;
    const auto add = [&](const auto& self, std::string_view name) -> void {
        if (!seen.insert(std::string(name)).second) {
            return;
        }
        const Subcircuit& found = subcircuit(name);
        for (const std::string& needed : found.needs) {
            self(self, needed);
        }
        used.push_back(&found);
    };
    for (const SubcircuitInstance& instance : model.instances) {
        add(add, instance.subcircuit);
    }
    return used;
}

enum class Condition { met, unmet, leftToNgspice };

// Of an `.if (parameter > 0)` line of that subcircuit, for all its instances alike; any other is
// left to ngspice.
Condition conditionOf(std::string_view line, const std::string& subcircuit,
                      const SimulationModel& model)
{
    constexpr std::string_view before = ".if (";
    constexpr std::string_view after = " > 0)";
    if (!line.starts_with(before) || !line.ends_with(after)) {
        return Condition::leftToNgspice;
    }
    line.remove_prefix(before.size());
    line.remove_suffix(after.size());
    std::set<bool> truths;
    for (const SubcircuitInstance& instance : model.instances) {
        for (const auto& [name, value] : instance.parameters) {
            if (instance.subcircuit == subcircuit && name == line) {
                truths.insert(value > 0);
            }
        }
    }
    if (truths.size() != 1) {
        return Condition::leftToNgspice;
    }
    return *truths.begin() ? Condition::met : Condition::unmet;
}

// The subcircuit without those lines of its .if blocks that no instance in the model takes. ngspice
// reads a held motor a third slower with the blocks of its two effects than without.
std::string withoutUnusedBlocks(const Subcircuit& definition, const SimulationModel& model)
{
    std::string text;
    std::istringstream lines(definition.text);
    bool decided = false;  // here, and so the block's own lines are not needed
    bool taken = true;
    for (std::string line; std::getline(lines, line);) {
        if (line.starts_with(".if ")) {
            const Condition condition = conditionOf(line, definition.name, model);
            decided = condition != Condition::leftToNgspice;
            taken = condition != Condition::unmet;
            text += decided ? "" : line + "\n";
        } else if (decided && line == ".else") {
            taken = !taken;
        } else if (decided && line == ".endif") {
            decided = false;
            taken = true;
        } else if (taken) {
            text += line + "\n";
        }
    }
    return text;
}

void checkFits(const SubcircuitInstance& instance, const Subcircuit& definition)
{
    for (const std::string& port : definition.ports) {
        if (instance.nodeOfPort.count(port) == 0) {
            throw std::logic_error(
                fmt::format("{}: port {} of {} has no node", instance.name, port, definition.name));
        }
    }
    if (instance.nodeOfPort.size() != definition.ports.size()) {
        throw std::logic_error(
            fmt::format("{}: {} has other ports", instance.name, definition.name));
    }
    std::set<std::string> given;
    for (const auto& [name, value] : instance.parameters) {
        given.insert(name);
    }
    std::set<std::string> wanted(definition.parameters.begin(), definition.parameters.end());
    wanted.erase(stepParameter);
    // Each once: the size differs when one is given twice.
    if (given != wanted || given.size() != instance.parameters.size()) {
        throw std::logic_error(fmt::format("{}: parameters of {} are {}, not {}", instance.name,
                                           definition.name, fmt::join(wanted, " "),
                                           fmt::join(given, " ")));
    }
}

std::string parameterName(const SubcircuitInstance& instance, const std::string& parameter)
{
    return instance.name + "_" + parameter;
}

// The X line. Parameters are the names of .param lines, or plain numbers where nobody will edit the
// deck: ngspice reads those faster.
std::string instanceLines(const SubcircuitInstance& instance, const Subcircuit& definition,
                          const std::optional<double>& trapezoid_ratio, bool plainNumbers)
{
    std::string lines = fmt::format("x{}", instance.name);
    for (const std::string& port : definition.ports) {
        lines += " " + instance.nodeOfPort.at(port);
    }
    lines += " " + definition.name;
    for (const auto& [name, value] : instance.parameters) {
        lines += plainNumbers ? fmt::format("\n+ {}={}", name, spiceNumber(value))
                              : fmt::format("\n+ {}={{{}}}", name, parameterName(instance, name));
    }
    if (trapezoid_ratio && std::ranges::count(definition.parameters, stepParameter) > 0) {
        lines += plainNumbers
                     ? fmt::format("\n+ {}={}", stepParameter, spiceNumber(*trapezoid_ratio))
                     : fmt::format("\n+ {0}={{{0}}}", stepParameter);
    }
    return lines + "\n";
}

std::string analysisLines(const Analysis& analysis)
{
    // Trapezoidal: no numerical damping of the speed voltages. See DEVELOPERS.md, "Accuracy".
    std::string lines = ".options noacct method=trap reltol=1e-4\n";
    if (analysis.kind == Analysis::Kind::transient) {
        lines += fmt::format(".tran {} {} 0 {} uic\n", spiceNumber(analysis.largestStep_s),
                             spiceNumber(analysis.end_s), spiceNumber(analysis.largestStep_s));
    } else {
        const std::string frequency = spiceNumber(analysis.frequency_Hz);
        lines += fmt::format(".ac lin 1 {} {}\n", frequency, frequency);
    }
    return lines;
}

}  // namespace

double endBetweenSteps_s(double end_s, double largestStep_s)
{
    return (std::round(end_s / largestStep_s) + 0.3) * largestStep_s;
}

double trapezoidRatio(double step_s, double frequency_Hz)
{
    const double angle = std::numbers::pi * frequency_Hz * step_s;
    return angle / std::tan(angle);
}

std::string spiceNumber(double value)
{
    if (!std::isfinite(value)) {
        throw std::logic_error("a SPICE number must be finite");
    }
    std::array<char, 32> buffer{};
    const auto result = std::to_chars(buffer.data(), buffer.data() + buffer.size(), value);
    return {buffer.data(), result.ptr};
}

std::string commentText(std::string_view text)
{
    std::string result;
    for (char c : text.substr(0, longestComment)) {
        if (c == ';') {
            c = ',';  // a semicolon would begin a comment within the comment
        }
        // Only what prose needs: letters, digits, blanks and a few marks without meaning to
        // ngspice. Not std::isalnum, which takes other bytes for letters in some locales.
        const bool isLetter = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
        const bool harmless = isLetter || (c >= '0' && c <= '9') ||
                              std::string_view(" .,:()%/+-_=").find(c) != std::string_view::npos;
        result += harmless ? c : c == '\'' ? ' ' : '?';
    }
    return result;
}

std::string writeDeck(const SimulationModel& model, const Analysis& analysis, const DeckText& text)
{
    std::string deck = fmt::format("* {}\n", commentText(text.title));
    for (const std::string& comment : text.comments) {
        deck += fmt::format("* {}\n", commentText(comment));
    }
    const bool isTransient = analysis.kind == Analysis::Kind::transient;
    const bool plainNumbers = text.readOften || (!isTransient && !text.controlSection);
    std::optional<double> trapezoid_ratio;
    if (isTransient) {
        trapezoid_ratio = trapezoidRatio(analysis.largestStep_s, model.frequency_Hz);
    }
    if (isTransient && !plainNumbers) {
        deck += fmt::format(
            "*\n* makes up for the trapezoidal rule's steps at line frequency: x/tan(x), x = pi * "
            "frequency * step\n.param {}={}\n",
            stepParameter, spiceNumber(*trapezoid_ratio));
    }
    std::string instances;
    for (const SubcircuitInstance& instance : model.instances) {
        const Subcircuit& definition = subcircuit(instance.subcircuit);
        checkFits(instance, definition);
        const std::string heading =
            fmt::format("*\n* {}: {}\n", instance.name, commentText(instance.comment));
        if (!plainNumbers) {
            deck += heading;
            for (const auto& [name, value] : instance.parameters) {
                deck += fmt::format(".param {}={}\n", parameterName(instance, name),
                                    spiceNumber(value));
            }
        }
        instances += heading + instanceLines(instance, definition, trapezoid_ratio, plainNumbers);
    }
    deck += "*\n* the circuit as it is wired; ground 0 is the side L2 of the supply\n" + instances;
    if (model.fixedSpeed_rad_s) {
        deck += fmt::format(
            "*\n* shaft held at this speed in rad/s\n{} speed 0 dc {}\nvload load_torque 0 dc 0\n",
            shaftSource, spiceNumber(*model.fixedSpeed_rad_s));
    }
    for (const Subcircuit* each : usedSubcircuits(model)) {
        deck += "*\n" + (plainNumbers ? withoutUnusedBlocks(*each, model) : each->text);
    }
    deck += "*\n" + analysisLines(analysis);
    if (text.controlSection) {
        deck += promptNumbers(model, analysis, text.ratings);
        deck += controlSection(model, analysis);
    }
    return deck + ".end\n";
}

}  // namespace splitstart
