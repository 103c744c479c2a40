// How the circuit of a case is wired, and how the wiring is proved before power.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "circuit/wire_changes.h"
#include "circuit/wiring_faults.h"
#include "circuit/wiring_plan.h"
#include "motor/cold_proof.h"
#include "study/case_study.h"

namespace splitstart
{

// What somebody found, against what ought to be.
struct FoundWiringStudy {
    Circuit circuit;
    WireComparison comparison;
    std::vector<WiringFault> faults;  // the worst first
    // Connected as it should be, up to which of the two lines is which.
    [[nodiscard]] bool isRight() const { return comparison.moves.empty(); }
};

struct WiringStudy {
    Circuit circuit;
    WiringPlan plan;
    MotorStudy windings;  // pins and health
    // The person's own names of the pins C, S and R: by the diagram, or by readings that make them
    // likely at least; else empty.
    std::map<std::string, std::string> pins;
    // Ohms of the windings between the far ends of the pins' wires, and what other landings would
    // read; empty where readings are missing or name no pins. From the readings, as warm as they
    // were, or where there are none from the equivalent circuit, at 25 degC.
    std::optional<ColdProof> proof;
    bool proofFromCircuit = false;  // from the equivalent circuit
    // The same between the far ends with all wires of the plan's first stage on.
    double runToCommon_ohm = 0;
    double startToCommon_ohm = 0;
    // Between L1 and L2 with everything wired, thermostat and contactor closed; a fan's winding
    // lies beside it and is not counted.
    double acrossSupply_ohm = 0;
    std::optional<FoundWiringStudy> found;  // where the case says how it was found wired
};

// The case needs a circuit, not a nameplate. Throws InputError as caseCircuit() and
// asFoundCircuit() do.
WiringStudy wiringStudy(const Case& input);

}  // namespace splitstart
