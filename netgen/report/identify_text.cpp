#include <fmt/format.h>

#include <set>

#include "report/number_text.h"
#include "report/prose_sections.h"
#include "report/report.h"
#include "report/text_page.h"

namespace splitstart
{

namespace
{

const char* healthMark(HealthVerdict verdict)
{
    return verdict == HealthVerdict::pass   ? "[ok]"
           : verdict == HealthVerdict::fail ? "[FAIL]"
                                            : "[?]";
}

Shade healthShade(HealthVerdict verdict)
{
    return verdict == HealthVerdict::pass   ? Shade::green
           : verdict == HealthVerdict::fail ? Shade::red
                                            : Shade::yellow;
}

void writeWinding(Prose& page, const char* name, const Quantity& whenRead_ohm,
                  const Quantity& at25_ohm, double temperature_degC)
{
    page.paragraph(fmt::format("{}: {} at {:.0f} degC, from all three readings, meter leads "
                               "taken off",
                               name, withUnit(whenRead_ohm.value, "ohm"), temperature_degC),
                   2, 2);
    page.paragraph(fmt::format("at 25 degC: {}", withProvenance(at25_ohm, "ohm")), 4, 2);
}

}  // namespace

void writePins(Prose& page, const Identification& identification)
{
    page.paragraph(identification.answer, 2, 0, Shade::bold);
    if (identification.pattern == ReadingPattern::complete) {
        page.blank();
        writeWinding(page, "run winding C-R", identification.run_ohm, identification.runAt25_ohm,
                     identification.temperature_degC);
        writeWinding(page, "start winding C-S", identification.start_ohm,
                     identification.startAt25_ohm, identification.temperature_degC);
    }
    for (const std::string* sentence : {&identification.misfit.explanation,
                                        &identification.runnerUp, &identification.decidedBy}) {
        if (!sentence->empty()) {
            page.blank();
            page.paragraph(*sentence, 2);
        }
    }
}

void writeHealth(Prose& page, const HealthReport& health)
{
    for (const HealthFinding& finding : health.findings) {
        // The answer above has said these already.
        const bool said = finding.verdict == HealthVerdict::pass &&
                          (finding.id == "pins-named" || finding.id == "sum-rule");
        if (said) {
            continue;
        }
        page.paragraph(fmt::format("{} {}", healthMark(finding.verdict), finding.what), 2, 2,
                       healthShade(finding.verdict));
        if (!finding.nextStep.empty()) {
            page.paragraph("Next: " + finding.nextStep, 6, 2);
        }
        for (const std::string& caution : finding.cautions) {
            page.paragraph("! " + caution, 6, 2);
        }
    }
    const char* answer = health.safe.answer == EnergiseAnswer::yes  ? "yes"
                         : health.safe.answer == EnergiseAnswer::no ? "NO"
                                                                    : "not known";
    page.blank();
    page.paragraph(fmt::format("Safe to energise, as far as these readings go: {}. {}", answer,
                               health.safe.why),
                   2, 0, Shade::bold);
}

std::string identifyText(const std::string& name, bool invented, const MotorStudy& study,
                         const TextStyle& style)
{
    TextPage page(style.colour, style.width);
    page.heading(fmt::format("{}{}", name, invented ? " (INVENTED demo data)" : ""));
    page.blank();
    page.heading("Pins");
    if (study.identification) {
        writePins(page, *study.identification);
    } else {
        page.paragraph("No readings were given.", 2);
    }
    page.blank();
    page.heading("Windings and insulation");
    writeHealth(page, study.health);
    if (study.identification && !study.identification->assumptions.empty()) {
        page.blank();
        page.heading("What was assumed");
        for (const std::string& assumption : study.identification->assumptions) {
            page.paragraph("- " + assumption, 2, 2);
        }
    }
    page.blank();
    page.heading("Before you touch or power anything");
    return page.text() + cautionsText(style.width);
}

}  // namespace splitstart
