// The lessons one by one; see lessonKinds(). Internal to study/. All throw InputError where the
// case lacks what they need, SimulationError.
#pragma once

#include "study/lesson.h"

namespace splitstart
{

Lesson phaseShiftLesson(const Case& input, SimulatorPool& pool);
Lesson twoFieldsLesson(const Case& input, SimulatorPool& pool);
Lesson relayOpeningLesson(const Case& input, SimulatorPool& pool);
Lesson capacitorSizeLesson(const Case& input, SimulatorPool& pool);
Lesson runCapacitorLesson(const Case& input, SimulatorPool& pool);
Lesson swappedWireLesson(const Case& input, SimulatorPool& pool);

}  // namespace splitstart
