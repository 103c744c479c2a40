#include "case/text.h"

#include <gtest/gtest.h>

#include <array>
#include <span>
#include <string>
#include <string_view>

namespace splitstart
{
namespace
{

// Sequences of The Unicode Standard, chapter 3, table 3-7 and the ill-formed ones around it.
TEST(Utf8, AcceptsOnlyWellFormedSequences)
{
    for (const char* good : {"", "ascii", "\xC2\x80", "\xDF\xBF", "\xE0\xA0\x80", "\xED\x9F\xBF",
                             "\xEE\x80\x80", "\xF0\x90\x80\x80", "\xF4\x8F\xBF\xBF"}) {
        EXPECT_EQ(firstInvalidUtf8(good), std::string_view::npos) << good;
    }
    for (const char* bad : {"\x80", "\xBF", "\xC0\x80", "\xC1\xBF", "\xC2", "\xC2\x41",
                            "\xE0\x9F\xBF", "\xE0\xA0", "\xED\xA0\x80", "\xF0\x8F\xBF\xBF",
                            "\xF4\x90\x80\x80", "\xF5\x80\x80\x80", "\xFF", "\xF0\x90\x80\x41"}) {
        EXPECT_EQ(firstInvalidUtf8(bad), 0U) << bad;
    }
    EXPECT_EQ(firstInvalidUtf8("ab\xC3\xA4\xFFz"), 4U);
}

TEST(Utf8, CountsCharactersAndNotBytes)
{
    EXPECT_EQ(characterCount("K\u00E4se"), 4U);
    EXPECT_EQ(characterCount("\U0001F9C0"), 1U);
    EXPECT_EQ(characterCount("\xFF\xFE"), 2U);
    EXPECT_EQ(firstCodePoint("\U0001F9C0").value, U'\U0001F9C0');
}

TEST(Characters, ThatMoveOrReorderTextAreControls)
{
    for (const char* text : {"\n", "\t", "\x1b", "\x7f", "\u0085", "\u009B", "\u2028", "\u202E",
                             "\u2066", "\u200B", "\uFEFF", "\uFFFF", "\xFF"}) {
        EXPECT_TRUE(hasControl(text)) << shortText(text);
    }
    EXPECT_TRUE(hasControl(std::string_view("\0", 1)));
    EXPECT_FALSE(hasControl("cheese store, unit 2 \u00E4\u03A9\u4E2D\U0001F9C0"));
}

TEST(ShortText, IsOneLineOfVisibleText)
{
    EXPECT_EQ(shortText("a\nb\tc\x1b[31m"), "a\\x0Ab\\x09c\\x1B[31m");
    EXPECT_EQ(shortText("a\u202Eb\xFF"), "a\\u202Eb\\xFF");
    EXPECT_EQ(shortText("abcdef", 3), "abc...");
    EXPECT_EQ(shortText("abc", 3), "abc");
    EXPECT_EQ(trimmed(" \n a b\t"), "a b");
    EXPECT_EQ(trimmed(" \n"), "");
    EXPECT_EQ(shortText("\u00E4\u00F6\u00FC\u00DF", 2), "\u00E4\u00F6...");
    EXPECT_EQ(shortText(std::string(1000, 'x')), std::string(60, 'x') + "...");
    EXPECT_EQ(oneLine(std::string(1000, 'x')), std::string(1000, 'x'));
}

constexpr std::array<std::string_view, 5> supplyNames = {
    "volts", "hertz", "source-ohms", "source-millihenries", "switch-on-degrees"};

TEST(Nearest, FindsTheMisspeltName)
{
    EXPECT_EQ(nearest("volt", supplyNames), "volts");
    EXPECT_EQ(nearest("herz", supplyNames), "hertz");
    EXPECT_EQ(nearest("hetrz", supplyNames), "hertz");  // neighbours swapped
    EXPECT_EQ(nearest("VOLTS", supplyNames), "volts");
    EXPECT_EQ(nearest("source-milihenrys", supplyNames), "source-millihenries");
    EXPECT_EQ(nearest("source_ohms", supplyNames), "source-ohms");
    EXPECT_EQ(nearest("switch", supplyNames), "switch-on-degrees");  // beginning of one only
}

// "CSR" is a trade word for CSCR and one letter from CSIR, a circuit without run capacitor.
TEST(Nearest, IsSilentWhereTwoAreAsNear)
{
    const std::string_view types[] = {"RSIR", "CSIR", "PSC", "CSCR"};
    EXPECT_EQ(nearest("CSR", types), "");
    EXPECT_EQ(nearest("CSCRR", types), "CSCR");
}

TEST(Nearest, IsSilentWhereNothingIsNear)
{
    EXPECT_EQ(nearest("amps", supplyNames), "");
    EXPECT_EQ(nearest("", supplyNames), "");
    EXPECT_EQ(nearest("source", supplyNames), "");  // beginning of two
    EXPECT_EQ(nearest(std::string(100000, 'v'), supplyNames), "");
    constexpr std::array<std::string_view, 2> sides = {"L", "M"};
    EXPECT_EQ(nearest("S", sides), "");
    EXPECT_EQ(nearest("m", sides), "M");
}

TEST(Case, OfLettersIsIgnoredInAsciiOnly)
{
    EXPECT_TRUE(equalIgnoringCase("Relay-A", "rELAY-a"));
    EXPECT_FALSE(equalIgnoringCase("\u00C4", "\u00E4"));
}

TEST(Joined, PutsCommasBetween)
{
    EXPECT_EQ(joined(std::span(supplyNames).first(2)), "volts, hertz");
    EXPECT_EQ(joined({}), "");
}

}  // namespace
}  // namespace splitstart
