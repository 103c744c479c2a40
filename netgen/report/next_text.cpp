#include <fmt/format.h>

#include <algorithm>

#include "report/prose_sections.h"
#include "report/report.h"
#include "report/text_page.h"
#include "report/verdict.h"

namespace splitstart
{

namespace
{

// "settles about 3 of what is undecided", as far as that can be said beforehand.
std::string worth(const NextMeasurement& next)
{
    constexpr double oneAtLeast = 0.75;
    constexpr double perhaps = 0.1;
    return next.settles >= oneAtLeast
               ? fmt::format("expected to settle {:.0f} of the undecided", next.settles)
           : next.settles >= perhaps
               ? fmt::format("settles one of the undecided with a chance of {:.0f} %",
                             100 * next.settles)
               : fmt::format("settles nothing alone, but explains {:.0f} % of the doubt",
                             100 * next.explains);
}

}  // namespace

void writeNextMeasurements(Prose& page, const std::vector<NextMeasurement>& next)
{
    page.heading("What to measure next");
    std::size_t number = 0;
    for (const NextMeasurement& each : next) {
        page.paragraph(fmt::format("{}. {}: {}", ++number, each.what, worth(each)), 2, 3);
        page.paragraph(fmt::format("with {}; {}", each.instrument, each.how), 5, 2);
        page.paragraph("! " + each.caution, 5, 2);
        page.paragraph("In the case file: " + each.field, 5, 2);
    }
}

std::string whatNextText(const Case& input, const CheckStudy& study,
                         const std::vector<NextMeasurement>& next, const TextStyle& style)
{
    TextPage page(style.colour, style.width);
    page.heading(fmt::format("{}{}", input.name, input.invented ? " (INVENTED demo data)" : ""));
    std::size_t undecided = 0;
    std::vector<const Finding*> otherwise;
    for (const Finding& finding : study.findings) {
        if (finding.verdict == Verdict::undecided) {
            ++undecided;
            if (finding.holds + finding.fails == 0) {
                otherwise.push_back(&finding);
            }
        }
    }
    const bool sound =
        std::all_of(study.motor.health.findings.begin(), study.motor.health.findings.end(),
                    [](const HealthFinding& each) { return each.verdict == HealthVerdict::pass; });
    const VerdictCounts all = verdictCounts(study.motor, study.findings);
    page.paragraph(
        undecided > 0 ? fmt::format("{} of {} checks are undecided.", all.undecided,
                                    all.fail + all.undecided + all.pass)
        : all.fail > 0 && sound
            ? fmt::format("No measurement is missing, but {} checks fail: see splitstart "
                          "check. Do not run it with these parts.",
                          all.fail)
        : sound ? "Nothing is undecided: no measurement is missing."
                : "No check of the start is undecided.");
    // What the ohmmeter and the insulation tester have still to say comes before all else.
    for (const HealthFinding& finding : study.motor.health.findings) {
        if (finding.verdict != HealthVerdict::pass) {
            page.blank();
            page.paragraph("First: " + finding.what, 0, 2, Shade::yellow);
            page.paragraph(finding.nextStep, 2, 2);
            for (const std::string& caution : finding.cautions) {
                page.paragraph("! " + caution, 2, 2);
            }
        }
    }
    if (!next.empty()) {
        page.blank();
        writeNextMeasurements(page, next);
    } else if (study.motor.health.safe.answer == EnergiseAnswer::no) {
        page.paragraph("Nothing that needs the supply on is asked for before that is cured.");
    } else if (undecided > otherwise.size()) {
        page.paragraph(
            "No single measurement would settle one of them: give more of them, or "
            "measure again more accurately.");
    }
    if (!otherwise.empty()) {
        page.blank();
        page.heading("Undecided for another reason");
        for (const Finding* finding : otherwise) {
            page.paragraph(fmt::format("- {}: {}", finding->check->id, finding->because), 2, 2);
        }
    }
    page.blank();
    page.heading("Before you touch or power anything");
    return page.text() + cautionsText(style.width);
}

}  // namespace splitstart
