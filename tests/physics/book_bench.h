// A bench for the estimation of motors that solves the textbook's equations instead of running the
// simulator: held shaft, sines. Both windings by double revolving fields (second_opinion.h), so
// that a deep bar has its impedance at each field's own slip frequency.
#pragma once

#include <optional>

#include "motor/estimate.h"
#include "physics/second_opinion.h"

namespace splitstart::book
{

// What stands in series with the start winding; between pins R and S.
struct StartParts {
    CapacitorBranch startCapacitor;
    std::optional<CapacitorBranch>
        runCapacitor;  // beside it, and alone once the start circuit left
};

// The machine at that temperature of windings and rotor: copper by 234.5 + T, aluminium by 225 + T
// (as in IEC 60034-1, resistance method). Core loss is split between the axes at rated volts.
Machine machineOf(const EquivalentCircuit& circuit, double winding_degC, double rated_V);

// Requires circuits whose auxiliary axis is turnsRatio^2 times the main one in rotor and
// magnetizing branch, as the estimation's are.
HeldShaftBench benchWith(const StartParts& parts, double rated_V, double frequency_Hz);

}  // namespace splitstart::book
