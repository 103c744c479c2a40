// Rows of a sweep as lines of text and back.
#include "report/sweep_table.h"

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

namespace splitstart
{

namespace
{

SweepHeader someHeader()
{
    SweepHeader header;
    header.caseName = "cold room, \"left\"";
    header.invented = true;
    header.simulator = "39";
    header.plan = "x";
    header.rows = 6;
    header.motorsPerCase = 2;
    header.columns = {{"case", "", "number"},
                      {"load.pressures", "", "as set"},
                      {"motor", "", "which"},
                      {"line_stalled_a", "A", "amps"},
                      {"problem", "", "why"}};
    return header;
}

SweepRow someRow()
{
    return {3, {2.0, std::string("a \"b\", c\nd"), 1.0, 76.123456789, {}}};
}

}  // namespace

TEST(SweepTable, LinesComeBackAsTheyWere)
{
    const SweepHeader header = someHeader();
    const std::optional<SweepHeader> back = headerOfLine(headerLine(header));
    ASSERT_TRUE(back);
    EXPECT_EQ(headerLine(*back), headerLine(header));
    EXPECT_FALSE(back->shard);
    SweepHeader part = header;
    part.shard = "2/5";
    EXPECT_EQ(headerOfLine(headerLine(part))->shard, "2/5");

    const std::optional<SweepRow> row = rowOfLine(header, rowLine(header, someRow()));
    ASSERT_TRUE(row);
    EXPECT_EQ(row->number, 3U);
    EXPECT_EQ(std::get<std::string>(row->cells[1]), "a \"b\", c\nd");
    EXPECT_DOUBLE_EQ(std::get<double>(row->cells[3]), 76.12346);
    EXPECT_EQ(rowLine(header, *row), rowLine(header, someRow()));
    EXPECT_EQ(csvRow(*row), csvRow(someRow()));
    EXPECT_FALSE(hasProblem(*row));
}

TEST(SweepTable, EveryLineCutShortIsNoRow)
{
    const SweepHeader header = someHeader();
    const std::string line = rowLine(header, someRow());
    for (std::size_t length = 0; length < line.size(); ++length) {
        EXPECT_FALSE(rowOfLine(header, line.substr(0, length))) << length;
    }
    const std::string first = headerLine(header);
    for (std::size_t length = 0; length < first.size(); ++length) {
        EXPECT_FALSE(headerOfLine(first.substr(0, length))) << length;
    }
}

TEST(SweepTable, ARowOfAnotherSweepIsNone)
{
    const SweepHeader header = someHeader();
    SweepRow row = someRow();
    row.cells[0] = 4.0;  // the fourth case of three
    EXPECT_FALSE(rowOfLine(header, rowLine(header, row)));
    row.cells[0] = 0.0;
    EXPECT_FALSE(rowOfLine(header, rowLine(header, row)));
    row.cells[0] = 1.0;
    row.cells[2] = 2.0;  // the third motor of two
    EXPECT_FALSE(rowOfLine(header, rowLine(header, row)));
    SweepHeader other = header;
    other.columns[3].name = "line_peak_a";
    EXPECT_FALSE(rowOfLine(other, rowLine(header, someRow())));
    EXPECT_FALSE(rowOfLine(header, "[1,2,3,4,5]"));
    EXPECT_FALSE(headerOfLine("{\"schema\":1}"));
    EXPECT_FALSE(headerOfLine("[]"));
    // More rows than any sweep has, or a number of them that is none.
    for (const char* rows : {"1000000000000000", "-1", "0", "1.5", "\"6\""}) {
        std::string odd = headerLine(header);
        odd.replace(odd.find("\"rows\":6"), 8, std::string("\"rows\":") + rows);
        EXPECT_FALSE(headerOfLine(odd)) << rows;
    }
    EXPECT_FALSE(headerOfLine("7"));
}

// RFC 4180: quotes doubled, fields with commas, quotes or line ends in quotes, CRLF.
TEST(SweepTable, CsvIsThatOfTheStandard)
{
    EXPECT_EQ(csvHeader(someHeader()), "case,load.pressures,motor,line_stalled_a,problem\r\n");
    EXPECT_EQ(csvRow(someRow()), "2,\"a \"\"b\"\", c\nd\",1,76.12346,\r\n");
}

// RFC 8259 by an independent parser, and every column in every line.
TEST(SweepTable, JsonHasEveryColumnAndNullForNothing)
{
    const nlohmann::json json = nlohmann::json::parse(rowLine(someHeader(), someRow()));
    EXPECT_EQ(json.size(), 5U);
    EXPECT_TRUE(json["problem"].is_null());
    EXPECT_EQ(json["case"], 2);
    const nlohmann::json first = nlohmann::json::parse(headerLine(someHeader()));
    EXPECT_EQ(first["schema"], 1);
    EXPECT_EQ(first["invented"], true);
    EXPECT_EQ(first["columns"][3]["unit"], "A");
}

TEST(SweepTable, TheTableShowsWhatWasSetAndTheSpreadOfOtherMotors)
{
    SweepHeader header = someHeader();
    header.rows = 4;
    header.motorsPerCase = 4;
    std::vector<SweepRow> rows;
    for (std::size_t motor = 0; motor < 4; ++motor) {
        rows.push_back({motor,
                        {1.0,
                         std::string("equalised"),
                         static_cast<double>(motor),
                         70.0 + static_cast<double>(motor),
                         {}}});
    }
    rows[3].cells[3] = {};
    const std::string text = sweepText(header, rows, {}, {});
    EXPECT_NE(text.find("equalised"), std::string::npos);
    EXPECT_NE(text.find("70 (71..72 in 2 of 3)"), std::string::npos) << text;
    EXPECT_NE(text.find("(invented)"), std::string::npos);
    EXPECT_NE(text.find("estimated"), std::string::npos);
    EXPECT_THROW(sweepText(header, rows, std::vector<std::string>{"line_stalled"}, {}),
                 std::invalid_argument);
    EXPECT_NE(text.find("(invented): 4 rows\n"), std::string::npos) << text;
}

TEST(SweepTable, CountsOneRowAsOne)
{
    EXPECT_EQ(rowCount(0), "0 rows");
    EXPECT_EQ(rowCount(1), "1 row");
    EXPECT_EQ(rowCount(12), "12 rows");
    SweepHeader header = someHeader();
    header.motorsPerCase = 1;
    const std::vector<SweepRow> rows = {{0, {1.0, std::string("equalised"), 0.0, 70.0, {}}}};
    EXPECT_NE(sweepText(header, rows, {}, {}).find("(invented): 1 row\n"), std::string::npos);
}

}  // namespace splitstart
