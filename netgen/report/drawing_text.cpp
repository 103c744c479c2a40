#include "report/drawing_text.h"

#include <algorithm>

#include "case/text.h"

namespace splitstart
{

namespace
{

constexpr std::size_t longestRating = 40;

bool isDigit(char character)
{
    return character >= '0' && character <= '9';
}

bool isLetter(char character)
{
    return (character >= 'a' && character <= 'z') || (character >= 'A' && character <= 'Z');
}

}  // namespace

std::string drawnText(std::string_view text, std::size_t longest)
{
    std::string clean;
    for (std::size_t offset = 0; offset < text.size();) {
        const CodePoint character = firstCodePoint(text.substr(offset));
        if (character.valid && !isControl(character.value)) {
            clean += text.substr(offset, character.length);
        }
        offset += character.length;
    }
    return shortText(clean, longest);
}

std::vector<std::string> brokenIntoLines(std::string_view text, std::size_t longest)
{
    std::vector<std::string> lines;
    std::string line;
    std::string word;
    const auto endLine = [&] {
        if (!line.empty()) {
            lines.push_back(line);
            line.clear();
        }
    };
    const auto endWord = [&] {
        if (!word.empty() && !line.empty() &&
            characterCount(line) + 1 + characterCount(word) > longest) {
            endLine();
        }
        line += line.empty() || word.empty() ? word : " " + word;
        word.clear();
    };
    for (std::size_t offset = 0; offset < text.size();) {
        const std::size_t length = firstCodePoint(text.substr(offset)).length;
        const bool isInQuantity = offset > 0 && isDigit(text[offset - 1]) &&
                                  offset + 1 < text.size() && isLetter(text[offset + 1]) &&
                                  characterCount(word) < longest;
        if (text[offset] == ' ' && !isInQuantity) {
            endWord();
        } else {
            if (characterCount(word) == longest) {
                endWord();
                endLine();
            }
            word += text.substr(offset, length);
        }
        offset += length;
    }
    endWord();
    endLine();
    return lines;
}

std::vector<HeadingLine> headingOf(const CircuitPart& part, const DrawingText& text,
                                   std::size_t lettersInLine)
{
    std::vector<HeadingLine> heading;
    const std::string words(partKindInfo(part.kind).words);
    for (const std::string& line : brokenIntoLines(words, lettersInLine)) {
        heading.push_back({line, true});
    }
    std::string spoken = part.id;
    std::replace(spoken.begin(), spoken.end(), '-', ' ');
    if (lowered(words).find(spoken) == std::string::npos) {
        heading.push_back({drawnText(part.id, lettersInLine), false});
    }
    const auto rating = text.ratings.find(part.id);
    if (rating != text.ratings.end()) {
        const std::string shown = drawnText(rating->second, longestRating);
        for (const std::string& line : brokenIntoLines(shown, lettersInLine)) {
            heading.push_back({line, false});
        }
    }
    return heading;
}

double widthOf(const std::vector<HeadingLine>& heading)
{
    double widest = 0.0;
    for (const HeadingLine& line : heading) {
        widest = std::max(
            widest, letterWidth_ratio * fontSize * static_cast<double>(characterCount(line.text)));
    }
    return widest;
}

}  // namespace splitstart
