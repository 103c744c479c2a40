#include <fmt/format.h>

#include <filesystem>
#include <optional>

#include "case/reader.h"
#include "case/text.h"
#include "cli/command.h"
#include "cli/number_option.h"
#include "cli/progress_bar.h"
#include "cli/sampling_options.h"
#include "report/report.h"
#include "study/choice.h"

namespace splitstart
{

namespace po = boost::program_options;

namespace
{

std::set<StockPlace> keptFrom(const po::variables_map& values, const Case& input)
{
    std::set<StockPlace> kept;
    if (values.count("keep") == 0) {
        return kept;
    }
    for (const std::string& name : values["keep"].as<std::vector<std::string>>()) {
        std::optional<StockPlace> found;
        for (const StockPlace place : stockPlaces) {
            if (stockPlaceName(place) == name) {
                found = place;
            }
        }
        if (!found) {
            throw UsageError(fmt::format(
                "--keep: found \"{}\"; allowed: start-device, start-capacitor or run-capacitor",
                shortText(name)));
        }
        if (input.circuit && ((*input.circuit).*stockPlaceId(*found)).empty()) {
            throw UsageError(
                fmt::format("--keep {}: the case names no {} that could be kept", name, name));
        }
        kept.insert(*found);
    }
    return kept;
}

// The list of --stock, or the case's own. Throws as caseRead() does where --output is that file.
PartsList stockFrom(const po::variables_map& values, const Case& input)
{
    if (values.count("stock") == 0) {
        return input.parts;
    }
    const auto& path = values["stock"].as<std::string>();
    std::error_code missing;
    if (values.count("output") != 0 &&
        std::filesystem::equivalent(values["output"].as<std::string>(), path, missing)) {
        throw std::runtime_error(
            fmt::format("--output: {} is a file that was read: it would be lost; name another one",
                        shortText(path)));
    }
    return readPartsFile(path);
}

// One bar after the other, a phase each.
class PhaseBar
{
public:
    void show(const std::string& phase, std::size_t done, std::size_t all)
    {
        if (phase != phase_) {
            bar_.reset();
            bar_.emplace(phase);
            phase_ = phase;
        }
        bar_->show(done, all);
    }

private:
    std::string phase_;
    std::optional<ProgressBar> bar_;
};

}  // namespace

CommandLine chooseLine()
{
    CommandLine line(
        "splitstart choose CASE.xml [--stock PARTS.xml] [options]",
        "Tries every combination of the stock's start devices, start capacitors (two in parallel "
        "or in series among them) and run capacitors that the case's circuit has places for, "
        "ranks them, and says why each rejected part fails. If nothing is fit, it says which "
        "ratings to ask for.\nThe case need not name the parts that are chosen; protector, fan "
        "and contactor stay the case's.",
        "splitstart choose examples/dead-relay.xml --stock examples/dairy-shelf.xml");
    line.statuses = {{allPass, "the recommended parts pass every check"},
                     {failsOrUndecided, "they do not, or nothing is fit"},
                     {badInput},
                     {simulatorFailed}};
    line.options.add_options()("stock", po::value<std::string>()->value_name("PARTS.xml"),
                               "what is on the shelf; the case's own parts list where left out")(
        "keep", po::value<std::vector<std::string>>()->composing()->value_name("PLACE"),
        "keep what the case has as start-device, start-capacitor or run-capacitor; once for each")(
        "all", po::bool_switch(), "list every combination")(
        "ratings", po::bool_switch(), "say what to ask for even where something fits");
    addNumber<int>(
        line,
        {"sure-top", "N", {1, 20}, 1, "how many of the best to judge over possible machines"});
    addSamplingOptions(line);
    return line;
}

int chooseCommand(const po::variables_map& values)
{
    const bool json = wantsJson(values);
    const unsigned workers = workersFrom(values);
    ChoiceOptions options;
    options.check = checkOptionsFrom(values);
    options.ratings = values["ratings"].as<bool>();
    options.sureTop = static_cast<std::size_t>(values["sure-top"].as<int>());
    const Case input = caseFrom(values);
    options.kept = keptFrom(values, input);
    const PartsList stock = stockFrom(values, input);
    if (deliveredAsCondemned(values, input)) {
        return failsOrUndecided;
    }
    SimulatorPool pool(workers);
    Choice choice;
    {
        PhaseBar bar;
        choice = chooseParts(input, stock, pool, options,
                             [&bar](const std::string& phase, std::size_t done, std::size_t all) {
                                 bar.show(phase, done, all);
                             });
    }
    deliver(values, json ? choiceJson(input, choice)
                         : choiceText(input, choice,
                                      {colourWanted(), values["all"].as<bool>(), pageWidth()}));
    return isFit(choice) ? allPass : failsOrUndecided;
}

}  // namespace splitstart
