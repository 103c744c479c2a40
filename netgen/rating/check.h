// Comparing what was simulated with what the parts are rated for.
#pragma once

#include <functional>
#include <limits>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "case/case.h"
#include "circuit/circuit.h"
#include "circuit/simulation_model.h"
#include "motor/estimate.h"
#include "spice/measurement.h"

namespace splitstart
{

enum class Verdict { pass, fail, undecided };

// "pass", "fail", "undecided"
std::string_view verdictName(Verdict verdict);

// One simulated start.
struct StartRun {
    Corner corner;
    StartMeasurement measured;
};

// The motor with its shaft held at a row of speeds, at rated volts. The circuit is linear then, so
// another line voltage scales volts and amps by its ratio, watts and torque by the square.
struct HeldShaftTable {
    double winding_degC = 25;
    Release release = Release::middle;
    std::vector<HeldShaftMeasurement> startCircuitIn;   // rising speed, standstill first
    std::vector<HeldShaftMeasurement> startCircuitOut;  // the same speeds
};

// The point of a table at that speed, interpolated, scaled to that line voltage.
HeldShaftMeasurement heldAt(std::span<const HeldShaftMeasurement> table, double speed_ratio,
                            double line_ratio);

// The highest speed at which the motor of that table delivers the torque at that line voltage;
// empty if it nowhere does.
std::optional<double> speedAtTorque(std::span<const HeldShaftMeasurement> table, double torque_Nm,
                                    double line_ratio);

// All that was simulated for one motor.
struct Evidence {
    std::string motor;  // which alternative; empty: the best estimate
    double ratedTorque_Nm = 0;
    std::vector<StartRun> starts;
    std::vector<HeldShaftTable> held;
    std::vector<FitResidual> fit = {};  // how the best estimate reproduces what was measured
    std::vector<std::string> contradictions = {};  // figures that no one motor can have together
    // Starts again after the shortest off time, where something has to recover in it.
    std::vector<StartRun> restarts = {};
    // What flows with the thermostat or contactor open, at rated volts; empty where nothing can.
    std::optional<HeldShaftMeasurement> offTime = {};
    // What the start winding alone would draw from the line at standstill and rated volts.
    std::optional<double> auxiliaryOnLine_A = {};
    // Of the motor that `held` is of, for the time that a start takes at the least.
    std::optional<double> inertia_kgm2 = {};
};

// One value against its limit at one corner.
struct Comparison {
    std::string corner;
    double value = 0;
    double limit = 0;
    bool valueAtLeast = false;  // true: the value must not be below the limit
    bool beyond = false;        // beyond the limit, by how much is not known; value means nothing
    [[nodiscard]] double margin() const
    {
        return beyond         ? -std::numeric_limits<double>::infinity()
               : valueAtLeast ? value - limit
                              : limit - value;
    }
};

// What a check found with one motor: a comparison for each corner, or the reason why it cannot be
// judged.
struct CheckReading {
    std::vector<Comparison> comparisons;
    std::string undecidedBecause;
    // Why there is nothing to ask at a corner that has no comparison: what the check is about does
    // not come about there, such as running under a load that the motor does not carry. Another
    // check asks whether it does.
    std::string doesNotArise = {};
};

// What a check may look at.
struct CheckContext {
    const Case& input;
    const Circuit& circuit;
    const Evidence& evidence;
};

enum class Basis { standard, physics, commonPractice };

// What a check takes for granted. Whether it is so is asked by another check (motor-starts,
// motor-carries-load, relay-pulls-in, relay-opens, start-capacitor-left-in), so that machines in
// which it is not so tell nothing about this one. Not for what may itself be why the motor does not
// start: a relay that opens too early.
enum class Presumes {
    nothing,
    comesUpToSpeed,
    carriesLoad,
    contactMakes,
    contactOpens,
    startCircuitLeaves,  // the contact is open at the end
};

// One row of the table of checks.
struct Check {
    std::string_view id;    // "relay-chatter"
    std::string_view part;  // id in the circuit, such as "relay"; "start-device": whichever it is
    std::string_view meaning;  // what it asks, in plain words
    std::string_view rule;     // how it is decided
    std::string_view unit;     // of value, limit and margin
    Basis basis = Basis::physics;
    std::string_view source;  // standard and clause, or why physics; "common practice, no source"
    std::string_view remedy;  // what to do when it fails
    bool (*applies)(const CheckContext&) = nullptr;
    CheckReading (*read)(const CheckContext&) = nullptr;
    bool asksTheCaseOnly = false;  // stands without believing the simulated motor
    Presumes presumes = Presumes::nothing;
};

// Every check, in the order of the parts.
std::span<const Check> allChecks();

// The outcome of one check over all corners and motors.
struct Finding {
    const Check* check = nullptr;
    Verdict verdict = Verdict::undecided;
    std::string corner;     // the worst one, best estimate of the motor
    bool hasLimit = false;  // false: there was nothing to compare
    bool hasValue = false;  // false: value and margin mean nothing
    double value = 0;
    double limit = 0;
    double margin = 0;          // in the unit of the check; negative: beyond the limit
    bool motorUnknown = false;  // undecided only because the figures do not fit one motor
    std::string because;        // why it is undecided, or on what a verdict hangs
    // Of how many possible machines it is so; none were looked at where `samples` is 0. Where it is
    // counted over those only in which what the check presumes is so, `presumed` says that, and
    // `lookedAt` how many there were with the others.
    Presumes presumed = Presumes::nothing;
    std::size_t lookedAt = 0;
    std::size_t samples = 0;
    std::size_t holds = 0;
    std::size_t fails = 0;
    std::vector<std::string> hangsOn = {};  // what it hangs on, most first
};

// Whether the figures that were given can be those of one motor.
bool fitsOneMotor(const Evidence& evidence);

// Judges every check that applies. Where the figures given do not fit one motor, whatever rests on
// a simulation of it is undecided. The first evidence is the best estimate at every corner with the
// parts at both ends of their tolerances, others are of what the case leaves open besides
// (pressures at the start): a verdict stands only if it is the same for all of them. Requires at
// least one evidence.
std::vector<Finding> judge(const Case& input, const Circuit& circuit,
                           std::span<const Evidence> evidence);

}  // namespace splitstart
