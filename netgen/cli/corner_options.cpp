#include "cli/corner_options.h"

#include <fmt/format.h>

#include <array>

#include "cli/number_option.h"
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
    addNumber<double>(line, {"line-percent", "PERCENT", rangeOfField("start.line-percent"), 100,
                             "line volts in percent of the rated volts"});
    addNumber<double>(line,
                      {"switch-on-degrees", "DEGREES", rangeOfField("supply.switch-on-degrees"),
                       std::nullopt, "phase of the line at switch-on; left out: as in the case"});
    line.options.add_options()(
        "windings", po::value<std::string>()->default_value("cold")->value_name("cold|hot"),
        "cold, or as hot as after hard running")(
        "parts", po::value<std::string>()->default_value("middle")->value_name("early|middle|late"),
        "end of the parts' tolerances: start circuit leaves early or late")(
        "capacitors",
        po::value<std::string>()
            ->default_value("as-parts")
            ->value_name("upper-end|lower-end|as-parts"),
        "end of the capacitors' tolerances");
    addNumber<double>(
        line,
        {"restart-after-seconds", "S", rangeOfField("start.restart-after-seconds"), std::nullopt,
         "started again that many seconds after it last ran: PTC still warm, start capacitor still "
         "charged"});
}

Corner cornerFrom(const po::variables_map& values, const Case& input)
{
    Corner corner;
    corner.line_ratio = values["line-percent"].as<double>() / 100;
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
        corner.restartAfter_s = values["restart-after-seconds"].as<double>();
    }
    if (values.count("switch-on-degrees") != 0) {
        corner.switchOn_deg = values["switch-on-degrees"].as<double>();
    }
    return corner;
}

}  // namespace splitstart
