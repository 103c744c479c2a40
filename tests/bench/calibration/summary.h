// Counting over the lines of a calibration study.
#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

namespace splitstart::calibration
{

// The tables, for each level that the lines have.
std::string summaryText(const std::vector<nlohmann::json>& lines);

}  // namespace splitstart::calibration
