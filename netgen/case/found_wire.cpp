#include "case/found_wire.h"

#include <fmt/format.h>

#include <stdexcept>

#include "case/text.h"

namespace splitstart
{

namespace
{

bool hasBlank(std::string_view text)
{
    for (std::size_t offset = 0; offset < text.size();) {
        const CodePoint character = firstCodePoint(text.substr(offset));
        if (isBlank(character.value)) {
            return true;
        }
        offset += character.length;
    }
    return false;
}

}  // namespace

bool isWireEnd(std::string_view text)
{
    constexpr std::size_t longest = 60;
    const std::size_t dot = text.find('.');
    return dot != std::string_view::npos && dot > 0 && dot + 1 < text.size() &&
           text.find('.', dot + 1) == std::string_view::npos && characterCount(text) <= longest &&
           !hasControl(text) && !hasBlank(text);
}

FoundWire parseFoundWire(std::string_view text)
{
    const std::size_t equals = text.find('=');
    if (equals == std::string_view::npos || !isWireEnd(text.substr(0, equals)) ||
        !isWireEnd(text.substr(equals + 1)) ||
        text.find('=', equals + 1) != std::string_view::npos) {
        throw std::invalid_argument(
            fmt::format("--wire: found \"{}\"; allowed: two wire ends with an equals sign between, "
                        "such as relay.2=compressor.S",
                        shortText(text)));
    }
    return {std::string(text.substr(0, equals)),
            std::string(text.substr(equals + 1)),
            {fmt::format("--wire {}", text), 0}};
}

}  // namespace splitstart
