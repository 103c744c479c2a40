#include <fmt/format.h>

#include <deque>
#include <stdexcept>

#include "case/text.h"
#include "cli/command.h"
#include "cli/row_file.h"
#include "cli/row_options.h"
#include "cli/whole_file.h"

namespace splitstart
{

namespace po = boost::program_options;

namespace
{

// The header without the part that one file is.
SweepHeader wholeHeader(SweepHeader header)
{
    header.shard.reset();
    return header;
}

// "3, 7, 11 and 40 more", counted from 1.
std::string listed(const std::vector<std::size_t>& numbers)
{
    constexpr std::size_t mostNamed = 5;
    std::string text;
    for (std::size_t i = 0; i < std::min(numbers.size(), mostNamed); ++i) {
        text += fmt::format("{}{}", i == 0 ? "" : ", ", numbers[i] + 1);
    }
    return numbers.size() > mostNamed
               ? fmt::format("{} and {} more", text, numbers.size() - mostNamed)
               : text;
}

}  // namespace

CommandLine mergeLine()
{
    CommandLine line(
        "splitstart merge PART.jsonl... -o FILE [options]",
        "Puts the parts of a sweep together that `splitstart sweep --shard K/N` wrote, here or on "
        "other machines. The file is the same, byte for byte, as that of a sweep on one machine. "
        "Nothing is written unless every row is there.",
        "splitstart merge part-1.jsonl part-2.jsonl -o sweep.csv", "csv|json");
    line.statuses = {{allPass, "done"},
                     {badInput, "parts are missing or of different sweeps, or bad usage"},
                     {simulatorFailed, "some starts could not be simulated"}};
    line.takesCase = false;
    line.takesFiles = true;
    return line;
}

int mergeCommand(const po::variables_map& values)
{
    if (values.count("files") == 0) {
        throw UsageError("the parts of a sweep are missing");
    }
    const std::optional<RowFormat> format = rowFormatFrom(values);
    if (!format) {
        throw UsageError("name the file to write: -o sweep.csv or -o sweep.jsonl");
    }
    std::deque<RowFile> parts;
    for (const std::string& path : values["files"].as<std::vector<std::string>>()) {
        parts.emplace_back(path);
    }
    const SweepHeader header = wholeHeader(parts.front().header());
    std::vector<const RowFile*> owner(header.rows);
    for (const RowFile& part : parts) {
        if (headerLine(wholeHeader(part.header())) != headerLine(header)) {
            throw std::runtime_error(fmt::format(
                "{} and {} are of different sweeps (case, parts, fields, values or options differ)",
                shortText(parts.front().path(), 500), shortText(part.path(), 500)));
        }
        for (std::size_t number = 0; number < header.rows; ++number) {
            if (!part.has(number)) {
                continue;
            }
            if (owner[number] != nullptr && owner[number]->line(number) != part.line(number)) {
                throw std::runtime_error(fmt::format(
                    "row {} is not the same in {} and {}", number + 1,
                    shortText(owner[number]->path(), 500), shortText(part.path(), 500)));
            }
            owner[number] = &part;
        }
    }
    std::vector<std::size_t> missing;
    for (std::size_t number = 0; number < header.rows; ++number) {
        if (owner[number] == nullptr) {
            missing.push_back(number);
        }
    }
    if (!missing.empty()) {
        throw std::runtime_error(
            fmt::format("{} of {} rows are in none of the parts: {}; compute the part that is "
                        "missing, or finish it with --resume",
                        missing.size(), header.rows, listed(missing)));
    }
    const std::string path =
        values.count("output") != 0 ? values["output"].as<std::string>() : "/dev/stdout";
    const bool whole = writeRows(path, header, *format, [&owner](std::size_t number) {
        return std::optional(owner[number]->line(number));
    });
    return exitStatusOfRows(whole);
}

}  // namespace splitstart
