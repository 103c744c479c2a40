#include "cli/row_options.h"

#include <fmt/format.h>

#include "case/text.h"

namespace splitstart
{

std::optional<RowFormat> rowFormatFrom(const boost::program_options::variables_map& values)
{
    const auto& format = values["format"].as<std::string>();
    const bool isAsked = !values["format"].defaulted();
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
    return path.ends_with(".jsonl") || path.ends_with(".json") ? RowFormat::jsonLines
                                                               : RowFormat::csv;
}

int exitStatusOfRows(bool whole)
{
    return whole ? allPass : simulatorFailed;
}

}  // namespace splitstart
