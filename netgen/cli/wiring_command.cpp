#include <fmt/format.h>

#include <cstdio>

#include "case/found_wire.h"
#include "case/text.h"
#include "cli/command.h"
#include "report/case_drawing.h"
#include "report/report.h"

namespace splitstart
{

namespace po = boost::program_options;

namespace
{

constexpr std::size_t longestPath = 500;

// Wires named on the command line are all that were found, in place of the case's.
void takeFoundWires(const po::variables_map& values, Case& input)
{
    if (values.count("wire") == 0) {
        return;
    }
    FoundWiring found;
    for (const std::string& wire : values["wire"].as<std::vector<std::string>>()) {
        try {
            found.wires.push_back(parseFoundWire(wire));
        } catch (const std::invalid_argument& error) {
            throw UsageError(error.what());
        }
    }
    input.asFound = found;
}

// Who has read nothing asks for the wires alone, and is told so on the page.
bool forbidsOrLeavesOpen(const WiringStudy& study)
{
    const EnergiseAnswer safe = study.windings.health.safe.answer;
    return safe == EnergiseAnswer::no ||
           (safe == EnergiseAnswer::notKnown && study.windings.identification.has_value());
}

// A drawing says nothing of what makes the exit status, so it is said beside it.
void sayBesideDrawing(const po::variables_map& values, const WiringStudy& study)
{
    if (study.found && !study.found->isRight()) {
        const std::string written =
            values.count("output") == 0
                ? std::string()
                : fmt::format("{} is written. ",
                              shortText(values["output"].as<std::string>(), longestPath));
        fmt::print(
            stderr,
            "splitstart: {}The wires found are not right: `splitstart wiring {}`{} says what "
            "to move.\n",
            written, shortText(caseFile(values), longestPath),
            values.count("wire") == 0 ? "" : " with the same --wire");
    }
    if (forbidsOrLeavesOpen(study)) {
        const SafeToEnergise& safe = study.windings.health.safe;
        fmt::print(stderr, "splitstart: {}: {}\n",
                   safe.answer == EnergiseAnswer::no
                       ? "DO NOT ENERGISE this compressor"
                       : "whether this compressor may be energised is not known",
                   safe.why);
    }
}

}  // namespace

CommandLine wiringLine()
{
    CommandLine line(
        "splitstart wiring CASE.xml [options]",
        "Lists the wires of the circuit in the order in which they are landed, and what an "
        "ohmmeter must read before the supply is put on. Compares the wires that were found with "
        "those that ought to be, and says the fewest changes that put them right.",
        "splitstart wiring examples/cheese-store.xml --drawing -o wiring.svg");
    line.statuses = {
        {allPass, "done"},
        {failsOrUndecided,
         "the wires found are wrong, or the readings forbid energising this compressor or leave it "
         "open"},
        {badInput},
        {simulatorFailed, "the simulator, which tries the wires found, could not finish"}};
    line.options.add_options()("drawing", po::bool_switch(),
                               "the drawing in place of the list, as SVG, from the same wires")(
        "wire", po::value<std::vector<std::string>>()->composing()->value_name("A.1=B.2"),
        "a wire as found, once for each: all of them, in place of the case's <as-found>")(
        "as-found", po::bool_switch(), "with --drawing: as it was found, not as it should be");
    return line;
}

int wiringCommand(const po::variables_map& values)
{
    const bool json = wantsJson(values);
    const bool drawing = values["drawing"].as<bool>();
    if (json && drawing) {
        throw UsageError("--drawing: the drawing is SVG; leave out --format json");
    }
    Case input = caseFrom(values);
    takeFoundWires(values, input);
    const bool asFound = values["as-found"].as<bool>();
    if (asFound && !(drawing && input.asFound)) {
        throw UsageError(
            "--as-found: draws the wires found; name them with --wire or in the "
            "case's <as-found>, and add --drawing");
    }
    const WiringStudy study = wiringStudy(input);
    if (drawing) {
        deliver(values, caseDrawing(input, study, asFound));
        sayBesideDrawing(values, study);
    } else {
        SimulatorPool pool;
        const FoundStartAnswer found = foundStartAnswer(input, study, pool);
        deliver(values,
                json ? wiringJson(input, study, found)
                     : wiringText(input, study, found, {colourWanted(), false, pageWidth()}));
    }
    const bool isWrong = study.found && !study.found->isRight();
    return isWrong || forbidsOrLeavesOpen(study) ? failsOrUndecided : allPass;
}

}  // namespace splitstart
