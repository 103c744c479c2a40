// The page and the JSON of a lesson, made of data alone: everything is in it, nothing escapes.
#include <gtest/gtest.h>

#include <cmath>
#include <nlohmann/json.hpp>
#include <numbers>
#include <pugixml.hpp>
#include <string>

#include "report/html_page.h"
#include "report/lesson_page.h"
#include "report/lesson_words.h"
#include "report/phasor_picture.h"

namespace splitstart
{
namespace
{

const char* const hostile = "<script>alert(1)</script> \"&' \x01 end";

const PageMaking made = {"2026-11-26 14:05", "splitstart 0.1.0, ngspice 39"};

// As the lesson phase-shift has it, with names that a person might have typed.
Lesson lessonWith(std::size_t positions)
{
    Lesson lesson;
    lesson.name = "phase-shift";
    lesson.caseName = hostile;
    lesson.invented = true;
    lesson.motor = "The motor is given.";
    lesson.varies = "start capacitor";
    lesson.unit = "uF";
    lesson.standard = 1;
    lesson.columns = {{"torque_nm", "torque", "N m", LessonSource::run},
                      {"angle_deg", "angle", "degrees", LessonSource::run},
                      {"auxiliary_a", "start winding", "A", LessonSource::run},
                      {"formula_nm", "by the formula", "N m", LessonSource::formula}};
    for (std::size_t i = 0; i < positions; ++i) {
        LessonPosition position;
        position.value = 10.0 * static_cast<double>(i + 1);
        position.label = hostile + std::to_string(i);
        position.says = hostile;
        position.numbers = {1.5 + static_cast<double>(i), 90.0 - static_cast<double>(i), 2.0,
                            std::nullopt};
        position.phasors = {{"main_a", "run current", "A", 10, -40},
                            {"auxiliary_a", hostile, "A", 5, 28.5}};
        position.marks = {LessonMark{hostile, position.value, 1}};
        position.charts = {
            {"own", hostile, "time", "s", "speed", "%", {{hostile, "speed", {0, 1}, {0, 90}}}}};
        lesson.positions.push_back(std::move(position));
    }
    lesson.charts = {{"all",
                      hostile,
                      "start capacitor",
                      "uF",
                      "torque",
                      "N m",
                      {{"run", "torque_nm", {10, 20}, {1, 2}}}}};
    lesson.comparisons = {{hostile, "N m", 1.0, 1.01}};
    lesson.decks = {{"deck.cir", hostile, "* title\n.param a=1 ; < & >\n.end\n"}};
    lesson.notes = {hostile};
    return lesson;
}

std::size_t countOf(const std::string& text, const std::string& what)
{
    std::size_t count = 0;
    for (std::size_t at = text.find(what); at != std::string::npos; at = text.find(what, at + 1)) {
        ++count;
    }
    return count;
}

}  // namespace

TEST(LessonPage, HoldsEveryPositionAndHidesAllButTheStandardOne)
{
    const std::string page = lessonPage(lessonWith(9), made);
    EXPECT_EQ(countOf(page, "class=\"position\""), 9U);
    for (int i = 0; i < 9; ++i) {
        const std::string begin =
            "<div class=\"position\" data-position=\"" + std::to_string(i) + "\"";
        const std::size_t at = page.find(begin);
        ASSERT_NE(at, std::string::npos);
        const std::string tag = page.substr(at, page.find("><", at) - at);
        EXPECT_EQ(tag.find(" hidden=") == std::string::npos, i == 1) << tag;
    }
}

// Without scripts nothing is to be moved: the controls wait for the script.
TEST(LessonPage, HasItsControlsUnderTheirNamesAndHiddenUntilTheScriptRuns)
{
    const std::string page = lessonPage(lessonWith(9), made);
    for (const char* id : {"slider", "slider-value", "turn", "lesson-data", "previous", "next"}) {
        EXPECT_EQ(countOf(page, std::string("id=\"") + id + "\""), 1U) << id;
    }
    EXPECT_NE(page.find("id=\"controls\" hidden="), std::string::npos);
    EXPECT_NE(page.find("<label for=\"slider\">"), std::string::npos);
    EXPECT_NE(page.find("min=\"0\" max=\"8\" step=\"1\" value=\"1\""), std::string::npos);
}

TEST(LessonPage, LetsNoNameBecomeMarkup)
{
    const std::string page = lessonPage(lessonWith(9), made);
    EXPECT_EQ(page.find("<script>alert"), std::string::npos);
    EXPECT_EQ(page.find('\x01'), std::string::npos);
    EXPECT_EQ(countOf(page, "<script"), 2U);  // the data and the lesson's own
}

TEST(LessonPage, HasTheDataOfItsJsonAndOneRowForEachPosition)
{
    const Lesson lesson = lessonWith(9);
    const std::string page = lessonPage(lesson, made);
    const std::string begin = "id=\"lesson-data\">";
    const std::size_t from = page.find(begin) + begin.size();
    const Json data = Json::parse(page.substr(from, page.find("</script>", from) - from));
    EXPECT_EQ(data, Json::parse(dumped(lessonJson(lesson))));
    EXPECT_EQ(data["positions"].size(), 9U);
    EXPECT_EQ(data["positions"][2]["numbers"]["torque_nm"], 3.5);
    EXPECT_TRUE(data["positions"][2]["numbers"]["formula_nm"].is_null());
    const std::size_t table = page.find("positions-table\">");
    const std::size_t end = page.find("</table>", table);
    EXPECT_EQ(countOf(page.substr(table, end - table), "<tr>"), 10U);
}

TEST(LessonPage, HasFormulaTextbookQuestionAndNetlist)
{
    const std::string page = lessonPage(lessonWith(9), made);
    for (const char* part :
         {"<math xmlns=\"http://www.w3.org/1998/Math/MathML\"", "alttext=", "Fitzgerald",
          "(from memory)", "<details class=\"answer\">", "download=\"deck.cir\"",
          "Lock out and tag every supply", "INVENTED"}) {
        EXPECT_NE(page.find(part), std::string::npos) << part;
    }
}

TEST(LessonPage, LoadsNothingFromElsewhere)
{
    std::string page = lessonPage(lessonWith(9), made);
    // Names of XML, which nothing fetches.
    for (const std::string name :
         {"http://www.w3.org/2000/svg", "http://www.w3.org/1998/Math/MathML"}) {
        for (std::size_t at = page.find(name); at != std::string::npos; at = page.find(name)) {
            page.erase(at, name.size());
        }
    }
    EXPECT_EQ(page.find("http:"), std::string::npos);
    EXPECT_EQ(page.find("https:"), std::string::npos);
    EXPECT_EQ(page.find("src="), std::string::npos);
}

TEST(LessonPage, SaysConditionsCaseFileTimeAndVersions)
{
    Lesson lesson = lessonWith(9);
    lesson.conditions = "Every run: rated volts.";
    lesson.caseFile = "milk.xml";
    lesson.ownCase = true;
    const std::string page = lessonPage(lesson, made);
    EXPECT_NE(page.find("Every run: rated volts."), std::string::npos);
    EXPECT_NE(
        page.find(
            "From the case file milk.xml on 2026-11-26 14:05 by splitstart 0.1.0, ngspice 39."),
        std::string::npos);
    EXPECT_EQ(page.find("class=\"verdict"), std::string::npos);
}

TEST(LessonPage, PutsReadingsThatCondemnTheWindingsAtItsTop)
{
    Lesson lesson = lessonWith(9);
    lesson.warning = "The readings of this case say: do not energise.";
    const std::string page = lessonPage(lesson, made);
    const std::size_t at = page.find("<div class=\"verdict is-fail\"><p>The readings of this case");
    ASSERT_NE(at, std::string::npos);
    EXPECT_LT(at, page.find("The motor stands still"));
    EXPECT_EQ(lessonJson(lesson)["warning"], lesson.warning);
}

TEST(LessonPage, SaysWhatAFormulaWasGivenAndTellsNoDifferenceBelowItsFloor)
{
    Lesson lesson = lessonWith(9);
    lesson.comparisons = {{"torque", "N m", 1.0, 1.0 + 1e-7, "the run's amps and angle"},
                          {"volts", "V", 1.0, 1.01}};
    const std::string page = lessonPage(lesson, made);
    EXPECT_NE(page.find("below 0.01 %"), std::string::npos);
    EXPECT_NE(page.find("0.99 %"), std::string::npos);
    EXPECT_EQ(countOf(page, "it tests the torque equation only"), 1U);
    EXPECT_NE(page.find("torque: the formula is given the run's amps and angle"),
              std::string::npos);
}

TEST(LessonPage, SaysThatSomePositionsWereNotRun)
{
    Lesson lesson = lessonWith(9);
    EXPECT_NE(lessonPage(lesson, made).find("Each position is a run of ngspice."),
              std::string::npos);
    lesson.positions.back().isRun = false;
    const std::string page = lessonPage(lesson, made);
    EXPECT_EQ(page.find("Each position is a run of ngspice."), std::string::npos);
    EXPECT_NE(page.find("nothing was simulated for them"), std::string::npos);
    EXPECT_EQ(lessonJson(lesson)["positions"][8]["simulated"], false);
}

TEST(LessonPage, SetsNoMarkWhereAPositionHasNoNumber)
{
    Lesson lesson = lessonWith(9);
    for (LessonPosition& position : lesson.positions) {
        position.marks = {LessonMark{"the mark", 15, 1}};
    }
    const std::size_t marked = countOf(lessonPage(lesson, made), ">the mark<");
    EXPECT_GE(marked, 9U);
    lesson.positions[4].marks = {std::nullopt};
    EXPECT_LT(countOf(lessonPage(lesson, made), ">the mark<"), marked);
    // Its chart is there all the same.
    EXPECT_EQ(countOf(lessonPage(lesson, made), "<figure"),
              countOf(lessonPage(lessonWith(9), made), "<figure"));
}

TEST(LessonPage, ChartsOverTheSameQuantityShareTheirAxis)
{
    Lesson lesson = lessonWith(9);
    lesson.charts.push_back(lesson.charts.front());
    lesson.charts[0].title = "the long one";
    lesson.charts[0].curves = {{"run", "torque_nm", {0, 40}, {1, 2}}};
    lesson.charts[1].title = "the short one";
    lesson.charts[1].curves = {{"run", "torque_nm", {0, 10}, {1, 2}}};
    for (LessonPosition& position : lesson.positions) {
        position.marks.clear();
    }
    const std::string page = lessonPage(lesson, made);
    for (const char* title : {"<figcaption>the long one", "<figcaption>the short one"}) {
        const std::size_t at = page.find(title);
        ASSERT_NE(at, std::string::npos);
        const std::string chart = page.substr(at, page.find("</svg>", at) - at);
        EXPECT_NE(chart.find(">40<"), std::string::npos) << title;
    }
}

namespace
{

Lesson relayLesson(double dropOut_V)
{
    Lesson lesson = lessonWith(3);
    lesson.name = "relay-opening";
    lesson.charts = {{"coil",
                      "coil",
                      "speed",
                      "%",
                      "coil",
                      "V",
                      {{"in", "coil_in_v", {0, 50, 60}, {0, 100, 200}},
                       {"out", "coil_out_v", {0, 50, 60}, {0, 40, 60}}},
                      {{"pick-up", {150, 160}}, {"drop-out", {20, dropOut_V}}}}};
    return lesson;
}

// The first position stands still, the others open or not.
Lesson sizeLesson(PartKind device)
{
    Lesson lesson = lessonWith(3);
    lesson.name = "capacitor-size";
    lesson.startDevice = device;
    lesson.columns.clear();
    for (const char* name :
         {"seconds_to_speed", "locked_torque_nm", "line_stalled_a", "start_capacitor_worst_v",
          "of_rated_volts_percent", "contact_opens_s", "speed_at_opening_percent"}) {
        lesson.columns.push_back({name, name, "", LessonSource::run});
    }
    lesson.positions[0].numbers = {std::nullopt, 1.0, 5.0, 100.0, 50.0, 0.02, 3.0};
    lesson.positions[1].numbers = {0.5, 3.0, 9.0, 160.0, 80.0, 0.4, 78.0};
    lesson.positions[2].numbers = {std::nullopt, 2.0,          12.0,        std::nullopt,
                                   std::nullopt, std::nullopt, std::nullopt};
    for (std::size_t i = 0; i < 3; ++i) {
        lesson.positions[i].value = 50.0 * static_cast<double>(i + 1);
        lesson.positions[i].label = std::to_string(50 * (i + 1)) + " uF";
    }
    return lesson;
}

bool holds(const std::string& text, const char* what)
{
    return text.find(what) != std::string::npos;
}

}  // namespace

// Half way between 50 and 60 % it picks up at 150 V, and half way between 40 and 60 V are left.
TEST(LessonWords, RelaysAnswerIsReadAtTheSpeedOfOpening)
{
    const std::string closesAgain = lessonWords(relayLesson(55)).answer;
    EXPECT_TRUE(holds(closesAgain, "opens at 55 %")) << closesAgain;
    EXPECT_TRUE(holds(closesAgain, "50.0 V at that speed")) << closesAgain;
    EXPECT_TRUE(holds(closesAgain, "some of them close again")) << closesAgain;
    EXPECT_TRUE(holds(lessonWords(relayLesson(45)).answer, "it stays open"));
}

TEST(LessonWords, WhatIsLeftInTheStartLeadIsNamed)
{
    Lesson lesson = relayLesson(45);
    EXPECT_TRUE(holds(lessonWords(lesson).sees, "they fall from 155 V to 51.0 V"));
    EXPECT_FALSE(holds(lessonWords(lesson).sees, "run capacitor"));
    lesson.hasRunCapacitor = true;
    EXPECT_TRUE(holds(lessonWords(lesson).sees, "the run capacitor stays"));
    lesson.charts[0].curves[1].y = {0, 400, 600};
    EXPECT_TRUE(holds(lessonWords(lesson).sees, "they rise from"));
}

TEST(LessonWords, CapacitorSizesSayOnlyWhatTheirNumbersShow)
{
    const LessonWords relay = lessonWords(sizeLesson(PartKind::potentialRelay));
    EXPECT_TRUE(holds(relay.sees, "most with 100 uF: 3.00 N m")) << relay.sees;
    EXPECT_TRUE(holds(relay.sees, "with 100 uF: 160 V, which is 80 %")) << relay.sees;
    EXPECT_TRUE(holds(relay.sees, "its coil does not get the volts")) << relay.sees;
    const LessonWords current = lessonWords(sizeLesson(PartKind::currentRelay));
    EXPECT_FALSE(holds(current.sees, "coil")) << current.sees;
    EXPECT_TRUE(holds(current.sees, "In 1 of the 3 positions the current relay")) << current.sees;
}

TEST(LessonWords, CapacitorSizesAnswerNamesWhereARelayLeavesEarlyAndWhatNeverOpens)
{
    Lesson lesson = sizeLesson(PartKind::currentRelay);
    lesson.standard = 0;
    EXPECT_TRUE(holds(lessonWords(lesson).answer, "opens after 0.0200 s at 3 % speed"))
        << lessonWords(lesson).answer;
    lesson.standard = 2;
    const std::string answer = lessonWords(lesson).answer;
    EXPECT_TRUE(holds(answer, "volts on the capacitor not measured")) << answer;
    EXPECT_TRUE(holds(answer, "the start contact never opens")) << answer;
    EXPECT_FALSE(holds(answer, "no on the capacitor")) << answer;
}

TEST(LessonWords, SpinningARotorByHandIsAThoughtExperiment)
{
    Lesson lesson = lessonWith(9);
    lesson.name = "two-fields";
    lesson.columns = {{"torque_nm", "", "", LessonSource::run},
                      {"seconds_to_speed", "", "", LessonSource::run}};
    for (LessonPosition& position : lesson.positions) {
        position.numbers = {1.0, 1.0};
    }
    const LessonWords words = lessonWords(lesson);
    EXPECT_TRUE(holds(words.sees, "thought experiment"));
    EXPECT_TRUE(holds(words.sees, "shell is welded"));
    EXPECT_TRUE(holds(words.sees, "Never open one, never try it"));
    EXPECT_TRUE(holds(std::string(words.formulaText), "2 w_sync"));
}

TEST(LessonWords, APhaseShiftAloneChoosesNoCapacitor)
{
    const LessonWords words = lessonWords(lessonWith(9));
    EXPECT_TRUE(holds(words.answer, "Torque at standstill alone does not choose a capacitor"));
    EXPECT_TRUE(holds(words.answer, "`splitstart check`"));
}

TEST(PhasorPicture, ArrowsHaveTheAngleAndLengthOfTheirPhasors)
{
    const Lesson lesson = lessonWith(9);
    const PhasorScales scales = phasorScales(lesson.positions);
    pugi::xml_document document;
    const pugi::xml_node svg = addPhasors(document, lesson.positions.front(), scales);
    std::size_t seen = 0;
    for (const LessonPhasor& phasor : lesson.positions.front().phasors) {
        const pugi::xml_node line =
            svg.child("g").find_child_by_attribute("line", "data-phasor", phasor.name.c_str());
        ASSERT_TRUE(line);
        const double across = line.attribute("x2").as_double() - line.attribute("x1").as_double();
        const double up = line.attribute("y1").as_double() - line.attribute("y2").as_double();
        EXPECT_NEAR(std::atan2(up, across) * 180 / std::numbers::pi, phasor.angle_deg, 0.01);
        EXPECT_NEAR(std::hypot(across, up) / line.attribute("data-scale").as_double(),
                    phasor.magnitude, 1e-3);
        ++seen;
    }
    EXPECT_EQ(seen, 2U);
    // The angle between the currents, as the arc says it.
    EXPECT_NEAR(svg.child("g")
                    .find_child([](const pugi::xml_node& node) {
                        return !node.attribute("data-lead-deg").empty();
                    })
                    .attribute("data-lead-deg")
                    .as_double(),
                68.5, 1e-3);
}

TEST(PhasorPicture, LeavesOutTheAngleWhereOneWindingCarriesNothing)
{
    Lesson lesson = lessonWith(9);
    lesson.positions.front().phasors.back().magnitude = 0;
    pugi::xml_document document;
    const pugi::xml_node svg =
        addPhasors(document, lesson.positions.front(), phasorScales(lesson.positions));
    EXPECT_FALSE(svg.child("g").find_child(
        [](const pugi::xml_node& node) { return !node.attribute("data-lead-deg").empty(); }));
}

TEST(Fields, AreDrawnAtOneScale)
{
    pugi::xml_document document;
    const pugi::xml_node svg = addFields(document, {"flux", "mV s", 30, 10}, 50);
    const pugi::xml_node ellipse = svg.child("ellipse");
    EXPECT_NEAR(ellipse.attribute("rx").as_double() / ellipse.attribute("ry").as_double(), 2, 1e-3);
    for (const char* group : {"turning-forward", "turning-backward"}) {
        EXPECT_TRUE(svg.find_child_by_attribute("g", "class", group)) << group;
    }
}

}  // namespace splitstart
