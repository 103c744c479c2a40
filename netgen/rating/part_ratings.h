// The ratings of the case's parts, as a deck tells them.
#pragma once

#include "rating/check.h"
#include "spice/control_section.h"

namespace splitstart
{

// What the checks of rating/ hold against, of the parts that the case names.
PartRatings partRatings(const Case& input, const Circuit& circuit);

}  // namespace splitstart
