#include "report/sweep_table.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cstdint>
#include <stdexcept>
#include <utility>

#include "case/text.h"
#include "report/json.h"
#include "report/text_page.h"

namespace splitstart
{

namespace
{

constexpr int schema = 1;

double rounded(double value)
{
    const std::string digits = fmt::format("{:.7g}", value);
    double result = value;
    std::from_chars(digits.data(), digits.data() + digits.size(), result);
    return result;
}

Json jsonOf(const SweepValue& value)
{
    if (const auto* number = std::get_if<double>(&value)) {
        const double shown = rounded(*number);
        // Counts and numbers of cases without a point.
        constexpr double largestWhole = 1e9;
        if (shown == static_cast<double>(static_cast<long long>(shown)) &&
            std::abs(shown) < largestWhole) {
            return static_cast<long long>(shown);
        }
        return shown;
    }
    if (const auto* word = std::get_if<std::string>(&value)) {
        return *word;
    }
    return nullptr;
}

// A field with a comma, a quote or a line end stands in quotes, quotes in it doubled.
std::string quoted(const std::string& text)
{
    if (text.find_first_of(",\"\r\n") == std::string::npos) {
        return text;
    }
    std::string result = "\"";
    for (const char letter : text) {
        result += letter == '"' ? "\"\"" : std::string(1, letter);
    }
    return result + '"';
}

std::string cellText(const SweepValue& value)
{
    if (const auto* number = std::get_if<double>(&value)) {
        return fmt::format("{}", rounded(*number));
    }
    if (const auto* word = std::get_if<std::string>(&value)) {
        return *word;
    }
    return {};
}

// Shown to people where nobody says what to show.
constexpr std::array<std::string_view, 10> mainColumns = {
    "time_to_speed_s",         "speed_at_opening_ratio",
    "start_contact_openings",  "line_stalled_a",
    "start_capacitor_worst_v", "start_winding_running_v",
    "run_capacitor_running_v", "line_running_a",
    "standstill_torque_nm",    "problem"};

std::string shownNumber(const SweepValue& value)
{
    if (const auto* number = std::get_if<double>(&value)) {
        return fmt::format("{:.4g}", *number);
    }
    const auto* word = std::get_if<std::string>(&value);
    return word != nullptr ? shortText(*word) : "-";
}

// A cell of the most probable motor, and between which values nine tenths of the others lie.
// `rows`: those of one case, that of the most probable motor first.
std::string shownSpread(std::span<const SweepRow> rows, std::size_t column)
{
    std::string text = shownNumber(rows.front().cells[column]);
    std::vector<double> others;
    for (const SweepRow& row : rows.subspan(1)) {
        if (const auto* number = std::get_if<double>(&row.cells[column])) {
            others.push_back(*number);
        }
    }
    if (others.empty()) {
        return text;
    }
    std::sort(others.begin(), others.end());
    const auto left = static_cast<std::size_t>(0.05 * static_cast<double>(others.size()));
    text += fmt::format(" ({:.3g}..{:.3g}", others[left], others[others.size() - 1 - left]);
    // Not every motor has a time to speed: some do not get there.
    if (others.size() + 1 < rows.size()) {
        text += fmt::format(" in {} of {}", others.size(), rows.size() - 1);
    }
    return text + ")";
}

// 0 where it is no count that a sweep can have.
std::size_t countOf(const Json& json)
{
    const auto count = json.is_number_unsigned() ? json.get<std::uint64_t>() : 0;
    return count <= mostCases ? static_cast<std::size_t>(count) : 0;
}

}  // namespace

std::string headerLine(const SweepHeader& header)
{
    Json json;
    json["schema"] = schema;
    json["what"] = "sweep";
    json["case"] = header.caseName;
    json["invented"] = header.invented;
    json["motor"] = header.motorGiven ? "given" : "estimated";
    json["ngspice"] = header.simulator;
    json["plan"] = header.plan;
    json["rows"] = header.rows;
    json["motors_per_case"] = header.motorsPerCase;
    if (header.shard) {
        json["shard"] = *header.shard;
    }
    for (const SweepColumn& column : header.columns) {
        json["columns"].push_back(
            {{"name", column.name}, {"unit", column.unit}, {"meaning", column.meaning}});
    }
    return json.dump(-1, ' ', false, Json::error_handler_t::replace);
}

std::optional<SweepHeader> headerOfLine(std::string_view line)
{
    const Json json = Json::parse(line, nullptr, false);
    try {
        if (json.is_discarded() || json.at("schema") != schema || json.at("what") != "sweep") {
            return std::nullopt;
        }
        SweepHeader header;
        json.at("case").get_to(header.caseName);
        json.at("invented").get_to(header.invented);
        header.motorGiven = json.at("motor") == "given";
        json.at("ngspice").get_to(header.simulator);
        json.at("plan").get_to(header.plan);
        header.rows = countOf(json.at("rows"));
        header.motorsPerCase = countOf(json.at("motors_per_case"));
        if (json.contains("shard")) {
            header.shard = json.at("shard").get<std::string>();
        }
        for (const Json& column : json.at("columns")) {
            header.columns.push_back({column.at("name"), column.at("unit"), column.at("meaning")});
        }
        return header.rows == 0 || header.motorsPerCase == 0 ? std::nullopt : std::optional(header);
    } catch (const Json::exception&) {
        return std::nullopt;
    }
}

std::string rowLine(const SweepHeader& header, const SweepRow& row)
{
    Json json;
    for (std::size_t i = 0; i < header.columns.size(); ++i) {
        json[header.columns[i].name] = jsonOf(row.cells[i]);
    }
    return json.dump(-1, ' ', false, Json::error_handler_t::replace);
}

std::optional<SweepRow> rowOfLine(const SweepHeader& header, std::string_view line)
{
    const Json json = Json::parse(line, nullptr, false);
    if (!json.is_object() || json.size() != header.columns.size()) {
        return std::nullopt;
    }
    SweepRow row;
    std::optional<double> caseNumber;
    std::optional<double> motor;
    for (const SweepColumn& column : header.columns) {
        const auto cell = json.find(column.name);
        if (cell == json.end()) {
            return std::nullopt;
        }
        if (cell->is_number()) {
            row.cells.emplace_back(cell->get<double>());
        } else if (cell->is_string()) {
            row.cells.emplace_back(cell->get<std::string>());
        } else if (cell->is_null()) {
            row.cells.emplace_back();
        } else {
            return std::nullopt;
        }
        if (column.name == "case" && cell->is_number_unsigned()) {
            caseNumber = cell->get<double>();
        } else if (column.name == "motor" && cell->is_number_unsigned()) {
            motor = cell->get<double>();
        }
    }
    const auto each = static_cast<double>(header.motorsPerCase);
    if (!caseNumber || !motor || *caseNumber < 1 || *motor >= each ||
        (*caseNumber - 1) * each + *motor >= static_cast<double>(header.rows)) {
        return std::nullopt;
    }
    row.number = static_cast<std::size_t>((*caseNumber - 1) * each + *motor);
    return row;
}

std::string csvHeader(const SweepHeader& header)
{
    std::string line;
    for (const SweepColumn& column : header.columns) {
        line += (line.empty() ? "" : ",") + quoted(column.name);
    }
    return line + "\r\n";
}

std::string csvRow(const SweepRow& row)
{
    std::string line;
    for (std::size_t i = 0; i < row.cells.size(); ++i) {
        line += (i == 0 ? "" : ",") + quoted(cellText(row.cells[i]));
    }
    return line + "\r\n";
}

bool hasProblem(const SweepRow& row)
{
    return !row.cells.empty() && !std::holds_alternative<std::monostate>(row.cells.back());
}

std::string rowCount(std::size_t count)
{
    return fmt::format("{} row{}", count, count == 1 ? "" : "s");
}

std::string columnsText(std::span<const SweepColumn> columns)
{
    std::size_t longest = 0;
    for (const SweepColumn& column : columns) {
        longest = std::max(longest, column.name.size());
    }
    std::string text;
    for (const SweepColumn& column : columns) {
        text += fmt::format("{:<{}}  {:<8}  {}\n", column.name, longest,
                            column.unit.empty() ? "-" : column.unit, column.meaning);
    }
    return text;
}

std::string sweepText(const SweepHeader& header, std::span<const SweepRow> rows,
                      std::span<const std::string> shown, const TextStyle& style)
{
    std::vector<std::size_t> places;
    const auto place = [&](std::string_view name) {
        return static_cast<std::size_t>(
            std::find_if(header.columns.begin(), header.columns.end(),
                         [name](const SweepColumn& column) { return column.name == name; }) -
            header.columns.begin());
    };
    for (std::size_t i = 0; i < place("motor"); ++i) {
        places.push_back(i);
    }
    const std::size_t asSet = places.size();
    for (const std::string& name : shown) {
        if (place(name) == header.columns.size()) {
            throw std::invalid_argument(name);
        }
        places.push_back(place(name));
    }
    if (shown.empty()) {
        for (const std::string_view name : mainColumns) {
            const std::size_t at = place(name);
            if (at < header.columns.size() &&
                std::any_of(rows.begin(), rows.end(), [at](const SweepRow& row) {
                    return !std::holds_alternative<std::monostate>(row.cells[at]);
                })) {
                places.push_back(at);
            }
        }
    }
    TextPage page(false, style.width);
    page.heading(fmt::format("{}{}: {}", header.caseName, header.invented ? " (invented)" : "",
                             rowCount(rows.size())));
    page.blank();
    const auto cell = [&](std::size_t first, std::size_t i) {
        const std::span<const SweepRow> ofCase =
            rows.subspan(first, std::min(header.motorsPerCase, rows.size() - first));
        return i < asSet ? shownNumber(ofCase.front().cells[places[i]])
                         : shownSpread(ofCase, places[i]);
    };
    // Letters at the head of the columns keep the lines short enough for a screen.
    std::vector<std::size_t> widths;
    const auto letter = [](std::size_t i) {
        return std::string(1, static_cast<char>('A' + i % 26));
    };
    for (std::size_t i = 0; i < places.size(); ++i) {
        const SweepColumn& column = header.columns[places[i]];
        page.paragraph(
            fmt::format("{}  {}{}: {}", letter(i), column.name,
                        column.unit.empty() ? "" : " [" + column.unit + "]", column.meaning),
            2, 3);
        std::size_t width = 1;
        for (std::size_t first = 0; first < rows.size(); first += header.motorsPerCase) {
            width = std::max(width, characterCount(cell(first, i)));
        }
        widths.push_back(width);
    }
    page.blank();
    const auto line = [&](const auto& textOf) {
        std::string text;
        for (std::size_t i = 0; i < places.size(); ++i) {
            text += fmt::format("  {:>{}}", textOf(i), widths[i]);
        }
        page.line(text);
    };
    line(letter);
    for (std::size_t first = 0; first < rows.size(); first += header.motorsPerCase) {
        line([&](std::size_t i) { return cell(first, i); });
    }
    page.blank();
    if (header.motorGiven) {
        page.paragraph(
            "The motor is given in full by the case: nothing of it was estimated. Each "
            "row is one simulated start.");
        return page.text();
    }
    page.paragraph(
        header.motorsPerCase > 1
            ? fmt::format("The motor was estimated from readings and nameplate: each number is of "
                          "one simulated start of the most probable one, and in brackets stands "
                          "between which values nine tenths of {} other possible motors lie.",
                          header.motorsPerCase - 1)
            : std::string("The motor was estimated from readings and nameplate: each row is one "
                          "simulated start of the most probable one. How sure that is, --machines "
                          "30 shows: it adds other motors that the readings leave possible."));
    page.paragraph("`splitstart check` judges one case.");
    return page.text();
}

}  // namespace splitstart
