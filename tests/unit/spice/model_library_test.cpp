#include "spice/model_library.h"

#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <iterator>
#include <regex>
#include <set>
#include <sstream>
#include <stdexcept>
#include <string>
#include <vector>

namespace splitstart
{

namespace
{

using Names = std::vector<std::string>;

std::vector<std::filesystem::path> modelFiles()
{
    std::vector<std::filesystem::path> files;
    const auto folder = std::filesystem::path(SPLITSTART_SOURCE_DIR) / "models";
    for (const auto& entry : std::filesystem::directory_iterator(folder)) {
        if (entry.path().extension() == ".lib" && entry.path().stem() != "splitstart") {
            files.push_back(entry.path());
        }
    }
    return files;
}

std::string textOf(const std::filesystem::path& path)
{
    std::ifstream stream(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(stream), std::istreambuf_iterator<char>()};
}

// What a model file's own heading says: "* ports: a b", rows of parameters, "* needs: contact".
struct Heading {
    Names ports;
    Names parameters;
    Names needs;
};

Names wordsOf(const std::string& text)
{
    std::istringstream stream(text);
    Names words;
    for (std::string word; stream >> word;) {
        words.push_back(word.ends_with(',') ? word.substr(0, word.size() - 1) : word);
    }
    return words;
}

Heading headingOf(const std::string& text)
{
    static const std::regex row(R"(\*   ([a-z0-9_]+) +\[[^\]]+\] +default .*)");
    Heading heading;
    std::istringstream stream(text);
    for (std::string line; std::getline(stream, line) && !line.starts_with(".subckt");) {
        std::smatch match;
        if (line.starts_with("* ports: ")) {
            heading.ports = wordsOf(line.substr(9));
        } else if (line.starts_with("* needs: ") && line != "* needs: none") {
            heading.needs = wordsOf(line.substr(9));
        } else if (std::regex_match(line, match, row)) {
            heading.parameters.push_back(match[1]);
        }
    }
    return heading;
}

std::set<std::string> setOf(const Names& names)
{
    return {names.begin(), names.end()};
}

}  // namespace

TEST(ModelLibrary, HoldsEveryFileOfModelsUnderItsName)
{
    ASSERT_GE(modelFiles().size(), 11U);
    for (const std::filesystem::path& file : modelFiles()) {
        const Subcircuit& found = subcircuit(file.stem().string());
        EXPECT_EQ(found.name, file.stem().string());
        EXPECT_EQ(found.text, parseSubcircuit(textOf(file)).text);  // as compiled in
    }
}

TEST(ModelLibrary, ReadsThePortsThatEachFileStates)
{
    for (const std::filesystem::path& file : modelFiles()) {
        const Heading heading = headingOf(textOf(file));
        ASSERT_FALSE(heading.ports.empty()) << file;
        EXPECT_EQ(subcircuit(file.stem().string()).ports, heading.ports) << file;
    }
}

TEST(ModelLibrary, ReadsTheParametersThatEachFileStates)
{
    for (const std::filesystem::path& file : modelFiles()) {
        const Heading heading = headingOf(textOf(file));
        const Names& parameters = subcircuit(file.stem().string()).parameters;
        ASSERT_FALSE(heading.parameters.empty()) << file;
        EXPECT_EQ(setOf(parameters), setOf(heading.parameters)) << file;
        EXPECT_EQ(setOf(parameters).size(), parameters.size()) << file << " has one twice";
    }
}

TEST(ModelLibrary, ReadsTheSubcircuitsThatEachFileNeeds)
{
    std::size_t needing = 0;
    for (const std::filesystem::path& file : modelFiles()) {
        const Subcircuit& found = subcircuit(file.stem().string());
        EXPECT_EQ(setOf(found.needs), setOf(headingOf(textOf(file)).needs)) << file;
        needing += found.needs.empty() ? 0 : 1;
        for (const std::string& needed : found.needs) {
            EXPECT_NO_THROW(subcircuit(needed));
        }
    }
    EXPECT_GE(needing, 3U);  // both relays and the protector have a contact
}

TEST(ModelLibrary, KeepsTheSubcircuitAndNothingOutsideIt)
{
    for (const std::filesystem::path& file : modelFiles()) {
        const Subcircuit& found = subcircuit(file.stem().string());
        EXPECT_TRUE(found.text.starts_with(".subckt " + found.name + " ")) << file;
        EXPECT_TRUE(found.text.ends_with(".ends " + found.name + "\n")) << file;
        EXPECT_EQ(found.text.find("\n*"), std::string::npos) << file;
        EXPECT_EQ(found.text.find("\n+"), std::string::npos) << file;
    }
}

TEST(ModelLibrary, RefusesANameThatIsNotInModels)
{
    EXPECT_THROW(subcircuit("no_such_model"), std::out_of_range);
    EXPECT_THROW(subcircuit("splitstart"), std::out_of_range);
    EXPECT_THROW(subcircuit("SUPPLY"), std::out_of_range);
}

TEST(ParseSubcircuit, JoinsContinuationLinesAndDropsComments)
{
    const Subcircuit found = parseSubcircuit(
        "* a comment\n"
        ".subckt two_terminal a b params: ohms=1\n"
        "* between\n"
        "+ farads={1e-6 * 2} henries=3\n"
        "r1 a b {ohms}\n"
        ".ends two_terminal\n");
    EXPECT_EQ(found.name, "two_terminal");
    EXPECT_EQ(found.ports, (Names{"a", "b"}));
    EXPECT_EQ(setOf(found.parameters), (std::set<std::string>{"ohms", "farads", "henries"}));
    EXPECT_TRUE(found.needs.empty());
}

TEST(ParseSubcircuit, FindsWhatItsInstancesUse)
{
    const Subcircuit found = parseSubcircuit(
        ".subckt outer a b\n"
        "xfirst a m inner ohms={1} farads=2\n"
        "xsecond m b other params: henries=3\n"
        "Xthird m b\n+ third\n"
        "r1 a b 1\n"
        ".ends outer\n");
    EXPECT_EQ(found.needs, (Names{"inner", "other", "third"}));
}

TEST(ParseSubcircuit, RefusesWhatIsNotExactlyOneWholeSubcircuit)
{
    const std::string sound = ".subckt one a b\nr1 a b 1\n.ends one\n";
    EXPECT_NO_THROW(parseSubcircuit(sound));
    EXPECT_NO_THROW(parseSubcircuit("* before\n" + sound + "\n* after\n"));
    for (const std::string& text :
         {std::string(), std::string("* only a comment\n"), std::string("r1 a b 1\n"),
          std::string(".subckt\n.ends\n"), std::string(".subckt one a b\nr1 a b 1\n"),
          sound + sound, sound + "r2 a b 1\n", ".param x=1\n" + sound,
          std::string(".subckt one a b\n.subckt two a b\n.ends two\n.ends one\n")}) {
        EXPECT_THROW(parseSubcircuit(text), std::invalid_argument) << text;
    }
}

}  // namespace splitstart
