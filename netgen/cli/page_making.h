// When and by what a page is made.
#pragma once

#include "report/report_page.h"

namespace splitstart
{

// Now, or what SOURCE_DATE_EPOCH says, and the versions of the program and of its ngspice. Throws
// UsageError where that is no number of seconds.
PageMaking pageMaking();

}  // namespace splitstart
