#include <fmt/format.h>

#include <algorithm>

#include "cli/command.h"
#include "cli/page_making.h"
#include "cli/sampling_options.h"
#include "report/report_page.h"

namespace splitstart
{

namespace po = boost::program_options;

CommandLine reportLine()
{
    CommandLine line(
        "splitstart report CASE.xml -o report.html [options]",
        "Writes all that `check` and `wiring` find as one page that needs no network: verdict, "
        "pins, "
        "parts with ratings and margins, the start's curves, wiring, where each number comes from, "
        "the netlist. It can be read without scripts, and printed.",
        "splitstart report examples/cheese-store.xml -o report.html", nullptr);
    line.statuses = {
        {allPass, "all pass"},
        {failsOrUndecided, "something fails or is undecided, or the wires found are wrong"},
        {badInput},
        {simulatorFailed}};
    addSamplingOptions(line);
    return line;
}

int reportCommand(const po::variables_map& values)
{
    const unsigned workers = workersFrom(values);
    const CheckOptions sampling = checkOptionsFrom(values);
    const Case input = caseFrom(values);
    if (const std::optional<MotorStudy> windings = condemnedWindings(input)) {
        std::optional<WiringStudy> wiring;
        if (input.circuit) {
            wiring = wiringStudy(input);
        }
        deliver(values, condemnedPage(input, *windings, wiring, pageMaking()));
        return failsOrUndecided;
    }
    SimulatorPool pool(workers);
    ReportData data;
    SampledCheck check = sampledCheck(input, sampling, pool);
    data.study = std::move(check.study);
    data.next = std::move(check.next);
    const CheckStudy& study = data.study;
    Corner rated;
    rated.pressures = input.compressor.load.pressures;
    data.starts.push_back(tracedStart(input, study.circuit, study.motor, rated, pool));
    if (const std::optional<Corner> worst = worstCorner(input, study)) {
        data.starts.push_back(tracedStart(input, study.circuit, study.motor, *worst, pool));
    }
    data.wiring = wiringStudy(input);
    data.found = foundStartAnswer(input, data.wiring, pool);
    constexpr double least_s = 0.5;
    data.netlist = startDeck(input, study.circuit, study.motor, rated,
                             std::max(least_s, data.starts.front().trace.time_s.back()));
    PageMaking making = pageMaking();
    making.options = fmt::format(
        "{} possible machines at the most, seed {}, a check called so in {:g} % of them",
        sampling.rule.samples, sampling.seed, 100 * sampling.rule.share_ratio);
    deliver(values, reportPage(input, data, making));
    const bool wiredWrong = data.wiring.found && !data.wiring.found->isRight();
    return wiredWrong ? failsOrUndecided : exitStatusOf(study);
}

}  // namespace splitstart
