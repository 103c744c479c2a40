// Output files that appear whole or not at all.
#pragma once

#include <functional>
#include <string>

namespace splitstart
{

// Writes the text to a temporary file in the same folder and renames it into place, so that a full
// disk, a crash or an interrupt leaves the old file or none. A link stays and what it points to is
// replaced; a device or pipe takes the text as it comes. Throws std::runtime_error with a plain
// sentence that names the file and the reason.
void writeWholeFile(const std::string& path, const std::string& text);

// The same for a text that is too long to hold: `produce` writes it piece by piece. If it throws,
// the file stays as it was.
using TextSink = std::function<void(const std::string&)>;
void writeWholeFile(const std::string& path, const std::function<void(const TextSink&)>& produce);

// Whether a whole file can be put there by renaming, rather than a device or pipe that takes the
// text as it comes. Throws std::runtime_error, with the words of writeWholeFile(), where nothing
// can be written at all: a folder, a link to nothing, a folder that is not there.
bool isReplaceable(const std::string& path);

// Everything, however many pieces it takes. 0, or the error number.
int writeAll(int descriptor, const std::string& text);

}  // namespace splitstart
