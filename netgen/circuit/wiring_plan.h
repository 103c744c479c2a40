// The order in which a circuit is wired, wire by wire, with a stop in the middle to prove it by
// ohmmeter before any supply wire is on.
#pragma once

#include <vector>

#include "circuit/circuit.h"

namespace splitstart
{

enum class WiringStage {
    startCircuit,  // compressor, start parts, protector
    afterProof,    // what would spoil the readings of the proof
    feed,          // thermostat, contactor, fan; the supply last
};

// One wire to land.
struct WiringStep {
    Wire wire;
    WiringStage stage = WiringStage::startCircuit;
    // Where either end may go instead, with the steps before done: points already joined to it.
    std::vector<Terminal> fromMayBe;
    std::vector<Terminal> toMayBe;
    // One end goes on the compressor, the other stays off until the proof has passed.
    bool farEndLater = false;
};

struct WiringPlan {
    std::vector<WiringStep> steps;  // all wires of the circuit, in order
    // Far ends of the wires on the pins, where the meter goes.
    Terminal commonEnd;
    Terminal startEnd;
    Terminal runEnd;
};

// A start device that conducts at rest and has no capacitor in series would lie across a winding
// for the meter: one of its wires comes after the proof. Requires a circuit with a supply, and a
// compressor with a wire on each pin.
WiringPlan wiringPlan(const Circuit& circuit);

// The circuit with the wires that are on while it is proved.
Circuit wiredForProof(const Circuit& circuit, const WiringPlan& plan);

}  // namespace splitstart
