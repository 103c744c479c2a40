#include "report/drawing_layout.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <limits>

namespace splitstart
{

namespace
{

constexpr int columnCount = 5;
constexpr int rowPitch = 50;
constexpr int leastRowDistance = 60;  // with a winding between them
constexpr int leastRailDistance = 160;
// Parts of these ranks belong on the upper and on the lower rail.
constexpr int upperRank = 0;
constexpr int lowerRank = 9;
constexpr int outerWay = 30;  // free for wires around everything

struct Style {
    int column = 0;
    int width = 0;
    int rank = 5;                    // from top to bottom of its column, to begin with
    std::size_t lettersInLine = 15;  // of the heading
};

Style styleOf(PartKind kind)
{
    switch (kind) {
        case PartKind::supply:
            return {0, 90, 5, 10};
        case PartKind::contactor:
            return {1, 90, 5, 10};
        case PartKind::thermostat:
            return {2, 130, upperRank};
        case PartKind::condenserFan:
        case PartKind::fanCapacitor:
        case PartKind::capacitorFan:
            return {2, 130};
        case PartKind::protector:
            return {2, 130, lowerRank};
        case PartKind::compressor:
            return {4, 160};
        case PartKind::currentRelay:
            return {3, 130, upperRank};
        case PartKind::potentialRelay:
        case PartKind::startCapacitor:
        case PartKind::runCapacitor:
        case PartKind::ptc:
        case PartKind::timedSwitch:
        case PartKind::centrifugalSwitch:
            break;
        case PartKind::dualRunCapacitor:
            return {3, 150};
    }
    return {3, 130};
}

int roundedUp(double length)
{
    return gridStep * static_cast<int>(std::ceil(length / gridStep));
}

bool showsMotor(PartKind kind)
{
    return kind == PartKind::condenserFan || kind == PartKind::capacitorFan;
}

int rowCount(const Face& face)
{
    int last = 0;
    for (const TerminalSpot& spot : face) {
        last = std::max(last, spot.row);
    }
    return last + 1;
}

// From the top of the box to its first row of terminals.
int headOf(const PlacedPart& part)
{
    return roundedUp(8.0 + lineHeight * static_cast<double>(part.heading.size()) + 24.0);
}

int footOf(const PlacedPart& part)
{
    return showsMotor(part.part->kind) ? 30 : 20;
}

int naturalHeight(const PlacedPart& part)
{
    return headOf(part) + rowPitch * (rowCount(part.face) - 1) + footOf(part);
}

// Parts of a column from top to bottom. The first may stand with its first row on the upper rail,
// the last with its last row on the lower one.
struct Column {
    std::vector<std::size_t> parts;
    bool onUpperRail = false;
    bool onLowerRail = false;
};

using Columns = std::vector<Column>;

class Arranger
{
public:
    Arranger(const Circuit& circuit, const DrawingText& text, int roominess)
        : circuit_(circuit), nets_(circuit), gap_(40 + 20 * roominess), way_(60 + 20 * roominess)
    {
        columns_.resize(columnCount);
        for (const CircuitPart& part : circuit.parts) {
            PlacedPart placed;
            placed.part = &part;
            placed.face = facesOf(part.kind).front();
            placed.heading = headingOf(part, text, styleOf(part.kind).lettersInLine);
            placed.column = styleOf(part.kind).column;
            placed.width =
                std::max(styleOf(part.kind).width, roundedUp(widthOf(placed.heading) + 12.0));
            columns_[static_cast<std::size_t>(placed.column)].parts.push_back(parts_.size());
            parts_.push_back(std::move(placed));
        }
        for (Column& column : columns_) {
            std::stable_sort(
                column.parts.begin(), column.parts.end(),
                [this](std::size_t a, std::size_t b) { return rankOf(a) < rankOf(b); });
            column.onUpperRail = !column.parts.empty() && rankOf(column.parts.front()) == upperRank;
            column.onLowerRail = !column.parts.empty() && rankOf(column.parts.back()) == lowerRank;
        }
    }

    DrawingLayout arrange()
    {
        place();
        long best = cost();
        for (bool isBetter = true; isBetter;) {
            isBetter = betterFaces(best);
            isBetter = betterOrder(best) || isBetter;
        }
        place();
        return {parts_, width_, height_};
    }

private:
    [[nodiscard]] int rankOf(std::size_t part) const
    {
        return styleOf(parts_[part].part->kind).rank;
    }

    // Keeps the change that was just made if it shortens the wires.
    bool isBetterNow(long& best)
    {
        place();
        const long now = cost();
        if (now < best) {
            best = now;
            return true;
        }
        return false;
    }

    bool betterFaces(long& best)
    {
        bool isBetter = false;
        for (PlacedPart& part : parts_) {
            for (const Face& face : facesOf(part.part->kind)) {
                const Face former = part.face;
                part.face = face;
                if (isBetterNow(best)) {
                    isBetter = true;
                } else {
                    part.face = former;
                }
            }
        }
        return isBetter;
    }

    bool betterOrder(long& best)
    {
        bool isBetter = false;
        for (Column& column : columns_) {
            const auto attempt = [&](const auto& change) {
                const Column former = column;
                change();
                if (isBetterNow(best)) {
                    isBetter = true;
                } else {
                    column = former;
                }
            };
            attempt([&column] { column.onUpperRail = !column.onUpperRail; });
            attempt([&column] { column.onLowerRail = !column.onLowerRail; });
            for (std::size_t a = 0; a < column.parts.size(); ++a) {
                for (std::size_t b = a + 1; b < column.parts.size(); ++b) {
                    attempt([&] { std::swap(column.parts[a], column.parts[b]); });
                }
            }
        }
        return isBetter;
    }

    // The only supply, contactor or compressor reaches from rail to rail.
    [[nodiscard]] bool isTall(const Column& column) const
    {
        return column.parts.size() == 1 && parts_[column.parts.front()].column != 2 &&
               parts_[column.parts.front()].column != 3;
    }

    void place()
    {
        placeAcross();
        upperRail_ = outerWay;
        for (const Column& column : columns_) {
            if (!column.parts.empty() && (column.onUpperRail || isTall(column))) {
                const PlacedPart& first = parts_[column.parts.front()];
                upperRail_ = std::max(upperRail_, outerWay + headOf(first));
            }
        }
        lowerRail_ = upperRail_ + leastRailDistance;
        for (const Column& column : columns_) {
            if (!isTall(column)) {
                lowerRail_ = std::max(lowerRail_, upperRail_ + leastDistance(column));
            }
        }
        for (const Column& column : columns_) {
            if (isTall(column)) {
                placeTall(parts_[column.parts.front()]);
            } else {
                placeDown(column);
            }
        }
        for (const Column& column : columns_) {
            if (isTall(column)) {
                alignMiddleRow(parts_[column.parts.front()]);
            }
        }
        height_ = 0;
        for (const PlacedPart& part : parts_) {
            height_ = std::max(height_, part.top + part.height + outerWay);
        }
    }

    void placeAcross()
    {
        int x = outerWay;
        for (const Column& column : columns_) {
            int widest = 0;
            for (const std::size_t part : column.parts) {
                widest = std::max(widest, parts_[part].width);
            }
            for (const std::size_t part : column.parts) {
                parts_[part].width = widest;
                parts_[part].left = x;
            }
            x += widest == 0 ? 0 : widest + way_;
        }
        width_ = x - way_ + outerWay;
    }

    struct Ends {
        bool hasUpper = false;
        bool hasLower = false;
    };

    [[nodiscard]] static Ends endsOf(const Column& column)
    {
        const bool hasUpper = column.onUpperRail && !column.parts.empty();
        return {hasUpper, column.onLowerRail && column.parts.size() > (hasUpper ? 1U : 0U)};
    }

    // Between the rails, with the smallest ways between the parts.
    [[nodiscard]] int leastDistance(const Column& column) const
    {
        if (column.parts.empty()) {
            return 0;
        }
        const auto [hasUpper, hasLower] = endsOf(column);
        int distance = gap_ * static_cast<int>(column.parts.size() - 1);
        for (const std::size_t part : column.parts) {
            distance += naturalHeight(parts_[part]);
        }
        distance += hasUpper ? -headOf(parts_[column.parts.front()]) : railGap();
        distance += hasLower ? -footOf(parts_[column.parts.back()]) : railGap();
        return distance;
    }

    // Between a rail and a part that does not stand on it.
    [[nodiscard]] int railGap() const { return gap_ - 20; }

    void placeDown(const Column& column)
    {
        if (column.parts.empty()) {
            return;
        }
        const auto [hasUpper, hasLower] = endsOf(column);
        const int gaps =
            static_cast<int>(column.parts.size()) + 1 - (hasUpper ? 1 : 0) - (hasLower ? 1 : 0);
        const int spare = lowerRail_ - upperRail_ - leastDistance(column);
        const int more = gaps == 0 ? 0 : spare / gaps / gridStep * gridStep;
        int y = hasUpper ? upperRail_ - headOf(parts_[column.parts.front()])
                         : upperRail_ + railGap() + more;
        for (std::size_t i = 0; i < column.parts.size(); ++i) {
            PlacedPart& part = parts_[column.parts[i]];
            part.height = naturalHeight(part);
            if (hasLower && i + 1 == column.parts.size()) {
                y = lowerRail_ + footOf(part) - part.height;
            }
            part.top = y;
            part.rows.clear();
            for (int row = 0; row < rowCount(part.face); ++row) {
                part.rows.push_back(y + headOf(part) + row * rowPitch);
            }
            y += part.height + gap_ + more;
        }
    }

    void placeTall(PlacedPart& part) const
    {
        part.top = upperRail_ - headOf(part);
        part.height = lowerRail_ - part.top + footOf(part);
        const int rows = rowCount(part.face);
        part.rows.clear();
        for (int row = 0; row < rows; ++row) {
            const int way = (lowerRail_ - upperRail_) / gridStep * row / (rows - 1);
            part.rows.push_back(upperRail_ + gridStep * way);
        }
    }

    // Brings S of a tall compressor level with a terminal that it is wired to, for a straight wire.
    void alignMiddleRow(PlacedPart& part) const
    {
        if (part.rows.size() != 3) {
            return;
        }
        const int middle = part.rows[1];
        int nearest = std::numeric_limits<int>::max();
        const Terminal own{part.part->id, "S"};
        for (const Wire& wire : circuit_.wires) {
            if (wire.from != own && wire.to != own) {
                continue;
            }
            const Terminal& other = wire.from == own ? wire.to : wire.from;
            const PlacedPart& far = placedOf(other);
            const int y = far.dotOf(other.name).y;
            if (far.column == 3 && spotOf(far.face, other.name).side == Side::right &&
                y >= upperRail_ + leastRowDistance && y <= lowerRail_ - leastRowDistance &&
                std::abs(y - middle) < nearest) {
                nearest = std::abs(y - middle);
                part.rows[1] = y;
            }
        }
    }

    [[nodiscard]] const PlacedPart& placedOf(const Terminal& terminal) const
    {
        return *std::find_if(parts_.begin(), parts_.end(), [&](const PlacedPart& part) {
            return part.part->id == terminal.part;
        });
    }

    // Where a wire leaves a part: the way between two columns, counted from the left, and the
    // level.
    struct Exit {
        int way = 0;
        int y = 0;
    };

    // About how long the wires of all nets will be, with turns and detours.
    [[nodiscard]] long cost() const
    {
        long total = 0;
        for (const std::vector<Terminal>& net : nets_.all()) {
            std::vector<Exit> exits;
            for (const Terminal& terminal : net) {
                const PlacedPart& part = placedOf(terminal);
                const bool isRight = spotOf(part.face, terminal.name).side == Side::right;
                exits.push_back({part.column + (isRight ? 1 : 0), part.dotOf(terminal.name).y});
            }
            total += costOfTree(exits);
        }
        return total + costOfRails();
    }

    // The main current's way should be straight: what belongs on a rail stands there, nothing else.
    [[nodiscard]] long costOfRails() const
    {
        constexpr long displaced = 200;
        long total = 0;
        for (const Column& column : columns_) {
            if (isTall(column)) {
                continue;
            }
            const auto [hasUpper, hasLower] = endsOf(column);
            for (std::size_t i = 0; i < column.parts.size(); ++i) {
                const int rank = rankOf(column.parts[i]);
                const bool isUpper = hasUpper && i == 0;
                const bool isLower = hasLower && i + 1 == column.parts.size();
                total += isUpper != (rank == upperRank) ? displaced : 0;
                total += isLower != (rank == lowerRank) ? displaced : 0;
            }
        }
        return total;
    }

    // The shortest tree over the exits, grown from the first (Prim's algorithm).
    [[nodiscard]] long costOfTree(const std::vector<Exit>& exits) const
    {
        constexpr long far = std::numeric_limits<long>::max();
        std::vector<long> costs(exits.size(), far);
        std::vector<bool> isIn(exits.size(), false);
        long total = 0;
        std::size_t latest = 0;
        for (std::size_t grown = 1; grown < exits.size(); ++grown) {
            isIn[latest] = true;
            std::size_t next = latest;
            for (std::size_t i = 0; i < exits.size(); ++i) {
                if (isIn[i]) {
                    continue;
                }
                costs[i] = std::min(costs[i], costOfWire(exits[latest], exits[i]));
                if (isIn[next] || costs[i] < costs[next]) {
                    next = i;
                }
            }
            total += costs[next];
            latest = next;
        }
        return total;
    }

    [[nodiscard]] long costOfWire(const Exit& a, const Exit& b) const
    {
        constexpr int turns = 30;
        constexpr int passing = 200;
        const int low = std::min(a.y, b.y);
        const int high = std::max(a.y, b.y);
        int cost = high - low + (high == low ? 0 : turns);
        for (int column = std::min(a.way, b.way); column < std::max(a.way, b.way); ++column) {
            const int detour = detourAround(columns_[static_cast<std::size_t>(column)], low, high);
            cost += passing + 2 * detour + (detour == 0 ? 0 : 2 * turns);
        }
        return cost;
    }

    // How far above or below those levels a wire must go to pass between the column's parts.
    [[nodiscard]] int detourAround(const Column& column, int low, int high) const
    {
        const auto isFree = [&](int y) {
            return std::none_of(column.parts.begin(), column.parts.end(), [&](std::size_t index) {
                const PlacedPart& part = parts_[index];
                return y > part.top - gridStep && y < part.top + part.height + gridStep;
            });
        };
        for (int y = low; y <= high; y += gridStep) {
            if (isFree(y)) {
                return 0;
            }
        }
        int detour = gridStep;
        while (!isFree(low - detour) && !isFree(high + detour)) {
            detour += gridStep;
        }
        return detour;
    }

    const Circuit& circuit_;
    Nets nets_;
    int gap_;
    int way_;
    std::vector<PlacedPart> parts_;
    Columns columns_;
    int upperRail_ = 0;
    int lowerRail_ = 0;
    int width_ = 0;
    int height_ = 0;
};

}  // namespace

GridPoint PlacedPart::dotOf(std::string_view terminal) const
{
    const TerminalSpot& spot = spotOf(face, terminal);
    return {spot.side == Side::left ? left : left + width,
            rows[static_cast<std::size_t>(spot.row)]};
}

DrawingLayout arrangeParts(const Circuit& circuit, const DrawingText& text, int roominess)
{
    return Arranger(circuit, text, roominess).arrange();
}

}  // namespace splitstart
