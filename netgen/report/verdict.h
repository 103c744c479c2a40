// What all checks of one study say together.
#pragma once

#include <cstddef>
#include <string_view>
#include <vector>

#include "study/case_study.h"

namespace splitstart
{

struct VerdictCounts {
    std::size_t fail = 0;
    std::size_t undecided = 0;
    std::size_t pass = 0;
};

// Readings and checks together.
VerdictCounts verdictCounts(const MotorStudy& motor, const std::vector<Finding>& findings);

// In the order of what they forbid, the last forbids most.
enum class Fitness { fit, notDecided, notFit, doNotEnergise };

Fitness fitnessOf(const MotorStudy& motor, const std::vector<Finding>& findings);

// "fit", "not decided", "not fit", "do not energise"
std::string_view fitnessName(Fitness fitness);

// A pass whose margin is less than a twentieth of its limit: the next part from the same box, or a
// figure misread by a little, may not pass. Never so for counts and yes or no, nor for a limit of
// nought, of which no share can be taken, nor for percent and the line's own volts, which lie near
// theirs in every sound machine.
bool isNarrow(const Finding& finding);

}  // namespace splitstart
