// What a person knows about one compressor that will not start, as read from a case file.
// Plain SI values; nothing here is computed. Every field says its unit in its name.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "case/parts.h"
#include "case/quantity.h"

namespace splitstart
{

enum class SupplyKind { utility, generator, inverter };
enum class ConductorMaterial { copper, aluminium };

// A run of wire between the supply's terminals and the start circuit, there and back.
struct ConductorRun {
    double length_m = 0;  // one way
    double area_m2 = 0;   // of one conductor
    ConductorMaterial material = ConductorMaterial::copper;
    double temperature_degC = 40;
    SourcePlace place;
};

// Supply at its own terminals, open circuit.
struct Supply {
    double voltage_V = 0;               // rms, open circuit; 50 to 600
    double frequency_Hz = 60;           // 40 to 70
    double source_ohm = 0;              // resistance of feeder and transformer, 0 to 20
    double source_H = 0;                // inductance of the same, 0 to 0.05
    bool sourceImpedanceGiven = false;  // false: the two values above are assumed
    double switchOn_deg = 0;            // phase of the voltage sine at switch-on, 0 to 360
    SupplyKind kind = SupplyKind::utility;
    std::optional<double> limit_A = {};         // most rms amps that it can deliver, at any volts
    std::vector<ConductorRun> conductors = {};  // on the way to the compressor
};

// One resistance reading between two pins, or between a pin and the shell.
struct WindingReading {
    std::string pinA;
    std::string pinB;           // "shell" for a reading to the bare metal of the compressor
    double resistance_ohm = 0;  // as the meter showed it, leads included; infinity: open ("OL")
    SourcePlace place;
};

struct Readings {
    std::vector<WindingReading> readings;
    double windingTemperature_degC = 25;  // at the time of reading, -40 to 180
    bool windingTemperatureGiven = false;
    double lead_ohm = 0;  // meter leads, subtracted from each reading; 0 to 2
    bool leadGiven = false;
    double accuracy_ratio = 0.01;  // of reading, e.g. 0.01 for 1 %; 0 to 0.2
    bool accuracyGiven = false;
    double resolution_ohm = 0.01;  // last digit of the meter, 0 to 1
    bool resolutionGiven = false;
};

// Which pin is which as the diagram on the nameplate or inside the terminal cover says. Labels as
// in the readings, each pin another one.
struct KnownPins {
    std::string common;
    std::string start;
    std::string run;
    SourcePlace place;
};

// Insulation between windings and shell.
struct InsulationReading {
    double resistance_ohm = 0;  // 0 to 1e12; infinity: beyond a range whose end is not known
    double test_V = 0;          // DC test voltage; 0 when an ordinary ohmmeter was used
    bool lowerLimit = false;    // the meter was at the end of its range: the true value is above
};

// Whose amps the plate's locked-rotor amps are.
enum class LockedRotorOf {
    compressor,  // the whole compressor with its start parts
    runWinding,  // the run winding alone
};

struct Nameplate {
    std::optional<double> voltage_V;  // rated volts
    std::optional<double> frequency_Hz;
    std::optional<double> lockedRotor_A;
    std::optional<double> ratedLoad_A;
    std::optional<double> output_W;     // rated shaft output, where the plate gives it
    std::optional<char> codeLetter;     // NEMA locked-rotor code letter, A to V
    std::optional<double> ratedLoad_W;  // taken from the line at rated load
    double accuracy_ratio = 0.10;       // of the machine in hand against it, 0.005 to 0.3
    LockedRotorOf lockedRotorOf = LockedRotorOf::compressor;
    bool lockedRotorOfGiven = false;
};

// A further measurement on the running or stalled compressor, kept for the estimation.
enum class MeasuredQuantity {
    startCommonVoltsRunning,  // V rms between S and C in normal running
    startCommonVoltsStalled,  // V rms between S and C with the rotor locked
    lineAmpsRunning,
    lineAmpsStalled,
    startLeadAmpsRunning,
    startLeadAmpsStalled,
    lineWattsRunning,
    lineWattsStalled,
    supplyVoltsStalled,
    secondsToStart,
    turnsRatio,  // from a bench test with each winding fed in turn
    runCapacitorVoltsRunning,
    powerFactorRunning,
    powerFactorStalled,
    runWindingAmpsStalled,  // the run winding alone on the line, rotor at rest, start lead off
    runWindingWattsStalled,
};

struct Measurement {
    MeasuredQuantity quantity = MeasuredQuantity::startCommonVoltsRunning;
    double value = 0;              // in the SI unit that the quantity's name says
    double accuracy_ratio = 0.02;  // 0 to 0.5
    SourcePlace place;
    std::optional<double> winding_degC = {};  // how warm the windings were then, -40 to 200
};

// Bench test for the turns ratio, rotor turning: each winding fed in turn while the other, open,
// shows its volts. All rms, 1 to 1500.
struct TwoFeedTest {
    double runFed_V = 0;           // on the run winding, start winding open
    double startOpen_V = 0;        // between S and C then
    double startFed_V = 0;         // on the start winding, run winding open
    double runOpen_V = 0;          // between R and C then
    double accuracy_ratio = 0.01;  // of each of the four, 0 to 0.2
    SourcePlace place;
};

enum class LoadKind { none, steady, reciprocating };
enum class Pressures { equalised, unequalised };

struct CompressorLoad {
    LoadKind kind = LoadKind::reciprocating;
    bool kindGiven = false;
    Pressures pressures = Pressures::equalised;
    bool pressuresGiven = false;
    double startAngle_deg = 0;           // crank angle at rest, 0 = bottom dead centre
    std::optional<double> torque_Nm;     // mean shaft torque at rated load; empty: estimated
    std::optional<double> suction_Pa;    // absolute, running
    std::optional<double> discharge_Pa;  // absolute, running
    std::optional<double> equalised_Pa;  // absolute, after equalising
};

// The motor's equivalent circuit as a bench engineer gives it: an unsymmetrical two-winding
// induction machine, rotor of each axis referred to that axis's stator winding. Reactances at
// `frequency_Hz`. Symbols as in Krause, Wasynczuk, Sudhoff, "Analysis of Electric Machinery and
// Drive Systems", chapter on unsymmetrical two-phase machines.
struct EquivalentCircuit {
    double frequency_Hz = 60;
    double main_ohm = 0;
    double mainLeakage_ohm = 0;
    double mainMagnetizing_ohm = 0;
    double rotorMain_ohm = 0;
    double rotorMainLeakage_ohm = 0;
    double auxiliary_ohm = 0;
    double auxiliaryLeakage_ohm = 0;
    double auxiliaryMagnetizing_ohm = 0;
    double rotorAuxiliary_ohm = 0;
    double rotorAuxiliaryLeakage_ohm = 0;
    double turnsRatio = 0;  // effective auxiliary / main
    int poles = 0;          // even, 2 to 12
    double inertia_kgm2 = 0;
    double coreLoss_W = 0;                   // at rated voltage
    double friction_W = 0;                   // bearing and windage at synchronous speed
    double resistanceTemperature_degC = 25;  // at which the resistances above hold
    // Deep rotor bars: more resistance at high slip frequency. 0: none, or nothing is known of it.
    double rotorBar_ohm =
        0;  // added far above the corner, main turns; the auxiliary axis n^2 of it
    double rotorBarCorner_Hz = 30;  // slip frequency at which half of it has come
    // Saturation: beyond the knee each further volt takes 1 + slope times the magnetising amps. 0:
    // none, or nothing is known of it.
    double saturationSlope_ratio = 0;
    double saturationKnee_V = 0;  // rms air-gap volts of the main winding at frequency_Hz

    bool operator==(const EquivalentCircuit&) const = default;
};

// Cross section of the windings' wire, where somebody has measured it.
struct WindingWire {
    std::optional<double> main_m2;
    std::optional<double> auxiliary_m2;
    ConductorMaterial material = ConductorMaterial::copper;
};

struct Compressor {
    int poles = 2;
    bool polesGiven = false;
    std::optional<Readings> readings;
    std::optional<KnownPins> pins;  // empty: nobody has looked at the diagram
    std::optional<InsulationReading> insulation;
    Nameplate nameplate;
    std::vector<Measurement> measurements;
    std::optional<TwoFeedTest> twoFeedTest;  // never beside a measured turns ratio
    WindingWire wire;
    CompressorLoad load;
    std::optional<EquivalentCircuit> equivalentCircuit;
};

enum class Refrigerant { unknown, notFlammable, flammable };

// Which standard circuit, and which part of the parts list stands in each place.
struct CircuitChoice {
    std::string type;         // "CSIR", "CSCR", ...
    std::string startDevice;  // id, spelt as in the parts list; empty: none
    std::string startCapacitor;
    std::string runCapacitor;
    std::string protector;
    std::string fan;
    SourcePlace place;
    std::string variant;  // "standard", "two-wire-assist", ...
    std::string fanCapacitor;
    std::string contactor;
    std::optional<double> ambient_degC;   // of the air around the start parts
    std::optional<double> startsPerHour;  // how often it starts at the most
    std::optional<double> shortestOff_s;  // what an off-delay or the control guarantees
    Refrigerant refrigerant = Refrigerant::unknown;
    bool variantGiven = false;  // false: the variant is the standard one because none was written
};

// A wire as somebody found it. Each end is "part.terminal" as written; whether the circuit has such
// a part and terminal is not known here.
struct FoundWire {
    std::string from;
    std::string to;
    SourcePlace place;
};

// All the wires found between the parts of the case's circuit.
struct FoundWiring {
    std::vector<FoundWire> wires;
    SourcePlace place;
};

struct Case {
    std::string name;
    bool invented = false;  // demo data, to be marked as such in every output
    std::string file;       // path as given
    Supply supply;
    bool supplyGiven = false;  // false only where there is no circuit either
    Compressor compressor;
    std::optional<CircuitChoice> circuit;
    PartsList parts;                          // the named file and inline parts together
    std::vector<std::string> filesRead = {};  // paths of the case file and of its parts file
    std::optional<FoundWiring> asFound = {};  // only where there is a circuit
};

}  // namespace splitstart
