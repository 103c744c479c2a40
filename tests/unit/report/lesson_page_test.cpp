// The page and the JSON of a lesson, made of data alone: everything is in it, nothing escapes.
#include <gtest/gtest.h>

#include <cmath>
#include <nlohmann/json.hpp>
#include <numbers>
#include <pugixml.hpp>
#include <string>

#include "report/html_page.h"
#include "report/lesson_page.h"
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
