#include "report/finding_text.h"

#include <fmt/format.h>

#include "report/number_text.h"

namespace splitstart
{

namespace
{

// Some checks have no corners: their value is "as given", "as fitted", "as the label says".
bool standsByItself(const std::string& corner)
{
    return corner.starts_with("as ");
}

std::string timesInWords(double count)
{
    return count == 0 ? "never" : count == 1 ? "once" : fmt::format("{:.0f} times", count);
}

// Of what is counted, or is so or not so: how often and where it was worst. A number against a
// limit would say less than the question itself. Empty if there is nothing to add.
std::string countText(const Finding& finding)
{
    constexpr double betweenNoAndYes = 0.5;
    std::string where = standsByItself(finding.corner) ? std::string() : "at " + finding.corner;
    if (!finding.hasValue || finding.limit == betweenNoAndYes) {
        return where;
    }
    const std::string times = timesInWords(finding.value);
    return where.empty() ? times : times + ", " + where;
}

// Value, limit and margin of what has a unit.
std::string comparisonText(const Finding& finding)
{
    const Check& check = *finding.check;
    if (!finding.hasValue) {
        return fmt::format("beyond the limit of {}{}{}", withUnit(finding.limit, check.unit),
                           standsByItself(finding.corner) ? ", " : " at ", finding.corner);
    }
    const char* where = standsByItself(finding.corner) ? ", "
                        : check.asksTheCaseOnly        ? ", worst: "
                                                       : ", worst at ";
    const int digits = digitsToTell(finding.value, finding.limit);
    return fmt::format(
        "{} against the limit {}: margin {}{}{}", withUnit(finding.value, check.unit, digits),
        withUnit(finding.limit, check.unit, digits), marginText(finding), where, finding.corner);
}

}  // namespace

std::string marginText(const Finding& finding)
{
    // A difference of temperatures is no temperature.
    const std::string_view unit = finding.check->unit;
    return withUnit(finding.margin, unit == "degC" ? "K" : unit);
}

std::string findingText(const Finding& finding)
{
    return !finding.hasLimit             ? std::string()
           : finding.check->unit.empty() ? countText(finding)
                                         : comparisonText(finding);
}

}  // namespace splitstart
