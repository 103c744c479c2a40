#include "cli/row_options.h"

#include <fmt/format.h>

#include "case/text.h"

namespace splitstart
{

namespace
{

bool isNamedJson(const std::string& path)
{
    return path.ends_with(".jsonl") || path.ends_with(".json");
}

// Whoever reads a file by its name would not find in it what the name says.
void refuseAnotherEnding(const boost::program_options::variables_map& values,
                         const std::string& format)
{
    const std::string path =
        values.count("output") != 0 ? values["output"].as<std::string>() : std::string();
    const bool csvIntoJson = format == "csv" && isNamedJson(path);
    const bool jsonIntoCsv = format == "json" && path.ends_with(".csv");
    if (csvIntoJson || jsonIntoCsv) {
        throw UsageError(fmt::format(
            "--format {}: {} is named for {}; leave out --format, or name a file with the ending "
            "{}",
            format, shortText(path), csvIntoJson ? "JSON lines" : "CSV",
            csvIntoJson ? ".csv" : ".jsonl"));
    }
}

}  // namespace

std::optional<RowFormat> rowFormatFrom(const boost::program_options::variables_map& values)
{
    const auto& format = values["format"].as<std::string>();
    const bool isAsked = !values["format"].defaulted();
    if (isAsked) {
        refuseAnotherEnding(values, format);
    }
    if (isAsked && format == "csv") {
        return RowFormat::csv;
    }
    if (isAsked && format == "json") {
        return RowFormat::jsonLines;
    }
    if (isAsked && format != "text") {
        throw UsageError(
            fmt::format("--format: found \"{}\"; allowed: text, csv or json", shortText(format)));
    }
    if (values.count("output") == 0) {
        return std::nullopt;
    }
    if (isAsked) {
        throw UsageError("--format text is for the screen; a file takes csv or json");
    }
    const auto& path = values["output"].as<std::string>();
    return isNamedJson(path) ? RowFormat::jsonLines : RowFormat::csv;
}

int exitStatusOfRows(bool whole)
{
    return whole ? allPass : simulatorFailed;
}

}  // namespace splitstart
