// How often the tool is right, on made-up compressors whose truth is known. See README.md.
#include <fmt/format.h>

#include <chrono>
#include <cstdio>
#include <exception>
#include <fstream>
#include <iostream>
#include <map>
#include <nlohmann/json.hpp>
#include <set>
#include <stdexcept>
#include <string>
#include <vector>

#include "calibration/judged_case.h"
#include "calibration/summary.h"

namespace
{

using splitstart::calibration::StudyOptions;

constexpr const char* usage =
    "bench_calibration [--cases N] [--first I] [--seed S] [--level 0|1|2] [--samples N]\n"
    "                  [--share R] [--settled S] [--workers N] [--out FILE [--resume]]\n"
    "`--cases 0 --out FILE --resume` shows the tables of that file. `--samples 0` looks at the\n"
    "estimates alone.\n";

struct Options {
    StudyOptions study;
    std::size_t cases = 30;
    std::size_t first = 0;
    unsigned workers = 0;
    std::string out;
    bool resume = false;
};

Options parsed(int count, char** arguments)
{
    Options options;
    std::map<std::string, std::string> given;
    for (int i = 1; i < count; ++i) {
        const std::string name = arguments[i];
        if (name == "--resume") {
            options.resume = true;
        } else if (name.rfind("--", 0) == 0 && i + 1 < count) {
            given[name] = arguments[++i];
        } else {
            throw std::invalid_argument(usage);
        }
    }
    const auto take = [&given](const char* name, auto& value, const auto& convert) {
        if (const auto found = given.find(name); found != given.end()) {
            value = convert(found->second);
            given.erase(found);
        }
    };
    const auto number = [](const std::string& text) { return std::stoull(text); };
    const auto small = [](const std::string& text) { return std::stoi(text); };
    take("--cases", options.cases, number);
    take("--first", options.first, number);
    take("--seed", options.study.seed, number);
    take("--level", options.study.level, small);
    take("--samples", options.study.samples, number);
    take("--share", options.study.share_ratio,
         [](const std::string& text) { return std::stod(text); });
    take("--settled", options.study.settled_s,
         [](const std::string& text) { return std::stod(text); });
    take("--workers", options.workers,
         [](const std::string& text) { return static_cast<unsigned>(std::stoul(text)); });
    take("--out", options.out, [](const std::string& text) { return text; });
    if (!given.empty() || (options.resume && options.out.empty())) {
        throw std::invalid_argument(usage);
    }
    return options;
}

// Lines of an earlier run; one that was cut off is left out.
std::vector<nlohmann::json> earlierLines(const std::string& path)
{
    std::vector<nlohmann::json> lines;
    std::ifstream file(path);
    for (std::string text; std::getline(file, text);) {
        nlohmann::json line = nlohmann::json::parse(text, nullptr, false);
        if (line.is_object()) {
            lines.push_back(std::move(line));
        }
    }
    return lines;
}

bool belongsTo(const nlohmann::json& line, const StudyOptions& study)
{
    return line.at("seed") == study.seed && line.at("level") == study.level &&
           line.at("samples") == study.samples && line.at("share") == study.share_ratio &&
           line.at("settled_s") == study.settled_s;
}

void run(const Options& options)
{
    splitstart::SimulatorPool pool(options.workers);
    std::vector<nlohmann::json> lines;
    std::set<std::size_t> done;
    if (options.resume) {
        lines = earlierLines(options.out);
        for (const nlohmann::json& line : lines) {
            if (belongsTo(line, options.study)) {
                done.insert(line.at("index").get<std::size_t>());
            }
        }
    }
    std::ofstream out;
    if (!options.out.empty() && options.cases > 0) {
        out.open(options.out, options.resume ? std::ios::app : std::ios::trunc);
        if (!out) {
            throw std::runtime_error("cannot write " + options.out);
        }
        if (options.resume) {
            out << "\n";  // after a line that was cut off
        }
    }
    for (std::size_t i = options.first; i < options.first + options.cases; ++i) {
        if (done.count(i) != 0) {
            continue;
        }
        const auto start = std::chrono::steady_clock::now();
        nlohmann::json line = splitstart::calibration::judgeCase(i, options.study, pool);
        const double wall_s =
            std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
        line["wall_s"] = wall_s;
        if (out.is_open()) {
            out << line.dump() << "\n" << std::flush;
        }
        const std::string said = line.contains("failure")
                                     ? line["failure"]["kind"].get<std::string>()
                                     : fmt::format("{} machines", line.value("machines", 0));
        const std::string family =
            line.contains("machine") ? line["machine"]["family"].get<std::string>() : "";
        fmt::print(stderr, "case {:4}  {:26} {:6.1f} s  {}\n", i, family, wall_s, said);
        lines.push_back(std::move(line));
    }
    std::cout << splitstart::calibration::summaryText(lines);
}

}  // namespace

int main(int count, char** arguments)
{
    try {
        run(parsed(count, arguments));
        return 0;
    } catch (const std::exception& error) {
        std::fprintf(stderr, "%s\n", error.what());
        return 2;
    }
}
