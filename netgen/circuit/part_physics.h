// What a part's label says, turned into the parameters of its model.
#pragma once

#include "case/case.h"

namespace splitstart
{

// Time constant of a first-order protector that trips after tripTime_s at its stated trip current,
// from tau = -t / ln(1 - (Iu/I)^2), the step response of a body heated by I^2. Requires
// tripCurrent > ultimateTrip > 0.
double protectorTimeConstant_s(const Protector& protector, double tripTime_s);

// Temperature around the protector's disc, and of the disc at switch-on, when the windings have
// that temperature, in a room of 25 degC.
double protectorAmbient_degC(const Protector& protector, double winding_degC);

// Volts at which a relay's coil does at that winding temperature what it does at 25 degC at one
// volt: the armature follows the coil's amps, and a warm coil has more ohms (copper, IEC 60034-1).
// Beside hot windings the coil is taken as 70 degC warm (assumed: it has been running on its own
// heat).
double coilTemperatureFactor(const PotentialRelay& relay, double winding_degC, double line_Hz);

// Air around a start device in a room of 25 degC: 25 degC beside a cold motor, 60 degC beside a hot
// one (assumed: it hangs on the shell); what the case says where it says it.
double startDeviceAmbient_degC(const Case& input, double winding_degC);

// How a PTC warms and cools.
struct PtcHeat {
    double capacity_J_K = 0;
    double dissipation_W_K = 0;
    double running_degC = 0;  // where it settles in running, in air of 25 degC
    [[nodiscard]] double timeConstant_s() const { return capacity_J_K / dissipation_W_K; }
};

// d ln R / dT of the steep part of a PTC's curve (assumed; ceramic start devices have 0.1 to 0.3).
constexpr double ptcRise_per_K = 0.15;

// Heat capacity from the label's switching time: the current I through the cold resistance R warms
// it from 25 degC to the reference temperature in t with little heat lost, C = I^2 R t / (Tref -
// 25). Dissipation from the running watts at the temperature at which the resistance takes them at
// that voltage. Requires volts above 0.
PtcHeat ptcHeat(const Ptc& ptc, double switchTime_s, double running_V);

// Resistance of the pill when it is hot in running: volts squared over its running watts, but not
// more than nine tenths of its highest, which it only nears: it takes more watts then.
double ptcRunning_ohm(const Ptc& ptc, double running_V);

// The most watts that can keep it hot at that voltage: with more it would have less than the
// resistance at its reference temperature, twice that of any cold pill of its label, and so be
// cold.
double mostRunning_W(const Ptc& ptc, double running_V);

// Volts across a PTC in running: it stands across R and S, some 1.2 times the line (assumed).
constexpr double ptcRunning_ratio = 1.2;

// Temperature at which the pill has that resistance, by the curve of models/ptc.lib. Requires more
// than the cold and less than the highest resistance.
double ptcTemperatureAt_degC(const Ptc& ptc, double resistance_ohm);

// Temperature of the pill that long after it was switched off hot: exponential cooling.
double ptcCooled_degC(const PtcHeat& heat, double off_s, double ambient_degC);

// The two-winding machine of a fan with a run capacitor. Its rated point is taken as balanced (two
// equal fields at right angles, as a permanent-capacitor motor is designed): with the capacitor's
// current I_a = w C V sqrt(1 + n^2), the main current n I_a a right angle behind it, and
// n = tan(phi), the line's amps are w C V (1 + n^2), which gives n. Stator resistance a tenth,
// leakage reactances 8 % of the winding's impedance, slip 12 % (assumed, typical of small fans).
// Textbook: Veinott, "Theory and Design of Small Induction Motors", balanced operation (from
// memory).
struct FanMachine {
    EquivalentCircuit circuit;  // inertia included
    double rated_Nm = 0;
    double ratedSpeed_rad_s = 0;
    double main_ohm = 0;  // impedance of the main winding at the rated point: resistance ...
    double mainReactance_ohm = 0;  // ... and reactance
};
FanMachine fanMachine(const CapacitorFan& fan, double line_Hz);

// Whether amps and capacitor belong to one such motor (turns ratio from 0.5 to 3), and which amps
// would.
bool isFanMachine(const CapacitorFan& fan, double line_Hz);
Range fanAmps(const CapacitorFan& fan, double line_Hz);

}  // namespace splitstart
