// netgen/case/README.md against the circuit files: a row a file.
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <set>
#include <sstream>
#include <string>
#include <vector>

#include "circuit/circuit.h"

namespace splitstart
{

namespace
{

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

// The rows of the table below that heading.
std::vector<std::vector<std::string>> rowsBelow(const std::string& heading)
{
    std::vector<std::vector<std::string>> rows;
    std::ifstream stream(std::filesystem::path(SPLITSTART_SOURCE_DIR) / "netgen/case/README.md");
    bool below = false;
    for (std::string line; std::getline(stream, line);) {
        if (line.starts_with("#")) {
            below = line == heading;
        } else if (below && line.starts_with("| `")) {
            rows.push_back(cellsOf(line));
        }
    }
    return rows;
}

}  // namespace

TEST(ReadmeOfTheCase, HasEveryCircuitFileInARowAndNoOther)
{
    std::multiset<std::string> ofFiles;
    for (const Circuit& circuit : standardCircuits()) {
        const auto device = startDeviceOf(circuit);
        const auto has = [&circuit](PartKind kind) {
            return circuit.find(kind) != nullptr ? "yes" : "no";
        };
        ofFiles.insert("`" + circuit.type + "` " + circuit.variant + " " +
                       (device ? std::string(partKindInfo(*device).name) : "none") + " " +
                       has(PartKind::startCapacitor) + " " + has(PartKind::runCapacitor));
    }
    std::multiset<std::string> ofReadme;
    for (const std::vector<std::string>& row : rowsBelow("### Circuit types")) {
        ASSERT_EQ(row.size(), 6U);
        EXPECT_GT(row[5].size(), 10U) << row[0];
        ofReadme.insert(row[0] + " " + row[1] + " " + row[2] + " " + row[3] + " " + row[4]);
    }
    EXPECT_EQ(ofReadme, ofFiles);
}

}  // namespace splitstart
