// Running the program itself, as a person would, and stock ngspice on the decks that it writes.
#pragma once

#include <filesystem>
#include <map>
#include <string>
#include <vector>

namespace splitstart
{

struct Outcome {
    int status = -1;  // exit status; 128 + signal if it was killed
    std::string out;
    std::string err;
};

// Runs a program with these arguments in that folder, standard input empty. `environment` is added
// to the caller's.
Outcome runProgram(const std::string& program, const std::vector<std::string>& arguments,
                   const std::map<std::string, std::string>& environment = {},
                   const std::filesystem::path& folder = {});

Outcome splitstartRun(const std::vector<std::string>& arguments,
                      const std::map<std::string, std::string>& environment = {});

// A file below examples/.
std::string example(const std::string& name);

// The text of a file; empty if there is none.
std::string fileText(const std::filesystem::path& path);

// A folder of one test, empty at first, removed with the object.
class ScratchFolder
{
public:
    ScratchFolder();
    ~ScratchFolder();
    ScratchFolder(const ScratchFolder&) = delete;
    ScratchFolder& operator=(const ScratchFolder&) = delete;
    [[nodiscard]] const std::filesystem::path& path() const { return path_; }
    // Writes a file into it and returns its path.
    std::string write(const std::string& name, const std::string& text) const;

private:
    std::filesystem::path path_;
};

// Runs a deck in stock `ngspice -b` and returns what its control section printed: name to value.
std::map<std::string, double> stockQuantities(const std::string& deckFile);

}  // namespace splitstart
