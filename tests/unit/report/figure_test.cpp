// Pictures of curves as a reader sees them: what stands where on which axis.
#include "report/figure.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <regex>
#include <set>
#include <sstream>
#include <string>
#include <vector>

namespace splitstart
{

namespace
{

struct Point {
    double x = 0;
    double y = 0;
};

// A picture read back: the axes by their ticks, the curves in the axes' own units.
class DrawnFigure
{
public:
    explicit DrawnFigure(const Figure& figure)
    {
        EXPECT_TRUE(document_.load_string(figureSvg(figure).c_str()));
        svg_ = document_.document_element();
        std::vector<Point> across;
        std::vector<Point> up;
        for (const pugi::xml_node& text : svg_.children("text")) {
            char* end = nullptr;
            const std::string words = text.text().get();
            const double value = std::strtod(words.c_str(), &end);
            if (words.empty() || *end != '\0') {
                continue;
            }
            const std::string anchor = text.attribute("text-anchor").value();
            if (anchor == "middle") {
                across.push_back({value, text.attribute("x").as_double()});
            } else if (anchor == "end") {
                up.push_back({value, text.attribute("y").as_double()});
            }
        }
        EXPECT_GE(across.size(), 2U);
        EXPECT_GE(up.size(), 2U);
        xScale_ = scaleOf(across);
        yScale_ = scaleOf(up);
    }

    // One list of points for each unbroken piece.
    [[nodiscard]] std::vector<std::vector<Point>> curve(const std::string& column) const
    {
        const pugi::xml_node path =
            svg_.find_child_by_attribute("path", "data-curve", column.c_str());
        std::istringstream data(std::regex_replace(std::string(path.attribute("d").value()),
                                                   std::regex("([ML])"), " $1 "));
        std::vector<std::vector<Point>> pieces;
        for (std::string command; data >> command;) {
            Point at;
            data >> at.x >> at.y;
            if (command == "M") {
                pieces.emplace_back();
            }
            pieces.back().push_back({(at.x - xScale_.y) / xScale_.x, valueDown(at.y)});
        }
        return pieces;
    }
    // Of the ticks' text, which stands a third of a letter below its line.
    [[nodiscard]] double valueDown(double y) const
    {
        constexpr double belowLine = 0.35 * 14;
        return (y + belowLine - yScale_.y) / yScale_.x;
    }
    [[nodiscard]] double unitsPerX() const { return std::abs(xScale_.x); }
    [[nodiscard]] double unitsPerY() const { return std::abs(yScale_.x); }
    [[nodiscard]] const pugi::xml_node& svg() const { return svg_; }

private:
    // place = x * value + y
    static Point scaleOf(const std::vector<Point>& ticks)
    {
        const double slope =
            (ticks.back().y - ticks.front().y) / (ticks.back().x - ticks.front().x);
        return {slope, ticks.front().y - slope * ticks.front().x};
    }

    pugi::xml_document document_;
    pugi::xml_node svg_;
    Point xScale_;
    Point yScale_;
};

Figure figureOf(std::vector<double> x, std::vector<double> y)
{
    return {"test", "A test", {"time", "s"}, {"volts", "V"}, {{"curve", "curve_v", x, y}}};
}

}  // namespace

TEST(Figure, PutsEachPointWhereItsAxesSay)
{
    const DrawnFigure drawn(figureOf({0, 0.4, 1.3, 2}, {-120, 35, 310, 180}));
    const auto pieces = drawn.curve("curve_v");
    ASSERT_EQ(pieces.size(), 1U);
    ASSERT_EQ(pieces[0].size(), 4U);
    const std::vector<Point> wanted = {{0, -120}, {0.4, 35}, {1.3, 310}, {2, 180}};
    for (std::size_t i = 0; i < wanted.size(); ++i) {
        EXPECT_NEAR(pieces[0][i].x, wanted[i].x, 0.2 / drawn.unitsPerX());
        EXPECT_NEAR(pieces[0][i].y, wanted[i].y, 0.2 / drawn.unitsPerY());
    }
}

TEST(Figure, LeavesAGapWhereAValueIsNoNumber)
{
    constexpr double none = std::numeric_limits<double>::quiet_NaN();
    const auto pieces = DrawnFigure(figureOf({0, 1, 2, 3, 4}, {1, 2, none, 4, 5})).curve("curve_v");
    ASSERT_EQ(pieces.size(), 2U);
    EXPECT_EQ(pieces[0].size(), 2U);
    EXPECT_EQ(pieces[1].size(), 2U);
}

TEST(Figure, StepsGoLevelAndThenUpright)
{
    Figure figure = figureOf({0, 1, 2}, {0, 1, 1});
    figure.curves[0].isStep = true;
    const auto pieces = DrawnFigure(figure).curve("curve_v");
    ASSERT_EQ(pieces.size(), 1U);
    for (std::size_t i = 1; i < pieces[0].size(); ++i) {
        const bool level = std::abs(pieces[0][i].y - pieces[0][i - 1].y) < 1e-3;
        const bool upright = std::abs(pieces[0][i].x - pieces[0][i - 1].x) < 1e-2;
        EXPECT_TRUE(level || upright) << i;
    }
}

TEST(Figure, ThinsManyPointsButKeepsTheExtremes)
{
    std::vector<double> x;
    std::vector<double> y;
    for (int i = 0; i < 20000; ++i) {
        x.push_back(i * 1e-4);
        y.push_back(std::sin(i * 0.5));
    }
    y[12345] = 7;   // one spike up
    y[15000] = -5;  // and one down
    const DrawnFigure drawn(figureOf(x, y));
    const auto pieces = drawn.curve("curve_v");
    ASSERT_EQ(pieces.size(), 1U);
    EXPECT_LT(pieces[0].size(), 2000U);
    const auto [low, high] =
        std::minmax_element(pieces[0].begin(), pieces[0].end(),
                            [](const Point& a, const Point& b) { return a.y < b.y; });
    EXPECT_NEAR(high->y, 7, 0.2 / drawn.unitsPerY());
    EXPECT_NEAR(high->x, 1.2345, 1.0 / drawn.unitsPerX());
    EXPECT_NEAR(low->y, -5, 0.2 / drawn.unitsPerY());
}

TEST(Figure, BandsAreAsHighAsTheirRange)
{
    Figure figure = figureOf({0, 100}, {0, 400});
    figure.bands.push_back({"picks up", {168, 180}});
    const DrawnFigure drawn(figure);
    const pugi::xml_node band = drawn.svg().find_child(
        [](const pugi::xml_node& node) { return !node.attribute("fill-opacity").empty(); });
    EXPECT_NEAR(band.attribute("height").as_double() / drawn.unitsPerY(), 12,
                0.2 / drawn.unitsPerY());
    EXPECT_NEAR(drawn.valueDown(band.attribute("y").as_double()), 180, 0.2 / drawn.unitsPerY());
}

TEST(Figure, StrokesDifferWithoutColour)
{
    Figure figure = figureOf({0, 1}, {0, 1});
    figure.curves.clear();
    for (const Stroke stroke : {Stroke::solid, Stroke::dashed, Stroke::dotted, Stroke::dashDotted,
                                Stroke::longDashed, Stroke::thin}) {
        figure.curves.push_back(
            {"c", "c" + std::to_string(figure.curves.size()), {0, 1}, {0, 1}, stroke});
    }
    const DrawnFigure drawn(figure);
    std::set<std::string> looks;
    for (const pugi::xml_node& path : drawn.svg().children("path")) {
        if (!path.attribute("data-curve").empty()) {
            looks.insert(std::string(path.attribute("stroke-dasharray").value()) + "/" +
                         path.attribute("stroke-width").value());
        }
    }
    EXPECT_EQ(looks.size(), figure.curves.size());
}

TEST(Figure, TicksAreRoundAndInside)
{
    for (const Range& range : {Range{0, 1}, Range{0, 0.508}, Range{-437, 431}, Range{17.3, 17.9},
                               Range{0, 1e-5}, Range{2e5, 9e6}, Range{-3, -1}}) {
        const std::vector<double> ticks = axisTicks(range);
        ASSERT_GE(ticks.size(), 3U) << range.maximum;
        EXPECT_LE(ticks.size(), 9U) << range.maximum;
        const double step = ticks[1] - ticks[0];
        const double mantissa = step / std::pow(10, std::floor(std::log10(step) + 1e-9));
        EXPECT_TRUE(std::abs(mantissa - 1) < 1e-6 || std::abs(mantissa - 2) < 1e-6 ||
                    std::abs(mantissa - 5) < 1e-6)
            << step;
        EXPECT_GE(ticks.front(), range.minimum - 1e-9 * step);
        EXPECT_LE(ticks.back(), range.maximum + 1e-6 * step);
        EXPECT_LT(ticks.front() - range.minimum, step);
        EXPECT_LT(range.maximum - ticks.back(), step);
    }
}

TEST(Figure, RefusesCurvesOfUnequalLengths)
{
    EXPECT_THROW(figureSvg(figureOf({0, 1}, {1})), std::invalid_argument);
}

TEST(Figure, ShowsMarkupInNamesAsText)
{
    Figure figure = figureOf({0, 1}, {0, 1});
    const std::string hostile = "<script>x</script>\x01 & \"'";
    figure.title = hostile;
    figure.curves[0].name = hostile;
    figure.bands.push_back({hostile, {0.2, 0.4}, true});
    figure.marks.push_back({hostile, 0.5, 0.5});
    figure.words = hostile;
    pugi::xml_document document;
    ASSERT_TRUE(document.load_string(figureSvg(figure).c_str()));
    EXPECT_FALSE(document.select_node("//script"));
    // Of curve, band and mark.
    EXPECT_EQ(document.select_nodes("//text[contains(., '<script>x</script>')]").size(), 3U);
}

}  // namespace splitstart
