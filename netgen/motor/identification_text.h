// What identify.h says in words.
#pragma once

#include <string>

#include "motor/identify.h"
#include "motor/pin_posterior.h"

namespace splitstart
{

// Resistance for people, three digits: "0.83 ohm", "12.4 ohm", "3.2 Mohm", "open".
std::string ohmsInWords(double resistance_ohm);

// Likely causes of a misfit and what each does to the sum rule.
// Needs identification.misfit and lead_ohm.
std::string explainMisfit(const Identification& identification, const Naming& best,
                          const Readings& readings);

// Fills answer, runnerUp and decidedBy from the rest; the second where a diagram names the pins.
// Whether the pins are marked C, S and R and the naming gives at least one of them another part.
bool marksDiffer(const Identification& identification);
void describeNaming(Identification& identification);
void describeDiagram(Identification& identification);

// Why the readings cannot belong to the diagram's pins. Needs diagram and pairs.
std::string describeContradiction(const Identification& identification);

// One sentence, with a blank before it, for readings that tell nothing about which pin is which.
std::string describeUncheckedDiagram(const KnownPins& diagram);

}  // namespace splitstart
