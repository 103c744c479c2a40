#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "motor/health_findings.h"
#include "motor/identification_text.h"

namespace splitstart
{

namespace
{

constexpr double failedBelow_ohm = 0.5e6;
constexpr double doubtfulBelow_ohm = 2e6;
constexpr double fairUpTo_ohm = 20e6;

// Lowest step of common insulation testers, and the step that IEEE 43 (from memory) names for
// windings below 1 kV.
constexpr double lowestTest_V = 250;
constexpr double usualTest_V = 500;

const char* const ladder =
    "Ladder: below 0.5 Mohm fail, 0.5 to 2 doubtful, 2 to 20 fair, above 20 good (common practice; "
    "sources ask 0.5, 1, 2, 5 or 50 Mohm, by size and kind). Readings over months and an acid test "
    "of "
    "the oil tell more than one number.";

std::vector<std::string> groundedCautions()
{
    return {cautions::neverGrounded, cautions::standAside, cautions::lockOut, cautions::discharge};
}

std::vector<std::string> testCautions()
{
    return {cautions::lockOut, cautions::discharge, cautions::noVacuum, cautions::bareWindings};
}

HealthFinding groundedFinding(const std::string& where, double resistance_ohm)
{
    return {"winding-grounded", HealthVerdict::fail,
            fmt::format("{} reads {} on an ohmmeter: the winding is grounded.", where,
                        ohmsInWords(resistance_ohm)),
            "Check that the wires are off the pins and the ceramic is clean and dry, and read once "
            "more. "
            "If it stays, tag the compressor and replace it; test the oil for acid.",
            groundedCautions()};
}

// One ohmmeter reading from a winding to the shell. Such a meter has a few volts: what it sees is
// real, what it does not see may still be there.
HealthFinding ohmmeterFinding(const std::string& where, double resistance_ohm, bool testerPassed)
{
    if (resistance_ohm < doubtfulBelow_ohm) {
        return groundedFinding(where, resistance_ohm);
    }
    if (!std::isinf(resistance_ohm)) {
        return {"ground-by-ohmmeter", HealthVerdict::undecided,
                fmt::format("{} reads {} on an ohmmeter, where nothing should read.", where,
                            ohmsInWords(resistance_ohm)),
                "Keep fingers off the probes, clean and dry the pins, and test with an insulation "
                "tester at 250 or 500 V DC.",
                testCautions()};
    }
    return {"ground-by-ohmmeter", testerPassed ? HealthVerdict::pass : HealthVerdict::undecided,
            fmt::format(
                "{} reads open on an ohmmeter{}", where,
                testerPassed ? ", as it should." : ". Its few volts often miss a ground fault."),
            testerPassed ? "" : "Test with an insulation tester at 250 or 500 V DC.",
            testerPassed ? std::vector<std::string>{} : testCautions()};
}

std::string ieee43InWords(const InsulationReading& reading, const std::optional<Readings>& readings)
{
    if (reading.lowerLimit || std::isinf(reading.resistance_ohm) || !readings ||
        !readings->windingTemperatureGiven) {
        return "";
    }
    const double at40_ohm =
        insulationAt40_ohm(reading.resistance_ohm, readings->windingTemperature_degC);
    return fmt::format(
        " Brought to 40 degC it is {}; IEEE 43 (from memory) asks 5 Mohm there of a random-wound "
        "motor.",
        ohmsInWords(at40_ohm));
}

// Volts of the test against what proves something and what may do harm.
std::optional<HealthFinding> testVoltsFinding(double test_V, std::optional<double> rated_V)
{
    const double twiceRated_V = rated_V ? 2 * *rated_V : usualTest_V;
    if (test_V > std::max(twiceRated_V, usualTest_V)) {
        return HealthFinding{
            "insulation-test-volts", HealthVerdict::undecided,
            rated_V ? fmt::format("Tested at {:.0f} V DC, more than twice rated volts ({:.0f} V): "
                                  "that can harm sound insulation.",
                                  test_V, twiceRated_V)
                    : fmt::format("Tested at {:.0f} V DC, above {:.0f} V (assumed limit, since the "
                                  "rated volts are not known): that can harm sound insulation.",
                                  test_V, usualTest_V),
            "Do not repeat it. Read again at 250 or 500 V DC.", testCautions()};
    }
    if (test_V > twiceRated_V) {
        return HealthFinding{
            "insulation-test-volts",
            HealthVerdict::pass,
            fmt::format(
                "Tested at {:.0f} V DC. The sources conflict: not above about twice rated volts "
                "({:.0f} V, trade practice), or 500 V for any winding below 1 kV (IEEE 43, from "
                "memory).",
                test_V, twiceRated_V),
            "250 V DC is enough for this motor.",
            {}};
    }
    return std::nullopt;
}

// Below the crest of the rated volts, or below every tester's lowest step, a good reading proves
// little.
bool voltsProveSomething(double test_V, std::optional<double> rated_V)
{
    return test_V >= std::min(lowestTest_V, rated_V ? std::sqrt(2.0) * *rated_V : lowestTest_V);
}

// A low reading is real at any volts; a high one needs volts behind it. "Above" a value that is
// itself on a low rung says nothing.
InsulationGrade gradeOfTest(const InsulationReading& reading, std::optional<double> rated_V)
{
    const InsulationGrade grade = insulationGrade(reading.resistance_ohm);
    const bool low = grade == InsulationGrade::failed || grade == InsulationGrade::doubtful;
    if (low ? reading.lowerLimit : !voltsProveSomething(reading.test_V, rated_V)) {
        return InsulationGrade::unknown;
    }
    return grade;
}

HealthFinding testerFinding(const InsulationReading& reading, InsulationGrade grade,
                            const std::optional<Readings>& readings)
{
    const std::string shown =
        std::isinf(reading.resistance_ohm)
            ? "above the meter's range"
            : (reading.lowerLimit ? "above " : "") + ohmsInWords(reading.resistance_ohm);
    const std::string read =
        fmt::format("Insulation to the shell reads {} at {:.0f} V DC", shown, reading.test_V);
    const std::string standard = ieee43InWords(reading, readings);
    switch (grade) {
        case InsulationGrade::failed:
            return {"insulation", HealthVerdict::fail,
                    read + ": failed, to be treated as a grounded winding." + standard,
                    std::string("Tag the compressor and do not energise it. A scroll or any shell "
                                "full of liquid refrigerant can read low: recover the liquid or "
                                "warm the crankcase, test again, then decide. ") +
                        ladder,
                    groundedCautions()};
        case InsulationGrade::doubtful:
            return {
                "insulation", HealthVerdict::undecided, read + ": doubtful." + standard,
                std::string("Clean and dry the pins, warm the crankcase or recover liquid "
                            "refrigerant, and test again before any power. For a small "
                            "reciprocating compressor below 2 Mohm counts as a ground fault. ") +
                    ladder,
                groundedCautions()};
        case InsulationGrade::fair:
            return {"insulation",
                    HealthVerdict::pass,
                    read + ": fair." + standard,
                    std::string("Note it and test again at the next service. ") + ladder,
                    {}};
        case InsulationGrade::good:
            return {"insulation", HealthVerdict::pass, read + ": good." + standard, ladder, {}};
        case InsulationGrade::unknown:
            break;
    }
    return {"insulation", HealthVerdict::undecided,
            read + ": too few volts to prove anything." + standard,
            "Test again at 250 or 500 V DC.", testCautions()};
}

}  // namespace

InsulationGrade insulationGrade(double resistance_ohm)
{
    if (!(resistance_ohm >= 0)) {
        return InsulationGrade::unknown;
    }
    if (resistance_ohm < failedBelow_ohm) {
        return InsulationGrade::failed;
    }
    if (resistance_ohm < doubtfulBelow_ohm) {
        return InsulationGrade::doubtful;
    }
    return resistance_ohm <= fairUpTo_ohm ? InsulationGrade::fair : InsulationGrade::good;
}

double insulationAt40_ohm(double resistance_ohm, double winding_degC)
{
    return resistance_ohm * std::pow(0.5, (40 - winding_degC) / 10);
}

InsulationFindings insulationFindings(const Compressor& compressor,
                                      const std::vector<ShellReading>& shell)
{
    InsulationFindings result;
    const std::optional<double> rated_V = compressor.nameplate.voltage_V;
    if (compressor.insulation && compressor.insulation->test_V > 0) {
        const InsulationReading& reading = *compressor.insulation;
        result.grade = gradeOfTest(reading, rated_V);
        result.findings.push_back(testerFinding(reading, result.grade, compressor.readings));
        if (auto volts = testVoltsFinding(reading.test_V, rated_V)) {
            result.findings.push_back(*volts);
        }
    }
    const bool testerPassed =
        result.grade == InsulationGrade::fair || result.grade == InsulationGrade::good;
    if (compressor.insulation && compressor.insulation->test_V <= 0) {
        const InsulationReading& reading = *compressor.insulation;
        result.findings.push_back(ohmmeterFinding(
            "The winding to the shell",
            reading.lowerLimit ? std::numeric_limits<double>::infinity() : reading.resistance_ohm,
            false));
    }
    for (const ShellReading& reading : shell) {
        result.findings.push_back(ohmmeterFinding(fmt::format("Pin {} to the shell", reading.pin),
                                                  reading.resistance_ohm, testerPassed));
    }
    if (!compressor.insulation && shell.empty()) {
        result.findings.push_back({"insulation", HealthVerdict::undecided,
                                   "Insulation to the shell has not been read.",
                                   "Read each pin to bare metal of the shell with an ohmmeter, "
                                   "then test with an insulation "
                                   "tester at 250 or 500 V DC.",
                                   testCautions()});
    }
    return result;
}

}  // namespace splitstart
