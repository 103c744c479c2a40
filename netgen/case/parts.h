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
};

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
};

struct StartCapacitor {
    Range capacitance_F;
    double rated_V = 0;               // rms
    double dissipationFactor = 0.06;  // tan delta at line frequency
    bool dissipationGiven = false;
    double dutySecondsPerHour = 60;  // allowed time in circuit an hour
    bool dutyGiven = false;
    std::optional<double> bleed_ohm;  // resistor across the terminals; empty: none
    std::optional<double> bleed_W;    // its rating
};

struct RunCapacitor {
    Range capacitance_F;
    double rated_V = 0;  // rms, continuous
    double dissipationFactor = 0.001;
    bool dissipationGiven = false;
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
};

struct CondenserFan {
    double voltage_V = 0;  // rated rms
    double current_A = 0;  // at rated volts
    double powerFactor = 0.6;
};

using PartData = std::variant<PotentialRelay, CurrentRelay, StartCapacitor, RunCapacitor, Protector,
                              CondenserFan>;

struct CatalogPart {
    std::string id;
    std::string description;  // free text from the file, for people only
    bool invented = false;
    PartData data;
    SourcePlace place;
};

struct PartsList {
    std::vector<CatalogPart> parts;
    std::string name;  // of the parts file; empty when all parts are inline
    bool invented = false;

    // The part of that id, or null. Ids are the same whatever the case of their letters.
    [[nodiscard]] const CatalogPart* find(const std::string& id) const;
};

}  // namespace splitstart
