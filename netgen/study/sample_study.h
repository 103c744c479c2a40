// Judging every finding over the machines that are possible.
#pragma once

#include <vector>

#include "study/case_study.h"

namespace splitstart
{

// Decides the findings of the study that hang on what is not known: simulates possible machines,
// each at the working points that were worst for a check with the best estimate (of several, those
// that were the worst of a failing one of the first sixty), until every check is settled. Fills
// study.machines and study.readings, and the findings' verdicts and shares. Reproducible: the same
// seed, the same findings, whatever the number of workers. Throws SimulationError.
void decideBySamples(const Case& input, CheckStudy& study, const CheckOptions& options,
                     SimulatorPool& pool, const StudyProgress& progress);

}  // namespace splitstart
