#include "motor/locked_rotor_code.h"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <limits>
#include <string_view>

#include "physics/near.h"

namespace splitstart
{

namespace
{

// NEC table 430.7(B), kVA per horsepower with locked rotor, as printed there to two decimals; from
// memory. NEMA MG 1 gives the same edges as "3.15 up to but not including 3.55" and so on.
struct PrintedRow {
    char letter;
    double lowest;
    double highest;
};
constexpr std::array<PrintedRow, 18> printedRows{{{'A', 0.00, 3.14},
                                                  {'B', 3.15, 3.54},
                                                  {'C', 3.55, 3.99},
                                                  {'D', 4.00, 4.49},
                                                  {'E', 4.50, 4.99},
                                                  {'F', 5.00, 5.59},
                                                  {'G', 5.60, 6.29},
                                                  {'H', 6.30, 7.09},
                                                  {'J', 7.10, 7.99},
                                                  {'K', 8.00, 8.99},
                                                  {'L', 9.00, 9.99},
                                                  {'M', 10.00, 11.19},
                                                  {'N', 11.20, 12.49},
                                                  {'P', 12.50, 13.99},
                                                  {'R', 14.00, 15.99},
                                                  {'S', 16.00, 17.99},
                                                  {'T', 18.00, 19.99},
                                                  {'U', 20.00, 22.39}}};

}  // namespace

TEST(LockedRotorCode, LettersAgreeWithThePrintedTable)
{
    for (const PrintedRow& row : printedRows) {
        EXPECT_EQ(lockedRotorCodeLetter(row.lowest), row.letter);
        EXPECT_EQ(lockedRotorCodeLetter(row.highest), row.letter);
        const auto range = lockedRotorKvaPerHorsepower(row.letter);
        ASSERT_TRUE(range);
        EXPECT_DOUBLE_EQ(range->minimum, row.lowest) << row.letter;
        EXPECT_NEAR(range->maximum, row.highest + 0.01, 1e-9) << row.letter;
    }
    EXPECT_EQ(lockedRotorCodeLetter(22.4), 'V');
    EXPECT_EQ(lockedRotorCodeLetter(1000), 'V');
    EXPECT_TRUE(std::isinf(lockedRotorKvaPerHorsepower('V')->maximum));
}

TEST(LockedRotorCode, ThereAreNoLettersIOAndQ)
{
    for (const char character : std::string_view("IOQWXYZa0 ")) {
        EXPECT_FALSE(lockedRotorKvaPerHorsepower(character)) << character;
        EXPECT_FALSE(lockedRotorRange_A(character, 1, 230)) << character;
    }
}

// Half a horsepower at 115 V, letter L: 9 * 0.5 * 1000 / 115 = 39.1 A up to 10 * 0.5 * 1000 / 115 =
// 43.5 A, worked by hand.
TEST(LockedRotorCode, HalfHorsepowerOfLetterLDrawsAboutFortyAmps)
{
    const auto range = lockedRotorRange_A('L', 0.5, 115);
    ASSERT_TRUE(range);
    EXPECT_TRUE(nearRel(range->minimum, 39.130, 1e-4));
    EXPECT_TRUE(nearRel(range->maximum, 43.478, 1e-4));
}

TEST(LockedRotorCode, AmpsOfALetterLeadBackToIt)
{
    for (const PrintedRow& row : printedRows) {
        const auto range = lockedRotorRange_A(row.letter, 3, 230);
        ASSERT_TRUE(range);
        const double kvaPerHorsepower = 0.5 * (range->minimum + range->maximum) * 230 / 1000 / 3;
        EXPECT_EQ(lockedRotorCodeLetter(kvaPerHorsepower), row.letter);
    }
}

TEST(LockedRotorCode, ImpossibleFiguresGiveNothing)
{
    EXPECT_FALSE(lockedRotorCodeLetter(-1));
    EXPECT_FALSE(lockedRotorCodeLetter(std::numeric_limits<double>::quiet_NaN()));
    EXPECT_FALSE(lockedRotorRange_A('K', 0, 230));
    EXPECT_FALSE(lockedRotorRange_A('K', 1, 0));
}

}  // namespace splitstart
