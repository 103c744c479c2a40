// What a circuit does as it was found wired, beside what it would do as it should be.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "rating/check.h"
#include "rating/winding_range.h"
#include "study/case_study.h"
#include "study/start_runs.h"
#include "study/wiring_study.h"

namespace splitstart
{

// What a winding takes longer for is no matter of seconds, and is not told.
constexpr double longestHeating_s = 300;

// How long a winding takes to a temperature, with wire as thick and as thin as it may be.
struct HeatingTime {
    double thin_s = 0;
    double thick_s = 0;
};

// One simulated start.
struct WiredStart {
    StartMeasurement measured;
    // From 25 to 150 degC at the mean heating of the run; empty for a winding that carries next to
    // nothing, and for a start that ends as it should.
    std::optional<HeatingTime> main;
    std::optional<HeatingTime> auxiliary;
    // When the overload protector opens, at both ends of its trip time's range; `never` in it means
    // that it does not. Empty where none is in the way of the current.
    std::optional<Range> protectorOpens_s;

    // Forwards, up to 90 % of synchronous speed.
    [[nodiscard]] bool starts() const { return measured.timeToSpeed_s.has_value(); }
    // As it should: the start contact is open at the end.
    [[nodiscard]] bool endsWell() const
    {
        return starts() && measured.startContactAtEnd.value_or(0) < 0.5;
    }
    // Turning the wrong way at the end, faster than a tenth of synchronous speed.
    [[nodiscard]] bool turnsBackwards() const
    {
        return measured.speedAtEnd_ratio.value_or(0) < -0.1;
    }
};

struct FoundStart {
    double watched_s = 0;  // the longer of the two; a start that succeeds is over sooner
    WiredStart asFound;
    WiredStart asItShouldBe;
    std::vector<std::string> leftOut;  // parts that no current reaches, not simulated
};

// What is there to say of it: a start, or why there is none (a short, a motor that the case does
// not tell). Both empty where the wiring is right or was not looked at.
struct FoundStartAnswer {
    std::optional<FoundStart> start;
    std::string whyNot;
};

// Whether current from line to line would meet nothing but wires and closed contacts: nothing to
// simulate, and nothing to switch on.
bool isShort(const FoundWiringStudy& found);

// Whether no current can flow in any winding of the compressor.
bool isDead(const FoundWiringStudy& found);

// How thick the wire of the two windings may be, judged by the circuit as it should be. Throws
// SimulationError where its held shafts cannot be followed.
struct WindingWires {
    WindingRange main;
    WindingRange auxiliary;
};
WindingWires windingWires(const Case& best, const MotorStudy& motor, const Circuit& wanted,
                          SimulatorPool& pool);

// That start, with what it does to windings of such wire and when the protector opens. Windings
// cold at its beginning.
WiredStart judgedStart(const Case& best, const StartMeasurement& measured,
                       const WindingWires& wires);

// Said of a wrong wiring that starts.
constexpr std::string_view startsThoughWrong =
    "that it starts here does not make it right: at low volts, hot or against pressure it may not";

// Starts each circuit of the parts of `wanted`, wired as it lies, from rest at rated volts, cold
// windings, parts in the middle of their ranges; outcomes in their order. `best`: with the motor's
// source (withSource()). No circuit may be a short. Throws SimulationError where not even the held
// shafts of `wanted` can be followed.
using WiredOutcome = std::variant<WiredStart, SimulationError>;
std::vector<WiredOutcome> wiredStarts(const Case& best, const MotorStudy& motor,
                                      const Circuit& wanted, std::span<const Circuit> circuits,
                                      SimulatorPool& pool, const StartEffort& watched);

// Starts both from rest at rated volts, cold windings, parts in the middle of their ranges, with
// the most probable motor. Requires a wiring that is not right, no short,
// and not dead. Throws InputError
// where the case does not hold enough for a motor, SimulationError where ngspice cannot follow.
FoundStart foundStart(const Case& input, const WiringStudy& wiring, SimulatorPool& pool);

// The same for any wiring, with the reason where there is nothing to simulate.
FoundStartAnswer foundStartAnswer(const Case& input, const WiringStudy& study, SimulatorPool& pool);

}  // namespace splitstart
