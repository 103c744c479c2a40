// The ready schematic of models/schematic, made into a netlist by xschem without a display.
#include <gtest/gtest.h>

#include <complex>
#include <numbers>
#include <sstream>

#include "system/ngspice_prompt.h"
#include "system/program.h"

namespace splitstart
{

namespace
{

namespace fs = std::filesystem;

// A folder with the schematic and the netlist that xschem makes of it.
void netlistIn(const ScratchFolder& folder)
{
    const fs::path schematic = fs::path(SPLITSTART_SOURCE_DIR) / "models" / "schematic";
    fs::copy(schematic, folder.path(), fs::copy_options::recursive);
    const Outcome run =
        runProgram("xschem", {"-n", "-s", "-q", "-x", "-r", "capacitor_start_motor.sch"},
                   {{"HOME", folder.path()}}, folder.path());
    ASSERT_EQ(run.status, 0) << run.out << run.err;
    const std::string netlist = fileText(folder.path() / "capacitor_start_motor.spice");
    ASSERT_NE(netlist.find("split_phase_motor"), std::string::npos) << netlist;
    EXPECT_EQ(netlist.find("MISSING"), std::string::npos) << netlist;
    EXPECT_EQ(netlist.find("UNCONNECTED"), std::string::npos) << netlist;
}

TEST(Schematic, GivesTheStartOfTheDemoDeck)
{
    const ScratchFolder folder;
    netlistIn(folder);
    std::map<std::string, double> drawn =
        printedQuantities(typedAtPrompt("source capacitor_start_motor.spice", folder.path()));
    const fs::path demo = fs::path(SPLITSTART_SOURCE_DIR) / "models" / "demo";
    const Outcome run = runProgram("ngspice", {"-n", "-b", "capacitor_start_motor.cir"}, {}, demo);
    std::istringstream lines(run.out);
    int compared = 0;
    for (std::string word; lines >> word;) {
        if (word == "check") {
            std::string name;
            double measured = 0;
            lines >> name >> measured;
            EXPECT_NEAR(drawn[name] / measured, 1, 0.005) << name;
            ++compared;
        }
    }
    EXPECT_EQ(compared, 4) << run.out;
}

// Krause, Wasynczuk, Sudhoff, Analysis of Electric Machinery: at standstill the two axes of an
// unsymmetrical two-phase machine are two transformers with the rotor as a short-circuited
// secondary; the motor of its worked example (values from memory, as in models/).
TEST(Schematic, PhaseShiftIsThatOfTwoShortCircuitedTransformers)
{
    using namespace std::complex_literals;
    const ScratchFolder folder;
    netlistIn(folder);
    const std::string said = typedAtPrompt(
        "ss_case capacitor_start_motor.spice\nss_phase_shift 100 300 100", folder.path());
    const auto rows = printedTable(said);
    ASSERT_EQ(rows.size(), 3U) << said;
    const auto transformer = [](double ohms, double leakage, double magnetizing, double rotorOhms,
                                double rotorLeakage) {
        const std::complex<double> rotor = rotorOhms + 1i * rotorLeakage;
        const std::complex<double> core = 1i * magnetizing;
        return ohms + 1i * leakage + rotor * core / (rotor + core);
    };
    const std::complex<double> main_A = 110. / transformer(2.02, 2.79, 66.8, 4.12, 2.12);
    const std::complex<double> auxiliary = transformer(7.14, 3.22, 92.9, 5.74, 2.95);
    for (const std::vector<double>& row : rows) {
        const double farads = row.at(0) * 1e-6;
        // 3 ohm at 182.9 uF, the dissipation factor kept
        const std::complex<double> capacitor =
            3 * 182.9347e-6 / farads - 1i / (2 * std::numbers::pi * 60 * farads);
        const std::complex<double> start_A = 110. / (auxiliary + capacitor);
        EXPECT_NEAR(row.at(1), std::arg(start_A / main_A) * 180 / std::numbers::pi, 0.1) << said;
        EXPECT_NEAR(row.at(2) / std::abs(start_A), 1, 0.002);
        EXPECT_NEAR(row.at(3) / std::abs(main_A), 1, 0.002);
        EXPECT_NEAR(row.at(4) / std::abs(start_A * capacitor), 1, 0.002);
        EXPECT_NEAR(row.at(5) / std::abs(start_A + main_A), 1, 0.002);
    }
}

}  // namespace

}  // namespace splitstart
