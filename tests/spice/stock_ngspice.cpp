#include "spice/stock_ngspice.h"

#include <fmt/format.h>
#include <fmt/ranges.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <sstream>
#include <stdexcept>

namespace splitstart::stock
{

namespace fs = std::filesystem;

namespace
{

// A private folder, gone at the end.
class TemporaryFolder
{
public:
    TemporaryFolder()
    {
        std::string path = (fs::temp_directory_path() / "splitstart-XXXXXX").string();
        if (mkdtemp(path.data()) == nullptr) {
            throw std::runtime_error("cannot make a temporary folder");
        }
        path_ = path;
    }
    ~TemporaryFolder()
    {
        std::error_code ignored;
        fs::remove_all(path_, ignored);
    }
    TemporaryFolder(const TemporaryFolder&) = delete;
    TemporaryFolder& operator=(const TemporaryFolder&) = delete;
    TemporaryFolder(TemporaryFolder&&) = delete;
    TemporaryFolder& operator=(TemporaryFolder&&) = delete;

    [[nodiscard]] const fs::path& path() const { return path_; }

private:
    fs::path path_;
};

std::string analysisDeck(std::string_view circuit, std::string_view options,
                         std::string_view analysis, const std::vector<std::string>& vectors)
{
    const std::string list = fmt::format("{}", fmt::join(vectors, " "));
    return fmt::format(
        "stock check\n"
        ".include \"{}\"\n"
        "{}\n"
        ".option noacct {}\n"
        ".save {}\n"
        ".control\n"
        "set numdgt=15\n"
        "set wr_singlescale\n"
        "{}\n"
        "wrdata columns.txt {}\n"
        "quit 0\n"
        ".endc\n"
        ".end\n",
        (modelsFolder() / "splitstart.lib").string(), circuit, options, list, analysis, list);
}

bool containsTrouble(std::string log)
{
    std::transform(log.begin(), log.end(), log.begin(),
                   [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
    const std::array<std::string_view, 6> words = {"error",     "warning", "singular",
                                                   "too small", "aborted", "failed"};
    return std::any_of(words.begin(), words.end(),
                       [&](std::string_view word) { return log.find(word) != std::string::npos; });
}

// One row a point: the scale, then the vectors.
std::vector<std::vector<double>> analyse(const std::string& deck)
{
    const TemporaryFolder folder;
    const fs::path file = folder.path() / "deck.cir";
    std::ofstream(file) << deck;
    const Outcome outcome = run(file);
    if (outcome.exitStatus != 0 || containsTrouble(outcome.log)) {
        throw std::runtime_error(
            fmt::format("ngspice ended with {}\n{}\n{}", outcome.exitStatus, outcome.log, deck));
    }
    std::ifstream data(folder.path() / "columns.txt");
    std::vector<std::vector<double>> rows;
    for (std::string line; std::getline(data, line);) {
        std::istringstream words(line);
        std::vector<double> row;
        for (double value = 0; words >> value;) {
            row.push_back(value);
        }
        rows.push_back(row);
    }
    if (rows.empty()) {
        throw std::runtime_error("ngspice wrote nothing\n" + outcome.log + deck);
    }
    return rows;
}

}  // namespace

fs::path modelsFolder()
{
    return fs::path(SPLITSTART_SOURCE_DIR) / "models";
}

Outcome run(const fs::path& deck)
{
    // An empty home and no variables: nothing that a user has set up can matter. -n: no start-up
    // file of the deck's folder or of the account either.
    const TemporaryFolder home;
    const std::string command = fmt::format(
        "cd '{}' && env -i HOME='{}' PATH=\"$PATH\" LC_ALL=C ngspice -n -b '{}' </dev/null 2>&1",
        deck.parent_path().string(), home.path().string(), deck.filename().string());
    FILE* const pipe = popen(command.c_str(), "r");
    if (pipe == nullptr) {
        throw std::runtime_error("cannot start a shell");
    }
    Outcome outcome;
    std::array<char, 4096> buffer{};
    for (std::size_t count = 0; (count = fread(buffer.data(), 1, buffer.size(), pipe)) > 0;) {
        outcome.log.append(buffer.data(), count);
    }
    const int status = pclose(pipe);
    outcome.exitStatus = WIFEXITED(status) ? WEXITSTATUS(status) : -1;
    if (outcome.exitStatus == 127) {
        throw std::runtime_error("no ngspice here: install the package ngspice\n" + outcome.log);
    }
    return outcome;
}

Waveforms transient(std::string_view circuit, const std::vector<std::string>& vectors,
                    const Transient& analysis)
{
    const auto rows = analyse(analysisDeck(
        circuit, analysis.options,
        fmt::format("tran {} {} 0 {} uic", analysis.step_s, analysis.end_s, analysis.step_s),
        vectors));
    Waveforms waveforms;
    waveforms.values.resize(vectors.size());
    for (const std::vector<double>& row : rows) {
        waveforms.time_s.push_back(row.at(0));
        for (std::size_t i = 0; i < vectors.size(); ++i) {
            waveforms.values[i].push_back(row.at(i + 1));
        }
    }
    if (waveforms.time_s.back() < analysis.end_s * (1 - 1e-9)) {
        throw std::runtime_error(fmt::format("ngspice stopped at {} s", waveforms.time_s.back()));
    }
    return waveforms;
}

std::vector<std::complex<double>> alternating(std::string_view circuit,
                                              const std::vector<std::string>& vectors,
                                              double frequency_Hz)
{
    const auto rows = analyse(analysisDeck(
        circuit, "", fmt::format("ac lin 1 {} {}", frequency_Hz, frequency_Hz), vectors));
    std::vector<std::complex<double>> phasors;
    for (std::size_t i = 0; i < vectors.size(); ++i) {
        phasors.emplace_back(rows.at(0).at(2 * i + 1), rows.at(0).at(2 * i + 2));
    }
    return phasors;
}

std::vector<double> operatingPoint(std::string_view circuit,
                                   const std::vector<std::string>& vectors)
{
    const auto rows = analyse(analysisDeck(circuit, "", "op", vectors));
    return {rows.at(0).begin() + 1, rows.at(0).end()};
}

double Waveforms::crossing_s(std::size_t vector, double level, double from_s) const
{
    for (const double time : crossings_s(vector, level)) {
        if (time >= from_s) {
            return time;
        }
    }
    throw std::runtime_error(fmt::format("vector {} never passes {}", vector, level));
}

std::vector<double> Waveforms::crossings_s(std::size_t vector, double level) const
{
    const std::vector<double>& v = values.at(vector);
    std::vector<double> times;
    for (std::size_t i = 1; i < v.size(); ++i) {
        if ((v[i - 1] < level) != (v[i] < level)) {
            times.push_back(
                std::lerp(time_s[i - 1], time_s[i], (level - v[i - 1]) / (v[i] - v[i - 1])));
        }
    }
    return times;
}

double Waveforms::at(std::size_t vector, double time) const
{
    const auto next = std::max<std::ptrdiff_t>(
        1, std::lower_bound(time_s.begin(), time_s.end(), time) - time_s.begin());
    const auto i = std::min(static_cast<std::size_t>(next), time_s.size() - 1);
    const std::vector<double>& v = values.at(vector);
    return std::lerp(v[i - 1], v[i], (time - time_s[i - 1]) / (time_s[i] - time_s[i - 1]));
}

double Waveforms::highestMagnitude(std::size_t vector, double from_s, double to_s) const
{
    double highest = 0;
    for (std::size_t i = 0; i < time_s.size(); ++i) {
        if (time_s[i] >= from_s && time_s[i] <= to_s) {
            highest = std::max(highest, std::abs(values.at(vector)[i]));
        }
    }
    return highest;
}

double Waveforms::mean(std::size_t vector, double from_s, double to_s) const
{
    double sum = 0;
    double before_s = from_s;
    double before = at(vector, from_s);
    const auto add = [&](double time, double value) {
        sum += 0.5 * (value + before) * (time - before_s);
        before_s = time;
        before = value;
    };
    for (std::size_t i = 0; i < time_s.size(); ++i) {
        if (time_s[i] > from_s && time_s[i] < to_s) {
            add(time_s[i], values.at(vector)[i]);
        }
    }
    add(to_s, at(vector, to_s));
    return sum / (to_s - from_s);
}

double Waveforms::rms(std::size_t vector, double from_s, double to_s) const
{
    Waveforms squared{time_s, {values.at(vector)}};
    for (double& value : squared.values[0]) {
        value *= value;
    }
    return std::sqrt(squared.mean(0, from_s, to_s));
}

}  // namespace splitstart::stock
