// What to measure next, in words. Internal to report/.
#pragma once

#include <vector>

#include "report/text_page.h"
#include "study/next_measurement.h"

namespace splitstart
{

// A heading and one entry for each; at least one is given.
void writeNextMeasurements(TextPage& page, const std::vector<NextMeasurement>& next);

}  // namespace splitstart
