#include "circuit/as_found.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <set>

#include <string>

#include "case/found_wire.h"
#include "case/input_error.h"
#include "case/text.h"
#include "unit/circuit/circuit_fixture.h"

namespace splitstart
{
namespace
{

FoundWiring wiring(std::initializer_list<std::pair<const char*, const char*>> wires)
{
    FoundWiring found;
    int line = 20;
    for (const auto& [from, to] : wires) {
        found.wires.push_back({from, to, {"dairy.xml", ++line}});
    }
    return found;
}

std::string complaint(const FoundWiring& found)
{
    try {
        asFoundCircuit(standardCircuit("psc"), found);
        return {};
    } catch (const InputError& error) {
        return error.what();
    }
}

TEST(AsFoundCircuit, HasThePartsOfTheCircuitAndTheWiresThatWereFound)
{
    const Circuit psc = standardCircuit("psc");
    const Circuit found = asFoundCircuit(
        psc, wiring({{"supply.L1", "thermostat.1"}, {"Compressor.s", "RUN-CAPACITOR.a"}}));
    EXPECT_EQ(found.parts.size(), psc.parts.size());
    ASSERT_EQ(found.wires.size(), 2U);
    EXPECT_EQ(terminalText(found.wires[0].to), "thermostat.1");
    EXPECT_EQ(terminalText(found.wires[1].from), "compressor.S");
    EXPECT_EQ(terminalText(found.wires[1].to), "run-capacitor.A");
    EXPECT_TRUE(asFoundCircuit(psc, {}).wires.empty());
}

TEST(AsFoundCircuit, NamesThePartsThatThereAre)
{
    EXPECT_EQ(complaint(wiring({{"compresor.S", "run-capacitor.A"}})),
              "dairy.xml:21: wire/from: found \"compresor.S\"; allowed: a terminal of one of the "
              "parts of this circuit: supply, contactor, thermostat, fan, capacitor-fan, "
              "fan-capacitor, run-capacitor, protector, compressor. Did you mean \"compressor\"?");
}

TEST(AsFoundCircuit, NamesTheTerminalsThatThePartHas)
{
    EXPECT_EQ(complaint(wiring({{"thermostat.1", "run-capacitor.C"}})),
              "dairy.xml:21: wire/to: found \"run-capacitor.C\"; allowed: run-capacitor and a "
              "terminal of the run capacitor: A, B.");
}

TEST(AsFoundCircuit, RefusesAWireToItselfAndOneThatIsListedTwice)
{
    EXPECT_EQ(complaint(wiring({{"compressor.S", "COMPRESSOR.s"}})),
              "dairy.xml:21: wire: from compressor.S to itself; allowed: two different terminals.");
    EXPECT_EQ(
        complaint(wiring({{"fan.A", "fan.B"}, {"compressor.C", "fan.A"}, {"fan.B", "fan.A"}})),
        "dairy.xml:23: wire: a second wire between fan.B and fan.A; allowed: each wire once, "
        "either way round. The first is in line 21.");
    FoundWiring options = wiring({{"fan.A", "fan.B"}, {"fan.A", "fan.B"}});
    for (FoundWire& wire : options.wires) {
        wire = parseFoundWire(wire.from + "=" + wire.to);
    }
    EXPECT_EQ(complaint(options),
              "--wire fan.A=fan.B: a second wire between fan.A and fan.B; allowed: each wire once, "
              "either way round.");
    // Of several options, the one that is meant.
    EXPECT_EQ(
        complaint({{parseFoundWire("fan.A=fan.B"), parseFoundWire("relay.9=supply.L1"),
                    parseFoundWire("fan.A=fan.C")},
                   {}}),
        "--wire relay.9=supply.L1: found \"relay.9\"; allowed: a terminal of one of the parts "
        "of this circuit: supply, contactor, thermostat, fan, capacitor-fan, fan-capacitor, "
        "run-capacitor, protector, compressor.\n"
        "--wire fan.A=fan.C: found \"fan.C\"; allowed: fan and a terminal of the condenser "
        "fan: A, B.");
}

TEST(AsFoundCircuit, SaysAllThatIsWrongAtOnceAndNoMoreThanAHundredLines)
{
    const std::string three =
        complaint(wiring({{"relay.2", "motor.S"}, {"fan.A", "fan.A"}, {"fan.A", "compressor.T"}}));
    EXPECT_EQ(std::count(three.begin(), three.end(), '\n'), 3);
    FoundWiring many;
    for (int i = 0; i < 9000; ++i) {
        many.wires.push_back({"relay.2", "fan.A", {"dairy.xml", i}});
    }
    const std::string text = complaint(many);
    EXPECT_EQ(std::count(text.begin(), text.end(), '\n'), 100);
    EXPECT_NE(text.find("8900 more problems"), std::string::npos);
}

TEST(AsFoundCircuit, QuotesHostileTextSafely)
{
    const std::string escape = std::string("x\x1B[2J\r\n") + std::string(9000, 'x');
    for (const std::string& part : {escape, std::string(), std::string("%s%n{}"),
                                    std::string("\xE2\x80\xAE.lebal"), std::string("../../etc")}) {
        const std::string text = complaint({{{part + ".A", "fan.A", {"dairy.xml", 21}}}, {}});
        EXPECT_TRUE(text.starts_with("dairy.xml:21: wire/from: found \"")) << text;
        EXPECT_EQ(text.find('\n'), std::string::npos);
        EXPECT_EQ(text.find('\x1B'), std::string::npos);
        EXPECT_EQ(text.find("\xE2\x80\xAE"), std::string::npos);
        EXPECT_LT(text.size(), 500U);
    }
    EXPECT_NE(complaint({{{"no point", "", {}}}, {}}), "");
    EXPECT_NE(complaint({{{"fan", "fan.", {}}}, {}}), "");
}

// The names that README.md lists are those of the circuit files.
TEST(ReadmeOfTheCase, ListsThePartsAndTerminalsThatAWireMayName)
{
    std::ifstream stream(std::filesystem::path(SPLITSTART_SOURCE_DIR) / "netgen/case/README.md");
    std::set<std::string> listed;  // "relay: L, M, S"
    for (std::string line; std::getline(stream, line);) {
        const std::size_t end = line.find('`', 3);
        const std::size_t colon = line.find(": ");
        if (line.starts_with("- `") && end != std::string::npos && colon != std::string::npos) {
            listed.insert(line.substr(3, end - 3) + line.substr(colon));
        }
    }
    std::set<std::string> parts;
    const auto add = [&parts](const Circuit& circuit) {
        for (const CircuitPart& part : circuit.parts) {
            parts.insert(part.id + ": " + joined(partKindInfo(part.kind).terminals));
        }
    };
    for (const Circuit& circuit : standardCircuits()) {
        add(circuit);
    }
    add(withDualCapacitor(standardCircuit("psc"), "run-capacitor", "fan-capacitor",
                          "dual-capacitor"));
    EXPECT_EQ(listed, parts);
}

}  // namespace
}  // namespace splitstart
