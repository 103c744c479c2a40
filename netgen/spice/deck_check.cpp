#include "spice/deck_check.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <map>
#include <set>
#include <string_view>

#include "case/text.h"
#include "spice/deck_card.h"
#include "spice/deck_vocabulary.h"

namespace splitstart
{
namespace
{

// Far above any real deck (some 150 lines); keeps a runaway text from filling the memory.
constexpr std::size_t longestDeck_bytes = std::size_t{4} << 20U;

constexpr std::string_view codePunctuation = "+-*/(){},.=<>?:&|!^_' \t";

bool isControl(char c)
{
    return static_cast<unsigned char>(c) < ' ' || c == '\x7f';
}

bool isAscii(char c)
{
    return static_cast<unsigned char>(c) < 0x80;
}

// Of a field "name=value", or "params:name=value".
std::string parameterName(std::string_view field)
{
    constexpr std::string_view prefix = "params:";
    field.remove_prefix(field.starts_with(prefix) ? prefix.size() : 0);
    return std::string(field.substr(0, field.find('=')));
}

std::string shown(std::string_view line)
{
    constexpr std::size_t longest = 60;
    std::string text(line.substr(0, longest));
    for (char& c : text) {
        if (isControl(c) || !isAscii(c)) {
            c = '?';
        }
    }
    return line.size() > longest ? text + "..." : text;
}

[[noreturn]] void refuse(std::size_t number, std::string_view line, std::string_view why)
{
    throw SimulationError(SimulationFault::deckRefused,
                          fmt::format("Line {} of the deck, `{}`, was not given to ngspice: {}.",
                                      number, shown(line), why),
                          {});
}

[[noreturn]] void refuseDeck(std::string_view why)
{
    throw SimulationError(SimulationFault::deckRefused,
                          fmt::format("The deck was not given to ngspice: {}.", why), {});
}

std::vector<std::string_view> splitLines(std::string_view deck)
{
    std::vector<std::string_view> lines;
    while (!deck.empty()) {
        const std::size_t end = std::min(deck.find('\n'), deck.size());
        lines.push_back(deck.substr(0, end));
        deck.remove_prefix(std::min(end + 1, deck.size()));
    }
    return lines;
}

// Checks one deck; the members are what was found so far.
class DeckCheck
{
public:
    explicit DeckCheck(const SimulationRequest& request) : request_(request) {}
    SimulationJob prepare(const std::string& title);

private:
    void readLines();
    void checkTitle(std::string_view line) const;
    void checkCharacters(std::size_t number, std::string_view line) const;
    void checkCard(const DeckCard& card);
    void checkControlCard(const DeckCard& card);
    void checkCondition(const DeckCard& card);
    void checkWords(const DeckCard& card) const;
    void checkOptions(const DeckCard& card) const;
    void checkAnalysis(const DeckCard& card);
    void checkTransient(const DeckCard& card);
    void checkFrequencies(const DeckCard& card);
    [[nodiscard]] double plainNumber(const DeckCard& card, std::size_t field,
                                     std::string_view meaning) const;
    void noteSubcircuit(const DeckCard& card);
    void checkInstances() const;
    void checkSweep();
    [[nodiscard]] bool hasVoltageSource(const std::string& name) const;
    [[nodiscard]] std::string checkedVector(const std::string& name) const;
    void addOwnCards();

    const SimulationRequest& request_;
    SimulationJob job_;
    std::vector<DeckCard> cards_;
    std::map<std::string, std::set<std::string>> subcircuits_;  // name: its parameters
    std::size_t analyses_ = 0;
    bool isSingleFrequency_ = false;
    enum class Block { none, afterIf, afterElse } block_ = Block::none;
};

void DeckCheck::checkCharacters(std::size_t number, std::string_view line) const
{
    const bool isComment = line.starts_with('*');
    const bool isSave = lowered(line.substr(0, 5)) == ".save";
    for (const char c : line) {
        if (isControl(c) && c != '\t') {
            refuse(number, line, "it holds a control character");
        }
        if (isComment) {
            continue;
        }
        if (!isAscii(c)) {
            refuse(number, line, "it holds a character outside plain ASCII");
        }
        const bool isAlphanumeric =
            (c >= '0' && c <= '9') || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
        if (!isAlphanumeric && codePunctuation.find(c) == std::string_view::npos &&
            !(isSave && c == '#')) {
            refuse(number, line,
                   fmt::format("the character {} has no place in a deck, and ngspice may act on it",
                               c));
        }
    }
    if (!isComment && line.find("//") != std::string_view::npos) {
        refuse(number, line, "ngspice takes // for the start of a comment");
    }
}

void DeckCheck::checkTitle(std::string_view line) const
{
    for (const char c : line) {
        if (isControl(c) || !isAscii(c)) {
            refuse(1, line, "a title must be plain ASCII text");
        }
    }
    const std::string start = lowered(trimmed(line));
    if (start.starts_with('.') || start.starts_with("*#") || start.starts_with("*ng_script")) {
        refuse(1, line, "ngspice could take this title for a command");
    }
}

// Fills `cards_` and the lines to hand on; stops at .end.
void DeckCheck::readLines()
{
    if (request_.deck.size() > longestDeck_bytes) {
        refuseDeck("it is longer than 4 MB");
    }
    const std::vector<std::string_view> lines = splitLines(request_.deck);
    if (lines.empty()) {
        refuseDeck("it is empty");
    }
    checkTitle(lines.front());
    job_.lines.emplace_back();
    bool ended = false;
    for (std::size_t i = 1; i < lines.size(); ++i) {
        const std::size_t number = i + 1;
        const std::string_view line = trimmed(lines[i]);
        checkCharacters(number, line);
        if (line.starts_with("*#")) {
            refuse(number, line, "ngspice runs such a comment line as a command");
        }
        if (line.empty() || line.front() == '*') {
            job_.lines.emplace_back("*");  // keeps the numbers of the lines below
            continue;
        }
        if (ended) {
            refuse(number, line, "text after the .end card");
        }
        if (lowered(line) == ".end") {
            ended = true;
            continue;
        }
        job_.lines.emplace_back(line);
        if (line.front() != '+') {
            cards_.push_back({number, lowered(line), {}});
        } else if (cards_.empty()) {
            refuse(number, line, "it continues nothing");
        } else {
            cards_.back().text += ' ' + lowered(line.substr(1));
        }
    }
    if (!ended) {
        refuseDeck("it has no .end card, so a part of it may be missing");
    }
}

void DeckCheck::checkWords(const DeckCard& card) const
{
    const std::vector<std::string_view> words = identifiers(card.text);
    for (const std::string_view word : words) {
        const auto after = static_cast<std::size_t>(word.data() + word.size() - card.text.data());
        const std::size_t next = card.text.find_first_not_of(" \t", after);
        const bool isCalled = next != std::string::npos && card.text[next] == '(';
        if (word == "trnoise" || word == "trrandom" || (isRandomFunction(word) && isCalled)) {
            refuse(card.number, card.text,
                   fmt::format("{} gives random numbers, which differ from run to run", word));
        }
        if (word == "external") {
            refuse(card.number, card.text, "no outside program feeds an `external` source");
        }
        if (word.find(stopNode) != std::string_view::npos) {
            refuse(card.number, card.text, "this name is kept for stopping a run early");
        }
    }
}

void DeckCheck::checkCard(const DeckCard& card)
{
    checkWords(card);
    if (!hasBalancedBrackets(card.text)) {
        refuse(card.number, card.text, "its brackets do not match");
    }
    const char letter = card.text.front();
    if (letter == '.') {
        checkControlCard(card);
        return;
    }
    const std::size_t fewest = fewestFields(letter);
    if (fewest == 0) {
        refuse(card.number, card.text,
               fmt::format("decks of this program have no elements of the kind {}", letter));
    }
    if (card.fields.size() < fewest) {
        refuse(card.number, card.text,
               fmt::format("it has {} fields, and an element of this kind needs {} or more",
                           card.fields.size(), fewest));
    }
}

void DeckCheck::checkControlCard(const DeckCard& card)
{
    const std::string& name = card.fields.front();
    if (!deckCards().contains(name)) {
        refuse(card.number, card.text,
               fmt::format("{} is not one of the cards that decks of this program use ({})", name,
                           fmt::join(deckCards(), " ")));
    }
    if (holdsNamesAndNumbersOnly(name)) {
        const std::size_t odd = card.text.find_first_of("<>?:&|!^");
        if (odd != std::string::npos) {
            refuse(card.number, card.text,
                   fmt::format("the character {} has no place on a {} card", card.text[odd], name));
        }
    }
    checkCondition(card);
    if (name == ".options") {
        checkOptions(card);
    } else if (name == ".subckt") {
        noteSubcircuit(card);
    } else if (name == ".save" && std::ranges::find(card.fields, "none") != card.fields.end()) {
        refuse(card.number, card.text, "ngspice would keep to `none` for all later runs");
    } else if (name == ".tran" || name == ".ac") {
        checkAnalysis(card);
    }
}

// Follows .if, .else and .endif.
void DeckCheck::checkCondition(const DeckCard& card)
{
    const std::string& name = card.fields.front();
    if (name == ".if") {
        if (block_ != Block::none) {
            refuse(card.number, card.text, "it stands within another .if block");
        }
        if (card.text.find_first_of("<>=!") == std::string::npos) {
            refuse(card.number, card.text, "its condition compares nothing");
        }
        block_ = Block::afterIf;
    } else if (name == ".else") {
        if (block_ != Block::afterIf) {
            refuse(card.number, card.text, "it belongs to no .if");
        }
        block_ = Block::afterElse;
    } else if (name == ".endif") {
        if (block_ == Block::none) {
            refuse(card.number, card.text, "it belongs to no .if");
        }
        block_ = Block::none;
    } else if (block_ != Block::none && name != ".model") {
        refuse(card.number, card.text, "a block of .if and .endif holds elements and models only");
    }
}

void DeckCheck::checkOptions(const DeckCard& card) const
{
    for (std::size_t i = 1; i < card.fields.size(); ++i) {
        const std::string name = card.fields[i].substr(0, card.fields[i].find('='));
        if (!numericalOptions().contains(name)) {
            refuse(card.number, card.text,
                   fmt::format("{} is not one of the numerical options ({})", name,
                               fmt::join(numericalOptions(), " ")));
        }
    }
}

double DeckCheck::plainNumber(const DeckCard& card, std::size_t field,
                              std::string_view meaning) const
{
    if (field >= card.fields.size()) {
        refuse(card.number, card.text, fmt::format("the {} is missing", meaning));
    }
    const std::string& text = card.fields[field];
    double value = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (error != std::errc{} || end != text.data() + text.size() || !std::isfinite(value)) {
        refuse(card.number, card.text,
               fmt::format("the {} must be a plain number without suffix, and is {}", meaning,
                           shown(text)));
    }
    return value;
}

void DeckCheck::checkAnalysis(const DeckCard& card)
{
    if (++analyses_ > 1) {
        refuse(card.number, card.text, "a deck holds one analysis only");
    }
    job_.transient = card.fields.front() == ".tran";
    if (job_.transient) {
        checkTransient(card);
    } else {
        checkFrequencies(card);
    }
}

void DeckCheck::checkTransient(const DeckCard& card)
{
    job_.end = plainNumber(card, 2, "end time");
    // ngspice's own last point is exactly the end, or within rounding of it.
    constexpr double rounding = 1e-9;
    job_.reachAtLeast = job_.end * (1 - rounding);
    if (!(std::abs(job_.end - request_.end_s) <= rounding * job_.end)) {
        refuse(card.number, card.text,
               fmt::format("it ends at {} s, but the run was asked to end at {} s", job_.end,
                           request_.end_s));
    }
}

void DeckCheck::checkFrequencies(const DeckCard& card)
{
    if (request_.end_s != 0) {
        refuse(card.number, card.text,
               fmt::format("the run was asked to end at {} s, which needs a .tran card",
                           request_.end_s));
    }
    const std::string spacing = card.fields.size() > 1 ? card.fields[1] : "";
    const double points = plainNumber(card, 2, "number of points");
    const double first_Hz = plainNumber(card, 3, "first frequency");
    job_.end = plainNumber(card, 4, "last frequency");
    if (points < 1 || points > 1e6 || points != std::floor(points) || first_Hz <= 0 ||
        job_.end < first_Hz) {
        refuse(card.number, card.text,
               "an .ac card needs a whole number of points and two rising frequencies above 0");
    }
    isSingleFrequency_ = spacing == "lin" && points == 1;
    constexpr double rounding = 1e-6;  // ngspice adds or multiplies step by step
    if (spacing == "lin") {
        job_.reachAtLeast = (points < 2 ? first_Hz : job_.end) * (1 - rounding);
    } else if (spacing == "dec" || spacing == "oct") {
        // The last point may lie up to one step short of the end.
        const double step_ratio = std::pow(spacing == "dec" ? 10.0 : 2.0, 1 / points);
        job_.reachAtLeast = std::max(first_Hz, job_.end / step_ratio) * (1 - rounding);
    } else {
        refuse(card.number, card.text, "an .ac card begins with lin, dec or oct");
    }
}

void DeckCheck::noteSubcircuit(const DeckCard& card)
{
    if (card.fields.size() < 2) {
        refuse(card.number, card.text, "a .subckt card needs a name");
    }
    std::set<std::string>& parameters = subcircuits_[card.fields[1]];
    for (const std::string& field : card.fields) {
        const std::size_t equals = field.find('=');
        if (equals != std::string::npos) {
            parameters.insert(parameterName(field));
        }
    }
}

void DeckCheck::checkInstances() const
{
    for (const DeckCard& card : cards_) {
        if (card.text.front() != 'x') {
            continue;
        }
        std::string name;
        for (const std::string& field : card.fields) {
            const std::size_t equals = field.find('=');
            if (equals == std::string::npos) {
                name = field == "params:" ? name : field;
                continue;
            }
            const auto found = subcircuits_.find(name);
            const std::string parameter = parameterName(field);
            if (found != subcircuits_.end() && !found->second.contains(parameter) &&
                parameter != "m") {
                refuse(card.number, card.text,
                       fmt::format("the subcircuit {} has no parameter {}; it has {}", name,
                                   parameter, fmt::join(found->second, " ")));
            }
        }
    }
}

// Outside all subcircuits and .if blocks.
bool DeckCheck::hasVoltageSource(const std::string& name) const
{
    int depth = 0;
    for (const DeckCard& card : cards_) {
        const std::string& first = card.fields.front();
        if (first == ".subckt" || first == ".if") {
            ++depth;
        } else if (first == ".ends" || first == ".endif") {
            --depth;
        } else if (depth == 0 && first == name) {
            return name.starts_with('v');
        }
    }
    return false;
}

// The source's name and the values become the text of commands.
void DeckCheck::checkSweep()
{
    const SourceSweep& sweep = *request_.sweep;
    const std::string source = lowered(sweep.source);
    const bool isName = !source.empty() && std::ranges::all_of(source, [](char c) {
        return (c >= '0' && c <= '9') || (c >= 'a' && c <= 'z') || c == '_';
    });
    if (!isName || !hasVoltageSource(source)) {
        refuseDeck(fmt::format("`{}` is not the name of a voltage source outside its subcircuits",
                               shown(sweep.source)));
    }
    if (!isSingleFrequency_) {
        refuseDeck(
            fmt::format("values of {} can be swept only with an .ac card of a single "
                        "frequency (.ac lin 1)",
                        source));
    }
    if (sweep.values.empty()) {
        refuseDeck(fmt::format("the sweep of {} has no values", source));
    }
    for (const double value : sweep.values) {
        if (!std::isfinite(value)) {
            refuseDeck(fmt::format("a value of the sweep of {} is {}", source, value));
        }
    }
    job_.sweep = SourceSweep{source, sweep.values};
}

std::string DeckCheck::checkedVector(const std::string& name) const
{
    std::string lower = lowered(name);
    const bool isName = !lower.empty() && std::ranges::all_of(lower, [](char c) {
        return (c >= '0' && c <= '9') || (c >= 'a' && c <= 'z') || c == '_' || c == '.' || c == '#';
    });
    if (!isName) {
        throw SimulationError(
            SimulationFault::missingVector,
            fmt::format("`{}` cannot be the name of a node or of a source's current (such as speed "
                        "or vmain#branch).",
                        shown(name)),
            {});
    }
    return lower;
}

void DeckCheck::addOwnCards()
{
    const auto save = [this](const std::string& name) {
        job_.lines.push_back(name.find('#') == std::string::npos ? fmt::format(".save v({})", name)
                                                                 : fmt::format(".save {}", name));
    };
    if (request_.vectors.empty()) {
        refuseDeck("no vectors were asked for");
    }
    for (const std::string& name : request_.vectors) {
        job_.vectors.push_back(checkedVector(name));
        save(job_.vectors.back());
    }
    if (request_.stop) {
        if (!job_.transient) {
            refuseDeck("only a transient can be stopped early, and this deck has an .ac card");
        }
        job_.stop = request_.stop;
        job_.stop->vector = checkedVector(job_.stop->vector);
        save(job_.stop->vector);
        save(std::string(stopNode));
        // Written `node 0 external`: with `dc 0 external` ngspice 39 crashes.
        job_.lines.push_back(fmt::format("v{0} {0} 0 external", stopNode));
        job_.lines.push_back(fmt::format("r{0} {0} 0 1", stopNode));
    }
}

SimulationJob DeckCheck::prepare(const std::string& title)
{
    readLines();
    for (DeckCard& card : cards_) {
        card.fields = cardFields(card.text);
        checkCard(card);
    }
    if (block_ != Block::none) {
        refuseDeck("an .if has no .endif");
    }
    if (analyses_ == 0) {
        refuseDeck("it has neither a .tran nor an .ac card");
    }
    checkInstances();
    if (request_.sweep) {
        checkSweep();
    }
    addOwnCards();
    job_.lines.emplace_back(".end");
    job_.title = title;
    job_.lines.front() = title;
    return std::move(job_);
}

}  // namespace

SimulationJob prepareJob(const SimulationRequest& request, const std::string& title)
{
    return DeckCheck(request).prepare(title);
}

}  // namespace splitstart
