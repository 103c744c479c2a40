// Two invented cases of an invented dairy and a motor for each, built in code, so that no reader of
// files stands between a test and the module that it tests.
#pragma once

#include <stdexcept>
#include <variant>

#include "case/case.h"

namespace splitstart
{

// 230 V, capacitor start and run, potential relay, protector inside the shell, no fan. Parts:
// "relay", "start", "run", "inside", and "outside", an external protector that is not used.
Case coldStoreCase();

// 115 V, capacitor start, current relay, external protector, fan. Parts: "relay", "start",
// "outside", "fan", and "run", a run capacitor that is not used.
Case bottleCoolerCase();

// A shelf with one part of every kind, 230 V and 60 Hz, and no circuit yet. Parts: "potential",
// "current", "ptc", "timer", "shaft", "start" (no bleed resistor), "run", "dual", "fan-run", "fan",
// "fan-with-capacitor", "one-pole", "two-pole", "inside", "outside".
Case stockedCase();

// A two-pole motor of some 1.5 kW for the first, with core loss and friction.
EquivalentCircuit coldStoreMotor();

// The 110 V quarter-horsepower machine of Krause, Wasynczuk, Sudhoff for the second.
EquivalentCircuit bottleCoolerMotor();

// The part of that id, of that type.
template <typename Data>
Data& partOf(Case& input, const char* id)
{
    for (CatalogPart& part : input.parts.parts) {
        if (part.id == id) {
            return std::get<Data>(part.data);
        }
    }
    throw std::out_of_range(id);
}

}  // namespace splitstart
