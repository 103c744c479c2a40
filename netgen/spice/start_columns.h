// The waveforms of one start by name, and what lies between two nodes. For spice/ and the
// lessons of study/.
#pragma once

#include <map>
#include <string>
#include <utility>
#include <vector>

#include "spice/measurement.h"
#include "spice/measurement_names.h"
#include "spice/waveform_math.h"

namespace splitstart
{

// `waveforms` of a run that was asked for startVectors(model). Both must outlive it.
class StartColumns
{
public:
    StartColumns(const SimulationModel& model, const Waveforms& waveforms);

    [[nodiscard]] const SimulationModel& model() const { return model_; }
    [[nodiscard]] const VectorNames& names() const { return names_; }
    [[nodiscard]] const std::vector<double>& time_s() const { return waveforms_.time_s; }

    [[nodiscard]] Signal signal(const std::string& name) const
    {
        return {waveforms_.time_s, waveforms_.real.at(columnOf_.at(name))};
    }
    [[nodiscard]] Signal signal(const std::vector<double>& values) const
    {
        return {waveforms_.time_s, values};
    }
    [[nodiscard]] double cycle_s() const { return 1 / model_.frequency_Hz; }
    // Where the last six cycles begin.
    [[nodiscard]] double runningFrom_s() const { return time_s().back() - cyclesAtEnd * cycle_s(); }
    [[nodiscard]] bool has(const std::string& name) const { return columnOf_.count(name) > 0; }

    // Volts from one node to another.
    [[nodiscard]] std::vector<double> between(const std::string& plus,
                                              const std::string& minus) const;
    // Volts across a part with the ports a and b.
    [[nodiscard]] std::vector<double> across(const SubcircuitInstance& instance) const
    {
        return between(instance.nodeOfPort.at("a"), instance.nodeOfPort.at("b"));
    }
    // Volts across what switches the start circuit. Requires a start device.
    [[nodiscard]] std::vector<double> acrossStartDevice() const;
    // The start device at each instant, 1 made and 0 open. An arc that burns on long after the last
    // opening is no open contact, whatever its armature does: it counts as made since it last was.
    // Requires a start device.
    [[nodiscard]] std::vector<double> startDeviceMade() const;
    // Amps through pin C: of both windings.
    [[nodiscard]] std::vector<double> throughCommon() const;

private:
    const SimulationModel& model_;
    VectorNames names_;
    const Waveforms& waveforms_;
    std::map<std::string, std::size_t> columnOf_;
};

}  // namespace splitstart
