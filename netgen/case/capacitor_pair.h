// Two start capacitors wired as one.
#pragma once

#include <optional>
#include <string>

#include "case/parts.h"

namespace splitstart
{

// What the two are together, in every figure that simulation and checks read:
//   parallel: capacitances add; each sees all the volts, so the lower rating counts; the bleed
//     resistors are in parallel.
//   series: reciprocal capacitances add. The smaller of the two takes the larger share of the
//     volts: with one at the lower end of its range and the other at the upper, Cmax/(Cmin + Cmax),
//     so that the pair stands rated volts times (Cmin + Cmax)/Cmax. The bleed resistors are in
//     series, and each sees the volts of its own capacitor.
// Duty, longest time in circuit and watts are those that neither part exceeds. Sources: capacitors
// in parallel and in series, any text on circuits; series only of equal capacitors, each with its
// own bleed resistor: common practice, no source.
// For a pair in series both must be alike (whyNotInSeries is empty).
StartCapacitor pairedCapacitor(const StartCapacitor& first, const StartCapacitor& second,
                               const CapacitorPair& pair);

// Why the two cannot be wired in series, half a sentence; empty if they can.
std::string whyNotInSeries(const StartCapacitor& first, const StartCapacitor& second);

// The lower of two figures, of which each may not be known.
std::optional<double> lowerOf(const std::optional<double>& a, const std::optional<double>& b);

// "start-a and start-b in parallel"
std::string pairWords(const CapacitorPair& pair);

// How the two are joined, half a sentence for the person who wires them.
std::string pairWiring(const CapacitorPair& pair);

}  // namespace splitstart
