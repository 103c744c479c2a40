// Winding temperatures of the corners.
#pragma once

namespace splitstart
{

constexpr double coldWinding_degC = 25;
// A compressor that has just run hard and is started again (assumed; insulation classes allow 105
// to 130 degC).
constexpr double hotWinding_degC = 110;

}  // namespace splitstart
