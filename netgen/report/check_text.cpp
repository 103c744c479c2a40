#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>

#include "rating/decision.h"
#include "report/finding_text.h"
#include "report/number_text.h"
#include "report/prose_sections.h"
#include "report/report.h"
#include "report/text_page.h"
#include "report/verdict.h"

namespace splitstart
{

namespace
{

std::size_t countOf(const CheckStudy& study, Verdict verdict)
{
    return static_cast<std::size_t>(
        std::count_if(study.findings.begin(), study.findings.end(),
                      [verdict](const Finding& each) { return each.verdict == verdict; }));
}

std::size_t healthCountOf(const CheckStudy& study, HealthVerdict verdict)
{
    const auto& findings = study.motor.health.findings;
    return static_cast<std::size_t>(
        std::count_if(findings.begin(), findings.end(),
                      [verdict](const HealthFinding& each) { return each.verdict == verdict; }));
}

const char* basisWord(Basis basis)
{
    return basis == Basis::standard  ? "standard"
           : basis == Basis::physics ? "physics"
                                     : "common practice";
}

// In how many of the possible machines it is so.
std::string howSureText(const Finding& finding)
{
    const bool pass = finding.verdict == Verdict::pass;
    const std::size_t so = pass ? finding.holds : finding.fails;
    const std::string counted = countedMachinesText(finding);
    return so == finding.samples ? "so in all " + counted
                                 : fmt::format("so in {} of {}", so, counted);
}

void writeFinding(Prose& page, const Finding& finding)
{
    const Check& check = *finding.check;
    const char* mark = finding.verdict == Verdict::fail        ? "[FAIL]"
                       : finding.verdict == Verdict::undecided ? "[?]"
                                                               : "[ok]";
    const Shade shade = finding.verdict == Verdict::fail        ? Shade::red
                        : finding.verdict == Verdict::undecided ? Shade::yellow
                                                                : Shade::green;
    page.paragraph(fmt::format("{} {}: {}", mark, check.id, check.meaning), 2, 2, shade);
    const std::string found = findingText(finding);
    if (!found.empty()) {
        page.paragraph(found, 6, 2);
    }
    if (!finding.because.empty()) {
        page.paragraph("Undecided: " + finding.because, 6, 2);
    } else if (finding.samples > 0) {
        page.paragraph(howSureText(finding), 6, 2);
    }
    if (!finding.hangsOn.empty()) {
        page.paragraph(fmt::format("It hangs most on: {}", fmt::join(finding.hangsOn, ", ")), 6, 2);
    }
    if (finding.verdict != Verdict::pass) {
        page.paragraph(
            (finding.verdict == Verdict::fail || check.asksTheCaseOnly ? "To do: "
                                                                       : "Should it fail: ") +
                std::string(check.remedy),
            6, 2);
        const std::string basis = check.basis == Basis::commonPractice
                                      ? std::string(check.source)
                                      : fmt::format("{}: {}", basisWord(check.basis), check.source);
        page.paragraph(fmt::format("Rule: {} ({})", check.rule, basis), 6, 2);
    }
}

// "relay-lets-go has 0.200 A to spare, ... and 2 more": what passes narrowly, narrowest first, at
// most three by name. Empty if nothing does.
std::string narrowPasses(const std::vector<Finding>& findings)
{
    constexpr std::size_t mostNamed = 3;
    std::vector<const Finding*> narrow;
    for (const Finding& finding : findings) {
        if (isNarrow(finding)) {
            narrow.push_back(&finding);
        }
    }
    std::stable_sort(narrow.begin(), narrow.end(), [](const Finding* a, const Finding* b) {
        return a->margin / std::abs(a->limit) < b->margin / std::abs(b->limit);
    });
    const std::size_t named = std::min(narrow.size(), mostNamed);
    std::vector<std::string> words;
    for (std::size_t i = 0; i < named; ++i) {
        words.push_back(
            fmt::format("{} has {} to spare", narrow[i]->check->id, marginText(*narrow[i])));
    }
    return fmt::format(
        "{}{}", fmt::join(words, ", "),
        narrow.size() > named ? fmt::format(" and {} more", narrow.size() - named) : std::string());
}

}  // namespace

void writeVerdict(Prose& page, const CheckStudy& study)
{
    const VerdictCounts all = verdictCounts(study.motor, study.findings);
    const std::string counts =
        fmt::format("{} fail, {} undecided, {} pass", all.fail, all.undecided, all.pass);
    switch (fitnessOf(study.motor, study.findings)) {
        case Fitness::doNotEnergise:
            page.paragraph("DO NOT ENERGISE. " + study.motor.health.safe.why, 0, 2, Shade::red);
            page.paragraph(
                "No other part cures that. The rest is what the start would do: " + counts + ".", 0,
                2);
            return;
        case Fitness::notFit:
            page.paragraph("NOT FIT: " + counts + ". Do not run it with these parts.", 0, 2,
                           Shade::red);
            return;
        case Fitness::notDecided:
            page.paragraph(
                "NOT DECIDED: " + counts + ". What is known does not settle it; see below.", 0, 2,
                Shade::yellow);
            return;
        case Fitness::fit:
            break;
    }
    const std::string narrow = narrowPasses(study.findings);
    page.paragraph(narrow.empty()
                       ? fmt::format("FIT: all {} checks pass.", all.pass)
                       : fmt::format("FIT, but narrow: {}. All {} checks pass.", narrow, all.pass),
                   0, 2, Shade::green);
}

namespace
{

void writeHealthFindings(Prose& page, const CheckStudy& study, HealthVerdict verdict)
{
    for (const HealthFinding& finding : study.motor.health.findings) {
        if (finding.verdict != verdict) {
            continue;
        }
        const char* mark = verdict == HealthVerdict::fail        ? "[FAIL]"
                           : verdict == HealthVerdict::undecided ? "[?]"
                                                                 : "[ok]";
        page.paragraph(fmt::format("{} {}: {}", mark, finding.id, finding.what), 2, 2,
                       verdict == HealthVerdict::fail        ? Shade::red
                       : verdict == HealthVerdict::undecided ? Shade::yellow
                                                             : Shade::green);
        if (!finding.nextStep.empty()) {
            page.paragraph("To do: " + finding.nextStep, 6, 2);
        }
        for (const std::string& caution : finding.cautions) {
            page.paragraph("! " + caution, 6, 2);
        }
    }
}

HealthVerdict healthVerdictOf(Verdict verdict)
{
    return verdict == Verdict::fail        ? HealthVerdict::fail
           : verdict == Verdict::undecided ? HealthVerdict::undecided
                                           : HealthVerdict::pass;
}

}  // namespace

// What fails only because something else does, said before a part is bought for it. Empty if
// nothing does.
std::string firstCure(const std::vector<Finding>& findings)
{
    const auto fails = [&findings](std::string_view id) {
        return std::any_of(findings.begin(), findings.end(), [id](const Finding& each) {
            return each.verdict == Verdict::fail && each.check->id == id;
        });
    };
    const bool follows = fails("start-capacitor-volts") || fails("start-capacitor-duty") ||
                         fails("start-capacitor-longest-on") || fails("bleed-resistor-watts");
    // Of a motor that does not come up to speed the start circuit stays in, too.
    return fails("start-capacitor-left-in") && !fails("motor-starts") && follows
               ? "First cure what keeps the start circuit in (start-capacitor-left-in). What fails "
                 "at the start capacitor and its bleed resistor may follow from it: check again "
                 "with the right relay before you buy those."
               : "";
}

void writeFindings(Prose& page, const CheckStudy& study, Verdict verdict)
{
    const HealthVerdict health = healthVerdictOf(verdict);
    if (countOf(study, verdict) + healthCountOf(study, health) == 0) {
        return;
    }
    page.blank();
    page.heading(verdict == Verdict::fail        ? "What fails"
                 : verdict == Verdict::undecided ? "What is undecided"
                                                 : "What passes");
    writeHealthFindings(page, study, health);
    const std::string cure = verdict == Verdict::fail ? firstCure(study.findings) : "";
    if (!cure.empty()) {
        page.paragraph(cure, 2, 2);
    }
    std::size_t onUnknownMotor = 0;
    for (const Finding& finding : study.findings) {
        if (finding.verdict == verdict && finding.motorUnknown) {
            ++onUnknownMotor;
        } else if (finding.verdict == verdict) {
            writeFinding(page, finding);
        }
    }
    if (onUnknownMotor > 0) {
        page.paragraph(fmt::format("[?] {} further checks rest on a simulation of this motor, so "
                                   "they are undecided until its figures agree.",
                                   onUnknownMotor),
                       2, 2, Shade::yellow);
    }
}

namespace
{

// Which end of the tolerances, and what else is special about the run.
std::string partsColumn(const Corner& corner)
{
    const char* end = corner.release == Release::early ? "early" : "late";
    return fmt::format("{}{}{}{}", end, corner.switchOn_deg ? ", crest" : "",
                       corner.capacitors ? ", most uF" : "",
                       corner.restartAfter_s ? ", again" : "");
}

// Amps through pin C at the end. A protector that opened on the way is worth more than what flows
// then, which may be nothing, or the amps of the next try.
std::string pinCColumn(const StartMeasurement& m)
{
    if (m.protectorTripped.value_or(0) > 0.5) {
        return "trips";
    }
    constexpr double printsAsNought_A = 0.05;
    if (!m.compressorRunning_A) {
        return "-";
    }
    return *m.compressorRunning_A < printsAsNought_A
               ? "0.0 A"
               : fmt::format("{:.1f} A", *m.compressorRunning_A);
}

}  // namespace

StartCells startCells(const CheckStudy& study, const StartRun& run)
{
    const StartMeasurement& m = run.measured;
    return {fmt::format("{:.0f} %", run.corner.line_ratio * 100),
            isHot(run.corner.winding_degC) ? "hot" : "cold",
            partsColumn(run.corner),
            m.timeToSpeed_s ? fmt::format("{:.2f} s", *m.timeToSpeed_s) : "never",
            m.startContactOpened_s
                ? fmt::format("{:.2f} s at {:.0f} % speed", *m.startContactOpened_s,
                              *m.speedAtOpening_ratio * 100)
            : startDeviceOf(study.circuit) ? "never"
                                           : "(stays)",
            pinCColumn(m)};
}

void writeLiveWhenOff(Prose& page, const CheckStudy& study)
{
    if (const std::optional<HeldShaftMeasurement>& off = study.evidence.front().offTime) {
        page.paragraph(
            fmt::format("ALL THREE PINS ARE LIVE when it is off: {} flow through the start winding "
                        "({} of heat). Isolate both lines before touching.",
                        withUnit(off->auxiliary_A, "A"), withUnit(off->line_W, "W")),
            0, 2, Shade::red);
    }
}

namespace
{

void writeNext(Prose& page, const std::vector<NextMeasurement>& next)
{
    constexpr std::size_t mostShown = 3;
    if (!next.empty()) {
        page.blank();
        writeNextMeasurements(
            page, {next.begin(),
                   next.begin() + static_cast<std::ptrdiff_t>(std::min(mostShown, next.size()))});
    }
}

void writeStarts(Prose& page, const CheckStudy& study)
{
    const Evidence& best = study.evidence.front();
    page.blank();
    page.heading("The starts, best estimate of the motor");
    page.line("  line   windings  parts          to speed  start circuit leaves    pin C");
    for (const std::vector<StartRun>& runs : {best.starts, best.restarts}) {
        for (const StartRun& run : runs) {
            const auto [line, windings, parts, toSpeed, leaves, pinC] = startCells(study, run);
            page.line(fmt::format("  {:>5}  {:<8}  {:<13}  {:<8}  {:<22}  {}", line, windings,
                                  parts, toSpeed, leaves, pinC));
        }
    }
    page.paragraph(std::string(startsLegend), 2, 2);
}

void writeMotor(Prose& page, const CheckStudy& study)
{
    page.blank();
    page.heading("The motor, and how sure each number is");
    for (const MotorParameter& parameter : study.motor.motor.parameters) {
        page.paragraph(
            fmt::format("- {}: {}; {}", parameter.name,
                        withProvenance(parameter.value, parameter.unit), parameter.basis),
            2, 2);
    }
    for (const FitResidual& residual : study.motor.residuals) {
        page.paragraph(fmt::format("- {}: wanted {}, this motor gives {}", residual.name,
                                   withUnit(residual.wanted, residual.unit),
                                   withUnit(residual.reproduced, residual.unit)),
                       2, 2);
    }
    for (const std::string& note : study.motor.notes) {
        page.paragraph("- " + note, 2, 2);
    }
}

}  // namespace

std::string checkText(const Case& input, const CheckStudy& study,
                      const std::vector<NextMeasurement>& next, const TextStyle& style)
{
    TextPage page(style.colour, style.width);
    page.heading(fmt::format("{}{}", input.name, input.invented ? " (INVENTED demo data)" : ""));
    page.paragraph(fmt::format("{}: {}", study.circuit.type, study.circuit.description));
    page.blank();
    writeVerdict(page, study);
    if (study.motor.identification) {
        page.paragraph(study.motor.identification->answer, 0, 2);
    }
    writeLiveWhenOff(page, study);
    writeFindings(page, study, Verdict::fail);
    writeFindings(page, study, Verdict::undecided);
    if (style.allChecks) {
        writeFindings(page, study, Verdict::pass);
    } else {
        page.blank();
        page.paragraph(
            fmt::format("{} checks pass; --all shows them.",
                        countOf(study, Verdict::pass) + healthCountOf(study, HealthVerdict::pass)));
    }
    writeNext(page, next);
    writeStarts(page, study);
    writeMotor(page, study);
    page.blank();
    page.heading("Before you touch or power anything");
    return page.text() + cautionsText(style.width);
}

}  // namespace splitstart
