#include <fmt/format.h>

#include <set>

#include "case/text.h"
#include "cli/command.h"
#include "cli/sampling_options.h"
#include "report/report.h"
#include "study/case_study.h"

namespace splitstart
{

namespace po = boost::program_options;

namespace
{

int explain(const po::variables_map& values, bool json)
{
    const auto& id = values["explain"].as<std::string>();
    if (values.count("case") != 0) {
        throw UsageError(fmt::format("--explain tells what a check asks of any case; leave out {}",
                                     shortText(values["case"].as<std::string>())));
    }
    const std::vector<const Check*> checks = checksNamed(id);
    if (checks.empty()) {
        // Start devices share some ids; twice the same would be a tie.
        std::set<std::string_view> different;
        for (const Check& check : allChecks()) {
            different.insert(check.id);
        }
        const std::vector<std::string_view> ids(different.begin(), different.end());
        const std::string_view meant = nearest(id, ids);
        throw UsageError(fmt::format(
            "--explain: found \"{}\"; allowed: the id of a check, or all{}", shortText(id),
            meant.empty() ? std::string() : fmt::format("; did you mean {}?", meant)));
    }
    deliver(values,
            json ? explainJson(checks) : explainText(checks, {colourWanted(), true, pageWidth()}));
    return allPass;
}

}  // namespace

CommandLine checkLine()
{
    CommandLine line(
        "splitstart check CASE.xml [options]\n       splitstart check --explain ID",
        "Simulates the start at every corner of line voltage and winding temperature and compares "
        "each part with its rating, over the motors that the readings allow and the tolerances of "
        "the parts.",
        "splitstart check examples/cheese-store.xml");
    line.statuses = {{allPass, "all pass"}, {failsOrUndecided}, {badInput}, {simulatorFailed}};
    line.options.add_options()("all", po::bool_switch(), "show what passes, too")(
        "explain", po::value<std::string>()->value_name("ID"),
        "say what a check asks and what it rests on; \"all\": the whole table");
    addSamplingOptions(line);
    return line;
}

int checkCommand(const po::variables_map& values)
{
    const bool json = wantsJson(values);
    const unsigned workers = workersFrom(values);
    const CheckOptions sampling = checkOptionsFrom(values);
    if (values.count("explain") != 0) {
        return explain(values, json);
    }
    const Case input = caseFrom(values);
    if (deliveredAsCondemned(values, input)) {
        return failsOrUndecided;
    }
    SimulatorPool pool(workers);
    const auto [study, next] = sampledCheck(input, sampling, pool);
    deliver(values, json ? checkJson(input, study, next)
                         : checkText(input, study, next,
                                     {colourWanted(), values["all"].as<bool>(), pageWidth()}));
    return exitStatusOf(study);
}

}  // namespace splitstart
