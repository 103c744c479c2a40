#include "cli/manual.h"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <sstream>
#include <string_view>
#include <vector>

#include "cli/command.h"

namespace splitstart
{

namespace
{

namespace po = boost::program_options;

// Text that roff prints as it stands: no escape, no request at the beginning of a line, and hyphens
// that can be copied into a shell.
std::string roff(std::string_view text)
{
    std::string safe;
    bool begins = true;
    for (const char character : text) {
        if (begins && (character == '.' || character == '\'')) {
            safe += "\\&";
        }
        begins = character == '\n';
        safe += character == '\\' ? "\\e" : character == '-' ? "\\-" : std::string(1, character);
    }
    return safe;
}

// Paragraph by paragraph; lines that begin with a blank stay as they are.
std::string roffParagraphs(const std::string& text)
{
    std::istringstream lines(text);
    std::string result;
    bool asItStands = false;
    for (std::string line; std::getline(lines, line);) {
        const bool indented = line.starts_with(' ');
        if (indented != asItStands) {
            result += indented ? ".nf\n" : ".fi\n";
            asItStands = indented;
        } else if (!indented && !result.empty()) {
            result += ".br\n";
        }
        result += roff(line) + "\n";
    }
    return result + (asItStands ? ".fi\n" : "");
}

// "FILE", "text|json"; empty for a switch.
std::string valueName(const po::option_description& option)
{
    const std::string parameter = option.format_parameter();
    return parameter.substr(0, parameter.find(" (="));
}

std::string defaultOf(const po::option_description& option)
{
    const std::string parameter = option.format_parameter();
    const std::size_t at = parameter.find(" (=");
    return at == std::string::npos ? std::string()
                                   : parameter.substr(at + 3, parameter.size() - at - 4);
}

// The words that an option allows, where its value's name is "a|b|c" in small letters.
std::vector<std::string> wordsOf(const po::option_description& option)
{
    const std::string name = valueName(option);
    const bool isChoice = name.find('|') != std::string::npos &&
                          std::none_of(name.begin(), name.end(), [](char character) {
                              return std::isupper(static_cast<unsigned char>(character)) != 0;
                          });
    std::vector<std::string> words;
    std::istringstream all(isChoice ? name : std::string());
    for (std::string word; std::getline(all, word, '|');) {
        words.push_back(word);
    }
    return words;
}

bool takesFile(const po::option_description& option)
{
    const std::string name = valueName(option);
    return name == "FILE" || name.find('.') != std::string::npos;
}

void writeOptions(std::string& page, const CommandLine& line)
{
    for (const auto& option : line.options.options()) {
        const std::string& longName = option->long_name();
        const std::string shortName =
            option->canonical_display_name(po::command_line_style::allow_dash_for_short);
        page += ".TP\n.B ";
        if (shortName.size() == 2 && shortName[0] == '-') {
            page += roff(shortName) + ", ";
        }
        page += roff("--" + longName);
        const std::string value = valueName(*option);
        page += (value.empty() ? "" : " \\fI" + roff(value) + "\\fR") + "\n";
        const std::string usual = defaultOf(*option);
        page += roff(option->description()) +
                (usual.empty() ? "" : fmt::format(" (default {})", roff(usual))) + "\n";
    }
}

std::string joinedWords(const std::vector<std::string>& words)
{
    std::string text;
    for (const std::string& word : words) {
        text += (text.empty() ? "" : " ") + word;
    }
    return text;
}

}  // namespace

std::string manualPage(const std::string& date)
{
    std::string page = fmt::format(
        ".TH SPLITSTART 1 \"{}\" \"splitstart {}\" \"User Commands\"\n"
        ".SH NAME\nsplitstart \\- start circuits of single\\-phase hermetic compressors, computed "
        "in "
        "ngspice\n.SH SYNOPSIS\n.B splitstart\n.I command\n[\\fIoptions\\fR]\n",
        roff(date), SPLITSTART_VERSION);
    page +=
        ".SH DESCRIPTION\nFrom three resistance readings and a nameplate, which pin of a "
        "compressor "
        "is common, start and run, whether its windings are sound, and whether its start parts "
        "suit "
        "it. The motor is estimated, the start circuit written as a SPICE deck as it is wired and "
        "simulated in ngspice at every corner of line volts, temperature and tolerance.\n"
        ".SH SAFETY\nThis work can hurt people. Lock out and tag every supply. Discharge "
        "capacitors "
        "through a resistor and measure. Terminal cover on before power. Never energise a grounded "
        "compressor, one with an open shell, or one under vacuum. Local codes and a licensed "
        "technician's judgement come before any computation.\n.SH COMMANDS\n";
    for (const Command& command : commands()) {
        const CommandLine line = command.line();
        page += fmt::format(".SS {}\n", roff(command.name));
        page += ".nf\n" + roff(line.usage) + "\n.fi\n.PP\n" + roffParagraphs(line.purpose);
        writeOptions(page, line);
        page += ".PP\n" + roff(line.statusText()) + "\n.PP\nExample:\n.PP\n.nf\n" +
                roff(line.example) + "\n.fi\n";
    }
    page += ".SH EXIT STATUS\n";
    for (const StatusMeaning& each : exitStatuses()) {
        page += fmt::format(".TP\n.B {}\n{}\n", static_cast<int>(each.status), roff(each.meaning));
    }
    page +=
        ".SH ENVIRONMENT\n.TP\n.B SOURCE_DATE_EPOCH\nthe time that a report says it was made, "
        "instead of now\n.SH SEE ALSO\n.BR ngspice (1)\n";
    return page;
}

std::string bashCompletion()
{
    std::string names;
    std::string cases;
    for (const Command& command : commands()) {
        const CommandLine line = command.line();
        names += (names.empty() ? "" : " ") + std::string(command.name);
        std::string options;
        std::string values;
        for (const auto& option : line.options.options()) {
            const std::string name = "--" + option->long_name();
            options += (options.empty() ? "" : " ") + name;
            const std::vector<std::string> words = wordsOf(*option);
            if (!words.empty()) {
                values += fmt::format("{}) words=\"{}\" ;; ", name, joinedWords(words));
            } else if (takesFile(*option)) {
                values += fmt::format("{}{}) files=1 ;; ", name, name == "--output" ? "|-o" : "");
            } else if (!valueName(*option).empty()) {
                values += fmt::format("{}) return ;; ", name);
            }
        }
        cases += fmt::format("        {}) options=\"{}\"; case \"$before\" in {}esac ;;\n",
                             command.name, options, values);
    }
    return fmt::format(
        R"(# bash completion of splitstart; made by the program itself
_splitstart()
{{
    local word=${{COMP_WORDS[COMP_CWORD]}} before=${{COMP_WORDS[COMP_CWORD-1]}} options="" words="" files=""
    COMPREPLY=()
    if [ "$COMP_CWORD" -eq 1 ]; then
        mapfile -t COMPREPLY < <(compgen -W "{} --help --version" -- "$word")
        return
    fi
    case "${{COMP_WORDS[1]}}" in
{}        *) return ;;
    esac
    if [ -n "$words" ]; then
        mapfile -t COMPREPLY < <(compgen -W "$words" -- "$word")
    elif [ -z "$files" ] && [[ "$word" == -* ]]; then
        mapfile -t COMPREPLY < <(compgen -W "$options" -- "$word")
    else
        mapfile -t COMPREPLY < <(compgen -f -- "$word")
    fi
}}
complete -o filenames -F _splitstart splitstart
)",
        names, cases);
}

}  // namespace splitstart
