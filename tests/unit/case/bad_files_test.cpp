// Every file in bad/ is wrong in the ways that the text of the same name says, word for word.
// Files that begin with "parts-" are parts files. To add one, add the two files.
#include <gtest/gtest.h>

#include <filesystem>
#include <set>
#include <string>

#include "unit/case/case_fixture.h"

namespace splitstart
{
namespace
{

using testing::caseTestFolder;
using testing::textOfFile;

// Without the folder in which parts files are looked for, which differs from machine to machine.
std::string withoutFolder(std::string message)
{
    const std::string folder = (caseTestFolder() / "good/").string();
    for (std::size_t at = message.find(folder); at != std::string::npos;
         at = message.find(folder)) {
        message.erase(at, folder.size());
    }
    return message;
}

std::string messageOf(const std::filesystem::path& path)
{
    const std::string name = path.filename().string();
    try {
        if (name.starts_with("parts-")) {
            readPartsText(textOfFile(path), name);
        } else {
            readCaseText(textOfFile(path), name, (caseTestFolder() / "good").string());
        }
        return "nothing is wrong with it";
    } catch (const InputError& error) {
        return withoutFolder(error.what());
    }
}

TEST(BadFiles, GetExactlyTheMessagesWrittenBesideThem)
{
    int files = 0;
    std::set<std::string> texts;
    for (const auto& entry : std::filesystem::directory_iterator(caseTestFolder() / "bad")) {
        std::filesystem::path path = entry.path();
        if (path.extension() != ".xml") {
            texts.insert(path.filename().string());
            continue;
        }
        const std::string message = messageOf(path);
        EXPECT_EQ(message + "\n", textOfFile(path.replace_extension(".txt"))) << path;
        ++files;
    }
    EXPECT_GE(files, 25);
    EXPECT_EQ(texts.size(), static_cast<std::size_t>(files));
}

TEST(BadFiles, AreReadTheSameFromTheirFolder)
{
    const std::string path = (caseTestFolder() / "bad" / "misspelt-names.xml").string();
    try {
        readCaseFile(path);
        FAIL() << "nothing is wrong with it";
    } catch (const InputError& error) {
        EXPECT_EQ(error.problems().front().place.file, path);
    }
}

}  // namespace
}  // namespace splitstart
