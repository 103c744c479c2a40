#include "report/wiring_drawing.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <pugixml.hpp>
#include <set>
#include <sstream>
#include <stdexcept>

#include "report/drawing_layout.h"
#include "report/part_symbols.h"
#include "report/wire_router.h"

namespace splitstart
{

namespace
{

constexpr int roomiest = 12;
constexpr int pageMargin = 30;
constexpr int titleSize = 20;
constexpr double boldLetterWidth_ratio = 0.66;
constexpr int titleLineHeight = 26;
constexpr std::size_t longestTitle = 100;
constexpr std::size_t longestDescription = 200;
constexpr std::string_view inventedWords = "invented demo data";

struct Routed {
    DrawingLayout layout;
    std::vector<GridPath> paths;  // in user units, in the order of the wires
};

// Text above or below the parts.
struct PageLine {
    std::string text;
    int size = fontSize;
    bool isBold = false;
};

std::size_t lettersAcross(int width, double letterWidth)
{
    return static_cast<std::size_t>(static_cast<double>(width - 2 * pageMargin) / letterWidth);
}

std::string circuitLine(const Circuit& circuit)
{
    const std::string variant =
        circuit.variant == "standard" || circuit.variant.empty() ? "" : ", " + circuit.variant;
    return drawnText(fmt::format("{}{}{}{}", circuit.type, variant,
                                 circuit.type.empty() || circuit.description.empty() ? "" : ": ",
                                 circuit.description),
                     longestDescription);
}

std::vector<PageLine> linesAbove(const Circuit& circuit, const DrawingText& text, int width)
{
    std::vector<PageLine> lines;
    for (const std::string& line :
         brokenIntoLines(drawnText(text.title, longestTitle),
                         lettersAcross(width, boldLetterWidth_ratio * titleSize))) {
        lines.push_back({line, titleSize, true});
    }
    if (text.invented) {
        lines.push_back({std::string(inventedWords), fontSize, true});
    }
    for (const std::string& line : brokenIntoLines(
             circuitLine(circuit), lettersAcross(width, letterWidth_ratio * fontSize))) {
        lines.push_back({line});
    }
    return lines;
}

std::vector<PageLine> linesBelow(const DrawingText& text, int width)
{
    std::string legend =
        "Thick lines: supply, main winding, fan. Thin lines: start circuit and capacitors. "
        "Wires are joined only where there is a dot. An open dot: no wire. "
        "Contacts are shown at rest.";
    if (!text.pins.empty()) {
        legend += " In brackets: the pins' own names.";
    }
    std::vector<PageLine> lines;
    for (const std::string& line :
         brokenIntoLines(legend, lettersAcross(width, letterWidth_ratio * fontSize))) {
        lines.push_back({line});
    }
    return lines;
}

int heightOf(const PageLine& line)
{
    return line.size == fontSize ? lineHeight + 2 : titleLineHeight;
}

int heightOf(const std::vector<PageLine>& lines)
{
    int height = 0;
    for (const PageLine& line : lines) {
        height += heightOf(line);
    }
    return height;
}

void moveDown(DrawingLayout& layout, int distance)
{
    for (PlacedPart& part : layout.parts) {
        part.top += distance;
        for (int& row : part.rows) {
            row += distance;
        }
    }
    layout.height += distance;
}

GridPoint onGrid(const GridPoint& point)
{
    return {point.x / gridStep, point.y / gridStep};
}

// The layout's wires as a task for the router; rows above `top` are for text.
RoutingTask taskFor(const Circuit& circuit, const DrawingLayout& layout, int top)
{
    RoutingTask task;
    task.columns = layout.width / gridStep + 1;
    task.rows = layout.height / gridStep + 1;
    task.boxes.push_back({0, 0, task.columns - 1, top / gridStep});
    const Nets nets(circuit);
    std::map<Terminal, std::size_t> indexOf;
    for (const PlacedPart& part : layout.parts) {
        const GridPoint upper = onGrid({part.left, part.top});
        const GridPoint lower = onGrid({part.left + part.width, part.top + part.height});
        task.boxes.push_back({upper.x, upper.y, lower.x, lower.y});
        for (const TerminalSpot& spot : part.face) {
            const Terminal terminal{part.part->id, std::string(spot.name)};
            indexOf[terminal] = task.terminals.size();
            task.terminals.push_back({onGrid(part.dotOf(spot.name)),
                                      spot.side == Side::left ? -1 : 1, nets.of(terminal)});
        }
    }
    for (const Wire& wire : circuit.wires) {
        task.wires.emplace_back(indexOf.at(wire.from), indexOf.at(wire.to));
    }
    return task;
}

// The tightest layout in which every wire finds its way.
Routed routed(const Circuit& circuit, const DrawingText& text)
{
    for (int roominess = 0; roominess <= roomiest; ++roominess) {
        DrawingLayout layout = arrangeParts(circuit, text, roominess);
        const int above = heightOf(linesAbove(circuit, text, layout.width));
        const int top = (pageMargin / 2 + above + gridStep - 1) / gridStep * gridStep;
        moveDown(layout, top);
        if (std::optional<std::vector<GridPath>> paths =
                routeWires(taskFor(circuit, layout, top))) {
            for (GridPath& path : *paths) {
                for (GridPoint& point : path) {
                    point = {point.x * gridStep, point.y * gridStep};
                }
            }
            return {std::move(layout), std::move(*paths)};
        }
    }
    throw std::runtime_error("the wires find no room in the drawing");
}

// Capacitors, start devices and the start winding; not what carries the main current.
bool isInStartCircuit(const Circuit& circuit, const Terminal& terminal)
{
    const PartKind kind = circuit.find(terminal.part)->kind;
    switch (kind) {
        case PartKind::compressor:
        case PartKind::capacitorFan:
        case PartKind::currentRelay:
            return terminal.name == "S";
        case PartKind::supply:
        case PartKind::contactor:
        case PartKind::thermostat:
        case PartKind::condenserFan:
        case PartKind::protector:
            return false;
        case PartKind::potentialRelay:
        case PartKind::startCapacitor:
        case PartKind::runCapacitor:
        case PartKind::ptc:
        case PartKind::timedSwitch:
        case PartKind::centrifugalSwitch:
        case PartKind::dualRunCapacitor:
        case PartKind::fanCapacitor:
            break;
    }
    return true;
}

// Points where lines of one net come from three sides or four, but no terminal's.
std::set<GridPoint> junctions(const Circuit& circuit, const Routed& drawing)
{
    const Nets nets(circuit);
    std::map<std::pair<std::size_t, GridPoint>, std::set<GridPoint>> neighbours;
    for (std::size_t wire = 0; wire < drawing.paths.size(); ++wire) {
        const GridPath& path = drawing.paths[wire];
        const std::size_t net = nets.of(circuit.wires[wire].from);
        for (std::size_t i = 1; i < path.size(); ++i) {
            neighbours[{net, path[i]}].insert(path[i - 1]);
            neighbours[{net, path[i - 1]}].insert(path[i]);
        }
    }
    std::set<GridPoint> points;
    for (const auto& [place, around] : neighbours) {
        if (around.size() > 2) {
            points.insert(place.second);
        }
    }
    return points;
}

std::string pathData(const GridPath& path)
{
    std::string data = fmt::format("M{} {}", path.front().x, path.front().y);
    for (std::size_t i = 1; i < path.size(); ++i) {
        const bool isLevel = path[i].y == path[i - 1].y;
        const bool goesOn = i + 1 < path.size() && (path[i + 1].y == path[i].y) == isLevel;
        if (!goesOn) {
            data += isLevel ? fmt::format("H{}", path[i].x) : fmt::format("V{}", path[i].y);
        }
    }
    return data;
}

class Page
{
public:
    Page(const Circuit& circuit, const DrawingText& text)
        : circuit_(circuit), text_(text), drawing_(routed(circuit, text))
    {
    }

    std::string document()
    {
        const int width = drawing_.layout.width;
        const std::vector<PageLine> below = linesBelow(text_, width);
        const int bottom = drawing_.layout.height;
        const int height = bottom + heightOf(below) + pageMargin / 2;
        pugi::xml_document document;
        svg_ = document.append_child("svg");
        svg_.append_attribute("xmlns") = "http://www.w3.org/2000/svg";
        svg_.append_attribute("viewBox") = fmt::format("0 0 {} {}", width, height).c_str();
        svg_.append_attribute("width") = width;
        svg_.append_attribute("height") = height;
        svg_.append_attribute("role") = "img";
        // Without ids, so that several drawings can stand in one page.
        svg_.append_attribute("aria-label") = spokenTitle().c_str();
        svg_.append_attribute("font-family") = "Arial, Helvetica, sans-serif";
        svg_.append_attribute("font-size") = fontSize;
        addDescription();
        pugi::xml_node paper = svg_.append_child("rect");
        paper.append_attribute("width") = width;
        paper.append_attribute("height") = height;
        paper.append_attribute("fill") = "white";
        addLines(linesAbove(circuit_, text_, width), pageMargin / 2);
        addWires();
        addParts();
        addLines(below, bottom);
        std::ostringstream stream;
        document.save(stream, "  ", pugi::format_default, pugi::encoding_utf8);
        return stream.str();
    }

private:
    [[nodiscard]] std::string spokenTitle() const
    {
        const std::string title = drawnText(text_.title, text_.title.size());
        return (title.empty() ? std::string("wiring") : "wiring: " + title) +
               (text_.invented ? fmt::format(" ({})", inventedWords) : "");
    }

    void addDescription()
    {
        const auto add = [this](const char* element, const std::string& words) {
            svg_.append_child(element).append_child(pugi::node_pcdata).set_value(words.c_str());
        };
        add("title", spokenTitle());
        std::string words = circuitLine(circuit_) + ". Wires:";
        for (const Wire& wire : circuit_.wires) {
            words += fmt::format("{} {} to {}", &wire == &circuit_.wires.front() ? "" : ",",
                                 cleanText(wire.from), cleanText(wire.to));
        }
        add("desc", words + (circuit_.wires.empty() ? " none." : "."));
    }

    void addLines(const std::vector<PageLine>& lines, int y)
    {
        for (const PageLine& line : lines) {
            y += heightOf(line);
            pugi::xml_node node = addText(svg_, pageMargin, y - 4, line.text);
            if (line.size != fontSize) {
                node.append_attribute("font-size") = line.size;
            }
            if (line.isBold) {
                node.append_attribute("font-weight") = "bold";
            }
        }
    }

    static std::string cleanText(const Terminal& terminal)
    {
        const std::string text = terminalText(terminal);
        return drawnText(text, text.size());
    }

    // Thin wires first: where they share a line with a thick one, the line is thick.
    void addWires()
    {
        pugi::xml_node thin = addWireGroup("start-circuit", "2");
        pugi::xml_node thick = addWireGroup("main-circuit", "4");
        for (std::size_t i = 0; i < circuit_.wires.size(); ++i) {
            const Wire& wire = circuit_.wires[i];
            const bool isThin =
                isInStartCircuit(circuit_, wire.from) || isInStartCircuit(circuit_, wire.to);
            pugi::xml_node path = (isThin ? thin : thick).append_child("path");
            path.append_attribute("d") = pathData(drawing_.paths[i]).c_str();
            path.append_attribute("data-from") = cleanText(wire.from).c_str();
            path.append_attribute("data-to") = cleanText(wire.to).c_str();
        }
        pugi::xml_node dots = svg_.append_child("g");
        dots.append_attribute("class") = "junctions";
        for (const GridPoint& point : junctions(circuit_, drawing_)) {
            addDot(dots, point);
        }
    }

    pugi::xml_node addWireGroup(const char* name, const char* strokeWidth)
    {
        pugi::xml_node group = svg_.append_child("g");
        group.append_attribute("class") = name;
        group.append_attribute("fill") = "none";
        group.append_attribute("stroke") = "black";
        group.append_attribute("stroke-width") = strokeWidth;
        group.append_attribute("stroke-linejoin") = "round";
        return group;
    }

    void addParts()
    {
        std::set<std::string> wired;
        for (const Wire& wire : circuit_.wires) {
            wired.insert(terminalText(wire.from));
            wired.insert(terminalText(wire.to));
        }
        pugi::xml_node group = svg_.append_child("g");
        group.append_attribute("class") = "parts";
        for (const PlacedPart& part : drawing_.layout.parts) {
            addPart(group, part, text_, wired);
        }
    }

    const Circuit& circuit_;
    const DrawingText& text_;
    Routed drawing_;
    pugi::xml_node svg_;
};

}  // namespace

std::string wiringDrawing(const Circuit& circuit, const DrawingText& text)
{
    std::set<std::string> ids;
    for (const CircuitPart& part : circuit.parts) {
        if (!ids.insert(part.id).second) {
            throw std::invalid_argument("two parts named " + part.id);
        }
    }
    return Page(circuit, text).document();
}

}  // namespace splitstart
