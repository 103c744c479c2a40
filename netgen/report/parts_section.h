// The parts of a circuit with their ratings, and how much of each rating is used. Internal to
// report/.
#pragma once

#include <pugixml.hpp>

#include "study/case_study.h"

namespace splitstart
{

// For each part its rating and a list of its checks, each with its margin as a bar.
void addPartsSection(pugi::xml_node section, const Case& input, const CheckStudy& study);

}  // namespace splitstart
