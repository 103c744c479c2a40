#include "report/parts_section.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "circuit/case_circuit.h"
#include "rating/decision.h"
#include "report/finding_text.h"
#include "report/html_page.h"
#include "report/number_text.h"
#include "report/part_text.h"

namespace splitstart
{

namespace
{

constexpr int barLength = 180;
constexpr int barHeight = 22;
// The limit stands here, so that what is beyond it has room.
constexpr int limitAt = 126;

// Whether the value has to be at least its limit: its margin says.
bool hasToBeAtLeast(const Finding& finding)
{
    return (finding.value - finding.limit) * finding.margin > 0;
}

// Where value over limit lies in nine of ten possible machines.
std::optional<Range> spreadOf(const std::vector<SampleReading>& readings)
{
    constexpr std::size_t fewest = 20;
    constexpr double tail = 0.05;
    std::vector<double> shares;
    for (const SampleReading& reading : readings) {
        if (reading.clear && !reading.worst.beyond && reading.worst.limit > 0) {
            shares.push_back(reading.worst.value / reading.worst.limit);
        }
    }
    if (shares.size() < fewest) {
        return std::nullopt;
    }
    std::sort(shares.begin(), shares.end());
    const auto last = static_cast<double>(shares.size() - 1);
    return Range{shares[static_cast<std::size_t>(tail * last)],
                 shares[static_cast<std::size_t>(std::ceil((1 - tail) * last))]};
}

double placeOf(double share)
{
    return std::clamp(share * limitAt, 1.0, static_cast<double>(barLength) - 1);
}

// The value as a share of its limit. A bar that is only outlined may not end before the limit; a
// full one may not end beyond it.
void addBar(pugi::xml_node cell, const Finding& finding, const std::optional<Range>& spread)
{
    const double share = finding.value / finding.limit;
    const bool least = hasToBeAtLeast(finding);
    pugi::xml_node svg = cell.append_child("svg");
    svg.append_attribute("viewBox") = fmt::format("0 0 {} {}", barLength, barHeight).c_str();
    svg.append_attribute("width") = barLength;
    svg.append_attribute("height") = barHeight;
    svg.append_attribute("class") = "bar";
    svg.append_attribute("role") = "img";
    svg.append_attribute("aria-label") =
        fmt::format("{:.0f} % of the limit, {}{}", share * 100,
                    least ? "which it has to reach" : "which it must not pass",
                    spread ? fmt::format("; in nine of ten possible machines {:.0f} to {:.0f} %",
                                         spread->minimum * 100, spread->maximum * 100)
                           : std::string())
            .c_str();
    pugi::xml_node bar = svg.append_child("rect");
    bar.append_attribute("x") = 1;
    bar.append_attribute("y") = 5;
    bar.append_attribute("width") = fmt::format("{:.1f}", placeOf(share)).c_str();
    bar.append_attribute("height") = barHeight - 10;
    bar.append_attribute("fill") = least ? "#ffffff" : "#9a9a9a";
    bar.append_attribute("stroke") = "#1a1a1a";
    const auto addStroke = [&svg](const std::string& data, const char* name, const char* width) {
        pugi::xml_node path = svg.append_child("path");
        path.append_attribute("d") = data.c_str();
        path.append_attribute("class") = name;
        path.append_attribute("stroke") = "#1a1a1a";
        path.append_attribute("stroke-width") = width;
    };
    addStroke(fmt::format("M{} 0V{}", limitAt, barHeight), "limit", "3");
    if (spread) {
        const double from = placeOf(spread->minimum);
        const double to = placeOf(spread->maximum);
        addStroke(fmt::format("M{0:.1f} 7V15M{0:.1f} 11H{1:.1f}M{1:.1f} 7V15", from, to), "spread",
                  "1");
    }
}

bool hasBar(const Finding& finding)
{
    return finding.hasValue && finding.hasLimit && !finding.check->unit.empty() &&
           finding.limit > 0 && finding.value >= 0;
}

void addVerdictWord(pugi::xml_node cell, Verdict verdict)
{
    addElement(cell, "span",
               verdict == Verdict::pass   ? "passes"
               : verdict == Verdict::fail ? "FAILS"
                                          : "undecided",
               verdict == Verdict::pass   ? "word-pass"
               : verdict == Verdict::fail ? "word-fail"
                                          : "word-undecided");
}

void addCheck(pugi::xml_node list, const Finding& finding,
              const std::vector<SampleReading>& readings)
{
    const Check& check = *finding.check;
    pugi::xml_node entry = addElement(list, "li", {}, "check");
    entry.append_attribute("data-check") = std::string(check.id).c_str();
    pugi::xml_node asked = entry.append_child("div");
    addElement(asked, "div", check.meaning);
    addElement(asked, "div", std::string(check.id), "quiet");
    addVerdictWord(entry.append_child("div"), finding.verdict);
    pugi::xml_node numbers = entry.append_child("div");
    const std::string found = findingText(finding);
    if (!found.empty()) {
        addElement(numbers, "div", found);
    }
    if (!finding.because.empty()) {
        addElement(numbers, "div", finding.because);
    } else if (finding.samples > 0) {
        addElement(numbers, "div",
                   finding.holds + finding.fails == finding.samples
                       ? fmt::format("holds in {} and fails in {} of {}", finding.holds,
                                     finding.fails, countedMachinesText(finding))
                       : fmt::format("holds in {}, fails in {}, cannot be judged in {} of {}",
                                     finding.holds, finding.fails,
                                     finding.samples - finding.holds - finding.fails,
                                     countedMachinesText(finding)),
                   "quiet");
    }
    pugi::xml_node bar = entry.append_child("div");
    if (hasBar(finding)) {
        addBar(bar, finding, spreadOf(readings));
    }
}

// Name and label of the part that a check's `part` means.
struct PartWords {
    std::string name;
    std::string rating;
};

PartWords wordsOf(const Case& input, const CheckStudy& study, const std::string& id)
{
    PartWords words{partWords(id), ""};
    const CircuitPart* part = study.circuit.find(id);
    std::optional<PartKind> kind;
    if (part != nullptr) {
        kind = part->kind;
    } else if (id == "start-device" || id == "relay") {
        kind = startDeviceOf(study.circuit);
    } else if (id == "protector") {
        kind = PartKind::protector;  // inside the shell it has no wires
    }
    if (kind) {
        words.name = std::string(partKindInfo(*kind).words);
        if (const CatalogPart* const entry = catalogPartOf(input, *kind)) {
            words.name += fmt::format(": {}", entry->id);
            words.rating = ratingText(entry->data);
            if (!entry->description.empty()) {
                words.rating += fmt::format(" ({})", entry->description);
            }
        }
    }
    return words;
}

}  // namespace

void addPartsSection(pugi::xml_node section, const Case& input, const CheckStudy& study)
{
    addElement(
        section, "p",
        "Each line is one check at the corner of line volts, winding temperature and "
        "tolerances where it is worst. The thick mark in a bar is the limit: a grey bar "
        "must end before it, a white bar has to reach it. A thin line with two ends is where "
        "it lies in nine of ten possible machines.");
    // Checks of one part stand together, whatever they call it.
    std::vector<std::pair<PartWords, std::vector<std::size_t>>> parts;
    for (std::size_t i = 0; i < study.findings.size(); ++i) {
        const Finding& finding = study.findings[i];
        const PartWords words = wordsOf(input, study, std::string(finding.check->part));
        auto part = std::find_if(parts.begin(), parts.end(), [&words](const auto& each) {
            return each.first.name == words.name;
        });
        if (part == parts.end()) {
            part = parts.insert(parts.end(), {words, {}});
        }
        part->second.push_back(i);
    }
    for (const auto& [words, findings] : parts) {
        addElement(section, "h3", words.name);
        if (!words.rating.empty()) {
            addElement(section, "p", words.rating);
        }
        pugi::xml_node list = addElement(section, "ul", {}, "checks");
        list.append_attribute("aria-label") = ("Checks of: " + words.name).c_str();
        for (const std::size_t i : findings) {
            addCheck(list, study.findings[i],
                     i < study.readings.size() ? study.readings[i] : std::vector<SampleReading>());
        }
    }
}

}  // namespace splitstart
