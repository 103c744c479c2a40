// What is simulated for the best estimate of a motor, before anything is drawn.
#pragma once

#include <vector>

#include "case/case.h"
#include "circuit/circuit.h"
#include "rating/check.h"
#include "spice/simulation.h"
#include "study/case_study.h"
#include "study/start_runs.h"

namespace splitstart
{

// Which of the corners. Few: the lowest line with hot windings and the highest with cold ones,
// where most of what fails does so.
enum class Corners { few, all };

// The starts of the best estimate at these corners, and (of all) again after the shortest off time;
// with the pressures at the start that are given, instead of the case's. `input` with the motor's
// source (withSource).
std::vector<StartJob> startJobs(const Case& input, const Circuit& circuit, const MotorStudy& motor,
                                Corners corners, std::optional<Pressures> pressures = {});

// Held shafts alone: evidence without any start. Whatever fails on it fails on bestEvidence() too,
// since that makes the same comparisons and more. Throws SimulationError.
Evidence heldEvidence(const Case& input, const Circuit& circuit, const MotorStudy& motor,
                      SimulatorPool& pool);

// Held shafts and starts; where the motor is given in full and the pressures are not, once more
// with pressures that are not equalised. Throws SimulationError.
std::vector<Evidence> bestEvidence(const Case& input, const Circuit& circuit,
                                   const MotorStudy& motor, SimulatorPool& pool,
                                   const StudyProgress& progress = {});

// The same, where the evidence of the held shafts is there already; with few corners, whatever
// fails on it fails on bestEvidence() too.
std::vector<Evidence> withStarts(const Evidence& held, const Case& input, const Circuit& circuit,
                                 const MotorStudy& motor, Corners corners, SimulatorPool& pool,
                                 const StudyProgress& progress = {});

}  // namespace splitstart
