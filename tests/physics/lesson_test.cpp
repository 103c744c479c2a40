// The lessons' numbers against independent computations of the same textbook motor, and what the
// textbooks say about them.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>

#include "case/reader.h"
#include "physics/near.h"
#include "physics/quarter_horsepower.h"
#include "physics/symmetrical_components.h"
#include "study/found_start.h"
#include "study/lesson.h"

namespace splitstart
{
namespace
{

using book::Phasor;

constexpr double line_Hz = 60;
constexpr double omega_rad_s = 2 * std::numbers::pi * line_Hz;

// Each lesson is made once for all tests.
const Lesson& lessonOnBench(const char* name)
{
    static SimulatorPool pool;
    static std::map<std::string, Lesson> lessons;
    const auto found = lessons.find(name);
    if (found != lessons.end()) {
        return found->second;
    }
    return lessons.emplace(name, makeLesson(*lessonKind(name), std::nullopt, pool)).first->second;
}

double at(const Lesson& lesson, std::size_t position, std::string_view column)
{
    return lesson.number(position, column).value();
}

std::size_t labelled(const Lesson& lesson, const std::string& label)
{
    for (std::size_t i = 0; i < lesson.positions.size(); ++i) {
        if (lesson.positions[i].label == label) {
            return i;
        }
    }
    ADD_FAILURE() << lesson.name << " has no position " << label;
    return 0;
}

bool says(const Lesson& lesson, std::size_t position, std::string_view what)
{
    return lesson.positions[position].says.find(what) != std::string::npos;
}

// A lesson on one of the example circuits, motor given.
Lesson lessonOnExample(const char* name, const char* file)
{
    SimulatorPool pool;
    return makeLesson(
        *lessonKind(name),
        readCaseFile(std::string(SPLITSTART_SOURCE_DIR) + "/examples/circuits/" + file), pool);
}

book::Source stiffSource()
{
    book::Source source;
    source.rms_V = 110;
    source.frequency_Hz = line_Hz;
    return source;
}

// The bench's start capacitor has 3 ohm where it has 14.5 ohm of reactance, and a bleed resistor
// across it.
book::CapacitorBranch startBranch(double microfarads)
{
    constexpr double bleed_ohm = 15000;
    const double reactance_ohm = 1 / (omega_rad_s * microfarads * 1e-6);
    const Phasor alone_ohm(0.207 * reactance_ohm, -reactance_ohm);
    const Phasor both_ohm = 1.0 / (1.0 / alone_ohm + 1.0 / bleed_ohm);
    return {-1 / (omega_rad_s * both_ohm.imag()), both_ohm.real()};
}

// What the bench has and the textbook's circuit does not: 0.02 and 0.005 ohm of closed contacts,
// the protector, the relay's coil (5.2 kohm) and the capacitor's bleed resistor (15 kohm).
constexpr double tolerance_ratio = 0.01;

}  // namespace

TEST(Lesson, EveryOneOnTheBenchHasNineToFifteenPositionsAndOneThatIsShown)
{
    for (const LessonKind& kind : lessonKinds()) {
        const Lesson& lesson = lessonOnBench(std::string(kind.name).c_str());
        EXPECT_GE(lesson.positions.size(), 9U) << kind.name;
        EXPECT_LE(lesson.positions.size(), 15U) << kind.name;
        EXPECT_LT(lesson.standard, lesson.positions.size()) << kind.name;
        EXPECT_TRUE(lesson.invented) << kind.name;
        EXPECT_FALSE(lesson.ownCase) << kind.name;
        EXPECT_FALSE(lesson.decks.empty()) << kind.name;
        for (const LessonPosition& position : lesson.positions) {
            EXPECT_EQ(position.numbers.size(), lesson.columns.size()) << kind.name;
            EXPECT_FALSE(position.says.empty()) << kind.name << position.label;
        }
    }
}

TEST(Lesson, FormulasAreWithinThreePercentOfTheRuns)
{
    for (const LessonKind& kind : lessonKinds()) {
        const Lesson& lesson = lessonOnBench(std::string(kind.name).c_str());
        EXPECT_FALSE(lesson.comparisons.empty()) << kind.name;
        for (const LessonComparison& each : lesson.comparisons) {
            EXPECT_LT(each.difference_ratio(), 0.03) << kind.name << ": " << each.words;
        }
    }
}

// By the cross-field equations (second_opinion.h), which share nothing with models/.
TEST(PhaseShiftLesson, HasTheCurrentsAndTorqueOfTheTextbookMotorAtStandstill)
{
    const Lesson& lesson = lessonOnBench("phase-shift");
    for (std::size_t i = 0; i < lesson.positions.size(); ++i) {
        const book::SteadyState expected = book::steadyState(
            book::quarterHorsepower(), stiffSource(), startBranch(lesson.positions[i].value), 0);
        EXPECT_TRUE(nearRel(at(lesson, i, "main_a"), std::abs(expected.main_A), tolerance_ratio));
        EXPECT_TRUE(
            nearRel(at(lesson, i, "auxiliary_a"), std::abs(expected.auxiliary_A), tolerance_ratio));
        EXPECT_TRUE(nearRel(at(lesson, i, "torque_nm"), expected.torque_Nm, tolerance_ratio));
        const double lead_deg =
            std::arg(expected.auxiliary_A / expected.main_A) * 180 / std::numbers::pi;
        EXPECT_NEAR(at(lesson, i, "angle_deg"), lead_deg, 0.3);
        for (const LessonPhasor& phasor : lesson.positions[i].phasors) {
            if (phasor.name == "main_a") {
                EXPECT_NEAR(phasor.angle_deg, std::arg(expected.main_A) * 180 / std::numbers::pi,
                            0.3);
            }
        }
    }
}

// Starting torque is proportional to the product of the winding currents and the sine of the angle
// between them: Fitzgerald, Kingsley, Umans, "Electric Machinery", chapter on single- and two-phase
// motors (from memory).
TEST(PhaseShiftLesson, TorqueGoesWithBothCurrentsAndTheSineOfTheirAngle)
{
    const Lesson& lesson = lessonOnBench("phase-shift");
    const auto factor = [&lesson](std::size_t i) {
        return at(lesson, i, "torque_nm") /
               (at(lesson, i, "main_a") * at(lesson, i, "auxiliary_a") *
                std::sin(at(lesson, i, "angle_deg") * std::numbers::pi / 180));
    };
    for (std::size_t i = 1; i < lesson.positions.size(); ++i) {
        // 0.1 %: so far is this motor's cage from being alike in both axes.
        EXPECT_TRUE(nearRel(factor(i), factor(0), 1e-3));
    }
}

// Where a size stands follows from the torque curve; the angle alone does not tell it.
void expectTorqueDecides(const Lesson& lesson)
{
    const std::size_t top = lesson.largest("torque_nm");
    for (std::size_t i = 0; i < lesson.positions.size(); ++i) {
        EXPECT_EQ(says(lesson, i, "below the top of the torque"), i < top) << i;
        EXPECT_EQ(says(lesson, i, "at the top of the torque"), i == top) << i;
        EXPECT_EQ(says(lesson, i, "past the top of the torque"), i > top) << i;
        EXPECT_FALSE(says(lesson, i, "too small")) << i;
        EXPECT_FALSE(says(lesson, i, "enough")) << i;
        EXPECT_EQ(says(lesson, i, "A run capacitor of"), lesson.hasRunCapacitor) << i;
    }
}

TEST(PhaseShiftLesson, SaysWhereEachSizeStandsByItsTorque)
{
    expectTorqueDecides(lessonOnBench("phase-shift"));
}

TEST(PhaseShiftLesson, NamesTheRunCapacitorThatLiesBeside)
{
    const Lesson lesson = lessonOnExample("phase-shift", "cscr-current-relay.xml");
    EXPECT_TRUE(lesson.hasRunCapacitor);
    expectTorqueDecides(lesson);
}

// Two revolving fields (the same text): alike at rest, exchanged when it turns the other way.
TEST(TwoFieldsLesson, TorqueIsOddInSpeedAndNoughtAtRest)
{
    const Lesson& lesson = lessonOnBench("two-fields");
    const std::size_t count = lesson.positions.size();
    const double scale_Nm = at(lesson, lesson.largest("torque_nm"), "torque_nm");
    for (std::size_t i = 0; i < count; ++i) {
        const std::size_t mirrored = count - 1 - i;
        EXPECT_EQ(lesson.positions[i].value, -lesson.positions[mirrored].value);
        EXPECT_TRUE(nearOfScale(at(lesson, i, "torque_nm"), -at(lesson, mirrored, "torque_nm"),
                                scale_Nm, 1e-6));
        EXPECT_TRUE(nearOfScale(at(lesson, i, "forward_nm"), -at(lesson, mirrored, "backward_nm"),
                                scale_Nm, 1e-6));
        EXPECT_TRUE(nearOfScale(at(lesson, i, "forward_nm") + at(lesson, i, "backward_nm"),
                                at(lesson, i, "torque_nm"), scale_Nm, 1e-6));
    }
    EXPECT_TRUE(nearOfScale(at(lesson, labelled(lesson, "0 %"), "torque_nm"), 0, scale_Nm, 1e-6));
}

TEST(TwoFieldsLesson, FieldsHaveTheAirGapPowersOfTheBook)
{
    const Lesson& lesson = lessonOnBench("two-fields");
    for (const double speed_ratio : {0.2, 0.6, 0.8}) {
        const std::size_t i = labelled(lesson, fmt::format("+{:.0f} %", 100 * speed_ratio));
        const book::RevolvingFields expected =
            book::revolvingFields(book::quarterHorsepower(), 110, line_Hz, 1 - speed_ratio, 0);
        const double synchronous_rad_s = omega_rad_s / 2;
        EXPECT_TRUE(nearRel(at(lesson, i, "main_a"), std::abs(expected.input_A), 1e-3));
        EXPECT_TRUE(nearRel(at(lesson, i, "forward_nm"),
                            expected.forwardAirGap_W / synchronous_rad_s, 2e-3));
        EXPECT_TRUE(nearRel(-at(lesson, i, "backward_nm"),
                            expected.backwardAirGap_W / synchronous_rad_s, 2e-3));
    }
}

TEST(TwoFieldsLesson, TheRotorRunsUpTheWayItWasSpunOrFallsBack)
{
    const Lesson& lesson = lessonOnBench("two-fields");
    for (std::size_t i = 0; i < lesson.positions.size(); ++i) {
        const double spun = lesson.positions[i].value;
        const double end = at(lesson, i, "end_speed_percent");
        // The load of the bench takes 1 N m; what the fields give beyond it speeds the rotor up.
        const bool gains = std::abs(at(lesson, i, "torque_nm")) > 1;
        if (std::abs(spun) < 90) {
            EXPECT_EQ(std::abs(end) > 90, gains) << spun;
        }
        EXPECT_GE(end * spun, -1e-6) << spun;
    }
}

// Open winding: the cross-field equations without a branch.
TEST(RelayOpeningLesson, VoltsOfTheOpenStartWindingAreTheBooks)
{
    const Lesson& lesson = lessonOnBench("relay-opening");
    const double synchronous_rad_s = omega_rad_s / 2;
    for (std::size_t i = 1; i < lesson.positions.size(); ++i) {
        const book::SteadyState expected =
            book::steadyState(book::quarterHorsepower(), stiffSource(), std::nullopt,
                              lesson.positions[i].value / 100 * synchronous_rad_s);
        EXPECT_TRUE(nearRel(at(lesson, i, "lead_off_v"), std::abs(expected.auxiliary_V), 1e-3));
        EXPECT_GT(at(lesson, i, "coil_in_v"), at(lesson, i - 1, "coil_in_v"));
        EXPECT_GT(at(lesson, i, "coil_out_v"), at(lesson, i - 1, "coil_out_v"));
    }
}

TEST(RelayOpeningLesson, TheStartShownOpensWithinTheRangeOfTheHeldSpeeds)
{
    const Lesson& lesson = lessonOnBench("relay-opening");
    const auto chart =
        std::find_if(lesson.charts.begin(), lesson.charts.end(),
                     [](const LessonChart& each) { return each.id == "start-coil"; });
    ASSERT_NE(chart, lesson.charts.end());
    ASSERT_EQ(chart->marks.size(), 1U);
    // The armature lags behind volts that still rise: a little above the middle of its range.
    const Range pickUp_V = chart->bands.front().range;
    EXPECT_GT(chart->marks.front().y, pickUp_V.minimum);
    EXPECT_LT(chart->marks.front().y, 1.05 * pickUp_V.maximum);
}

TEST(CapacitorSizeLesson, TooSmallAndTooLargeOnesDoNotStartAndTheOwnOneDoes)
{
    const Lesson& lesson = lessonOnBench("capacitor-size");
    EXPECT_EQ(at(lesson, 0, "starts"), 0);
    EXPECT_EQ(at(lesson, lesson.standard, "starts"), 1);
    EXPECT_EQ(at(lesson, lesson.positions.size() - 1, "starts"), 0);
    const std::size_t top = lesson.largest("locked_torque_nm");
    EXPECT_GT(top, 0U);
    EXPECT_LT(top, lesson.positions.size() - 1);
    for (std::size_t i = 0; i < lesson.positions.size(); ++i) {
        const book::SteadyState expected = book::steadyState(
            book::quarterHorsepower(), stiffSource(), startBranch(lesson.positions[i].value), 0);
        EXPECT_TRUE(
            nearRel(at(lesson, i, "locked_torque_nm"), expected.torque_Nm, tolerance_ratio));
    }
}

// What is said follows from the heating and the protector's time that were computed.
void expectDangerFromNumbers(const Lesson& lesson)
{
    for (std::size_t i = 0; i < lesson.positions.size(); ++i) {
        const std::optional<double> main_s = lesson.number(i, "main_hot_s");
        const std::optional<double> auxiliary_s = lesson.number(i, "auxiliary_hot_s");
        const bool mainFirst = main_s && (!auxiliary_s || *main_s <= *auxiliary_s);
        EXPECT_EQ(says(lesson, i, "The run winding gets hot first"), mainFirst) << i;
        EXPECT_EQ(says(lesson, i, "The start winding gets hot first"), auxiliary_s && !mainFirst)
            << i;
        const bool opens = lesson.number(i, "protector_opens_s").has_value();
        EXPECT_EQ(says(lesson, i, "the overload protector opens after"), opens) << i;
        const bool endsWell =
            at(lesson, i, "starts") > 0 && lesson.number(i, "contact_opens_s").has_value();
        EXPECT_EQ(says(lesson, i, "nothing switches it off"), !opens && !endsWell) << i;
        EXPECT_FALSE(says(lesson, i, "until the protector opens")) << i;
    }
}

TEST(CapacitorSizeLesson, NamesTheWindingInDangerAndWhatSwitchesItOff)
{
    expectDangerFromNumbers(lessonOnBench("capacitor-size"));
}

// What is said of the relay agrees with the speed at which it opened.
TEST(CapacitorSizeLesson, NamesARelayThatLeavesEarlyOrComesBack)
{
    const Lesson lesson = lessonOnExample("capacitor-size", "csir-potential-relay.xml");
    std::size_t early = 0;
    for (std::size_t i = 0; i < lesson.positions.size(); ++i) {
        const std::optional<double> opens_percent = lesson.number(i, "speed_at_opening_percent");
        const bool isEarly = opens_percent && *opens_percent < 50;
        EXPECT_EQ(says(lesson, i, "% speed already"), isEarly) << i;
        // One that comes back does not leave the motor alone.
        EXPECT_FALSE(says(lesson, i, "puts it in again") && says(lesson, i, "from then on")) << i;
        early += isEarly ? 1 : 0;
    }
    EXPECT_GT(early, 0U);
}

TEST(CapacitorSizeLesson, WithoutAProtectorNothingSwitchesItOff)
{
    Case bare = lessonCase(*lessonKind("capacitor-size"));
    bare.circuit->protector.clear();
    SimulatorPool pool;
    const Lesson lesson = makeLesson(*lessonKind("capacitor-size"), bare, pool);
    expectDangerFromNumbers(lesson);
    EXPECT_TRUE(says(lesson, 0, "nothing switches it off"));
}

// Symmetrical components of the same machine with a cage alike in both axes, from which the bench's
// motor differs by 0.1 %: the swing is that of forward against backward field, and nought where the
// two windings make one round field.
TEST(RunCapacitorLesson, TorqueSwingsAtTwiceLineFrequencyAsSymmetricalComponentsSay)
{
    const Lesson& lesson = lessonOnBench("run-capacitor");
    std::vector<double> expected_Nm;
    for (std::size_t i = 0; i < lesson.positions.size(); ++i) {
        const double farads = std::max(lesson.positions[i].value, 1e-6) * 1e-6;
        const book::SequenceSolution expected = book::symmetricalComponents(
            book::quarterHorsepowerWithRoundRotor(), stiffSource(),
            {farads, 0.001 / (omega_rad_s * farads)}, 1 - at(lesson, i, "speed_percent") / 100);
        expected_Nm.push_back(expected.swing_Nm);
        EXPECT_TRUE(nearOfScale(at(lesson, i, "pulsation_nm"), expected.swing_Nm, 1, 0.01))
            << lesson.positions[i].label;
        EXPECT_TRUE(nearRel(at(lesson, i, "main_a"), std::abs(expected.main_A), 0.01));
    }
    const auto least = std::min_element(expected_Nm.begin(), expected_Nm.end());
    EXPECT_EQ(lesson.smallest("pulsation_nm"),
              static_cast<std::size_t>(least - expected_Nm.begin()));
}

// What is taken from the line and not lost in copper and cage comes out at the shaft: efficiency
// from the book's currents.
TEST(RunCapacitorLesson, CapacitorRunIsMoreEfficientThanInductionRun)
{
    const Lesson& lesson = lessonOnBench("run-capacitor");
    const std::size_t best = lesson.largest("efficiency_percent");
    EXPECT_GT(best, 0U);
    EXPECT_GT(at(lesson, best, "efficiency_percent"), at(lesson, 0, "efficiency_percent") + 5);
    EXPECT_GT(at(lesson, best, "power_factor"), at(lesson, 0, "power_factor"));
    for (std::size_t i = 0; i < lesson.positions.size(); ++i) {
        // No core loss and no friction: shaft watts are torque times speed.
        const double shaft_W =
            at(lesson, i, "torque_nm") * at(lesson, i, "speed_percent") / 100 * omega_rad_s / 2;
        EXPECT_TRUE(nearRel(at(lesson, i, "efficiency_percent"),
                            100 * shaft_W / at(lesson, i, "line_w"), 0.005));
    }
}

TEST(SwappedWireLesson, ExchangedStartAndRunTurnItBackwards)
{
    const Lesson& lesson = lessonOnBench("swapped-wire");
    EXPECT_EQ(lesson.positions.front().label, "right wiring");
    EXPECT_EQ(at(lesson, 0, "starts"), 1);
    const std::size_t exchanged =
        labelled(lesson, "the wires of S and R are exchanged at the compressor");
    EXPECT_LT(at(lesson, exchanged, "speed_at_end_percent"), -50);
    // The winding that the meter finds between the wires of R and C is then the start winding.
    EXPECT_NEAR(at(lesson, exchanged, "run_to_common_ohm"), 7.14, 0.02);
}

TEST(SwappedWireLesson, WithoutItsStartCapacitorTheMotorStandsAndItsRunWindingHeats)
{
    const Lesson& lesson = lessonOnBench("swapped-wire");
    const std::size_t missing = labelled(
        lesson, "the wire between thermostat.2 and start-capacitor.A is missing, loose or broken");
    const book::RevolvingFields expected =
        book::revolvingFields(book::quarterHorsepower(), 110, line_Hz, 1, 0);
    EXPECT_EQ(at(lesson, missing, "starts"), 0);
    EXPECT_TRUE(nearRel(at(lesson, missing, "line_stalled_a"), std::abs(expected.input_A), 0.01));
    EXPECT_TRUE(lesson.number(missing, "main_hot_s"));
    EXPECT_FALSE(lesson.number(missing, "auxiliary_hot_s"));
}

// A current relay's coil carries the run winding's amps: with R's wire off neither winding is fed.
TEST(SwappedWireLesson, StaysQuietWhereNextToNoCurrentFlows)
{
    const Lesson lesson = lessonOnExample("swapped-wire", "csir-current-relay-50-hertz.xml");
    const std::size_t missing =
        labelled(lesson, "the wire between relay.M and compressor.R is missing, loose or broken");
    EXPECT_LT(at(lesson, missing, "of_right_amps"), 0.04);
    for (std::size_t i = 0; i < lesson.positions.size(); ++i) {
        const std::optional<double> amps = lesson.number(i, "of_right_amps");
        if (amps) {
            EXPECT_EQ(says(lesson, i, "it stays quiet"), *amps < 0.04) << i;
            EXPECT_FALSE(*amps < 0.04 && says(lesson, i, "hums")) << i;
        }
    }
}

TEST(SwappedWireLesson, CautionsOfEveryWrongWiringThatStarts)
{
    const Lesson& lesson = lessonOnBench("swapped-wire");
    std::size_t cautioned = 0;
    for (std::size_t i = 0; i < lesson.positions.size(); ++i) {
        const bool starts = lesson.number(i, "starts").value_or(0) > 0;
        EXPECT_EQ(says(lesson, i, startsThoughWrong), starts && i > 0) << i;
        cautioned += starts && i > 0 ? 1 : 0;
    }
    EXPECT_GT(cautioned, 0U);
}

TEST(SwappedWireLesson, OhmmeterReadingsNameTheirTerminalsAndConditions)
{
    const Lesson& lesson = lessonOnBench("swapped-wire");
    const std::size_t exchanged =
        labelled(lesson, "the wires of S and R are exchanged at the compressor");
    for (const char* what : {"Supply locked out", "capacitors discharged", "thermostat closed",
                             "its leads' own ohms taken off", "7.14 ohm in place of 2.02 ohm",
                             "from thermostat.2 to protector.3"}) {
        EXPECT_TRUE(says(lesson, exchanged, what)) << what;
    }
    for (const LessonColumn& column : lesson.columns) {
        EXPECT_EQ(column.words.find("ohmmeter") != std::string::npos,
                  column.source == LessonSource::resistances)
            << column.words;
    }
}

TEST(SwappedWireLesson, AShortIsShownButNeverSimulated)
{
    const Lesson& lesson = lessonOnBench("swapped-wire");
    const auto shorted = std::find_if(
        lesson.positions.begin(), lesson.positions.end(), [](const LessonPosition& position) {
            return position.says.find("Never switch it on") != std::string::npos;
        });
    ASSERT_NE(shorted, lesson.positions.end());
    EXPECT_FALSE(lesson.number(static_cast<std::size_t>(shorted - lesson.positions.begin()),
                               "line_stalled_a"));
    for (std::size_t i = 0; i < lesson.positions.size(); ++i) {
        EXPECT_EQ(lesson.positions[i].isRun, lesson.number(i, "starts").has_value()) << i;
    }
}

}  // namespace splitstart
