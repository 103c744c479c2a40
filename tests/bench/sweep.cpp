// How fast a sweep is, as ratios within one run: against a loop of stock `ngspice -b` processes,
// against a compiled integrator, over cases and over workers; and whether its memory stays flat.
// See README.md.
#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <boost/program_options.hpp>
#include <chrono>
#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <functional>
#include <numbers>
#include <stdexcept>
#include <string>
#include <vector>

#include "bench/workplace.h"
#include "case/reader.h"
#include "circuit/case_circuit.h"
#include "physics/pump_case.h"
#include "physics/quarter_horsepower.h"
#include "study/best_evidence.h"
#include "study/case_study.h"
#include "study/sweep.h"

namespace
{

namespace fs = std::filesystem;
namespace po = boost::program_options;
using namespace splitstart;
using bench::PrivateDirectory;
using bench::seconds;

// The capacitor branch of the textbook's start: 3 - j14.5 ohm.
constexpr double branch_ohm = 3;
constexpr double branchReactance_ohm = 14.5;

// A sweep of the pump over volts and microfarads with so many cases: `volts` times the rest.
class Pump
{
public:
    explicit Pump(const fs::path& file) : source_(written(file).string()) {}

    [[nodiscard]] static SweepPlan plan(std::size_t volts, std::size_t capacitors)
    {
        const auto steps = [](const char* field, double from, double to, std::size_t count) {
            return variedField(fmt::format("{}={:g}:{:g}:{:.12g}", field, from, to,
                                           (to - from) / static_cast<double>(count - 1)));
        };
        std::vector<VariedField> fields;
        fields.push_back(steps("supply.volts", 100, 121, volts));
        fields.push_back(steps("start-capacitor.microfarads", 140, 240, capacitors));
        return {std::move(fields), std::nullopt};
    }

    [[nodiscard]] const CaseSource& source() const { return source_; }

private:
    static const fs::path& written(const fs::path& file)
    {
        const double radian = 2 * std::numbers::pi * 60;
        std::ofstream(file) << book::pumpCaseText(1e6 / (radian * branchReactance_ohm),
                                                  100 * branch_ohm / branchReactance_ohm);
        return file;
    }
    CaseSource source_;
};

std::size_t columnNamed(const Sweep& sweep, std::string_view name)
{
    const std::vector<SweepColumn>& columns = sweep.columns();
    return static_cast<std::size_t>(
        std::find_if(columns.begin(), columns.end(),
                     [name](const SweepColumn& column) { return column.name == name; }) -
        columns.begin());
}

// Seconds for the rows from `first` to before `last`; their switching times into `switched_s`.
double sweepSeconds(Sweep& sweep, std::size_t first, std::size_t last,
                    std::vector<double>* switched_s = nullptr)
{
    const std::size_t column = columnNamed(sweep, "start_contact_opened_s");
    const std::size_t problem = columnNamed(sweep, "problem");
    return seconds([&] {
        const bool whole =
            sweep.run({[&](std::size_t number) { return number >= first && number < last; },
                       [&](const SweepRow& row) {
                           if (const auto* what = std::get_if<std::string>(&row.cells[problem])) {
                               throw std::runtime_error("a row failed: " + *what);
                           }
                           if (switched_s != nullptr) {
                               switched_s->at(row.number) = std::get<double>(row.cells[column]);
                           }
                       },
                       {}});
        if (!whole) {
            throw std::runtime_error("a sweep was stopped");
        }
    });
}

book::StartConditions conditionsOf(std::span<const FieldChange> changes)
{
    book::StartConditions conditions = book::quarterHorsepowerStart();
    conditions.source.rms_V = std::stod(changes[0].value);
    const double farads = std::stod(changes[1].value) * 1e-6;
    conditions.branch.capacitance_F = farads;
    // The circuit has a control contact in its line, and the switch's own contact in the branch.
    constexpr double controlContact_ohm = 0.005;
    constexpr double startContact_ohm = 0.02;
    conditions.source.resistance_ohm = controlContact_ohm;
    conditions.branch.resistance_ohm =
        startContact_ohm + branch_ohm / branchReactance_ohm / (2 * std::numbers::pi * 60 * farads);
    return conditions;
}

// The same start by a fourth-order Runge-Kutta of the textbook's equations, compiled, with a fixed
// step: flux linkages of main, auxiliary and both rotor circuits, speed, capacitor. Returns when
// the start switch's speed is reached; the branch is cut off there. Krause, Wasynczuk, Sudhoff.
double rungeKuttaStart(const book::Machine& m, const book::StartConditions& c, double end_s)
{
    using State = std::array<double, 6>;
    bool isIn = true;
    const double mainBoth_H = m.mainLeakage_H + m.mainMagnetizing_H;
    const double rotorBoth_H = m.rotorMainLeakage_H + m.mainMagnetizing_H;
    const double auxiliaryBoth_H = m.auxiliaryLeakage_H + m.auxiliaryMagnetizing_H;
    const double rotorAuxiliaryBoth_H = m.rotorAuxiliaryLeakage_H + m.auxiliaryMagnetizing_H;
    const double mainDet = mainBoth_H * rotorBoth_H - m.mainMagnetizing_H * m.mainMagnetizing_H;
    const double auxiliaryDet = auxiliaryBoth_H * rotorAuxiliaryBoth_H -
                                m.auxiliaryMagnetizing_H * m.auxiliaryMagnetizing_H;
    const double omega = 2 * std::numbers::pi * c.source.frequency_Hz;
    const auto slope = [&](double time_s, const State& y) {
        const double source_V = std::numbers::sqrt2 * c.source.rms_V * std::sin(omega * time_s);
        const double main_A = (rotorBoth_H * y[0] - m.mainMagnetizing_H * y[2]) / mainDet;
        const double rotor_A = (mainBoth_H * y[2] - m.mainMagnetizing_H * y[0]) / mainDet;
        const double auxiliary_A =
            isIn ? (rotorAuxiliaryBoth_H * y[1] - m.auxiliaryMagnetizing_H * y[3]) / auxiliaryDet
                 : 0;
        const double rotorAuxiliary_A =
            isIn ? (auxiliaryBoth_H * y[3] - m.auxiliaryMagnetizing_H * y[1]) / auxiliaryDet
                 : y[3] / rotorAuxiliaryBoth_H;
        const double turning = m.polePairs * y[4];
        const double volts_V = source_V - c.source.resistance_ohm * (main_A + auxiliary_A);
        State d{};
        d[0] = volts_V - m.mainResistance_ohm * main_A;
        d[1] = isIn ? volts_V - y[5] -
                          (m.auxiliaryResistance_ohm + c.branch.resistance_ohm) * auxiliary_A
                    : 0;
        d[2] = -m.rotorMainResistance_ohm * rotor_A + turning / m.turns_ratio * y[3];
        d[3] = -m.rotorAuxiliaryResistance_ohm * rotorAuxiliary_A - turning * m.turns_ratio * y[2];
        const double torque_Nm = m.polePairs * (m.turns_ratio * y[2] * rotorAuxiliary_A -
                                                y[3] * rotor_A / m.turns_ratio);
        d[4] = torque_Nm / m.inertia_kgm2;
        d[5] = isIn ? auxiliary_A / c.branch.capacitance_F : 0;
        return d;
    };
    constexpr double step_s = 2e-4;
    State y{};
    double reached_s = std::nan("");
    for (double time_s = 0; time_s < end_s; time_s += step_s) {
        const auto moved = [&](const State& d, double share) {
            State z = y;
            for (std::size_t i = 0; i < z.size(); ++i) {
                z[i] += share * step_s * d[i];
            }
            return z;
        };
        const State k1 = slope(time_s, y);
        const State k2 = slope(time_s + step_s / 2, moved(k1, 0.5));
        const State k3 = slope(time_s + step_s / 2, moved(k2, 0.5));
        const State k4 = slope(time_s + step_s, moved(k3, 1));
        const double before_rad_s = y[4];
        for (std::size_t i = 0; i < y.size(); ++i) {
            y[i] += step_s / 6 * (k1[i] + 2 * k2[i] + 2 * k3[i] + k4[i]);
        }
        if (isIn && y[4] >= c.startSwitch.speed_rad_s) {
            isIn = false;
            reached_s = time_s +
                        step_s * (c.startSwitch.speed_rad_s - before_rad_s) / (y[4] - before_rad_s);
        }
    }
    return reached_s;
}

// Memory of this process and of all below it, in MB.
double memory_MB()
{
    std::vector<pid_t> family = {getpid()};
    double pages = 0;
    for (std::size_t i = 0; i < family.size(); ++i) {
        std::ifstream statm(fmt::format("/proc/{}/statm", family[i]));
        double size = 0;
        double resident = 0;
        double shared = 0;
        statm >> size >> resident >> shared;
        pages += resident - shared;
        for (const auto& entry : fs::directory_iterator("/proc")) {
            const std::string name = entry.path().filename();
            if (name.find_first_not_of("0123456789") != std::string::npos) {
                continue;
            }
            std::ifstream stat(entry.path() / "stat");
            std::string text;
            std::getline(stat, text);
            const std::size_t close = text.rfind(')');
            if (close != std::string::npos &&
                std::stol("0" + text.substr(std::min(text.size(), close + 4))) == family[i]) {
                family.push_back(static_cast<pid_t>(std::stol(name)));
            }
        }
    }
    return pages * static_cast<double>(sysconf(_SC_PAGESIZE)) / 1e6;
}

const char* judged(bool met)
{
    return met ? "met" : "MISSED";
}

// What the loop's processes print is kept, as somebody would who wants the numbers.
double stockSeconds(const fs::path& directory, std::size_t first, std::size_t last)
{
    const std::string command = fmt::format(
        "cd '{}' && seq -f 'deck-%05.0f' {} {} | xargs -P2 -I@ sh -c 'ngspice -b @.cir > @.log "
        "2>&1'",
        directory.string(), first, last - 1);
    return seconds([&] {
        if (std::system(command.c_str()) != 0) {
            throw std::runtime_error("cannot run ngspice");
        }
    });
}

// The decks of `splitstart netlist`, as long as it makes them, or shorter.
void writeDecks(const CaseSource& source, const SweepPlan& plan, std::size_t cases, double end_s,
                const fs::path& directory, SimulatorPool& pool)
{
    const Case rated = completeCase(source.read());
    const MotorStudy motor = motorStudy(rated, caseCircuit(rated), pool);
    for (std::size_t i = 0; i < cases; ++i) {
        const Case input = completeCase(source.read(plan.changesOf(i)));
        Corner corner;
        corner.line_ratio = input.supply.voltage_V / ratedVoltage_V(rated);
        std::ofstream(directory / fmt::format("deck-{:05}.cir", i))
            << startDeck(input, caseCircuit(input), motor, corner, end_s);
    }
}

double stockSwitched_s(const fs::path& directory, std::size_t index)
{
    std::ifstream log(directory / fmt::format("deck-{:05}.log", index));
    for (std::string line; std::getline(log, line);) {
        const std::size_t name = line.find("start_contact_opened_s");
        const std::size_t digits = line.find_first_of("0123456789", line.find('=', name));
        if (name != std::string::npos && digits != std::string::npos) {
            return std::stod(line.substr(digits));
        }
    }
    return std::nan("");
}

constexpr double stockAim_ratio = 0.25;

// Both ways in blocks by turns, so that a change in what else the machine does strikes both alike.
struct BothWays {
    double stock_s = 0;
    double swept_s = 0;
    std::vector<double> switched_s;  // by the sweep
    [[nodiscard]] double ratio() const { return swept_s / stock_s; }
};

BothWays bothWays(const CaseSource& source, Sweep& sweep, std::size_t cases, double end_s,
                  const fs::path& directory, SimulatorPool& pool, std::size_t blocks)
{
    writeDecks(source, sweep.plan(), cases, end_s, directory, pool);
    BothWays both;
    both.switched_s.resize(sweep.rows());
    for (std::size_t block = 0; block < blocks; ++block) {
        const std::size_t first = cases * block / blocks;
        const std::size_t last = cases * (block + 1) / blocks;
        both.stock_s += stockSeconds(directory, first, last);
        both.swept_s += sweepSeconds(sweep, first, last, &both.switched_s);
    }
    return both;
}

// A compressor against its load, in one piece, since each run of a sweep estimates the motor first.
int compareCompressor(const std::string& caseFile, const fs::path& directory, std::size_t cases,
                      double end_s)
{
    const CaseSource source(caseFile);
    SimulatorPool pool(2);
    std::vector<VariedField> fields;
    fields.push_back(variedField("supply.volts=200:248:2"));
    fields.push_back(
        variedField(fmt::format("start-capacitor.microfarads=110:190:{:.12g}",
                                80 / (std::ceil(static_cast<double>(cases) / 25) - 1))));
    Sweep sweep(source, SweepPlan(std::move(fields), std::nullopt), {}, pool);
    const BothWays both = bothWays(source, sweep, cases, end_s, directory, pool, 1);
    double worst = 0;
    constexpr std::size_t compared = 20;
    for (std::size_t i = 0; i < compared; ++i) {
        const std::size_t index = (cases - 1) * i / (compared - 1);
        worst = std::max(worst,
                         std::abs(both.switched_s[index] / stockSwitched_s(directory, index) - 1));
    }
    fmt::print(
        "(a) {} starts of {}, likewise\n"
        "    loop of ngspice -b through xargs -P2   {:8.2f} s\n"
        "    sweep, two workers                     {:8.2f} s   switching time within {:.3f} % "
        "of the loop's\n    ratio {:.3f}: aim of {} {}\n",
        cases, completeCase(source.read()).name, both.stock_s, both.swept_s, worst * 100,
        both.ratio(), stockAim_ratio, judged(both.ratio() <= stockAim_ratio));
    return both.ratio() <= stockAim_ratio ? 0 : 1;
}

int comparePump(const fs::path& directory, std::size_t cases, double end_s)
{
    constexpr double accuracy_ratio = 0.005;
    constexpr std::size_t volts = 25;
    const Pump pump(directory / "pump.xml");
    SimulatorPool pool(2);
    Sweep sweep(pump.source(), Pump::plan(volts, (cases + volts - 1) / volts), {}, pool);
    const BothWays both = bothWays(pump.source(), sweep, cases, end_s, directory, pool, 5);
    const std::vector<double>& switched_s = both.switched_s;
    double worst = 0;
    double worstStock = 0;
    constexpr std::size_t compared = 10;
    const book::Machine machine = book::quarterHorsepower();
    double rungeKutta_s = 0;
    double worstRungeKutta = 0;
    for (std::size_t i = 0; i < compared; ++i) {
        const std::size_t index = (cases - 1) * i / (compared - 1);
        const book::StartConditions conditions = conditionsOf(sweep.plan().changesOf(index));
        const double exact_s = book::integrateStart(machine, conditions).speedReached_s.value();
        worst = std::max(worst, std::abs(switched_s[index] / exact_s - 1));
        worstStock =
            std::max(worstStock, std::abs(stockSwitched_s(directory, index) / exact_s - 1));
        // The same span as a row of the sweep: to the switching and some time beyond.
        double reached_s = 0;
        rungeKutta_s +=
            seconds([&] { reached_s = rungeKuttaStart(machine, conditions, exact_s + 0.4); });
        worstRungeKutta = std::max(worstRungeKutta, std::abs(reached_s / exact_s - 1));
    }
    const double ratio = both.ratio();
    fmt::print(
        "(a) {} starts of the textbook motor, two at a time, stock decks of {:.3g} s\n"
        "    loop of ngspice -b through xargs -P2   {:8.2f} s   switching time within {:.3f} %\n"
        "    sweep, two workers                     {:8.2f} s   within {:.3f} %\n"
        "    ratio {:.3f}: aim of {} {}; accuracy of {} % {}\n",
        cases, end_s, both.stock_s, worstStock * 100, both.swept_s, worst * 100, ratio,
        stockAim_ratio, judged(ratio <= stockAim_ratio), accuracy_ratio * 100,
        judged(std::max(worst, worstStock) <= accuracy_ratio));
    const double each_s = 2 * both.swept_s / static_cast<double>(cases);
    fmt::print(
        "(c) compiled Runge-Kutta, one core: {:.3f} ms a start, within {:.3f} %; a start of "
        "the sweep takes {:.1f} ms of one worker: {:.0f} times as much\n",
        1e3 * rungeKutta_s / compared, worstRungeKutta * 100, 1e3 * each_s,
        each_s / (rungeKutta_s / compared));
    return ratio <= stockAim_ratio && worst <= accuracy_ratio ? 0 : 1;
}

// What `choose` does with each candidate: the checks at held shafts alone, and all starts.
int screening(const std::string& caseFile)
{
    constexpr double aim_ratio = 20;
    const CaseSource source(caseFile);
    const Case rated = completeCase(source.read());
    SimulatorPool pool(2);
    const MotorStudy motor = motorStudy(rated, caseCircuit(rated), pool);
    const SweepPlan plan({variedField("start-capacitor.microfarads=60:250:10")}, std::nullopt);
    double held_s = 0;
    double starts_s = 0;
    std::size_t discarded = 0;
    for (std::size_t i = 0; i < plan.size(); ++i) {
        const Case input = withSource(completeCase(source.read(plan.changesOf(i))), motor);
        const Circuit circuit = caseCircuit(input);
        Evidence held;
        std::vector<Finding> findings;
        held_s += seconds([&] {
            held = heldEvidence(input, circuit, motor, pool);
            findings = judge(input, circuit, {&held, 1});
        });
        const bool fails =
            std::any_of(findings.begin(), findings.end(),
                        [](const Finding& finding) { return finding.verdict == Verdict::fail; });
        discarded += fails ? 1 : 0;
        starts_s += seconds([&] {
            const std::vector<Evidence> all =
                withStarts(held, input, circuit, motor, Corners::all, pool);
            findings = judge(input, circuit, all);
        });
    }
    const double ratio = starts_s / held_s;
    const auto each_ms = [&](double all_s) {
        return 1e3 * all_s / static_cast<double>(plan.size());
    };
    fmt::print(
        "(b) {} candidates of {}, two workers: held shafts {:.1f} ms each, starts at all corners "
        "{:.1f} ms: {:.1f} times as much; aim of {} {}; {} have something that fails at held "
        "shafts\n",
        plan.size(), rated.name, each_ms(held_s), each_ms(starts_s), ratio, aim_ratio,
        judged(ratio >= aim_ratio), discarded);
    return ratio >= aim_ratio ? 0 : 1;
}

int growth(const fs::path& directory, std::size_t cases)
{
    const Pump pump(directory / "pump.xml");
    SimulatorPool pool(2);
    Sweep sweep(pump.source(), Pump::plan(100, (cases + 99) / 100), {}, pool);
    // Time over cases: equal blocks should take equal time.
    fmt::print("(d, e) memory and time over {} cases, two workers\n", cases);
    constexpr std::size_t blocks = 10;
    std::vector<double> block_s;
    std::vector<double> memory;
    for (std::size_t block = 0; block < blocks; ++block) {
        block_s.push_back(
            sweepSeconds(sweep, cases * block / blocks, cases * (block + 1) / blocks));
        memory.push_back(memory_MB());
        fmt::print("    cases up to {:6}: {:7.2f} s, memory {:.1f} MB\n",
                   cases * (block + 1) / blocks, block_s.back(), memory.back());
        std::fflush(stdout);
    }
    // Workers are replaced after some thousand runs, so that it rises and falls.
    const auto middle = memory.begin() + blocks / 2;
    const double growth_ratio =
        *std::max_element(middle, memory.end()) / *std::max_element(memory.begin(), middle);
    const double slower_ratio =
        (block_s[blocks - 1] + block_s[blocks - 2]) / (block_s[0] + block_s[1]);
    constexpr double flat_ratio = 1.1;
    fmt::print(
        "    highest memory of the second half over that of the first: {:.3f} {}; time of the last "
        "fifth "
        "over the first: {:.3f}\n",
        growth_ratio, judged(growth_ratio < flat_ratio), slower_ratio);
    return growth_ratio < flat_ratio ? 0 : 1;
}

void workers(const fs::path& directory, std::size_t cases)
{
    const Pump pump(directory / "pump.xml");
    fmt::print("(e) {} cases over workers (the machine has {} processors)\n", cases,
               sysconf(_SC_NPROCESSORS_ONLN));
    double one_s = 0;
    for (const unsigned count : {1U, 2U, 4U}) {
        SimulatorPool pool(count);
        Sweep sweep(pump.source(), Pump::plan(10, (cases + 9) / 10), {}, pool);
        sweepSeconds(sweep, 0, 2);  // workers start once for many runs
        const double taken_s = sweepSeconds(sweep, 2, cases);
        one_s = count == 1 ? taken_s : one_s;
        fmt::print("    {} workers: {:7.2f} s, {:.2f} times as fast as one\n", count, taken_s,
                   one_s / taken_s);
    }
}

}  // namespace

int main(int argc, char** argv)
{
    po::options_description options("bench_sweep");
    options.add_options()("help", "")("starts", po::value<std::size_t>()->default_value(1000),
                                      "of the comparison with stock ngspice; 0: leave it out")(
        "seconds", po::value<double>()->default_value(1.5), "length of the stock decks")(
        "compressor",
        po::value<std::string>()->default_value(SPLITSTART_SOURCE_DIR "/examples/cheese-store.xml"),
        "the case that is compared besides the textbook's motor")(
        "screening",
        po::value<std::string>()->default_value(SPLITSTART_SOURCE_DIR "/examples/cheese-store.xml"),
        "the case whose start capacitor is chosen; empty: leave it out")(
        "cases", po::value<std::size_t>()->default_value(10000),
        "of the sweep whose memory is watched; 0: leave it out")(
        "worker-cases", po::value<std::size_t>()->default_value(400),
        "of each number of workers; 0: leave it out");
    po::variables_map values;
    try {
        po::store(po::parse_command_line(argc, argv, options), values);
        if (values.count("help") != 0) {
            std::ostringstream text;
            text << options;
            fmt::print("{}", text.str());
            return 0;
        }
        const PrivateDirectory directory;
        int status = 0;
        if (const auto starts = values["starts"].as<std::size_t>(); starts > 0) {
            const auto end_s = values["seconds"].as<double>();
            status += comparePump(directory.path(), starts, end_s);
            status += compareCompressor(values["compressor"].as<std::string>(), directory.path(),
                                        starts, end_s);
        }
        if (const auto& file = values["screening"].as<std::string>(); !file.empty()) {
            status += screening(file);
        }
        if (const auto cases = values["worker-cases"].as<std::size_t>(); cases > 0) {
            workers(directory.path(), cases);
        }
        if (const auto cases = values["cases"].as<std::size_t>(); cases > 0) {
            status += growth(directory.path(), cases);
        }
        return status;
    } catch (const std::exception& error) {
        fmt::print(stderr, "bench_sweep: {}\n", error.what());
        return EXIT_FAILURE;
    }
}
