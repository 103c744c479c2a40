#include "cli/page_making.h"

#include <fmt/chrono.h>
#include <fmt/format.h>

#include <charconv>
#include <cstdint>
#include <cstdlib>
#include <ctime>
#include <string_view>

#include "case/text.h"
#include "cli/command.h"
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
        constexpr std::int64_t yearTenThousand_s = 253402300800;
        std::int64_t seconds = -1;
        const std::string_view text(fixed);
        const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), seconds);
        if (error != std::errc() || end != text.data() + text.size() || seconds < 0 ||
            seconds >= yearTenThousand_s) {
            throw UsageError(
                fmt::format("SOURCE_DATE_EPOCH: found \"{}\"; allowed: whole seconds since 1970, 0 "
                            "to {}",
                            shortText(text), yearTenThousand_s - 1));
        }
        return fmt::format("{:%Y-%m-%d %H:%M} UTC", fmt::gmtime(static_cast<std::time_t>(seconds)));
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
