// More of the dairy's equipment, all of it invented: what has other start devices than a relay, a
// fan with a run capacitor, a contactor, a long feed, or crankcase heat. Parts are those of
// stockedCase(), with the ratings that their labels would show.
#pragma once

#include "unit/dairy_cases.h"

namespace splitstart
{

// RSCR with "ptc", one-pole contactor, fan with a capacitor of its own ("fan-run"), fed by 20 m of
// 10 AWG copper from a generator.
Case milkTankCase();

// CSCR with "timer", two-pole contactor, dual capacitor for compressor and fan, flammable
// refrigerant, warm parts.
Case curdRoomCase();

// CSIR with "shaft": an open motor.
Case butterChurnCase();

// PSC with crankcase heat: no start device.
Case ripeningRoomCase();

}  // namespace splitstart
