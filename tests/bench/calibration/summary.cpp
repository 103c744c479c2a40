#include "calibration/summary.h"

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <map>

namespace splitstart::calibration
{

namespace
{

using Json = nlohmann::json;

constexpr double ninetyPercent = 1.645;

struct Tally {
    int passes = 0;
    int truePasses = 0;
    int fails = 0;
    int trueFails = 0;
    int undecided = 0;
    int undecidedHolds = 0;  // of those, what holds in truth
    int open = 0;            // cannot be judged on the truth

    void count(const std::string& verdict, const std::string& truth)
    {
        if (truth == "open") {
            ++open;
        } else if (verdict == "pass") {
            ++passes;
            truePasses += truth == "pass" ? 1 : 0;
        } else if (verdict == "fail") {
            ++fails;
            trueFails += truth == "fail" ? 1 : 0;
        } else {
            ++undecided;
            undecidedHolds += truth == "pass" ? 1 : 0;
        }
    }
};

std::string share(int part, int whole)
{
    return whole > 0 ? fmt::format("{:5.1f} %", 100.0 * part / whole) : "      -";
}

std::string tallyRow(const std::string& name, const Tally& tally)
{
    const int all = tally.passes + tally.fails + tally.undecided;
    return fmt::format("{:<34}{:6}{:7} {}{:7} {}{:7} {}{:7}{:7}\n", name, all, tally.passes,
                       share(tally.truePasses, tally.passes), tally.fails,
                       share(tally.trueFails, tally.fails), tally.undecided,
                       share(tally.undecided, all), tally.undecidedHolds, tally.open);
}

std::string findingTable(const std::vector<Json>& lines)
{
    Tally whole;
    std::map<std::string, Tally> byCheck;
    std::map<std::string, Tally> byFamily;
    for (const Json& line : lines) {
        for (const Json& finding : line.value("findings", Json::array())) {
            const std::string verdict = finding.at("verdict");
            const std::string truth = finding.at("truth");
            for (Tally* tally :
                 {&whole, &byCheck[finding.at("id")], &byFamily[line.at("machine").at("family")]}) {
                tally->count(verdict, truth);
            }
        }
    }
    std::string text =
        fmt::format("{:<34}{:>6}{:>7} {:>7}{:>7} {:>7}{:>7} {:>7}{:>7}{:>7}\n", "", "all", "pass",
                    "true", "fail", "true", "undec.", "", "hold", "open");
    text += tallyRow("all findings", whole);
    int caseOnly = 0;
    int caseOnlyUndecided = 0;
    for (const Json& line : lines) {
        if (line.contains("case_only")) {
            caseOnly += line.at("case_only").at("all").get<int>();
            caseOnlyUndecided += line.at("case_only").at("undecided").get<int>();
        }
    }
    const int said = whole.passes + whole.fails + whole.undecided + caseOnly;
    text += fmt::format("with those that ask the case only: {} of {} undecided, {}\n",
                        whole.undecided + caseOnlyUndecided, said,
                        share(whole.undecided + caseOnlyUndecided, said));
    Tally given;
    Tally notGiven;
    for (const Json& line : lines) {
        for (const Json& finding : line.value("findings", Json::array())) {
            (line.at("source_given").get<bool>() ? given : notGiven)
                .count(finding.at("verdict"), finding.at("truth"));
        }
    }
    text += tallyRow("supply's impedance given", given);
    text += tallyRow("supply's impedance not given", notGiven);
    for (const auto& [name, tally] : byFamily) {
        text += tallyRow(name, tally);
    }
    for (const auto& [name, tally] : byCheck) {
        text += tallyRow("  " + name, tally);
    }
    return text;
}

// By the share of possible machines in which a finding holds: how often it does in truth.
std::string shareTable(const std::vector<Json>& lines)
{
    constexpr std::array<double, 7> ends = {0.0, 0.05, 0.2, 0.5, 0.8, 0.95, 1.0};
    std::array<int, ends.size()> all{};
    std::array<int, ends.size()> held{};
    for (const Json& line : lines) {
        for (const Json& finding : line.value("findings", Json::array())) {
            const double samples = finding.at("samples");
            if (samples <= 0 || finding.at("truth") == "open") {
                continue;
            }
            const double holds = finding.at("holds").get<double>() / samples;
            std::size_t bin = 0;
            while (holds > ends.at(bin)) {
                ++bin;
            }
            ++all.at(bin);
            held.at(bin) += finding.at("truth") == "pass" ? 1 : 0;
        }
    }
    std::string text = "holds in that share of the possible machines, and in truth:\n";
    for (std::size_t bin = 0; bin < ends.size(); ++bin) {
        text += fmt::format("  up to {:3.0f} %{:7} {}\n", 100 * ends.at(bin), all.at(bin),
                            share(held.at(bin), all.at(bin)));
    }
    return text;
}

std::string parameterTable(const std::vector<Json>& lines)
{
    struct Row {
        int all = 0;
        int within = 0;
        double sum = 0;
        double squares = 0;
        double accuracy = 0;
    };
    std::map<std::string, Row> rows;
    for (const Json& line : lines) {
        for (const Json& parameter : line.value("parameters", Json::array())) {
            // A truth of next to nothing has no logarithm.
            const double deviations = parameter.at("deviations").is_number()
                                          ? parameter.at("deviations").get<double>()
                                          : -99;
            Row& row = rows[parameter.at("name")];
            ++row.all;
            row.within += std::abs(deviations) <= ninetyPercent ? 1 : 0;
            row.sum += deviations;
            row.squares += deviations * deviations;
            row.accuracy += parameter.at("accuracy").get<double>();
        }
    }
    std::string text = fmt::format("{:<50}{:>6} {:>8}{:>8}{:>8}{:>10}\n", "90 % intervals", "all",
                                   "within", "mean z", "rms z", "accuracy");
    for (const auto& [name, row] : rows) {
        text += fmt::format("{:<50}{:6}  {}{:8.2f}{:8.2f}{:8.0f} %\n", name, row.all,
                            share(row.within, row.all), row.sum / row.all,
                            std::sqrt(row.squares / row.all), 100 * row.accuracy / row.all);
    }
    return text;
}

std::string valueText(const Json& finding, const char* value, const char* limit)
{
    return finding.contains(limit)
               ? fmt::format("{} to {:.4g}",
                             finding.contains(value) && finding.at(value).is_number()
                                 ? fmt::format("{:.4g}", finding.at(value).get<double>())
                                 : "beyond",
                             finding.at(limit).get<double>())
               : "-";
}

// Each verdict that is wrong: value to limit as the tool shows them, and in truth.
std::string wrongVerdicts(const std::vector<Json>& lines)
{
    std::string text = "wrong verdicts\n";
    for (const Json& line : lines) {
        for (const Json& finding : line.value("findings", Json::array())) {
            const std::string verdict = finding.at("verdict");
            const std::string truth = finding.at("truth");
            if (verdict == "undecided" || truth == "open" || verdict == truth) {
                continue;
            }
            text += fmt::format(
                "  case {:4} {:<27}{:<31}{}, holds {}/{}: {} ({}); true {} ({})\n",
                line.at("index").get<int>(), line.at("machine").at("family").get<std::string>(),
                finding.at("id").get<std::string>(), verdict, finding.at("holds").get<int>(),
                finding.at("samples").get<int>(), valueText(finding, "value", "limit"),
                finding.at("corner").get<std::string>(),
                valueText(finding, "true_value", "true_limit"),
                finding.at("true_corner").get<std::string>());
        }
    }
    return text;
}

std::string caseTable(const std::vector<Json>& lines)
{
    int judged = 0;
    int alarms = 0;
    int starts = 0;
    double seconds = 0;
    std::map<std::string, int> failures;
    for (const Json& line : lines) {
        seconds += line.value("wall_s", 0.0);
        starts += line.contains("seconds_to_start") && !line.at("seconds_to_start").is_null();
        if (line.contains("failure")) {
            ++failures[line.at("failure").at("kind")];
        }
        if (line.contains("findings")) {
            ++judged;
            alarms += line.at("fits_one_motor").get<bool>() ? 0 : 1;
        }
    }
    const auto all = static_cast<int>(lines.size());
    std::string text = fmt::format(
        "{} cases, {} judged, {} start with the supply as found, {:.1f} s a case\n"
        "figures called contradictory although all are sound: {} of {} ({})\n",
        all, judged, starts, all > 0 ? seconds / all : 0, alarms, judged, share(alarms, judged));
    for (const auto& [kind, count] : failures) {
        text += fmt::format("failure, {}: {}\n", kind, count);
    }
    return text;
}

}  // namespace

std::string summaryText(const std::vector<Json>& lines)
{
    std::map<int, std::vector<Json>> byLevel;
    for (const Json& line : lines) {
        byLevel[line.at("level")].push_back(line);
    }
    std::string text;
    for (const auto& [level, these] : byLevel) {
        text += fmt::format("\n=== level {}: ", level) + caseTable(these) + "\n" +
                findingTable(these) + "\n" + shareTable(these) + "\n" + parameterTable(these) +
                "\n" + wrongVerdicts(these);
    }
    return text;
}

}  // namespace splitstart::calibration
