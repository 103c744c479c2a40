// Whether any valid case ends in a verdict or in a named error of the simulator, and never in a
// wrong number: made-up cases of all circuits, start devices, supplies, loads and temperatures. See
// README.md.
//     bench_random_cases [FIRST [LAST [STEP [STRIDE]]]]
// Cases FIRST to LAST - 1, each the same whenever and wherever it is run, so that two processes can
// share them. STEP [s] is that of the starts that the integrator follows, too; left out, that of
// `check`.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <csignal>
#include <cstdio>
#include <fstream>
#include <map>
#include <numbers>
#include <string>
#include <vector>

#include "bench/random_cases/network_energy.h"
#include "bench/random_cases/plausible_case.h"
#include "case/input_error.h"
#include "case/reader.h"
#include "circuit/case_circuit.h"
#include "fuzz/choices.h"
#include "motor/estimate.h"
#include "physics/book_bench.h"
#include "report/verdict.h"
#include "study/best_evidence.h"
#include "study/case_study.h"

namespace
{

using namespace splitstart;
using bench::CaseKind;

// As on possible machines, and for no longer than most starts take.
constexpr StartEffort effort{4e-4, 0.20, 0, 1.2, 10};

struct Largest {
    double value = 0;
    std::uint32_t of = 0;
    void add(double deviation, std::uint32_t number)
    {
        if (!(std::abs(deviation) <= std::abs(value))) {  // true of not a number, too
            value = deviation;
            of = number;
        }
    }
};

struct Compared {
    std::vector<double> deviations;
    Largest largest;
    void add(double deviation, std::uint32_t number)
    {
        deviations.push_back(std::abs(deviation));
        largest.add(deviation, number);
    }
    [[nodiscard]] std::string text() const
    {
        if (deviations.empty()) {
            return "none";
        }
        std::vector<double> sorted = deviations;
        std::sort(sorted.begin(), sorted.end());
        const auto at = [&](double share) {
            return 100 *
                   sorted[static_cast<std::size_t>(share * static_cast<double>(sorted.size() - 1))];
        };
        return fmt::format(
            "{} compared; deviation in % median {:.4f}, 95th percentile {:.4f}, "
            "largest {:.4f} (case {})",
            sorted.size(), at(0.5), at(0.95), 100 * largest.value, largest.of);
    }
};

// A number that cannot be, in words; empty where there is none.
std::string impossible(const StartMeasurement& measured, const EquivalentCircuit& motor)
{
    for (const StartQuantity& quantity : startQuantities()) {
        const std::optional<double>& value = measured.*quantity.field;
        if (value && !std::isfinite(*value)) {
            return fmt::format("{} is not finite", quantity.name);
        }
        // 1 MA, 1 MV, 1 MW: nothing within the limits of a case file comes near.
        if (value && std::abs(*value) > 1e6 && !quantity.name.ends_with("a2s") &&
            quantity.name != "protector_opens_s" &&
            // The square of the amps over those that it stands, which a file may put at 0.05 A.
            quantity.name != "protector_hottest_degc") {
            return fmt::format("{} is {:g}", quantity.name, *value);
        }
    }
    // A rotor whose axes differ is no cage but acts like a commutator: it may run at any speed.
    if (std::abs(measured.speedAtEnd_ratio.value_or(0)) > 1.05 && twoCagesNote(motor).empty()) {
        return fmt::format("it runs at {:g} of synchronous speed", *measured.speedAtEnd_ratio);
    }
    return {};
}

std::string impossible(const std::vector<Finding>& findings)
{
    for (const Finding& finding : findings) {
        if (finding.hasValue && !(std::isfinite(finding.value) && std::isfinite(finding.limit))) {
            return fmt::format("check {}: value {:g}, limit {:g}", finding.check->id, finding.value,
                               finding.limit);
        }
        if (finding.verdict != Verdict::undecided && finding.hasValue &&
            (finding.margin >= 0) != (finding.verdict == Verdict::pass)) {
            return fmt::format("check {}: {} by a margin of {:g}", finding.check->id,
                               verdictName(finding.verdict), finding.margin);
        }
    }
    return {};
}

class Bench
{
public:
    explicit Bench(double comparedStep_s) : comparedStep_s_(comparedStep_s) {}

    void run(std::uint32_t number)
    {
        // One in ten has every number anywhere in its range; two in a hundred are such that the
        // independent integrator can follow them.
        const CaseKind kind = number % 50 == 25  ? CaseKind::twoWindings
                              : number % 10 == 7 ? CaseKind::anywhere
                                                 : CaseKind::ofAWorkshop;
        const std::string text = bench::madeUpCase(number, kind);
        Case input;
        Circuit circuit;
        try {
            input = readCaseText(text, fmt::format("case-{}.xml", number), {});
            circuit = caseCircuit(input);
        } catch (const InputError& error) {
            ++refused_;
            fmt::print(stderr, "case {} refused: {}\n", number, error.what());
            return;
        }
        ++cases_;
        const auto device = startDeviceOf(circuit);
        ++circuits_[fmt::format("{} {} {}", circuit.type, circuit.variant,
                                device ? partKindInfo(*device).words : "no start device")];
        try {
            judgeCase(number, input, circuit, kind);
        } catch (const SimulationError& error) {
            ++errors_[fmt::format("{}{}", faultName(error.fault()),
                                  kind == CaseKind::anywhere ? " (numbers anywhere)" : "")];
            keep(number, text, faultName(error.fault()) + std::string(": ") + error.what());
        } catch (const InputError& error) {
            ++refused_;
            --cases_;
        } catch (const std::exception& error) {
            wrong(number, text, error.what());
        }
        if (!said_.empty()) {
            wrong(number, text, said_);
        }
        said_.clear();
    }

    void print() const
    {
        fmt::print("{} cases ({} more were refused by the reader or as a circuit)\n", cases_,
                   refused_);
        int errors = 0;
        for (const auto& [name, count] : errors_) {
            errors += count;
        }
        fmt::print("verdict: {}; named error: {}; of the verdicts wrong: {}\n", verdicts_, errors,
                   wrong_);
        fmt::print("{} starts, {} of them up to speed\n", starts_, ran_);
        for (const auto& [name, count] : errors_) {
            fmt::print("  error: {} {}\n", count, name);
        }
        for (const auto& [name, count] : fitness_) {
            fmt::print("  verdict: {} {}\n", count, name);
        }
        fmt::print("energy: {}\n", energy_.text());
        fmt::print("not compared, since the start switch closed again or its arc burnt on: {}\n",
                   closedAgain_);
        fmt::print(
            "not compared, since it turns backwards: {}; since its arc outlasts a zero of the "
            "current: {}\n",
            backwards_, longArcs_);
        fmt::print("time to speed: {}\n", time_.text());
        fmt::print("start switch opens: {}\n", opening_.text());
        fmt::print("speed at the end: {}\n", speed_.text());
        fmt::print("peak of the run winding's amps: {}\n", mainPeak_.text());
        fmt::print("peak of the start winding's amps: {}\n", auxiliaryPeak_.text());
        for (const auto& [name, count] : circuits_) {
            fmt::print("  circuit: {} {}\n", count, name);
        }
    }

private:
    void judgeCase(std::uint32_t number, const Case& input, const Circuit& circuit, CaseKind kind)
    {
        fuzz::RandomChoices choices(number + 1);
        const MotorStudy motor = motorStudy(input, circuit, pool_);
        std::vector<Evidence> evidence = {heldEvidence(input, circuit, motor, pool_)};
        if (number % 200 == 0) {
            evidence = withStarts(evidence.front(), input, circuit, motor, Corners::few, pool_);
        } else {
            const std::vector<Corner> corners = checkCorners(input);
            const Corner corner = corners[choices.below(corners.size())];
            const StartJob job{corner, false,
                               simulationModel(input, circuit, motor.motor.circuit,
                                               motor.motor.ratedTorque_Nm.value, corner)};
            const StartOutcome outcome = runStarts(input, {&job, 1}, pool_, effort).front();
            if (const auto* error = std::get_if<SimulationError>(&outcome)) {
                throw *error;
            }
            evidence.front().starts.push_back({corner, std::get<StartMeasurement>(outcome)});
        }
        for (const Evidence& each : evidence) {
            for (const StartRun& start : each.starts) {
                note(impossible(start.measured, motor.motor.circuit));
                ++starts_;
                ran_ += start.measured.timeToSpeed_s ? 1 : 0;
            }
        }
        const std::vector<Finding> findings = judge(input, circuit, evidence);
        note(impossible(findings));
        ++verdicts_;
        ++fitness_[std::string(fitnessName(fitnessOf(motor, findings)))];
        if (kind == CaseKind::twoWindings) {
            compare(number, input, circuit, motor);
        } else if (number % 50 == 1) {
            const Corner corner = checkCorners(input).front();
            const bench::NetworkBalance balance =
                bench::networkBalance(simulationModel(input, circuit, motor.motor.circuit,
                                                      motor.motor.ratedTorque_Nm.value, corner),
                                      pool_);
            energy_.add(balance.error_ratio(), number);
            if (!(std::abs(balance.error_ratio()) < 0.01)) {
                note(fmt::format("energy is off by {:.3g} % of {:.4g} J",
                                 100 * balance.error_ratio(), balance.supplied_J));
            }
        }
    }

    // The start as `check` simulates it, parts in the middle, against the textbook's equations.
    void compare(std::uint32_t number, const Case& input, const Circuit& circuit,
                 const MotorStudy& motor)
    {
        const Corner corner{1, 25, Release::middle, input.compressor.load.pressures};
        const StartJob job{corner, false,
                           simulationModel(input, circuit, motor.motor.circuit,
                                           motor.motor.ratedTorque_Nm.value, corner)};
        StartEffort fine;
        fine.largestStep_s = comparedStep_s_;
        const StartOutcome outcome = runStarts(input, {&job, 1}, pool_, fine).front();
        if (const auto* error = std::get_if<SimulationError>(&outcome)) {
            throw *error;
        }
        const auto& measured = std::get<StartMeasurement>(outcome);
        if (measured.startContactOpenings.value_or(0) > 1 ||
            (measured.timeToSpeed_s && measured.startContactAtEnd.value_or(0) > 0.5)) {
            ++closedAgain_;  // the integrator's switch opens once and for all, and without fail
            return;
        }
        const EquivalentCircuit& given = motor.motor.circuit;
        book::Machine machine = book::machineOf(given, 25, ratedVoltage_V(input));
        const double rated_rad_s = synchronousSpeed_rad_s(given.frequency_Hz, given.poles);
        machine.friction_Nms = given.friction_W / (rated_rad_s * rated_rad_s);
        if (given.saturationSlope_ratio > 0) {
            machine.saturation = {given.saturationSlope_ratio,
                                  std::numbers::sqrt2 * given.saturationKnee_V /
                                      (2 * std::numbers::pi * given.frequency_Hz)};
        }
        const book::Start start =
            book::integrateStart(machine, conditionsOf(job.model, *measured.end_s));
        const double synchronous_rad_s = job.model.synchronousSpeed_rad_s;
        const auto reached = std::find_if(
            start.samples.begin(), start.samples.end(), [&](const book::Sample& sample) {
                return sample.speed_rad_s >= upToSpeed_ratio * synchronous_rad_s;
            });
        if ((reached != start.samples.end()) != measured.timeToSpeed_s.has_value()) {
            note("ngspice and the integrator disagree whether it comes up to speed");
            return;
        }
        const auto off = [&](Compared& compared, const char* what, double found, double book) {
            compared.add(found / book - 1, number);
            if (!(std::abs(found / book - 1) < 0.01)) {
                note(fmt::format("{} {:.6g} where the integrator has {:.6g}", what, found, book));
            }
        };
        if (measured.speedAtEnd_ratio.value_or(0) < -0.05) {
            ++backwards_;  // the integrator's switch knows one direction only
            return;
        }
        if (measured.startContactOpened_s && start.speedReached_s) {
            off(opening_, "opening", *measured.startContactOpened_s, *start.speedReached_s);
            // The integrator's arc ends at the first zero of its current. In the model one of many
            // amps burns on for some more half cycles, and the start circuit helps meanwhile.
            if (measured.timeToSpeed_s &&
                std::abs(*measured.timeToSpeed_s / reached->time_s - 1) > 0.01) {
                ++longArcs_;
                return;
            }
        }
        if (measured.timeToSpeed_s) {
            off(time_, "time to speed", *measured.timeToSpeed_s, reached->time_s);
        }
        double mean_rad_s = 0;
        const double from_s = *measured.end_s - cyclesAtEnd / job.model.frequency_Hz;
        int counted = 0;
        for (const book::Sample& sample : start.samples) {
            if (sample.time_s >= from_s) {
                mean_rad_s += sample.speed_rad_s;
                ++counted;
            }
        }
        // Of synchronous speed: one that does not start turns at next to nothing.
        speed_.add(*measured.speedAtEnd_ratio - mean_rad_s / counted / synchronous_rad_s, number);
        off(mainPeak_, "main peak", *measured.mainPeak_A, start.peak(&book::Sample::main_A));
        off(auxiliaryPeak_, "auxiliary peak", *measured.auxiliaryPeak_A,
            start.peak(&book::Sample::auxiliary_A));
    }

    // From the parameters of the deck: what the labels mean in them is netgen's business, and what
    // follows from them the integrator's. All that carries the line's current is in the source.
    static book::StartConditions conditionsOf(const SimulationModel& model, double end_s)
    {
        const auto of = [&model](const SubcircuitInstance& instance, std::string_view parameter) {
            for (const auto& [name, value] : instance.parameters) {
                if (name == parameter) {
                    return value;
                }
            }
            throw std::logic_error(fmt::format("{} has no {}", instance.name, parameter));
        };
        book::StartConditions conditions;
        conditions.end_s = end_s;
        conditions.startSwitch.opening = book::Opening::never;
        conditions.startSwitch.speed_rad_s = upToSpeed_ratio * model.synchronousSpeed_rad_s;
        conditions.branch = {1e3, 0};  // next to no reactance where there is no capacitor
        for (const SubcircuitInstance& each : model.instances) {
            const std::string& kind = each.subcircuit;
            if (kind == "supply") {
                conditions.source.rms_V = of(each, "rms_v");
                conditions.source.frequency_Hz = of(each, "line_hz");
                conditions.source.phase_rad = of(each, "switch_on_deg") * std::numbers::pi / 180;
                conditions.source.resistance_ohm += of(each, "source_ohms");
                conditions.source.inductance_H += of(each, "source_h");
            } else if (kind == "conductor") {
                // IEC 60028 and IEC 60889 resistivities (from memory), both ways.
                const bool aluminium = of(each, "aluminium") > 0.5;
                const double resistivity_ohm_m =
                    (aluminium ? 2.8264e-8 : 1.7241e-8) *
                    (1 + (aluminium ? 0.00403 : 0.00393) * (of(each, "temperature_degc") - 20));
                conditions.source.resistance_ohm += 2 * of(each, "metres") * of(each, "lay_ratio") *
                                                    resistivity_ohm_m /
                                                    (of(each, "square_millimetres") * 1e-6);
                conditions.source.inductance_H += of(each, "henries_per_m") * of(each, "metres");
            } else if (kind == "closed_switch") {
                conditions.source.resistance_ohm += of(each, "ohms");
            } else if (kind == "ac_capacitor") {
                conditions.branch.capacitance_F = of(each, "farads");
                conditions.branch.resistance_ohm += of(each, "series_ohms");
            } else if (kind == "centrifugal_switch") {
                conditions.startSwitch = {book::Opening::atCurrentZero, of(each, "opens_rad_s")};
                conditions.branch.resistance_ohm += of(each, "contact_ohms");
            } else if (kind == "steady_load") {
                const double torque_Nm = of(each, "torque_nm");
                const double friction_Nm = of(each, "friction_nm");
                const double buildUp_rev = of(each, "build_up_revs");
                conditions.load = [=](double speed_rad_s, double angle_rad) {
                    const double built = buildUp_rev > 0
                                             ? 1 - std::exp(-std::abs(angle_rad) /
                                                            (2 * std::numbers::pi * buildUp_rev))
                                             : 1;
                    return (torque_Nm * built + friction_Nm) * std::tanh(speed_rad_s);
                };
            } else if (kind != "split_phase_motor") {
                throw std::logic_error("the integrator knows no " + kind);
            }
        }
        return conditions;
    }

    void note(const std::string& problem)
    {
        if (said_.empty()) {
            said_ = problem;
        }
    }

    static void keep(std::uint32_t number, const std::string& text, const std::string& what)
    {
        fmt::print("case {}: {}\n", number, what);
        std::fflush(stdout);
        std::ofstream(fmt::format("random-case-{}.xml", number)) << text;
    }

    void wrong(std::uint32_t number, const std::string& text, const std::string& what)
    {
        ++wrong_;
        keep(number, text, "WRONG: " + what);
    }

    SimulatorPool pool_{1};
    double comparedStep_s_;
    std::string said_;
    int cases_ = 0;
    int refused_ = 0;
    int verdicts_ = 0;
    int starts_ = 0;
    int ran_ = 0;
    int closedAgain_ = 0;
    int backwards_ = 0;
    int longArcs_ = 0;
    int wrong_ = 0;
    std::map<std::string, int> errors_;
    std::map<std::string, int> fitness_;
    std::map<std::string, int> circuits_;
    Compared energy_;
    Compared time_;
    Compared opening_;
    Compared speed_;
    Compared mainPeak_;
    Compared auxiliaryPeak_;
};

volatile std::sig_atomic_t stopped = 0;

}  // namespace

int main(int argc, char** argv)
{
    // What was done until then is told all the same.
    std::signal(SIGTERM, [](int) { stopped = 1; });
    const auto first = static_cast<std::uint32_t>(argc > 1 ? std::stoul(argv[1]) : 0);
    const auto last = static_cast<std::uint32_t>(argc > 2 ? std::stoul(argv[2]) : first + 100);
    const auto stride = static_cast<std::uint32_t>(argc > 4 ? std::stoul(argv[4]) : 1);
    Bench bench(argc > 3 ? std::stod(argv[3]) : StartEffort().largestStep_s);
    for (std::uint32_t number = first; number < last && stopped == 0; number += stride) {
        bench.run(number);
        if ((number + 1 - first) % 500 == 0) {
            fmt::print(stderr, "{} done\n", number + 1 - first);
        }
    }
    bench.print();
}
