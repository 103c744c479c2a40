// A motor that is given in full.
#include "motor/motor.h"

#include <gtest/gtest.h>

#include "unit/dairy_cases.h"

namespace splitstart
{

// One cage turns through both axes: referred to equal turns it has one resistance and one leakage.
TEST(GivenMotor, WhoseRotorIsNoOneCageIsToldSo)
{
    EquivalentCircuit circuit = coldStoreMotor();
    EXPECT_EQ(twoCagesNote(circuit), "");
    // Referred to the run winding already, where the start winding's turns were to be taken.
    circuit.turnsRatio = 1.6;
    circuit.rotorAuxiliary_ohm = circuit.rotorMain_ohm;
    EXPECT_NE(twoCagesNote(circuit).find("rotor resistances"), std::string::npos);
    circuit.rotorAuxiliary_ohm = 1.6 * 1.6 * circuit.rotorMain_ohm;
    circuit.rotorAuxiliaryLeakage_ohm = 1.6 * 1.6 * 1.6 * 1.6 * circuit.rotorMainLeakage_ohm;
    EXPECT_NE(twoCagesNote(circuit).find("rotor leakage reactances"), std::string::npos);
    // A difference that a test bench may find.
    circuit.rotorAuxiliaryLeakage_ohm = 1.2 * 1.6 * 1.6 * circuit.rotorMainLeakage_ohm;
    EXPECT_EQ(twoCagesNote(circuit), "");
}

}  // namespace splitstart
