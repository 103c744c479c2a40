// The pump's torque as parameters of models/compressor_load.lib and models/steady_load.lib.
#pragma once

#include <optional>

#include "case/case.h"
#include "motor/motor.h"

namespace splitstart
{

// What the load model needs. Pressures are absolute.
struct LoadParameters {
    LoadKind kind = LoadKind::reciprocating;
    double meanTorque_Nm = 0;  // over a revolution at running pressures, friction included
    double friction_Nm = 0;    // of the pump, independent of speed
    double suction_Pa = 0;
    double discharge_Pa = 0;
    double equalised_Pa = 0;
    double sweptVolume_m3 = 0;
    double clearance_ratio = 0;  // clearance volume / swept volume
    double polytropicExponent = 0;
    double buildUp_revolutions = 0;  // 0: running pressures from the first turn
    double startAngle_deg = 0;
};

// Indicated work of one revolution of a one-cylinder compressor: polytropic compression from
// suction to discharge pressure, re-expansion of the clearance volume,
//   W = n/(n-1) p1 (V1 - V4) [(p2/p1)^((n-1)/n) - 1],  V1 - V4 = Vs (1 + c - c (p2/p1)^(1/n)).
// Source: ideal cycle of a reciprocating compressor with clearance, as in Eastop and McConkey,
// "Applied Thermodynamics for Engineering Technologists", chapter on positive displacement machines
// (from memory). Requires discharge > suction > 0, exponent > 1, swept volume >= 0.
double indicatedWork_J(const LoadParameters& load);

// Load of this case. `pressures` overrides what the case says. A torque of zero gives a free shaft
// with friction only. Typical values stand in for what the case does not give; they are listed in
// assumedLoadNotes().
LoadParameters loadParameters(const CompressorLoad& load, double ratedTorque_Nm,
                              std::optional<Pressures> pressures = std::nullopt);

// Mean torque at the pressures of `other` of a pump that takes `rated_Nm` at those of `rated`: its
// displacement stays, its friction keeps its share. As `rated_Nm` where either is no pump.
double torqueOfSamePump_Nm(const CompressorLoad& rated, double rated_Nm,
                           const CompressorLoad& other);

// The assumptions that loadParameters makes for this case, one plain sentence each.
std::vector<std::string> assumedLoadNotes(const CompressorLoad& load);

}  // namespace splitstart
