#include "report/wire_router.h"

#include <algorithm>
#include <array>
#include <cstdlib>
#include <limits>
#include <numeric>
#include <queue>

namespace splitstart
{

namespace
{

// What makes a drawing hard to read, in tenths of a step.
constexpr int stepCost = 10;
constexpr int sharedStepCost = 1;
constexpr int bendCost = 30;
constexpr int sharedBendCost = 5;
constexpr int crossingCost = 40;
constexpr int besideWireCost = 12;
constexpr int besideBoxCost = 8;

constexpr int nobody = -1;
constexpr int improvingRounds = 3;
constexpr int mostAttempts = 8;
// Steps in front of a terminal along which no other net may run or turn.
constexpr int leadSteps = 2;

enum Axis { across = 0, down = 1 };

Axis otherAxis(Axis axis)
{
    return axis == across ? down : across;
}

class Router
{
public:
    explicit Router(const RoutingTask& task) : task_(task), paths_(task.wires.size())
    {
        closed_.assign(static_cast<std::size_t>(task.columns) * static_cast<std::size_t>(task.rows),
                       false);
        for (const GridBox& box : task.boxes) {
            for (int y = box.top; y <= box.bottom; ++y) {
                for (int x = box.left; x <= box.right; ++x) {
                    closed_[indexOf({x, y})] = true;
                }
            }
        }
        std::size_t nets = 0;
        for (const RoutingTerminal& terminal : task.terminals) {
            nets = std::max(nets, terminal.net + 1);
        }
        wiresOf_.resize(nets);
        for (std::size_t wire = 0; wire < task.wires.size(); ++wire) {
            wiresOf_[netOf(wire)].push_back(wire);
        }
        for (std::vector<std::size_t>& wires : wiresOf_) {
            std::stable_sort(wires.begin(), wires.end(), [this](std::size_t a, std::size_t b) {
                return distance(a) < distance(b);
            });
        }
    }

    std::optional<std::vector<GridPath>> route()
    {
        std::vector<std::size_t> order(wiresOf_.size());
        std::iota(order.begin(), order.end(), std::size_t{0});
        // A net that found no room comes first in the next attempt. Where a few attempts fail, a
        // wider page helps more than others.
        for (int attempt = 0; attempt < mostAttempts; ++attempt) {
            const std::optional<std::size_t> stuck = routeInOrder(order);
            if (!stuck) {
                improve(order);
                return paths_;
            }
            const auto at = std::find(order.begin(), order.end(), *stuck);
            std::rotate(order.begin(), at, at + 1);
        }
        return std::nullopt;
    }

private:
    [[nodiscard]] std::size_t indexOf(const GridPoint& point) const
    {
        return static_cast<std::size_t>(point.y) * static_cast<std::size_t>(task_.columns) +
               static_cast<std::size_t>(point.x);
    }
    [[nodiscard]] std::size_t netOf(std::size_t wire) const
    {
        return task_.terminals[task_.wires[wire].first].net;
    }
    [[nodiscard]] int distance(std::size_t wire) const
    {
        const GridPoint a = task_.terminals[task_.wires[wire].first].at;
        const GridPoint b = task_.terminals[task_.wires[wire].second].at;
        return std::abs(a.x - b.x) + std::abs(a.y - b.y);
    }
    [[nodiscard]] bool isInside(const GridPoint& point) const
    {
        return point.x >= 0 && point.y >= 0 && point.x < task_.columns && point.y < task_.rows;
    }

    // The net that first found no room, or nothing.
    std::optional<std::size_t> routeInOrder(const std::vector<std::size_t>& order)
    {
        for (GridPath& path : paths_) {
            path.clear();
        }
        for (const std::size_t net : order) {
            if (!routeNet(net)) {
                return net;
            }
        }
        return std::nullopt;
    }

    // Each net once more, now that the others are known: where it was is still free.
    void improve(const std::vector<std::size_t>& order)
    {
        for (int round = 0; round < improvingRounds; ++round) {
            for (const std::size_t net : order) {
                for (const std::size_t wire : wiresOf_[net]) {
                    paths_[wire].clear();
                }
                routeNet(net);
            }
        }
    }

    bool routeNet(std::size_t net)
    {
        occupy();
        for (const std::size_t wire : wiresOf_[net]) {
            std::optional<GridPath> path = shortest(wire);
            if (!path) {
                return false;
            }
            paths_[wire] = std::move(*path);
            occupy(paths_[wire], static_cast<int>(net));
        }
        return true;
    }

    // Marks what leads and the present paths take.
    void occupy()
    {
        for (const Axis axis : {across, down}) {
            user_[axis].assign(closed_.size(), nobody);
            stepUser_[axis].assign(closed_.size(), nobody);
        }
        for (const RoutingTerminal& terminal : task_.terminals) {
            if (wiresOf_[terminal.net].empty()) {
                continue;
            }
            for (int step = 0; step <= leadSteps; ++step) {
                const GridPoint point{terminal.at.x + step * terminal.outward, terminal.at.y};
                if (isInside(point)) {
                    user_[across][indexOf(point)] = static_cast<int>(terminal.net);
                }
            }
        }
        for (std::size_t wire = 0; wire < paths_.size(); ++wire) {
            occupy(paths_[wire], static_cast<int>(netOf(wire)));
        }
    }

    void occupy(const GridPath& path, int net)
    {
        for (std::size_t i = 1; i < path.size(); ++i) {
            const Axis axis = path[i].y == path[i - 1].y ? across : down;
            user_[axis][indexOf(path[i])] = net;
            user_[axis][indexOf(path[i - 1])] = net;
            stepUser_[axis][indexOf(std::min(path[i], path[i - 1]))] = net;
        }
    }

    [[nodiscard]] bool isFree(const GridPoint& point, Axis axis, int net) const
    {
        const int user = user_[axis][indexOf(point)];
        return user == nobody || user == net;
    }

    [[nodiscard]] int costOfStep(const GridPoint& from, const GridPoint& to, Axis axis,
                                 int net) const
    {
        if (stepUser_[axis][indexOf(std::min(from, to))] == net) {
            return sharedStepCost;
        }
        int cost = stepCost;
        if (!isFree(to, otherAxis(axis), net)) {
            cost += crossingCost;
        }
        for (const int side : {-1, 1}) {
            const GridPoint beside =
                axis == across ? GridPoint{to.x, to.y + side} : GridPoint{to.x + side, to.y};
            if (!isInside(beside)) {
                continue;
            }
            if (closed_[indexOf(beside)]) {
                cost += besideBoxCost;
            } else if (!isFree(beside, axis, net)) {
                cost += besideWireCost;
            }
        }
        return cost;
    }

    [[nodiscard]] std::optional<GridPath> shortest(std::size_t wire) const
    {
        const RoutingTerminal& from = task_.terminals[task_.wires[wire].first];
        const RoutingTerminal& to = task_.terminals[task_.wires[wire].second];
        const int net = static_cast<int>(from.net);
        // A state is a point and the axis along which it is left: 2 * index + axis.
        constexpr int far = std::numeric_limits<int>::max();
        std::vector<int> costs(2 * closed_.size(), far);
        std::vector<std::size_t> before(costs.size(), 0);
        using Entry = std::pair<int, std::size_t>;
        std::priority_queue<Entry, std::vector<Entry>, std::greater<>> open;
        const auto reach = [&](std::size_t state, int cost, std::size_t previous) {
            if (cost < costs[state]) {
                costs[state] = cost;
                before[state] = previous;
                open.emplace(cost, state);
            }
        };
        const std::size_t start = 2 * indexOf(from.at) + across;
        const std::size_t goal = 2 * indexOf(to.at) + across;
        reach(start, 0, start);
        while (!open.empty()) {
            const auto [cost, state] = open.top();
            open.pop();
            if (state == goal) {
                break;
            }
            if (cost > costs[state]) {
                continue;
            }
            const int index = static_cast<int>(state / 2);
            const GridPoint point{index % task_.columns, index / task_.columns};
            const Axis axis = state % 2 == 0 ? across : down;
            const Axis turned = otherAxis(axis);
            if (state != start && isFree(point, turned, net) && isFree(point, axis, net)) {
                const bool isShared =
                    user_[axis][state / 2] == net && user_[turned][state / 2] == net;
                reach(2 * (state / 2) + turned, cost + (isShared ? sharedBendCost : bendCost),
                      state);
            }
            for (const int step : {-1, 1}) {
                const GridPoint next = axis == across ? GridPoint{point.x + step, point.y}
                                                      : GridPoint{point.x, point.y + step};
                if (!isInside(next) || (closed_[indexOf(next)] && next != to.at) ||
                    !isFree(next, axis, net)) {
                    continue;
                }
                reach(2 * indexOf(next) + axis, cost + costOfStep(point, next, axis, net), state);
            }
        }
        if (costs[goal] == far) {
            return std::nullopt;
        }
        GridPath path;
        for (std::size_t state = goal;; state = before[state]) {
            const int index = static_cast<int>(state / 2);
            const GridPoint point{index % task_.columns, index / task_.columns};
            if (path.empty() || path.back() != point) {
                path.push_back(point);
            }
            if (state == start) {
                break;
            }
        }
        std::reverse(path.begin(), path.end());
        return path;
    }

    const RoutingTask& task_;
    std::vector<bool> closed_;
    std::vector<std::vector<std::size_t>> wiresOf_;
    std::vector<GridPath> paths_;
    std::array<std::vector<int>, 2> user_;  // by axis: the net that runs through a point along it
    std::array<std::vector<int>, 2>
        stepUser_;  // by axis: the net on the step from a point to the next
};

}  // namespace

std::optional<std::vector<GridPath>> routeWires(const RoutingTask& task)
{
    return Router(task).route();
}

}  // namespace splitstart
