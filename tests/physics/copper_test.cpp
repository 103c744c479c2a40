// Winding resistance over temperature in the motor model against the International Annealed Copper
// Standard (IEC publication 28, 1925; also NBS handbook 100): temperature coefficient of resistance
// 0.00393 per kelvin at 20 degC, resistance extrapolated to zero at -234.5 degC. From memory.
// And, with the rotor's cage, against the temperature of a winding by its resistance of IEC 60034-1
// (clause on the method of temperature measurement): theta2 = (R2/R1)(k + theta1) - k, k = 235 for
// copper and 225 for aluminium. From memory.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <cmath>
#include <string>
#include <vector>

#include "physics/deck.h"
#include "physics/near.h"
#include "physics/quarter_horsepower.h"

namespace splitstart
{
namespace
{

struct Resistances {
    double main_ohm;
    double auxiliary_ohm;
};

// Real part of the impedance of each winding at a frequency at which the rotor takes no part.
Resistances resistancesAt(double main_degC, double auxiliary_degC)
{
    constexpr double nearlyDirectCurrent_Hz = 1e-3;
    MotorCircuit circuit;
    circuit.machine = book::quarterHorsepower();
    circuit.source.frequency_Hz = nearlyDirectCurrent_Hz;
    circuit.heldSpeed_rad_s = 0;
    std::string deck = deckOf(circuit, "rjoin line aux 1e-6\n");
    const auto set = [&](const std::string& name, double degC) {
        const std::string before = fmt::format(" {}_temperature_degc=20", name);
        const std::size_t place = deck.rfind(before);
        ASSERT_NE(place, std::string::npos);
        deck.replace(place, before.size(), fmt::format(" {}_temperature_degc={}", name, degC));
    };
    set("main", main_degC);
    set("auxiliary", auxiliary_degC);
    const std::vector<book::Phasor> peak =
        runAlternating(deck + alternatingCard(nearlyDirectCurrent_Hz),
                       {"line", probe::main_A, probe::auxiliary_A});
    return {(peak[0] / peak[1]).real(), (peak[0] / peak[2]).real()};
}

TEST(CopperWinding, TemperatureCoefficientAt20DegreesIsThatOfAnnealedCopper)
{
    const Resistances cold = resistancesAt(20, 20);
    const Resistances warm = resistancesAt(21, 30);
    EXPECT_TRUE(agreesWithPrint(warm.main_ohm / cold.main_ohm - 1, 0.00393, 1e-5));
    EXPECT_TRUE(agreesWithPrint((warm.auxiliary_ohm / cold.auxiliary_ohm - 1) / 10, 0.00393, 1e-5));
}

TEST(CopperWinding, ResistanceExtrapolatesToZeroAtMinus234Point5Degrees)
{
    const Resistances cold = resistancesAt(20, 20);
    const Resistances hot = resistancesAt(120, 120);
    // Straight line through both: R1 / (T1 - T0) = R2 / (T2 - T0).
    const auto zero_degC = [](double cold_ohm, double hot_ohm) {
        return 20 - 100 * cold_ohm / (hot_ohm - cold_ohm);
    };
    EXPECT_TRUE(agreesWithPrint(zero_degC(cold.main_ohm, hot.main_ohm), -234.5, 0.1));
    EXPECT_TRUE(agreesWithPrint(zero_degC(cold.auxiliary_ohm, hot.auxiliary_ohm), -234.5, 0.1));
}

// What the standard's formula makes of the two resistances, from 20 degC.
double temperatureByResistance_degC(double cold_ohm, double hot_ohm, double k)
{
    return hot_ohm / cold_ohm * (k + 20) - k;
}

TEST(CopperWinding, TemperatureByResistanceIsTheOneOfTheRun)
{
    const Resistances cold = resistancesAt(20, 20);
    for (const double hot_degC : {-10.0, 55.0, 105.0, 130.0}) {
        const Resistances hot = resistancesAt(hot_degC, hot_degC);
        // The standard rounds k of copper to a whole number: 0.2 % of the rise.
        const double allowed_K = 0.0025 * std::abs(hot_degC - 20);
        EXPECT_NEAR(temperatureByResistance_degC(cold.main_ohm, hot.main_ohm, 235), hot_degC,
                    allowed_K);
        EXPECT_NEAR(temperatureByResistance_degC(cold.auxiliary_ohm, hot.auxiliary_ohm, 235),
                    hot_degC, allowed_K);
    }
}

TEST(AluminiumCage, TemperatureByResistanceIsTheOneOfTheRun)
{
    // Of both axes of the standing rotor: volts across the resistances that the currents flow in.
    const auto resistancesOfRotorAt = [](double degC) {
        MotorCircuit circuit;
        circuit.machine = book::quarterHorsepower();
        circuit.heldSpeed_rad_s = 0;
        std::string deck = deckOf(circuit, "rjoin line aux 1e-6\n");
        const std::string before = " rotor_temperature_degc=20";
        const std::size_t place = deck.rfind(before);
        EXPECT_NE(place, std::string::npos);
        deck.replace(place, before.size(), fmt::format(" rotor_temperature_degc={}", degC));
        const std::vector<book::Phasor> peak = runAlternating(
            deck + alternatingCard(circuit.source.frequency_Hz),
            {"xmotor.rotq1", probe::rotorMain_A, "xmotor.rotd1", probe::rotorAuxiliary_A});
        return Resistances{std::abs(peak[0] / peak[1]), std::abs(peak[2] / peak[3])};
    };
    const Resistances cold = resistancesOfRotorAt(20);
    EXPECT_TRUE(nearRel(cold.main_ohm, 4.12, 1e-6));
    EXPECT_TRUE(nearRel(cold.auxiliary_ohm, 5.74, 1e-6));
    for (const double hot_degC : {-10.0, 80.0, 150.0}) {
        const Resistances hot = resistancesOfRotorAt(hot_degC);
        EXPECT_NEAR(temperatureByResistance_degC(cold.main_ohm, hot.main_ohm, 225), hot_degC, 0.01);
        EXPECT_NEAR(temperatureByResistance_degC(cold.auxiliary_ohm, hot.auxiliary_ohm, 225),
                    hot_degC, 0.01);
    }
}

TEST(CopperWinding, StatedResistanceHoldsAtTheTemperatureOfTheReading)
{
    const Resistances asRead = resistancesAt(20, 20);
    EXPECT_TRUE(nearRel(asRead.main_ohm, 2.02, 1e-4));
    EXPECT_TRUE(nearRel(asRead.auxiliary_ohm, 7.14, 1e-4));
}

}  // namespace
}  // namespace splitstart
