#include "cli/page_making.h"

#include <fmt/chrono.h>
#include <fmt/format.h>

#include <cstdlib>
#include <ctime>

#include "cli/version.h"

namespace splitstart
{

namespace
{

// Now, or what SOURCE_DATE_EPOCH says, so that a page can be made again byte for byte
// (reproducible-builds.org).
std::string timeOfMaking()
{
    const char* const fixed = std::getenv("SOURCE_DATE_EPOCH");  // NOLINT(concurrency-mt-unsafe)
    if (fixed != nullptr) {
        const std::time_t seconds = std::strtoll(fixed, nullptr, 10);
        return fmt::format("{:%Y-%m-%d %H:%M} UTC", fmt::gmtime(seconds));
    }
    return fmt::format("{:%Y-%m-%d %H:%M}", fmt::localtime(std::time(nullptr)));
}

}  // namespace

PageMaking pageMaking()
{
    std::string versions = versionText();
    versions.pop_back();  // its end of line
    return {timeOfMaking(), versions};
}

}  // namespace splitstart
