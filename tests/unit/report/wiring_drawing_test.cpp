// Wiring drawings as a reader sees them: the wires of the list and no others, from dot to dot, none
// through a part or along another, and letters that stand clear.
#include "report/wiring_drawing.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <set>
#include <string>
#include <vector>

#include "unit/circuit/circuit_fixture.h"
#include "unit/report/drawn_circuits.h"
#include "unit/report/drawn_wiring.h"

namespace splitstart
{

namespace
{

std::vector<NamedCircuit> allDrawn()
{
    std::vector<NamedCircuit> all = standardVariants();
    for (NamedCircuit& each : miswired()) {
        all.push_back(std::move(each));
    }
    return all;
}

struct Drawing {
    std::string name;
    Circuit circuit;
    DrawnWiring drawn;
};

const std::vector<Drawing>& drawings()
{
    static const std::vector<Drawing> all = [] {
        std::vector<Drawing> made;
        for (NamedCircuit& each : allDrawn()) {
            DrawnWiring drawn = readDrawing(wiringDrawing(each.circuit, usualText(each.circuit)));
            made.push_back({std::move(each.name), std::move(each.circuit), std::move(drawn)});
        }
        return made;
    }();
    return all;
}

struct Segment {
    Point from;
    Point to;
    std::size_t net = 0;
    const DrawnWire* wire = nullptr;

    [[nodiscard]] Rectangle extent() const { return around(from, to); }
    [[nodiscard]] bool isLevel() const { return from.y == to.y; }
    [[nodiscard]] bool endsAt(const Point& point) const { return from == point || to == point; }
};

std::vector<Segment> segmentsOf(const Drawing& drawing)
{
    const Nets nets(drawing.circuit);
    std::vector<Segment> segments;
    for (const DrawnWire& wire : drawing.drawn.wires) {
        const std::size_t net = nets.of(terminalOf(wire.from));
        for (std::size_t i = 1; i < wire.corners.size(); ++i) {
            segments.push_back({wire.corners[i - 1], wire.corners[i], net, &wire});
        }
    }
    return segments;
}

// What of that rectangle both have; only to be asked if they meet.
Rectangle common(const Rectangle& a, const Rectangle& b)
{
    return {std::max(a.left, b.left), std::max(a.top, b.top), std::min(a.right, b.right),
            std::min(a.bottom, b.bottom)};
}

}  // namespace

TEST(WiringDrawing, HasTheWiresOfTheListAndNoOthers)
{
    for (const Drawing& each : drawings()) {
        std::multiset<std::pair<std::string, std::string>> listed;
        for (const Wire& wire : each.circuit.wires) {
            listed.emplace(terminalText(wire.from), terminalText(wire.to));
        }
        std::multiset<std::pair<std::string, std::string>> drawn;
        for (const DrawnWire& wire : each.drawn.wires) {
            drawn.emplace(wire.from, wire.to);
        }
        EXPECT_EQ(drawn, listed) << each.name;
    }
}

TEST(WiringDrawing, HasEveryPartAndTerminalOnTheEdgeOfItsBox)
{
    for (const Drawing& each : drawings()) {
        EXPECT_EQ(each.drawn.boxes.size(), each.circuit.parts.size()) << each.name;
        EXPECT_EQ(each.drawn.dots.size(), terminalsOf(each.circuit).size()) << each.name;
        for (const auto& [terminal, dot] : each.drawn.dots) {
            const Rectangle& box = each.drawn.boxes.at(terminalOf(terminal).part);
            EXPECT_TRUE(dot.x == box.left || dot.x == box.right) << each.name << ": " << terminal;
            EXPECT_TRUE(dot.y > box.top && dot.y < box.bottom) << each.name << ": " << terminal;
        }
    }
}

TEST(WiringDrawing, LeadsEachWireFromDotToDot)
{
    for (const Drawing& each : drawings()) {
        for (const DrawnWire& wire : each.drawn.wires) {
            EXPECT_EQ(wire.corners.front(), each.drawn.dots.at(wire.from)) << each.name;
            EXPECT_EQ(wire.corners.back(), each.drawn.dots.at(wire.to)) << each.name;
        }
    }
}

TEST(WiringDrawing, LeadsNoWireThroughAPart)
{
    for (const Drawing& each : drawings()) {
        for (const Segment& segment : segmentsOf(each)) {
            for (const auto& [part, box] : each.drawn.boxes) {
                if (!segment.extent().meets(box)) {
                    continue;
                }
                const Rectangle met = common(segment.extent(), box);
                const Point point{met.left, met.top};
                EXPECT_TRUE(met.left == met.right && met.top == met.bottom &&
                            (point == segment.wire->corners.front() ||
                             point == segment.wire->corners.back()))
                    << each.name << ": " << segment.wire->from << " to " << segment.wire->to
                    << " through " << part;
            }
        }
    }
}

// Wires that are not connected may cross straight, and touch nowhere else.
TEST(WiringDrawing, LetsWiresOfDifferentNetsOnlyCross)
{
    for (const Drawing& each : drawings()) {
        const std::vector<Segment> segments = segmentsOf(each);
        for (const Segment& a : segments) {
            for (const Segment& b : segments) {
                if (a.net >= b.net || !a.extent().meets(b.extent())) {
                    continue;
                }
                const Rectangle met = common(a.extent(), b.extent());
                const Point point{met.left, met.top};
                EXPECT_TRUE(a.isLevel() != b.isLevel() && !a.endsAt(point) && !b.endsAt(point))
                    << each.name << ": " << a.wire->from << " to " << a.wire->to << " and "
                    << b.wire->from << " to " << b.wire->to << " at " << point.x << ", " << point.y;
            }
        }
    }
}

namespace
{

// The connections that somebody finds who knows the lines and dots alone.
class SeenConnections
{
public:
    explicit SeenConnections(const DrawnWiring& drawn)
    {
        std::set<Point> dots(drawn.junctions.begin(), drawn.junctions.end());
        for (const auto& [terminal, dot] : drawn.dots) {
            dots.insert(dot);
        }
        std::map<Point, std::set<Point>> neighbours;
        for (const DrawnWire& wire : drawn.wires) {
            for (std::size_t i = 1; i < wire.corners.size(); ++i) {
                addLine(wire.corners[i - 1], wire.corners[i], neighbours);
            }
        }
        for (const auto& [point, around] : neighbours) {
            const bool isDot = dots.contains(point);
            if (around.size() == 3 && !isDot) {
                unclear_.push_back(point);
            }
            if (isDot || around.size() < 4) {
                join({point, true}, {point, false});
            }
        }
        for (const Point& junction : drawn.junctions) {
            if (neighbours[junction].size() < 3) {
                unclear_.push_back(junction);
            }
        }
    }

    [[nodiscard]] bool areJoined(const Point& a, const Point& b)
    {
        return leaderOf({a, true}) == leaderOf({b, true});
    }

    // Where lines meet without a dot, or a dot is where none meet.
    [[nodiscard]] const std::vector<Point>& unclear() const { return unclear_; }

private:
    using Place = std::pair<Point, bool>;  // a point, on the level line or on the upright one

    void addLine(const Point& from, const Point& to, std::map<Point, std::set<Point>>& neighbours)
    {
        constexpr double step = 10.0;
        const bool isLevel = from.y == to.y;
        const Rectangle line = around(from, to);
        Point last{line.left, line.top};
        while (last != Point{line.right, line.bottom}) {
            const Point next =
                isLevel ? Point{last.x + step, last.y} : Point{last.x, last.y + step};
            ASSERT_TRUE(next.x <= line.right && next.y <= line.bottom);
            join({last, isLevel}, {next, isLevel});
            neighbours[last].insert(next);
            neighbours[next].insert(last);
            last = next;
        }
    }

    Place leaderOf(const Place& place)
    {
        const auto found = leader_.find(place);
        return found == leader_.end() ? place : leaderOf(found->second);
    }

    void join(const Place& a, const Place& b)
    {
        const Place first = leaderOf(a);
        const Place second = leaderOf(b);
        if (first != second) {
            leader_[first] = second;
        }
    }

    std::map<Place, Place> leader_;
    std::vector<Point> unclear_;
};

}  // namespace

TEST(WiringDrawing, ShowsTheNetsOfTheListToWhoeverFollowsLinesAndDots)
{
    for (const Drawing& each : drawings()) {
        SeenConnections seen(each.drawn);
        EXPECT_TRUE(seen.unclear().empty())
            << each.name << " at " << seen.unclear().front().x << ", " << seen.unclear().front().y;
        const Nets nets(each.circuit);
        for (const auto& [a, dotOfA] : each.drawn.dots) {
            for (const auto& [b, dotOfB] : each.drawn.dots) {
                EXPECT_EQ(seen.areJoined(dotOfA, dotOfB),
                          nets.of(terminalOf(a)) == nets.of(terminalOf(b)))
                    << each.name << ": " << a << " and " << b;
            }
        }
    }
}

TEST(WiringDrawing, KeepsPartsApart)
{
    for (const Drawing& each : drawings()) {
        for (const auto& [a, boxOfA] : each.drawn.boxes) {
            for (const auto& [b, boxOfB] : each.drawn.boxes) {
                EXPECT_TRUE(a == b || !boxOfA.meets(boxOfB)) << each.name << ": " << a << ", " << b;
            }
        }
    }
}

TEST(WiringDrawing, KeepsEachTextInItsPlace)
{
    for (const Drawing& each : drawings()) {
        const std::vector<DrawnText>& texts = each.drawn.texts;
        for (const DrawnText& text : texts) {
            for (const auto& [part, box] : each.drawn.boxes) {
                EXPECT_TRUE(text.part == part ? box.holds(text.extent) : !box.meets(text.extent))
                    << each.name << ": " << text.text << ", " << part;
            }
            for (const DrawnText& other : texts) {
                EXPECT_TRUE(&text == &other || !text.extent.meets(other.extent))
                    << each.name << ": " << text.text << ", " << other.text;
            }
            for (const Segment& segment : segmentsOf(each)) {
                EXPECT_FALSE(segment.extent().meets(text.extent)) << each.name << ": " << text.text;
            }
        }
    }
}

TEST(WiringDrawing, StaysOnThePage)
{
    for (const Drawing& each : drawings()) {
        const Rectangle& page = each.drawn.page;
        for (const auto& [part, box] : each.drawn.boxes) {
            EXPECT_TRUE(page.holds(box)) << each.name << ": " << part;
        }
        for (const DrawnText& text : each.drawn.texts) {
            EXPECT_TRUE(page.holds(text.extent)) << each.name << ": " << text.text;
        }
        for (const Segment& segment : segmentsOf(each)) {
            EXPECT_TRUE(page.holds(segment.extent())) << each.name;
        }
    }
}

TEST(WiringDrawing, IsTheSameEachTime)
{
    for (const NamedCircuit& each : miswired()) {
        const DrawingText text = usualText(each.circuit);
        EXPECT_EQ(wiringDrawing(each.circuit, text), wiringDrawing(each.circuit, text));
    }
}

TEST(WiringDrawing, RefusesWhatIsNoCircuit)
{
    const Circuit sound = standardCircuit("psc");
    EXPECT_THROW(wiringDrawing(withWire(sound, "compressor.C", "nobody.1"), {}), std::out_of_range);
    EXPECT_THROW(wiringDrawing(withWire(sound, "compressor.X", "fan.A"), {}), std::out_of_range);
    Circuit twice = sound;
    twice.parts.push_back(twice.parts.front());
    EXPECT_THROW(wiringDrawing(twice, {}), std::invalid_argument);
    EXPECT_NO_THROW(wiringDrawing(Circuit(), {}));
}

}  // namespace splitstart
