// A bench for the estimation of motors that solves the textbook's equations instead of running the
// simulator: held shaft, stiff supply, sines.
#pragma once

#include <optional>

#include "motor/estimate.h"
#include "physics/second_opinion.h"

namespace splitstart::book
{

// What stands in series with the start winding.
struct StartParts {
    CapacitorBranch startCapacitor;
    std::optional<CapacitorBranch>
        runCapacitor;  // beside it, and alone once the start circuit left
};

// The machine at that temperature of windings and rotor: copper by 234.5 + T, aluminium by 225 + T
// (as in IEC 60034-1, resistance method). Core loss is split between the axes at rated volts.
Machine machineOf(const EquivalentCircuit& circuit, double winding_degC, double rated_V);

HeldShaftBench benchWith(const StartParts& parts, double rated_V, double frequency_Hz);

}  // namespace splitstart::book
