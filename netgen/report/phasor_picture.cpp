#include "report/phasor_picture.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <string_view>

#include "report/drawing_text.h"
#include "report/figure.h"
#include "report/number_text.h"
#include "report/part_symbols.h"

namespace splitstart
{

namespace
{

constexpr int size = 360;  // of the arrows' square
constexpr double centre = size / 2.0;
constexpr double longestArrow = 126;
constexpr int legendRows = 2;
constexpr int legendHeight = legendRows * lineHeight + 6;
constexpr double legendColumn = 190;
constexpr double head = 9;
constexpr int wavesWidth = 400;
constexpr double wavesLeft = 12;
constexpr double cycleWidth = 186;
constexpr int cyclesShown = 2;
constexpr std::size_t longestWords = 40;
constexpr const char* quiet = "#b0b0b0";

std::string place(double value)
{
    return fmt::format("{:.4f}", value);
}

// Enough for a curve.
std::string roughPlace(double value)
{
    return fmt::format("{:.4g}", std::round(value * 10) / 10);
}

double radians(double angle_deg)
{
    return angle_deg * std::numbers::pi / 180;
}

// Short, for the end of the arrow; the legend says the rest.
std::string symbolOf(const LessonPhasor& phasor)
{
    return phasor.name == "main_a"            ? "I run"
           : phasor.name == "auxiliary_a"     ? "I start"
           : phasor.name == "line_a"          ? "I line"
           : phasor.name == "line_v"          ? "V line"
           : phasor.name == "start_winding_v" ? "V S-C"
                                              : drawnText(phasor.words, longestWords);
}

Stroke strokeOf(std::string_view phasor)
{
    return phasor == "main_a"            ? Stroke::solid
           : phasor == "auxiliary_a"     ? Stroke::dashed
           : phasor == "line_a"          ? Stroke::dotted
           : phasor == "start_winding_v" ? Stroke::dashDotted
                                         : Stroke::thin;
}

pugi::xml_node addSvg(pugi::xml_node parent, int width, int height, const std::string& words)
{
    pugi::xml_node svg = parent.append_child("svg");
    svg.append_attribute("xmlns") = "http://www.w3.org/2000/svg";
    svg.append_attribute("viewBox") =
        fmt::format("0 {} {} {}", -legendHeight, width, height + legendHeight).c_str();
    svg.append_attribute("role") = "img";
    svg.append_attribute("aria-label") = drawnText(words, words.size()).c_str();
    svg.append_attribute("font-family") = "Arial, Helvetica, sans-serif";
    svg.append_attribute("font-size") = fontSize;
    svg.append_attribute("fill") = "#1a1a1a";
    return svg;
}

pugi::xml_node addLine(pugi::xml_node parent, double x1, double y1, double x2, double y2)
{
    pugi::xml_node line = parent.append_child("line");
    line.append_attribute("x1") = place(x1).c_str();
    line.append_attribute("y1") = place(y1).c_str();
    line.append_attribute("x2") = place(x2).c_str();
    line.append_attribute("y2") = place(y2).c_str();
    return line;
}

// Letters that can be read where a line crosses them.
void addHaloText(pugi::xml_node parent, double x, double y, const std::string& text,
                 const char* anchor)
{
    pugi::xml_node node = addText(parent, x, y, text, anchor);
    node.append_attribute("stroke") = "#ffffff";
    node.append_attribute("stroke-width") = 4;
    node.append_attribute("stroke-linejoin") = "round";
    node.append_attribute("paint-order") = "stroke";
}

// One entry above the picture, the `index`-th of them.
void addLegend(pugi::xml_node svg, int index, Stroke stroke, const std::string& words)
{
    constexpr double sample = 30;
    constexpr int columns = 2;
    const double x = 4 + (index % columns) * legendColumn;
    const int row = index / columns;
    const double y = (row + 1) * lineHeight - legendHeight;
    const double middle = y - 0.3 * fontSize;
    setStroke(addLine(svg, x, middle, x + sample, middle), stroke);
    addText(svg, x + sample + 5, y, words);
}

void addAxes(pugi::xml_node svg, double reach)
{
    for (const bool across : {true, false}) {
        addLine(svg, across ? centre - reach : centre, across ? centre : centre - reach,
                across ? centre + reach : centre, across ? centre : centre + reach)
            .append_attribute("stroke") = quiet;
    }
}

// The head of an arrow from the centre to there; too short an arrow has none.
void addHead(pugi::xml_node parent, double x, double y, Stroke stroke)
{
    const double length = std::hypot(x - centre, y - centre);
    if (length < head) {
        return;
    }
    const double alongX = (x - centre) / length;
    const double alongY = (y - centre) / length;
    pugi::xml_node path = parent.append_child("path");
    constexpr double slim = 0.4;
    path.append_attribute("d") =
        fmt::format("M{} {}L{} {}M{} {}L{} {}", place(x - head * (alongX - slim * alongY)),
                    place(y - head * (alongY + slim * alongX)), place(x), place(y),
                    place(x - head * (alongX + slim * alongY)),
                    place(y - head * (alongY - slim * alongX)), place(x), place(y))
            .c_str();
    path.append_attribute("fill") = "none";
    setStroke(path, stroke);
    path.remove_attribute("stroke-dasharray");
}

const LessonPhasor* find(const LessonPosition& position, std::string_view name)
{
    const auto found =
        std::find_if(position.phasors.begin(), position.phasors.end(),
                     [name](const LessonPhasor& phasor) { return phasor.name == name; });
    return found == position.phasors.end() || found->magnitude <= 0 ? nullptr : &*found;
}

// From the run current to the start current, and its degrees.
void addAngle(pugi::xml_node parent, const LessonPhasor& from, const LessonPhasor& to)
{
    constexpr double radius = 34;
    const double lead_deg = std::remainder(to.angle_deg - from.angle_deg, 360);
    const auto at = [](double angle_deg, double distance) {
        return std::pair(centre + distance * std::cos(radians(angle_deg)),
                         centre - distance * std::sin(radians(angle_deg)));
    };
    const auto [x1, y1] = at(from.angle_deg, radius);
    const auto [x2, y2] = at(to.angle_deg, radius);
    pugi::xml_node arc = parent.append_child("path");
    // Counter-clockwise on the page is sweep 0.
    arc.append_attribute("d") =
        fmt::format("M{} {}A{} {} 0 0 {} {} {}", place(x1), place(y1), radius, radius,
                    lead_deg > 0 ? 0 : 1, place(x2), place(y2))
            .c_str();
    arc.append_attribute("fill") = "none";
    arc.append_attribute("stroke") = "#1a1a1a";
    arc.append_attribute("data-lead-deg") = place(lead_deg).c_str();
    const auto [x, y] = at(from.angle_deg + 0.5 * lead_deg, radius + 16);
    addHaloText(parent, x, y + 0.35 * fontSize, fmt::format("{:.0f}°", lead_deg), "middle");
}

struct Label {
    double x;
    double y;
    std::string text;
    const char* anchor;
};

// Labels at the arrows' ends, moved apart where two would lie on each other.
std::vector<Label> labelsOf(const LessonPosition& position, const PhasorScales& scales)
{
    std::vector<Label> labels;
    for (const LessonPhasor& phasor : position.phasors) {
        const double length = phasor.magnitude * scales.at(phasor.unit);
        constexpr double leastVisible = 1;
        if (length < leastVisible) {
            continue;
        }
        const double across = std::cos(radians(phasor.angle_deg));
        const double up = std::sin(radians(phasor.angle_deg));
        constexpr double beyond = 8;
        constexpr double upright = 0.35;
        // An arrow too short to see still has a label, away from the others' middle.
        const double reach = std::max(length, 26.0) + beyond;
        labels.push_back({centre + reach * across, centre - reach * up + 0.35 * fontSize,
                          symbolOf(phasor),
                          across > upright    ? "start"
                          : across < -upright ? "end"
                                              : "middle"});
    }
    const auto left = [](const Label& label) {
        const double width = letterWidth_ratio * fontSize * static_cast<double>(label.text.size());
        const std::string_view anchor = label.anchor;
        return std::pair(label.x - (anchor == "end"      ? width
                                    : anchor == "middle" ? width / 2
                                                         : 0),
                         width);
    };
    for (Label& label : labels) {
        const auto [from, width] = left(label);
        constexpr double margin = 4;
        label.x += std::max(0.0, margin - from) - std::max(0.0, from + width - (size - margin));
    }
    std::sort(labels.begin(), labels.end(),
              [](const Label& a, const Label& b) { return a.y < b.y; });
    for (std::size_t i = 1; i < labels.size(); ++i) {
        for (std::size_t k = 0; k < i; ++k) {
            const auto [aFrom, aWidth] = left(labels[k]);
            const auto [bFrom, bWidth] = left(labels[i]);
            const bool meet = aFrom < bFrom + bWidth && bFrom < aFrom + aWidth;
            if (meet && labels[i].y - labels[k].y < lineHeight) {
                labels[i].y = labels[k].y + lineHeight;
            }
        }
    }
    return labels;
}

std::string wordsOf(const LessonPosition& position)
{
    std::string words = fmt::format("{}: ", position.label);
    for (const LessonPhasor& phasor : position.phasors) {
        words += fmt::format("{} {} at {:.0f} degrees; ", phasor.words,
                             withUnit(phasor.magnitude, phasor.unit), phasor.angle_deg);
    }
    return words;
}

}  // namespace

PhasorScales phasorScales(const std::vector<LessonPosition>& positions)
{
    PhasorScales largest;
    for (const LessonPosition& position : positions) {
        for (const LessonPhasor& phasor : position.phasors) {
            double& value = largest[phasor.unit];
            value = std::max(value, phasor.magnitude);
        }
    }
    for (auto& [unit, value] : largest) {
        value = value > 0 ? longestArrow / value : 0;
    }
    return largest;
}

pugi::xml_node addPhasors(pugi::xml_node parent, const LessonPosition& position,
                          const PhasorScales& scales)
{
    pugi::xml_node svg = addSvg(parent, size, size, "Phasors, " + wordsOf(position));
    svg.append_attribute("class") = "phasors";
    addAxes(svg, longestArrow + 10);
    pugi::xml_node group = svg.append_child("g");
    group.append_attribute("class") = "turning";
    group.append_attribute("data-centre") = place(centre).c_str();
    const LessonPhasor* main = find(position, "main_a");
    const LessonPhasor* start = find(position, "auxiliary_a");
    if (main != nullptr && start != nullptr) {
        addAngle(group, *main, *start);
    }
    for (const LessonPhasor& phasor : position.phasors) {
        const double scale = scales.at(phasor.unit);
        const double x = centre + scale * phasor.magnitude * std::cos(radians(phasor.angle_deg));
        const double y = centre - scale * phasor.magnitude * std::sin(radians(phasor.angle_deg));
        pugi::xml_node line = addLine(group, centre, centre, x, y);
        line.append_attribute("data-phasor") = phasor.name.c_str();
        line.append_attribute("data-unit") = phasor.unit.c_str();
        line.append_attribute("data-scale") = place(scale).c_str();
        line.append_attribute("data-rms") = fmt::format("{:.6g}", phasor.magnitude).c_str();
        setStroke(line, strokeOf(phasor.name));
        addHead(group, x, y, strokeOf(phasor.name));
    }
    for (const Label& label : labelsOf(position, scales)) {
        addHaloText(group, label.x, label.y, label.text, label.anchor);
    }
    int index = 0;
    for (const LessonPhasor& phasor : position.phasors) {
        addLegend(svg, index++, strokeOf(phasor.name),
                  fmt::format("{} {}", drawnText(phasor.words, longestWords),
                              withUnit(phasor.magnitude, phasor.unit)));
    }
    return svg;
}

pugi::xml_node addPhasorWaves(pugi::xml_node parent, const LessonPosition& position,
                              const PhasorScales& scales)
{
    pugi::xml_node svg =
        addSvg(parent, wavesWidth, size, "The same sines through two cycles of the line");
    svg.append_attribute("class") = "waves";
    const double right = wavesLeft + cyclesShown * cycleWidth;
    addLine(svg, wavesLeft, centre, right, centre).append_attribute("stroke") = quiet;
    addLine(svg, wavesLeft, centre - longestArrow, wavesLeft, centre + longestArrow)
        .append_attribute("stroke") = quiet;
    int index = 0;
    for (const LessonPhasor& phasor : position.phasors) {
        std::string data;
        constexpr int points = 40 * cyclesShown;
        for (int i = 0; i <= points; ++i) {
            const double cycles = static_cast<double>(cyclesShown) * i / points;
            const double height =
                scales.at(phasor.unit) * phasor.magnitude *
                std::sin(2 * std::numbers::pi * cycles + radians(phasor.angle_deg));
            data += fmt::format("{}{} {}", i == 0 ? "M" : "L",
                                roughPlace(wavesLeft + cycles * cycleWidth),
                                roughPlace(centre - height));
        }
        pugi::xml_node path = svg.append_child("path");
        path.append_attribute("d") = data.c_str();
        path.append_attribute("fill") = "none";
        setStroke(path, strokeOf(phasor.name));
        addLegend(svg, index++, strokeOf(phasor.name), drawnText(phasor.words, longestWords));
    }
    addText(svg, right, centre + longestArrow + 1.4 * lineHeight, "two cycles of the line", "end");
    pugi::xml_node cursor =
        addLine(svg, wavesLeft, centre - longestArrow - 6, wavesLeft, centre + longestArrow + 6);
    cursor.append_attribute("class") = "cursor";
    cursor.append_attribute("stroke") = "#1a1a1a";
    cursor.append_attribute("stroke-width") = 2;
    cursor.append_attribute("data-cycle") = cycleWidth;
    return svg;
}

pugi::xml_node addFields(pugi::xml_node parent, const LessonFields& fields, double largest)
{
    const double scale = largest > 0 ? (longestArrow + 35) / largest : 0;
    const double forward = scale * fields.forward;
    const double backward = scale * fields.backward;
    pugi::xml_node svg = addSvg(parent, size, size,
                                fmt::format("Two revolving fields: forward {}, backward {}; {}",
                                            withUnit(fields.forward, fields.unit),
                                            withUnit(fields.backward, fields.unit), fields.words));
    svg.append_attribute("class") = "fields";
    addAxes(svg, longestArrow + 40);
    pugi::xml_node path = svg.append_child("ellipse");
    path.append_attribute("cx") = centre;
    path.append_attribute("cy") = centre;
    path.append_attribute("rx") = place(forward + backward).c_str();
    path.append_attribute("ry") = place(std::abs(forward - backward)).c_str();
    path.append_attribute("fill") = "none";
    path.append_attribute("stroke") = "#707070";
    // Drawn a little apart, as an eighth of a turn after both pointed to the right.
    constexpr double eighth_deg = 45;
    for (const bool isForward : {true, false}) {
        const double length = isForward ? forward : backward;
        const double angle_deg = isForward ? eighth_deg : -eighth_deg;
        const Stroke stroke = isForward ? Stroke::solid : Stroke::dashed;
        pugi::xml_node group = svg.append_child("g");
        group.append_attribute("class") = isForward ? "turning-forward" : "turning-backward";
        group.append_attribute("data-centre") = place(centre).c_str();
        const double x = centre + length * std::cos(radians(angle_deg));
        const double y = centre - length * std::sin(radians(angle_deg));
        pugi::xml_node line = addLine(group, centre, centre, x, y);
        line.append_attribute("data-field") = isForward ? "forward" : "backward";
        line.append_attribute("data-scale") = place(scale).c_str();
        setStroke(line, stroke);
        addHead(group, x, y, stroke);
        addLegend(svg, isForward ? 0 : 1, stroke,
                  fmt::format("{} {}", isForward ? "forward" : "backward",
                              withUnit(isForward ? fields.forward : fields.backward, fields.unit)));
    }
    pugi::xml_node dot = svg.append_child("circle");
    dot.append_attribute("class") = "field-sum";
    dot.append_attribute("cx") =
        place(centre + (forward + backward) * std::cos(radians(eighth_deg))).c_str();
    dot.append_attribute("cy") =
        place(centre - (forward - backward) * std::sin(radians(eighth_deg))).c_str();
    dot.append_attribute("r") = 5;
    dot.append_attribute("data-centre") = place(centre).c_str();
    dot.append_attribute("data-forward") = place(forward).c_str();
    dot.append_attribute("data-backward") = place(backward).c_str();
    addText(svg, size - 6, size - 8, "dot: the two together", "end");
    return svg;
}

}  // namespace splitstart
