// Winding temperatures of the corners.
#pragma once

#include "case/case.h"

namespace splitstart
{

constexpr double coldWinding_degC = 25;

// Windings of a compressor that has just run hard and is started again: 110 degC (assumed;
// insulation classes allow 105 to 130 degC), but no hotter than a protector on the windings lets
// them be.
double hotWinding_degC(const Case& input);

}  // namespace splitstart
