// The textbook quarter-horsepower motor as a case file of an invented milk pump, open motor with a
// switch on its shaft, nothing on it: the machine, the capacitor branch and the start of
// quarter_horsepower.h.
#pragma once

#include <string>

namespace splitstart::book
{

// Its start capacitor is `microfarads` -2.7 % to +2.7 %, with this share of resistance in its
// impedance, and its switch opens at 75 % of synchronous speed.
std::string pumpCaseText(double microfarads, double dissipation_percent);

}  // namespace splitstart::book
