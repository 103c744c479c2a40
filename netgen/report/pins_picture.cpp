#include "report/pins_picture.h"

#include <fmt/format.h>

#include "report/drawing_text.h"
#include "report/number_text.h"
#include "report/part_symbols.h"

namespace splitstart
{

namespace
{

constexpr int width = 580;
constexpr int height = 250;
constexpr int radius = 34;

struct Spot {
    const char* role;
    const char* words;
    int x;
    int y;
};
constexpr Spot common{"C", "common", 290, 45};
constexpr Spot start{"S", "start", 140, 195};
constexpr Spot run{"R", "run", 440, 195};

void addWinding(pugi::xml_node svg, const Spot& from, const Spot& to, const std::string& words,
                bool isDashed)
{
    pugi::xml_node line = svg.append_child("path");
    line.append_attribute("d") = fmt::format("M{} {}L{} {}", from.x, from.y, to.x, to.y).c_str();
    line.append_attribute("stroke") = "#1a1a1a";
    line.append_attribute("stroke-width") = isDashed ? "1" : "3";
    if (isDashed) {
        line.append_attribute("stroke-dasharray") = "4 4";
    }
    const int x = (from.x + to.x) / 2;
    const int y = (from.y + to.y) / 2;
    const bool isLeft = x < width / 2;
    const bool isLevel = from.y == to.y;
    addText(svg,
            isLevel  ? x
            : isLeft ? x - 10
                     : x + 10,
            isLevel ? y - 8 : y, words,
            isLevel  ? "middle"
            : isLeft ? "end"
                     : "start");
}

void addPin(pugi::xml_node svg, const Spot& spot, const std::map<std::string, std::string>& pins)
{
    pugi::xml_node circle = svg.append_child("circle");
    circle.append_attribute("cx") = spot.x;
    circle.append_attribute("cy") = spot.y;
    circle.append_attribute("r") = radius;
    circle.append_attribute("fill") = "white";
    circle.append_attribute("stroke") = "#1a1a1a";
    circle.append_attribute("stroke-width") = "2";
    const auto own = pins.find(spot.role);
    pugi::xml_node role = addText(svg, spot.x, spot.y - 2, spot.role, "middle");
    role.append_attribute("font-weight") = "bold";
    role.append_attribute("font-size") = "20";
    addText(svg, spot.x, spot.y + fontSize, spot.words, "middle");
    if (own != pins.end()) {
        constexpr std::size_t longest = 14;
        addText(svg, spot.x, spot.y + radius + fontSize + 2,
                fmt::format("pin {}", drawnText(own->second, longest)), "middle")
            .append_attribute("font-weight") = "bold";
    }
}

}  // namespace

void addPinsPicture(pugi::xml_node parent, const std::map<std::string, std::string>& pins,
                    const std::optional<Identification>& identification)
{
    const bool isRead = identification && identification->pattern == ReadingPattern::complete;
    const auto ohms = [&](const char* winding, double resistance_ohm) {
        return isRead ? fmt::format("{} {}", winding, withUnit(resistance_ohm, "ohm"))
                      : std::string(winding);
    };
    const double start_ohm = isRead ? identification->start_ohm.value : 0;
    const double run_ohm = isRead ? identification->run_ohm.value : 0;
    pugi::xml_node svg = parent.append_child("svg");
    svg.append_attribute("xmlns") = "http://www.w3.org/2000/svg";
    svg.append_attribute("viewBox") = fmt::format("0 0 {} {}", width, height).c_str();
    svg.append_attribute("width") = width;
    svg.append_attribute("class") = "pins";
    svg.append_attribute("role") = "img";
    std::string words = "The three pins:";
    for (const Spot& spot : {common, start, run}) {
        const auto own = pins.find(spot.role);
        words += fmt::format(" {} ({}){}", spot.role, spot.words,
                             own == pins.end() ? "" : " is pin " + drawnText(own->second, 40));
        words += spot.role == run.role ? "." : ",";
    }
    svg.append_attribute("aria-label") = words.c_str();
    svg.append_attribute("font-family") = "Arial, Helvetica, sans-serif";
    svg.append_attribute("font-size") = fontSize;
    addWinding(svg, common, start, ohms("start winding", start_ohm), false);
    addWinding(svg, common, run, ohms("run winding", run_ohm), false);
    addWinding(svg, start, run, isRead ? withUnit(start_ohm + run_ohm, "ohm") : "both in series",
               true);
    for (const Spot& spot : {common, start, run}) {
        addPin(svg, spot, pins);
    }
}

}  // namespace splitstart
