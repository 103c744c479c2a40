#include "case/number.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <locale>
#include <string>

namespace splitstart
{
namespace
{

TEST(ParseNumber, ReadsDecimalNumbers)
{
    EXPECT_EQ(parseNumber("230"), 230.0);
    EXPECT_EQ(parseNumber("-40"), -40.0);
    EXPECT_EQ(parseNumber("0.93"), 0.93);
    EXPECT_EQ(parseNumber(".5"), 0.5);
    EXPECT_EQ(parseNumber("5."), 5.0);
    EXPECT_EQ(parseNumber("1.2e3"), 1200.0);
    EXPECT_EQ(parseNumber("1E-3"), 0.001);
    EXPECT_EQ(parseNumber("007"), 7.0);
}

// Expected values are the compiler's own doubles for the same decimal number.
TEST(ParseNumber, ScalesToTheLastBit)
{
    EXPECT_EQ(parseNumber("0.1", -6), 0.1e-6);
    EXPECT_EQ(parseNumber("120", -6), 120e-6);
    EXPECT_NE(120 * 1e-6, 120e-6);  // why the exponent is shifted in the text
    EXPECT_EQ(parseNumber("29.4667", -6), 29.4667e-6);
    EXPECT_EQ(parseNumber("0.15", -3), 0.15e-3);
    EXPECT_EQ(parseNumber("1.1", -2), 0.011);
    EXPECT_EQ(parseNumber("14.7", 5), 14.7e5);
    EXPECT_EQ(parseNumber("180", 6), 180e6);
    EXPECT_EQ(parseNumber("3e2", -3), 0.3);
    EXPECT_EQ(parseNumber("3e+2", -3), 0.3);
    EXPECT_EQ(parseNumber("3.3E-2", -3), 3.3e-5);
}

TEST(ParseNumber, EveryHundredthOfAMicrofaradIsTheNearestDouble)
{
    for (int hundredths = 1; hundredths <= 20000; ++hundredths) {
        const std::string text = std::to_string(hundredths / 100) + "." +
                                 std::to_string(100 + hundredths % 100).substr(1);
        const double expected = std::stod(std::to_string(hundredths) + "e-8");
        ASSERT_EQ(parseNumber(text, -6), expected) << text;
    }
}

TEST(ParseNumber, RefusesWhatIsNotWhollyANumber)
{
    for (const char* text :
         {"",      " ",    "-",     ".",        "e5",       "2x0",    "1,5",   " 5",
          "5 ",    "+5",   "--5",   "0x10",     "1e",       "1e+",    "5V",    "nan",
          "NaN",   "-nan", "inf",   "-inf",     "infinity", "nan(1)", "1_000", "1 000",
          "1'000", "5\n",  "1.2.3", "\xD9\xA5", "1/2",      "1e5.5"}) {
        EXPECT_EQ(parseNumber(text), std::nullopt) << '"' << text << '"';
    }
    EXPECT_EQ(parseNumber(std::string("5\0", 2)), std::nullopt);
}

TEST(ParseNumber, RefusesWhatADoubleCannotHoldInFull)
{
    EXPECT_EQ(parseNumber("1e999"), std::nullopt);
    EXPECT_EQ(parseNumber("-1e999"), std::nullopt);
    EXPECT_EQ(parseNumber("1e-400"), std::nullopt);
    EXPECT_EQ(parseNumber("1e-310"), std::nullopt);      // subnormal
    EXPECT_EQ(parseNumber("1e-305", -6), std::nullopt);  // becomes subnormal
    EXPECT_EQ(parseNumber("1e308", 6), std::nullopt);
    EXPECT_EQ(parseNumber("2.2250738585072014e-308"), std::numeric_limits<double>::min());
    EXPECT_EQ(parseNumber("1.7976931348623157e308"), std::numeric_limits<double>::max());
}

TEST(ParseNumber, ZeroHasNoSign)
{
    for (const char* text : {"0", "-0", "0.000", "-0e5", "0e99999999999"}) {
        const auto value = parseNumber(text, -6);
        ASSERT_TRUE(value.has_value()) << text;
        EXPECT_EQ(*value, 0.0) << text;
        EXPECT_FALSE(std::signbit(*value)) << text;
    }
}

TEST(ParseNumber, RefusesMoreThanSixtyFourCharacters)
{
    EXPECT_EQ(parseNumber("1." + std::string(62, '0')), 1.0);
    EXPECT_EQ(parseNumber("1." + std::string(63, '0')), std::nullopt);
    EXPECT_EQ(parseNumber(std::string(1000000, '9')), std::nullopt);
}

class CommaPunctuation : public std::numpunct<char>
{
    [[nodiscard]] char do_decimal_point() const override { return ','; }
};

TEST(ParseNumber, DoesNotDependOnTheLocale)
{
    const std::locale before =
        std::locale::global(std::locale(std::locale(), new CommaPunctuation));
    EXPECT_EQ(parseNumber("1.5"), 1.5);
    EXPECT_EQ(parseNumber("1,5"), std::nullopt);
    EXPECT_EQ(plainNumber(1.5), "1.5");
    std::locale::global(before);
}

TEST(NumberHint, SaysWhatToMend)
{
    constexpr auto separators = "Write decimals with a point, and nothing between thousands.";
    constexpr auto unit = "Write the number alone; the unit is in the name.";
    EXPECT_EQ(numberHint("1,5"), separators);
    EXPECT_EQ(numberHint("1,500"), separators);
    EXPECT_EQ(numberHint("1 500"), separators);
    EXPECT_EQ(numberHint("1'500.5"), separators);
    EXPECT_EQ(numberHint("230V"), unit);
    EXPECT_EQ(numberHint("230 volts"), unit);
    EXPECT_EQ(numberHint("2.71 \u03A9"), unit);
    EXPECT_EQ(numberHint("5%"), unit);
    EXPECT_EQ(numberHint("24\u00B0C"), unit);
    EXPECT_EQ(numberHint(" 5"), "Leave out the blanks.");
    EXPECT_EQ(numberHint("5 "), "Leave out the blanks.");
    EXPECT_EQ(numberHint("+5"), "Leave out the plus sign.");
}

TEST(NumberHint, IsEmptyWhereNothingBetterCanBeSaid)
{
    for (const char* text : {"", "2x0", "0x10", "nan", "700", "twelve", "1.2.3", "5\x1b[31m"}) {
        EXPECT_EQ(numberHint(text), "") << text;
    }
}

TEST(PlainNumber, NeverHasAnExponent)
{
    EXPECT_EQ(plainNumber(0), "0");
    EXPECT_EQ(plainNumber(0.000001), "0.000001");
    EXPECT_EQ(plainNumber(1e8), "100000000");
    EXPECT_EQ(plainNumber(-40), "-40");
    EXPECT_EQ(plainNumber(0.05), "0.05");
    EXPECT_EQ(parseNumber(plainNumber(0.1 + 0.2)), 0.1 + 0.2);
}

}  // namespace
}  // namespace splitstart
