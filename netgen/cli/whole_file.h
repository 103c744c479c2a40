// Output files that appear whole or not at all.
#pragma once

#include <string>

namespace splitstart
{

// Writes the text to a temporary file in the same folder and renames it into place, so that a full
// disk, a crash or an interrupt leaves the old file or none. A link stays and what it points to is
// replaced; a device or pipe takes the text as it comes. Throws std::runtime_error with a plain
// sentence that names the file and the reason.
void writeWholeFile(const std::string& path, const std::string& text);

}  // namespace splitstart
