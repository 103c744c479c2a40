#include "motor/locked_rotor_code.h"

#include <algorithm>
#include <array>
#include <limits>

namespace splitstart
{

namespace
{

struct CodeLetter {
    char letter;
    double from_kVA;  // per horsepower; the next letter begins where this one ends
};

constexpr std::array<CodeLetter, 19> codeLetters{{{'A', 0},
                                                  {'B', 3.15},
                                                  {'C', 3.55},
                                                  {'D', 4.0},
                                                  {'E', 4.5},
                                                  {'F', 5.0},
                                                  {'G', 5.6},
                                                  {'H', 6.3},
                                                  {'J', 7.1},
                                                  {'K', 8.0},
                                                  {'L', 9.0},
                                                  {'M', 10.0},
                                                  {'N', 11.2},
                                                  {'P', 12.5},
                                                  {'R', 14.0},
                                                  {'S', 16.0},
                                                  {'T', 18.0},
                                                  {'U', 20.0},
                                                  {'V', 22.4}}};

}  // namespace

std::optional<Range> lockedRotorKvaPerHorsepower(char letter)
{
    const auto* const found =
        std::find_if(codeLetters.begin(), codeLetters.end(),
                     [letter](const CodeLetter& code) { return code.letter == letter; });
    if (found == codeLetters.end()) {
        return std::nullopt;
    }
    const auto* const next = found + 1;
    return Range{found->from_kVA, next == codeLetters.end()
                                      ? std::numeric_limits<double>::infinity()
                                      : next->from_kVA};
}

std::optional<char> lockedRotorCodeLetter(double kvaPerHorsepower)
{
    std::optional<char> letter;
    for (const CodeLetter& code : codeLetters) {
        if (kvaPerHorsepower >= code.from_kVA) {
            letter = code.letter;
        }
    }
    return letter;
}

std::optional<Range> lockedRotorRange_A(char letter, double horsepower, double voltage_V)
{
    const std::optional<Range> kva = lockedRotorKvaPerHorsepower(letter);
    if (!kva || !(horsepower > 0) || !(voltage_V > 0)) {
        return std::nullopt;
    }
    const double ampsPerKva = horsepower * 1000 / voltage_V;
    return Range{kva->minimum * ampsPerKva, kva->maximum * ampsPerKva};
}

}  // namespace splitstart
