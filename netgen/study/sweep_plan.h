// Which cases a sweep computes: fields of one case, each with a row of values.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "case/field_change.h"

namespace splitstart
{

// One field and what it takes.
struct VariedField {
    FieldName field;
    std::vector<std::string> values;  // as they would stand in the file; empty: `between`
    struct Span {
        double minimum = 0;
        double maximum = 0;
    };
    std::optional<Span> between;  // anything from here to there; Latin hypercube only
};

// FIELD=VALUES. Values with commas between, each of them one of
//
//   80:200:5          from 80 to 200 in steps of 5
//   230 or late       a number or a word
//   88-108            both ends of a range
//   E12:20:60         preferred values of IEC 60063 (E3 to E192)
//   printed:80:200    ranges printed on start capacitors
//
// or, for a Latin hypercube, 2:4 alone: anything between. Throws InputError: no such field, a value
// that is none, a step of the wrong sign, steps in a field of words, more than `mostCases` values.
VariedField variedField(std::string_view text);

constexpr std::size_t mostCases = 1'000'000;

// Every combination of the values, the last field changing fastest.
// With a sample: so many combinations in which each field's values are spread evenly, one in each
// of as many equal strata, in random order (Latin hypercube: M. D. McKay, R. J. Beckman, W. J.
// Conover, Technometrics 21, 1979). Same seed, same combinations, on every machine.
struct LatinHypercube {
    std::size_t cases = 0;
    std::uint64_t seed = 1;
};

class SweepPlan
{
public:
    // Throws InputError where one field would undo another, where there are more than mostCases
    // combinations, or a span without a sample.
    SweepPlan(std::vector<VariedField> fields, std::optional<LatinHypercube> sample);

    [[nodiscard]] std::size_t size() const { return size_; }
    [[nodiscard]] bool isSample() const { return !sampled_.empty(); }
    [[nodiscard]] std::span<const VariedField> fields() const { return fields_; }
    // The values of that case, one for each field, in their order. index < size().
    [[nodiscard]] std::vector<FieldChange> changesOf(std::size_t index) const;

private:
    std::vector<VariedField> fields_;
    std::size_t size_ = 1;
    std::vector<std::vector<std::string>> sampled_;  // by field, then by case
};

}  // namespace splitstart
