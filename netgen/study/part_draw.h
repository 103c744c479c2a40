// Parts from anywhere in the ranges that are printed on them.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "case/case.h"

namespace splitstart
{

// The calibrations and tolerances of the parts that the case's circuit has, in a fixed order: a
// name for people ("microfarads of the start capacitor"), and the range in that case.
struct PartTolerance {
    std::string name;
    Range range;
};
std::vector<PartTolerance> partTolerances(const Case& input);

// The same case with each of those ranges drawn together to one value: its own `position` from 0
// (minimum) to 1 (maximum). A drop-out stays below the pick-up of the same relay. Requires as many
// positions as there are tolerances.
Case withParts(const Case& input, const std::vector<double>& positions);

}  // namespace splitstart
