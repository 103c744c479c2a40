// Parts that are nowhere on a shelf, as good as can be, to find out what one would have to be like.
#pragma once

#include "case/case.h"
#include "circuit/circuit.h"

namespace splitstart
{

// Ids that no file can hold.
inline constexpr const char* madeDevice = "?device asked for";
inline constexpr const char* madeStart = "?start capacitor asked for";
inline constexpr const char* madeRun = "?run capacitor asked for";

// Volts, amps or watts that nothing in a start circuit reaches.
inline constexpr double ample = 1000;

// Puts a part into the case's list, in the place of one with that id.
void setPart(Case& input, const char* id, const PartData& data);

// A run capacitor for any volts; a dual one with that section for the fan.
PartData runOf(const Range& capacitance_F, bool dual, const Range& fan_F);

// A start capacitor for the highest volts that such capacitors are printed with, with the bleed
// resistor that is taught (15 kohm; common practice, no source) of ample watts.
StartCapacitor startOf(const Range& capacitance_F);

// A potential or current relay whose coil is like others' (assumed), to read what its calibration
// would have to be.
PartData deviceOf(PartKind kind);

// A calibration in the middle of a band: as close as relays are made (3 % either way, assumed), and
// no more than a quarter of the band's width from its middle.
Range middleOf(double lowest, double highest);

}  // namespace splitstart
