// Numbers that people and checks need, taken from the waveforms of one start, and from the phasors
// of a held shaft.
#pragma once

#include <complex>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "circuit/simulation_model.h"
#include "spice/simulation.h"

namespace splitstart
{

// A motor is up to speed at this share of synchronous speed, and values "at the end" of a run are
// over its last six cycles.
constexpr double upToSpeed_ratio = 0.90;
constexpr int cyclesAtEnd = 6;
// An open start contact that carries more than this (rms of the last cycle) has an arc that burns
// on: far above what a contact leaks, far below what a start circuit carries.
constexpr double burningArc_A = 0.5;

// The vectors that measurements of this model need, for SimulationRequest::vectors.
std::vector<std::string> startVectors(const SimulationModel& model);
std::vector<std::string> heldShaftVectors(const SimulationModel& model);

// Features of one start from rest. A quantity that this circuit or this run does not have is empty.
// "cycle" is one period of the line; rms values are over one cycle unless said otherwise.
// "running" values are over the last six cycles of the run.
struct StartMeasurement {
    std::optional<double> end_s;              // length of the run
    std::optional<double> speedAtEnd_ratio;   // mean of the last six cycles / synchronous
    std::optional<double> timeToSpeed_s;      // first reaching 90 % of synchronous speed
    std::optional<double> terminalStalled_V;  // C-R, second cycle
    std::optional<double> lineStalled_A;      // second cycle
    std::optional<double> linePeak_A;
    std::optional<double> mainPeak_A;
    std::optional<double> auxiliaryPeak_A;
    std::optional<double> startContactMade_s;     // first making (0: made from the beginning)
    std::optional<double> startContactOpened_s;   // first opening
    std::optional<double> speedAtOpening_ratio;   // at that time / synchronous
    std::optional<double> startContactOpenings;   // how often it opened
    std::optional<double> startContactAtEnd;      // 1 made, 0 open
    std::optional<double> startCircuitIn_s;       // total time made
    std::optional<double> contactCurrentMade_A;   // largest cycle rms through the contact
    std::optional<double> contactCurrentAtEnd_A;  // through it in the last cycle
    std::optional<double> startCapacitorPeak_V;
    std::optional<double> startCapacitorWorst_V;  // largest cycle rms while the contact is made
    std::optional<double> startCapacitorLeft_V;   // left on it by the first opening, absolute
    std::optional<double> runCapacitorRunning_V;
    std::optional<double> startWindingRunning_V;       // S-C
    std::optional<double> startWindingAfterOpening_V;  // least cycle rms in ten cycles after it
    std::optional<double> mainAfterOpening_A;          // largest cycle rms in ten cycles after it
    std::optional<double> coilRunning_V;               // potential relay's coil
    std::optional<double> coilAfterOpening_V;  // the same, least cycle rms in ten cycles after it
    std::optional<double> coilAfterOpening_A;  // current relay's coil, largest cycle rms in them
    std::optional<double> startContactReclosed_V;  // highest volts that a contact closed again onto
    std::optional<double> startContactOpen_V;      // largest cycle rms across the open contact
    std::optional<double> ptcAtStart_degC;
    std::optional<double> ptcHottest_degC;
    std::optional<double> ptcWorst_V;    // largest cycle rms across the PTC
    std::optional<double> ptcRunning_W;  // what it still takes
    std::optional<double> mainHeat_A2s;  // integral of amps squared until it is up to
                                         // speed and the start circuit out
    std::optional<double> auxiliaryHeat_A2s;
    std::optional<double> lineRunning_A;
    std::optional<double> compressorRunning_A;  // through pin C
    std::optional<double> mainRunning_A;
    std::optional<double> lineRunning_W;
    std::optional<double> torqueRunning_Nm;  // mean
    std::optional<double> protectorTripped;  // 1 it opened during the run, 0 it did not
    std::optional<double> protectorHottest_degC;
    // When it opens: seen, or by the heat of the last six cycles going on; empty if it never would.
    std::optional<double> protectorOpens_s;
    // What meters read at the control box: volts at the far ends of the wires meant for S and C
    // (SimulationModel::leadEnds), amps of each pin.
    std::optional<double> supplyStalled_V;       // L1-L2 where the feed ends, second cycle
    std::optional<double> startCommonStalled_V;  // second cycle
    std::optional<double> startCommonRunning_V;
    std::optional<double> pinCStalled_A;  // second cycle
    std::optional<double> pinCRunning_A;
    std::optional<double> pinSStalled_A;
    std::optional<double> pinSRunning_A;
    std::optional<double> pinRStalled_A;
    std::optional<double> pinRRunning_A;
    std::optional<double> fanRunning_V;         // across the fan, or its run winding
    std::optional<double> fanSpeedAtEnd_ratio;  // of a fan with a capacitor / synchronous
};

// One row for each field: its name in JSON and in decks, unit, meaning.
struct StartQuantity {
    std::string_view name;  // such as "start_capacitor_worst_v"
    std::string_view unit;  // such as "V"; "" for a ratio or a count
    std::string_view meaning;
    std::optional<double> StartMeasurement::*field;
};
std::span<const StartQuantity> startQuantities();

StartMeasurement measureStart(const SimulationModel& model, const Waveforms& waveforms);

// Steady state at a held speed, rms values.
struct HeldShaftMeasurement {
    double speed_ratio = 0;  // of synchronous
    double torque_Nm = 0;    // mean electromagnetic torque
    double line_A = 0;
    double compressor_A = 0;
    double main_A = 0;
    double auxiliary_A = 0;
    double startWinding_V = 0;  // S-C
    double startToRun_V = 0;    // S-R
    double runWinding_V = 0;    // R-C
    double terminal_V = 0;      // where the feed ends: L1 to L2
    double line_W = 0;
    std::optional<double> startCapacitor_V;
    std::optional<double> runCapacitor_V;
    std::optional<double> coil_V;  // potential relay's coil, wherever it is wired
    std::optional<double> coil_A;  // current relay's coil
    double currentAngle_deg = 0;   // auxiliary current ahead of main current, -180 to 180
};

// The same as phasors, rms, counted from the supply's own sine. The rotor in the main winding's
// turns.
struct HeldShaftPhasors {
    using Phasor = std::complex<double>;
    Phasor main_A;       // into pin R
    Phasor auxiliary_A;  // into pin S
    Phasor line_A;       // out of the supply's L1
    Phasor terminal_V;   // L1 to L2, where the feed ends
    Phasor runWinding_V;
    Phasor startWinding_V;
    // Two revolving fields: what the run's own rotor fluxes [V s] and rotor currents are made of.
    // The forward one turns as the shaft does at positive speed. The torque of either is
    // 2 polePairs Im(flux conj(current)); the mean torque is the forward one's less the backward
    // one's.
    Phasor forwardFlux_Vs;
    Phasor backwardFlux_Vs;
    double forwardTorque_Nm = 0;
    double backwardTorque_Nm = 0;
};
HeldShaftPhasors heldShaftPhasors(const SimulationModel& model, const Waveforms& waveforms,
                                  std::size_t point = 0);

// `point`: of the waveforms; the model's shaft is held at the speed of that point.
HeldShaftMeasurement measureHeldShaft(const SimulationModel& model, const Waveforms& waveforms,
                                      std::size_t point = 0);

}  // namespace splitstart
