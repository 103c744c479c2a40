// How thick the windings' wire may be.
#pragma once

#include "rating/check.h"

namespace splitstart
{

// At standstill with 100 % line. A winding that carries J A/mm2 heats by 0.005 J^2 K/s (1.72e-8 ohm
// m over 3.45e6 J/(m3 K)): 40 to 60 A/mm2 in a locked compressor's run winding give 8 to 18 K/s, up
// to 100 A/mm2 in a start winding 50 K/s (assumed, no source).
constexpr double slowestHeating_K_s = 8;
constexpr double fastestHeating_K_s = 18;
constexpr double fastestAuxiliaryHeating_K_s = 50;
// What insulation of hermetic motors stands for a short time (assumed, no source).
constexpr double shortTimeLimit_degC = 200;

struct WindingRange {
    double thinnest_m2 = 0;
    double thickest_m2 = 0;
    ConductorMaterial material = ConductorMaterial::copper;
    bool measured = false;
};

// By the case's <winding-wire>, else by the range above and the amps that the winding alone would
// draw from the line at standstill and rated volts, so that a wrong start part does not thicken the
// wire. Requires held-shaft tables.
WindingRange mainWinding(const CheckContext& context);
WindingRange auxiliaryWinding(const CheckContext& context);

}  // namespace splitstart
