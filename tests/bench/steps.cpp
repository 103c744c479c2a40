// What longer steps of the simulator cost in accuracy and save in time, over the starts of the
// examples at all their working points. See README.md.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <exception>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "case/input_error.h"
#include "case/reader.h"
#include "circuit/case_circuit.h"
#include "study/best_evidence.h"
#include "study/case_study.h"
#include "study/start_runs.h"

namespace
{

namespace fs = std::filesystem;
using namespace splitstart;

struct Followed {
    const char* name;
    std::optional<double> StartMeasurement::*field;
};

constexpr std::array<Followed, 9> followed = {{
    {"time to speed", &StartMeasurement::timeToSpeed_s},
    {"start contact opens", &StartMeasurement::startContactOpened_s},
    {"speed at opening", &StartMeasurement::speedAtOpening_ratio},
    {"start capacitor, largest rms", &StartMeasurement::startCapacitorWorst_V},
    {"start capacitor, peak", &StartMeasurement::startCapacitorPeak_V},
    {"volts left on it", &StartMeasurement::startCapacitorLeft_V},
    {"coil after opening, least rms", &StartMeasurement::coilAfterOpening_V},
    {"run winding amps, running", &StartMeasurement::mainRunning_A},
    {"run winding, heat until up to speed", &StartMeasurement::mainHeat_A2s},
}};

struct Starts {
    Case input;
    std::vector<StartJob> jobs;
};

// A case whose motor nothing tells, or whose figures contradict each other, has no starts.
std::vector<Starts> startsOfExamples(const fs::path& directory, SimulatorPool& pool)
{
    std::vector<fs::path> files;
    for (const fs::directory_entry& entry : fs::recursive_directory_iterator(directory)) {
        if (entry.path().extension() == ".xml") {
            files.push_back(entry.path());
        }
    }
    std::sort(files.begin(), files.end());
    std::vector<Starts> all;
    for (const fs::path& file : files) {
        try {
            const Case input = completeCase(readCaseFile(file.string()));
            const Circuit circuit = caseCircuit(input);
            const MotorStudy motor = motorStudy(input, circuit, pool);
            const Case fed = withSource(input, motor);
            all.push_back({fed, startJobs(fed, circuit, motor, Corners::all)});
        } catch (const InputError&) {
            continue;  // a list of parts, or a case without a motor
        }
    }
    return all;
}

struct Run {
    std::vector<StartMeasurement> starts;
    double taken_s = 0;
};

Run runAllStarts(const std::vector<Starts>& all, double step_s, SimulatorPool& pool)
{
    Run run;
    StartEffort effort;
    effort.largestStep_s = step_s;
    const auto begin = std::chrono::steady_clock::now();
    for (const Starts& starts : all) {
        for (const StartOutcome& outcome : runStarts(starts.input, starts.jobs, pool, effort)) {
            const auto* measured = std::get_if<StartMeasurement>(&outcome);
            run.starts.push_back(measured != nullptr ? *measured : StartMeasurement());
        }
    }
    run.taken_s = std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
    return run;
}

double percentile(std::vector<double>& values, double share)
{
    std::sort(values.begin(), values.end());
    return values.empty()
               ? std::nan("")
               : values[static_cast<std::size_t>(share * static_cast<double>(values.size() - 1))];
}

void compare(const Run& fine, const Run& coarse, const Run& usual, double step_s)
{
    fmt::print("steps of {:.0f} us: {:.2f} of the time at {:.0f} us\n", step_s * 1e6,
               coarse.taken_s / usual.taken_s, StartEffort().largestStep_s * 1e6);
    for (const Followed& each : followed) {
        std::vector<double> deviations;
        std::size_t alone = 0;
        for (std::size_t i = 0; i < fine.starts.size(); ++i) {
            const std::optional<double>& exact = fine.starts[i].*each.field;
            const std::optional<double>& found = coarse.starts[i].*each.field;
            if (exact && found && std::abs(*exact) > 0) {
                deviations.push_back(100 * std::abs(*found / *exact - 1));
            } else if (exact.has_value() != found.has_value()) {
                ++alone;
            }
        }
        fmt::print(
            "    {:36} {:4} starts  median {:7.4f} %  95th {:7.4f} %  most {:8.4f} %  {} in one "
            "only\n",
            each.name, deviations.size(), percentile(deviations, 0.5), percentile(deviations, 0.95),
            percentile(deviations, 1), alone);
    }
    std::fflush(stdout);
}

}  // namespace

int main(int count, char** arguments)
{
    try {
        SimulatorPool pool(2);
        const std::vector<Starts> all = startsOfExamples(
            count > 1 ? fs::path(arguments[1]) : fs::path(SPLITSTART_SOURCE_DIR) / "examples",
            pool);
        const Run fine = runAllStarts(all, 5e-5, pool);
        fmt::print("{} starts of {} cases, against steps of 50 us\n", fine.starts.size(),
                   all.size());
        const Run usual = runAllStarts(all, StartEffort().largestStep_s, pool);
        for (const double step_s : {2e-4, 3e-4, 4e-4, 5e-4, 6e-4, 8e-4}) {
            compare(fine, runAllStarts(all, step_s, pool), usual, step_s);
        }
        return 0;
    } catch (const std::exception& error) {
        std::fprintf(stderr, "%s\n", error.what());
        return 2;
    }
}
