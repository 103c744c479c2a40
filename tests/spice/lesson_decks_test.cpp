// The decks that lessons hand out, in stock ngspice, against the numbers on their pages.
#include <gtest/gtest.h>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <map>
#include <regex>
#include <sstream>
#include <string>

#include "spice/stock_ngspice.h"
#include "study/lesson.h"

namespace splitstart
{
namespace
{

// What a deck's control section prints when stock ngspice runs it.
std::map<std::string, double> printedBy(const LessonDeck& deck)
{
    const std::filesystem::path file =
        std::filesystem::temp_directory_path() / ("lesson-deck-test-" + deck.fileName);
    std::ofstream(file) << deck.text;
    const stock::Outcome outcome = stock::run(file);
    std::filesystem::remove(file);
    EXPECT_EQ(outcome.exitStatus, 0) << outcome.log;
    std::map<std::string, double> printed;
    static const std::regex pattern(R"(^([a-z_]+)\s*=\s*([-+0-9.eE]+)\b.*)");
    std::istringstream lines(outcome.log);
    for (std::string line; std::getline(lines, line);) {
        std::smatch match;
        if (std::regex_match(line, match, pattern)) {
            printed[match[1]] = std::stod(match[2]);
        }
    }
    return printed;
}

Lesson onBench(const char* name)
{
    SimulatorPool pool;
    return makeLesson(*lessonKind(name), std::nullopt, pool);
}

void expectSame(const std::map<std::string, double>& printed, const char* quantity,
                const Lesson& lesson, const char* column, double tolerance_ratio)
{
    const double expected = lesson.number(lesson.standard, column).value();
    ASSERT_TRUE(printed.contains(quantity)) << quantity;
    EXPECT_NEAR(printed.at(quantity), expected, tolerance_ratio * std::abs(expected)) << quantity;
}

}  // namespace

TEST(LessonDecks, TheHeldMotorPrintsTheNumbersOfThePhaseShiftLesson)
{
    const Lesson lesson = onBench("phase-shift");
    const auto printed = printedBy(lesson.decks.front());
    for (const char* name : {"torque_nm", "main_a", "auxiliary_a", "line_a", "start_capacitor_v"}) {
        expectSame(printed, name, lesson, name, 1e-5);
    }
    expectSame(printed, "current_angle_deg", lesson, "angle_deg", 1e-5);
}

TEST(LessonDecks, TheHeldMotorPrintsTheNumbersOfTheRelayLesson)
{
    const Lesson lesson = onBench("relay-opening");
    const auto printed = printedBy(lesson.decks.front());
    expectSame(printed, "relay_coil_v", lesson, "coil_in_v", 1e-5);
    expectSame(printed, "start_winding_v", lesson, "start_winding_in_v", 1e-5);
    expectSame(printed, "torque_nm", lesson, "torque_in_nm", 1e-5);
}

TEST(LessonDecks, WholeStartsPrintTheNumbersOfTheirLessons)
{
    const Lesson sizes = onBench("capacitor-size");
    expectSame(printedBy(sizes.decks.front()), "time_to_speed_s", sizes, "seconds_to_speed", 1e-3);
    const Lesson running = onBench("run-capacitor");
    const auto printed = printedBy(running.decks.front());
    expectSame(printed, "line_running_w", running, "line_w", 5e-3);
    expectSame(printed, "torque_running_nm", running, "torque_nm", 5e-3);
}

// The slider moves what the deck's first lines name.
TEST(LessonDecks, NameTheParameterThatTheSliderMoves)
{
    const Lesson lesson = onBench("two-fields");
    const std::string& text = lesson.decks.front().text;
    EXPECT_NE(text.find("* the slider of the lesson moves: .param compressor_initial_speed_rad_s"),
              std::string::npos);
    EXPECT_NE(text.find("\n.param compressor_initial_speed_rad_s=113."), std::string::npos);
    // Spun to 60 %, it is up to speed at the same time as on the page.
    const auto printed = printedBy(lesson.decks.front());
    constexpr std::size_t sixtyPercent = 10;
    ASSERT_EQ(lesson.positions.at(sixtyPercent).value, 60);
    EXPECT_NEAR(printed.at("time_to_speed_s"),
                lesson.number(sixtyPercent, "seconds_to_speed").value(), 0.002);
}

}  // namespace splitstart
