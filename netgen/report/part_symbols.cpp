#include "report/part_symbols.h"

#include <fmt/format.h>

#include <algorithm>

namespace splitstart
{

namespace
{

constexpr int dotRadius = 5;
constexpr int halfSymbol = 20;  // from the middle of a symbol to where its leads begin
constexpr std::size_t longestPinName = 5;

pugi::xml_node addPath(pugi::xml_node parent, const std::string& data)
{
    pugi::xml_node path = parent.append_child("path");
    path.append_attribute("d") = data.c_str();
    return path;
}

// A symbol lies along x from -20 to 20.
const char* pathOf(Symbol symbol)
{
    switch (symbol) {
        case Symbol::coil:
            return "M-20 0a5 5 0 0 1 10 0a5 5 0 0 1 10 0a5 5 0 0 1 10 0a5 5 0 0 1 10 0";
        case Symbol::closedContact:
            return "M-20 0H-10L13 -6M20 0H9V-9";
        case Symbol::openContact:
            return "M-20 0H-10L8 -11M20 0H10";
        case Symbol::capacitor:
            return "M-20 0H-4M-4 -11V11M4 -11V11M4 0H20";
        case Symbol::ptc:
            return "M-20 0H-15M15 0H20M-15 -7H15V7H-15ZM-17 12H-10L12 -12";
        case Symbol::motor:
            return "M-20 0H-14M14 0H20M-14 0a14 14 0 0 1 28 0a14 14 0 0 1 -28 0";
        case Symbol::timer:
            return "M-20 -9H20V9H-20Z";
        case Symbol::source:
            break;
    }
    return "M-20 0H-14M14 0H20M-14 0a14 14 0 0 1 28 0a14 14 0 0 1 -28 0M0 -8q8 4 0 8q-8 4 0 8";
}

const char* letterOf(Symbol symbol)
{
    return symbol == Symbol::motor ? "M" : symbol == Symbol::timer ? "t" : "";
}

// Draws the inside of one part.
class InsideDrawing
{
public:
    InsideDrawing(pugi::xml_node parent, const PlacedPart& part)
        : part_(part), parent_(parent), lines_(parent.append_child("g"))
    {
        lines_.append_attribute("fill") = "none";
        lines_.append_attribute("stroke") = "black";
        lines_.append_attribute("stroke-width") = "1.5";
    }

    void draw()
    {
        if (part_.part->kind == PartKind::compressor) {
            drawWindings();
        }
        for (const Inside& inside : insideOf(part_.part->kind)) {
            drawBetween(inside);
        }
        if (part_.part->kind == PartKind::capacitorFan) {
            const GridPoint start = part_.dotOf("S");
            line(fmt::format("M{} {}H{}V{}", start.x, start.y, middle(), part_.rows.front() + 14));
        }
        if (part_.part->kind == PartKind::contactor) {
            // Both poles move together.
            line(fmt::format("M{} {}V{}", middle(), part_.rows.front() - 5, part_.rows.back() - 5))
                .append_attribute("stroke-dasharray") = "4 4";
        }
    }

private:
    [[nodiscard]] int middle() const { return part_.left + part_.width / 2; }

    // From the side of the box to where a lead branches off, beside a symbol in the middle.
    [[nodiscard]] int branch() const { return part_.width / 2 - 29; }

    [[nodiscard]] int inFrom(Side side, int distance) const
    {
        return side == Side::left ? part_.left + distance : part_.left + part_.width - distance;
    }

    pugi::xml_node line(const std::string& data) { return addPath(lines_, data); }

    void symbolAt(Symbol symbol, const GridPoint& at, bool isUpright)
    {
        line(pathOf(symbol)).append_attribute("transform") =
            fmt::format("translate({} {}){}", at.x, at.y, isUpright ? " rotate(90)" : "").c_str();
        const std::string letter = letterOf(symbol);
        if (!letter.empty()) {
            addText(parent_, at.x, at.y + 5, letter, "middle");
        }
    }

    void drawLevel(Symbol symbol, int from, int to, int y)
    {
        const int sign = from < to ? 1 : -1;
        line(fmt::format("M{} {}H{}M{} {}H{}", from, y, middle() - sign * halfSymbol,
                         middle() + sign * halfSymbol, y, to));
        symbolAt(symbol, {middle(), y}, false);
    }

    void drawUpright(Symbol symbol, int x, int from, int to)
    {
        const int center = (from + to) / 2;
        const int sign = from < to ? 1 : -1;
        line(fmt::format("M{} {}V{}M{} {}V{}", x, from, center - sign * halfSymbol, x,
                         center + sign * halfSymbol, to));
        symbolAt(symbol, {x, center}, true);
    }

    [[nodiscard]] bool isLevel(const Inside& inside) const
    {
        const TerminalSpot& from = spotOf(part_.face, inside.from);
        const TerminalSpot& to = spotOf(part_.face, inside.to);
        return from.side != to.side && from.row == to.row;
    }

    void dotIfShared(std::string_view terminal, const GridPoint& at)
    {
        const std::vector<Inside>& all = insideOf(part_.part->kind);
        const auto uses = std::count_if(all.begin(), all.end(), [&](const Inside& each) {
            return each.from == terminal || each.to == terminal;
        });
        if (uses > 1) {
            addDot(parent_, at).attribute("r") = 3;
        }
    }

    void drawBetween(const Inside& inside)
    {
        const std::vector<Inside>& all = insideOf(part_.part->kind);
        const bool isMiddleTaken = std::any_of(
            all.begin(), all.end(), [this](const Inside& each) { return isLevel(each); });
        const Side fromSide = spotOf(part_.face, inside.from).side;
        const Side toSide = spotOf(part_.face, inside.to).side;
        const GridPoint from = part_.dotOf(inside.from);
        const GridPoint to = part_.dotOf(inside.to);
        if (isLevel(inside)) {
            drawLevel(inside.symbol, from.x, to.x, from.y);
        } else if (fromSide != toSide && isMiddleTaken) {
            const int x = inFrom(fromSide, branch());
            line(fmt::format("M{} {}H{}V{}", from.x, from.y, x, to.y));
            drawLevel(inside.symbol, x, to.x, to.y);
            dotIfShared(inside.from, {x, from.y});
        } else {
            const int x = isMiddleTaken ? inFrom(fromSide, branch()) : middle();
            line(fmt::format("M{} {}H{}M{} {}H{}", from.x, from.y, x, to.x, to.y, x));
            drawUpright(inside.symbol, x, from.y, to.y);
            dotIfShared(inside.from, {x, from.y});
            dotIfShared(inside.to, {x, to.y});
        }
    }

    // Run winding from R, start winding from S; both end at C.
    void drawWindings()
    {
        const GridPoint run = part_.dotOf("R");
        const GridPoint start = part_.dotOf("S");
        const GridPoint common = part_.dotOf("C");
        const int runX = part_.left + part_.width - 24;
        const int startX = runX - 36;
        const int runMiddle = (run.y + start.y) / 2;
        const int startMiddle = (start.y + common.y) / 2;
        line(fmt::format("M{} {}H{}V{}M{} {}V{}H{}", run.x, run.y, runX, runMiddle - halfSymbol,
                         runX, runMiddle + halfSymbol, common.y, common.x));
        line(fmt::format("M{} {}H{}V{}M{} {}V{}", start.x, start.y, startX,
                         startMiddle - halfSymbol, startX, startMiddle + halfSymbol, common.y));
        symbolAt(Symbol::coil, {runX, runMiddle}, true);
        symbolAt(Symbol::coil, {startX, startMiddle}, true);
        addDot(parent_, {startX, common.y}).attribute("r") = 3;
        addText(parent_, runX - 8, runMiddle + 5, "run", "end");
        addText(parent_, startX - 8, startMiddle + 5, "start", "end");
    }

    const PlacedPart& part_;
    pugi::xml_node parent_;
    pugi::xml_node lines_;
};

std::string labelOf(const PlacedPart& part, std::string_view terminal, const DrawingText& text)
{
    std::string name(terminal);
    const auto own = text.pins.find(name);
    if (part.part->kind != PartKind::compressor || own == text.pins.end()) {
        return name;
    }
    const std::string shown = drawnText(own->second, longestPinName);
    return shown.empty() ? name : fmt::format("{} ({})", name, shown);
}

}  // namespace

pugi::xml_node addText(pugi::xml_node parent, double x, double y, const std::string& text,
                       const char* anchor)
{
    pugi::xml_node node = parent.append_child("text");
    node.append_attribute("x") = fmt::format("{}", x).c_str();
    node.append_attribute("y") = fmt::format("{}", y).c_str();
    node.append_attribute("text-anchor") = anchor;
    node.append_child(pugi::node_pcdata).set_value(text.c_str());
    return node;
}

pugi::xml_node addDot(pugi::xml_node parent, const GridPoint& at)
{
    pugi::xml_node dot = parent.append_child("circle");
    dot.append_attribute("cx") = at.x;
    dot.append_attribute("cy") = at.y;
    dot.append_attribute("r") = dotRadius;
    return dot;
}

void addPart(pugi::xml_node parent, const PlacedPart& part, const DrawingText& text,
             const std::set<std::string>& wired)
{
    const std::string id = drawnText(part.part->id, part.part->id.size());
    pugi::xml_node group = parent.append_child("g");
    pugi::xml_node box = group.append_child("rect");
    box.append_attribute("data-part") = id.c_str();
    box.append_attribute("x") = part.left;
    box.append_attribute("y") = part.top;
    box.append_attribute("width") = part.width;
    box.append_attribute("height") = part.height;
    box.append_attribute("fill") = "white";
    box.append_attribute("stroke") = "black";
    box.append_attribute("stroke-width") = "1";
    InsideDrawing(group, part).draw();
    int y = part.top + 4;
    for (const HeadingLine& line : part.heading) {
        y += lineHeight;
        pugi::xml_node node = addText(group, part.left + part.width / 2.0, y, line.text, "middle");
        if (line.isBold) {
            node.append_attribute("font-weight") = "bold";
        }
    }
    for (const TerminalSpot& spot : part.face) {
        const GridPoint at = part.dotOf(spot.name);
        const std::string terminal = terminalText({part.part->id, std::string(spot.name)});
        pugi::xml_node dot = addDot(group, at);
        dot.append_attribute("data-terminal") = drawnText(terminal, terminal.size()).c_str();
        if (!wired.contains(terminal)) {
            dot.append_attribute("fill") = "white";
            dot.append_attribute("stroke") = "black";
            dot.append_attribute("stroke-width") = "1.5";
        }
        const bool isLeft = spot.side == Side::left;
        addText(group, at.x + (isLeft ? 7 : -7), at.y - 5, labelOf(part, spot.name, text),
                isLeft ? "start" : "end");
    }
}

}  // namespace splitstart
