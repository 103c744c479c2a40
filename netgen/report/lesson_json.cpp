#include <fmt/format.h>

#include "report/lesson_page.h"

namespace splitstart
{

namespace
{

Json numberOrNull(const std::optional<double>& number)
{
    return number ? Json(*number) : Json(nullptr);
}

Json rangeJson(const Range& range)
{
    return {{"minimum", range.minimum}, {"maximum", range.maximum}};
}

// Six digits are more than a curve shows.
Json coordinates(const std::vector<double>& values)
{
    Json list = Json::array();
    for (const double value : values) {
        list.push_back(std::stod(fmt::format("{:.6g}", value)));
    }
    return list;
}

Json marksJson(const std::vector<LessonMark>& marks)
{
    Json list = Json::array();
    for (const LessonMark& mark : marks) {
        list.push_back({{"name", mark.name}, {"x", mark.x}, {"y", mark.y}});
    }
    return list;
}

Json chartJson(const LessonChart& chart)
{
    Json curves = Json::array();
    for (const LessonCurve& curve : chart.curves) {
        curves.push_back({{"name", curve.name},
                          {"column", curve.column},
                          {"x", coordinates(curve.x)},
                          {"y", coordinates(curve.y)}});
    }
    Json bands = Json::array();
    for (const LessonBand& band : chart.bands) {
        Json json = rangeJson(band.range);
        json["name"] = band.name;
        json["axis"] = band.ofX ? "x" : "y";
        bands.push_back(std::move(json));
    }
    return {{"id", chart.id},
            {"title", chart.title},
            {"x", {{"name", chart.xName}, {"unit", chart.xUnit}}},
            {"y", {{"name", chart.yName}, {"unit", chart.yUnit}}},
            {"curves", std::move(curves)},
            {"bands", std::move(bands)},
            {"marks", marksJson(chart.marks)}};
}

Json chartsJson(const std::vector<LessonChart>& charts)
{
    Json list = Json::array();
    for (const LessonChart& chart : charts) {
        list.push_back(chartJson(chart));
    }
    return list;
}

Json positionJson(const Lesson& lesson, const LessonPosition& position)
{
    Json json = {{"value", position.value},
                 {"label", position.label},
                 {"says", position.says},
                 {"simulated", position.isRun}};
    Json& numbers = json["numbers"] = Json::object();
    for (std::size_t i = 0; i < lesson.columns.size(); ++i) {
        numbers[lesson.columns[i].name] = numberOrNull(position.numbers.at(i));
    }
    Json& phasors = json["phasors"] = Json::array();
    for (const LessonPhasor& phasor : position.phasors) {
        phasors.push_back({{"name", phasor.name},
                           {"words", phasor.words},
                           {"unit", phasor.unit},
                           {"rms", phasor.magnitude},
                           {"angle_deg", phasor.angle_deg}});
    }
    if (position.fields) {
        json["fields"] = {{"words", position.fields->words},
                          {"unit", position.fields->unit},
                          {"forward", position.fields->forward},
                          {"backward", position.fields->backward}};
    }
    json["charts"] = chartsJson(position.charts);
    if (position.wiring) {
        Json& wires = json["wires"] = Json::array();
        for (const Wire& wire : position.wiring->wires) {
            wires.push_back({{"from", terminalText(wire.from)}, {"to", terminalText(wire.to)}});
        }
    }
    return json;
}

}  // namespace

Json lessonJson(const Lesson& lesson)
{
    Json json = {{"schema", 1},
                 {"lesson", lesson.name},
                 {"case", lesson.caseName},
                 {"case_file", lesson.caseFile},
                 {"invented", lesson.invented},
                 {"conditions", lesson.conditions},
                 {"warning", lesson.warning},
                 {"hertz", lesson.frequency_Hz},
                 {"motor", lesson.motor},
                 {"varies", lesson.varies},
                 {"unit", lesson.unit},
                 {"standard_position", lesson.standard}};
    Json& columns = json["columns"] = Json::array();
    for (const LessonColumn& column : lesson.columns) {
        columns.push_back({{"name", column.name},
                           {"words", column.words},
                           {"unit", column.unit},
                           {"source", lessonSourceName(column.source)}});
    }
    Json& positions = json["positions"] = Json::array();
    for (const LessonPosition& position : lesson.positions) {
        positions.push_back(positionJson(lesson, position));
    }
    json["charts"] = chartsJson(lesson.charts);
    Json& comparisons = json["comparisons"] = Json::array();
    for (const LessonComparison& comparison : lesson.comparisons) {
        comparisons.push_back({{"words", comparison.words},
                               {"unit", comparison.unit},
                               {"run", comparison.fromRun},
                               {"formula", comparison.fromFormula},
                               {"formula_was_given", comparison.given},
                               {"difference_percent", 100 * comparison.difference_ratio()}});
    }
    Json& decks = json["decks"] = Json::array();
    for (const LessonDeck& deck : lesson.decks) {
        decks.push_back({{"file", deck.fileName}, {"words", deck.words}});
    }
    json["notes"] = lesson.notes;
    return json;
}

}  // namespace splitstart
