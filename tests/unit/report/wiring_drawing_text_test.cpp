// What a wiring drawing says, and what it must not contain.
#include <gtest/gtest.h>

#include <pugixml.hpp>
#include <set>
#include <string>

#include "report/wiring_drawing.h"
#include "unit/circuit/circuit_fixture.h"
#include "unit/report/drawn_circuits.h"
#include "unit/report/drawn_wiring.h"

namespace splitstart
{

// On paper 800 units wide, letters of 12 units or more.
TEST(WiringDrawing, CanBeReadOnAPage)
{
    for (const NamedCircuit& each : standardVariants()) {
        const DrawnWiring drawn = readDrawing(wiringDrawing(each.circuit, usualText(each.circuit)));
        for (const DrawnText& text : drawn.texts) {
            EXPECT_GE(text.size * 800.0 / drawn.page.right, 12.0) << each.name << ": " << text.text;
        }
    }
}

namespace
{

// All texts of the drawing, the title for readers of the screen too, each on a line.
std::string allTexts(const std::string& svg)
{
    pugi::xml_document document;
    EXPECT_TRUE(document.load_string(svg.c_str()));
    std::string all;
    for (const pugi::xpath_node& each : document.select_nodes("//text | //title | //desc")) {
        all += std::string(each.node().text().get()) + "\n";
    }
    return all;
}

bool has(const std::string& text, std::string_view what)
{
    return text.find(what) != std::string::npos;
}

}  // namespace

TEST(WiringDrawing, TakesTextOfPeopleAsText)
{
    Circuit circuit = standardCircuit("cscr-potential-relay");
    for (CircuitPart& part : circuit.parts) {
        part.id = part.id == "relay" ? "re<l>\"&'" : part.id;
    }
    for (Wire& wire : circuit.wires) {
        for (Terminal* end : {&wire.from, &wire.to}) {
            end->part = end->part == "relay" ? "re<l>\"&'" : end->part;
        }
    }
    DrawingText text;
    text.title = "</title><script>alert(\"1 & '2'\")</script>\x01\x1b[31m\xff\n]]>";
    text.ratings = {{"start-capacitor", "<b> & \"c\"\x02"}};
    text.pins = {{"C", "<&>"}};
    const std::string svg = wiringDrawing(circuit, text);
    const std::string shown = allTexts(svg);
    EXPECT_TRUE(has(shown, "</title><script>alert(\"1 & '2'\")</script>[31m]]>")) << shown;
    EXPECT_TRUE(has(shown, "<b> & \"c\"\n")) << shown;
    EXPECT_TRUE(has(shown, "C (<&>)")) << shown;
    EXPECT_TRUE(has(shown, "re<l>\"&'\n")) << shown;
    EXPECT_FALSE(has(svg, "<script"));
    const DrawnWiring drawn = readDrawing(svg);
    EXPECT_EQ(drawn.boxes.count("re<l>\"&'"), 1U);
    EXPECT_EQ(drawn.dots.count("re<l>\"&'.2"), 1U);
    for (const char character : svg) {
        EXPECT_TRUE(static_cast<unsigned char>(character) >= 0x20 || character == '\n');
    }
}

// Text of any length is cut or broken, and stays where it belongs.
TEST(WiringDrawing, HasRoomForLongTexts)
{
    Circuit circuit = standardCircuit("csir-timed-switch");
    circuit.description = std::string(500, 'd') + " " + std::string(500, 'e');
    DrawingText text = usualText(circuit);
    for (const std::string& longText :
         {std::string(3000, 'x'), std::string("word word 12 V 13 mm, ") + std::string(40, 'y'),
          std::string("a b c d e f g h i j k l m n o p q r s t u v w x y z"), std::string()}) {
        text.title = longText;
        for (auto& [part, rating] : text.ratings) {
            rating = longText;
        }
        text.pins = {{"C", longText}, {"S", longText}, {"R", longText}};
        const DrawnWiring drawn = readDrawing(wiringDrawing(circuit, text));
        for (const DrawnText& each : drawn.texts) {
            EXPECT_TRUE(drawn.page.holds(each.extent)) << each.text;
            for (const auto& [part, box] : drawn.boxes) {
                EXPECT_TRUE(each.part == part ? box.holds(each.extent) : !box.meets(each.extent))
                    << each.text << ", " << part;
            }
            for (const DrawnText& other : drawn.texts) {
                EXPECT_TRUE(&each == &other || !each.extent.meets(other.extent))
                    << each.text << ", " << other.text;
            }
        }
    }
}

TEST(WiringDrawing, SaysWhatIsInvented)
{
    const Circuit circuit = standardCircuit("psc");
    DrawingText text;
    text.title = "Butter store";
    EXPECT_FALSE(has(allTexts(wiringDrawing(circuit, text)), "invented"));
    text.invented = true;
    EXPECT_TRUE(has(allTexts(wiringDrawing(circuit, text)), "\ninvented demo data\n"));
}

TEST(WiringDrawing, NeedsNothingElse)
{
    for (const NamedCircuit& each : standardVariants()) {
        pugi::xml_document document;
        ASSERT_TRUE(
            document.load_string(wiringDrawing(each.circuit, usualText(each.circuit)).c_str()));
        const pugi::xml_node root = document.document_element();
        EXPECT_STREQ(root.attribute("role").value(), "img");
        EXPECT_STREQ(root.attribute("xmlns").value(), "http://www.w3.org/2000/svg");
        EXPECT_TRUE(has(root.child("title").text().get(), "Cheese store, compressor 2"));
        for (const Wire& wire : each.circuit.wires) {
            EXPECT_TRUE(has(root.child("desc").text().get(),
                            terminalText(wire.from) + " to " + terminalText(wire.to)));
        }
        const std::set<std::string> known = {"svg",  "title", "desc",   "g",
                                             "rect", "path",  "circle", "text"};
        for (const pugi::xpath_node& node : document.select_nodes("//*")) {
            EXPECT_TRUE(known.contains(node.node().name())) << node.node().name();
            for (const pugi::xml_attribute& attribute : node.node().attributes()) {
                const std::string name = attribute.name();
                EXPECT_FALSE(name.starts_with("on") || has(name, "href")) << name;
                EXPECT_FALSE(has(attribute.value(), "url(")) << attribute.value();
            }
        }
    }
}

// Legible without colour: black on white, and wires told apart by their thickness.
TEST(WiringDrawing, IsBlackOnWhite)
{
    pugi::xml_document document;
    const Circuit circuit = standardCircuit("cscr-potential-relay");
    ASSERT_TRUE(document.load_string(wiringDrawing(circuit, usualText(circuit)).c_str()));
    for (const pugi::xpath_node& node : document.select_nodes("//@fill | //@stroke")) {
        const std::string colour = node.attribute().value();
        EXPECT_TRUE(colour == "black" || colour == "white" || colour == "none") << colour;
    }
    const auto widthOf = [&document](const std::string& from, const std::string& to) {
        const std::string path = "//path[@data-from='" + from + "'][@data-to='" + to + "']";
        return document.select_node(path.c_str())
            .node()
            .parent()
            .attribute("stroke-width")
            .as_double();
    };
    EXPECT_GE(widthOf("thermostat.2", "compressor.R"),
              1.5 * widthOf("start-capacitor.B", "relay.1"));
    EXPECT_GT(widthOf("start-capacitor.B", "relay.1"), 0.0);
}

}  // namespace splitstart
