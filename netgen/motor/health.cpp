#include "motor/health.h"

#include <algorithm>

#include "motor/health_findings.h"

namespace splitstart
{

namespace cautions
{
const char* const lockOut =
    "Lock out and tag every supply and prove the meter live, dead, live. An open contactor is not "
    "isolation.";
const char* const discharge =
    "Discharge every capacitor through a resistor (20 kohm, 2 W or more) and read below 50 V "
    "before "
    "you touch a terminal.";
const char* const terminalCover = "Never apply power with the terminal cover off.";
const char* const standAside =
    "A pin can be blown out with burning oil and refrigerant: stand aside, never face the pins, "
    "keep "
    "flames and sparks away.";
const char* const neverGrounded =
    "Never energise a compressor with a grounded winding, not even for a moment. Do not reset the "
    "breaker.";
const char* const noVacuum =
    "No volts of any kind, testers included, while the shell is in vacuum.";
const char* const bareWindings =
    "For an insulation test take all wires off the pins; capacitors and electronics stay "
    "disconnected.";
}  // namespace cautions

namespace
{

std::string firstSentence(const std::string& text)
{
    const std::size_t end = text.find(". ");
    return end == std::string::npos ? text : text.substr(0, end + 1);
}

}  // namespace

const char* healthVerdictName(HealthVerdict verdict)
{
    switch (verdict) {
        case HealthVerdict::pass:
            return "pass";
        case HealthVerdict::fail:
            return "fail";
        case HealthVerdict::undecided:
            break;
    }
    return "undecided";
}

SafeToEnergise safeToEnergise(const std::vector<HealthFinding>& findings,
                              InsulationGrade insulation, bool windingsRead)
{
    SafeToEnergise safe;
    const auto addReasons = [&](HealthVerdict verdict) {
        for (const HealthFinding& finding : findings) {
            if (finding.verdict == verdict) {
                if (!safe.why.empty()) {
                    safe.why += ' ';
                }
                safe.why += firstSentence(finding.what);
            }
        }
    };
    const auto has = [&findings](HealthVerdict verdict) {
        return std::any_of(
            findings.begin(), findings.end(),
            [verdict](const HealthFinding& finding) { return finding.verdict == verdict; });
    };
    if (has(HealthVerdict::fail)) {
        safe.answer = EnergiseAnswer::no;
        addReasons(HealthVerdict::fail);
        return safe;
    }
    const bool insulationPassed =
        insulation == InsulationGrade::fair || insulation == InsulationGrade::good;
    if (has(HealthVerdict::undecided) || !insulationPassed || !windingsRead) {
        safe.answer = EnergiseAnswer::notKnown;
        safe.why = "Take it as no until this is settled.";
        if (!windingsRead) {
            safe.why += " The windings have not been read.";
        }
        addReasons(HealthVerdict::undecided);
        return safe;
    }
    safe.answer = EnergiseAnswer::yes;
    safe.why =
        "Windings and insulation read sound: with the terminal cover on, the wiring proved by "
        "ohms, the "
        "protector and the breaker in place, and someone at the disconnect. A few shorted turns do "
        "not "
        "show in ohms, so keep the first start to 3 seconds.";
    return safe;
}

HealthReport assessHealth(const Compressor& compressor,
                          const std::optional<Identification>& identification)
{
    HealthReport report;
    std::vector<ShellReading> shell;
    if (identification) {
        report.findings = windingFindings(compressor, *identification);
        shell = identification->shell;
    }
    InsulationFindings insulation = insulationFindings(compressor, shell);
    report.insulation = insulation.grade;
    report.findings.insert(report.findings.end(), insulation.findings.begin(),
                           insulation.findings.end());
    report.safe = safeToEnergise(report.findings, report.insulation, identification.has_value());
    return report;
}

}  // namespace splitstart
