// The text files compiled into the library: models/*.lib, netgen/circuit/standard/*.xml, the cases
// of the lessons, netgen/study/lessons/*.xml, and what pages are made of: netgen/report/page/* and
// the plotting library.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace splitstart
{

struct EmbeddedFile {
    std::string_view name;  // file name without folder, such as "supply.lib"
    std::string_view text;
};

// All embedded files, in the order of their names within each folder.
const std::vector<EmbeddedFile>& embeddedFiles();

}  // namespace splitstart
