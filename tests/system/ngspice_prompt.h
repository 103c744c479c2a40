// A person at the prompt of stock ngspice who has set up scripts/ngspice.
#pragma once

#include <filesystem>
#include <map>
#include <string>
#include <vector>

namespace splitstart
{

// What stock ngspice prints when these lines are typed in that folder (`ngspice -p`, a home of its
// own with the two lines that README.md asks for). Throws std::runtime_error if it does not end of
// its own accord with status 0.
std::string typedAtPrompt(const std::string& lines, const std::filesystem::path& folder);

// The lines "name = value" of what was printed.
std::map<std::string, double> printedQuantities(const std::string& text);

// The rows of numbers below the heading that begins with "microfarads".
std::vector<std::vector<double>> printedTable(const std::string& text);

}  // namespace splitstart
