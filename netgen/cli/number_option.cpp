#include "cli/number_option.h"

#include <fmt/format.h>

#include <charconv>
#include <memory>
#include <type_traits>
#include <utility>
#include <vector>

#include "case/field_change.h"
#include "case/number.h"
#include "case/text.h"

namespace splitstart
{

namespace
{

namespace po = boost::program_options;

// Whole numbers digit by digit: as a double, a large seed would become another one.
template <typename Value>
std::optional<Value> parsed(const std::string& text)
{
    if constexpr (std::is_integral_v<Value>) {
        Value value = 0;
        const char* const end = text.data() + text.size();
        const auto [stop, error] = std::from_chars(text.data(), end, value);
        return error == std::errc() && stop == end ? std::optional(value) : std::nullopt;
    } else {
        return parseNumber(text);
    }
}

template <typename Value>
class NumberValue : public po::typed_value<Value>
{
public:
    NumberValue(std::string name, const NumberRange<Value>& range)
        : po::typed_value<Value>(nullptr), name_(std::move(name)), range_(range)
    {
    }

    void xparse(boost::any& value, const std::vector<std::string>& tokens) const override
    {
        po::validators::check_first_occurrence(value);
        const std::string& text = po::validators::get_single_string(tokens);
        const std::optional<Value> number = parsed<Value>(text);
        if (!number || *number < range_.least || *number > range_.most) {
            const std::string_view hint = numberHint(text);
            throw UsageError(fmt::format("--{}: found \"{}\"; allowed: a {}{}{}{}{}", name_,
                                         shortText(text),
                                         std::is_integral_v<Value> ? "whole number" : "number",
                                         isOpen(range_) ? ", " : " from ", rangeText(range_),
                                         hint.empty() ? "" : ". ", hint));
        }
        value = *number;
    }

    static bool isOpen(const NumberRange<Value>& range)
    {
        return range.most == std::numeric_limits<Value>::max();
    }

private:
    std::string name_;
    NumberRange<Value> range_;
};

}  // namespace

template <typename Value>
std::string rangeText(const NumberRange<Value>& range)
{
    return NumberValue<Value>::isOpen(range) ? fmt::format("{} or more", range.least)
                                             : fmt::format("{} to {}", range.least, range.most);
}

template <typename Value>
void addNumber(CommandLine& line, const NumberOption<Value>& option)
{
    auto value = std::make_unique<NumberValue<Value>>(option.name, option.range);
    value->value_name(option.valueName);
    if (option.usual) {
        value->default_value(*option.usual, fmt::format("{}", *option.usual));
    }
    const std::string help = fmt::format("{} ({})", option.meaning, rangeText(option.range));
    line.options.add_options()(option.name, value.release(), help.c_str());
}

NumberRange<double> rangeOfField(std::string_view field)
{
    const FieldName named = fieldNamed(field);
    return {named.spec->minimum, named.spec->maximum};
}

template std::string rangeText(const NumberRange<int>&);
template std::string rangeText(const NumberRange<long>&);
template std::string rangeText(const NumberRange<double>&);
template void addNumber(CommandLine&, const NumberOption<int>&);
template void addNumber(CommandLine&, const NumberOption<long>&);
template void addNumber(CommandLine&, const NumberOption<double>&);

}  // namespace splitstart
