// examples/README.md against the files beside it.
#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <sstream>
#include <string>
#include <vector>

#include "case/reader.h"
#include "circuit/case_circuit.h"

namespace splitstart
{

namespace
{

const std::filesystem::path examples = std::filesystem::path(SPLITSTART_SOURCE_DIR) / "examples";

std::string readme()
{
    std::ifstream stream(examples / "README.md");
    return {std::istreambuf_iterator<char>(stream), std::istreambuf_iterator<char>()};
}

// The cells behind the file's name in its row; empty without one.
std::vector<std::string> rowOf(const std::string& file)
{
    const std::string text = readme();
    std::istringstream lines(text);
    const std::string begin = "| [`" + file + "`](" + file + ") | ";
    for (std::string line; std::getline(lines, line);) {
        if (!line.starts_with(begin)) {
            continue;
        }
        std::vector<std::string> cells;
        std::string rest = line.substr(begin.size());
        for (std::size_t bar = rest.find(" |"); bar != std::string::npos; bar = rest.find(" |")) {
            cells.push_back(rest.substr(0, bar));
            rest = rest.substr(std::min(rest.size(), bar + 3));
        }
        return cells;
    }
    return {};
}

}  // namespace

TEST(ReadmeOfTheExamples, HasARowForEveryFileWithItsCircuit)
{
    int files = 0;
    for (const auto& entry : std::filesystem::recursive_directory_iterator(examples)) {
        if (entry.path().extension() != ".xml") {
            continue;
        }
        ++files;
        const std::string name = std::filesystem::relative(entry.path(), examples).string();
        const std::vector<std::string> row = rowOf(name);
        ASSERT_FALSE(row.empty()) << name;
        if (row.size() == 1) {
            EXPECT_NO_THROW(readPartsFile(entry.path().string())) << name;
            continue;
        }
        ASSERT_EQ(row.size(), 3U) << name;
        const Case input = readCaseFile(entry.path().string());
        EXPECT_TRUE(input.invented) << name;
        const CatalogPart* const device = input.parts.find(input.circuit->startDevice);
        const std::string kind =
            device == nullptr ? std::string("none")
                              : std::string(partKindInfo(*startDeviceKind(device->data)).words);
        EXPECT_EQ(row[0], input.circuit->type + ", " + kind) << name;
        EXPECT_TRUE(row[2] == "0" || row[2] == "1" || row[2] == "2") << name << ": " << row[2];
    }
    EXPECT_GT(files, 30);
}

// Who copies a case comes by here first.
TEST(ReadmeOfTheExamples, SaysThatAllIsInventedAndWhatComesBeforeACopy)
{
    const std::string head = readme().substr(0, readme().find("\n## "));
    for (const char* words : {"invented", "No such machine", "lock out", "discharge", "prove dead",
                              "Local codes", "licensed practice"}) {
        EXPECT_NE(head.find(words), std::string::npos) << words;
    }
    std::ifstream stream(examples.parent_path() / "README.md");
    const std::string ofProject{std::istreambuf_iterator<char>(stream),
                                std::istreambuf_iterator<char>()};
    EXPECT_NE(ofProject.find("(examples/README.md)"), std::string::npos);
}

}  // namespace splitstart
