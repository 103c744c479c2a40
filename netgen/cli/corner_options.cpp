#include "cli/corner_options.h"

#include <fmt/format.h>

#include <array>

#include "study/corners.h"

namespace splitstart
{

namespace po = boost::program_options;

namespace
{

template <typename Value, std::size_t count>
Value chosen(const po::variables_map& values, const char* option,
             const std::array<std::pair<const char*, Value>, count>& choices)
{
    const auto& text = values[option].as<std::string>();
    std::string allowed;
    for (const auto& [name, value] : choices) {
        if (text == name) {
            return value;
        }
        allowed += allowed.empty() ? name : std::string(" or ") + name;
    }
    throw UsageError(fmt::format("--{}: found \"{}\"; allowed: {}", option, text, allowed));
}

}  // namespace

void addCornerOptions(CommandLine& line)
{
    line.options.add_options()("line-percent",
                               po::value<double>()->default_value(100)->value_name("PERCENT"),
                               "line volts in percent of the rated volts")(
        "switch-on-degrees", po::value<double>()->value_name("DEGREES"),
        "phase of the line at switch-on (as in the case)")(
        "windings", po::value<std::string>()->default_value("cold")->value_name("cold|hot"),
        "cold, or as hot as after hard running")(
        "parts", po::value<std::string>()->default_value("middle")->value_name("early|middle|late"),
        "end of the parts' tolerances: start circuit leaves early or late")(
        "capacitors",
        po::value<std::string>()
            ->default_value("as-parts")
            ->value_name("upper-end|lower-end|as-parts"),
        "end of the capacitors' tolerances")("restart-after-seconds",
                                             po::value<double>()->value_name("S"),
                                             "started again that long after it last ran: PTC still "
                                             "warm, start capacitor still charged");
}

Corner cornerFrom(const po::variables_map& values, const Case& input)
{
    const double line_percent = values["line-percent"].as<double>();
    if (!(line_percent >= 50 && line_percent <= 130)) {
        throw UsageError(fmt::format("--line-percent: found {}; allowed: 50 to 130", line_percent));
    }
    Corner corner;
    corner.line_ratio = line_percent / 100;
    corner.winding_degC =
        chosen<double>(values, "windings",
                       std::array<std::pair<const char*, double>, 2>{
                           {{"cold", coldWinding_degC}, {"hot", hotWinding_degC(input)}}});
    corner.release = chosen<Release>(
        values, "parts",
        std::array<std::pair<const char*, Release>, 3>{
            {{"early", Release::early}, {"middle", Release::middle}, {"late", Release::late}}});
    corner.pressures = input.compressor.load.pressures;
    const auto& capacitors = values["capacitors"].as<std::string>();
    if (capacitors != "as-parts") {
        corner.capacitors =
            chosen<Release>(values, "capacitors",
                            std::array<std::pair<const char*, Release>, 2>{
                                {{"upper-end", Release::early}, {"lower-end", Release::late}}});
    }
    if (values.count("restart-after-seconds") != 0) {
        const double off_s = values["restart-after-seconds"].as<double>();
        if (!(off_s >= 0 && off_s <= 86400)) {
            throw UsageError(
                fmt::format("--restart-after-seconds: found {}; allowed: 0 to 86400", off_s));
        }
        corner.restartAfter_s = off_s;
    }
    if (values.count("switch-on-degrees") != 0) {
        const double phase_deg = values["switch-on-degrees"].as<double>();
        if (!(phase_deg >= 0 && phase_deg <= 360)) {
            throw UsageError(
                fmt::format("--switch-on-degrees: found {}; allowed: 0 to 360", phase_deg));
        }
        corner.switchOn_deg = phase_deg;
    }
    return corner;
}

}  // namespace splitstart
