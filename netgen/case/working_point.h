// The conditions of one simulated start, as far as they are not fields of the case.
#pragma once

#include <optional>

namespace splitstart
{

// Which end of every tolerance the simulated parts have.
//   early: the start circuit leaves as soon as it can. Potential relay: lowest pick-up. Current
//          relay: highest drop-out, and highest pull-in, which makes last. Capacitors: most
//          microfarads, so the most torque.
//   late:  the other end of each.
// A protector has its shortest trip time at both ends, since what is asked of a start is that it
// does not trip. The drop-out of a potential relay is highest at the early end: it then leaves at
// the lowest speed, where the S-C volts that have to hold it are lowest, so that a relay that may
// chatter does.
enum class Release {
    early,
    middle,  // the middle of each range
    late,
};

// A row of fields of the pseudo-element "start" of a sweep; see workingPointElement().
struct WorkingPoint {
    std::optional<double> line_ratio;      // of the rated volts; empty: the supply as the case says
    double winding_degC = 25;              // -40 to 200, both windings and the rotor
    Release parts = Release::middle;       // the end of the parts' tolerances
    std::optional<Release> capacitors;     // their end; empty: as the other parts
    std::optional<double> restartAfter_s;  // 0 to 86400; empty: all cold and discharged
};

}  // namespace splitstart
