#include "circuit/simulation_model.h"

#include <fmt/format.h>

#include <algorithm>
#include <stdexcept>

#include "circuit/model_builder.h"

namespace splitstart
{

double atRelease(const Range& range, Release release, bool maximumIsLate)
{
    switch (release) {
        case Release::early:
            return maximumIsLate ? range.minimum : range.maximum;
        case Release::late:
            return maximumIsLate ? range.maximum : range.minimum;
        case Release::middle:
            break;
    }
    return range.middle();
}

double ratedVoltage_V(const Case& input)
{
    return input.compressor.nameplate.voltage_V.value_or(input.supply.voltage_V);
}

bool isHot(double winding_degC)
{
    constexpr double between_degC = 60;
    return winding_degC > between_degC;
}

std::string cornerText(const Corner& corner)
{
    const char* release = corner.release == Release::early  ? ", parts at the early end"
                          : corner.release == Release::late ? ", parts at the late end"
                                                            : "";
    return fmt::format("{:.0f} % line, {} windings{}{}{}{}{}", corner.line_ratio * 100,
                       isHot(corner.winding_degC) ? "hot" : "cold", release,
                       corner.pressures == Pressures::unequalised ? ", unequalised" : "",
                       corner.capacitors == Release::early  ? ", capacitors at the upper end"
                       : corner.capacitors == Release::late ? ", capacitors at the lower end"
                                                            : "",
                       corner.restartAfter_s
                           ? fmt::format(", started again after {:.3g} s", *corner.restartAfter_s)
                           : "",
                       corner.switchOn_deg
                           ? fmt::format(", switched on at {:.0f} degrees", *corner.switchOn_deg)
                           : "");
}

const std::string& SimulationModel::node(std::string_view part, std::string_view terminal) const
{
    return nodeOfTerminal.at({std::string(part), std::string(terminal)});
}

const SubcircuitInstance* SimulationModel::find(std::string_view subcircuit) const
{
    const auto found = std::find_if(
        instances.begin(), instances.end(),
        [subcircuit](const SubcircuitInstance& each) { return each.subcircuit == subcircuit; });
    return found == instances.end() ? nullptr : &*found;
}

const SubcircuitInstance& SimulationModel::instance(std::string_view name) const
{
    const auto found =
        std::find_if(instances.begin(), instances.end(),
                     [name](const SubcircuitInstance& each) { return each.name == name; });
    if (found == instances.end()) {
        throw std::out_of_range(fmt::format("no instance `{}` in the model", name));
    }
    return *found;
}

SimulationModel simulationModel(const Case& input, const Circuit& circuit,
                                const EquivalentCircuit& motor, double ratedTorque_Nm,
                                const Corner& corner, const RunSetting& setting)
{
    return ModelBuilder(input, circuit, motor, ratedTorque_Nm, corner, setting).build();
}

}  // namespace splitstart
