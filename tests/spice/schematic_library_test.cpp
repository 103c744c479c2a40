// Symbols and tables for schematic editors against the models themselves.
#include <gtest/gtest.h>

#include <fstream>
#include <regex>
#include <sstream>

#include "case/embedded_files.h"
#include "spice/model_library.h"
#include "spice/stock_ngspice.h"

namespace splitstart
{

namespace
{

std::string textOf(const std::filesystem::path& path)
{
    std::ifstream stream(path);
    std::ostringstream text;
    text << stream.rdbuf();
    return text.str();
}

std::vector<std::string> allMatches(const std::string& text, const char* pattern)
{
    std::vector<std::string> found;
    const std::regex expression(pattern);
    for (std::sregex_iterator each(text.begin(), text.end(), expression), end; each != end;
         ++each) {
        found.push_back((*each)[1]);
    }
    return found;
}

std::vector<std::string> modelNames()
{
    std::vector<std::string> names;
    for (const EmbeddedFile& file : embeddedFiles()) {
        const std::string name(file.name);
        if (name.ends_with(".lib") && name != "splitstart.lib") {
            names.push_back(name.substr(0, name.size() - 4));
        }
    }
    return names;
}

// "name=default" of all parameters, in the order of the .subckt line.
std::vector<std::string> defaultsOf(const Subcircuit& model)
{
    std::string head = model.text.substr(model.text.find("params:"));
    std::istringstream lines(head);
    std::string joined;
    for (std::string line;
         std::getline(lines, line) && (joined.empty() || line.starts_with("+"));) {
        joined += line + " ";
    }
    return allMatches(joined, R"((\w+=\S+))");
}

TEST(SchematicLibrary, HasASymbolForEachModelWithItsPinsAndParameters)
{
    for (const std::string& name : modelNames()) {
        const Subcircuit& model = subcircuit(name);
        const std::string symbol = textOf(stock::modelsFolder() / "schematic" / (name + ".sym"));
        EXPECT_EQ(allMatches(symbol, R"(\nB 5 [^{]*\{name=(\w+))"), model.ports) << name;
        EXPECT_NE(symbol.find("@name @pinlist " + name), std::string::npos) << name;
        EXPECT_EQ(allMatches(symbol, R"( (\w+)=@)"), model.parameters) << name;
        const std::string given = symbol.substr(symbol.find("template="), symbol.find("V {}"));
        EXPECT_EQ(allMatches(given.substr(0, given.find("\"}")), R"(\n(\w+=[^\s"]+))"),
                  defaultsOf(model))
            << name;
    }
}

TEST(SchematicLibrary, PageHasPinsAndParametersOfEachModel)
{
    const std::string page = textOf(stock::modelsFolder() / "SCHEMATIC.md");
    for (const std::string& name : modelNames()) {
        const std::size_t from = page.find("\n### " + name + "\n");
        ASSERT_NE(from, std::string::npos) << name << ": run scripts/make-symbols";
        const std::string section = page.substr(from + 1, page.find("\n### ", from + 1) - from - 1);
        EXPECT_EQ(allMatches(section, R"([0-9]+ `(\w+)`)"), subcircuit(name).ports) << name;
        std::vector<std::string> rows;
        const std::regex row(R"(\n\| `(\w+)` \| \S+(?: \S+)* \| (\S+) \|)");
        for (std::sregex_iterator each(section.begin(), section.end(), row), end; each != end;
             ++each) {
            rows.push_back((*each)[1].str() + "=" + (*each)[2].str());
        }
        EXPECT_EQ(rows, defaultsOf(subcircuit(name))) << name;
    }
}

}  // namespace

}  // namespace splitstart
