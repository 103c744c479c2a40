// The quarter-horsepower capacitor-start machine of Krause, Wasynczuk, Sudhoff, "Analysis of
// Electric Machinery and Drive Systems", 2nd edition, chapter on unsymmetrical two-phase machines:
// 110 V, 60 Hz, 4 poles; the same main winding serves an example of Fitzgerald, Kingsley, Umans.
// Parameters from memory.
#pragma once

#include "physics/second_opinion.h"

namespace splitstart::book
{

Machine quarterHorsepower();

// Auxiliary axis exactly turns_ratio^2 times the main one, as double revolving fields and
// symmetrical components assume.
Machine quarterHorsepowerWithRoundRotor();

// The start of that text: 3 - j14.5 ohm in series with the auxiliary winding, start switch at 75 %
// of synchronous speed opening at the next zero of the current, no load, voltage a sine from zero.
StartConditions quarterHorsepowerStart();

}  // namespace splitstart::book
