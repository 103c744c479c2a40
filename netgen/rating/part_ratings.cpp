#include "rating/part_ratings.h"

#include "rating/check_readers.h"

namespace splitstart
{

PartRatings partRatings(const Case& input, const Circuit& circuit)
{
    const Evidence none;
    const CheckContext context{input, circuit, none};
    PartRatings ratings;
    const auto* capacitor = chosenPart<StartCapacitor>(input, &CircuitChoice::startCapacitor);
    if (capacitor != nullptr) {
        ratings.startCapacitor_V = capacitor->highest_V();
        ratings.startCapacitorLongest_s = capacitor->longestOn_s;
    }
    if (const auto section = runSection(context)) {
        ratings.runCapacitor_V = section->rated_V;
    }
    if (const auto* potential = startDevice<PotentialRelay>(context)) {
        ratings.coil_V = potential->coilContinuous_V;
        ratings.contact_A = potential->contact_A;
    } else if (const auto* current = startDevice<CurrentRelay>(context)) {
        ratings.coil_A = current->coilContinuous_A;
        ratings.contact_A = current->contact_A;
    } else if (const auto* timer = startDevice<TimedSwitch>(context)) {
        ratings.contact_A = timer->contact_A;
    } else if (const auto* onShaft = startDevice<CentrifugalSwitch>(context)) {
        ratings.contact_A = onShaft->contact_A;
    } else if (const auto* ptc = startDevice<Ptc>(context)) {
        ratings.contact_A = ptc->inrush_A;
        ratings.ptc_V = ptc->rated_V;
    }
    return ratings;
}

}  // namespace splitstart
