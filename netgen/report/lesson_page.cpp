#include "report/lesson_page.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <optional>
#include <pugixml.hpp>

#include "report/drawing_text.h"
#include "report/figure.h"
#include "report/html_page.h"
#include "report/html_prose.h"
#include "report/lesson_words.h"
#include "report/number_text.h"
#include "report/phasor_picture.h"
#include "report/prose_sections.h"
#include "report/wiring_drawing.h"

namespace splitstart
{

namespace
{

constexpr std::size_t longestLabel = 120;

Figure figureOf(const LessonChart& chart, const std::vector<LessonMark>& marks = {})
{
    constexpr std::array strokes = {Stroke::solid, Stroke::dashed, Stroke::dotted,
                                    Stroke::dashDotted};
    Figure figure;
    figure.id = chart.id;
    figure.title = chart.title;
    figure.x = {chart.xName, chart.xUnit};
    figure.y = {chart.yName, chart.yUnit};
    for (std::size_t i = 0; i < chart.curves.size(); ++i) {
        const LessonCurve& curve = chart.curves[i];
        figure.curves.push_back({curve.name, curve.column, curve.x, curve.y,
                                 strokes.at(i % strokes.size()), curve.isStep});
    }
    for (const LessonBand& band : chart.bands) {
        figure.bands.push_back({band.name, band.range, band.ofX});
    }
    for (const std::vector<LessonMark>* list : {&chart.marks, &marks}) {
        for (const LessonMark& mark : *list) {
            figure.marks.push_back({mark.name, mark.x, mark.y});
        }
    }
    return figure;
}

void addChart(pugi::xml_node parent, const Figure& figure)
{
    pugi::xml_node box = parent.append_child("figure");
    addElement(box, "figcaption", figure.title);
    addFigure(box, figure);
}

std::string cell(const std::optional<double>& number, const LessonColumn& column)
{
    if (!number) {
        return "-";
    }
    constexpr double noise = 1e-9;
    const double value = std::abs(*number) < noise ? 0 : *number;
    const bool isSwitch = column.unit.empty() && column.words.find("1 yes") != std::string::npos;
    return isSwitch ? (value > 0 ? "yes" : "no") : shortNumber(value);
}

// "torque at standstill, N m"; a switch needs no explanation of its numbers.
std::string columnWords(const LessonColumn& column)
{
    const std::string words = column.words.substr(0, column.words.find(" (1 yes"));
    return column.unit.empty() ? words : fmt::format("{}, {}", words, column.unit);
}

void addNumbers(pugi::xml_node parent, const Lesson& lesson, const LessonPosition& position)
{
    std::vector<std::vector<std::string>> rows;
    for (std::size_t i = 0; i < lesson.columns.size(); ++i) {
        const LessonColumn& column = lesson.columns[i];
        rows.push_back({columnWords(column), cell(position.numbers.at(i), column),
                        std::string(lessonSourceName(column.source))});
    }
    addTable(parent, "Numbers of this position", {"quantity", "value", "from"}, rows);
}

void addWiring(pugi::xml_node parent, const Lesson& lesson, const LessonPosition& position)
{
    DrawingText text;
    text.title = position.label;
    text.invented = lesson.invented;
    const std::string svg = wiringDrawing(*position.wiring, text);
    pugi::xml_document drawing;
    drawing.load_buffer(svg.data(), svg.size());
    pugi::xml_node box = addElement(parent, "figure", {}, "wiring");
    pugi::xml_node picture = box.append_copy(drawing.child("svg"));
    // All wires are in the JSON; the description would be read aloud with each picture.
    picture.remove_child("desc");
    addElement(box, "figcaption", "How it is wired in this position");
}

// Closer than the runs' own error is not told.
std::string apartText(double difference_ratio)
{
    constexpr double least_ratio = 1e-4;
    return difference_ratio < least_ratio ? std::string("below 0.01 %")
                                          : fmt::format("{:.2g} %", 100 * difference_ratio);
}

class PageWriter
{
public:
    PageWriter(const Lesson& lesson, const PageMaking& making)
        : lesson_(lesson),
          making_(making),
          words_(lessonWords(lesson)),
          scales_(phasorScales(lesson.positions)),
          page_(words_.title, lesson.invented)
    {
        for (const LessonPosition& position : lesson.positions) {
            if (position.fields) {
                largestField_ =
                    std::max(largestField_, position.fields->forward + position.fields->backward);
            }
        }
    }

    std::string write();

private:
    void addTop();
    void addSlider();
    void addControls(pugi::xml_node section);
    void addPosition(pugi::xml_node section, std::size_t index);
    [[nodiscard]] std::optional<Range> limitsOf(std::size_t chart,
                                                std::vector<double> LessonCurve::*values) const;
    [[nodiscard]] Figure ofAll(const LessonChart& chart,
                               const std::optional<LessonMark>& mark) const;
    void addTableOfAll();
    void addFormula();
    void addQuestion();
    void addDecks();
    void addOrigins();
    void addCautions();

    const Lesson& lesson_;
    const PageMaking& making_;
    LessonWords words_;
    PhasorScales scales_;
    double largestField_ = 0;
    HtmlPage page_;
};

void PageWriter::addTop()
{
    if (!lesson_.warning.empty()) {
        addElement(addElement(page_.top(), "div", {}, "verdict is-fail"), "p", lesson_.warning);
    }
    addElement(page_.top(), "p", words_.sees);
    const bool allRun = std::all_of(lesson_.positions.begin(), lesson_.positions.end(),
                                    [](const LessonPosition& position) { return position.isRun; });
    addElement(
        page_.top(), "p",
        fmt::format("Machine: {}. {}", lesson_.caseName,
                    allRun ? "Each position is a run of ngspice."
                           : "Each position is a run of ngspice, but for those that say that "
                             "they are a short, carry no current or could not be followed: "
                             "nothing was simulated for them."),
        "quiet");
    addElement(page_.top(), "p", lesson_.conditions, "quiet");
}

void PageWriter::addControls(pugi::xml_node section)
{
    pugi::xml_node controls = addElement(section, "div", {}, "controls");
    controls.append_attribute("id") = "controls";
    // A script that runs takes it away: without one there is nothing to control.
    controls.append_attribute("hidden") = "";
    pugi::xml_node box = addElement(controls, "div", {}, "slider");
    addElement(box, "label", lesson_.varies).append_attribute("for") = "slider";
    const std::string& label = lesson_.positions.at(lesson_.standard).label;
    pugi::xml_node output = addElement(box, "output", label);
    output.append_attribute("id") = "slider-value";
    output.append_attribute("for") = "slider";
    pugi::xml_node slider = box.append_child("input");
    slider.append_attribute("type") = "range";
    slider.append_attribute("id") = "slider";
    slider.append_attribute("min") = 0;
    slider.append_attribute("max") = static_cast<unsigned>(lesson_.positions.size() - 1);
    slider.append_attribute("step") = 1;
    slider.append_attribute("value") = static_cast<unsigned>(lesson_.standard);
    slider.append_attribute("aria-valuetext") = drawnText(label, longestLabel).c_str();
    const auto addButton = [&controls](const char* id, const char* text) {
        pugi::xml_node button = addElement(controls, "button", text);
        button.append_attribute("type") = "button";
        button.append_attribute("id") = id;
        return button;
    };
    addButton("previous", "Previous");
    addButton("next", "Next");
    const bool turns =
        std::any_of(lesson_.positions.begin(), lesson_.positions.end(),
                    [](const LessonPosition& position) { return !position.phasors.empty(); });
    if (turns) {
        pugi::xml_node turn = addButton("turn", "Turn");
        turn.append_attribute("data-hertz") = lesson_.frequency_Hz;
        turn.append_attribute("aria-pressed") = "false";
        addElement(controls, "span", {}, "quiet").append_attribute("id") = "pace";
    }
}

// What the charts of that place need in any position, so that the slider moves the curve and not
// the axes.
std::optional<Range> PageWriter::limitsOf(std::size_t chart,
                                          std::vector<double> LessonCurve::*values) const
{
    std::optional<Range> range;
    for (const LessonPosition& position : lesson_.positions) {
        if (chart >= position.charts.size()) {
            continue;
        }
        for (const LessonCurve& curve : position.charts[chart].curves) {
            for (const double value : curve.*values) {
                range =
                    range ? Range{std::min(range->minimum, value), std::max(range->maximum, value)}
                          : Range{value, value};
            }
        }
    }
    if (!range || range->minimum == range->maximum) {
        return std::nullopt;
    }
    if (values == &LessonCurve::y) {
        constexpr double room_ratio = 0.05;
        const double room = room_ratio * (range->maximum - range->minimum);
        range = {std::min(range->minimum, 0.0) - (range->minimum < 0 ? room : 0),
                 range->maximum + room};
    }
    return range;
}

// One of the lesson's own charts. Those over the same quantity share their x axis, so that one
// speed, or one capacitor, stands at the same place in all of them.
Figure PageWriter::ofAll(const LessonChart& chart, const std::optional<LessonMark>& mark) const
{
    Figure figure = figureOf(chart, mark ? std::vector{*mark} : std::vector<LessonMark>());
    std::vector<double> places;
    for (std::size_t k = 0; k < lesson_.charts.size(); ++k) {
        const LessonChart& other = lesson_.charts[k];
        if (other.xName != chart.xName || other.xUnit != chart.xUnit) {
            continue;
        }
        for (const LessonCurve& curve : other.curves) {
            places.insert(places.end(), curve.x.begin(), curve.x.end());
        }
        for (const LessonPosition& position : lesson_.positions) {
            if (k < position.marks.size() && position.marks[k]) {
                places.push_back(position.marks[k]->x);
            }
        }
    }
    if (!places.empty()) {
        const auto [least, most] = std::minmax_element(places.begin(), places.end());
        if (*least < *most) {
            figure.x.limits = Range{*least, *most};
        }
    }
    return figure;
}

void PageWriter::addPosition(pugi::xml_node section, std::size_t index)
{
    const LessonPosition& position = lesson_.positions.at(index);
    pugi::xml_node box = addElement(section, "div", {}, "position");
    box.append_attribute("data-position") = static_cast<unsigned>(index);
    box.append_attribute("data-label") = drawnText(position.label, longestLabel).c_str();
    if (index != lesson_.standard) {
        box.append_attribute("hidden") = "";
    }
    addElement(box, "h3", fmt::format("{}: {}", lesson_.varies, position.label));
    if (!position.says.empty()) {
        addElement(box, "p", position.says, "says");
    }
    if (!position.phasors.empty() || position.fields) {
        pugi::xml_node side = addElement(box, "div", {}, "side");
        const auto addPicture = [&side](const char* caption) {
            pugi::xml_node figure = side.append_child("figure");
            addElement(figure, "figcaption", caption);
            return figure;
        };
        if (position.fields) {
            addFields(addPicture(drawnText(position.fields->words, longestLabel).c_str()),
                      *position.fields, largestField_);
        }
        if (!position.phasors.empty()) {
            addPhasors(addPicture("Phasors, rms; angles from the line's own sine"), position,
                       scales_);
            addPhasorWaves(addPicture("The same sines over time"), position, scales_);
        }
    }
    pugi::xml_node charts = addElement(box, "div", {}, "charts");
    for (std::size_t i = 0; i < position.charts.size(); ++i) {
        Figure figure = figureOf(position.charts[i]);
        figure.x.limits = limitsOf(i, &LessonCurve::x);
        figure.y.limits = limitsOf(i, &LessonCurve::y);
        addChart(charts, figure);
    }
    for (std::size_t i = 0; i < lesson_.charts.size(); ++i) {
        // A chart that no position has its mark on is the same for all: it stands once, below.
        if (i < position.marks.size()) {
            addChart(charts, ofAll(lesson_.charts[i], position.marks[i]));
        }
    }
    if (position.wiring) {
        addWiring(box, lesson_, position);
    }
    addNumbers(box, lesson_, position);
}

void PageWriter::addSlider()
{
    pugi::xml_node section = page_.addSection("try", "Move the slider");
    addControls(section);
    for (std::size_t i = 0; i < lesson_.positions.size(); ++i) {
        addPosition(section, i);
    }
    pugi::xml_node charts = addElement(section, "div", {}, "charts");
    const std::size_t marked =
        lesson_.positions.empty() ? 0 : lesson_.positions.front().marks.size();
    for (std::size_t i = marked; i < lesson_.charts.size(); ++i) {
        addChart(charts, ofAll(lesson_.charts[i], std::nullopt));
    }
}

void PageWriter::addTableOfAll()
{
    pugi::xml_node section = page_.addSection("all", "All positions");
    std::vector<std::string> header = {lesson_.unit.empty()
                                           ? lesson_.varies
                                           : fmt::format("{}, {}", lesson_.varies, lesson_.unit)};
    for (const LessonColumn& column : lesson_.columns) {
        header.push_back(
            fmt::format("{} ({})", columnWords(column), lessonSourceName(column.source)));
    }
    std::vector<std::vector<std::string>> rows;
    for (const LessonPosition& position : lesson_.positions) {
        std::vector<std::string>& row = rows.emplace_back(std::vector{position.label});
        for (std::size_t i = 0; i < lesson_.columns.size(); ++i) {
            row.push_back(cell(position.numbers.at(i), lesson_.columns[i]));
        }
    }
    pugi::xml_node box = addElement(section, "div", {}, "positions-table");
    if (lesson_.unit.empty()) {
        box = addElement(box, "div", {}, "words");
    }
    addTable(box, "Every position of the slider", header, rows);
}

void PageWriter::addFormula()
{
    pugi::xml_node section = page_.addSection("formula", "The formula");
    pugi::xml_node box = addElement(section, "div", {}, "formula");
    pugi::xml_node math = box.append_child("math");
    math.append_attribute("xmlns") = "http://www.w3.org/1998/Math/MathML";
    math.append_attribute("display") = "block";
    math.append_attribute("alttext") = std::string(words_.formulaText).c_str();
    math.append_buffer(words_.formula.data(), words_.formula.size());
    addElement(section, "p", fmt::format("In one line: {}.", words_.formulaText), "quiet");
    pugi::xml_node list = addElement(section, "dl", {}, "symbols");
    for (const auto& [symbol, meaning] : words_.symbols) {
        addElement(list, "dt", symbol);
        addElement(list, "dd", meaning);
    }
    addElement(section, "h3", "Where it is from");
    pugi::xml_node books = section.append_child("ul");
    for (const std::string& book : words_.books) {
        addElement(books, "li", book);
    }
    if (!lesson_.comparisons.empty()) {
        std::map<std::string, std::string> given;  // of the run, to which comparisons
        std::vector<std::vector<std::string>> rows;
        for (const LessonComparison& each : lesson_.comparisons) {
            const int digits = std::max(4, digitsToTell(each.fromRun, each.fromFormula));
            rows.push_back({each.words, withUnit(each.fromRun, each.unit, digits),
                            withUnit(each.fromFormula, each.unit, digits),
                            apartText(each.difference_ratio())});
            if (!each.given.empty()) {
                std::string& which = given[each.given];
                which += (which.empty() ? "" : "; ") + each.words;
            }
        }
        addTable(section, "The formula on this same motor, and the run",
                 {"what", "ngspice run", "textbook formula", "apart"}, rows);
        for (const auto& [what, which] : given) {
            addElement(
                section, "p",
                fmt::format("{}: the formula is given {}: it tests the torque equation only.",
                            which, what),
                "quiet");
        }
    }
}

void PageWriter::addQuestion()
{
    pugi::xml_node section = page_.addSection("question", "A question");
    addElement(section, "p", words_.question);
    pugi::xml_node details = addElement(section, "details", {}, "answer");
    addElement(details, "summary", "Answer");
    addElement(details, "p", words_.answer);
}

void PageWriter::addDecks()
{
    pugi::xml_node section = page_.addSection("netlist", "The netlist");
    addElement(section, "p",
               "Stock ngspice runs it: ngspice -b FILE. What the slider moves stands in its first "
               "lines.");
    for (const LessonDeck& deck : lesson_.decks) {
        pugi::xml_node details = section.append_child("details");
        addElement(details, "summary", fmt::format("{}: {}", deck.fileName, deck.words));
        addNetlist(details, deck.text, deck.fileName);
    }
}

void PageWriter::addOrigins()
{
    pugi::xml_node section = page_.addSection("origin", "Where the numbers come from");
    addElement(section, "p",
               fmt::format("{} Every number of the positions is from a run of ngspice, or worked "
                           "out from one, or the textbook's formula, or computed from the "
                           "resistances, as each says.",
                           lesson_.motor));
    addElement(section, "p",
               fmt::format("From the case file {} on {} by {}.",
                           lesson_.ownCase ? lesson_.caseFile
                                           : lesson_.caseFile + ", which the program brings along,",
                           making_.time, making_.versions));
    pugi::xml_node list = section.append_child("ul");
    for (const std::string& note : lesson_.notes) {
        addElement(list, "li", note);
    }
}

void PageWriter::addCautions()
{
    pugi::xml_node section = page_.addSection("cautions", "Before anyone touches a bench");
    HtmlProse prose(addElement(section, "div", {}, "caution"));
    writeCautions(prose);
}

std::string PageWriter::write()
{
    addTop();
    addSlider();
    addTableOfAll();
    addFormula();
    addQuestion();
    addDecks();
    addOrigins();
    addCautions();
    page_.addData("lesson-data", lessonJson(lesson_));
    page_.addStyle("lesson.css");
    page_.addScript("lesson.js");
    return page_.document();
}

}  // namespace

std::string lessonPage(const Lesson& lesson, const PageMaking& making)
{
    return PageWriter(lesson, making).write();
}

}  // namespace splitstart
