#include "cli/sampling_options.h"

#include <fmt/format.h>

#include "cli/number_option.h"
#include "cli/progress_bar.h"
#include "report/report.h"
#include "report/verdict.h"

namespace splitstart
{

namespace po = boost::program_options;

void addSamplingOptions(CommandLine& line)
{
    addNumber<int>(
        line, {"samples",
               "N",
               {20, 10000},
               200,
               "possible machines to look at, at the most; it ends earlier once all is settled"});
    addShareOptions(
        line,
        "share of the possible machines in which a check must pass, or fail, to be called so");
}

void addShareOptions(CommandLine& line, const char* share)
{
    addNumber<double>(line, {"sure-percent", "PERCENT", {60, 99.5}, 95, share});
    addSeedOption(line, "answer");
    addWorkersOption(line);
}

void addSeedOption(CommandLine& line, const char* same)
{
    // No unsigned number: -7 would be taken for one near the largest there is.
    addNumber<long>(line,
                    {"seed",
                     "N",
                     {0},
                     1,
                     fmt::format("of the random draws; the same seed gives the same {}", same)});
}

void addWorkersOption(CommandLine& line)
{
    addNumber<int>(
        line, {"workers", "N", {0, 64}, 0, "simulations at a time; 0: one for each processor"});
}

std::uint64_t seedFrom(const po::variables_map& values)
{
    return static_cast<std::uint64_t>(values["seed"].as<long>());
}

CheckOptions checkOptionsFrom(const po::variables_map& values)
{
    CheckOptions options;
    options.rule.samples = static_cast<std::size_t>(values["samples"].as<int>());
    options.rule.share_ratio = shareFrom(values);
    options.seed = seedFrom(values);
    return options;
}

double shareFrom(const po::variables_map& values)
{
    return values["sure-percent"].as<double>() / 100;
}

unsigned workersFrom(const po::variables_map& values)
{
    return static_cast<unsigned>(values["workers"].as<int>());
}

SampledCheck sampledCheck(const Case& input, const CheckOptions& options, SimulatorPool& pool)
{
    ProgressBar bar("simulating starts");
    SampledCheck result;
    result.study = checkStudy(input, pool, options,
                              [&bar](std::size_t done, std::size_t all) { bar.show(done, all); });
    result.next = nextMeasurements(input, result.study, options.rule);
    return result;
}

std::optional<MotorStudy> condemnedWindings(const Case& input)
{
    MotorStudy windings = windingStudy(input);
    if (!windings.identification || windings.identification->pattern == ReadingPattern::complete ||
        input.compressor.equivalentCircuit) {
        return std::nullopt;
    }
    return windings;
}

bool deliveredAsCondemned(const po::variables_map& values, const Case& input)
{
    const std::optional<MotorStudy> windings = condemnedWindings(input);
    if (!windings) {
        return false;
    }
    deliver(values, wantsJson(values) ? condemnedJson(input, *windings)
                                      : identifyText(input.name, input.invented, *windings,
                                                     {colourWanted(), true, pageWidth()}));
    return true;
}

int exitStatusOf(const CheckStudy& study)
{
    const VerdictCounts counts = verdictCounts(study.motor, study.findings);
    return counts.fail + counts.undecided == 0 ? allPass : failsOrUndecided;
}

}  // namespace splitstart
