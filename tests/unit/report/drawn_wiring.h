// A wiring drawing read back from its SVG, for tests of its geometry.
#pragma once

#include <algorithm>
#include <map>
#include <pugixml.hpp>
#include <regex>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

#include "case/text.h"

namespace splitstart
{

struct Point {
    double x = 0.0;
    double y = 0.0;

    friend auto operator<=>(const Point&, const Point&) = default;
};

struct Rectangle {
    double left = 0.0;
    double top = 0.0;
    double right = 0.0;
    double bottom = 0.0;

    [[nodiscard]] bool holds(const Rectangle& other) const
    {
        return other.left >= left && other.right <= right && other.top >= top &&
               other.bottom <= bottom;
    }
    // Edges belong to it.
    [[nodiscard]] bool meets(const Rectangle& other) const
    {
        return other.left <= right && other.right >= left && other.top <= bottom &&
               other.bottom >= top;
    }
};

inline Rectangle around(const Point& a, const Point& b)
{
    return {std::min(a.x, b.x), std::min(a.y, b.y), std::max(a.x, b.x), std::max(a.y, b.y)};
}

struct DrawnWire {
    std::string from;
    std::string to;
    std::vector<Point> corners;
};

struct DrawnText {
    std::string text;
    std::string part;  // whose box it is written in; empty: none
    double size = 0.0;
    Rectangle extent;  // taking a letter as 0.6 of its height wide
};

struct DrawnWiring {
    Rectangle page;
    std::map<std::string, Rectangle> boxes;  // by part id
    std::map<std::string, Point> dots;       // by terminal
    std::vector<Point> junctions;
    std::vector<DrawnWire> wires;
    std::vector<DrawnText> texts;
};

// M, H and V with absolute numbers, which is all that a wire has.
inline std::vector<Point> cornersOf(const std::string& data)
{
    static const std::regex whole(R"(M-?[\d.]+ -?[\d.]+([HV]-?[\d.]+)+)");
    static const std::regex part(R"(([MHV])(-?[\d.]+)(?: (-?[\d.]+))?)");
    if (!std::regex_match(data, whole)) {
        throw std::invalid_argument("no wire: " + data);
    }
    std::vector<Point> corners;
    for (auto each = std::sregex_iterator(data.begin(), data.end(), part);
         each != std::sregex_iterator(); ++each) {
        const double number = std::stod((*each)[2]);
        const std::string command = (*each)[1];
        if (command == "M") {
            corners.push_back({number, std::stod((*each)[3])});
        } else if (command == "H") {
            corners.push_back({number, corners.back().y});
        } else {
            corners.push_back({corners.back().x, number});
        }
    }
    return corners;
}

inline double fontSizeOf(pugi::xml_node node)
{
    while (node && !node.attribute("font-size")) {
        node = node.parent();
    }
    return node.attribute("font-size").as_double();
}

inline DrawnText drawnTextOf(const pugi::xml_node& node)
{
    constexpr double letterWidth_ratio = 0.6;
    DrawnText drawn;
    drawn.text = node.text().get();
    drawn.part = node.parent().child("rect").attribute("data-part").value();
    drawn.size = fontSizeOf(node);
    const double width =
        letterWidth_ratio * drawn.size * static_cast<double>(characterCount(drawn.text));
    const std::string anchor = node.attribute("text-anchor").value();
    const double before = anchor == "end" ? width : anchor == "middle" ? width / 2.0 : 0.0;
    const double left = node.attribute("x").as_double() - before;
    const double y = node.attribute("y").as_double();
    drawn.extent = {left, y - 0.75 * drawn.size, left + width, y + 0.2 * drawn.size};
    return drawn;
}

// Throws std::invalid_argument if it is no XML, or a wire is no row of level and upright lines.
inline DrawnWiring readDrawing(const std::string& svg)
{
    pugi::xml_document document;
    if (!document.load_string(svg.c_str())) {
        throw std::invalid_argument("no XML");
    }
    const pugi::xml_node root = document.child("svg");
    DrawnWiring drawn;
    std::istringstream viewBox(root.attribute("viewBox").value());
    viewBox >> drawn.page.left >> drawn.page.top >> drawn.page.right >> drawn.page.bottom;
    for (const pugi::xpath_node& each : root.select_nodes("//rect[@data-part]")) {
        const pugi::xml_node node = each.node();
        const double x = node.attribute("x").as_double();
        const double y = node.attribute("y").as_double();
        drawn.boxes[node.attribute("data-part").value()] = {
            x, y, x + node.attribute("width").as_double(),
            y + node.attribute("height").as_double()};
    }
    const auto center = [](const pugi::xml_node& node) {
        return Point{node.attribute("cx").as_double(), node.attribute("cy").as_double()};
    };
    for (const pugi::xpath_node& each : root.select_nodes("//circle[@data-terminal]")) {
        drawn.dots[each.node().attribute("data-terminal").value()] = center(each.node());
    }
    for (const pugi::xpath_node& each : root.select_nodes("//g[@class='junctions']/circle")) {
        drawn.junctions.push_back(center(each.node()));
    }
    for (const pugi::xpath_node& each : root.select_nodes("//path[@data-from]")) {
        const pugi::xml_node node = each.node();
        drawn.wires.push_back({node.attribute("data-from").value(),
                               node.attribute("data-to").value(),
                               cornersOf(node.attribute("d").value())});
    }
    for (const pugi::xpath_node& each : root.select_nodes("//text")) {
        drawn.texts.push_back(drawnTextOf(each.node()));
    }
    return drawn;
}

}  // namespace splitstart
