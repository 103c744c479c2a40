// What a check found, in words.
#pragma once

#include <string>

#include "rating/check.h"

namespace splitstart
{

// Value, limit, margin and corner of what has a unit; of what is counted or is so or not so, how
// often and where it was worst. Empty where there is nothing to add to the check's own question.
std::string findingText(const Finding& finding);

}  // namespace splitstart
