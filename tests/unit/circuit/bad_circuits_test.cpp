// Every case in bad/ reads well and names parts that make no circuit, for the reason that the text
// of the same name gives, word for word. To add one, add the two files.
#include <gtest/gtest.h>

#include <filesystem>
#include <set>
#include <string>

#include "circuit/case_circuit.h"
#include "unit/case/case_fixture.h"

namespace splitstart
{

namespace
{

using testing::caseTestFolder;
using testing::textOfFile;

std::string messageOf(const std::filesystem::path& path)
{
    // The parts file is that of the tests of the reader.
    const Case input = readCaseText(textOfFile(path), path.filename().string(),
                                    (caseTestFolder() / "good").string());
    try {
        caseCircuit(input);
        return "nothing is wrong with it";
    } catch (const InputError& error) {
        return error.what();
    }
}

}  // namespace

TEST(BadCircuits, GetExactlyTheLineWrittenBesideThem)
{
    int files = 0;
    std::set<std::string> texts;
    const std::filesystem::path folder =
        std::filesystem::path(SPLITSTART_SOURCE_DIR) / "tests/unit/circuit/bad";
    for (const auto& entry : std::filesystem::directory_iterator(folder)) {
        std::filesystem::path path = entry.path();
        if (path.extension() != ".xml") {
            texts.insert(path.filename().string());
            continue;
        }
        const std::string message = messageOf(path);
        EXPECT_EQ(message + "\n", textOfFile(path.replace_extension(".txt"))) << path;
        ++files;
    }
    EXPECT_GE(files, 12);
    EXPECT_EQ(texts.size(), static_cast<std::size_t>(files));
}

}  // namespace splitstart
