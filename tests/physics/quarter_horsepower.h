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

// The same with an invented cage of deep bars: at standstill and 60 Hz the rotor has 1.64 times the
// resistance that it has at full speed. `resistance_ratio` is that of the bar to the rotor's.
Machine quarterHorsepowerWithDeepBars(double resistance_ratio = 0.8, double corner_Hz = 30);

// Invented: above this knee the core takes six times the current for each further volt-second. At
// rated volts and no load the flux of this machine is close to the knee.
inline constexpr Saturation soonSaturated{.slope_ratio = 5, .knee_Vs = 0.4};

// The start of that text: 3 - j14.5 ohm in series with the auxiliary winding, start switch at 75 %
// of synchronous speed opening at the next zero of the current, no load, voltage a sine from zero.
StartConditions quarterHorsepowerStart();

}  // namespace splitstart::book
