// Options that take a number. The range of each stands in one place: --help shows it, and what lies
// outside, or is no number at all, is refused with it.
#pragma once

#include <limits>
#include <optional>
#include <string>
#include <string_view>

#include "cli/command.h"

namespace splitstart
{

// Both ends allowed; without `most`, as large as Value can be.
template <typename Value>
struct NumberRange {
    Value least;
    Value most = std::numeric_limits<Value>::max();
};

// One option of a command. Value is int, long or double.
template <typename Value>
struct NumberOption {
    const char* name;       // "samples"
    const char* valueName;  // "N"
    NumberRange<Value> range;
    std::optional<Value> usual;  // the default; without it the option may be absent
    std::string meaning;         // for --help, which adds the range
};

// Adds it. CommandLine::parse() then throws a UsageError, `--samples: found "abc"; allowed: a whole
// number from 20 to 10000`, unless the value is a decimal number within the range.
template <typename Value>
void addNumber(CommandLine& line, const NumberOption<Value>& option);

// What a number of the case file may be, in the file's unit; `field` as for a sweep, such as
// "supply.switch-on-degrees" or "start.line-percent".
NumberRange<double> rangeOfField(std::string_view field);

// "0 to 2"; "0 or more"
template <typename Value>
std::string rangeText(const NumberRange<Value>& range);

}  // namespace splitstart
