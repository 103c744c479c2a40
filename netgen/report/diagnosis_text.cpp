#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>

#include "case/text.h"
#include "report/diagnosis_words.h"
#include "report/number_text.h"
#include "report/report.h"
#include "report/text_page.h"

namespace splitstart
{

namespace
{

std::string percent(double share)
{
    return share >= 0.995  ? "over 99 %"
           : share >= 0.01 ? fmt::format("{:.0f} %", 100 * share)
                           : "under 1 %";
}

// Of resistances that no meter tells from none (half of the last digit of a meter that shows 0.1
// ohm, common practice, no source).
bool isNearNothing(SymptomKind kind, const Range& range)
{
    constexpr double shown_ohm = 0.05;
    return symptomInfo(kind).unit == "ohm" && range.maximum < shown_ohm;
}

constexpr const char* nearNothing = "near 0 ohm";

// What is read then, as a meter shows it.
std::string shownOutcome(SymptomKind kind, const NextObservation::Outcome& outcome)
{
    const bool isNumber = !outcome.notSeen && outcome.word.empty();
    return isNumber && isNearNothing(kind, outcome.value) ? nearNothing
                                                          : outcomeText(kind, outcome);
}

std::string shownPrediction(SymptomKind kind, const Prediction& prediction)
{
    const auto range = prediction.values.find(kind);
    return range != prediction.values.end() && isNearNothing(kind, range->second)
               ? nearNothing
               : predictedText(kind, prediction);
}

class DiagnosisPage
{
public:
    DiagnosisPage(const Case& input, const Diagnosis& diagnosis,
                  const std::vector<Symptom>& symptoms, const TextStyle& style)
        : input_(input),
          diagnosis_(diagnosis),
          symptoms_(symptoms),
          style_(style),
          page_(style.colour, style.width)
    {
    }

    std::string text();

private:
    void writeObserved();
    void writeAnswer();
    void writeGroup(std::size_t number, const CauseGroup& group);
    void writeGroups();
    void writeNext();
    void writeHow();
    [[nodiscard]] std::string othersText(const NextObservation::Outcome& outcome) const;

    [[nodiscard]] const CauseResult& result(std::size_t i) const { return diagnosis_.results[i]; }

    const Case& input_;
    const Diagnosis& diagnosis_;
    const std::vector<Symptom>& symptoms_;
    const TextStyle& style_;
    TextPage page_;
    std::size_t groupsShown_ = 0;
};

void DiagnosisPage::writeObserved()
{
    page_.heading("Observed");
    if (symptoms_.empty()) {
        page_.paragraph(
            "Nothing yet: the shares below only say how common each cause is (assumed). Add what "
            "you see, hear and measure: --symptom motor=hums, --symptom line-amps-stalled=62.",
            2, 0, Shade::yellow);
    }
    for (const Symptom& symptom : symptoms_) {
        page_.paragraph(fmt::format("{}: {}", symptomInfo(symptom.kind).name, symptomText(symptom)),
                        2, 4);
    }
    if (input_.asFound) {
        page_.paragraph(
            "The wires are those that the case lists as found; of slips of wiring only a loose or "
            "broken wire is looked for (`splitstart wiring` compares them with the right ones).",
            2);
    }
}

void DiagnosisPage::writeAnswer()
{
    if (symptoms_.empty()) {
        return;
    }
    const CauseGroup& first = diagnosis_.groups.front();
    if (diagnosis_.nothingFits) {
        page_.paragraph(
            "[?] Nothing that was simulated fits all that was observed. Check the observations and "
            "the case, or look for two faults at once. What comes nearest:",
            0, 4, Shade::yellow);
    } else if (diagnosis_.decided) {
        const bool one = first.causes.size() == 1;
        page_.paragraph(
            fmt::format(
                "[!!] {} of what was weighed is {}.", percent(first.share),
                one ? "one cause" : "one group of causes that look the same with the supply on"),
            0, 5, Shade::red);
    } else {
        page_.paragraph(fmt::format("[?] Not decided: what fits best has {}. What to look at next "
                                    "is below.",
                                    percent(first.share)),
                        0, 4, Shade::yellow);
    }
}

void DiagnosisPage::writeGroup(std::size_t number, const CauseGroup& group)
{
    constexpr std::size_t mostNamed = 6;
    constexpr double least = 0.02;
    const CauseResult& first = result(group.causes.front());
    page_.paragraph(
        fmt::format("{}. {}{}", number, percent(group.share),
                    group.causes.size() > 1
                        ? fmt::format(": {} causes that look the same with the supply on",
                                      group.causes.size())
                        : std::string()),
        0, 3, Shade::bold);
    std::size_t named = 0;
    double namedShare = 0;
    std::string_view said;  // the cure of the cause before: slips of wiring share theirs
    for (const std::size_t i : group.causes) {
        const CauseResult& each = result(i);
        if (!style_.allChecks &&
            (named == mostNamed || (named > 0 && each.share < least * group.share))) {
            break;
        }
        ++named;
        namedShare += each.share;
        page_.paragraph(fmt::format("- {} ({})", each.cause.what, percent(each.share)), 3, 2);
        if (!each.cause.alsoBy.empty()) {
            page_.paragraph(
                style_.allChecks
                    ? fmt::format("the same connections: {}", fmt::join(each.cause.alsoBy, "; "))
                    : fmt::format("the same connections by {} other slip{}, such as: {}",
                                  each.cause.alsoBy.size(), each.cause.alsoBy.size() > 1 ? "s" : "",
                                  each.cause.alsoBy.front()),
                5, 0);
        }
        if (each.cause.cure != said) {
            page_.paragraph(each.cause.cure, 5, 0);
        }
        said = each.cause.cure;
    }
    if (named < group.causes.size()) {
        page_.paragraph(fmt::format("- and {} more, together {} (--all shows them)",
                                    group.causes.size() - named, percent(group.share - namedShare)),
                        3, 2);
    }
    std::vector<std::string> shows;
    for (const SymptomInfo& info : symptomKinds()) {
        const std::string value = predictedText(info.kind, first.prediction());
        if (info.powered && !value.empty()) {
            shows.push_back(fmt::format("{} {}", info.name, value));
        }
    }
    if (!shows.empty()) {
        const bool otherwise =
            first.variants.front().pressures != input_.compressor.load.pressures &&
            first.variants.size() > 1;
        page_.paragraph(
            fmt::format(
                "expected then{}: {}",
                !otherwise
                    ? std::string()
                    : fmt::format(
                          " (it fits best if the pressures had {}equalised, "
                          "unlike what the case says)",
                          first.variants.front().pressures == Pressures::unequalised ? "not " : ""),
                fmt::join(shows, ", ")),
            3, 2);
    }
    for (const std::size_t i : first.unfitting) {
        const Symptom& symptom = symptoms_[i];
        const std::string value = shownPrediction(symptom.kind, first.prediction());
        page_.paragraph(
            fmt::format("! does not fit: {} {}, expected {}", symptomInfo(symptom.kind).name,
                        symptomText(symptom), value.empty() ? "what is not known" : value),
            3, 2, Shade::yellow);
    }
    if (!group.toldApartBy.empty()) {
        std::vector<std::string_view> names;
        for (const SymptomKind kind : group.toldApartBy) {
            names.push_back(symptomInfo(kind).name);
        }
        page_.paragraph(
            fmt::format("told apart with the supply locked out by: {}", fmt::join(names, ", ")), 3,
            2);
    }
    page_.blank();
}

void DiagnosisPage::writeGroups()
{
    constexpr std::size_t mostGroups = 5;
    constexpr double enough = 0.97;
    page_.heading("What it can be");
    writeAnswer();
    double covered = 0;
    for (const CauseGroup& group : diagnosis_.groups) {
        if (!style_.allChecks && (groupsShown_ == mostGroups || covered > enough)) {
            break;
        }
        writeGroup(++groupsShown_, group);
        covered += group.share;
    }
    if (groupsShown_ < diagnosis_.groups.size()) {
        page_.paragraph(fmt::format("All other causes together: {} (--all shows them).",
                                    percent(std::max(1 - covered, 0.0))));
    }
}

// ", or one of 3 other causes in group 1": of which only the first is named; the group where all of
// them stand in one that is shown.
std::string DiagnosisPage::othersText(const NextObservation::Outcome& outcome) const
{
    const std::size_t others = outcome.causes.size() - 1;
    if (others == 0) {
        return {};
    }
    const auto isOf = [](const CauseGroup& group, std::size_t cause) {
        return std::find(group.causes.begin(), group.causes.end(), cause) != group.causes.end();
    };
    std::string where;
    for (std::size_t i = 0; i < groupsShown_; ++i) {
        const CauseGroup& group = diagnosis_.groups[i];
        if (std::all_of(outcome.causes.begin() + 1, outcome.causes.end(),
                        [&](std::size_t cause) { return isOf(group, cause); })) {
            where = fmt::format(" in group {}", i + 1);
        }
    }
    return others == 1 ? fmt::format(", or one other cause{}", where)
                       : fmt::format(", or one of {} other causes{}", others, where);
}

void DiagnosisPage::writeNext()
{
    page_.blank();
    page_.heading("What to look at next");
    if (!diagnosis_.mayPower) {
        page_.paragraph(
            "No observation with the supply on is asked for: " + diagnosis_.whyNotPower + ".", 2, 2,
            Shade::yellow);
    }
    if (diagnosis_.next.empty()) {
        page_.paragraph("No single observation would say much more.", 2);
    }
    std::size_t number = 0;
    for (const NextObservation& each : diagnosis_.next) {
        const HowToObserve how = howToObserve(each);
        page_.paragraph(fmt::format("{}. {}", ++number,
                                    each.isWires ? "the wires, end by end"
                                                 : std::string(symptomInfo(each.kind).name)),
                        2, 3);
        page_.paragraph(how.how, 5);
        page_.paragraph("! " + how.caution, 5, 2);
        for (const NextObservation::Outcome& outcome : each.outcomes) {
            const CauseResult& likely = result(outcome.causes.front());
            page_.paragraph(fmt::format("{}: {}{}", shownOutcome(each.kind, outcome),
                                        likely.cause.what, othersText(outcome)),
                            7, 2);
        }
    }
}

void DiagnosisPage::writeHow()
{
    page_.blank();
    page_.heading("How this was found");
    page_.paragraph(
        fmt::format("{} causes, {} simulated starts; the rest are shorts or leave the compressor "
                    "without current. Shares weigh the listed causes against one another: one "
                    "fault at a time, how common each is, is assumed (no source). Two faults at "
                    "once and shorted turns are not among them.",
                    diagnosis_.results.size(), diagnosis_.simulated),
        2);
    const auto failed =
        std::count_if(diagnosis_.results.begin(), diagnosis_.results.end(),
                      [](const CauseResult& each) { return !each.simulatorSays().empty(); });
    if (failed > 0) {
        page_.paragraph(
            fmt::format("! {} could not be followed by the simulator and {} not weighed{}", failed,
                        failed > 1 ? "are" : "is", style_.allChecks ? ":" : " (--all shows them)."),
            2, 2, Shade::yellow);
        for (const CauseResult& each : diagnosis_.results) {
            if (style_.allChecks && !each.simulatorSays().empty()) {
                page_.paragraph(fmt::format("- {}: {}", each.cause.what, each.simulatorSays()), 4,
                                2);
            }
        }
    }
    for (const std::string& contradiction : diagnosis_.motor.contradictions) {
        page_.paragraph("! " + contradiction, 2, 2, Shade::yellow);
    }
}

std::string DiagnosisPage::text()
{
    page_.heading(fmt::format("{}{}", input_.name, input_.invented ? " (INVENTED demo data)" : ""));
    page_.paragraph(diagnosis_.circuit.description);
    page_.blank();
    writeObserved();
    page_.blank();
    writeGroups();
    writeNext();
    writeHow();
    page_.blank();
    page_.heading("Before you touch or power anything");
    return page_.text() + cautionsText(style_.width);
}

}  // namespace

std::string symptomsHelp()
{
    TextPage page(false);
    for (const SymptomInfo& info : symptomKinds()) {
        const std::string allowed =
            info.words.empty() ? fmt::format("{}{}", info.unit, info.mayBeOpen ? " or open" : "")
                               : joined(info.words);
        page.paragraph(fmt::format("{}: {} ({})", info.name, info.meaning, allowed), 2, 4);
    }
    return page.text();
}

std::string diagnosisText(const Case& input, const Diagnosis& diagnosis,
                          const std::vector<Symptom>& symptoms, const TextStyle& style)
{
    return DiagnosisPage(input, diagnosis, symptoms, style).text();
}

}  // namespace splitstart
