#include "cli/sampling_options.h"

#include <fmt/format.h>

#include "cli/progress_bar.h"
#include "report/report.h"
#include "report/verdict.h"

namespace splitstart
{

namespace po = boost::program_options;

namespace
{

constexpr int fewestSamples = 20;
constexpr int mostSamples = 10000;
constexpr double leastSure_percent = 60;
constexpr double mostSure_percent = 99.5;
constexpr int mostWorkers = 64;

}  // namespace

void addSamplingOptions(CommandLine& line)
{
    line.options.add_options()(
        "samples", po::value<int>()->default_value(200)->value_name("N"),
        "possible machines to look at, at the most; it ends earlier once all is settled");
    addShareOptions(
        line,
        "share of the possible machines in which a check must pass, or fail, to be called so");
}

void addShareOptions(CommandLine& line, const char* share)
{
    line.options.add_options()("sure-percent",
                               po::value<double>()->default_value(95, "95")->value_name("PERCENT"),
                               share)("seed", po::value<long>()->default_value(1)->value_name("N"),
                                      "of the random draws; the same seed gives the same answer");
    addWorkersOption(line);
}

void addWorkersOption(CommandLine& line)
{
    line.options.add_options()("workers", po::value<int>()->default_value(0)->value_name("N"),
                               "simulations at a time; 0: one for each processor");
}

std::uint64_t seedFrom(const po::variables_map& values)
{
    // As an unsigned number, -7 would be taken for one near the largest there is.
    const long seed = values["seed"].as<long>();
    if (seed < 0) {
        throw UsageError(fmt::format("--seed: found {}; allowed: a whole number, 0 or more", seed));
    }
    return static_cast<std::uint64_t>(seed);
}

CheckOptions checkOptionsFrom(const po::variables_map& values)
{
    const int samples = values["samples"].as<int>();
    if (samples < fewestSamples || samples > mostSamples) {
        throw UsageError(fmt::format("--samples: found {}; allowed: {} to {}", samples,
                                     fewestSamples, mostSamples));
    }
    CheckOptions options;
    options.rule.samples = static_cast<std::size_t>(samples);
    options.rule.share_ratio = shareFrom(values);
    options.seed = seedFrom(values);
    return options;
}

double shareFrom(const po::variables_map& values)
{
    const double sure_percent = values["sure-percent"].as<double>();
    if (!(sure_percent >= leastSure_percent && sure_percent <= mostSure_percent)) {
        throw UsageError(fmt::format("--sure-percent: found {:g}; allowed: {:g} to {:g}",
                                     sure_percent, leastSure_percent, mostSure_percent));
    }
    return sure_percent / 100;
}

unsigned workersFrom(const po::variables_map& values)
{
    const int workers = values["workers"].as<int>();
    if (workers < 0 || workers > mostWorkers) {
        throw UsageError(
            fmt::format("--workers: found {}; allowed: 0 to {}", workers, mostWorkers));
    }
    return static_cast<unsigned>(workers);
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
