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
        "the netlist. It can be read without scripts, and printed.\nExit status: as `check`.",
        "splitstart report examples/cheese-store.xml -o report.html", nullptr);
    addSamplingOptions(line);
    return line;
}

int reportCommand(const po::variables_map& values)
{
    const unsigned workers = workersFrom(values);
    const CheckOptions sampling = checkOptionsFrom(values);
    const Case input = caseFrom(values);
    if (const std::optional<MotorStudy> windings = condemnedWindings(input)) {
        deliver(values, condemnedPage(input, *windings, pageMaking()));
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
    if (const std::optional<Corner> worst = worstCorner(study)) {
        data.starts.push_back(tracedStart(input, study.circuit, study.motor, *worst, pool));
    }
    data.wiring = wiringStudy(input);
    data.found = foundStartAnswer(input, data.wiring, pool);
    constexpr double least_s = 0.5;
    data.netlist = startDeck(input, study.circuit, study.motor, rated,
                             std::max(least_s, data.starts.front().trace.time_s.back()));
    deliver(values, reportPage(input, data, pageMaking()));
    return exitStatusOf(study);
}

}  // namespace splitstart
