// The files of models/: what their headers promise is what they hold, and every demo deck runs in
// stock ngspice and finds what it expects.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <map>
#include <regex>
#include <set>
#include <sstream>
#include <string>
#include <vector>

#include "spice/stock_ngspice.h"

namespace splitstart
{
namespace
{

namespace fs = std::filesystem;
using Words = std::vector<std::string>;

const std::string everything = "splitstart";  // the file that includes all others

Words wordsOf(const std::string& text)
{
    std::istringstream stream(text);
    return {std::istream_iterator<std::string>(stream), {}};
}

std::vector<std::string> linesOf(const fs::path& path)
{
    std::ifstream file(path);
    std::vector<std::string> lines;
    for (std::string line; std::getline(file, line);) {
        lines.push_back(line);
    }
    return lines;
}

std::string textOf(const fs::path& path)
{
    std::string text;
    for (const std::string& line : linesOf(path)) {
        text += line + '\n';
    }
    return text;
}

std::vector<std::string> stemsIn(const fs::path& folder, const std::string& extension)
{
    std::vector<std::string> stems;
    for (const fs::directory_entry& entry : fs::directory_iterator(folder)) {
        if (entry.path().extension() == extension) {
            stems.push_back(entry.path().stem().string());
        }
    }
    std::sort(stems.begin(), stems.end());
    return stems;
}

std::vector<std::string> modelNames()
{
    std::vector<std::string> names = stemsIn(stock::modelsFolder(), ".lib");
    names.erase(std::remove(names.begin(), names.end(), everything), names.end());
    return names;
}

std::string nameOf(const testing::TestParamInfo<std::string>& info)
{
    std::string camel;
    bool capital = true;
    for (const char c : info.param) {
        if (c == '_') {
            capital = true;
        } else {
            camel += capital ? static_cast<char>(std::toupper(c)) : c;
            capital = false;
        }
    }
    return camel;
}

// A model file, read without knowing SPICE beyond its line rules.
class ModelFile : public testing::TestWithParam<std::string>
{
protected:
    ModelFile() : path_(stock::modelsFolder() / (GetParam() + ".lib")), raw_(linesOf(path_))
    {
        for (const std::string& line : raw_) {
            if (line.starts_with('*')) {
                continue;
            }
            if (line.starts_with('+') && !cards_.empty()) {
                cards_.back() += ' ' + line.substr(1);
            } else {
                cards_.push_back(line);
            }
        }
    }

    // What follows "* key: " in the header.
    [[nodiscard]] std::string header(const std::string& key) const
    {
        for (const std::string& line : raw_) {
            if (line.starts_with("* " + key + ":")) {
                return line.substr(key.size() + 3);
            }
        }
        return "(no line `* " + key + ":`)";
    }

    // Lines "*   name [unit] default x range ..." between "* params:" and the next header line.
    [[nodiscard]] std::map<std::string, std::string> describedParameters() const
    {
        static const std::regex form(
            R"(\*   (\w+) +\[[^\]]+\] +default (\S+) +range )"
            R"((any|-1 0 1|above \S+|below \S+|\S+ or more|\S+ to \S+) +\S.*)");
        std::map<std::string, std::string> parameters;
        bool inside = false;
        for (const std::string& line : raw_) {
            if (!line.starts_with("*   ")) {
                inside = line == "* params:";
            } else if (std::smatch match; inside && std::regex_match(line, match, form)) {
                parameters[match[1]] = match[2];
            } else if (inside) {
                ADD_FAILURE() << "not `name [unit] default x range .. meaning`: " << line;
            }
        }
        return parameters;
    }

    [[nodiscard]] Words subcircuitLine() const
    {
        for (const std::string& card : cards_) {
            if (card.starts_with(".subckt ")) {
                return wordsOf(card);
            }
        }
        return {};
    }

    [[nodiscard]] std::set<std::string> subcircuitsUsed() const
    {
        std::set<std::string> used;
        for (const std::string& card : cards_) {
            if (card.starts_with('x')) {
                std::string last;
                for (const std::string& word : wordsOf(card)) {
                    if (word.find('=') != std::string::npos) {
                        break;
                    }
                    last = word;
                }
                used.insert(last);
            }
        }
        return used;
    }

    fs::path path_;
    std::vector<std::string> raw_;
    std::vector<std::string> cards_;  // without comments, continuation lines joined
};

TEST_P(ModelFile, HeaderGivesThePortsOfTheSubcircuit)
{
    const Words line = subcircuitLine();
    ASSERT_GE(line.size(), 4U);
    const auto end = std::find(line.begin(), line.end(), "params:");
    EXPECT_EQ(wordsOf(header("ports")), Words(line.begin() + 2, end));
}

TEST_P(ModelFile, HeaderGivesEveryParameterWithItsUnitDefaultRangeAndMeaning)
{
    std::map<std::string, std::string> declared;
    const Words line = subcircuitLine();
    for (auto word = std::find(line.begin(), line.end(), "params:"); word != line.end(); ++word) {
        if (const auto equals = word->find('='); equals != std::string::npos) {
            declared[word->substr(0, equals)] = word->substr(equals + 1);
        }
    }
    EXPECT_FALSE(declared.empty());
    EXPECT_EQ(describedParameters(), declared);
}

TEST_P(ModelFile, HoldsOneSubcircuitThatEndsWithItsOwnName)
{
    Words begins;
    Words ends;
    for (const std::string& card : cards_) {
        if (card.starts_with(".subckt")) {
            begins.push_back(wordsOf(card).at(1));
        } else if (card.starts_with(".ends")) {
            ends.push_back(card);
        }
    }
    EXPECT_EQ(begins, Words{GetParam()});
    EXPECT_EQ(ends, Words{".ends " + GetParam()});
}

TEST_P(ModelFile, LeavesNothingOutsideTheSubcircuit)
{
    ASSERT_FALSE(cards_.empty());
    EXPECT_TRUE(cards_.front().starts_with(".subckt "));
    EXPECT_TRUE(cards_.back().starts_with(".ends "));
}

TEST_P(ModelFile, IsShortLinesOfPlainTextWithoutCommands)
{
    ASSERT_FALSE(raw_.empty());
    EXPECT_TRUE(raw_.front().starts_with("* " + GetParam() + ": "));
    for (const std::string& line : raw_) {
        EXPECT_LE(line.size(), 1000U);
        EXPECT_TRUE(std::all_of(line.begin(), line.end(), [](char c) {
            return c >= ' ' && c < 127;
        })) << line;
        EXPECT_FALSE(line.starts_with("*#")) << "ngspice would execute " << line;
    }
}

TEST_P(ModelFile, UsesOnlyCoreElementsOfNgspice)
{
    for (const std::string& card : cards_) {
        EXPECT_EQ(card.find("poly("), std::string::npos) << card;
        if (card.starts_with('.')) {
            static const std::set<std::string> allowed = {".subckt", ".ends", ".param", ".model",
                                                          ".if",     ".else", ".endif"};
            EXPECT_TRUE(allowed.contains(wordsOf(card).front())) << card;
        } else {
            EXPECT_NE(std::string("rlcvibsefghx").find(card.front()), std::string::npos) << card;
        }
    }
}

TEST_P(ModelFile, NumbersHaveNoSpiceSuffix)
{
    static const std::regex suffixed(R"([\s={(*/+-][0-9.]+(e-?[0-9]+)?[a-df-z]\w*)");
    for (const std::string& card : cards_) {
        EXPECT_FALSE(std::regex_search(card, suffixed)) << card;
    }
}

TEST_P(ModelFile, NamesTheOtherFilesThatItNeeds)
{
    std::set<std::string> needs;
    for (const std::string& word : wordsOf(header("needs"))) {
        if (word != "none") {
            needs.insert(word);
            EXPECT_TRUE(fs::exists(stock::modelsFolder() / (word + ".lib"))) << word;
        }
    }
    EXPECT_EQ(needs, subcircuitsUsed());
}

TEST_P(ModelFile, SaysWhereItsEquationsComeFromAndWhatTestsIt)
{
    EXPECT_FALSE(wordsOf(header("source")).empty());
    const std::string demo = "models/demo/" + GetParam() + ".cir";
    EXPECT_NE(header("tested by").find(demo), std::string::npos);
    EXPECT_NE(textOf(path_).find("\n* Left out: "), std::string::npos);
    for (const std::string& word : wordsOf(header("tested by"))) {
        std::string file = word;
        file.erase(std::remove(file.begin(), file.end(), ','), file.end());
        EXPECT_TRUE(fs::exists(fs::path(SPLITSTART_SOURCE_DIR) / file)) << file;
    }
}

TEST_P(ModelFile, IsIncludedByTheFileOfAll)
{
    const std::string all = textOf(stock::modelsFolder() / (everything + ".lib"));
    EXPECT_NE(all.find("\n.include " + GetParam() + ".lib\n"), std::string::npos);
}

TEST_P(ModelFile, IsDescribedInTheReadme)
{
    const std::string readme = textOf(stock::modelsFolder() / "README.md");
    const auto begin = readme.find("\n### " + GetParam() + "\n");
    ASSERT_NE(begin, std::string::npos);
    const std::string section = readme.substr(begin + 1, readme.find("\n### ", begin + 1) - begin);
    EXPECT_NE(section.find("`" + header("ports").substr(1) + "`"), std::string::npos);
    for (const auto& [parameter, value] : describedParameters()) {
        EXPECT_NE(section.find(fmt::format("| `{}` |", parameter)), std::string::npos) << parameter;
        EXPECT_NE(section.find(fmt::format(" {} ", value)), std::string::npos) << parameter;
    }
}

INSTANTIATE_TEST_SUITE_P(Models, ModelFile, testing::ValuesIn(modelNames()), nameOf);

class DemoDeck : public testing::TestWithParam<std::string>
{
};

// "check <name> <measured> <expected> <tolerance> pass|fail"; the verdict is worked out anew.
TEST_P(DemoDeck, FindsInStockNgspiceWhatItExpects)
{
    const stock::Outcome outcome =
        stock::run(stock::modelsFolder() / "demo" / (GetParam() + ".cir"));
    EXPECT_EQ(outcome.exitStatus, 0);
    int checks = 0;
    std::istringstream log(outcome.log);
    for (std::string line; std::getline(log, line);) {
        const Words words = wordsOf(line);
        if (words.empty() || words.front() != "check") {
            continue;
        }
        ++checks;
        ASSERT_EQ(words.size(), 6U) << line;
        EXPECT_EQ(words[5], "pass") << line;
        const double expected = std::stod(words[3]);
        // The log prints six digits.
        EXPECT_LE(std::abs(std::stod(words[2]) - expected),
                  (std::stod(words[4]) + 2e-6) * std::abs(expected))
            << line;
    }
    EXPECT_GT(checks, 0);
    EXPECT_FALSE(testing::Test::HasFailure()) << outcome.log;
}

INSTANTIATE_TEST_SUITE_P(Models, DemoDeck,
                         testing::ValuesIn(stemsIn(stock::modelsFolder() / "demo", ".cir")),
                         nameOf);

TEST(DemoDeckSet, HasADeckForEveryModel)
{
    const std::vector<std::string> decks = stemsIn(stock::modelsFolder() / "demo", ".cir");
    for (const std::string& name : modelNames()) {
        EXPECT_TRUE(std::binary_search(decks.begin(), decks.end(), name)) << name;
    }
    EXPECT_TRUE(std::binary_search(decks.begin(), decks.end(), "capacitor_start_motor"));
}

}  // namespace
}  // namespace splitstart
