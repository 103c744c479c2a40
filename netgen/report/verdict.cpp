#include "report/verdict.h"

#include <algorithm>
#include <cmath>

namespace splitstart
{

namespace
{

template <typename Findings, typename Which>
std::size_t countOf(const Findings& findings, Which verdict)
{
    return static_cast<std::size_t>(
        std::count_if(findings.begin(), findings.end(),
                      [verdict](const auto& each) { return each.verdict == verdict; }));
}

}  // namespace

VerdictCounts verdictCounts(const MotorStudy& motor, const std::vector<Finding>& findings)
{
    const std::vector<HealthFinding>& health = motor.health.findings;
    return {countOf(findings, Verdict::fail) + countOf(health, HealthVerdict::fail),
            countOf(findings, Verdict::undecided) + countOf(health, HealthVerdict::undecided),
            countOf(findings, Verdict::pass) + countOf(health, HealthVerdict::pass)};
}

Fitness fitnessOf(const MotorStudy& motor, const std::vector<Finding>& findings)
{
    const VerdictCounts counts = verdictCounts(motor, findings);
    return motor.health.safe.answer == EnergiseAnswer::no ? Fitness::doNotEnergise
           : counts.fail > 0                              ? Fitness::notFit
           : counts.undecided > 0                         ? Fitness::notDecided
                                                          : Fitness::fit;
}

std::string_view fitnessName(Fitness fitness)
{
    switch (fitness) {
        case Fitness::fit:
            return "fit";
        case Fitness::notDecided:
            return "not decided";
        case Fitness::notFit:
            return "not fit";
        case Fitness::doNotEnergise:
            break;
    }
    return "do not energise";
}

bool isNarrow(const Finding& finding)
{
    constexpr double narrow_ratio = 0.05;
    // Percent of speed or volts, and the line's own volts, lie near their limits in every sound
    // machine.
    const Check& check = *finding.check;
    const bool alwaysNear = check.unit == "%" || check.id.starts_with("supply-volts");
    return finding.verdict == Verdict::pass && finding.hasValue && !check.unit.empty() &&
           !alwaysNear && finding.limit != 0 &&
           finding.margin < narrow_ratio * std::abs(finding.limit);
}

}  // namespace splitstart
