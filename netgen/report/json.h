// What the JSON answers share.
#pragma once

#include <nlohmann/json.hpp>
#include <string>

#include "study/case_study.h"

namespace splitstart
{

using Json = nlohmann::ordered_json;

// As text. Bytes that are not UTF-8 (a label typed in another encoding) become the replacement
// character.
std::string dumped(const Json& json);

// A check's verdict with its numbers, and what it rests on.
Json findingJson(const Finding& finding);

// Pins, winding resistances, health, and whether it is safe to energise.
Json identificationJson(const MotorStudy& study);

}  // namespace splitstart
