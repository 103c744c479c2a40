// Fields by name, and a case read with other values in them.
#include "case/field_change.h"

#include <gtest/gtest.h>

#include <filesystem>

#include "case/input_error.h"
#include "case/reader.h"

namespace splitstart
{

namespace
{

std::string cheeseStore()
{
    return (std::filesystem::path(SPLITSTART_SOURCE_DIR) / "examples/cheese-store.xml").string();
}

Case readWith(const std::vector<std::pair<const char*, const char*>>& changes)
{
    std::vector<FieldChange> all;
    all.reserve(changes.size());
    for (const auto& [field, value] : changes) {
        all.push_back({fieldNamed(field), value});
    }
    return CaseSource(cheeseStore()).read(all);
}

std::string messageOf(const std::vector<std::pair<const char*, const char*>>& changes)
{
    try {
        readWith(changes);
        return {};
    } catch (const InputError& error) {
        return error.what();
    }
}

template <typename Part>
const Part& partOf(const Case& input, const char* id)
{
    return std::get<Part>(input.parts.find(id)->data);
}

}  // namespace

TEST(FieldChange, SetsAnAttributeThatIsThereOneThatIsNotAndOneOfAMissingElement)
{
    EXPECT_DOUBLE_EQ(readWith({{"supply.volts", "207"}}).supply.voltage_V, 207);
    EXPECT_DOUBLE_EQ(readWith({{"supply.switch-on-degrees", "90"}}).supply.switchOn_deg, 90);
    EXPECT_EQ(readWith({{"compressor.poles", "4"}}).compressor.poles, 4);
    EXPECT_EQ(readWith({{"load.pressures", "unequalised"}}).compressor.load.pressures,
              Pressures::unequalised);
    EXPECT_DOUBLE_EQ(
        *readWith({{"winding-wire.main-square-millimetres", "1.5"}}).compressor.wire.main_m2,
        1.5e-6);
}

// The stock's start-130 is printed 130 to 156 uF, middle 143.
TEST(FieldChange, ANumberMovesARangeAndTwoEndsSetIt)
{
    const Range moved =
        partOf<StartCapacitor>(readWith({{"start-capacitor.microfarads", "100"}}), "start-130")
            .capacitance_F;
    EXPECT_NEAR(moved.middle(), 100e-6, 1e-15);
    EXPECT_NEAR(moved.maximum / moved.minimum, 156.0 / 130, 1e-9);
    const Range set =
        partOf<StartCapacitor>(readWith({{"start-capacitor.microfarads", "88-108"}}), "start-130")
            .capacitance_F;
    EXPECT_DOUBLE_EQ(set.minimum, 88e-6);
    EXPECT_DOUBLE_EQ(set.maximum, 108e-6);
    // A part that is printed with its middle keeps its tolerance of 6 %.
    const Range run =
        partOf<RunCapacitor>(readWith({{"run-capacitor.microfarads", "50"}}), "run-40")
            .capacitance_F;
    EXPECT_NEAR(run.minimum, 47e-6, 1e-12);
    EXPECT_NEAR(run.maximum, 53e-6, 1e-12);
}

TEST(FieldChange, APartIsTheCircuitsUnlessItIsNamed)
{
    const Case changed = readWith({{"start-capacitor/START-161.volts", "250"},
                                   {"start-capacitor.volts", "220"},
                                   {"potential-relay.coil-ohms", "9000"}});
    EXPECT_DOUBLE_EQ(partOf<StartCapacitor>(changed, "start-161").rated_V, 250);
    EXPECT_DOUBLE_EQ(partOf<StartCapacitor>(changed, "start-130").rated_V, 220);
    EXPECT_DOUBLE_EQ(partOf<PotentialRelay>(changed, "relay-a").coil_ohm, 9000);
    EXPECT_DOUBLE_EQ(partOf<PotentialRelay>(changed, "relay-b").coil_ohm, 14000);
    // The circuit as changed is the one that is asked.
    const Case other =
        readWith({{"circuit.start-capacitor", "start-64"}, {"start-capacitor.volts", "220"}});
    EXPECT_DOUBLE_EQ(partOf<StartCapacitor>(other, "start-64").rated_V, 220);
    EXPECT_DOUBLE_EQ(partOf<StartCapacitor>(other, "start-130").rated_V, 330);
}

TEST(FieldChange, OneOfSeveralIsNamedByItsFirstAttributeOrItsNumber)
{
    const Case byName = readWith({{"measured/seconds-to-start.value", "0.5"}});
    EXPECT_DOUBLE_EQ(byName.compressor.measurements.back().value, 0.5);
    EXPECT_DOUBLE_EQ(
        readWith({{"reading/B C.ohms", "2.1"}}).compressor.readings->readings.at(1).resistance_ohm,
        2.1);
    EXPECT_DOUBLE_EQ(
        readWith({{"reading/2.ohms", "2.1"}}).compressor.readings->readings.at(1).resistance_ohm,
        2.1);
    EXPECT_NE(messageOf({{"reading.ohms", "2.1"}}).find("3 such elements"), std::string::npos);
    EXPECT_NE(messageOf({{"conductor.metres", "10"}}).find("no such element"), std::string::npos);
    EXPECT_NE(messageOf({{"ptc.volts", "100"}}).find("no such part in its circuit"),
              std::string::npos);
}

TEST(FieldChange, KeepsEveryLimitOfTheReader)
{
    EXPECT_NE(messageOf({{"supply.volts", "601"}}).find("from 50 to 600"), std::string::npos);
    EXPECT_NE(messageOf({{"supply.volts", "230; quit"}}).find("found \"230; quit\""),
              std::string::npos);
    EXPECT_NE(messageOf({{"load.pressures", "equal"}}).find("equalised"), std::string::npos);
    EXPECT_NE(messageOf({{"potential-relay.pick-up-volts-min", "181"}}).find("pick-up"),
              std::string::npos);
    EXPECT_NE(messageOf({{"circuit.start-capacitor", "start-999"}}).find("start-999"),
              std::string::npos);
    EXPECT_EQ(messageOf({{"supply.volts", "600"}}), "");
}

TEST(FieldChange, RefusesWhatIsNoFieldWithASuggestion)
{
    const auto refusal = [](const char* text) -> std::string {
        try {
            fieldNamed(text);
            return {};
        } catch (const InputError& error) {
            return error.what();
        }
    };
    EXPECT_NE(refusal("suply.volts").find("Did you mean \"supply\"?"), std::string::npos);
    EXPECT_NE(refusal("supply.volt").find("Did you mean \"volts\"?"), std::string::npos);
    EXPECT_NE(refusal("volts").find("ELEMENT.ATTRIBUTE"), std::string::npos);
    for (const char* fixed : {"case.name", "potential-relay.id", "reading.between", "parts.file",
                              "measured.quantity", ".volts", "supply.", "wire.from"}) {
        EXPECT_NE(refusal(fixed), "") << fixed;
    }
    EXPECT_FALSE(fieldNamed("load.pressures").isNumber());
    EXPECT_TRUE(fieldNamed("supply.volts").isNumber());
}

// Only what says what the motor is asks for another motor.
TEST(FieldChange, KnowsWhichFieldsTellOfTheMotor)
{
    for (const char* field : {"nameplate.locked-rotor-amps", "reading.ohms", "measured.value",
                              "compressor.poles", "equivalent-circuit.main-ohms"}) {
        EXPECT_TRUE(fieldNamed(field).tellsTheMotor) << field;
    }
    for (const char* field : {"supply.volts", "load.torque-newton-metres", "circuit.type",
                              "start-capacitor.microfarads", "start.parts"}) {
        EXPECT_FALSE(fieldNamed(field).tellsTheMotor) << field;
    }
}

TEST(FieldChange, TheWorkingPointHasDefaultsAndLimits)
{
    const WorkingPoint usual = workingPointOf({});
    EXPECT_FALSE(usual.line_ratio);
    EXPECT_DOUBLE_EQ(usual.winding_degC, 25);
    EXPECT_EQ(usual.parts, Release::middle);
    const std::vector<FieldChange> changes = {{fieldNamed("start.line-percent"), "85"},
                                              {fieldNamed("start.parts"), "late"},
                                              {fieldNamed("start.capacitors"), "upper-end"}};
    const WorkingPoint point = workingPointOf(changes);
    EXPECT_DOUBLE_EQ(*point.line_ratio, 0.85);
    EXPECT_EQ(point.parts, Release::late);
    EXPECT_EQ(point.capacitors, Release::early);
    const std::vector<FieldChange> wrong = {{fieldNamed("start.line-percent"), "140"}};
    try {
        workingPointOf(wrong);
        FAIL() << "no error";
    } catch (const InputError& error) {
        EXPECT_STREQ(error.what(),
                     "--vary: start.line-percent: found \"140\"; allowed: a number of percent from "
                     "50 to 130.");
    }
}

}  // namespace splitstart
