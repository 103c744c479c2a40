#include "fuzz/deck_properties.h"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <set>
#include <sstream>
#include <stdexcept>
#include <string_view>
#include <vector>

#include "spice/deck_card.h"

namespace splitstart::fuzz
{

namespace
{

[[noreturn]] void broken(std::string_view property, std::string_view line)
{
    throw std::logic_error(fmt::format("{}: \"{}\"", property, line));
}

std::vector<std::string> linesOf(const std::string& text)
{
    std::vector<std::string> lines;
    std::istringstream stream(text);
    for (std::string line; std::getline(stream, line);) {
        lines.push_back(line);
    }
    return lines;
}

bool isComment(std::string_view line)
{
    return line.starts_with('*');
}

// ngspice runs what follows *# and a file that begins with *ng_script; a dollar sign
// begins a comment within a line, and nothing but printable ASCII is to be seen.
void requireHarmless(std::string_view comment)
{
    if (comment != "*" && !comment.starts_with("* ")) {
        broken("a comment line that may be an order", comment);
    }
    for (const char c : comment) {
        if (c < ' ' || c > '~' || std::string_view("$`\\{}").find(c) != std::string_view::npos) {
            broken("a comment with a character that may mean something", comment);
        }
    }
}

// Cards with their continuation lines, lower case.
std::vector<std::string> cardsOf(const std::vector<std::string>& lines)
{
    std::vector<std::string> cards;
    for (const std::string& line : lines) {
        if (isComment(line) || line.empty()) {
            continue;
        }
        std::string text = line;
        std::transform(text.begin(), text.end(), text.begin(),
                       [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
        if (text.starts_with('+') && !cards.empty()) {
            cards.back() += " " + text.substr(1);
        } else {
            cards.push_back(text);
        }
    }
    return cards;
}

// Names on the left of equals signs.
void addAssigned(const std::string& card, std::set<std::string>& names)
{
    for (const std::string& field : cardFields(card)) {
        const std::size_t equals = field.find('=');
        if (equals != std::string::npos && equals > 0) {
            names.insert(field.substr(0, equals));
        }
    }
}

const std::set<std::string_view>& functions()
{
    static const std::set<std::string_view> names = {"sqrt", "pow", "ln",  "exp", "min", "max",
                                                     "abs",  "cos", "sin", "sgn", "tanh"};
    return names;
}

// The part of the card in braces only.
void requireDefined(const std::string& card, const std::set<std::string>& global,
                    const std::set<std::string>& local)
{
    for (std::size_t open = card.find('{'); open != std::string::npos;
         open = card.find('{', open + 1)) {
        const std::size_t close = card.find('}', open);
        if (close == std::string::npos) {
            broken("braces that do not close", card);
        }
        const std::string inside = card.substr(open + 1, close - open - 1);
        for (const std::string_view name : identifiers(inside)) {
            const std::string word(name);
            // The exponent of a number is none.
            const bool exponent = word.size() <= 4 && word.starts_with('e') &&
                                  std::all_of(word.begin() + 1, word.end(),
                                              [](char c) { return c >= '0' && c <= '9'; });
            if (!exponent && functions().count(name) == 0 && global.count(word) == 0 &&
                local.count(word) == 0) {
                broken(fmt::format("{} is not defined", word), card);
            }
        }
    }
}

// The subcircuit that an X line is of: its last field without an equals sign.
std::string definitionOf(const std::string& card)
{
    std::string last;
    for (const std::string& field : cardFields(card)) {
        if (field.find('=') == std::string::npos && field != "params:") {
            last = field;
        }
    }
    return last;
}

}  // namespace

void requireWhole(const std::string& deck)
{
    const std::vector<std::string> lines = linesOf(deck);
    if (lines.empty() || !lines.front().starts_with("* ")) {
        broken("a first line that is no comment", lines.empty() ? "" : lines.front());
    }
    if (lines.back() != ".end" || std::count(lines.begin(), lines.end(), ".end") != 1) {
        broken("not exactly one .end", lines.back());
    }
    for (const std::string& line : lines) {
        if (isComment(line)) {
            requireHarmless(line);
        }
    }
    std::vector<std::string> cards = cardsOf(lines);
    // The control section is a program of ngspice's own language.
    const auto control = std::find(cards.begin(), cards.end(), ".control");
    if (control != cards.end()) {
        const auto end = std::find(control, cards.end(), ".endc");
        if (end == cards.end()) {
            broken("a control section without an end", *control);
        }
        cards.erase(control, end + 1);
    }
    std::set<std::string> global;
    std::set<std::string> subcircuits;
    bool inside = false;
    for (const std::string& card : cards) {
        inside = card.starts_with(".subckt") || (inside && !card.starts_with(".ends"));
        if (card.starts_with(".subckt")) {
            subcircuits.insert(cardFields(card).at(1));
        } else if (card.starts_with(".param") && !inside) {
            addAssigned(card.substr(6), global);
        }
    }
    std::set<std::string> local;
    inside = false;
    for (const std::string& card : cards) {
        if (card.starts_with(".subckt")) {
            local.clear();
            addAssigned(card, local);
            inside = true;
        } else if (card.starts_with(".ends")) {
            inside = false;
            local.clear();
        } else if (card.starts_with(".param") && inside) {
            addAssigned(card.substr(6), local);
        }
        if (card.starts_with('x') && subcircuits.count(definitionOf(card)) == 0) {
            broken("a subcircuit that is not defined", card);
        }
        requireDefined(card, global, local);
    }
}

void requireSameButComments(const std::string& deck, const std::string& other)
{
    std::vector<std::string> one = linesOf(deck);
    std::vector<std::string> two = linesOf(other);
    std::erase_if(one, isComment);
    std::erase_if(two, isComment);
    const auto [a, b] = std::mismatch(one.begin(), one.end(), two.begin(), two.end());
    if (a != one.end() || b != two.end()) {
        broken("a line that other names do not have", a != one.end() ? *a : *b);
    }
}

}  // namespace splitstart::fuzz
