// Sweeps against the theory of the single-phase motor at standstill: both windings are then two
// impedances side by side on the line, and torque goes as the product of their currents and the
// sine of the angle between them.
//   [FKU] Fitzgerald, Kingsley, Umans, "Electric Machinery", 6th edition, chapter on single- and
//         two-phase motors, capacitor-start motors (from memory).
//   [KN]  Kothari, Nagrath, "Electric Machines", chapter on fractional-kilowatt motors: the
//         capacitive reactance of the greatest starting torque, Xc = Xa + Ra Rm / (|Zm| + Xm)
//         (from memory; it follows from the torque's derivative).
#include <fmt/format.h>
#include <gtest/gtest.h>
#include <unistd.h>

#include <algorithm>
#include <complex>
#include <filesystem>
#include <fstream>
#include <numbers>
#include <utility>

#include "study/sweep.h"

namespace splitstart
{

namespace
{

using Phasor = std::complex<double>;

constexpr double line_V = 110;
constexpr double radian = 2 * std::numbers::pi * 60;

// An invented quarter-horsepower motor of the cheese dairy's milk pump; X as R, in ohms.
constexpr double mainOhm = 2.02;
constexpr double mainLeakage = 2.79;
constexpr double mainMagnetizing = 66.8;
constexpr double rotorMain = 4.12;
constexpr double rotorMainLeakage = 2.12;
constexpr double auxiliaryOhm = 7.14;
constexpr double auxiliaryLeakage = 3.22;
constexpr double auxiliaryMagnetizing = 92.9;
constexpr double rotorAuxiliary = 5.74;
constexpr double rotorAuxiliaryLeakage = 2.95;

Phasor standstill(double ohm, double leakage, double magnetizing, double rotor, double rotorLeakage)
{
    const Phasor branch(0, magnetizing);
    const Phasor cage(rotor, rotorLeakage);
    return Phasor(ohm, leakage) + branch * cage / (branch + cage);
}

const Phasor mainImpedance =
    standstill(mainOhm, mainLeakage, mainMagnetizing, rotorMain, rotorMainLeakage);
const Phasor auxiliaryImpedance = standstill(auxiliaryOhm, auxiliaryLeakage, auxiliaryMagnetizing,
                                             rotorAuxiliary, rotorAuxiliaryLeakage);

std::string caseText()
{
    return fmt::format(
        R"(<case name="milk pump, invented" invented="yes">
  <supply volts="{}" hertz="60"/>
  <compressor>
    <nameplate volts="{}" hertz="60"/>
    <load kind="none"/>
    <equivalent-circuit hertz="60" main-ohms="{}" main-leakage-reactance-ohms="{}"
      main-magnetizing-reactance-ohms="{}" rotor-main-ohms="{}" rotor-main-leakage-reactance-ohms="{}"
      auxiliary-ohms="{}" auxiliary-leakage-reactance-ohms="{}" auxiliary-magnetizing-reactance-ohms="{}"
      rotor-auxiliary-ohms="{}" rotor-auxiliary-leakage-reactance-ohms="{}" turns-ratio="1.18" poles="4"
      inertia-kg-m2="0.0146" core-loss-watts="0" friction-watts="0"/>
  </compressor>
  <circuit type="CSIR" start-device="shaft" start-capacitor="start"/>
  <parts>
    <centrifugal-switch id="shaft" opens-rpm-min="1340" opens-rpm-max="1360" closes-rpm-min="800"
      closes-rpm-max="900"/>
    <start-capacitor id="start" microfarads-min="180" microfarads-max="190" volts="165"
      dissipation-percent="0.01"/>
  </parts>
</case>
)",
        line_V, line_V, mainOhm, mainLeakage, mainMagnetizing, rotorMain, rotorMainLeakage,
        auxiliaryOhm, auxiliaryLeakage, auxiliaryMagnetizing, rotorAuxiliary,
        rotorAuxiliaryLeakage);
}

// A sweep's rows in the order of their numbers, by column.
class SweepOfPump : public testing::Test
{
protected:
    SweepOfPump()
    {
        file_ = std::filesystem::temp_directory_path() / fmt::format("pump-{}.xml", getpid());
        std::ofstream(file_) << caseText();
    }
    ~SweepOfPump() override { std::filesystem::remove(file_); }

    void run(const std::vector<std::string>& fields)
    {
        std::vector<VariedField> varied;
        for (const std::string& field : fields) {
            varied.push_back(variedField(field));
        }
        const CaseSource source(file_.string());
        SimulatorPool pool(2);
        Sweep sweep(source, SweepPlan(std::move(varied), std::nullopt), {}, pool);
        columns_ = sweep.columns();
        rows_.clear();
        ASSERT_TRUE(sweep.run([](std::size_t) { return true; },
                              [this](SweepRow row) { rows_.push_back(std::move(row)); }, {}));
        std::sort(rows_.begin(), rows_.end(),
                  [](const SweepRow& a, const SweepRow& b) { return a.number < b.number; });
    }

    [[nodiscard]] double value(std::size_t row, std::string_view column) const
    {
        const auto at =
            std::find_if(columns_.begin(), columns_.end(),
                         [column](const SweepColumn& each) { return each.name == column; });
        return std::get<double>(
            rows_.at(row).cells.at(static_cast<std::size_t>(at - columns_.begin())));
    }

    std::filesystem::path file_;
    std::vector<SweepColumn> columns_;
    std::vector<SweepRow> rows_;
};

Phasor withCapacitor(double microfarads)
{
    return auxiliaryImpedance + Phasor(0, -1 / (radian * microfarads * 1e-6));
}

}  // namespace

// [KN]: the greatest starting torque is where theory has it.
TEST_F(SweepOfPump, FindsTheCapacitorOfTheGreatestStartingTorque)
{
    const double reactance_ohm =
        auxiliaryImpedance.imag() + auxiliaryImpedance.real() * mainImpedance.real() /
                                        (std::abs(mainImpedance) + mainImpedance.imag());
    const double best_uF = 1e6 / (radian * reactance_ohm);
    constexpr double step_uF = 2;
    run({fmt::format("start-capacitor.microfarads=100:400:{}", step_uF)});
    ASSERT_EQ(rows_.size(), 151U);
    std::size_t greatest = 0;
    for (std::size_t i = 0; i < rows_.size(); ++i) {
        if (value(i, "standstill_torque_nm") > value(greatest, "standstill_torque_nm")) {
            greatest = i;
        }
    }
    ASSERT_GT(best_uF, 120);
    ASSERT_LT(best_uF, 380);
    EXPECT_NEAR(value(greatest, "start-capacitor.microfarads"), best_uF, step_uF);
}

// [FKU]: line current is the sum of two phasors, the angle the difference of two impedances'.
TEST_F(SweepOfPump, StandstillIsTwoImpedancesOnTheLine)
{
    run({"start-capacitor.microfarads=60:360:100", "supply.volts=99,121"});
    ASSERT_EQ(rows_.size(), 8U);
    for (std::size_t i = 0; i < rows_.size(); ++i) {
        const double volts_V = value(i, "supply.volts");
        const Phasor auxiliary = withCapacitor(value(i, "start-capacitor.microfarads"));
        const Phasor main_A = volts_V / mainImpedance;
        const Phasor auxiliary_A = volts_V / auxiliary;
        // A closed control contact in the line takes some of it.
        constexpr double controlContact_ohm = 0.005;
        const Phasor line_A = volts_V / (controlContact_ohm +
                                         mainImpedance * auxiliary / (mainImpedance + auxiliary));
        EXPECT_NEAR(value(i, "standstill_line_a"), std::abs(line_A), 0.001 * std::abs(line_A));
        EXPECT_NEAR(value(i, "standstill_angle_deg"),
                    std::arg(auxiliary_A / main_A) * 180 / std::numbers::pi, 0.3);
        EXPECT_NEAR(value(i, "standstill_start_winding_v"),
                    std::abs(auxiliary_A * auxiliaryImpedance), 0.003 * volts_V);
        // Second cycle of the transient, the rotor hardly turning: within a tenth.
        EXPECT_NEAR(value(i, "line_stalled_a"), value(i, "standstill_line_a"),
                    0.1 * value(i, "standstill_line_a"));
    }
    // Torque goes as the square of the volts.
    EXPECT_NEAR(value(1, "standstill_torque_nm") / value(0, "standstill_torque_nm"),
                121.0 * 121 / (99 * 99), 0.002);
}

// A sweep is a row of single starts: a case written with the value in it gives the same numbers.
TEST_F(SweepOfPump, ARowIsTheStartOfTheCaseWithThatValue)
{
    run({"start-capacitor.microfarads=100,250", "start.winding-temperature-c=25,110"});
    const double swept_s = value(3, "time_to_speed_s");
    const double other_s = value(0, "time_to_speed_s");
    std::string text = caseText();
    const std::string as = "microfarads-min=\"180\" microfarads-max=\"190\"";
    // 185 +/- 2.7 % moved to 250.
    text.replace(text.find(as), as.size(),
                 fmt::format("microfarads-min=\"{}\" microfarads-max=\"{}\"", 250 * 180.0 / 185,
                             250 * 190.0 / 185));
    std::ofstream(file_) << text;
    run({"start.winding-temperature-c=110"});
    EXPECT_NEAR(value(0, "time_to_speed_s"), swept_s, 1e-9);
    EXPECT_GT(std::abs(swept_s - other_s), 0.01);
}

// What is varied of the motor is another motor; of the supply, the same motor elsewhere.
TEST_F(SweepOfPump, AFieldThatTellsTheMotorChangesIt)
{
    run({"equivalent-circuit.auxiliary-ohms=7.14,14.28"});
    const Phasor other = standstill(14.28, auxiliaryLeakage, auxiliaryMagnetizing, rotorAuxiliary,
                                    rotorAuxiliaryLeakage) +
                         Phasor(0, -1 / (radian * 185e-6));
    EXPECT_NEAR(value(1, "standstill_line_a"), std::abs(line_V / mainImpedance + line_V / other),
                0.03);
    EXPECT_LT(value(1, "standstill_torque_nm"), value(0, "standstill_torque_nm"));
}

}  // namespace splitstart
