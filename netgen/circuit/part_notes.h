// What had to be assumed of the parts because their labels do not say it.
#pragma once

#include <string>
#include <vector>

#include "case/case.h"

namespace splitstart
{

// One plain sentence for each assumption that the case's parts need; empty if they need none.
std::vector<std::string> assumedPartNotes(const Case& input);

}  // namespace splitstart
