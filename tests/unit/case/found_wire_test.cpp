#include "case/found_wire.h"

#include <gtest/gtest.h>

#include <stdexcept>
#include <string>

#include "unit/case/case_fixture.h"

namespace splitstart
{
namespace
{

std::string complaint(std::string_view text)
{
    try {
        parseFoundWire(text);
        return {};
    } catch (const std::invalid_argument& error) {
        return error.what();
    }
}

TEST(WireEnds, AreAPartAPointAndATerminal)
{
    for (const char* text : {"relay.2", "compressor.S", "start-capacitor.A", "x.y"}) {
        EXPECT_TRUE(isWireEnd(text)) << text;
    }
    for (const char* text : {"", ".", "relay", "relay.", ".2", "relay.2.3", "relay .2", "relay. 2",
                             "relay.2\n", "re\tlay.2", "relay.\xC2\xA0", "relay.\xFF"}) {
        EXPECT_FALSE(isWireEnd(text)) << text;
    }
    EXPECT_TRUE(isWireEnd(std::string(58, 'r') + ".2"));
    EXPECT_FALSE(isWireEnd(std::string(59, 'r') + ".2"));
}

TEST(ParseFoundWire, ReadsBothEnds)
{
    const FoundWire wire = parseFoundWire("relay.2=compressor.S");
    EXPECT_EQ(wire.from, "relay.2");
    EXPECT_EQ(wire.to, "compressor.S");
    EXPECT_EQ(wire.place.file, "--wire relay.2=compressor.S");
    EXPECT_EQ(wire.place.line, 0);
}

TEST(ParseFoundWire, SaysInOneLineWhatItWants)
{
    EXPECT_EQ(complaint("relay.2"),
              "--wire: found \"relay.2\"; allowed: two wire ends with an equals sign between, such "
              "as relay.2=compressor.S");
    for (const char* text : {"", "=", "relay.2=", "=relay.2", "relay.2=compressor",
                             "relay.2=compressor.S=fan.A", "relay.2 = compressor.S"}) {
        EXPECT_NE(complaint(text), "") << text;
    }
    const std::string hostile = complaint("relay.2=\x1B[2J\ncompressor.S");
    EXPECT_EQ(hostile.find('\n'), std::string::npos);
    EXPECT_EQ(hostile.find('\x1B'), std::string::npos);
    EXPECT_LT(complaint(std::string(100000, 'x')).size(), 300U);
}

const std::string supply = "<supply volts=\"230\" hertz=\"60\"/>";
const std::string circuit =
    "<circuit type=\"PSC\" run-capacitor=\"run-40\"/>\n"
    "<parts file=\"dairy-stock.xml\"/>\n";

TEST(AsFound, KeepsTheWiresInOrderWithTheirLines)
{
    const std::string text =
        testing::caseWith(supply, "",
                          circuit +
                              "<as-found>\n<wire from=\"supply.L1\" to=\"thermostat.1\"/>\n"
                              "<wire from=\"thermostat.2\" to=\"compressor.R\"/>\n</as-found>");
    const Case input =
        readCaseText(text, "dairy.xml", (testing::caseTestFolder() / "good").string());
    ASSERT_TRUE(input.asFound.has_value());
    const FoundWiring& found = *input.asFound;
    ASSERT_EQ(found.wires.size(), 2U);
    EXPECT_EQ(found.wires[0].from, "supply.L1");
    EXPECT_EQ(found.wires[0].to, "thermostat.1");
    EXPECT_EQ(found.wires[1].to, "compressor.R");
    EXPECT_EQ(found.wires[1].place.file, "dairy.xml");
    EXPECT_EQ(found.wires[1].place.line, found.wires[0].place.line + 1);
    EXPECT_EQ(found.wires[0].place.line, found.place.line + 1);
}

TEST(AsFound, IsNothingWhereNobodyLooked)
{
    const Case input = readCaseText(testing::caseWith(supply, "", circuit), "dairy.xml",
                                    (testing::caseTestFolder() / "good").string());
    EXPECT_FALSE(input.asFound.has_value());
}

TEST(AsFound, NeedsACircuit)
{
    const std::string message = testing::caseMessage(testing::caseWith(
        supply, "", "<as-found><wire from=\"relay.1\" to=\"relay.2\"/></as-found>"));
    EXPECT_NE(message.find("there is an <as-found> but no <circuit>"), std::string::npos)
        << message;
}

}  // namespace
}  // namespace splitstart
