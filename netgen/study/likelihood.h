// How well an observation fits what was expected.
#pragma once

#include "case/symptom.h"
#include "study/prediction.h"

namespace splitstart
{

// How likely that symptom is with that prediction, up to a factor that is the same for all
// predictions: words by how easily one is taken for another, numbers by the normal law with the
// meter's error and the computation's, both with a chance left that an observation is simply wrong
// (all assumed, no source). `meter_ratio`: of the person's meter, 95 %; 0: as usual for the kind.
double likelihood(const Symptom& symptom, const Prediction& prediction, double meter_ratio = 0);

// Whether a person could tell the two apart by any symptom that needs the supply on; but for the
// seconds to trip, for which nobody is to wait. `meter_ratio` as above.
bool toldApart(const Prediction& a, const Prediction& b, double meter_ratio = 0);

// Whether by that one.
bool toldApartBy(SymptomKind kind, const Prediction& a, const Prediction& b,
                 double meter_ratio = 0);

}  // namespace splitstart
