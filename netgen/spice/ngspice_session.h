// Runs one deck after another in this process's ngspice, and leaves it clean after each good one.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "spice/moving_mean.h"
#include "spice/ngspice_library.h"
#include "spice/run_evidence.h"
#include "spice/simulation_job.h"
#include "spice/worker_status.h"

namespace splitstart
{

class NgspiceSession final : public NgspiceEvents
{
public:
    NgspiceSession(NgspiceLibrary& library, WorkerStatus& status);

    // After a reply with trouble the process must end: ngspice may be unusable (it is after an
    // undefined parameter) or may have leaked.
    WorkerReply run(const SimulationJob& job);

    void message(std::string_view line) noexcept override;
    void analysisStarted(std::string_view title,
                         const std::vector<std::string_view>& names) noexcept override;
    void point(const SimulatedPoint& point) noexcept override;
    void controlledExit() noexcept override { evidence_.controlledExit = true; }
    double externalVoltage() noexcept override { return evidence_.stopRuleMet ? 1 : 0; }

private:
    void begin(const SimulationJob& job);
    std::optional<Trouble> execute();
    std::optional<Trouble> sweep();
    void beginValue(double value);
    std::optional<Trouble> runLoaded();
    bool destroyPlots();
    bool cleanUp();
    void keep(const SimulatedPoint& point, double scale);
    void applyStopRule(const SimulatedPoint& point, double time_s);

    NgspiceLibrary& library_;
    WorkerStatus& status_;
    RunLog log_;
    const SimulationJob* job_ = nullptr;
    RunEvidence evidence_;
    Waveforms waveforms_;
    std::vector<std::size_t> columns_;  // of the wanted vectors in a point
    std::size_t scaleColumn_ = 0;
    std::size_t stopColumn_ = 0;
    MovingMean stopMean_{0};
    std::optional<double> aboveSince_s_;  // when the present stay above began
    std::size_t values_ = 0;
    bool plotsDestroyed_ = true;  // those of earlier values of a sweep
};

}  // namespace splitstart
