#include "system/ngspice_prompt.h"

#include <regex>
#include <sstream>
#include <stdexcept>

#include "system/program.h"

namespace splitstart
{

std::string typedAtPrompt(const std::string& lines, const std::filesystem::path& folder)
{
    const ScratchFolder home;
    const std::string source = SPLITSTART_SOURCE_DIR;
    home.write(".spiceinit", "setcs splitstart = " + source +
                                 "\nsource $splitstart/scripts/ngspice/spinit.splitstart\n"
                                 "setcs ss_splitstart = " SPLITSTART_BINARY "\n");
    const std::string typed = home.write("typed", lines + "\nquit 0\n");
    const Outcome run =
        runProgram("sh", {"-c", "exec ngspice -p < \"$1\" 2>&1", "sh", typed},
                   {{"HOME", home.path()}, {"TMPDIR", home.path()}, {"LC_ALL", "C"}}, folder);
    if (run.status != 0) {
        throw std::runtime_error("ngspice ended with " + std::to_string(run.status) + "\n" +
                                 run.out);
    }
    return run.out;
}

std::map<std::string, double> printedQuantities(const std::string& text)
{
    static const std::regex pattern(R"(^([a-z_]+) *= *([-+0-9.eE]+)\b.*)");
    std::map<std::string, double> quantities;
    std::istringstream lines(text);
    for (std::string line; std::getline(lines, line);) {
        std::smatch match;
        if (std::regex_match(line, match, pattern)) {
            quantities[match[1]] = std::stod(match[2]);
        }
    }
    return quantities;
}

std::vector<std::vector<double>> printedTable(const std::string& text)
{
    std::vector<std::vector<double>> rows;
    std::istringstream lines(text);
    bool below = false;
    for (std::string line; std::getline(lines, line);) {
        if (line.starts_with("microfarads")) {
            below = true;
            continue;
        }
        std::istringstream words(line);
        std::vector<double> row;
        for (double value = 0; words >> value;) {
            row.push_back(value);
        }
        if (below && !row.empty() && words.eof()) {
            rows.push_back(row);
        } else {
            below = false;
        }
    }
    return rows;
}

}  // namespace splitstart
