#include <fmt/format.h>

#include <chrono>

#include "cli/command.h"
#include "cli/progress_bar.h"
#include "report/report.h"
#include "study/case_study.h"

namespace splitstart
{

namespace po = boost::program_options;

namespace
{

constexpr int mostWorkers = 64;

// Readings of windings that no start can be computed with: open, shorted, or at odds.
bool readingsCondemn(const Case& input, const MotorStudy& windings)
{
    return windings.identification &&
           windings.identification->pattern != ReadingPattern::complete &&
           !input.compressor.equivalentCircuit;
}

}  // namespace

int checkCommand(const std::vector<std::string>& arguments)
{
    CommandLine line(
        "splitstart check CASE.xml [options]",
        "Simulates the start at every corner of line voltage and winding temperature and compares "
        "each part with its rating.\nExit status: 0 all pass, 1 something fails or is undecided, 2 "
        "bad input, 3 the simulator could not finish.",
        "splitstart check examples/cheese-store.xml");
    line.options.add_options()("all", po::bool_switch(), "show what passes, too")(
        "workers", po::value<int>()->default_value(0)->value_name("N"),
        "simulations at a time; 0: one for each processor");
    po::variables_map values;
    if (!line.parse(arguments, values)) {
        return allPass;
    }
    const bool json = wantsJson(values);
    const int workers = values["workers"].as<int>();
    if (workers < 0 || workers > mostWorkers) {
        throw UsageError(
            fmt::format("--workers: found {}; allowed: 0 to {}", workers, mostWorkers));
    }
    const Case input = caseFrom(values);
    const MotorStudy windings = windingStudy(input);
    if (readingsCondemn(input, windings)) {
        // Nothing to simulate: what the readings say, and what to do, is the whole answer.
        deliver(values, json ? identifyJson(input.name, input.invented, windings)
                             : identifyText(input.name, input.invented, windings,
                                            {colourWanted(), true, pageWidth()}));
        return failsOrUndecided;
    }
    SimulatorPool pool(static_cast<unsigned>(workers));
    ProgressBar bar("simulating starts");
    const CheckStudy study =
        checkStudy(input, pool, [&bar](std::size_t done, std::size_t all) { bar.show(done, all); });
    bar.clear();
    deliver(values, json ? checkJson(input, study)
                         : checkText(input, study,
                                     {colourWanted(), values["all"].as<bool>(), pageWidth()}));
    for (const Finding& finding : study.findings) {
        if (finding.verdict != Verdict::pass) {
            return failsOrUndecided;
        }
    }
    for (const HealthFinding& finding : study.motor.health.findings) {
        if (finding.verdict != HealthVerdict::pass) {
            return failsOrUndecided;
        }
    }
    return allPass;
}

}  // namespace splitstart
