// What a check found, in words.
#pragma once

#include <string>

#include "rating/check.h"

namespace splitstart
{

// Value, limit, margin and corner of what has a unit; of what is counted or is so or not so, how
// often and where it was worst. Empty where there is nothing to add to the check's own question.
std::string findingText(const Finding& finding);

// How far the value is from its limit: "13.4 V", "86.7 K" of degrees Celsius. Needs a limit.
std::string marginText(const Finding& finding);

}  // namespace splitstart
