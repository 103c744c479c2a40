#include "rating/check.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "rating/check_tables.h"
#include "rating/decision.h"

namespace splitstart
{

namespace
{

Finding judgeOne(const Check& check, const Case& input, const Circuit& circuit,
                 std::span<const Evidence> evidence)
{
    Finding finding;
    finding.check = &check;
    const CheckReading best = check.read({input, circuit, evidence.front()});
    const Comparison* nominal = worstOf(best);
    if (nominal != nullptr) {
        finding.hasLimit = true;
        finding.hasValue = !nominal->beyond;
        finding.corner = nominal->corner;
        finding.value = nominal->value;
        finding.limit = nominal->limit;
        finding.margin = nominal->margin();
    }
    const std::string& open =
        best.undecidedBecause.empty() ? best.doesNotArise : best.undecidedBecause;
    if (!open.empty() || nominal == nullptr) {
        finding.because = open.empty() ? "nothing to compare" : open;
        return finding;
    }
    const bool passes = nominal->margin() >= 0;
    std::vector<std::string> otherwise;
    for (const Evidence& other : evidence.subspan(1)) {
        const CheckReading reading = check.read({input, circuit, other});
        const Comparison* comparison = worstOf(reading);
        const bool same = comparison != nullptr && reading.undecidedBecause.empty() &&
                          reading.doesNotArise.empty() && (comparison->margin() >= 0) == passes;
        if (!same) {
            otherwise.push_back(other.motor);
        }
    }
    finding.verdict = !otherwise.empty() ? Verdict::undecided
                      : passes           ? Verdict::pass
                                         : Verdict::fail;
    if (!otherwise.empty()) {
        finding.because = fmt::format("best estimate says {}, but not so with {}",
                                      passes ? "pass" : "fail", fmt::join(otherwise, "; "));
    }
    return finding;
}

}  // namespace

std::string_view verdictName(Verdict verdict)
{
    switch (verdict) {
        case Verdict::pass:
            return "pass";
        case Verdict::fail:
            return "fail";
        case Verdict::undecided:
            break;
    }
    return "undecided";
}

std::span<const Check> allChecks()
{
    static const std::vector<Check> checks = [] {
        std::vector<Check> all;
        for (const std::span<const Check> table :
             {supplyChecks(), motorChecks(), windingChecks(), capacitorChecks(),
              potentialRelayChecks(), currentRelayChecks(), ptcChecks(), startSwitchChecks(),
              contactChecks(), protectorChecks(), feedChecks()}) {
            all.insert(all.end(), table.begin(), table.end());
        }
        return all;
    }();
    return checks;
}

bool fitsOneMotor(const Evidence& evidence)
{
    return evidence.contradictions.empty() &&
           std::all_of(evidence.fit.begin(), evidence.fit.end(), [](const FitResidual& residual) {
               return std::abs(residual.reproduced / residual.wanted - 1) <=
                      residual.accuracy_ratio;
           });
}

std::vector<Finding> judge(const Case& input, const Circuit& circuit,
                           std::span<const Evidence> evidence)
{
    const bool oneMotor = fitsOneMotor(evidence.front());
    std::vector<Finding> findings;
    for (const Check& check : allChecks()) {
        if (!check.applies({input, circuit, evidence.front()})) {
            continue;
        }
        Finding finding = judgeOne(check, input, circuit, evidence);
        if (!oneMotor && !check.asksTheCaseOnly) {
            finding.verdict = Verdict::undecided;
            finding.motorUnknown = true;
            finding.because = "the figures given do not fit one motor; see motor-fits-evidence";
        }
        findings.push_back(finding);
    }
    return findings;
}

}  // namespace splitstart
