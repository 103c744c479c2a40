// A circuit at one working point as a list of SPICE subcircuit instances: which subcircuit, which
// node on each port, which number for each parameter. Nothing is printed here; spice/netlist.h
// does.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "case/case.h"
#include "case/working_point.h"
#include "circuit/circuit.h"
#include "motor/compressor_load.h"
#include "motor/motor.h"

namespace splitstart
{

// One subcircuit of models/ in place.
struct SubcircuitInstance {
    std::string name;  // "relay": becomes the instance xrelay and the prefix of its parameters
    std::string subcircuit;  // "potential_relay"
    std::map<std::string, std::string> nodeOfPort;
    std::vector<std::pair<std::string, double>> parameters;
    std::string comment;  // one line for people; our own words only
};

// The conditions of one run.
struct Corner {
    double line_ratio = 1;     // of the rated volts
    double winding_degC = 25;  // both windings and the rotor
    Release release = Release::middle;
    Pressures pressures = Pressures::equalised;
    std::optional<double> switchOn_deg = {};  // phase at switch-on; empty: that of the case
    std::optional<Release> capacitors = {};   // their end; empty: as the other parts
    // Seconds since it last ran; empty: long enough for all to be cold and discharged. A PTC is
    // still warm then, a start capacitor still charged as far as its bleed resistor has not
    // discharged it.
    std::optional<double> restartAfter_s = {};
};

// Whether windings of that temperature count as hot: the machine has just been running.
bool isHot(double winding_degC);

// "85 % line, hot windings, parts at the late end, unequalised"
std::string cornerText(const Corner& corner);

enum class StartContact { automatic, heldClosed, heldOpen };

// How the shaft and the start contact are treated.
struct RunSetting {
    StartContact contact = StartContact::automatic;
    std::optional<double> fixedSpeed_rad_s;  // held there; empty: free with load and inertia
    bool switchOpen = false;  // thermostat or contactor open: what still flows in the off time
    double initialSpeed_rad_s = 0;  // of a free shaft at time 0: spun by hand before power comes on
};

// Where a person puts a voltmeter for S-C volts: the far ends of the wires meant for C and S.
// Without a part: the pins themselves.
struct LeadEnds {
    Terminal common = {};
    Terminal start = {};
};

struct SimulationModel {
    // The device that switches the start circuit: its instance, the ammeter through it, and the
    // node that says whether it is made. Absent from models of a held shaft.
    struct StartDevice {
        std::string instance;
        std::string ammeter;
        std::string closedNode;
    };

    std::vector<SubcircuitInstance> instances;
    std::optional<StartDevice> startDevice;
    std::map<Terminal, std::string> nodeOfTerminal;  // ground is "0"
    std::optional<double> fixedSpeed_rad_s;
    double frequency_Hz = 60;
    double synchronousSpeed_rad_s = 0;
    int polePairs = 1;
    double turnsRatio = 1;
    LeadEnds leadEnds;

    // Node of that terminal; throws std::out_of_range if there is none.
    [[nodiscard]] const std::string& node(std::string_view part, std::string_view terminal) const;
    // The first instance of that subcircuit, or null.
    [[nodiscard]] const SubcircuitInstance* find(std::string_view subcircuit) const;
    // The instance of that name, such as "compressor"; throws std::out_of_range.
    [[nodiscard]] const SubcircuitInstance& instance(std::string_view name) const;
};

// The circuit at one working point. The parts of the case fill the circuit's places.
SimulationModel simulationModel(const Case& input, const Circuit& circuit,
                                const EquivalentCircuit& motor, double ratedTorque_Nm,
                                const Corner& corner, const RunSetting& setting = {});

// Value of a calibration range at one end of the tolerances. `late` says which end makes the start
// circuit stay long.
double atRelease(const Range& range, Release release, bool maximumIsLate);

// Nameplate volts; without a nameplate, the supply's.
double ratedVoltage_V(const Case& input);

}  // namespace splitstart
