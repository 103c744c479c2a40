#include "spice/deck_card.h"

namespace splitstart
{
namespace
{

bool isLetter(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c == '_';
}

bool isDigit(char c)
{
    return c >= '0' && c <= '9';
}

}  // namespace

std::vector<std::string> cardFields(std::string_view text)
{
    std::vector<std::string> fields;
    std::string field;
    int depth = 0;
    bool isQuoted = false;
    bool joinsNext = false;  // an equals sign came last
    for (const char c : text) {
        const bool isBlank = c == ' ' || c == '\t' || c == ',';
        if (isBlank && depth == 0 && !isQuoted) {
            if (!field.empty() && !joinsNext) {
                fields.push_back(std::move(field));
                field.clear();
            }
            continue;
        }
        if (c == '=' && depth == 0 && field.empty() && !fields.empty()) {
            field = std::move(fields.back());
            fields.pop_back();
        }
        isQuoted = c == '\'' ? !isQuoted : isQuoted;
        depth += c == '(' || c == '{' ? 1 : 0;
        depth -= (c == ')' || c == '}') && depth > 0 ? 1 : 0;
        joinsNext = c == '=' && depth == 0;
        field += c;
    }
    if (!field.empty()) {
        fields.push_back(std::move(field));
    }
    return fields;
}

bool hasBalancedBrackets(std::string_view text)
{
    std::string open;
    bool isQuoted = false;
    for (const char c : text) {
        if (c == '(' || c == '{') {
            open += c;
        } else if (c == ')' || c == '}') {
            if (open.empty() || open.back() != (c == ')' ? '(' : '{')) {
                return false;
            }
            open.pop_back();
        }
        isQuoted = c == '\'' ? !isQuoted : isQuoted;
    }
    return open.empty() && !isQuoted;
}

std::vector<std::string_view> identifiers(std::string_view text)
{
    std::vector<std::string_view> words;
    for (std::size_t i = 0; i < text.size();) {
        if (isLetter(text[i])) {
            std::size_t end = i;
            while (end < text.size() && (isLetter(text[end]) || isDigit(text[end]))) {
                ++end;
            }
            words.push_back(text.substr(i, end - i));
            i = end;
        } else if (isDigit(text[i])) {
            while (i < text.size() && (isLetter(text[i]) || isDigit(text[i]))) {
                ++i;
            }
        } else {
            ++i;
        }
    }
    return words;
}

}  // namespace splitstart
