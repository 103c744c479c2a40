#include <gtest/gtest.h>

#include <stdexcept>
#include <string>
#include <string_view>

#include "case/vocabulary.h"
#include "circuit/circuit.h"

namespace splitstart
{

namespace
{

constexpr std::string_view soundParts =
    "<part id='supply' kind='supply'/><part id='start' kind='start-capacitor' optional='yes'/>";

std::string circuitText(std::string_view inside)
{
    return "<circuit type='X' description='a capacitor on the line'>" + std::string(inside) +
           "</circuit>";
}

// What the parser says about these wires and parts; empty when it has nothing to say.
std::string complaint(std::string_view xml)
{
    try {
        parseCircuit(xml, "as-found.xml");
        return {};
    } catch (const std::invalid_argument& error) {
        return error.what();
    }
}

std::string wireComplaint(std::string_view wire)
{
    return complaint(circuitText(std::string(soundParts) + std::string(wire)));
}

void expectMentions(const std::string& text, std::initializer_list<std::string_view> words)
{
    EXPECT_EQ(text.find('\n'), std::string::npos) << text;
    EXPECT_TRUE(text.starts_with("as-found.xml: ")) << text;
    for (const std::string_view word : words) {
        EXPECT_NE(text.find(word), std::string::npos) << text << " lacks " << word;
    }
}

}  // namespace

TEST(ParseCircuit, ReadsPartsAndWires)
{
    const Circuit circuit = parseCircuit(
        circuitText(std::string(soundParts) + "<wire from='supply.L1' to='start.A'/>"), "x.xml");
    EXPECT_EQ(circuit.type, "X");
    EXPECT_EQ(circuit.description, "a capacitor on the line");
    ASSERT_EQ(circuit.parts.size(), 2U);
    EXPECT_EQ(circuit.parts[0].kind, PartKind::supply);
    EXPECT_FALSE(circuit.parts[0].optional);
    EXPECT_EQ(circuit.parts[1].kind, PartKind::startCapacitor);
    EXPECT_TRUE(circuit.parts[1].optional);
    ASSERT_EQ(circuit.wires.size(), 1U);
    EXPECT_EQ(terminalText(circuit.wires[0].from), "supply.L1");
    EXPECT_EQ(terminalText(circuit.wires[0].to), "start.A");
}

TEST(ParseCircuit, TakesTheVariantOfTheFileOrTheStandardOne)
{
    EXPECT_EQ(parseCircuit(circuitText(soundParts), "x.xml").variant, standardVariant);
    EXPECT_EQ(parseCircuit("<circuit type='X' variant='upside-down'/>", "x.xml").variant,
              "upside-down");
}

// What every circuit has ahead of the compressor stands in one file.
TEST(ParseCircuit, PutsAFragmentsPartsAndWiresAheadOfItsOwn)
{
    const Circuit circuit =
        parseCircuit(circuitText("<part id='extra' kind='run-capacitor'/><use fragment='feed.xml'/>"
                                 "<wire from='extra.A' to='thermostat.2'/>"),
                     "x.xml");
    ASSERT_NE(circuit.find("extra"), nullptr);
    EXPECT_EQ(circuit.parts.front().kind, PartKind::supply);
    EXPECT_EQ(circuit.parts.back().id, "extra");
    EXPECT_NE(circuit.find(PartKind::contactor), nullptr);
    EXPECT_GT(circuit.wires.size(), 5U);
    EXPECT_EQ(terminalText(circuit.wires.back().from), "extra.A");
    EXPECT_EQ(circuit.type, "X");
}

TEST(ParseCircuit, RefusesAFragmentThatItCannotUse)
{
    // Not there; a circuit and no fragment; not in the folder; a part of it named again.
    expectMentions(complaint(circuitText("<use fragment='food.xml'/>")), {"\"food.xml\""});
    expectMentions(complaint(circuitText("<use/>")), {"no fragment \"\""});
    EXPECT_NE(complaint(circuitText("<use fragment='psc.xml'/>")), "");
    expectMentions(complaint(circuitText("<use fragment='../feed.xml'/>")), {"\"../feed.xml\""});
    expectMentions(
        complaint(circuitText("<use fragment='feed.xml'/><part id='fan' kind='condenser-fan'/>")),
        {"\"fan\"", "ids must differ"});
}

TEST(ParseCircuit, RefusesWhatIsNotACircuitFile)
{
    expectMentions(complaint(""), {"not a circuit file"});
    expectMentions(complaint("<circuit"), {"not a circuit file"});
    expectMentions(complaint("<case/>"), {"not a circuit file", "no <circuit>"});
}

TEST(ParseCircuit, RefusesAnUnknownKindOfPart)
{
    expectMentions(complaint(circuitText("<part id='fan' kind='blower'/>")),
                   {"\"fan\"", "unknown kind", "\"blower\""});
    expectMentions(complaint(circuitText("<part id='fan'/>")), {"unknown kind \"\""});
}

TEST(ParseCircuit, RefusesAPartNamedTwice)
{
    expectMentions(
        complaint(circuitText("<part id='a' kind='supply'/><part id='a' kind='thermostat'/>")),
        {"\"a\"", "ids must differ"});
}

// Ids become names of nodes and instances in a deck, where "-" is "_" and capitals do not count.
TEST(ParseCircuit, RefusesAnIdThatCouldNotStandInADeck)
{
    for (const char* id :
         {"", "a.b", "a b", "Relay", "a_b", "3a", "-a", "a;b", "a\nb", "{a}", "\xC3\xA9"}) {
        const std::string part = "<part id='" + std::string(id) + "' kind='supply'/>";
        expectMentions(complaint(circuitText(part)), {"part \""});
    }
    EXPECT_EQ(complaint(circuitText("<part id='run-capacitor-2' kind='run-capacitor'/>")), "");
}

TEST(ParseCircuit, RefusesAWireEndWithoutATerminal)
{
    expectMentions(wireComplaint("<wire from='supply' to='start.A'/>"),
                   {"\"supply\"", "part.terminal"});
    expectMentions(wireComplaint("<wire from='supply.L1'/>"), {"wire end \"\"", "part.terminal"});
}

TEST(ParseCircuit, RefusesAWireToAPartThatIsNotThere)
{
    expectMentions(wireComplaint("<wire from='supply.L1' to='relay.2'/>"),
                   {"\"relay.2\"", "no such part"});
}

TEST(ParseCircuit, RefusesAWireToATerminalThatIsNotThereAndNamesThoseThatAre)
{
    expectMentions(wireComplaint("<wire from='supply.L3' to='start.A'/>"),
                   {"\"supply.L3\"", "L1, L2"});
    expectMentions(wireComplaint("<wire from='supply.L1' to='start.'/>"), {"\"start.\"", "A, B"});
    expectMentions(wireComplaint("<wire from='supply.l1' to='start.A'/>"), {"L1, L2"});
}

TEST(ParseCircuit, RefusesAWireFromATerminalToItself)
{
    expectMentions(wireComplaint("<wire from='start.A' to='start.A'/>"), {"start.A", "itself"});
}

// The text of the file reaches the message: it must stay on one line of plain characters.
TEST(ParseCircuit, KeepsHostileTextOnOneLine)
{
    const std::string message =
        complaint(circuitText("<part id='a' kind='&#10;*#shell&#27;[2J'/>"));
    EXPECT_NE(message, "");
    for (const char c : message) {
        EXPECT_GE(static_cast<unsigned char>(c), 0x20) << message;
    }
}

}  // namespace splitstart
