// Reading case and parts files. Every field is checked; nothing unknown is passed over.
#pragma once

#include <string>
#include <string_view>

#include "case/case.h"

namespace splitstart
{

// Reads a case file and the parts file it names (relative to the case file's folder).
// Throws InputError with all problems found, and nothing else but std::bad_alloc.
Case readCaseFile(const std::string& path);

// Reads a parts file on its own. Throws InputError.
PartsList readPartsFile(const std::string& path);

// The same from text; `name` stands for the file in messages, and a named parts file is looked for
// in `folder`. Throws InputError.
Case readCaseText(std::string_view text, const std::string& name, const std::string& folder);
PartsList readPartsText(std::string_view text, const std::string& name);

// The names that an attribute of this kind may have, for messages and other readers.
std::string_view measuredQuantityName(MeasuredQuantity quantity);

}  // namespace splitstart
