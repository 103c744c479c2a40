// Parts as their labels and data sheets describe them. Ranges are calibrations: the part in hand
// lies somewhere between minimum and maximum.
#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "case/quantity.h"

namespace splitstart
{

struct Range {
    double minimum = 0;
    double maximum = 0;
    [[nodiscard]] double middle() const { return 0.5 * (minimum + maximum); }
    bool operator==(const Range&) const = default;
};

// Whether arcs of the contact can reach the air around it, which matters beside flammable
// refrigerant.
enum class ContactEnclosure { unknown, open, sealed };

// Contact 1-2 normally closed, coil 2-5.
struct PotentialRelay {
    Range pickUp_V;       // rms at line frequency, coil at 25 degC
    Range dropOut_V;      // below every pick-up
    double coil_ohm = 0;  // 100 to 100e3
    double coil_H = 0;    // 0 to 100
    // Ratings; empty where a burnt or worn label no longer shows them.
    std::optional<double> coilContinuous_V;  // highest rms coil voltage that may stand for ever
    std::optional<double> contact_A;         // rms amps that the contact may make and break
    double operate_s = 0.010;
    double release_s = 0.010;
    ContactEnclosure enclosure = ContactEnclosure::unknown;
    std::optional<double> life_operations;
    bool operator==(const PotentialRelay&) const = default;
};

enum class RelayAttitude { unknown, upright, inverted, onItsSide };

// Coil L-M in the main lead, normally open contact to S.
struct CurrentRelay {
    Range pullIn_A;  // rms at line frequency
    Range dropOut_A;
    double coil_ohm = 0;                     // 0.001 to 5
    std::optional<double> coilContinuous_A;  // ratings, empty as above
    std::optional<double> contact_A;
    double operate_s = 0.010;
    double release_s = 0.010;
    bool contactFromM = false;                        // contact M to S instead of L to S
    RelayAttitude attitude = RelayAttitude::unknown;  // as mounted
    ContactEnclosure enclosure = ContactEnclosure::unknown;
    std::optional<double> life_operations;
    bool operator==(const CurrentRelay&) const = default;
};

// A disc whose resistance rises steeply when its own heat has warmed it: it lets the start current
// through once, and must cool before the next start.
struct Ptc {
    Range cold_ohm;         // at 25 degC
    double hot_ohm = 50e3;  // where its resistance ends, 100 to 1e6
    bool hotGiven = false;
    double reference_degC = 120;  // where it has twice its cold resistance
    bool referenceGiven = false;
    double switchCurrent_A = 0;  // rms amps for which the switching time is known ...
    Range switchTime_s;          // ... and that time, cold to reference_degC, in air of 25 degC
    double running_W = 3;        // what keeps it hot at rated volts in air of 25 degC
    bool runningGiven = false;
    std::optional<double> rated_V;     // highest rms volts across it
    std::optional<double> inrush_A;    // highest rms amps through it, cold
    std::optional<double> recovery_s;  // label's time to cool for the next start
    bool operator==(const Ptc&) const = default;
};

// A start switch that counts seconds from the moment at which it gets volts. 1-2: contact, closed
// at rest; L, N: the volts that it counts from.
struct TimedSwitch {
    Range opensAfter_s;
    double rearm_s = 1;  // without volts for that long, it is ready for another start
    std::optional<double> contact_A;
    std::optional<double> contact_V;  // highest rms volts across the open contact
    ContactEnclosure enclosure = ContactEnclosure::unknown;
    std::optional<double> life_operations;
    bool operator==(const TimedSwitch&) const = default;
};

// The switch on the shaft of an open motor, contact 1-2 closed at rest.
struct CentrifugalSwitch {
    Range opens_rad_s;
    Range closes_rad_s;  // below every opening speed
    std::optional<double> contact_A;
    ContactEnclosure enclosure = ContactEnclosure::unknown;
    std::optional<double> life_operations;
    bool operator==(const CentrifugalSwitch&) const = default;
};

enum class PairConnection { parallel, series };

// Two start capacitors that are wired as one.
struct CapacitorPair {
    std::string first;  // ids in the parts list; may be the same, of two parts alike
    std::string second;
    PairConnection connection = PairConnection::parallel;
    bool operator==(const CapacitorPair&) const = default;
};

struct StartCapacitor {
    Range capacitance_F;
    double rated_V = 0;               // rms
    double dissipationFactor = 0.06;  // tan delta at line frequency
    bool dissipationGiven = false;
    double dutySecondsPerHour = 60;  // allowed time in circuit an hour
    bool dutyGiven = false;
    std::optional<double> bleed_ohm;    // resistor across the terminals; empty: none
    std::optional<double> bleed_W;      // its rating
    std::optional<double> longestOn_s;  // longest single time in circuit
    std::optional<double> cutOff_V;     // highest rms volts at the end of a start, where given
    // Empty: one capacitor. Otherwise all of the above is what the two are together.
    std::optional<CapacitorPair> pair = {};
    // Highest rms volts that it stands during a start.
    [[nodiscard]] double highest_V() const { return cutOff_V.value_or(rated_V); }
    bool operator==(const StartCapacitor&) const = default;
};

struct RunCapacitor {
    Range capacitance_F;
    double rated_V = 0;  // rms, continuous
    double dissipationFactor = 0.001;
    bool dissipationGiven = false;
    std::optional<double> life_h;  // at rated volts, as its class of operation says
    bool operator==(const RunCapacitor&) const = default;
};

// Two run capacitors in one can with a common post: C to the line, HERM to the compressor's S, FAN
// to the fan's start lead.
struct DualRunCapacitor {
    Range compressor_F;  // C-HERM
    Range fan_F;         // C-FAN
    double rated_V = 0;
    double dissipationFactor = 0.001;
    bool dissipationGiven = false;
    std::optional<double> life_h;
    bool operator==(const DualRunCapacitor&) const = default;
};

enum class ProtectorPlace { internal, external };

// Thermal overload protector in the common lead. 1: line side, 3: to the compressor's C.
struct Protector {
    ProtectorPlace location = ProtectorPlace::external;
    double ultimateTrip_A = 0;  // least current that trips it in the long run at ambient_degC
    double tripCurrent_A = 0;   // a current for which the trip time is known ...
    Range tripTime_s;           // ... and that time, from ambient_degC
    double trip_degC = 0;
    double reset_degC = 0;
    double ambient_degC = 25;  // at which the two ratings above were taken
    double closed_ohm = 0.005;
    bool operator==(const Protector&) const = default;
};

struct CondenserFan {
    double voltage_V = 0;  // rated rms
    double current_A = 0;  // at rated volts
    double powerFactor = 0.6;
    bool operator==(const CondenserFan&) const = default;
};

// A condenser fan with a start winding that runs through a capacitor of its own.
struct CapacitorFan {
    double voltage_V = 0;    // rated rms
    double current_A = 0;    // at rated volts with that capacitor
    double capacitor_F = 0;  // run capacitor that belongs to it
    int poles = 6;
    bool polesGiven = false;
    bool operator==(const CapacitorFan&) const = default;
};

// Contactor whose coil the thermostat switches. Poles L1-T1 and L2-T2; with one pole, L2-T2 is a
// bar that never opens.
struct Contactor {
    int poles = 1;
    std::optional<double> fullLoad_A;
    std::optional<double> lockedRotor_A;
    double pole_ohm = 0.005;
    bool poleGiven = false;
    bool operator==(const Contactor&) const = default;
};

using PartData = std::variant<PotentialRelay, CurrentRelay, StartCapacitor, RunCapacitor, Protector,
                              CondenserFan, Ptc, TimedSwitch, CentrifugalSwitch, DualRunCapacitor,
                              CapacitorFan, Contactor>;

struct CatalogPart {
    std::string id;
    std::string description;  // free text from the file, for people only
    bool invented = false;
    PartData data;
    SourcePlace place;
    std::optional<double> highestAmbient_degC = {};  // of the air around it
    int inStock = 1;                                 // how many are on the shelf
};

struct PartsList {
    std::vector<CatalogPart> parts;
    std::string name;  // of the parts file; empty when all parts are inline
    bool invented = false;

    // The part of that id, or null. Ids are the same whatever the case of their letters.
    [[nodiscard]] const CatalogPart* find(const std::string& id) const;
};

}  // namespace splitstart
