#include "study/sample_study.h"

#include <algorithm>
#include <cmath>
#include <set>

#include "study/held_shaft.h"
#include "study/start_runs.h"

namespace splitstart
{

namespace
{

// Coarser than with the best estimate, since what is not known weighs more: at 500 us the start
// circuit leaves within 0.1 % of the time found at 50 us in 19 of 20 starts of the examples, at two
// thirds of the work at 300 us (bench_steps); at 600 us it is 0.15 %, and little more is saved.
// Once up to speed a start is watched for 0.12 s (seven cycles at the least) and half the time that
// it took: sixty machines each of 28 cases read the same so as with the ordinary 0.30 s, but for
// where a relay that chatters happens to be at the end. One that ngspice crawls through, where
// others take some hundredths of a second, is given up soon.
constexpr StartEffort sampleEffort = {5e-4, 0.12, 0.5, StartEffort().end_s, 20};

// A working point of the starts: a corner without an end of the tolerances.
Corner workingPoint(Corner corner)
{
    corner.release = Release::middle;
    corner.capacitors.reset();
    return corner;
}

struct Point {
    Corner corner;
    bool restart = false;
};

bool isOutermost(const Corner& corner)
{
    return corner.line_ratio <= 0.851 || corner.line_ratio >= 1.099;
}

// What one machine did. Starts that ngspice could not finish are missing: what reads those points
// cannot be judged on it.
struct SampledMachine {
    Evidence evidence;
    std::set<std::size_t> missing;  // points
};

bool haveOneInCommon(const std::set<std::size_t>& a, const std::set<std::size_t>& b)
{
    return std::any_of(a.begin(), a.end(), [&b](std::size_t each) { return b.contains(each); });
}

std::optional<double> worstMargin(const Check& check, const CheckContext& context)
{
    const CheckReading reading = check.read(context);
    const Comparison* worst = worstOf(reading);
    return worst == nullptr ? std::nullopt : std::optional(worst->margin());
}

// One study's sampling.
class Sampling
{
public:
    Sampling(const Case& input, CheckStudy& study, const CheckOptions& options, SimulatorPool& pool,
             const StudyProgress& progress)
        : input_(input),
          study_(study),
          options_(options),
          pool_(pool),
          progress_(progress),
          source_(input, study.motor.motor, study.motor.posterior, options.seed)
    {
    }

    void run();

private:
    [[nodiscard]] bool isOpen(std::size_t index);
    [[nodiscard]] bool decidedAtBothEnds(const Finding& finding) const;
    void collectPoints();
    [[nodiscard]] std::set<std::size_t> worstPoints(
        const std::vector<std::pair<double, std::size_t>>& margins) const;
    [[nodiscard]] std::set<std::size_t> pointsOf(const Check& check) const;
    [[nodiscard]] bool isWorstAt(const std::string& corner, std::size_t point) const;
    void leaveOutPoints();
    [[nodiscard]] bool misses(const SampledMachine& machine, std::size_t finding) const;
    void runBatch(std::size_t count);
    [[nodiscard]] std::vector<SampledMachine> evidenceOf(
        const std::vector<PossibleMachine>& machines, const std::set<std::size_t>& points);
    void reportProgress(double shareOfBatch, std::size_t batch);

    const Case& input_;
    CheckStudy& study_;
    const CheckOptions& options_;
    SimulatorPool& pool_;
    const StudyProgress& progress_;
    PossibleMachines source_;
    std::vector<Point> points_;
    std::vector<Evidence> atPoint_;  // the best estimate's evidence at one working point each
    Evidence atNone_;
    std::vector<std::size_t> open_;
    std::vector<std::set<std::size_t>> pointsOfFinding_;
};

void Sampling::collectPoints()
{
    const Evidence& best = study_.evidence.front();
    const auto collect = [&](const std::vector<StartRun>& runs, bool restart) {
        for (const StartRun& run : runs) {
            const std::string name = cornerText(workingPoint(run.corner));
            auto known = std::find_if(points_.begin(), points_.end(), [&](const Point& point) {
                return point.restart == restart && cornerText(point.corner) == name;
            });
            if (known == points_.end()) {
                points_.push_back({workingPoint(run.corner), restart});
                Evidence& only = atPoint_.emplace_back(best);
                only.starts.clear();
                only.restarts.clear();
                known = points_.end() - 1;
            }
            Evidence& only = atPoint_[static_cast<std::size_t>(known - points_.begin())];
            (restart ? only.restarts : only.starts).push_back(run);
        }
    };
    collect(best.starts, false);
    collect(best.restarts, true);
    atNone_ = best;
    atNone_.starts.clear();
    atNone_.restarts.clear();
}

// The points of the worst margin; where several have it (a count, a yes or no), all of them without
// the special ones, since nothing tells which is worst.
std::set<std::size_t> Sampling::worstPoints(
    const std::vector<std::pair<double, std::size_t>>& margins) const
{
    if (margins.empty()) {
        return {};
    }
    const auto least = *std::min_element(margins.begin(), margins.end());
    std::set<std::size_t> plain;
    std::size_t ties = 0;
    for (const auto& [margin, i] : margins) {
        if (margin == least.first) {
            ++ties;
            if (!points_[i].corner.switchOn_deg) {
                plain.insert(i);
            }
        }
    }
    return ties == 1 || plain.empty() ? std::set<std::size_t>{least.second} : plain;
}

// The points that a check is read at: of those at the outermost line volts (inner ones are hardly
// ever the worst, and then by little) the one at which it was worst with the best estimate, and the
// one at which it was worst where what it presumes is so; none where it reads no starts.
std::set<std::size_t> Sampling::pointsOf(const Check& check) const
{
    const auto marginAt = [&](const Evidence& evidence) {
        return worstMargin(check, {input_, study_.circuit, evidence});
    };
    const std::optional<double> without = marginAt(atNone_);
    std::vector<std::pair<double, std::size_t>> margins;
    std::vector<std::pair<double, std::size_t>> asked;
    for (std::size_t i = 0; i < points_.size(); ++i) {
        const std::optional<double> margin = marginAt(atPoint_[i]);
        if (margin && margin != without && (points_[i].restart || isOutermost(points_[i].corner))) {
            margins.emplace_back(*margin, i);
            if (sampleReading(check, {input_, study_.circuit, atPoint_[i]}).asked) {
                asked.emplace_back(*margin, i);
            }
        }
    }
    std::set<std::size_t> points = worstPoints(margins);
    points.merge(worstPoints(asked));
    return points;
}

bool Sampling::isWorstAt(const std::string& corner, std::size_t point) const
{
    const auto begins = [&](Pressures pressures) {
        Corner there = points_[point].corner;
        there.pressures = pressures;
        return corner.starts_with(cornerText(there));
    };
    return begins(Pressures::equalised) || begins(Pressures::unequalised);
}

// Of a check that has several points, and that some machine fails, only those go on that were the
// worst of one that failed: what sixty machines did not do one in twenty does at the most (with a
// probability of 95 %), and each point is a start in each machine to come.
void Sampling::leaveOutPoints()
{
    constexpr std::size_t enough = 60;
    for (const std::size_t i : open_) {
        std::size_t told = 0;
        std::set<std::size_t> worst;
        for (const SampleReading& reading : study_.readings[i]) {
            if (!reading.clear || !reading.asked) {
                continue;
            }
            ++told;
            for (const std::size_t point : pointsOfFinding_[i]) {
                if (reading.fails() && isWorstAt(reading.worst.corner, point)) {
                    worst.insert(point);
                }
            }
        }
        if (told >= enough && !worst.empty()) {
            pointsOfFinding_[i] = worst;
        }
    }
}

// Whether this finding cannot be judged on that machine for want of a start.
bool Sampling::misses(const SampledMachine& machine, std::size_t finding) const
{
    const std::set<std::size_t>& points = pointsOfFinding_[finding];
    const Presumes presumes = study_.findings[finding].check->presumes;
    const bool readsAnyStart =
        points.empty() && presumes != Presumes::nothing && presumes != Presumes::carriesLoad;
    return readsAnyStart ? !machine.missing.empty() : haveOneInCommon(machine.missing, points);
}

// With a motor that is known, the ends of the tolerances are the worst that can be: what is so at
// both ends is so in between.
bool Sampling::decidedAtBothEnds(const Finding& finding) const
{
    if (study_.motor.posterior || finding.verdict == Verdict::pass) {
        return !study_.motor.posterior;
    }
    if (finding.verdict == Verdict::undecided) {
        return study_.evidence.size() == 1;
    }
    for (const Evidence& all : study_.evidence) {
        for (const Release release : {Release::early, Release::late}) {
            Evidence end = all;
            const auto other = [release](const StartRun& run) {
                return run.corner.release != release;
            };
            std::erase_if(end.starts, other);
            std::erase_if(end.restarts, other);
            std::erase_if(end.held, [release](const HeldShaftTable& table) {
                return table.release != release;
            });
            const std::optional<double> margin =
                worstMargin(*finding.check, {input_, study_.circuit, end});
            if (!margin || *margin >= 0) {
                return false;
            }
        }
    }
    return true;
}

bool Sampling::isOpen(std::size_t index)
{
    const Finding& finding = study_.findings[index];
    return !finding.check->asksTheCaseOnly && !finding.motorUnknown && !decidedAtBothEnds(finding);
}

std::vector<SampledMachine> Sampling::evidenceOf(const std::vector<PossibleMachine>& machines,
                                                 const std::set<std::size_t>& points)
{
    std::vector<StartJob> jobs;
    for (const PossibleMachine& machine : machines) {
        for (const std::size_t i : points) {
            Corner corner = points_[i].corner;
            corner.pressures = machine.input.compressor.load.pressures;
            jobs.push_back({corner, points_[i].restart,
                            simulationModel(machine.input, study_.circuit, machine.motor.circuit,
                                            machine.motor.ratedTorque_Nm, corner)});
        }
    }
    const std::size_t before = study_.machines.size();
    const std::vector<StartOutcome> outcomes =
        runStarts(input_, jobs, pool_, sampleEffort, [&](std::size_t done, std::size_t all) {
            reportProgress(static_cast<double>(done) / static_cast<double>(all),
                           study_.machines.size() - before + machines.size());
        });
    std::vector<SampledMachine> result(machines.size());
    std::vector<HeldMachine> held;
    std::size_t next = 0;
    for (std::size_t m = 0; m < machines.size(); ++m) {
        Evidence& evidence = result[m].evidence;
        evidence.ratedTorque_Nm = machines[m].motor.ratedTorque_Nm;
        for (const std::size_t point : points) {
            const StartJob& job = jobs[next];
            const StartOutcome& outcome = outcomes[next];
            ++next;
            if (const auto* error = std::get_if<SimulationError>(&outcome)) {
                if (error->fault() != SimulationFault::aborted &&
                    error->fault() != SimulationFault::timeLimit) {
                    throw *error;
                }
                result[m].missing.insert(point);
                continue;
            }
            (job.restart ? evidence.restarts : evidence.starts)
                .push_back({job.corner, std::get<StartMeasurement>(outcome)});
        }
        evidence.auxiliaryOnLine_A =
            auxiliaryOnLine_A(machines[m].motor.circuit, ratedVoltage_V(machines[m].input));
        held.push_back({&machines[m].input, &machines[m].motor.circuit});
    }
    std::vector<std::vector<HeldShaftTable>> tables =
        heldShaftTables(held, study_.circuit, pool_, {Release::middle});
    const bool flowsWhenOff = study_.evidence.front().offTime.has_value();
    const std::vector<std::optional<HeldShaftMeasurement>> off =
        flowsWhenOff ? offTimes(held, study_.circuit, pool_)
                     : std::vector<std::optional<HeldShaftMeasurement>>(held.size());
    for (std::size_t m = 0; m < machines.size(); ++m) {
        result[m].evidence.held = std::move(tables[m]);
        result[m].evidence.offTime = off[m];
    }
    return result;
}

void Sampling::runBatch(std::size_t count)
{
    std::set<std::size_t> points;
    for (const std::size_t i : open_) {
        points.insert(pointsOfFinding_[i].begin(), pointsOfFinding_[i].end());
    }
    std::vector<PossibleMachine> machines = source_.draw(count);
    const std::vector<SampledMachine> sampled = evidenceOf(machines, points);
    for (std::size_t m = 0; m < machines.size(); ++m) {
        for (const std::size_t i : open_) {
            study_.readings[i].push_back(
                misses(sampled[m], i)
                    ? SampleReading()
                    : sampleReading(*study_.findings[i].check,
                                    {machines[m].input, study_.circuit, sampled[m].evidence}));
        }
        study_.machines.push_back(std::move(machines[m]));
    }
    std::erase_if(open_,
                  [this](std::size_t i) { return isSettled(study_.readings[i], options_.rule); });
}

// The bar tells how much of the work would be done if nothing more were settled early.
void Sampling::reportProgress(double shareOfBatch, std::size_t batch)
{
    if (!progress_) {
        return;
    }
    constexpr double resolution = 1000;
    const double done =
        static_cast<double>(study_.machines.size()) + shareOfBatch * static_cast<double>(batch);
    progress_(
        static_cast<std::size_t>(resolution * done / static_cast<double>(options_.rule.samples)),
        static_cast<std::size_t>(resolution));
}

void Sampling::run()
{
    constexpr std::size_t batch = 20;
    study_.readings.resize(study_.findings.size());
    study_.inputNames = source_.inputNames();
    study_.motorInputs = source_.motorInputs();
    collectPoints();
    for (std::size_t i = 0; i < study_.findings.size(); ++i) {
        pointsOfFinding_.push_back(pointsOf(*study_.findings[i].check));
        if (isOpen(i)) {
            open_.push_back(i);
        }
    }
    if (!source_.differ()) {
        return;
    }
    const std::vector<std::size_t> sampled = open_;
    while (!open_.empty() && study_.machines.size() < options_.rule.samples) {
        const std::size_t left = options_.rule.samples - study_.machines.size();
        runBatch(std::min(left, batch));
        leaveOutPoints();
    }
    for (const std::size_t i : sampled) {
        decide(study_.findings[i], study_.readings[i], options_.rule);
        if (study_.findings[i].presumed != Presumes::nothing) {
            for (SampleReading& reading : study_.readings[i]) {
                reading.clear = reading.clear && reading.asked;
            }
        }
        if (study_.findings[i].verdict == Verdict::undecided && study_.findings[i].samples > 0) {
            std::vector<SampleInput> inputs;
            for (std::size_t column = 0; column < study_.inputNames.size(); ++column) {
                SampleInput& input = inputs.emplace_back();
                input.name = study_.inputNames[column];
                for (std::size_t m = 0; m < study_.readings[i].size(); ++m) {
                    input.values.push_back(study_.machines[m].inputs[column]);
                }
            }
            study_.findings[i].hangsOn = inputsThatMatter(study_.readings[i], inputs);
        }
    }
}

}  // namespace

void decideBySamples(const Case& input, CheckStudy& study, const CheckOptions& options,
                     SimulatorPool& pool, const StudyProgress& progress)
{
    if (!fitsOneMotor(study.evidence.front())) {
        study.readings.resize(study.findings.size());
        return;
    }
    Sampling(input, study, options, pool, progress).run();
}

}  // namespace splitstart
