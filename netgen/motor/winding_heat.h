// Heat that stays in a winding's wire for the seconds of a start or a stall.
#pragma once

#include "case/case.h"

namespace splitstart
{

// Integral of amps squared over time that brings a conductor from one temperature to another with
// no heat leaving it: K^2 S^2 ln((to + beta) / (from + beta)), with K = 226 A s^0.5 / mm2 and beta
// = 234.5 degC for copper, 148 and 228 for aluminium. IEC 60949 (constants from memory). Requires
// area above 0, to at or above from, both above -beta. Result 0 or more.
double adiabaticHeat_A2s(double area_m2, ConductorMaterial material, double from_degC,
                         double to_degC);

// The temperature that such an integral leads to.
double adiabaticTemperature_degC(double area_m2, ConductorMaterial material, double from_degC,
                                 double heat_A2s);

// Cross section of a copper conductor that heats at that rate, in kelvin a second at 25 degC, while
// it carries that current: what stands in for the wire where nobody has measured it.
double areaHeatingAt_m2(double current_A, double rate_K_s);

}  // namespace splitstart
