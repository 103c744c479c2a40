// What to look at next, so that the causes that are left part best.
#pragma once

#include <vector>

#include "study/diagnosis.h"

namespace splitstart
{

// Observations that `options` do not have yet, best first, four at most; none that needs the supply
// on unless `diagnosis.mayPower`, and never the seconds to trip, for which a stalled motor would
// have to be left on. Each is judged by how much smaller the entropy of the causes is expected to
// be after it (Shannon; any text on information theory), in bits; one with the supply on counts
// half.
std::vector<NextObservation> nextObservations(const Diagnosis& diagnosis,
                                              const DiagnosisOptions& options);

}  // namespace splitstart
