#include "spice/worker_status.h"

#include <algorithm>
#include <cstring>

namespace splitstart
{

void RunLog::append(std::string_view line)
{
    std::array<char, 16384>& text = status_.log;
    std::uint32_t length = status_.logLength;
    constexpr std::size_t longestLine = 2000;
    line = line.substr(0, longestLine);
    if (length + line.size() + 1 > text.size()) {
        // Half goes at once, so that a flood of lines costs little; whole lines stay.
        const char* const begin = text.data();
        const char* const end = begin + length;
        const char* const from = std::find(begin + length / 2, end, '\n');
        const char* const keep = from == end ? end : from + 1;
        length = static_cast<std::uint32_t>(end - keep);
        std::memmove(text.data(), keep, length);
    }
    std::memcpy(text.data() + length, line.data(), line.size());
    length += static_cast<std::uint32_t>(line.size());
    text.at(length) = '\n';
    status_.logLength = length + 1;
}

std::string logText(const WorkerStatus& status)
{
    const std::size_t length = std::min<std::size_t>(status.logLength, status.log.size());
    return {status.log.data(), length};
}

std::string lastLines(std::string_view log, std::size_t count)
{
    std::size_t start = log.size();
    if (start > 0 && log.back() == '\n') {
        --start;
    }
    for (; count > 0 && start != std::string_view::npos && start > 0; --count) {
        start = log.rfind('\n', start - 1);
    }
    const bool isWhole = start == std::string_view::npos || start == 0;
    return std::string(log.substr(isWhole ? 0 : start + 1));
}

}  // namespace splitstart
