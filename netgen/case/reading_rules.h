// What a set of resistance readings must be, whether it comes from a file or from options.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "case/case.h"
#include "case/input_error.h"

namespace splitstart
{

// Pin names as written on the pins: 1 to 12 printable characters without blanks. "shell", in any
// case, is no pin but the bare metal of the compressor.
bool isPinLabel(std::string_view text);

// "A B" as its two labels, "shell" in lower case; empty when the text is not two labels.
std::optional<std::pair<std::string, std::string>> splitPins(std::string_view text);

// What is wrong with the readings taken together: exactly three different pin labels, a reading for
// each of their three pairs, no pair twice, readings to the shell from one of these pins only.
// Labels are compared letter by letter. `place` is that of the readings as a whole.
std::vector<InputProblem> readingProblems(const std::vector<WindingReading>& readings,
                                          const SourcePlace& place);

// What is wrong with one of the pins that the diagram names: two pins with the same label, a label
// that is in none of the readings. Readings that do not name three pins are not compared.
struct PinsObjection {
    std::string_view attribute;  // "common", "start" or "run"
    std::string found;
    std::string allowed;
    std::string hint;  // may be empty
};
std::vector<PinsObjection> pinsObjections(const KnownPins& pins,
                                          const std::vector<WindingReading>& readings);

}  // namespace splitstart
