// Winding resistance at another temperature.
#pragma once

namespace splitstart
{

enum class WindingMetal { copper, aluminium };

// k of the formula below: the straight line through the metal's resistance reaches zero at -k degC.
// Copper 234.5: IEEE 112 and IEEE 114, from memory, and the same as the temperature coefficient
// 0.00393 per K at 20 degC of the international annealed copper standard (1 / 0.00393 - 20 =
// 234.5). IEC 60034-1 rounds copper to 235, from memory, which differs by less than 0.1 % over a
// motor's range. Aluminium 225: IEC 60034-1, from memory.
double inferredZero_degC(WindingMetal metal);

// Resistance at `to_degC` of a winding that has `resistance_ohm` at `from_degC`:
//   R2 = R1 (k + t2) / (k + t1).
// Source: IEC 60034-1, temperature rise by resistance (from memory). Valid from -40 to 200 degC,
// where the metal's resistance is a straight line.
double resistanceAt_ohm(double resistance_ohm, double from_degC, double to_degC,
                        WindingMetal metal = WindingMetal::copper);

}  // namespace splitstart
