#include "spice/ngspice_session.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "case/text.h"
#include "spice/deck_card.h"

namespace splitstart
{
namespace
{

// 128 MB of doubles: a million points of fifteen vectors.
constexpr std::size_t mostValues = std::size_t{16} << 20U;

// How ngspice calls a vector in its own list: nodes that are numbers get "V(1)".
bool isVector(std::string_view listed, std::string_view wanted)
{
    const std::string name = lowered(listed);
    if (name == wanted) {
        return true;
    }
    return name.size() == wanted.size() + 3 && name.starts_with("v(") && name.ends_with(")") &&
           name.substr(2, wanted.size()) == wanted;
}

std::optional<std::size_t> findVector(const std::vector<std::string_view>& names,
                                      std::string_view wanted)
{
    const auto found = std::ranges::find_if(
        names, [&](std::string_view listed) { return isVector(listed, wanted); });
    if (found == names.end()) {
        return std::nullopt;
    }
    return static_cast<std::size_t>(found - names.begin());
}

}  // namespace

NgspiceSession::NgspiceSession(NgspiceLibrary& library, WorkerStatus& status)
    : library_(library), status_(status), log_(status)
{
    library_.setEvents(*this);
}

WorkerReply NgspiceSession::run(const SimulationJob& job)
{
    begin(job);
    WorkerReply reply;
    reply.trouble = execute();
    if (reply.trouble) {
        constexpr std::size_t readableLines = 60;
        reply.log = lastLines(evidence_.log, readableLines);
        return reply;
    }
    waveforms_.stoppedEarly = evidence_.stopRuleMet;
    reply.waveforms = std::exchange(waveforms_, {});
    reply.retire = !cleanUp();
    return reply;
}

void NgspiceSession::begin(const SimulationJob& job)
{
    job_ = &job;
    log_.clear();
    status_.reached = 0;
    status_.valuesBegun = 0;
    evidence_ = {};
    waveforms_ = {};
    if (job.transient) {
        waveforms_.real.resize(job.vectors.size());
    } else {
        waveforms_.phasors.resize(job.vectors.size());
    }
    columns_.clear();
    stopMean_ = MovingMean(job.stop ? job.stop->meanOver_s : 0);
    aboveSince_s_.reset();
    values_ = 0;
    plotsDestroyed_ = true;
}

std::optional<Trouble> NgspiceSession::execute()
{
    evidence_.loadStatus = library_.load(job_->lines);
    evidence_.loadLog = logText(status_);
    evidence_.log = evidence_.loadLog;
    const bool isLoaded = !evidence_.controlledExit && evidence_.loadStatus == 0;
    if (!isLoaded) {
        return findTrouble(*job_, evidence_);
    }
    if (job_->sweep) {
        std::optional<Trouble> trouble = findLoadTrouble(*job_, evidence_);
        return trouble ? trouble : sweep();
    }
    if (job_->stop) {
        static const std::string stopCommand = fmt::format("stop when v({}) > 0.5", stopNode);
        library_.command(stopCommand.c_str());
    }
    return runLoaded();
}

std::optional<Trouble> NgspiceSession::sweep()
{
    for (const double value : job_->sweep->values) {
        beginValue(value);
        evidence_.sourceReads = library_.setSource(job_->sweep->source, value);
        if (std::optional<Trouble> trouble = runLoaded()) {
            return trouble;
        }
        plotsDestroyed_ = destroyPlots() && plotsDestroyed_;
    }
    return std::nullopt;
}

// Nothing that the run at the value before has shown may count for this one.
void NgspiceSession::beginValue(double value)
{
    RunEvidence evidence;
    evidence.loadStatus = evidence_.loadStatus;
    evidence.controlledExit = evidence_.controlledExit;
    evidence.loadLog = std::move(evidence_.loadLog);
    evidence.sweptValue = value;
    evidence_ = std::move(evidence);
    columns_.clear();
    log_.clear();
    status_.reached = 0;
    ++status_.valuesBegun;
}

std::optional<Trouble> NgspiceSession::runLoaded()
{
    if (!evidence_.controlledExit) {
        evidence_.runStatus = library_.command("run");
    }
    evidence_.log = logText(status_);
    return findTrouble(*job_, evidence_);
}

bool NgspiceSession::destroyPlots()
{
    return library_.command("destroy all") == 0;
}

// Without this each run leaves 50 to 80 kB behind, and runs become slow.
bool NgspiceSession::cleanUp()
{
    bool isClean = !job_->stop || library_.command("delete all") == 0;
    isClean = destroyPlots() && plotsDestroyed_ && isClean;
    return library_.command("remcirc") == 0 && isClean && !evidence_.controlledExit;
}

void NgspiceSession::message(std::string_view line) noexcept
{
    for (const std::string_view stream : {"stderr ", "stdout "}) {
        if (line.starts_with(stream)) {
            line.remove_prefix(stream.size());
            break;
        }
    }
    log_.append(line);
}

void NgspiceSession::analysisStarted(std::string_view title,
                                     const std::vector<std::string_view>& names) noexcept
{
    ++evidence_.analysesStarted;
    evidence_.reportedTitle = title;
    const auto columnOf = [&](const std::string& wanted) {
        const std::optional<std::size_t> column = findVector(names, wanted);
        if (!column) {
            evidence_.missingVectors.push_back(wanted);
        }
        return column.value_or(0);
    };
    columns_.clear();
    scaleColumn_ = columnOf(job_->transient ? "time" : "frequency");
    for (const std::string& wanted : job_->vectors) {
        columns_.push_back(columnOf(wanted));
    }
    if (job_->stop) {
        stopColumn_ = columnOf(job_->stop->vector);
    }
}

void NgspiceSession::point(const SimulatedPoint& point) noexcept
{
    // The run goes on for one point after the stop rule is met.
    if (evidence_.stopRuleMet || !evidence_.missingVectors.empty() || columns_.empty()) {
        return;
    }
    const double scale = point.real(scaleColumn_);
    evidence_.reached = scale;
    status_.reached.store(scale, std::memory_order_relaxed);
    ++evidence_.points;
    values_ += (columns_.size() + 1) * (job_->transient ? 1 : 2);
    if (values_ > mostValues) {
        evidence_.tooManyValues = true;
        return;
    }
    keep(point, scale);
    if (job_->stop) {
        applyStopRule(point, scale);
    }
}

void NgspiceSession::keep(const SimulatedPoint& point, double scale)
{
    (job_->transient ? waveforms_.time_s : waveforms_.frequency_Hz).push_back(scale);
    for (std::size_t i = 0; i < columns_.size(); ++i) {
        const double real = point.real(columns_[i]);
        const double imaginary = job_->transient ? 0 : point.imaginary(columns_[i]);
        if (job_->transient) {
            waveforms_.real[i].push_back(real);
        } else {
            waveforms_.phasors[i].emplace_back(real, imaginary);
        }
        if (evidence_.notFiniteVector.empty() &&
            !(std::isfinite(real) && std::isfinite(imaginary) && std::isfinite(scale))) {
            evidence_.notFiniteVector = job_->vectors[i];
            evidence_.notFiniteAt = scale;
        }
    }
}

void NgspiceSession::applyStopRule(const SimulatedPoint& point, double time_s)
{
    stopMean_.add(time_s, point.real(stopColumn_));
    if (!(stopMean_.mean() >= job_->stop->threshold)) {
        aboveSince_s_.reset();
        return;
    }
    if (!aboveSince_s_) {
        aboveSince_s_ = stopMean_.middle_s();
    }
    const StopRule& stop = *job_->stop;
    evidence_.stopRuleMet =
        time_s >= stop.notBefore_s &&
        time_s - *aboveSince_s_ >= stop.heldFor_s + stop.heldForShare * *aboveSince_s_;
}

}  // namespace splitstart
