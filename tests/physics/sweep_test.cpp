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
#include <cmath>
#include <complex>
#include <filesystem>
#include <fstream>
#include <numbers>
#include <utility>

#include "case/input_error.h"
#include "physics/pump_case.h"
#include "physics/quarter_horsepower.h"
#include "study/sweep.h"
#include "study/sweep_row.h"

namespace splitstart
{

namespace
{

using Phasor = std::complex<double>;

const book::Machine motor = book::quarterHorsepower();
const double line_V = book::quarterHorsepowerStart().source.rms_V;
constexpr double radian = 2 * std::numbers::pi * 60;

// What a winding at standstill is to the line: its own impedance, then rotor beside magnetizing
// branch.
Phasor standstill(double ohm, double leakage_H, double magnetizing_H, double rotor_ohm,
                  double rotorLeakage_H)
{
    const Phasor branch(0, radian * magnetizing_H);
    const Phasor cage(rotor_ohm, radian * rotorLeakage_H);
    return Phasor(ohm, radian * leakage_H) + branch * cage / (branch + cage);
}

const Phasor mainImpedance =
    standstill(motor.mainResistance_ohm, motor.mainLeakage_H, motor.mainMagnetizing_H,
               motor.rotorMainResistance_ohm, motor.rotorMainLeakage_H);

Phasor auxiliaryWith(double ohm)
{
    return standstill(ohm, motor.auxiliaryLeakage_H, motor.auxiliaryMagnetizing_H,
                      motor.rotorAuxiliaryResistance_ohm, motor.rotorAuxiliaryLeakage_H);
}

const Phasor auxiliaryImpedance = auxiliaryWith(motor.auxiliaryResistance_ohm);

// Hardly any resistance in the capacitor, so that the textbook's formula holds.
std::string caseText()
{
    return book::pumpCaseText(185, 0.01);
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
        varied.reserve(fields.size());
        for (const std::string& field : fields) {
            varied.push_back(variedField(field));
        }
        const CaseSource source(file_.string());
        SimulatorPool pool(2);
        Sweep sweep(source, SweepPlan(std::move(varied), std::nullopt), {}, pool);
        columns_ = sweep.columns();
        rows_.clear();
        const auto all = [](std::size_t) { return true; };
        sweep.readAll(all);
        ASSERT_TRUE(
            sweep.run({all, [this](SweepRow row) { rows_.push_back(std::move(row)); }, {}}));
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
    constexpr double step_uF = 4;
    run({fmt::format("start-capacitor.microfarads=100:400:{}", step_uF)});
    ASSERT_EQ(rows_.size(), 76U);
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
    std::ofstream(file_) << book::pumpCaseText(250, 0.01);
    run({"start.winding-temperature-c=110"});
    EXPECT_NEAR(value(0, "time_to_speed_s"), swept_s, 1e-9);
    EXPECT_GT(std::abs(swept_s - other_s), 0.01);
}

// What is varied of the motor is another motor; of the supply, the same motor elsewhere.
TEST_F(SweepOfPump, AFieldThatTellsTheMotorChangesIt)
{
    run({"equivalent-circuit.auxiliary-ohms=7.14,14.28"});
    const Phasor other = auxiliaryWith(14.28) + Phasor(0, -1 / (radian * 185e-6));
    EXPECT_NEAR(value(1, "standstill_line_a"), std::abs(line_V / mainImpedance + line_V / other),
                0.03);
    EXPECT_LT(value(1, "standstill_torque_nm"), value(0, "standstill_torque_nm"));
}

// Between the mains and the motor: what is not set of the two halves stays as it was.
TEST_F(SweepOfPump, OneHalfOfTheSourceDoesNotTakeAwayTheOther)
{
    std::string text = caseText();
    text.replace(text.find("hertz=\"60\"/>"), 12, "hertz=\"60\" source-millihenries=\"3\"/>");
    std::ofstream(file_) << text;
    run({"supply.source-ohms=0,1"});
    const double microfarads = 185;
    for (std::size_t i = 0; i < 2; ++i) {
        const Phasor source(0.005 + value(i, "supply.source-ohms"), radian * 3e-3);
        const Phasor both = mainImpedance * withCapacitor(microfarads) /
                            (mainImpedance + withCapacitor(microfarads));
        const double expected_A = std::abs(line_V / (source + both));
        EXPECT_NEAR(value(i, "standstill_line_a"), expected_A, 0.001 * expected_A);
    }
}

// What a linear circuit of sines does not show is left empty.
TEST_F(SweepOfPump, SaysNothingOfStandstillWhereItDoesNotKnow)
{
    const auto isEmpty = [this](std::size_t row) {
        const auto at = std::find_if(columns_.begin(), columns_.end(), [](const SweepColumn& each) {
            return each.name == "standstill_torque_nm";
        });
        return std::holds_alternative<std::monostate>(
            rows_.at(row).cells.at(static_cast<std::size_t>(at - columns_.begin())));
    };
    run({"supply.limit-amps=15,30"});
    EXPECT_TRUE(isEmpty(0) && isEmpty(1));
    run({"start.restart-after-seconds=5"});
    EXPECT_TRUE(isEmpty(0));
    run({"equivalent-circuit.saturation-knee-volts=60",
         "equivalent-circuit.saturation-slope-ratio=0,5"});
    EXPECT_FALSE(isEmpty(0));
    EXPECT_TRUE(isEmpty(1));
}

// A pump against head pressure: the pressures that nobody gave stay where they were assumed, and
// the torque follows the ideal cycle (Eastop and McConkey, from memory; n 1.1, clearance 4 %).
TEST_F(SweepOfPump, HeadPressureLoadsTheSamePump)
{
    std::string text = caseText();
    const std::string none = "<load kind=\"none\"/>";
    text.replace(text.find(none), none.size(),
                 "<load kind=\"reciprocating\" pressures=\"unequalised\" suction-bar=\"3\" "
                 "discharge-bar=\"9\" torque-newton-metres=\"0.3\"/>");
    const auto torque_Nm = [this, &text](const std::string& field) {
        std::ofstream(file_) << text;
        const CaseSource source(file_.string());
        const Case rated = completeCase(source.read());
        const SweepPlan plan({variedField(field)}, std::nullopt);
        return rowSetup(source, plan.changesOf(0), rated,
                        {0, *rated.compressor.equivalentCircuit, 0.3, {}})
            .torque_Nm;
    };
    const auto work = [](double ratio) {
        return (1.04 - 0.04 * std::pow(ratio, 1 / 1.1)) * (std::pow(ratio, 0.1 / 1.1) - 1);
    };
    EXPECT_NEAR(torque_Nm("load.discharge-bar=9"), 0.3, 1e-9);
    EXPECT_NEAR(torque_Nm("load.discharge-bar=12"), 0.3 * work(4) / work(3), 1e-9);
    EXPECT_NEAR(torque_Nm("load.torque-newton-metres=0.5"), 0.5, 1e-9);

    const std::string given = " suction-bar=\"3\" discharge-bar=\"9\"";
    text.replace(text.find(given), given.size(), "");
    // Assumed are 3 and 14 bar, and 3 bar stay.
    EXPECT_NEAR(torque_Nm("load.discharge-bar=9"), 0.3 * work(3) / work(14.0 / 3), 1e-9);
    EXPECT_THROW(torque_Nm("load.suction-bar=15"), InputError);
}

}  // namespace splitstart
