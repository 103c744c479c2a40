#include "case/reading_rules.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "case/text.h"

namespace splitstart
{

namespace
{

constexpr std::string_view shell = "shell";
constexpr std::string_view field = "reading/between";
constexpr std::size_t threePins = 3;

std::string pairText(const WindingReading& reading)
{
    return reading.pinA + " " + reading.pinB;
}

bool isToShell(const WindingReading& reading)
{
    return reading.pinB == shell;
}

bool isPair(const WindingReading& reading, const std::string& a, const std::string& b)
{
    return (reading.pinA == a && reading.pinB == b) || (reading.pinA == b && reading.pinB == a);
}

std::vector<std::string> pinLabels(const std::vector<WindingReading>& readings)
{
    std::vector<std::string> labels;
    for (const WindingReading& reading : readings) {
        for (const std::string& label : {reading.pinA, reading.pinB}) {
            const bool known = std::find(labels.begin(), labels.end(), label) != labels.end();
            if (!isToShell(reading) && !known) {
                labels.push_back(label);
            }
        }
    }
    return labels;
}

void checkEach(const std::vector<WindingReading>& readings, std::vector<InputProblem>& problems)
{
    for (auto reading = readings.begin(); reading != readings.end(); ++reading) {
        if (reading->pinA == reading->pinB) {
            problems.push_back({reading->place,
                                std::string(field),
                                pairText(*reading),
                                "two different labels",
                                {},
                                {}});
            continue;
        }
        const auto first = std::find_if(readings.begin(), reading, [&](const auto& earlier) {
            return isPair(earlier, reading->pinA, reading->pinB);
        });
        if (first == reading) {
            continue;
        }
        const std::string hint =
            first->place.line > 0 ? fmt::format("The first is in line {}.", first->place.line) : "";
        problems.push_back({reading->place,
                            std::string(field),
                            pairText(*reading),
                            "each pair of pins once",
                            hint,
                            {}});
    }
}

void checkPairs(const std::vector<WindingReading>& readings, const std::vector<std::string>& labels,
                const SourcePlace& place, std::vector<InputProblem>& problems)
{
    for (std::size_t i = 0; i < labels.size(); ++i) {
        for (std::size_t j = i + 1; j < labels.size(); ++j) {
            const bool there =
                std::any_of(readings.begin(), readings.end(), [&](const WindingReading& reading) {
                    return isPair(reading, labels[i], labels[j]);
                });
            if (!there) {
                problems.push_back(
                    {place,
                     "readings",
                     {},
                     "a reading for each of the three pairs of pins",
                     {},
                     fmt::format("no reading between \"{}\" and \"{}\"", labels[i], labels[j])});
            }
        }
    }
    for (const WindingReading& reading : readings) {
        const bool known = std::find(labels.begin(), labels.end(), reading.pinA) != labels.end();
        if (isToShell(reading) && reading.pinA != reading.pinB && !known) {
            problems.push_back(
                {reading.place,
                 std::string(field),
                 pairText(reading),
                 fmt::format("one of the pins {} and \"shell\"", fmt::join(labels, ", ")),
                 {},
                 {}});
        }
    }
}

}  // namespace

bool isPinLabel(std::string_view text)
{
    constexpr std::size_t longest = 12;
    const std::size_t length = characterCount(text);
    if (length == 0 || length > longest || hasControl(text)) {
        return false;
    }
    for (std::size_t offset = 0; offset < text.size();) {
        const CodePoint character = firstCodePoint(text.substr(offset));
        if (isBlank(character.value)) {
            return false;
        }
        offset += character.length;
    }
    return !equalIgnoringCase(text, shell);
}

std::optional<std::pair<std::string, std::string>> splitPins(std::string_view text)
{
    const std::size_t blank = text.find(' ');
    if (blank == std::string_view::npos) {
        return std::nullopt;
    }
    std::string a(text.substr(0, blank));
    const std::size_t next = text.find_first_not_of(' ', blank);
    std::string b(next == std::string_view::npos ? std::string_view() : text.substr(next));
    if (equalIgnoringCase(a, shell)) {
        std::swap(a, b);
    }
    if (equalIgnoringCase(b, shell)) {
        b = shell;
    } else if (!isPinLabel(b)) {
        return std::nullopt;
    }
    return isPinLabel(a) ? std::optional(std::pair(a, b)) : std::nullopt;
}

std::vector<InputProblem> readingProblems(const std::vector<WindingReading>& readings,
                                          const SourcePlace& place)
{
    std::vector<InputProblem> problems;
    checkEach(readings, problems);
    const std::vector<std::string> labels = pinLabels(readings);
    if (labels.size() != threePins) {
        problems.push_back(
            {place,
             "readings",
             {},
             "readings between exactly three different pins",
             labels.size() > threePins ? "Capital and small letters are different labels." : "",
             fmt::format("the readings name {} pins: {}", labels.size(),
                         shortText(fmt::format("{}", fmt::join(labels, ", "))))});
        return problems;
    }
    checkPairs(readings, labels, place, problems);
    return problems;
}

std::vector<PinsObjection> pinsObjections(const KnownPins& pins,
                                          const std::vector<WindingReading>& readings)
{
    struct Named {
        std::string_view attribute;
        const std::string* label;
    };
    const std::array<Named, threePins> all{
        {{"common", &pins.common}, {"start", &pins.start}, {"run", &pins.run}}};
    const std::vector<std::string> labels = pinLabels(readings);
    std::vector<PinsObjection> objections;
    for (auto named = all.begin(); named != all.end(); ++named) {
        const std::string& label = *named->label;
        const auto first = std::find_if(
            all.begin(), named, [&label](const Named& other) { return *other.label == label; });
        if (first != named) {
            objections.push_back(
                {named->attribute,
                 label,
                 fmt::format("another pin than {}, which is \"{}\"", first->attribute, label),
                 {}});
        } else if (labels.size() == threePins &&
                   std::find(labels.begin(), labels.end(), label) == labels.end()) {
            const bool otherCase = std::any_of(
                labels.begin(), labels.end(),
                [&label](const std::string& read) { return equalIgnoringCase(read, label); });
            objections.push_back(
                {named->attribute, label,
                 fmt::format("one of the pins of the readings: {}", fmt::join(labels, ", ")),
                 otherCase ? "Capital and small letters are different labels." : ""});
        }
    }
    return objections;
}

}  // namespace splitstart
