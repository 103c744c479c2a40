// The order of the modules, and the size of their files, as the sources stand.
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <filesystem>
#include <fstream>
#include <map>
#include <regex>
#include <set>
#include <string>
#include <string_view>
#include <vector>

namespace splitstart
{

namespace
{

// A module includes only what stands before it.
constexpr std::array<std::string_view, 8> modules = {"case",   "motor", "circuit", "spice",
                                                     "rating", "study", "report",  "cli"};
constexpr std::size_t longestFile_lines = 600;

struct Source {
    std::filesystem::path path;
    std::string module;
    std::vector<std::string> lines;
};

std::filesystem::path netgenFolder()
{
    return std::filesystem::path(SPLITSTART_SOURCE_DIR) / "netgen";
}

std::vector<Source> sources()
{
    std::vector<Source> all;
    for (const auto& entry : std::filesystem::recursive_directory_iterator(netgenFolder())) {
        const std::string extension = entry.path().extension().string();
        if (extension != ".h" && extension != ".cpp") {
            continue;
        }
        Source source;
        source.path = entry.path().lexically_relative(netgenFolder());
        source.module = source.path.begin()->string();
        std::ifstream stream(entry.path());
        for (std::string line; std::getline(stream, line);) {
            source.lines.push_back(line);
        }
        all.push_back(std::move(source));
    }
    return all;
}

// Position in the order; past the end for a folder that is no module.
std::size_t rankOf(std::string_view module)
{
    return static_cast<std::size_t>(std::find(modules.begin(), modules.end(), module) -
                                    modules.begin());
}

std::vector<std::string> quotedIncludes(const Source& source)
{
    static const std::regex include(R"re(\s*#\s*include\s*"([^"]+)".*)re");
    std::vector<std::string> found;
    for (const std::string& line : source.lines) {
        std::smatch match;
        if (std::regex_match(line, match, include)) {
            found.push_back(match[1]);
        }
    }
    return found;
}

}  // namespace

TEST(Layers, AreTheFoldersOfNetgen)
{
    std::set<std::string> folders;
    for (const Source& source : sources()) {
        folders.insert(source.module);
    }
    EXPECT_EQ(folders, (std::set<std::string>(modules.begin(), modules.end())));
}

TEST(Layers, IncludeOnlyWhatStandsBeforeThem)
{
    std::size_t includes = 0;
    for (const Source& source : sources()) {
        for (const std::string& included : quotedIncludes(source)) {
            const std::string module = included.substr(0, included.find('/'));
            EXPECT_LT(rankOf(module), modules.size())
                << source.path << " includes \"" << included << "\" without its module";
            EXPECT_LE(rankOf(module), rankOf(source.module))
                << source.path << " includes \"" << included << '"';
            EXPECT_TRUE(std::filesystem::exists(netgenFolder() / included))
                << source.path << " includes \"" << included << '"';
            ++includes;
        }
    }
    EXPECT_GT(includes, 100U);
}

// Inside a module nobody waits for himself either: headers that include each other in a ring.
TEST(Layers, HaveNoHeaderThatIncludesItselfByADetour)
{
    std::map<std::string, std::vector<std::string>> includesOf;
    for (const Source& source : sources()) {
        if (source.path.extension() == ".h") {
            includesOf[source.path.generic_string()] = quotedIncludes(source);
        }
    }
    for (const auto& [header, direct] : includesOf) {
        std::set<std::string> reached;
        std::vector<std::string> open = direct;
        while (!open.empty()) {
            const std::string next = open.back();
            open.pop_back();
            if (reached.insert(next).second) {
                const std::vector<std::string>& more = includesOf[next];
                open.insert(open.end(), more.begin(), more.end());
            }
        }
        EXPECT_FALSE(reached.contains(header)) << header;
    }
}

// ngspice's own header stays behind one wall.
TEST(Layers, LetOneHeaderAloneSeeNgspice)
{
    std::set<std::string> seeing;
    for (const Source& source : sources()) {
        for (const std::string& line : source.lines) {
            if (line.find("#include") != std::string::npos &&
                line.find("sharedspice.h") != std::string::npos) {
                seeing.insert(source.path.generic_string());
            }
        }
    }
    EXPECT_EQ(seeing.size(), 1U);
    for (const std::string& file : seeing) {
        EXPECT_TRUE(file.starts_with("spice/")) << file;
    }
}

TEST(Layers, HaveNoFileThatIsTooLongToRead)
{
    for (const Source& source : sources()) {
        EXPECT_LE(source.lines.size(), longestFile_lines) << source.path;
    }
}

}  // namespace splitstart
