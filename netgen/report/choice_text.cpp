// Which parts of a stock to fit, for people.
#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "case/capacitor_pair.h"
#include "case/text.h"
#include "rating/decision.h"
#include "report/finding_text.h"
#include "report/number_text.h"
#include "report/part_text.h"
#include "report/report.h"
#include "report/text_page.h"
#include "report/verdict.h"

namespace splitstart
{

namespace
{

constexpr double micro = 1e6;

class ChoicePage
{
public:
    ChoicePage(const Case& input, const Choice& choice, const TextStyle& style)
        : input_(input), choice_(choice), style_(style), page_(style.colour, style.width)
    {
    }

    std::string text();

private:
    [[nodiscard]] const SureChoice* recommended() const
    {
        return choice_.recommended ? &choice_.sure[*choice_.recommended] : nullptr;
    }
    [[nodiscard]] const Candidate& candidateOf(const SureChoice& sure) const
    {
        return choice_.candidates[sure.candidate];
    }
    void writeAnswer();
    void writeParts(const Candidate& candidate);
    void writeSure(const SureChoice& sure);
    void writeEverywhere();
    void writeFinding(const Finding& finding, int indent);
    void writeRanking();
    void writeCandidate(std::size_t index);
    void writeRejections();
    void writeLines();
    void writeBands(const RatingBands& bands);
    void writeRow(const RatingRow& row, bool best);
    void writeNotes();

    const Case& input_;
    const Choice& choice_;
    const TextStyle& style_;
    TextPage page_;
};

const char* markOf(Verdict verdict)
{
    return verdict == Verdict::fail ? "[FAIL]" : verdict == Verdict::undecided ? "[?]" : "[ok]";
}

Shade shadeOf(Verdict verdict)
{
    return verdict == Verdict::fail        ? Shade::red
           : verdict == Verdict::undecided ? Shade::yellow
                                           : Shade::green;
}

// The check that leaves the least, of those that pass and tell one combination from another.
const Finding* narrowest(const std::vector<Finding>& findings)
{
    const Finding* least = nullptr;
    for (const Finding& each : findings) {
        if (each.verdict == Verdict::pass && each.hasValue && std::isfinite(relativeMargin(each)) &&
            (least == nullptr || relativeMargin(each) < relativeMargin(*least))) {
            least = &each;
        }
    }
    return least;
}

void ChoicePage::writeFinding(const Finding& finding, int indent)
{
    const Check& check = *finding.check;
    page_.paragraph(fmt::format("{} {}: {}", markOf(finding.verdict), check.id, check.meaning),
                    indent, 2, shadeOf(finding.verdict));
    const std::string found = findingText(finding);
    if (!found.empty()) {
        page_.paragraph(found, indent + 4, 2);
    }
    if (!finding.because.empty()) {
        page_.paragraph("Undecided: " + finding.because, indent + 4, 2);
    }
    if (finding.verdict != Verdict::pass) {
        page_.paragraph("To do: " + std::string(check.remedy), indent + 4, 2);
    }
}

void ChoicePage::writeParts(const Candidate& candidate)
{
    const Case with = caseOf(choice_.input, candidate.combination);
    for (const StockPlace place : stockPlaces) {
        const std::string& id = candidate.combination.choice.*stockPlaceId(place);
        const CatalogPart* const part = with.parts.find(id);
        if (part == nullptr) {
            continue;
        }
        page_.paragraph(fmt::format("{}: {} ({})", partWords(std::string(stockPlaceName(place))),
                                    id, ratingText(part->data)),
                        2, 4);
        const auto* const start = std::get_if<StartCapacitor>(&part->data);
        if (start != nullptr && start->pair) {
            page_.paragraph(fmt::format("These are two parts, {}: {}.", pairWords(*start->pair),
                                        pairWiring(*start->pair)),
                            4, 2);
        }
    }
}

// "so in all 60 machines ..." of the whole study: its least sure check.
void ChoicePage::writeSure(const SureChoice& sure)
{
    const VerdictCounts counts = verdictCounts(sure.study.motor, sure.study.findings);
    const Finding* least = nullptr;
    std::size_t machines = 0;
    for (const Finding& each : sure.study.findings) {
        machines = std::max(machines, each.lookedAt);
        if (each.verdict == Verdict::pass && each.samples > 0 &&
            (least == nullptr || each.holds * least->samples < least->holds * each.samples)) {
            least = &each;
        }
    }
    std::string text = fmt::format("How sure: {} checks pass, {} fail, {} undecided", counts.pass,
                                   counts.fail, counts.undecided);
    if (machines == 0) {
        text += "; the motor is given in full, so its checks hold at both ends of the tolerances";
    } else {
        text += fmt::format(", judged over {} possible machines", machines);
    }
    if (least != nullptr && least->holds < least->samples) {
        text += fmt::format("; the least sure, {}, holds in {} of {}", least->check->id,
                            least->holds, countedMachinesText(*least));
    }
    page_.paragraph(text + ".", 2, 2);
    const Finding* const narrow = narrowest(sure.study.findings);
    if (narrow != nullptr && counts.fail + counts.undecided == 0) {
        page_.paragraph(
            fmt::format("Least to spare: {}: {}.", narrow->check->id, findingText(*narrow)), 2, 2);
    }
}

void ChoicePage::writeAnswer()
{
    const SureChoice* const best = recommended();
    const bool unsafe = choice_.motor.health.safe.answer == EnergiseAnswer::no;
    if (unsafe) {
        page_.paragraph("DO NOT ENERGISE. " + choice_.motor.health.safe.why +
                            " No start part cures that. The rest is what the parts would do.",
                        0, 2, Shade::red);
    }
    if (choice_.candidates.empty()) {
        std::vector<std::string_view> names;
        for (const StockPlace place : choice_.offer.empty) {
            names.push_back(stockPlaceName(place));
        }
        page_.paragraph(fmt::format("NOTHING IN STOCK IS FIT: the stock holds no {} that this "
                                    "circuit has a place for.",
                                    fmt::join(names, " and no ")),
                        0, 2, Shade::red);
        return;
    }
    if (best == nullptr) {
        page_.paragraph(
            choice_.motorKnown
                ? "NOTHING IN STOCK IS FIT: no combination got as far as a simulated start."
                : "NOT DECIDED: the figures given do not fit one motor, so no part can be judged "
                  "for it. Measure again first.",
            0, 2, Shade::red);
        return;
    }
    const Candidate& candidate = candidateOf(*best);
    const std::string& name = candidate.rank.name;
    if (best->outcome == Outcome::pass && isFit(choice_)) {
        page_.paragraph("FIT: " + name, 0, 2, Shade::green);
    } else if (best->outcome == Outcome::pass) {
        page_.paragraph(fmt::format("{} suit as far as start parts go, BUT IT IS NOT FIT TO RUN "
                                    "YET: see below what fails or is open whatever is fitted.",
                                    name),
                        0, 2, Shade::yellow);
    } else if (best->outcome == Outcome::undecided) {
        page_.paragraph(
            fmt::format("NOT DECIDED: nothing in stock is fit for certain. Nearest: {}", name), 0,
            2, Shade::yellow);
    } else {
        page_.paragraph(
            fmt::format("NOTHING IN STOCK IS FIT. Do not run it with any of these parts. Nearest: "
                        "{}",
                        name),
            0, 2, Shade::red);
    }
    writeParts(candidate);
    writeSure(*best);
    for (const SureChoice& tried : choice_.sure) {
        if (&tried != best) {
            page_.paragraph(
                fmt::format("Judged in the same way: {}: {}.", candidateOf(tried).rank.name,
                            tried.outcome == Outcome::pass ? "it passes too"
                            : tried.outcome == Outcome::undecided
                                ? "undecided over what is possible"
                                : "it fails"),
                2, 2);
        }
    }
    if (best->outcome != Outcome::pass) {
        for (const Finding& each : best->study.findings) {
            const bool everywhere =
                std::any_of(choice_.everywhere.begin(), choice_.everywhere.end(),
                            [&each](const Finding& other) { return other.check == each.check; });
            if (each.verdict != Verdict::pass && !everywhere) {
                writeFinding(each, 2);
            }
        }
    }
}

void ChoicePage::writeEverywhere()
{
    if (choice_.everywhere.empty()) {
        return;
    }
    page_.blank();
    page_.heading("What fails or is open whatever is fitted");
    page_.paragraph("Not the stock's doing. The combinations are ranked by all other checks.");
    for (const Finding& each : choice_.everywhere) {
        writeFinding(each, 2);
    }
}

void ChoicePage::writeCandidate(std::size_t index)
{
    const Candidate& candidate = choice_.candidates[index];
    const Rank& rank = candidate.rank;
    const char* word = rank.outcome == Outcome::pass        ? "[ok]"
                       : rank.outcome == Outcome::undecided ? "[?]"
                                                            : "[FAIL]";
    page_.paragraph(fmt::format("{}. {} {}", index + 1, word, rank.name), 2, 4,
                    rank.outcome == Outcome::pass        ? Shade::green
                    : rank.outcome == Outcome::undecided ? Shade::yellow
                                                         : Shade::red);
    if (!candidate.notSimulated.empty()) {
        page_.paragraph("not judged: " + candidate.notSimulated, 6, 2);
        return;
    }
    if (rank.outcome == Outcome::pass) {
        const std::string spare =
            rank.margins_percent.empty()
                ? std::string()
                : fmt::format("worst margin {} % of its limit, ", rank.margins_percent.front());
        page_.paragraph(fmt::format("{}{} at standstill at the lowest line, hot", spare,
                                    withUnit(rank.startingTorque_Nm, "N m")),
                        6, 2);
        return;
    }
    std::vector<std::string_view> failing;
    for (const Finding& each : candidate.findings) {
        const bool everywhere =
            std::any_of(choice_.everywhere.begin(), choice_.everywhere.end(),
                        [&each](const Finding& other) { return other.check == each.check; });
        const bool counts = rank.outcome == Outcome::fail ? each.verdict == Verdict::fail
                                                          : each.verdict != Verdict::pass;
        if (counts && !everywhere) {
            failing.push_back(each.check->id);
        }
    }
    page_.paragraph(fmt::format("{}: {}", rank.outcome == Outcome::fail ? "fails" : "open",
                                fmt::join(failing, ", ")),
                    6, 2);
}

void ChoicePage::writeRanking()
{
    if (choice_.candidates.empty()) {
        return;
    }
    constexpr std::size_t usual = 5;
    const std::size_t all = choice_.candidates.size();
    const std::size_t shown = style_.allChecks ? all : std::min(all, usual);
    const auto passing = static_cast<std::size_t>(
        std::count_if(choice_.candidates.begin(), choice_.candidates.end(),
                      [](const Candidate& each) { return each.rank.outcome == Outcome::pass; }));
    page_.blank();
    page_.heading("The combinations, best first");
    page_.paragraph(fmt::format(
        "{} of {} pass with the best estimate of the motor and the parts at both ends of their "
        "tolerances. By worst margin, then starting torque, then fewer parts and what else is to "
        "spare.",
        passing, all));
    for (std::size_t i = 0; i < shown; ++i) {
        writeCandidate(i);
    }
    if (shown < all) {
        page_.paragraph(fmt::format("{} more; --all shows them.", all - shown), 2);
    }
}

void ChoicePage::writeRejections()
{
    if (!choice_.rejections.empty()) {
        page_.blank();
        page_.heading("Why the others are out");
        for (const Rejection& each : choice_.rejections) {
            const Candidate& candidate = choice_.candidates[each.candidate];
            page_.paragraph(fmt::format("{}, at its best in {}:", each.part, candidate.rank.name),
                            2, 2, Shade::bold);
            if (each.finding.check != nullptr) {
                writeFinding(each.finding, 4);
            } else {
                page_.paragraph(candidate.notSimulated.empty()
                                    ? "passes with the best estimate, but not over all that is "
                                      "possible"
                                    : "not judged: " + candidate.notSimulated,
                                4, 2);
            }
        }
    }
    if (!choice_.offer.unused.empty()) {
        page_.blank();
        page_.heading("Not used");
        std::map<std::string, std::vector<std::string>> byReason;
        for (const UnusedPart& each : choice_.offer.unused) {
            byReason[each.why].push_back(each.id);
        }
        for (const auto& [why, ids] : byReason) {
            page_.paragraph(fmt::format("{}: {}", fmt::join(ids, ", "), why), 2, 2);
        }
    }
}

void ChoicePage::writeLines()
{
    const SureChoice* const best = recommended();
    if (best == nullptr || best->outcome != Outcome::pass) {
        return;
    }
    page_.blank();
    page_.heading("To paste into the case");
    const Combination& combination = candidateOf(*best).combination;
    for (const std::string& line : caseLines(combination)) {
        page_.line("  " + line);
    }
    if (combination.pair) {
        page_.paragraph("The pair goes into <parts>, beside the two parts that it names.", 2);
    }
    std::vector<std::string> missing;
    for (const std::string& id : partsOf(combination)) {
        if (input_.parts.find(id) == nullptr) {
            missing.push_back(id);
        }
    }
    if (!missing.empty()) {
        page_.paragraph(
            fmt::format("The case's own parts list lacks {}: name the stock file there, "
                        "or copy the lines.",
                        fmt::join(missing, ", ")),
            2);
    }
    const CircuitChoice& old = *input_.circuit;
    const bool capacitorsStay =
        equalIgnoringCase(old.startCapacitor, combination.choice.startCapacitor) &&
        equalIgnoringCase(old.runCapacitor, combination.choice.runCapacitor);
    if (!capacitorsStay && !input_.compressor.measurements.empty() &&
        !input_.compressor.equivalentCircuit) {
        page_.paragraph(
            "What the case says was measured was measured with the old capacitors: once the new "
            "ones are in the case, measure again, or take those lines out.",
            2);
    }
}

void ChoicePage::writeRow(const RatingRow& row, bool best)
{
    std::string head = "start device";
    if (row.capacitance_F) {
        const std::string volts =
            row.printed_V > 0 ? fmt::format("{:.0f} V or more (it sees {})", row.printed_V,
                                            withUnit(row.seen_V, "V"))
                              : fmt::format("at least {}, more than such capacitors are made for",
                                            withUnit(row.seen_V, "V"));
        head = fmt::format("start capacitor {:.0f} to {:.0f} uF, {}",
                           row.capacitance_F->minimum * micro, row.capacitance_F->maximum * micro,
                           volts);
    }
    if (!row.onShelf.empty()) {
        head += fmt::format(" [this print in stock: {}]", fmt::join(row.onShelf, ", "));
    }
    page_.paragraph((best ? "* " : "- ") + head, 2, 2, best ? Shade::bold : Shade::plain);
    if (const auto& need = row.device.potential) {
        page_.paragraph(
            fmt::format("potential relay: every pick-up between {} and {}, drop-out at most {}, "
                        "coil for {} or more for ever, contact for {} or more",
                        withUnit(need->lowestPickUp_V, "V"), withUnit(need->highestPickUp_V, "V"),
                        withUnit(need->highestDropOut_V, "V"),
                        withUnit(need->coilContinuous_V, "V"), withUnit(row.device.contact_A, "A")),
            6, 2);
    }
    if (const auto& need = row.device.current) {
        page_.paragraph(
            fmt::format("current relay: every pull-in between {} and {}, every drop-out between {} "
                        "and {}, coil for {} or more for ever, contact for {} or more",
                        withUnit(need->lowestPullIn_A, "A"), withUnit(need->highestPullIn_A, "A"),
                        withUnit(need->lowestDropOut_A, "A"),
                        withUnit(std::min(need->highestDropOut_A, need->highestPullIn_A), "A"),
                        withUnit(need->coilContinuous_A, "A"), withUnit(row.device.contact_A, "A")),
            6, 2);
    }
}

void ChoicePage::writeBands(const RatingBands& bands)
{
    page_.blank();
    page_.heading("What to ask the supply house for");
    page_.paragraph(bands.circuit);
    page_.paragraph(
        "Worked out with the best estimate of the motor, the other parts as good as can be, from "
        "the same comparisons as the checks.");
    if (bands.run) {
        const RunCapacitorNeed& run = *bands.run;
        std::string text = fmt::format("run capacitor: {} uF{}", shortNumber(run.used_F * micro),
                                       run.ofCase ? ", as the case has it" : "");
        if (run.nominal_F.maximum > 0) {
            text += fmt::format(" (usual values from {} to {} uF within 5 % pass at held speeds)",
                                shortNumber(run.nominal_F.minimum * micro),
                                shortNumber(run.nominal_F.maximum * micro));
        }
        if (run.least_V > 0) {
            text += fmt::format(", {} or more", withUnit(run.least_V, "V"));
        }
        page_.paragraph(text, 2, 2);
    }
    if (!bands.deviceId.empty()) {
        page_.paragraph(fmt::format("start device: {}; no band is worked out for its kind, or it "
                                    "is kept",
                                    bands.deviceId),
                        2, 2);
    }
    for (std::size_t i = 0; i < bands.rows.size(); ++i) {
        writeRow(bands.rows[i], bands.best == i);
    }
    if (bands.best && bands.proof) {
        page_.paragraph(
            fmt::format("*: the widest margins. Parts from the middle of its bands, judged as "
                        "`check` judges any: {}.",
                        *bands.proof == Outcome::pass        ? "they pass"
                        : *bands.proof == Outcome::undecided ? "undecided over what is possible"
                                                             : "they fail over what is possible"),
            2, 2);
    }
    if (!bands.rows.empty()) {
        return;
    }
    page_.paragraph("No rating of these parts would do.", 2, 2, Shade::red);
    if (bands.nearest) {
        if (bands.nearest->capacitance_F) {
            page_.paragraph(fmt::format("The nearest, with a start capacitor of {:.0f} to {:.0f} "
                                        "uF:",
                                        bands.nearest->capacitance_F->minimum * micro,
                                        bands.nearest->capacitance_F->maximum * micro),
                            2, 2);
        }
        if (!bands.nearest->why.empty()) {
            page_.paragraph(bands.nearest->why, 4, 2);
        }
        if (bands.nearest->failing.check != nullptr) {
            writeFinding(bands.nearest->failing, 4);
        }
    }
}

void ChoicePage::writeNotes()
{
    std::vector<std::string> notes = choice_.notes;
    const SureChoice* const best = recommended();
    const std::vector<std::string>& more =
        best != nullptr ? best->study.motor.notes : choice_.motor.notes;
    notes.insert(notes.end(), more.begin(), more.end());
    if (notes.empty()) {
        return;
    }
    page_.blank();
    page_.heading("What was assumed");
    for (const std::string& note : notes) {
        page_.paragraph("- " + note, 2, 2);
    }
}

std::string ChoicePage::text()
{
    page_.heading(fmt::format("{}{}", input_.name, input_.invented ? " (INVENTED demo data)" : ""));
    const Circuit& circuit =
        choice_.candidates.empty()
            ? choice_.offer.shapes.front().circuit
            : choice_.offer.shapes[choice_.candidates.front().combination.shape].circuit;
    page_.paragraph(fmt::format("{}: {}", circuit.type, circuit.description));
    page_.blank();
    writeAnswer();
    writeEverywhere();
    writeLines();
    writeRanking();
    writeRejections();
    for (const RatingBands& bands : choice_.bands) {
        writeBands(bands);
    }
    writeNotes();
    page_.blank();
    page_.heading("Before you touch or power anything");
    return page_.text() + cautionsText(style_.width);
}

}  // namespace

std::string choiceText(const Case& input, const Choice& choice, const TextStyle& style)
{
    return ChoicePage(input, choice, style).text();
}

}  // namespace splitstart
