// Wires on squared paper: from terminal to terminal along the lines, around the parts. Internal to
// the wiring drawing.
#pragma once

#include <compare>
#include <cstddef>
#include <optional>
#include <utility>
#include <vector>

namespace splitstart
{

struct GridPoint {
    int x = 0;
    int y = 0;

    friend auto operator<=>(const GridPoint&, const GridPoint&) = default;
};

// Points on its edges belong to it.
struct GridBox {
    int left = 0;
    int top = 0;
    int right = 0;
    int bottom = 0;
};

struct RoutingTerminal {
    GridPoint at;     // on the left or right edge of a box
    int outward = 1;  // where its lead goes: 1 right, -1 left
    std::size_t net = 0;
};

struct RoutingTask {
    int columns = 0;  // points are 0 to columns - 1 across and 0 to rows - 1 down
    int rows = 0;
    std::vector<GridBox> boxes;
    std::vector<RoutingTerminal> terminals;
    std::vector<std::pair<std::size_t, std::size_t>> wires;  // indices of terminals of one net
};

// From terminal to terminal, each point a step from the one before.
using GridPath = std::vector<GridPoint>;

// A path for each wire, in the order of the wires. Paths enter no box but at their ends. Paths of
// different nets share no step and no point but where one crosses the other straight; those of one
// net share as much as they can. Empty if there is no room.
std::optional<std::vector<GridPath>> routeWires(const RoutingTask& task);

}  // namespace splitstart
