// The wiring drawing of a case.
#pragma once

#include <string>

#include "study/wiring_study.h"

namespace splitstart
{

// As it should be, or as it was found (requires study.found). An SVG document.
std::string caseDrawing(const Case& input, const WiringStudy& study, bool asFound);

}  // namespace splitstart
