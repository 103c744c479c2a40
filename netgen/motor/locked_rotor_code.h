// NEMA code letters for locked-rotor kVA per horsepower.
#pragma once

#include <optional>

#include "case/parts.h"

namespace splitstart
{

// kVA per horsepower that the letter stands for: at least `minimum`, less than `maximum`, which is
// infinite for V. Letters A to V without I, O and Q; empty for any other character.
// Source: NEMA MG 1, "Code letters for locked-rotor kVA", from memory.
std::optional<Range> lockedRotorKvaPerHorsepower(char letter);

// The letter for a kVA per horsepower. Empty when it is negative or not a number.
std::optional<char> lockedRotorCodeLetter(double kvaPerHorsepower);

// Locked-rotor amps of a single-phase motor of that letter: kVA/hp * hp * 1000 / volts. Empty for a
// character that is no code letter, and unless horsepower and volts are above zero.
std::optional<Range> lockedRotorRange_A(char letter, double horsepower, double voltage_V);

}  // namespace splitstart
