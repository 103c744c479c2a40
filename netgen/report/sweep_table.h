// The results of a sweep as CSV (RFC 4180), as JSON lines, and as a table for people.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "report/report.h"
#include "study/sweep.h"

namespace splitstart
{

// What a file of rows says of itself, so that parts of one sweep find together.
struct SweepHeader {
    std::string caseName;
    bool invented = false;
    bool motorGiven = false;        // false: estimated
    std::string simulator;          // ngspice's version
    std::string plan;               // the same for the same case, parts, fields, values and options
    std::size_t rows = 0;           // of the whole sweep
    std::size_t motorsPerCase = 1;  // rows of each case
    std::optional<std::string> shard;  // "2/5" where the file holds that part only
    std::vector<SweepColumn> columns;
};

// One line without line end. Numbers have seven significant digits in all forms: more than the
// simulation is exact to, and few enough to hide another processor's last bits.
std::string headerLine(const SweepHeader& header);
std::string rowLine(const SweepHeader& header, const SweepRow& row);

// Back from such a line; empty if it is none, or not whole.
std::optional<SweepHeader> headerOfLine(std::string_view line);
std::optional<SweepRow> rowOfLine(const SweepHeader& header, std::string_view line);

std::string csvHeader(const SweepHeader& header);  // with line end, as the next
std::string csvRow(const SweepRow& row);

// Whether the row has a reason why it has no numbers.
bool hasProblem(const SweepRow& row);

// "1 row", "12 rows"
std::string rowCount(std::size_t count);

// The table of columns: name, unit, meaning.
std::string columnsText(std::span<const SweepColumn> columns);

// The rows, all of some cases in the order of their numbers, as a table with a line for each case:
// what was varied, and the columns of those names (empty: the main ones, as
// far as any row has them). Throws std::invalid_argument with a name that is no column.
std::string sweepText(const SweepHeader& header, std::span<const SweepRow> rows,
                      std::span<const std::string> shown, const TextStyle& style);

}  // namespace splitstart
