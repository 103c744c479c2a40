// How long a full start takes in embedded ngspice (one persistent worker) against a whole stock
// `ngspice -b` process on the same deck, as a ratio in one run. See README.md.
#include <fcntl.h>
#include <fmt/format.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <chrono>
#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <functional>
#include <stdexcept>
#include <string>
#include <vector>

#include "bench/workplace.h"
#include "physics/deck.h"
#include "physics/quarter_horsepower.h"
#include "spice/simulation.h"

namespace
{

namespace fs = std::filesystem;
using splitstart::SimulationRequest;
using splitstart::SimulatorPool;
using splitstart::Waveforms;
using splitstart::bench::PrivateDirectory;
using splitstart::bench::seconds;

constexpr int rounds = 15;
constexpr double end_s = 1;
constexpr double aim_ratio = 0.6;
constexpr double accuracy_ratio = 0.005;

double median(std::vector<double> values)
{
    const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), middle, values.end());
    return *middle;
}

// One whole process, from its start to its end; output into log.txt.
void runStock(const fs::path& directory)
{
    posix_spawn_file_actions_t actions;
    posix_spawn_file_actions_init(&actions);
    posix_spawn_file_actions_addchdir_np(&actions, directory.c_str());
    posix_spawn_file_actions_addopen(&actions, STDOUT_FILENO, "log.txt",
                                     O_WRONLY | O_CREAT | O_TRUNC, 0600);
    posix_spawn_file_actions_adddup2(&actions, STDOUT_FILENO, STDERR_FILENO);
    std::array<std::string, 3> words{"ngspice", "-b", "deck.cir"};
    std::array<char*, 4> arguments{words[0].data(), words[1].data(), words[2].data(), nullptr};
    pid_t process = 0;
    const int spawned =
        posix_spawnp(&process, "ngspice", &actions, nullptr, arguments.data(), environ);
    posix_spawn_file_actions_destroy(&actions);
    int status = 0;
    if (spawned != 0 || waitpid(process, &status, 0) != process) {
        throw std::runtime_error("cannot run ngspice");
    }
}

// The number after "NAME =" among the measurements of a stock run.
double stockMeasurement(const fs::path& directory, const std::string& name)
{
    std::ifstream log(directory / "log.txt");
    for (std::string line; std::getline(log, line);) {
        const std::size_t digits = line.find_first_of("0123456789", line.find('='));
        if (line.rfind(name + " ", 0) == 0 && digits != std::string::npos) {
            double value = std::nan("");
            std::from_chars(line.data() + digits, line.data() + line.size(), value);
            return value;
        }
    }
    throw std::runtime_error("the stock run has no " + name);
}

double timeOfSpeed(const Waveforms& waveforms, double speed_rad_s)
{
    const std::vector<double>& speed = waveforms.real.at(0);
    for (std::size_t i = 1; i < speed.size(); ++i) {
        if (speed[i] >= speed_rad_s) {
            const double share = (speed_rad_s - speed[i - 1]) / (speed[i] - speed[i - 1]);
            return std::lerp(waveforms.time_s[i - 1], waveforms.time_s[i], share);
        }
    }
    return std::nan("");
}

struct Comparison {
    std::vector<double> stock_s, whole_s, stopped_s;
    Waveforms whole, stopped;

    [[nodiscard]] static double ratio(const std::vector<double>& embedded_s,
                                      const std::vector<double>& stock_s)
    {
        std::vector<double> ratios;
        for (std::size_t i = 0; i < stock_s.size(); ++i) {
            ratios.push_back(embedded_s[i] / stock_s[i]);
        }
        return median(ratios);
    }
};

// Interleaved, so that a change in what else the machine does strikes all alike.
Comparison measure(const SimulationRequest& whole, const SimulationRequest& stopped,
                   const fs::path& directory)
{
    SimulatorPool pool(1);
    pool.run(whole);  // the worker starts once for many runs: not part of any one of them
    runStock(directory);
    Comparison comparison;
    for (int round = 0; round < rounds; ++round) {
        comparison.stock_s.push_back(seconds([&] { runStock(directory); }));
        comparison.whole_s.push_back(seconds([&] { comparison.whole = pool.run(whole); }));
        comparison.stopped_s.push_back(seconds([&] { comparison.stopped = pool.run(stopped); }));
    }
    return comparison;
}

int compare(double step_s)
{
    const splitstart::book::Machine machine = splitstart::book::quarterHorsepower();
    const splitstart::book::StartConditions conditions = splitstart::book::quarterHorsepowerStart();
    const double switch_rad_s = conditions.startSwitch.speed_rad_s;
    const double synchronous_rad_s = machine.synchronousSpeed_rad_s(60);
    const double exact_s =
        splitstart::book::integrateStart(machine, conditions).speedReached_s.value();

    splitstart::MotorCircuit circuit;
    circuit.machine = machine;
    circuit.source = conditions.source;
    circuit.branch = conditions.branch;
    circuit.startSwitch_rad_s = switch_rad_s;
    circuit.madeUpForStep_s = step_s;
    const std::string deck = fmt::format("start ratio {}\n", step_s) +
                             splitstart::deckOf(circuit, splitstart::transientCard(end_s, step_s));

    SimulationRequest whole;
    whole.deck = deck + ".end\n";
    whole.vectors = {"speed", "line", "switched", splitstart::probe::main_A,
                     splitstart::probe::auxiliary_A};
    whole.end_s = end_s;
    // The start is over once the motor has stood above 90 % of synchronous speed, the share that
    // `check` uses, for three cycles.
    SimulationRequest stopped = whole;
    stopped.stop = splitstart::StopRule{
        .vector = "speed", .threshold = 0.90 * synchronous_rad_s, .heldFor_s = 3.0 / 60};

    // The stock run saves the same vectors and measures; it prints six digits and writes no file of
    // waveforms, which is in its favour.
    const PrivateDirectory directory;
    std::ofstream(directory.path() / "deck.cir")
        << deck << ".save v(speed) v(line) v(switched) i(v.xmotor.vmain) i(v.xmotor.vaux)\n"
        << fmt::format(".meas tran t_switch when v(speed)={} rise=1\n", switch_rad_s)
        << ".meas tran i_main max i(v.xmotor.vmain)\n.end\n";

    const Comparison c = measure(whole, stopped, directory.path());
    const double stockError = stockMeasurement(directory.path(), "t_switch") / exact_s - 1;
    const double wholeError = timeOfSpeed(c.whole, switch_rad_s) / exact_s - 1;
    const double stoppedError = timeOfSpeed(c.stopped, switch_rad_s) / exact_s - 1;
    const double wholeRatio = Comparison::ratio(c.whole_s, c.stock_s);
    const double stoppedRatio = Comparison::ratio(c.stopped_s, c.stock_s);

    fmt::print(
        "largest step {:.0f} us, {} rounds, medians; switching time by the integrator "
        "{:.5f} s\n",
        step_s * 1e6, rounds, exact_s);
    const auto row = [](const char* what, double time_s, double ratio, double error) {
        fmt::print("  {:<44} {:7.2f} ms   ratio {:.3f}   switching time {:+.3f} %\n", what,
                   time_s * 1e3, ratio, error * 100);
    };
    row("stock ngspice -b, whole process, 1 s", median(c.stock_s), 1, stockError);
    row("embedded, 1 s", median(c.whole_s), wholeRatio, wholeError);
    row(fmt::format("embedded, stopped once up to speed, {:.3f} s", c.stopped.time_s.back())
            .c_str(),
        median(c.stopped_s), stoppedRatio, stoppedError);

    const double worst =
        std::max({std::abs(stockError), std::abs(wholeError), std::abs(stoppedError)});
    const bool accurate = worst <= accuracy_ratio;  // false for not-a-number
    const auto judged = [](bool met) { return met ? "met" : "MISSED"; };
    fmt::print("  aim of {}: full start {}, same span {}; accuracy of {} % {}\n", aim_ratio,
               judged(stoppedRatio <= aim_ratio), judged(wholeRatio <= aim_ratio),
               accuracy_ratio * 100, judged(accurate));
    return accurate && stoppedRatio <= aim_ratio ? 0 : 1;
}

}  // namespace

int main()
{
    try {
        const int usual = compare(splitstart::largestStep_s);
        compare(2 * splitstart::largestStep_s);
        compare(4 * splitstart::largestStep_s);
        return usual;
    } catch (const std::exception& error) {
        fmt::print(stderr, "start ratio: {}\n", error.what());
        return EXIT_FAILURE;
    }
}
