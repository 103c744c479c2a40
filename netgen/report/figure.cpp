#include "report/figure.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <set>
#include <sstream>
#include <stdexcept>

#include "case/text.h"
#include "report/drawing_text.h"
#include "report/number_text.h"
#include "report/part_symbols.h"

namespace splitstart
{

namespace
{

constexpr int pictureWidth = 520;
constexpr int plotHeight = 220;
constexpr int marginLeft = 56;
constexpr int marginRight = 18;
constexpr int marginBelow = 50;
constexpr int legendSample = 36;  // length of a curve's sample in the legend
constexpr int gap = 8;
constexpr std::size_t longestWords = 400;
constexpr const char* ink = "#1a1a1a";
constexpr double pickRadius = 4;

// Half a unit at the most, so that a picture's numbers are short.
std::string place(double value)
{
    return fmt::format("{:.6g}", std::round(value * 10) / 10);
}

void widen(Range& range, double value)
{
    if (std::isfinite(value)) {
        range.minimum = std::min(range.minimum, value);
        range.maximum = std::max(range.maximum, value);
    }
}

Range nothingYet()
{
    constexpr double infinite = std::numeric_limits<double>::infinity();
    return {infinite, -infinite};
}

Range withRoom(Range range)
{
    if (!(range.minimum <= range.maximum)) {
        return {0, 1};
    }
    if (range.minimum == range.maximum) {
        const double room = range.minimum == 0 ? 1 : 0.1 * std::abs(range.minimum);
        return {range.minimum - room, range.maximum + room};
    }
    return range;
}

// Volts and amps are read from nought where nought is near.
Range withNought(Range range)
{
    const double span = range.maximum - range.minimum;
    if (range.minimum > 0 && range.minimum < 0.7 * range.maximum) {
        range.minimum = 0;
    }
    if (range.minimum != 0) {
        range.minimum -= 0.04 * span;
    }
    range.maximum += range.maximum == 0 ? 0 : 0.06 * span;
    return range;
}

std::string tickText(double value, double step)
{
    const int decimals = std::max(0, static_cast<int>(std::ceil(-std::log10(step) - 1e-9)));
    const std::string text = fmt::format("{:.{}f}", value, decimals);
    // No minus before a nought.
    return std::abs(value) < 1e-9 * step ? fmt::format("{:.{}f}", 0.0, decimals) : text;
}

class Picture
{
public:
    explicit Picture(const Figure& figure) : figure_(figure), x_(rangeOfX()), y_(rangeOfY()) {}

    pugi::xml_node addTo(pugi::xml_node parent);

private:
    [[nodiscard]] Range rangeOfX() const
    {
        if (figure_.x.limits) {
            return *figure_.x.limits;
        }
        Range range = nothingYet();
        for (const FigureCurve& curve : figure_.curves) {
            for (const double value : curve.x) {
                widen(range, value);
            }
        }
        return withRoom(range);
    }
    [[nodiscard]] Range rangeOfY() const
    {
        if (figure_.y.limits) {
            return *figure_.y.limits;
        }
        Range range = nothingYet();
        for (const FigureCurve& curve : figure_.curves) {
            for (const double value : curve.y) {
                widen(range, value);
            }
        }
        for (const FigureBand& band : figure_.bands) {
            if (!band.ofX) {
                widen(range, band.range.minimum);
                widen(range, band.range.maximum);
            }
        }
        for (const FigureMark& mark : figure_.marks) {
            widen(range, mark.y);
        }
        return withNought(withRoom(range));
    }
    [[nodiscard]] double acrossOf(double value) const
    {
        return marginLeft + (pictureWidth - marginLeft - marginRight) * (value - x_.minimum) /
                                (x_.maximum - x_.minimum);
    }
    [[nodiscard]] double downOf(double value) const
    {
        return top_ + plotHeight * (y_.maximum - value) / (y_.maximum - y_.minimum);
    }
    [[nodiscard]] bool isInside(double x, double y) const
    {
        return std::isfinite(x) && std::isfinite(y) && x >= x_.minimum && x <= x_.maximum;
    }
    [[nodiscard]] std::string dataOf(const FigureCurve& curve) const;

    void addLegend();
    void addShade(double left, double upper, double width, double height);
    // How many points of the curves lie behind a text there.
    [[nodiscard]] std::size_t pointsWithin(double left, double width, double baseline) const;
    void addAxes();
    void addBands();
    void addCurves();
    void addMarks();
    void addLine(double x1, double y1, double x2, double y2, const char* colour);

    const Figure& figure_;
    Range x_;
    Range y_;
    int top_ = 0;
    pugi::xml_node svg_;
};

void Picture::addLine(double x1, double y1, double x2, double y2, const char* colour)
{
    pugi::xml_node line = svg_.append_child("path");
    line.append_attribute("d") =
        fmt::format("M{} {}L{} {}", place(x1), place(y1), place(x2), place(y2)).c_str();
    line.append_attribute("stroke") = colour;
    line.append_attribute("fill") = "none";
}

void Picture::addLegend()
{
    double across = marginLeft;
    top_ = 2 * lineHeight + gap / 2;
    // Where the sample of a name stands, and the name beside it.
    const auto entry = [&](const std::string& words) {
        const std::string name = drawnText(words, longestWords);
        const double width =
            legendSample + gap + 2 * gap +
            letterWidth_ratio * fontSize * static_cast<double>(characterCount(name));
        if (across > marginLeft && across + width > pictureWidth) {
            across = marginLeft;
            top_ += lineHeight;
        }
        addText(svg_, across + legendSample + gap, top_, name);
        const double left = across;
        across += width;
        return left;
    };
    for (const FigureCurve& curve : figure_.curves) {
        const double left = entry(curve.name);
        pugi::xml_node sample = svg_.append_child("path");
        sample.append_attribute("d") =
            fmt::format("M{} {}H{}", place(left), place(top_ - 0.3 * fontSize),
                        place(left + legendSample))
                .c_str();
        setStroke(sample, curve.stroke);
    }
    // A band over x has no room for its name inside; several of one name are one thing.
    std::set<std::string> said;
    for (const FigureBand& band : figure_.bands) {
        if (!band.ofX || band.name.empty() || !said.insert(band.name).second) {
            continue;
        }
        const double left = entry(band.name);
        addShade(left, top_ - 0.8 * fontSize, legendSample, fontSize);
    }
    top_ += 2 * gap;
}

void Picture::addShade(double left, double upper, double width, double height)
{
    pugi::xml_node area = svg_.append_child("rect");
    area.append_attribute("x") = place(left).c_str();
    area.append_attribute("y") = place(upper).c_str();
    area.append_attribute("width") = place(width).c_str();
    area.append_attribute("height") = place(height).c_str();
    area.append_attribute("fill") = "#000000";
    area.append_attribute("fill-opacity") = "0.10";
}

void Picture::addAxes()
{
    const double left = acrossOf(x_.minimum);
    const double right = acrossOf(x_.maximum);
    const double bottom = top_ + plotHeight;
    const auto stepOf = [](const std::vector<double>& ticks) {
        return ticks.size() > 1 ? ticks[1] - ticks[0] : 1.0;
    };
    const std::vector<double> xTicks = axisTicks(x_);
    for (const double tick : xTicks) {
        addLine(acrossOf(tick), top_, acrossOf(tick), bottom, "#d0d0d0");
        addText(svg_, acrossOf(tick), bottom + lineHeight, tickText(tick, stepOf(xTicks)),
                "middle");
    }
    const std::vector<double> yTicks = axisTicks(y_);
    for (const double tick : yTicks) {
        addLine(left, downOf(tick), right, downOf(tick), tick == 0 ? "#707070" : "#d0d0d0");
        addText(svg_, left - gap, downOf(tick) + 0.35 * fontSize, tickText(tick, stepOf(yTicks)),
                "end");
    }
    addLine(left, top_, left, bottom, ink);
    addLine(left, bottom, right, bottom, ink);
    const auto nameOf = [](const FigureAxis& axis) {
        return drawnText(axis.unit.empty() ? axis.name : axis.name + ", " + axis.unit,
                         longestWords);
    };
    addText(svg_, right, bottom + 2 * lineHeight + 4, nameOf(figure_.x), "end");
    addText(svg_, gap, fontSize, nameOf(figure_.y));
}

void Picture::addBands()
{
    constexpr double leastVisible = 2;
    std::vector<double> uppers;  // of bands over y, to keep their names apart
    for (const FigureBand& band : figure_.bands) {
        if (!band.ofX) {
            uppers.push_back(downOf(band.range.maximum));
        }
    }
    for (const FigureBand& band : figure_.bands) {
        const auto [low, high] = band.range;
        const double left = band.ofX ? acrossOf(std::max(low, x_.minimum)) : marginLeft;
        const double right =
            band.ofX ? acrossOf(std::min(high, x_.maximum)) : pictureWidth - marginRight;
        const double upper = band.ofX ? top_ : downOf(high);
        const double lower = band.ofX ? top_ + plotHeight : downOf(low);
        if (right < left) {
            continue;
        }
        addShade(left, upper, std::max(right - left, leastVisible),
                 std::max(lower - upper, leastVisible));
        if (band.ofX) {
            continue;
        }
        // Above it, or below where another band is near above; on the side with fewer curves.
        const bool isCrowded = std::any_of(uppers.begin(), uppers.end(), [&](double other) {
            return other < upper && upper - other < 4 * fontSize;
        });
        const double baseline = isCrowded ? lower + fontSize : upper - 4;
        const std::string name = drawnText(band.name, longestWords);
        const double width =
            letterWidth_ratio * fontSize * static_cast<double>(characterCount(name));
        const double atLeft = marginLeft + 4;
        const double atRight = pictureWidth - marginRight - 4 - width;
        const bool isLeft =
            pointsWithin(atLeft, width, baseline) < pointsWithin(atRight, width, baseline);
        addText(svg_, isLeft ? atLeft : atRight + width, baseline, name, isLeft ? "start" : "end");
    }
}

std::size_t Picture::pointsWithin(double left, double width, double baseline) const
{
    std::size_t count = 0;
    for (const FigureCurve& curve : figure_.curves) {
        for (std::size_t i = 1; i < curve.x.size() && i < curve.y.size(); ++i) {
            // A few points of each piece, so that a long straight one is seen too.
            for (const double share : {0.25, 0.5, 0.75, 1.0}) {
                const double across = acrossOf(std::lerp(curve.x[i - 1], curve.x[i], share));
                const double down = downOf(std::lerp(curve.y[i - 1], curve.y[i], share));
                count += across >= left && across <= left + width && down <= baseline + 4 &&
                                 down >= baseline - fontSize
                             ? 1
                             : 0;
            }
        }
    }
    return count;
}

// The curve as path data. Where there are many points in one place across, the lowest and the
// highest of them are enough.
std::string Picture::dataOf(const FigureCurve& curve) const
{
    if (curve.x.size() != curve.y.size()) {
        throw std::invalid_argument("a curve's x and y differ in length");
    }
    constexpr std::size_t manyPoints = 1500;
    const bool thinned =
        curve.x.size() > manyPoints && std::is_sorted(curve.x.begin(), curve.x.end());
    std::string data;
    bool isDrawing = false;
    double lastDown = 0;
    const auto to = [&](double x, double y) {
        const std::string across = place(acrossOf(x));
        const double down = downOf(std::clamp(y, y_.minimum, y_.maximum));
        if (isDrawing && curve.isStep && down != lastDown) {
            data += fmt::format("L{} {}", across, place(lastDown));
        }
        data += fmt::format("{}{} {}", isDrawing ? "L" : "M", across, place(down));
        isDrawing = true;
        lastDown = down;
    };
    for (std::size_t i = 0; i < curve.x.size();) {
        if (!isInside(curve.x[i], curve.y[i])) {
            isDrawing = isDrawing && std::isfinite(curve.x[i]) && std::isfinite(curve.y[i]);
            ++i;
            continue;
        }
        if (!thinned) {
            to(curve.x[i], curve.y[i]);
            ++i;
            continue;
        }
        std::size_t lowest = i;
        std::size_t highest = i;
        const double column = std::round(acrossOf(curve.x[i]));
        for (; i < curve.x.size() && isInside(curve.x[i], curve.y[i]) &&
               std::round(acrossOf(curve.x[i])) == column;
             ++i) {
            lowest = curve.y[i] < curve.y[lowest] ? i : lowest;
            highest = curve.y[i] > curve.y[highest] ? i : highest;
        }
        for (const std::size_t each : {std::min(lowest, highest), std::max(lowest, highest)}) {
            to(curve.x[each], curve.y[each]);
        }
    }
    return data;
}

void Picture::addCurves()
{
    for (const FigureCurve& curve : figure_.curves) {
        pugi::xml_node path = svg_.append_child("path");
        path.append_attribute("d") = dataOf(curve).c_str();
        path.append_attribute("data-curve") = curve.column.c_str();
        path.append_attribute("fill") = "none";
        path.append_attribute("stroke-linejoin") = "round";
        setStroke(path, curve.stroke);
    }
}

void Picture::addMarks()
{
    for (const FigureMark& mark : figure_.marks) {
        if (!isInside(mark.x, mark.y)) {
            continue;
        }
        const double across = acrossOf(mark.x);
        const double down = downOf(mark.y);
        pugi::xml_node dot = svg_.append_child("circle");
        dot.append_attribute("cx") = place(across).c_str();
        dot.append_attribute("cy") = place(down).c_str();
        dot.append_attribute("r") = pickRadius;
        dot.append_attribute("fill") = ink;
        dot.append_attribute("stroke") = "#ffffff";
        const std::string name = drawnText(mark.name, longestWords);
        const double width =
            letterWidth_ratio * fontSize * static_cast<double>(characterCount(name));
        // Of the four corners around it, inside the picture, the one with the fewest curves.
        std::size_t fewest = std::numeric_limits<std::size_t>::max();
        double bestLeft = 0;
        double bestBaseline = 0;
        for (const double left : {across + gap, across - gap - width}) {
            for (const double baseline : {down - gap, down + fontSize + gap}) {
                const bool fits = left >= marginLeft && left + width <= pictureWidth &&
                                  baseline - fontSize >= top_ && baseline <= top_ + plotHeight;
                const std::size_t points = pointsWithin(left, width, baseline) +
                                           (fits ? 0 : figure_.curves.size() * 10000);
                if (points < fewest) {
                    fewest = points;
                    bestLeft = left;
                    bestBaseline = baseline;
                }
            }
        }
        addText(svg_, bestLeft, bestBaseline, name);
    }
}

pugi::xml_node Picture::addTo(pugi::xml_node parent)
{
    svg_ = parent.append_child("svg");
    svg_.append_attribute("xmlns") = "http://www.w3.org/2000/svg";
    pugi::xml_attribute viewBox = svg_.append_attribute("viewBox");
    svg_.append_attribute("class") = "figure";
    svg_.append_attribute("data-figure") = figure_.id.c_str();
    svg_.append_attribute("role") = "img";
    const std::string title = drawnText(figure_.title, longestWords);
    const std::string words = drawnText(figure_.words, longestWords);
    svg_.append_attribute("aria-label") =
        (words.empty() ? title : fmt::format("{}. {}", title, words)).c_str();
    svg_.append_attribute("font-family") = "Arial, Helvetica, sans-serif";
    svg_.append_attribute("font-size") = fontSize;
    svg_.append_attribute("fill") = ink;
    pugi::xml_node paper = svg_.append_child("rect");
    // First what tells how high it becomes.
    addLegend();
    const int height = top_ + plotHeight + marginBelow;
    viewBox = fmt::format("0 0 {} {}", pictureWidth, height).c_str();
    paper.append_attribute("width") = pictureWidth;
    paper.append_attribute("height") = height;
    paper.append_attribute("fill") = "white";
    addAxes();
    addBands();
    addCurves();
    addMarks();
    return svg_;
}

}  // namespace

// Dark enough on white for text beside them (WCAG 2, contrast of 4.5 and more).
StrokeLook strokeLook(Stroke stroke)
{
    switch (stroke) {
        case Stroke::dashed:
            return {"#a3250f", "9 4", "2"};
        case Stroke::dotted:
            return {"#1a6b33", "2 4", "2.4"};
        case Stroke::dashDotted:
            return {"#5b3a94", "10 4 2 4", "2"};
        case Stroke::longDashed:
            return {"#7a4e00", "18 6", "2"};
        case Stroke::thin:
            return {"#444444", "", "1"};
        case Stroke::solid:
            break;
    }
    return {"#0b4f8a", "", "2.4"};
}

std::vector<double> axisTicks(const Range& range)
{
    constexpr double mostTicks = 8;
    const double span = range.maximum - range.minimum;
    const double smallest = std::pow(10, std::floor(std::log10(span / mostTicks)));
    double step = smallest;
    for (const double factor : {1.0, 2.0, 5.0, 10.0, 20.0}) {
        step = smallest * factor;
        if (span / step <= mostTicks - 1) {
            break;
        }
    }
    std::vector<double> ticks;
    const double first = std::ceil(range.minimum / step - 1e-9);
    for (int i = 0; (first + i) * step <= range.maximum + 1e-9 * span; ++i) {
        ticks.push_back((first + i) * step);
    }
    return ticks;
}

void setStroke(pugi::xml_node node, Stroke stroke)
{
    const StrokeLook look = strokeLook(stroke);
    node.append_attribute("stroke") = look.colour;
    node.append_attribute("stroke-width") = look.width;
    if (*look.dashes != '\0') {
        node.append_attribute("stroke-dasharray") = look.dashes;
    }
}

pugi::xml_node addFigure(pugi::xml_node parent, const Figure& figure)
{
    return Picture(figure).addTo(parent);
}

std::string figureSvg(const Figure& figure)
{
    pugi::xml_document document;
    pugi::xml_node svg = addFigure(document, figure);
    const std::string viewBox = svg.attribute("viewBox").value();
    // A document of its own has a title that viewers show.
    svg.prepend_child("title")
        .append_child(pugi::node_pcdata)
        .set_value(drawnText(figure.title, longestWords).c_str());
    svg.append_attribute("width") = pictureWidth;
    std::ostringstream stream;
    document.save(stream, " ", pugi::format_default, pugi::encoding_utf8);
    return stream.str();
}

}  // namespace splitstart
