// Labels of parts and names of terminals in words.
#include "report/part_text.h"

#include <gtest/gtest.h>

#include "unit/dairy_cases.h"

namespace splitstart
{

TEST(PartText, SaysWhatIsOnTheLabel)
{
    StartCapacitor start;
    start.capacitance_F = {88e-6, 108e-6};
    start.rated_V = 330;
    EXPECT_EQ(ratingText(start), "88.0 to 108 uF, 330 V, no bleed resistor");
    start.bleed_ohm = 15e3;
    EXPECT_EQ(ratingText(start), "88.0 to 108 uF, 330 V, bleed resistor 15 kohm");
    EXPECT_EQ(labelText(start), "88.0 to 108 uF, 330 V");
    // That it is two parts stands ahead of the figures, where a drawing has room for it.
    start.pair = CapacitorPair{"a", "b", PairConnection::series};
    EXPECT_EQ(labelText(start), "two in series, 88.0 to 108 uF");
    PotentialRelay relay;
    relay.pickUp_V = {168, 180};
    relay.dropOut_V = {35, 80};
    relay.coil_ohm = 9500;
    // A worn label without ratings is not filled up with zeros.
    EXPECT_EQ(ratingText(relay),
              "picks up at 168 to 180 V, drops out at 35.0 to 80.0 V, coil 9.5 kohm");
    EXPECT_EQ(labelText(relay), "picks up at 168 to 180 V");
    CentrifugalSwitch shaft;
    // 2 pi radians a revolution: 1350 rev/min are 141.37 rad/s.
    shaft.opens_rad_s = {141.37, 141.37};
    EXPECT_EQ(ratingText(shaft), "opens at 1350 rev/min");
}

TEST(PartText, HasWordsForEveryKindOfPart)
{
    for (const CatalogPart& part : stockedCase().parts.parts) {
        EXPECT_FALSE(ratingText(part.data).empty()) << part.id;
        EXPECT_FALSE(labelText(part.data).empty()) << part.id;
        EXPECT_EQ(ratingText(part.data).rfind(labelText(part.data), 0), 0U) << part.id;
    }
}

TEST(PartText, NamesAPinAsThePersonDoes)
{
    const std::map<std::string, std::string> pins = {{"C", "C"}, {"S", "B"}, {"R", "A"}};
    EXPECT_EQ(terminalWords({"compressor", "S"}, pins), "compressor S (pin B)");
    EXPECT_EQ(terminalWords({"compressor", "C"}, pins), "compressor C");
    EXPECT_EQ(terminalWords({"compressor", "S"}, {}), "compressor S");
    // Another part's S is no pin.
    EXPECT_EQ(terminalWords({"relay", "S"}, pins), "relay S");
    EXPECT_EQ(terminalWords({"start-capacitor", "A"}, pins), "start capacitor A");
}

}  // namespace splitstart
