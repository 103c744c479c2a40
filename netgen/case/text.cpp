#include "case/text.h"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <vector>

namespace splitstart
{

namespace
{

constexpr CodePoint invalidByte{0xFFFD, 1, false};

unsigned byteAt(std::string_view text, std::size_t index)
{
    return static_cast<unsigned char>(text[index]);
}

// Bounds of the second byte shut out overlong forms, surrogates and values above U+10FFFF.
bool secondByteFits(unsigned lead, unsigned second)
{
    const unsigned low = lead == 0xE0 ? 0xA0 : lead == 0xF0 ? 0x90 : 0x80;
    const unsigned high = lead == 0xED ? 0x9F : lead == 0xF4 ? 0x8F : 0xBF;
    return second >= low && second <= high;
}

struct Interval {
    char32_t first;
    char32_t last;
};

bool contains(std::span<const Interval> intervals, char32_t character)
{
    return std::any_of(intervals.begin(), intervals.end(), [character](const Interval& interval) {
        return character >= interval.first && character <= interval.last;
    });
}

// Optimal string alignment distance: insertions, deletions, substitutions, swaps of neighbours.
std::size_t editDistance(std::string_view a, std::string_view b)
{
    std::vector<std::size_t> beforeLast(b.size() + 1);
    std::vector<std::size_t> last(b.size() + 1);
    std::vector<std::size_t> row(b.size() + 1);
    for (std::size_t j = 0; j <= b.size(); ++j) {
        last[j] = j;
    }
    for (std::size_t i = 1; i <= a.size(); ++i) {
        row[0] = i;
        for (std::size_t j = 1; j <= b.size(); ++j) {
            const std::size_t exchange = last[j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1);
            row[j] = std::min({last[j] + 1, row[j - 1] + 1, exchange});
            const bool swapped = i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1];
            if (swapped) {
                row[j] = std::min(row[j], beforeLast[j - 2] + 1);
            }
        }
        std::swap(beforeLast, last);
        std::swap(last, row);
    }
    return last[b.size()];
}

std::string escaped(std::string_view bytes, const CodePoint& character)
{
    if (!character.valid || character.value < 0x80) {
        return fmt::format("\\x{:02X}", byteAt(bytes, 0));
    }
    return fmt::format("\\u{:04X}", static_cast<unsigned>(character.value));
}

}  // namespace

CodePoint firstCodePoint(std::string_view text)
{
    const unsigned lead = byteAt(text, 0);
    if (lead < 0x80) {
        return {static_cast<char32_t>(lead), 1, true};
    }
    if (lead < 0xC2 || lead > 0xF4) {
        return invalidByte;
    }
    const std::size_t length = lead < 0xE0 ? 2 : lead < 0xF0 ? 3 : 4;
    if (text.size() < length || !secondByteFits(lead, byteAt(text, 1))) {
        return invalidByte;
    }
    unsigned value = lead & (0x7FU >> length);
    for (std::size_t i = 1; i < length; ++i) {
        const unsigned next = byteAt(text, i);
        if ((next & 0xC0U) != 0x80U) {
            return invalidByte;
        }
        value = (value << 6U) | (next & 0x3FU);
    }
    return {static_cast<char32_t>(value), length, true};
}

std::size_t firstInvalidUtf8(std::string_view text)
{
    for (std::size_t offset = 0; offset < text.size();) {
        const CodePoint character = firstCodePoint(text.substr(offset));
        if (!character.valid) {
            return offset;
        }
        offset += character.length;
    }
    return std::string_view::npos;
}

std::size_t characterCount(std::string_view text)
{
    std::size_t count = 0;
    for (std::size_t offset = 0; offset < text.size(); ++count) {
        offset += firstCodePoint(text.substr(offset)).length;
    }
    return count;
}

bool isControl(char32_t character)
{
    static constexpr Interval controls[] = {
        {0x00, 0x1F},     {0x7F, 0x9F},     {0x61C, 0x61C},   {0x200B, 0x200B},
        {0x200E, 0x200F}, {0x2028, 0x202E}, {0x2060, 0x206F}, {0xFEFF, 0xFEFF},
        {0xFFF9, 0xFFFB}, {0xFFFE, 0xFFFF}, {0xFDD0, 0xFDEF}, {0xE0000, 0xE007F},
    };
    return contains(controls, character);
}

bool hasControl(std::string_view text)
{
    for (std::size_t offset = 0; offset < text.size();) {
        const CodePoint character = firstCodePoint(text.substr(offset));
        if (!character.valid || isControl(character.value)) {
            return true;
        }
        offset += character.length;
    }
    return false;
}

bool isBlank(char32_t character)
{
    static constexpr Interval blanks[] = {
        {0x09, 0x09},     {0x20, 0x20},     {0xA0, 0xA0},     {0x1680, 0x1680},
        {0x2000, 0x200A}, {0x202F, 0x202F}, {0x205F, 0x205F}, {0x3000, 0x3000},
    };
    return contains(blanks, character);
}

std::string oneLine(std::string_view text)
{
    return shortText(text, std::string_view::npos);
}

std::string shortText(std::string_view text, std::size_t longest)
{
    std::string result;
    std::size_t count = 0;
    for (std::size_t offset = 0; offset < text.size(); ++count) {
        if (count == longest) {
            return result + "...";
        }
        const std::string_view rest = text.substr(offset);
        const CodePoint character = firstCodePoint(rest);
        if (!character.valid || isControl(character.value)) {
            result += escaped(rest, character);
        } else {
            result += rest.substr(0, character.length);
        }
        offset += character.length;
    }
    return result;
}

std::string_view trimmed(std::string_view text)
{
    constexpr std::string_view around = " \t\r\n";
    const std::size_t first = text.find_first_not_of(around);
    return first == std::string_view::npos
               ? std::string_view()
               : text.substr(first, text.find_last_not_of(around) - first + 1);
}

std::string lowered(std::string_view text)
{
    std::string result(text);
    for (char& letter : result) {
        if (letter >= 'A' && letter <= 'Z') {
            letter = static_cast<char>(letter - 'A' + 'a');
        }
    }
    return result;
}

bool equalIgnoringCase(std::string_view a, std::string_view b)
{
    return lowered(a) == lowered(b);
}

std::string_view nearest(std::string_view name, std::span<const std::string_view> candidates)
{
    constexpr std::size_t longestName = 60;  // nothing in the vocabulary comes near this
    if (name.empty() || name.size() > longestName) {
        return {};
    }
    const std::string wanted = lowered(name);
    std::string_view best;
    std::size_t bestDistance = std::max<std::size_t>(1, name.size() / 3) + 1;
    bool isTie = false;
    std::vector<std::string_view> beginningWithName;
    for (const std::string_view candidate : candidates) {
        const std::string offered = lowered(candidate);
        if (offered.starts_with(wanted)) {
            beginningWithName.push_back(candidate);
        }
        const std::size_t distance = editDistance(wanted, offered);
        // Everything is near a name of one or two letters: half of it must be right.
        if (distance < bestDistance && 2 * distance <= offered.size()) {
            bestDistance = distance;
            best = candidate;
            isTie = false;
        } else if (distance == bestDistance && !best.empty()) {
            isTie = true;
        }
    }
    if (isTie) {
        return {};  // two are as near: to name one would be a guess
    }
    if (best.empty() && beginningWithName.size() == 1) {
        best = beginningWithName.front();
    }
    return best;
}

std::string joined(std::span<const std::string_view> words)
{
    return fmt::format("{}", fmt::join(words, ", "));
}

}  // namespace splitstart
