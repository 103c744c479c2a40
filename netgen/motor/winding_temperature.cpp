#include "motor/winding_temperature.h"

namespace splitstart
{

double inferredZero_degC(WindingMetal metal)
{
    return metal == WindingMetal::copper ? 234.5 : 225.0;
}

double resistanceAt_ohm(double resistance_ohm, double from_degC, double to_degC, WindingMetal metal)
{
    const double k = inferredZero_degC(metal);
    return resistance_ohm * (k + to_degC) / (k + from_degC);
}

}  // namespace splitstart
