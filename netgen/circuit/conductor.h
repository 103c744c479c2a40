// Conductors of the supply's cable: from cross-section (of a gauge: case/wire_gauge.h) and length
// to ohms. models/conductor.lib is the same for a deck; a test holds the two together.
#pragma once

#include "case/case.h"

namespace splitstart
{

// Length of a stranded conductor's wires over that of the conductor, since they run in a spiral:
// concentric lay, ASTM B8 (from memory). A solid conductor has 1.
constexpr double strandedLay_ratio = 1.02;

// Resistance [ohm] to direct current of a cable run there and back, both conductors together:
//   2 length lay resistivity (1 + coefficient (temperature - 20 degC)) / area
// with 1.7241e-8 ohm m and 0.00393 per K for annealed copper (IEC 60028), 2.8264e-8 ohm m and
// 0.00403 per K for aluminium (IEC 60889), all as in IEC 60287-1-1 (from memory).
// At line frequency the resistance is the same within 1 % up to 150 mm2. A cable as sold may have
// up to 7.5 % more than copper of its nominal area (IEC 60228, largest resistances of 1.5 to 16
// mm2). metresOneWay 0 or more, area_mm2 above 0, temperature_degC from -50 to 250, lay_ratio from
// 1 to 1.1; throws std::invalid_argument outside.
double conductorResistance_ohm(double metresOneWay, double area_mm2, ConductorMaterial material,
                               double temperature_degC, double lay_ratio = strandedLay_ratio);

}  // namespace splitstart
