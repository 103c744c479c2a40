#include "study/sweep_plan.h"

#include <fmt/format.h>

#include <algorithm>
#include <boost/random/mersenne_twister.hpp>
#include <boost/random/uniform_01.hpp>
#include <boost/random/uniform_int_distribution.hpp>
#include <charconv>
#include <cmath>
#include <set>
#include <utility>

#include "case/input_error.h"
#include "case/number.h"
#include "case/preferred_values.h"
#include "case/text.h"

namespace splitstart
{

namespace
{

constexpr double micro = 1e6;

std::vector<std::string_view> split(std::string_view text, char separator)
{
    std::vector<std::string_view> pieces;
    while (true) {
        const std::size_t at = text.find(separator);
        pieces.push_back(text.substr(0, at));
        if (at == std::string_view::npos) {
            return pieces;
        }
        text.remove_prefix(at + 1);
    }
}

[[noreturn]] void refuse(const VariedField& varied, std::string_view found,
                         const std::string& allowed)
{
    refuseInput({"--vary", 0}, varied.field.written, std::string(found), allowed);
}

// Steps add up in rounding errors; twelve digits are more than any of these quantities has.
std::string plain(double value)
{
    return plainNumber(parseNumber(fmt::format("{:.12f}", value)).value_or(value));
}

std::string shortNumber(double value)
{
    const std::string digits = fmt::format("{:.6g}", value);
    double rounded = value;
    std::from_chars(digits.data(), digits.data() + digits.size(), rounded);
    return plainNumber(rounded);
}

double numberIn(const VariedField& varied, std::string_view piece, std::string_view text)
{
    const std::optional<double> number = parseNumber(text);
    if (!number) {
        refuse(varied, piece, "numbers between the colons: from:to:step");
    }
    return *number;
}

void addSteps(VariedField& varied, std::string_view piece,
              const std::vector<std::string_view>& words)
{
    const double first = numberIn(varied, piece, words[0]);
    const double last = numberIn(varied, piece, words[1]);
    const double step = numberIn(varied, piece, words[2]);
    if (!(step > 0) || last < first) {
        refuse(varied, piece,
               "from:to:step with a step above 0 and an end not below the beginning");
    }
    constexpr double rounding_ratio = 1e-9;
    const double steps = std::floor((last - first) / step + rounding_ratio);
    if (steps >= static_cast<double>(mostCases)) {
        refuse(varied, piece, fmt::format("at most {} values", mostCases));
    }
    for (std::size_t i = 0; i <= static_cast<std::size_t>(steps); ++i) {
        varied.values.push_back(plain(first + static_cast<double>(i) * step));
    }
}

void addSeries(VariedField& varied, std::string_view piece,
               const std::vector<std::string_view>& words)
{
    const std::vector<double> values =
        preferredValues("E" + std::string(words[0].substr(1)), numberIn(varied, piece, words[1]),
                        numberIn(varied, piece, words[2]));
    if (values.empty()) {
        refuse(varied, piece,
               "E3, E6, E12, E24, E48, E96 or E192, then from:to above 0 with at least one of its "
               "values between them");
    }
    for (const double value : values) {
        varied.values.push_back(shortNumber(value));
    }
}

void addPrinted(VariedField& varied, std::string_view piece,
                const std::vector<std::string_view>& words)
{
    if (varied.field.element->name != "start-capacitor" ||
        varied.field.attribute != "microfarads") {
        refuse(varied, piece, "printed ranges for start-capacitor.microfarads only");
    }
    const double least = words.size() == 3 ? numberIn(varied, piece, words[1]) : 0;
    const double most = words.size() == 3 ? numberIn(varied, piece, words[2]) : HUGE_VAL;
    const std::size_t before = varied.values.size();
    for (const Range& range : preferredStartRanges_F()) {
        if (range.minimum * micro >= least && range.maximum * micro <= most) {
            varied.values.push_back(
                fmt::format("{:.4g}-{:.4g}", range.minimum * micro, range.maximum * micro));
        }
    }
    if (varied.values.size() == before) {
        refuse(varied, piece, "printed, or printed:from:to with at least one printed range inside");
    }
}

void addPiece(VariedField& varied, std::string_view piece)
{
    const std::vector<std::string_view> words = split(piece, ':');
    if (words.front() == "printed" && (words.size() == 1 || words.size() == 3)) {
        return addPrinted(varied, piece, words);
    }
    if (words.size() == 1) {
        if (piece.empty()) {
            refuse(varied, piece, "a value between the commas");
        }
        varied.values.emplace_back(piece);
        return;
    }
    if (!varied.field.isNumber()) {
        refuse(varied, piece, "words with commas between, since this field is no number");
    }
    if (words.size() == 3 && (words.front().starts_with('E') || words.front().starts_with('e'))) {
        return addSeries(varied, piece, words);
    }
    if (words.size() == 3) {
        return addSteps(varied, piece, words);
    }
    const double first = numberIn(varied, piece, words[0]);
    const double last = words.size() == 2 ? numberIn(varied, piece, words[1]) : first;
    if (!(first < last)) {
        refuse(varied, piece,
               "from:to:step, or from:to (Latin hypercube) with an end above the "
               "beginning");
    }
    varied.between = VariedField::Span{first, last};
}

// "pick-up-volts" of pick-up-volts-min.
std::string_view withoutEnd(std::string_view attribute)
{
    constexpr std::size_t endLength = 4;  // "-min" or "-max"
    return attribute.ends_with("-min") || attribute.ends_with("-max")
               ? attribute.substr(0, attribute.size() - endLength)
               : attribute;
}

[[noreturn]] void refuseBeside(const FieldName& field, const FieldName& other)
{
    const bool isTheSame = field.written == other.written;
    throw InputError(
        {{{"--vary", 0},
          field.written,
          {},
          isTheSame ? "each field once" : "only one of them, since one would undo the other",
          {},
          isTheSame ? std::string("given twice") : fmt::format("given beside {}", other.written)}});
}

// Whether setting one undoes the other, or may: a part by its id may be the one in the circuit.
bool meanTheSame(const FieldName& a, const FieldName& b)
{
    const auto isVolts = [](const FieldName& field) { return field.written == "supply.volts"; };
    const auto isPercent = [](const FieldName& field) {
        return field.written == "start.line-percent";
    };
    if ((isVolts(a) && isPercent(b)) || (isPercent(a) && isVolts(b))) {
        return true;
    }
    const bool apart = !a.which.empty() && !b.which.empty() && a.which != b.which;
    if (a.element != b.element || apart) {
        return false;
    }
    const bool bothAreEnds = a.attribute != b.attribute && withoutEnd(a.attribute) != a.attribute &&
                             withoutEnd(b.attribute) != b.attribute;
    return withoutEnd(a.attribute) == withoutEnd(b.attribute) && !bothAreEnds;
}

}  // namespace

VariedField variedField(std::string_view text)
{
    const std::size_t equals = text.find('=');
    if (equals == std::string_view::npos) {
        refuseInput({"--vary", 0}, {}, std::string(text),
                    "FIELD=VALUES, such as supply.volts=207:253:5");
    }
    VariedField varied;
    varied.field = fieldNamed(trimmed(text.substr(0, equals)));
    const std::string_view values = trimmed(text.substr(equals + 1));
    for (const std::string_view piece : split(values, ',')) {
        addPiece(varied, piece);
    }
    if (varied.between && !varied.values.empty()) {
        refuse(varied, values, "either from:to alone, or values and steps");
    }
    std::set<std::string> seen;
    for (const std::string& value : varied.values) {
        const std::optional<double> number =
            varied.field.isNumber() ? parseNumber(value) : std::nullopt;
        if (!seen.insert(number ? plainNumber(*number) : value).second) {
            refuse(varied, value, "each value once");
        }
    }
    return varied;
}

SweepPlan::SweepPlan(std::vector<VariedField> fields, std::optional<LatinHypercube> sample)
    : fields_(std::move(fields))
{
    for (std::size_t i = 0; i < fields_.size(); ++i) {
        for (std::size_t j = 0; j < i; ++j) {
            if (meanTheSame(fields_[i].field, fields_[j].field)) {
                refuseBeside(fields_[i].field, fields_[j].field);
            }
        }
    }
    if (!sample) {
        for (const VariedField& varied : fields_) {
            if (varied.between) {
                refuse(varied,
                       fmt::format("{}:{}", plainNumber(varied.between->minimum),
                                   plainNumber(varied.between->maximum)),
                       "from:to:step, since nothing says how many values to take");
            }
            if (size_ > mostCases / varied.values.size()) {
                refuse(varied, fmt::format("{} values", varied.values.size()),
                       fmt::format("at most {} combinations", mostCases));
            }
            size_ *= varied.values.size();
        }
        return;
    }
    size_ = sample->cases;
    boost::random::mt19937_64 random(sample->seed);
    boost::random::uniform_01<double> uniform;
    for (const VariedField& varied : fields_) {
        std::vector<std::string>& column = sampled_.emplace_back();
        column.reserve(size_);
        for (std::size_t stratum = 0; stratum < size_; ++stratum) {
            const double share =
                (static_cast<double>(stratum) + uniform(random)) / static_cast<double>(size_);
            if (varied.between) {
                column.push_back(shortNumber(
                    std::lerp(varied.between->minimum, varied.between->maximum, share)));
            } else {
                const double count = static_cast<double>(varied.values.size());
                column.push_back(varied.values[std::min(varied.values.size() - 1,
                                                        static_cast<std::size_t>(share * count))]);
            }
        }
        for (std::size_t i = size_; i > 1; --i) {
            boost::random::uniform_int_distribution<std::size_t> upTo(0, i - 1);
            std::swap(column[i - 1], column[upTo(random)]);
        }
    }
}

std::vector<FieldChange> SweepPlan::changesOf(std::size_t index) const
{
    std::vector<FieldChange> changes(fields_.size());
    std::size_t rest = index;
    for (std::size_t i = fields_.size(); i-- > 0;) {
        changes[i].field = fields_[i].field;
        if (!sampled_.empty()) {
            changes[i].value = sampled_[i][index];
        } else {
            const std::vector<std::string>& values = fields_[i].values;
            changes[i].value = values[rest % values.size()];
            rest /= values.size();
        }
    }
    return changes;
}

}  // namespace splitstart
