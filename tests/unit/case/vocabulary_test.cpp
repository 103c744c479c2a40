// The one table of elements and attributes: each end of each range as the reader sees it, and the
// document that describes it.
#include "case/vocabulary.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <cmath>
#include <filesystem>
#include <functional>
#include <map>
#include <pugixml.hpp>
#include <set>
#include <sstream>
#include <string>
#include <vector>

#include "case/number.h"
#include "unit/case/case_fixture.h"

namespace splitstart
{
namespace
{

using testing::caseTestFolder;
using testing::textOfFile;

// Documents in which every element and attribute stands at least once.
const char* const fullDocuments[] = {"everything.xml", "dairy-stock.xml", "cheese-store.xml",
                                     "bench-motor.xml"};

// Calls `visit` with parent (null at the top), element.
using Visit = std::function<void(const ElementSpec*, const ElementSpec&)>;

void walk(const ElementSpec* parent, const ElementSpec& element, const Visit& visit)
{
    visit(parent, element);
    for (const ChildSpec& child : element.children) {
        walk(&element, *child.element, visit);
    }
}

void walkAll(const Visit& visit)
{
    walk(nullptr, caseElement(), visit);
    walk(nullptr, partsFileElement(), visit);
}

bool isNumeric(const AttributeSpec& attribute)
{
    return attribute.kind == ValueKind::number || attribute.kind == ValueKind::evenNumber ||
           attribute.kind == ValueKind::wholeNumber || attribute.kind == ValueKind::ohmsOrOpen ||
           attribute.kind == ValueKind::ohmsOrAbove;
}

std::vector<InputProblem> problemsOf(const pugi::xml_document& document)
{
    std::ostringstream text;
    document.save(text);
    const std::string folder = (caseTestFolder() / "good").string();
    try {
        if (std::string_view(document.document_element().name()) == "parts") {
            readPartsText(text.str(), "stock.xml");
        } else {
            readCaseText(text.str(), "dairy.xml", folder);
        }
    } catch (const InputError& error) {
        return error.problems();
    }
    return {};
}

// Whether the reader objects to this value of the attribute in itself; rules that join several
// attributes speak differently.
bool isRefused(const std::string& file, const ElementSpec& element, const AttributeSpec& attribute,
               const std::string& value)
{
    pugi::xml_document document;
    document.load_file((caseTestFolder() / "good" / file).c_str());
    const pugi::xml_node node = document.find_node([&](const pugi::xml_node& candidate) {
        return element.name == candidate.name() &&
               !candidate.attribute(std::string(attribute.name).c_str()).empty();
    });
    node.attribute(std::string(attribute.name).c_str()).set_value(value.c_str());
    for (const InputProblem& problem : problemsOf(document)) {
        if (problem.field == fmt::format("{}/{}", element.name, attribute.name) &&
            problem.found == value && problem.allowed == allowedText(attribute)) {
            return true;
        }
    }
    return false;
}

// The full document that holds the attribute; empty when none does.
std::string documentWith(const ElementSpec& element, const AttributeSpec& attribute)
{
    for (const char* file : fullDocuments) {
        pugi::xml_document document;
        document.load_file((caseTestFolder() / "good" / file).c_str());
        const pugi::xml_node node = document.find_node([&](const pugi::xml_node& candidate) {
            return element.name == candidate.name() &&
                   !candidate.attribute(std::string(attribute.name).c_str()).empty();
        });
        if (!node.empty()) {
            return file;
        }
    }
    return {};
}

void forEachAttribute(
    const std::function<void(const std::string&, const ElementSpec&, const AttributeSpec&)>& visit)
{
    std::set<std::string> seen;
    walkAll([&](const ElementSpec*, const ElementSpec& element) {
        for (const AttributeSpec& attribute : element.attributes) {
            if (seen.insert(fmt::format("{}/{}", element.name, attribute.name)).second) {
                visit(documentWith(element, attribute), element, attribute);
            }
        }
    });
}

// A little outside, in the last places that the shortest text shows.
std::string beyond(double end, double direction)
{
    const double step = end == 0 ? 1e-9 : std::abs(end) * 1e-9;
    return plainNumber(end + direction * step);
}

TEST(AttributeRanges, IncludeBothEndsAndNothingBeyond)
{
    int checked = 0;
    forEachAttribute(
        [&](const std::string& file, const ElementSpec& element, const AttributeSpec& attribute) {
            if (!isNumeric(attribute)) {
                return;
            }
            SCOPED_TRACE(fmt::format("{}/{}", element.name, attribute.name));
            const auto refused = [&](const std::string& value) {
                return isRefused(file, element, attribute, value);
            };
            EXPECT_LT(attribute.minimum, attribute.maximum);
            EXPECT_FALSE(refused(plainNumber(attribute.minimum)));
            EXPECT_FALSE(refused(plainNumber(attribute.maximum)));
            EXPECT_TRUE(refused(beyond(attribute.minimum, -1)));
            EXPECT_TRUE(refused(beyond(attribute.maximum, 1)));
            ++checked;
        });
    EXPECT_GT(checked, 140);
}

TEST(NumberAttributes, OfEveryAttributeRefuseWhatIsNoNumber)
{
    forEachAttribute(
        [&](const std::string& file, const ElementSpec& element, const AttributeSpec& attribute) {
            if (!isNumeric(attribute)) {
                return;
            }
            for (const char* value : {"", " ", "nan", "inf", "-inf", "1e999", "1e-320", "0x10",
                                      " 5", "5 ", "+5", "1,5", "5V", "x"}) {
                EXPECT_TRUE(isRefused(file, element, attribute, value))
                    << element.name << '/' << attribute.name << " \"" << value << '"';
            }
        });
}

TEST(WordAttributes, OfEveryAttributeAreTakenAndOthersRefused)
{
    forEachAttribute(
        [&](const std::string& file, const ElementSpec& element, const AttributeSpec& attribute) {
            if (attribute.kind != ValueKind::choice) {
                return;
            }
            for (const std::string_view word : attribute.words) {
                EXPECT_FALSE(isRefused(file, element, attribute, std::string(word))) << word;
                EXPECT_TRUE(isRefused(file, element, attribute, std::string(word) + " ")) << word;
            }
            EXPECT_TRUE(isRefused(file, element, attribute, "")) << attribute.name;
        });
}

TEST(FullDocuments, ShowEveryAttribute)
{
    std::set<std::string_view> shown;
    forEachAttribute(
        [&](const std::string& file, const ElementSpec& element, const AttributeSpec& attribute) {
            // Rows that all parts share, and that no part has an end of its own for, need to be
            // shown by one part only.
            const bool shared = attribute.name == "description" || attribute.name == "invented";
            if (!file.empty()) {
                shown.insert(attribute.name);
            }
            EXPECT_TRUE(!file.empty() || shared) << element.name << '/' << attribute.name;
        });
    EXPECT_EQ(shown.count("description") + shown.count("invented"), 2U);
}

TEST(AttributeDefaults, AreValuesThatTheReaderTakes)
{
    walkAll([](const ElementSpec*, const ElementSpec& element) {
        for (const AttributeSpec& attribute : element.attributes) {
            if (attribute.defaultText.empty()) {
                continue;
            }
            EXPECT_FALSE(attribute.required) << attribute.name;
            if (isNumeric(attribute)) {
                const auto value = parseNumber(attribute.defaultText);
                ASSERT_TRUE(value.has_value()) << attribute.name;
                EXPECT_GE(*value, attribute.minimum) << attribute.name;
                EXPECT_LE(*value, attribute.maximum) << attribute.name;
            }
        }
    });
}

TEST(MeasuredValues, HaveTheRangeOfTheirQuantity)
{
    const auto message = [](const MeasuredQuantitySpec& quantity, const std::string& value) {
        return testing::caseMessage(testing::caseWith(
            "", fmt::format("<measured quantity=\"{}\" value=\"{}\"/>", quantity.name, value)));
    };
    EXPECT_EQ(measuredQuantities().size(), 16U);
    for (const MeasuredQuantitySpec& quantity : measuredQuantities()) {
        EXPECT_EQ(message(quantity, plainNumber(quantity.minimum)), "");
        EXPECT_EQ(message(quantity, plainNumber(quantity.maximum)), "");
        EXPECT_NE(message(quantity, beyond(quantity.minimum, -1)), "") << quantity.name;
        EXPECT_NE(message(quantity, beyond(quantity.maximum, 1)), "") << quantity.name;
        EXPECT_EQ(measuredQuantityName(quantity.quantity), quantity.name);
    }
    EXPECT_EQ(
        message(measuredQuantities()[10], "9"),
        "dairy.xml:5: measured/value: found \"9\"; allowed: for turns-ratio a number from 0.2 "
        "to 5.");
}

// NEMA MG 1, locked-rotor indicating code letters: A to V, without I, O and Q (from memory).
TEST(CodeLetters, AreThoseOfTheStandard)
{
    for (char letter = 'A'; letter <= 'Z'; ++letter) {
        const std::string text =
            testing::caseWith("", fmt::format("<nameplate code-letter=\"{}\"/>", letter));
        const bool inStandard = std::string("IOQWXYZ").find(letter) == std::string::npos;
        EXPECT_EQ(testing::caseMessage(text).empty(), inStandard) << letter;
    }
}

// The words for type and variant come from the circuit files, so the test reads them from the files
// in the tree: a new file is a new word, and no list has to be kept beside it.
std::set<std::string> wordsInCircuitFiles(const char* attribute)
{
    std::set<std::string> words;
    for (const auto& entry : std::filesystem::directory_iterator(
             std::filesystem::path(SPLITSTART_SOURCE_DIR) / "netgen/circuit/standard")) {
        pugi::xml_document document;
        EXPECT_TRUE(document.load_file(entry.path().c_str())) << entry.path();
        const std::string word = document.child("circuit").attribute(attribute).value();
        if (!word.empty()) {
            words.insert(word);
        }
    }
    return words;
}

TEST(CircuitTypes, AreThoseOfTheCircuitFilesEachOnce)
{
    const auto names = circuitTypeNames();
    const std::set<std::string> once(names.begin(), names.end());
    EXPECT_EQ(once.size(), names.size());
    EXPECT_EQ(once, wordsInCircuitFiles("type"));
    for (const char* type : {"RSIR", "CSIR", "PSC", "CSCR", "RSCR"}) {  // terms of the trade
        EXPECT_TRUE(once.contains(type)) << type;
    }
}

TEST(CircuitVariants, AreThoseOfTheCircuitFilesAndTheStandardOneFirst)
{
    const auto names = circuitVariantNames();
    ASSERT_FALSE(names.empty());
    EXPECT_EQ(names.front(), standardVariant);
    const std::set<std::string> once(names.begin(), names.end());
    EXPECT_EQ(once.size(), names.size());
    std::set<std::string> expected = wordsInCircuitFiles("variant");
    EXPECT_FALSE(expected.empty());
    expected.insert(std::string(standardVariant));
    EXPECT_EQ(once, expected);
}

// --- README.md -------------------------------------------------------------------------------

using Rows = std::map<std::string, std::vector<std::string>>;  // first cell -> the others

std::vector<std::string> cellsOf(const std::string& line)
{
    std::vector<std::string> cells;
    std::istringstream stream(line.substr(1));
    for (std::string cell; std::getline(stream, cell, '|');) {
        const std::size_t first = cell.find_first_not_of(' ');
        const std::size_t last = cell.find_last_not_of(' ');
        cells.push_back(first == std::string::npos ? "" : cell.substr(first, last - first + 1));
    }
    return cells;
}

// Heading -> rows of the tables below it; rows whose first cell is in backticks.
std::map<std::string, Rows> tablesOfReadme()
{
    std::map<std::string, Rows> tables;
    std::string heading;
    const std::filesystem::path folder =
        std::filesystem::path(SPLITSTART_SOURCE_DIR) / "netgen/case";
    std::istringstream stream(textOfFile(folder / "README.md") + textOfFile(folder / "PARTS.md"));
    for (std::string line; std::getline(stream, line);) {
        if (line.starts_with("### ")) {
            heading = line.substr(4);
            tables[heading];
        } else if (line.starts_with("| `")) {
            const std::vector<std::string> cells = cellsOf(line);
            const std::string name = cells[0].substr(1, cells[0].size() - 2);
            if (heading == "Circuit types") {  // a row a file: circuits_in_readme_test.cpp
                continue;
            }
            EXPECT_EQ(tables[heading].count(name), 0U) << heading << ' ' << name;
            tables[heading][name] = {cells.begin() + 1, cells.end()};
        }
    }
    return tables;
}

std::string headingOf(const ElementSpec* parent, const ElementSpec& element)
{
    return parent == nullptr ? fmt::format("`<{}>`, the whole file", element.name)
                             : fmt::format("`<{}>` in `<{}>`", element.name, parent->name);
}

TEST(Readme, DescribesEveryAttributeAsTheReaderTakesIt)
{
    std::map<std::string, Rows> tables = tablesOfReadme();
    walkAll([&](const ElementSpec* parent, const ElementSpec& element) {
        const std::string heading = headingOf(parent, element);
        ASSERT_EQ(tables.count(heading), 1U) << heading;
        const Rows& rows = tables[heading];
        for (const AttributeSpec& attribute : element.attributes) {
            SCOPED_TRACE(heading + " " + std::string(attribute.name));
            const auto row = rows.find(std::string(attribute.name));
            ASSERT_NE(row, rows.end());
            ASSERT_EQ(row->second.size(), 4U);
            EXPECT_EQ(row->second[0], unitColumn(attribute));
            EXPECT_EQ(row->second[1], rangeColumn(attribute));
            EXPECT_EQ(row->second[2], defaultColumn(attribute));
            EXPECT_GT(row->second[3].size(), 10U);
        }
        EXPECT_EQ(rows.size(), element.attributes.size()) << heading;
    });
}

TEST(Readme, DescribesNoElementThatTheReaderDoesNotKnow)
{
    std::set<std::string> known = {"Measured quantities", "Circuit types"};
    walkAll([&](const ElementSpec* parent, const ElementSpec& element) {
        known.insert(headingOf(parent, element));
    });
    for (const auto& [heading, rows] : tablesOfReadme()) {
        EXPECT_EQ(known.count(heading), 1U) << heading;
    }
}

TEST(Readme, DescribesEveryMeasuredQuantity)
{
    std::map<std::string, Rows> tables = tablesOfReadme();
    const Rows& quantities = tables["Measured quantities"];
    for (const MeasuredQuantitySpec& spec : measuredQuantities()) {
        SCOPED_TRACE(spec.name);
        const auto row = quantities.find(std::string(spec.name));
        ASSERT_NE(row, quantities.end());
        ASSERT_EQ(row->second.size(), 3U);
        EXPECT_EQ(row->second[0], spec.unit.word.empty() ? "number" : spec.unit.word);
        EXPECT_EQ(row->second[1],
                  fmt::format("{} to {}", plainNumber(spec.minimum), plainNumber(spec.maximum)));
    }
    EXPECT_EQ(quantities.size(), measuredQuantities().size());
}

}  // namespace
}  // namespace splitstart
