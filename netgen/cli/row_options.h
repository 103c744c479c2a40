// What the commands that write rows share.
#pragma once

#include "cli/command.h"
#include "cli/row_file.h"

namespace splitstart
{

// What --format and --output ask for: that of --format; without it, that of the file's ending
// (.jsonl and .json: JSON lines, else CSV); empty: a table on the screen. Throws UsageError, also
// where the file is named for the other format than --format asks for.
std::optional<RowFormat> rowFormatFrom(const boost::program_options::variables_map& values);

// allPass, or simulatorFailed where a row has no numbers.
int exitStatusOfRows(bool whole);

}  // namespace splitstart
