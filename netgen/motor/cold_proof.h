// Proving the wiring by two ohm readings before power is applied.
#pragma once

#include <array>
#include <string>
#include <vector>

#include "case/case.h"
#include "motor/identify.h"

namespace splitstart
{

// One of the six ways in which the wires meant for C, S and R can have been landed, and what the
// meter then reads at the wires' far ends. Capacitors block DC; a potential relay's coil and a
// bleed resistor are too high to matter; a current relay's coil adds its own ohms, and a PTC must
// have one lead off.
struct WireLanding {
    std::string name;         // "correct", "S and R exchanged", ...
    char commonWireOn = 'C';  // role of the pin that each wire is on
    char startWireOn = 'S';
    char runWireOn = 'R';
    double runToCommon_ohm = 0;       // run wire to common wire, meter leads subtracted
    double startToCommon_ohm = 0;     // start wire to common wire, meter leads subtracted
    double shownRunToCommon_ohm = 0;  // as the meter showed that pair of pins, leads included
    double shownStartToCommon_ohm = 0;
    bool toldFromCorrect = true;  // with this meter
};

struct ColdProof {
    std::array<WireLanding, 6> landings;    // the correct one first
    bool correctIsProved = true;            // no other landing can be taken for the correct one
    bool allToldApart = true;               // each landing can be told from each other one
    std::vector<std::string> notToldApart;  // plain sentences, one a pair
    std::vector<std::string> cautions;
};

// What to expect for these windings, at the temperature of the readings and with the same meter.
// Two landings count as told apart when their readings lie four standard deviations of the meter
// apart, so that halfway is two from each. Requires: identification.pattern is complete.
ColdProof coldProof(const Identification& identification, const Readings& meter,
                    const IdentifyAssumptions& assumptions = {});

}  // namespace splitstart
