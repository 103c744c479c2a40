#include "spice/model_library.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <sstream>
#include <stdexcept>

#include "case/embedded_files.h"
#include "spice/deck_card.h"

namespace splitstart
{

namespace
{

// Logical lines of SPICE text: comments dropped, continuation lines joined.
std::vector<std::string> logicalLines(std::string_view text)
{
    std::vector<std::string> lines;
    std::istringstream stream{std::string(text)};
    for (std::string line; std::getline(stream, line);) {
        if (line.empty() || line.front() == '*') {
            continue;
        }
        if (line.front() == '+' && !lines.empty()) {
            lines.back() += " " + line.substr(1);
        } else {
            lines.push_back(line);
        }
    }
    return lines;
}

// The subcircuit that an X line uses: the last word before its parameters.
std::string usedSubcircuit(const std::vector<std::string>& instance)
{
    std::string name;
    for (const std::string& word : instance) {
        if (word.find('=') != std::string::npos || word == "params:") {
            break;
        }
        name = word;
    }
    return name;
}

[[noreturn]] void refuseModel()
{
    throw std::invalid_argument(
        "a model file holds exactly one subcircuit, from .subckt to .ends, and nothing else");
}

// Name, ports and parameters of a .subckt line.
void readHeading(const std::vector<std::string>& parts, Subcircuit& result)
{
    if (parts.size() < 2) {
        refuseModel();
    }
    result.name = parts[1];
    for (std::size_t index = 2; index < parts.size(); ++index) {
        const std::size_t equals = parts[index].find('=');
        if (equals != std::string::npos) {
            result.parameters.push_back(parts[index].substr(0, equals));
        } else if (parts[index] != "params:") {
            result.ports.push_back(parts[index]);
        }
    }
}

}  // namespace

Subcircuit parseSubcircuit(std::string_view fileText)
{
    Subcircuit result;
    bool ended = false;
    for (const std::string& line : logicalLines(fileText)) {
        const std::vector<std::string> parts = cardFields(line);
        if (parts.empty()) {
            continue;
        }
        const bool begins = parts.front() == ".subckt";
        // Nothing may stand outside the one subcircuit: a deck takes the whole text.
        if (ended || begins != result.name.empty()) {
            refuseModel();
        }
        if (begins) {
            readHeading(parts, result);
        } else if (parts.front() == ".ends") {
            ended = true;
        } else if (parts.front().front() == 'x' || parts.front().front() == 'X') {
            result.needs.push_back(usedSubcircuit(parts));
        }
        result.text += line + "\n";
    }
    if (!ended) {
        refuseModel();
    }
    return result;
}

const Subcircuit& subcircuit(std::string_view name)
{
    static const std::map<std::string, Subcircuit, std::less<>> library = [] {
        std::map<std::string, Subcircuit, std::less<>> result;
        for (const EmbeddedFile& file : embeddedFiles()) {
            if (file.name.ends_with(".lib") && file.name != "splitstart.lib") {
                Subcircuit parsed = parseSubcircuit(file.text);
                result.emplace(parsed.name, std::move(parsed));
            }
        }
        return result;
    }();
    const auto found = library.find(name);
    if (found == library.end()) {
        throw std::out_of_range(fmt::format("models/ has no subcircuit `{}`", name));
    }
    return found->second;
}

}  // namespace splitstart
