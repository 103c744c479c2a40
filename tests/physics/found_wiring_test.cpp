// A compressor with its three wires on the wrong pins, simulated as it is wired, against circuit
// theory: at standstill the windings do not see one another (they stand at right angles), so each
// is an impedance, and the line's amps follow from series and parallel connection alone. Textbook:
// Fitzgerald, Kingsley, Umans, Electric Machinery, single-phase motors (from memory).
#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <complex>
#include <numbers>
#include <stdexcept>

#include "circuit/case_circuit.h"
#include "circuit/part_physics.h"
#include "physics/deck.h"
#include "physics/near.h"
#include "study/found_start.h"
#include "unit/circuit/service_case.h"

namespace splitstart
{

namespace
{

using Complex = std::complex<double>;

constexpr double line_V = 230;
constexpr double omega_rad_s = 2 * std::numbers::pi * 60;

Complex parallel(Complex a, Complex b)
{
    return a * b / (a + b);
}

Complex winding(double ohm, double leakage_ohm, double magnetizing_ohm, double rotor_ohm,
                double rotorLeakage_ohm)
{
    return Complex(ohm, leakage_ohm) +
           parallel({0, magnetizing_ohm}, {rotor_ohm, rotorLeakage_ohm});
}

// A permanent split capacitor motor without a protector, so that nothing but the wires counts.
Case capacitorMotor()
{
    for (const Circuit& circuit : standardCircuits()) {
        if (circuit.description == "permanent split capacitor") {
            Case input = caseFor(circuit);
            input.compressor.equivalentCircuit = coldStoreMotor();
            input.compressor.equivalentCircuit->coreLoss_W = 0;
            input.compressor.load.torque_Nm = 3;
            input.compressor.load.kind = LoadKind::reciprocating;
            input.supply.source_ohm = 1e-3;
            input.supply.source_H = 1e-6;
            return input;
        }
    }
    throw std::logic_error("no such circuit");
}

// The wires meant for C, S and R on these pins.
FoundStart startWith(const Case& input, const std::array<const char*, 3>& pins)
{
    Case found = input;
    const Circuit wanted = caseCircuit(input);
    found.asFound = FoundWiring();
    for (const Wire& wire : wanted.wires) {
        const auto end = [&](Terminal terminal) {
            if (terminal.part == "compressor") {
                terminal.name = terminal.name == "C"   ? pins[0]
                                : terminal.name == "S" ? pins[1]
                                                       : pins[2];
            }
            return terminalText(terminal);
        };
        FoundWire each;
        each.from = end(wire.from);
        each.to = end(wire.to);
        found.asFound->wires.push_back(each);
    }
    const WiringStudy study = wiringStudy(found);
    EXPECT_FALSE(study.found->isRight());
    return foundStart(found, study, simulators());
}

}  // namespace

TEST(FoundWiring, DrawsTheAmpsThatItsWindingsMakeAtStandstill)
{
    const Case input = capacitorMotor();
    const EquivalentCircuit motor = coldStoreMotor();
    ASSERT_EQ(motor.rotorBar_ohm, 0);
    const Complex main = winding(motor.main_ohm, motor.mainLeakage_ohm, motor.mainMagnetizing_ohm,
                                 motor.rotorMain_ohm, motor.rotorMainLeakage_ohm);
    const Complex auxiliary =
        winding(motor.auxiliary_ohm, motor.auxiliaryLeakage_ohm, motor.auxiliaryMagnetizing_ohm,
                motor.rotorAuxiliary_ohm, motor.rotorAuxiliaryLeakage_ohm);
    const double farads =
        std::get<RunCapacitor>(input.parts.find("run")->data).capacitance_F.middle();
    const Complex capacitor = {0, -1 / (omega_rad_s * farads)};
    struct Landing {
        std::array<const char*, 3> pins;  // of the wires meant for C, S, R
        Complex impedance;                // between the lines
        // One winding on the line, the other only in a loop: one pulsating field, two equal
        // revolving ones, no torque at rest.
        bool standsStill = false;
    };
    const std::array<Landing, 5> landings = {{
        // S and R: the start winding straight on the line, the run winding behind the capacitor.
        {{"C", "R", "S"}, parallel(auxiliary, main + capacitor)},
        // C and R: the line on the run winding; capacitor and start winding only close a loop.
        {{"R", "S", "C"}, main, true},
        // C and S: both in series, the capacitor across the run winding.
        {{"S", "C", "R"}, auxiliary + parallel(main, capacitor)},
        // Rotated: the line on the start winding; the run winding looped by the capacitor.
        {{"S", "R", "C"}, auxiliary, true},
        // Rotated the other way: in series, the capacitor across the start winding.
        {{"R", "C", "S"}, main + parallel(auxiliary, capacitor)},
    }};
    for (const Landing& landing : landings) {
        const FoundStart start = startWith(input, landing.pins);
        SCOPED_TRACE(testing::Message() << landing.pins[0] << landing.pins[1] << landing.pins[2]);
        // In its second cycle the current still has some of the switching transient.
        EXPECT_TRUE(nearRel(*start.asFound.measured.lineStalled_A,
                            line_V / std::abs(landing.impedance), 0.08));
        if (landing.standsStill) {
            EXPECT_FALSE(start.asFound.starts());
            EXPECT_LT(std::abs(*start.asFound.measured.speedAtEnd_ratio), 0.02);
        }
    }
}

// With S and R exchanged the other winding lags: the field turns the other way round.
TEST(FoundWiring, TurnsBackwardsWithStartAndRunExchanged)
{
    Case input = capacitorMotor();
    input.compressor.load.torque_Nm = 0.3;
    partOf<RunCapacitor>(input, "run").capacitance_F = {95e-6, 105e-6};
    const FoundStart start = startWith(input, {"C", "R", "S"});
    EXPECT_TRUE(start.asItShouldBe.starts());
    EXPECT_FALSE(start.asFound.starts());
    EXPECT_TRUE(start.asFound.turnsBackwards()) << *start.asFound.measured.speedAtEnd_ratio;
    // A winding made for a start carries the line for as long as the power is on.
    ASSERT_TRUE(start.asFound.auxiliary.has_value());
    EXPECT_LT(start.asFound.auxiliary->thin_s, start.asFound.auxiliary->thick_s);
}

}  // namespace splitstart
