// Decks with closed-form answers, and decks that fail in a known way, for the tests of the ngspice
// session.
#pragma once

#include <string>
#include <vector>

#include "spice/simulation.h"

namespace splitstart
{

// 1 V through a resistor into 1 uF from rest: v(out) = 1 - exp(-t / (R C)).
SimulationRequest chargingCapacitor(double resistance_ohm = 1000);

// The same as a low-pass filter at one frequency: v(out) = 1 / (1 + j 2 pi f R C).
SimulationRequest filterAt(double frequency_Hz, double resistance_ohm = 1000);

// A source that is at 1 V only while the piecewise linear `points` ("0 0 1e-3 1 ...") say so.
SimulationRequest shapedSource(const std::string& points, double end_s);

// A hundred million points: runs for minutes.
SimulationRequest endlessRun();

struct FaultyDeck {
    std::string name;
    SimulationRequest request;
    SimulationFault fault;
    std::vector<std::string> inMessage;  // what the message must name
};

// One or more for each fault that a deck can cause.
std::vector<FaultyDeck> faultyDecks();

SimulationOutcome outcomeOf(SimulatorPool& pool, const SimulationRequest& request);

// The fault of an outcome, in words; "none" for a good run.
std::string faultOf(const SimulationOutcome& outcome);

// Equal to the last bit.
bool isSame(const Waveforms& a, const Waveforms& b);
bool isSame(const SimulationOutcome& a, const SimulationOutcome& b);

}  // namespace splitstart
