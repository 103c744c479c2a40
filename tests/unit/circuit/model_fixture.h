// Simulation models of the dairy's cases with their parameters by name.
#pragma once

#include <map>
#include <stdexcept>
#include <string>

#include "circuit/case_circuit.h"
#include "circuit/simulation_model.h"
#include "unit/dairy_cases.h"

namespace splitstart
{

using Values = std::map<std::string, double>;

constexpr double anyTorque_Nm = 4;

inline SimulationModel modelOf(const Case& input, const EquivalentCircuit& motor,
                               const Corner& corner, const RunSetting& setting = {})
{
    return simulationModel(input, caseCircuit(input), motor, anyTorque_Nm, corner, setting);
}

// The parameters of each instance.
inline std::map<std::string, Values> valuesOf(const SimulationModel& model)
{
    std::map<std::string, Values> values;
    for (const SubcircuitInstance& instance : model.instances) {
        values[instance.name] = Values(instance.parameters.begin(), instance.parameters.end());
    }
    return values;
}

inline std::map<std::string, Values> valuesOf(const Case& input, const EquivalentCircuit& motor,
                                              const Corner& corner)
{
    return valuesOf(modelOf(input, motor, corner));
}

// Of the one resistance that stands between those nodes; throws std::out_of_range if none does.
inline double resistanceBetween(const SimulationModel& model, const std::string& a,
                                const std::string& b)
{
    for (const SubcircuitInstance& instance : model.instances) {
        if (instance.subcircuit == "closed_switch" && instance.nodeOfPort.at("a") == a &&
            instance.nodeOfPort.at("b") == b) {
            return instance.parameters.front().second;
        }
    }
    throw std::out_of_range("no resistance from " + a + " to " + b);
}

inline std::map<std::string, Values> coldStore(const Corner& corner)
{
    return valuesOf(coldStoreCase(), coldStoreMotor(), corner);
}

inline std::map<std::string, Values> bottleCooler(const Corner& corner)
{
    return valuesOf(bottleCoolerCase(), bottleCoolerMotor(), corner);
}

}  // namespace splitstart
